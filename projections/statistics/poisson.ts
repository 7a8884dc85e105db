import { countQuantile } from './count-quantile.ts'
import { requireProbability } from './estimate.ts'
import { regularizedGamma } from './incomplete-gamma.ts'

function tails(k: number, mean: number): { lower: number; upper: number } {
  if (!(mean >= 0 && mean < Number.POSITIVE_INFINITY)) {
    throw new RangeError(`The mean of the Poisson distribution was ${mean}; expected a finite number of zero or more.`)
  }
  if (Number.isNaN(k)) throw new RangeError('The Poisson distribution was asked at a value that is not a number.')
  if (k < 0) return { lower: 0, upper: 1 }
  if (k === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 }
  const { lower, upper } = regularizedGamma(Math.floor(k) + 1, mean)
  return { lower: upper, upper: lower }
}

/**
 * Chance of at most k events when `mean` (0 or more) are expected: Q(k + 1, mean) (Abramowitz and Stegun 1964,
 * 26.4.21). A k between whole numbers counts as the one below; below zero the chance is 0. Throws a RangeError for
 * other means.
 */
export function poissonCdf(k: number, mean: number): number {
  return tails(k, mean).lower
}

/** Chance of more than k events; see `poissonCdf`. */
export function poissonUpperTail(k: number, mean: number): number {
  return tails(k, mean).upper
}

/** The smallest whole k with `poissonCdf(k, mean) >= p`. p = 0 gives 0, p = 1 infinity (0 when the mean is 0). */
export function poissonQuantile(p: number, mean: number): number {
  requireProbability(p)
  if (tails(0, mean).upper === 0) return 0
  return countQuantile(p, mean, Math.sqrt(mean), (k) => tails(k, mean))
}
