import { requireFinite, requireProbability } from './estimate.ts'

/**
 * Quantile of the numbers in hand, by linear interpolation between order statistics; p = 0 and 1 give the smallest
 * and the largest. `definition` 7 (Gumbel's, the default of R and numpy; the one used here throughout) puts the k-th
 * of n at (k - 1) / (n - 1), 6 (Weibull's) at k / (n + 1). Hyndman and Fan (1996), definitions 6 and 7. A
 * description, not an estimate: throws a RangeError when there are no values, when one is not finite, or for p
 * outside 0..1.
 */
export function sampleQuantile(values: readonly number[], p: number, definition: 6 | 7 = 7): number {
  requireProbability(p)
  return quantileOfSorted(ascending(values), p, definition)
}

/** Median of the numbers in hand; the mean of the two middle ones of an even number. Errors as `sampleQuantile`. */
export function median(values: readonly number[]): number {
  return medianOfSorted(ascending(values))
}

/** The values in rising order, as a new list. Throws a RangeError when there are none or one is not finite. */
export function ascending(values: readonly number[]): number[] {
  if (values.length === 0) throw new RangeError('There were no values; expected at least one. Ask for the count first.')
  requireFinite(values, 'values')
  return [...values].sort((a, b) => a - b)
}

/** Median of a list that is already in rising order and not empty. */
export function medianOfSorted(sorted: ArrayLike<number>): number {
  const half = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}

function quantileOfSorted(sorted: readonly number[], p: number, definition: 6 | 7): number {
  const last = sorted.length - 1
  const position = definition === 7 ? p * last : p * (sorted.length + 1) - 1
  const within = Math.min(last, Math.max(0, position))
  const below = Math.floor(within)
  const low = sorted[below]!
  return low + (within - below) * ((sorted[below + 1] ?? low) - low)
}
