import { type NotEnough, notEnough, requireFinite, requireSameLength } from './estimate.ts'
import { kendallTail } from './kendall-distribution.ts'
import { normalUpperTail } from './normal.ts'

/**
 * A test for a monotone trend. `s`: pairs that rise less pairs that fall; `tau`: Kendall's tau-b (-1..1), 0 when x or y
 * does not vary; `z` with the usual continuity correction, `zUncorrected` without. `p` is two-sided: exact where it can
 * be, else that of `z`, which is also `pNormal`.
 */
export type MannKendall = {
  kind: 'test'
  n: number
  s: number
  varianceOfS: number
  tau: number
  z: number
  zUncorrected: number
  p: number
  method: 'exact' | 'normal'
  pNormal: number
  pUncorrected: number
}

/**
 * Mann-Kendall test of y against x (times, hours; any spacing, any order). Mann (1945); Kendall (1970), chapters 4
 * and 5: variance of S with ties in y and in x and both cross terms; z = (S - sign S) / √variance. Exact when nothing
 * is tied and there are at most 50 values; the normal approximation wants about 10 (Gilbert 1987, section 16.4) and
 * is what ties leave. Consecutive values must be independent: hourly readings of one warm-up are not.
 *
 * `not-enough` counts observations: 4 are needed, 3 having no two-sided p below 0.33. Empty input gives n = 0.
 * Throws a RangeError for unequal lengths or a number that is not finite. Cost grows with n².
 */
export function mannKendall(x: readonly number[], y: readonly number[]): MannKendall | NotEnough {
  requireSameLength(x, y, 'x and y')
  requireFinite(x, 'values of x')
  requireFinite(y, 'values of y')
  const n = x.length
  if (n < 4) return notEnough(n, 4)
  let s = 0
  for (let i = 1; i < n; i++) {
    for (let j = 0; j < i; j++) s += Math.sign(x[i]! - x[j]!) * Math.sign(y[i]! - y[j]!)
  }
  const inX = tieSums(x)
  const inY = tieSums(y)
  const pairs = n * (n - 1)
  const variance =
    (pairs * (2 * n + 5) - inX.long - inY.long) / 18 +
    (inX.triple * inY.triple) / (9 * pairs * (n - 2)) +
    (inX.double * inY.double) / (2 * pairs)
  const spread = Math.sqrt((pairs - inX.double) * (pairs - inY.double)) / 2
  const scaled = (statistic: number): number => (variance > 0 && spread > 0 ? statistic / Math.sqrt(variance) : 0)
  const z = scaled(s - Math.sign(s))
  const zUncorrected = scaled(s)
  const pNormal = 2 * normalUpperTail(Math.abs(z))
  const isExact = inX.double === 0 && inY.double === 0 && n <= 50
  return {
    kind: 'test',
    n,
    s,
    varianceOfS: spread > 0 ? variance : 0,
    tau: spread > 0 ? s / spread : 0,
    z,
    zUncorrected,
    p: isExact ? Math.min(1, 2 * kendallTail(n, (pairs / 2 - Math.abs(s)) / 2)) : pNormal,
    method: isExact ? 'exact' : 'normal',
    pNormal,
    pUncorrected: 2 * normalUpperTail(Math.abs(zUncorrected)),
  }
}

/** Sums over groups of t equal values: t(t-1)(2t+5), t(t-1)(t-2) and t(t-1). */
function tieSums(values: readonly number[]): { long: number; triple: number; double: number } {
  const counts = new Map<number, number>()
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1)
  const sums = { long: 0, triple: 0, double: 0 }
  for (const t of counts.values()) {
    sums.long += t * (t - 1) * (2 * t + 5)
    sums.triple += t * (t - 1) * (t - 2)
    sums.double += t * (t - 1)
  }
  return sums
}
