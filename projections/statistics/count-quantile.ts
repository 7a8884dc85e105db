import { requireProbability } from './estimate.ts'
import { normalQuantile } from './normal.ts'

/**
 * The smallest whole k >= 0 with a cumulative chance of at least p, for a distribution of counts with the given mean
 * and standard deviation, whose `tails(k)` are the chances of at most k (`lower`) and of more than k (`upper`).
 * Sought outwards from the normal approximation with doubling steps, then by halving. Above p = 1/2 the upper tail is
 * compared, which keeps its digits. A cumulative chance that misses p by no more than rounding counts as reaching it,
 * so that the quantile of `lower(k)` is k. p = 0 gives 0; p = 1 gives infinity. Throws a RangeError for p outside
 * 0..1.
 */
export function countQuantile(
  p: number,
  mean: number,
  sd: number,
  tails: (k: number) => { lower: number; upper: number },
): number {
  requireProbability(p)
  if (p === 0) return 0
  if (p === 1) return Number.POSITIVE_INFINITY
  const slack = 64 * Number.EPSILON
  const reaches = (k: number): boolean => {
    const { lower, upper } = tails(k)
    return p <= 0.5 ? lower >= p * (1 - slack) : upper <= (1 - p) * (1 + slack) + Number.EPSILON
  }
  const start = Math.max(0, Math.floor(mean + sd * normalQuantile(p)))
  let low = start
  let high = start
  if (reaches(start)) {
    for (let step = 1; low > 0 && reaches(low); step *= 2) {
      high = low
      low = Math.max(0, low - step)
    }
    if (low === 0 && reaches(0)) return 0
  } else {
    for (let step = 1; !reaches(high); step *= 2) {
      low = high
      high += step
    }
  }
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    if (reaches(middle)) high = middle
    else low = middle
  }
  return high
}
