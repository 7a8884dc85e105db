import { type NotEnough, notEnough } from './estimate.ts'
import { kendallTail } from './kendall-distribution.ts'
import { repairTimes } from './repair-times.ts'

/**
 * A test of the gaps between repairs for a trend: `reversals` of `pairs` pairs of gaps have the earlier one shorter.
 * `pImproving` is the chance of so many or more without any trend (small: gaps grow), `pWorsening` of so few or fewer.
 */
export type ReverseArrangements = {
  kind: 'test'
  n: number
  reversals: number
  pairs: number
  pImproving: number
  pWorsening: number
}

/**
 * Reverse arrangement test on the gaps between the repairs of one unit, the first gap being the age at the first
 * repair. A reversal is a pair in which the earlier gap is strictly shorter than the later. NIST/SEMATECH e-Handbook,
 * section 8.2.3.4; the chances are exact, those of Kendall's statistic (Mann 1945; Kendall 1970, chapter 5), each
 * taking equal gaps as if they spoke against it.
 *
 * `not-enough` counts repairs: 4 are needed, since 3 gaps give no p-value below 0.16. Empty input gives n = 0.
 * Throws a RangeError for a repair that is not above zero, or not finite.
 */
export function reverseArrangements(times: readonly number[]): ReverseArrangements | NotEnough {
  const sorted =
    times.length === 0
      ? []
      : repairTimes(
          times,
          times.reduce((latest, time) => Math.max(latest, time), 0),
        )
  const n = sorted.length
  if (n < 4) return notEnough(n, 4)
  const gaps = sorted.map((time, i) => time - (sorted[i - 1] ?? 0))
  const pairs = (n * (n - 1)) / 2
  let reversals = 0
  let equal = 0
  gaps.forEach((gap, i) => {
    for (const earlier of gaps.slice(0, i)) {
      if (earlier < gap) reversals++
      if (earlier === gap) equal++
    }
  })
  return {
    kind: 'test',
    n,
    reversals,
    pairs,
    pImproving: kendallTail(n, pairs - reversals),
    pWorsening: kendallTail(n, reversals + equal),
  }
}
