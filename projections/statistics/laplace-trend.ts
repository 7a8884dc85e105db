import { type NotEnough, notEnough } from './estimate.ts'
import { normalUpperTail } from './normal.ts'
import { repairTimes } from './repair-times.ts'

/** A test of the repairs of one unit for a trend: `n` repairs, its statistic, and the two-sided p-value. */
export type LaplaceTrend = { kind: 'test'; n: number; z: number; p: number }

/**
 * Laplace's test for a trend in the repairs of one unit watched from age 0 to `end`: z is the mean age at repair less
 * half the span, over its standard error `end / √(12 r)`. z below 0: repairs come ever less often; above 0 ever more.
 * Cox and Lewis (1966), section 3.3; NIST/SEMATECH e-Handbook, section 8.2.3.4.
 *
 * `not-enough` counts repairs: 4 are needed. From there on the sum of uniform ages is near enough to normal: by the
 * Irwin-Hall distribution, what is called 5 % is 4.7 % at four repairs, and what is called 1 % is 0.6 %.
 * Empty input gives n = 0. Throws a RangeError for a repair outside 0..end.
 */
export function laplaceTrend(times: readonly number[], end: number): LaplaceTrend | NotEnough {
  const sorted = repairTimes(times, end)
  const n = sorted.length
  if (n < 4) return notEnough(n, 4)
  const sum = sorted.reduce((total, time) => total + (time / end - 0.5), 0)
  const z = sum * Math.sqrt(12 / n)
  return { kind: 'test', n, z, p: 2 * normalUpperTail(Math.abs(z)) }
}
