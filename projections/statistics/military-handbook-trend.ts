import { type NotEnough, notEnough } from './estimate.ts'
import { gammaCdf, gammaUpperTail } from './gamma.ts'
import { repairTimes } from './repair-times.ts'

/**
 * A test of the repairs of one unit for a power-law trend. `pImproving` is the chance of a statistic at least this
 * large without any trend (small: repairs come ever less often), `pWorsening` of one at most this large (small: ever
 * more).
 */
export type MilitaryHandbookTrend = {
  kind: 'test'
  n: number
  chiSquare: number
  degreesOfFreedom: number
  pImproving: number
  pWorsening: number
}

/**
 * Military Handbook test: 2 Σ ln(end / t) has a chi-square distribution with 2r degrees of freedom when repairs come
 * at a constant rate. Exact at any r. MIL-HDBK-189 (1981), section on goodness of fit; Crow (1974); NIST/SEMATECH
 * e-Handbook, section 8.2.3.4. `not-enough` counts repairs: 1 is needed. Empty input gives n = 0. Throws a RangeError
 * for a repair outside 0..end.
 */
export function militaryHandbookTrend(times: readonly number[], end: number): MilitaryHandbookTrend | NotEnough {
  const sorted = repairTimes(times, end)
  const n = sorted.length
  if (n < 1) return notEnough(n, 1)
  const half = sorted.reduce((total, time) => total + Math.log(end / time), 0)
  return {
    kind: 'test',
    n,
    chiSquare: 2 * half,
    degreesOfFreedom: 2 * n,
    pImproving: gammaUpperTail(half, n, 1),
    pWorsening: gammaCdf(half, n, 1),
  }
}
