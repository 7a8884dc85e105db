import { defaultLevel, type NotEnough, notEnough, requireLevel } from './estimate.ts'
import { normalQuantile } from './normal.ts'

/** One unit that is repaired and goes on: its ages at repair, and the age up to which it was watched. */
export type RepairHistory = { repairs: readonly number[]; end: number }

/** The mean number of repairs a unit has had by an age, with its standard error and interval. */
export type MeanCumulativePoint = {
  age: number
  atRisk: number
  events: number
  value: number
  standardError: number
  low: number
  high: number
}

/**
 * Mean cumulative function: the mean number of repairs per unit up to each age at which one was made, units being
 * watched for different lengths of time. Nelson (1988; 2003, chapter 1); Meeker and Escobar (1998), section 16.2. A
 * unit watched up to an age still counts as at risk there; two repairs at one age count as two.
 *
 * Standard error by Lawless and Nadeau (1995), eq. 2.9: robust, units independent, no assumption about the repairs of
 * one unit. It differs from Nelson's (1995) unbiased variance and from the Poisson one. Interval on the log scale,
 * value * exp(-+ z se / value) (Meeker and Escobar 1998, section 16.2.3), so that it stays above zero.
 *
 * `not-enough` counts units: two are needed, since one shows nothing of the scatter between units
 * (power-law-repairs.ts is for one). Also when two or more units had no repair at all, with n = 0 repairs of 1
 * needed. Empty input gives n = 0. Throws a RangeError for a negative age, a repair after `end`, or a level outside
 * 0..1.
 */
export function meanCumulativeFunction(
  units: readonly RepairHistory[],
  options: { level?: number } = {},
): { kind: 'estimate'; n: number; events: number; level: number; points: MeanCumulativePoint[] } | NotEnough {
  const { level = defaultLevel } = options
  requireLevel(level)
  units.forEach(requireHistory)
  if (units.length < 2) return notEnough(units.length, 2)
  const events = units.reduce((sum, unit) => sum + unit.repairs.length, 0)
  if (events === 0) return notEnough(0, 1)
  const z = normalQuantile((1 + level) / 2)
  const ages = [...new Set(units.flatMap((unit) => unit.repairs))].sort((a, b) => a - b)
  const counts = units.map(({ repairs }) => {
    const byAge = new Map<number, number>()
    for (const age of repairs) byAge.set(age, (byAge.get(age) ?? 0) + 1)
    return byAge
  })
  const excess = units.map(() => 0)
  let value = 0
  const points = ages.map((age) => {
    const atRisk = units.filter((unit) => unit.end >= age).length
    const here = counts.reduce((sum, byAge) => sum + (byAge.get(age) ?? 0), 0)
    const rate = here / atRisk
    value += rate
    units.forEach((unit, j) => {
      if (unit.end >= age) excess[j]! += ((counts[j]!.get(age) ?? 0) - rate) / atRisk
    })
    const standardError = Math.sqrt(excess.reduce((sum, e) => sum + e * e, 0))
    const factor = Math.exp((z * standardError) / value)
    return { age, atRisk, events: here, value, standardError, low: value / factor, high: value * factor }
  })
  return { kind: 'estimate', n: units.length, events, level, points }
}

function requireHistory({ repairs, end }: RepairHistory): void {
  const bad = repairs.find((age) => !(age >= 0 && age <= end))
  if (!(end >= 0 && Number.isFinite(end)) || bad !== undefined) {
    throw new RangeError(`A unit watched up to ${end} had a repair at ${bad}; expected ages from 0 up to the end.`)
  }
}
