import { countQuantile } from './count-quantile.ts'
import { requirePositive, requireProbability } from './estimate.ts'
import { regularizedBeta } from './incomplete-beta.ts'

function tails(k: number, size: number, probability: number): { lower: number; upper: number } {
  requirePositive(size, 'size')
  if (!(probability > 0 && probability <= 1)) {
    throw new RangeError(`The chance of a success was ${probability}; expected a number above 0 and up to 1.`)
  }
  if (Number.isNaN(k)) throw new RangeError('The negative binomial distribution was asked at a value not a number.')
  if (k < 0) return { lower: 0, upper: 1 }
  if (k === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 }
  return regularizedBeta(size, Math.floor(k) + 1, probability)
}

/**
 * Chance of at most k failures before the `size`-th success (size above 0, fractions allowed: the gamma-Poisson
 * mixture), each trial succeeding with `probability`: I_probability(size, k + 1) (Abramowitz and Stegun 1964,
 * 26.5.26). Mean size (1 - probability) / probability, variance mean / probability. A k between whole numbers counts
 * as the one below; below zero the chance is 0. Throws a RangeError for other parameters.
 */
export function negativeBinomialCdf(k: number, size: number, probability: number): number {
  return tails(k, size, probability).lower
}

/** Chance of more than k failures; see `negativeBinomialCdf`. */
export function negativeBinomialUpperTail(k: number, size: number, probability: number): number {
  return tails(k, size, probability).upper
}

/**
 * The smallest whole k with `negativeBinomialCdf(k, ...) >= p`. p = 0 gives 0, p = 1 infinity (0 if success is sure).
 */
export function negativeBinomialQuantile(p: number, size: number, probability: number): number {
  requireProbability(p)
  if (tails(0, size, probability).upper === 0) return 0
  const mean = (size * (1 - probability)) / probability
  return countQuantile(p, mean, Math.sqrt(mean / probability), (k) => tails(k, size, probability))
}
