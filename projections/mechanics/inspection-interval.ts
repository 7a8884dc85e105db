import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/**
 * How often to look for a failure that gives warning: n = ln(Pacc) / ln(1 - theta) looks within the P-F interval (from
 * where it can first be seen to where the function is lost), one every P-F / n.
 * `looks` is n as the formula gives it, `wholeLooks` rounded up and at least 1; `intervalHours` uses whole looks,
 * `unroundedIntervalHours` does not and is the longer of the two.
 * Source: NAVAIR 00-25-403 (2005) as summarised in a public slide set.
 */
export function inspectionInterval(given: {
  /** P-F interval, engine hours (or days: the interval comes out in the same), above 0. */
  pfHours: number
  /** Chance that one look finds what is there to be found, between 0 and 1. */
  chanceOfFinding: number
  /** Chance accepted that every look misses it, between 0 and 1. */
  acceptedMiss: number
}): Outcome<{ looks: number; wholeLooks: number; intervalHours: number; unroundedIntervalHours: number }> {
  const problem = firstProblem([
    { name: 'P-F interval', value: given.pfHours, unit: 'h', above: 0 },
    { name: 'chance of finding it', value: given.chanceOfFinding, unit: '', above: 0, below: 1 },
    { name: 'chance of missing it that is accepted', value: given.acceptedMiss, unit: '', above: 0, below: 1 },
  ])
  if (problem !== undefined) return refused(problem)
  const looks = Math.log(given.acceptedMiss) / Math.log1p(-given.chanceOfFinding)
  const roundingOfLogarithms = 1e-9
  const wholeLooks = Math.max(1, Math.ceil(looks - roundingOfLogarithms))
  return settled({
    looks,
    wholeLooks,
    intervalHours: given.pfHours / wholeLooks,
    unroundedIntervalHours: given.pfHours / looks,
  })
}
