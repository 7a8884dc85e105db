import { ascending } from './sample-quantile.ts'

/** Corrections for n = 2 to 12 (Croux and Rousseeuw 1992, as in robustbase 0.95-0). */
const smallSample = [0.399356, 0.99365, 0.51321, 0.84401, 0.6122, 0.85877, 0.66993, 0.87344, 0.72014, 0.88906, 0.75743]

/**
 * Qn scale of Rousseeuw and Croux (1993): the lower quartile or so of the gaps between all pairs, scaled to the
 * standard deviation of normal values, in the unit of the values. It needs no middle, so skewed values do not mislead
 * it. Constant 2.21914 and corrections for small n as in R's robustbase 0.95-0 (the paper has 2.2219). Cost and
 * memory grow with n². A description: throws a RangeError for fewer than two values or one that is not finite.
 */
export function qnScale(values: readonly number[]): number {
  const sorted = ascending(values)
  const n = sorted.length
  if (n < 2) throw new RangeError('Qn was asked of one value; expected at least two.')
  const gaps: number[] = []
  for (let i = 1; i < n; i++) for (let j = 0; j < i; j++) gaps.push(sorted[i]! - sorted[j]!)
  gaps.sort((a, b) => a - b)
  const h = Math.floor(n / 2) + 1
  return qnConstant(n) * gaps[(h * (h - 1)) / 2 - 1]!
}

function qnConstant(n: number): number {
  const constant = 2.21914
  if (n <= 12) return constant * smallSample[n - 2]!
  const excess = n % 2 === 1 ? 1.60188 + (-2.1284 - 5.172 / n) / n : 3.67561 + (1.9654 + (6.987 - 77 / n) / n) / n
  return constant / (1 + excess / n)
}
