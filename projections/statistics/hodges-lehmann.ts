import { defaultLevel, type Estimate, type NotEnough, notEnough, requireFinite, requireLevel } from './estimate.ts'
import { normalQuantile } from './normal.ts'
import { medianOfSorted } from './sample-quantile.ts'
import { signedRankCut } from './signed-rank-distribution.ts'

/** Up to here the signed-rank distribution is counted out; beyond, its normal approximation is good to three digits. */
const largestExact = 60

/**
 * Hodges-Lehmann estimate of the middle of one sample: the median of the means of all pairs, each value paired with
 * itself too (Walsh averages, i <= j). Hodges and Lehmann (1963); Hollander and Wolfe (1999), sections 3.2 and 3.3:
 * interval from the signed-rank distribution, at least at its level for values scattered symmetrically; exact up to
 * 60 values. In the unit of the values. Cost and memory grow with n²: a few thousand values at most.
 *
 * `not-enough` counts values: as many are needed as can reach the level at all, 6 at 0.95. Empty input gives n = 0.
 * Throws a RangeError for a value that is not finite or a level outside 0..1.
 */
export function hodgesLehmann(values: readonly number[], options: { level?: number } = {}): Estimate | NotEnough {
  const { level = defaultLevel } = options
  requireLevel(level)
  requireFinite(values, 'values')
  const n = values.length
  const tail = (1 - level) / 2
  const needed = Math.max(1, Math.ceil(-Math.log2(tail) - 1e-9))
  if (n < needed) return notEnough(n, needed)
  const averages = new Float64Array((n * (n + 1)) / 2)
  let next = 0
  for (let i = 0; i < n; i++) for (let j = 0; j <= i; j++) averages[next++] = (values[i]! + values[j]!) / 2
  averages.sort()
  const cut = n <= largestExact ? signedRankCut(n, tail) : normalCut(n, tail)
  return {
    kind: 'estimate',
    value: medianOfSorted(averages),
    low: averages[cut]!,
    high: averages[averages.length - 1 - cut]!,
    level,
    n,
  }
}

/** So many averages are left out at either end. */
function normalCut(n: number, tail: number): number {
  const middle = (n * (n + 1)) / 4
  return Math.max(0, Math.floor(middle + normalQuantile(tail) * Math.sqrt((middle * (2 * n + 1)) / 6)))
}
