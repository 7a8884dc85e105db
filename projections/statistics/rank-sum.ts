import { type NotEnough, notEnough, requireFinite } from './estimate.ts'
import { normalUpperTail } from './normal.ts'
import { rankSumTail } from './rank-sum-distribution.ts'

/**
 * A test of two groups for a shift. `w` pairs have a above b, ties counting half. `p` is two-sided: exact where it can
 * be, else `pNormal`, which has the corrections for ties and continuity. `n` values in both groups.
 */
export type RankSum = {
  kind: 'test'
  n: number
  w: number
  p: number
  method: 'exact' | 'normal'
  pNormal: number
}

/**
 * Wilcoxon's rank-sum (Mann-Whitney) test. Wilcoxon (1945); Mann and Whitney (1947); Hollander and Wolfe (1999),
 * section 4.1. Exact when no value occurs twice and both groups have at most 30; else the normal approximation.
 * `not-enough` counts the values of the smaller group: 3 are needed. When all values are equal there is no shift: p =
 * 1. Empty input gives n = 0. Throws a RangeError for a value that is not finite.
 */
export function rankSum(a: readonly number[], b: readonly number[]): RankSum | NotEnough {
  requireFinite(a, 'values of the first group')
  requireFinite(b, 'values of the second group')
  const m = a.length
  const n = b.length
  if (Math.min(m, n) < 3) return notEnough(Math.min(m, n), 3)
  let w = 0
  for (const x of a) for (const y of b) w += x > y ? 1 : x === y ? 0.5 : 0
  const counts = new Map<number, number>()
  for (const x of [...a, ...b]) counts.set(x, (counts.get(x) ?? 0) + 1)
  const total = m + n
  const ties = [...counts.values()].reduce((sum, t) => sum + (t ** 3 - t), 0)
  const variance = ((m * n) / 12) * (total + 1 - ties / (total * (total - 1)))
  const off = Math.abs(w - (m * n) / 2)
  const pNormal = variance > 0 ? Math.min(1, 2 * normalUpperTail((off - 0.5) / Math.sqrt(variance))) : 1
  if (ties > 0 || Math.max(m, n) > 30) return { kind: 'test', n: total, w, p: pNormal, method: 'normal', pNormal }
  const p = Math.min(1, 2 * rankSumTail(m, n, Math.min(w, m * n - w)))
  return { kind: 'test', n: total, w, p, method: 'exact', pNormal }
}
