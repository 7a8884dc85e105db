import { defaultLevel, type NotEnough, notEnough, requireFinite, requireLevel } from './estimate.ts'
import { normalQuantile } from './normal.ts'

/** One unit's life so far: its age (any unit, zero or more) and whether it failed then or was still running. */
export type Life = { time: number; failed: boolean }

/**
 * The share still running after each age at which a unit failed. `low` and `high` are the ends of its interval, null
 * after the last unit has failed, where the formulas give none.
 */
export type SurvivalPoint = {
  time: number
  atRisk: number
  events: number
  survival: number
  standardError: number
  low: number | null
  high: number | null
  cumulativeHazard: number
}

/**
 * A survival curve: steps at the ages of failure, in rising order; `n` units, `events` failures, `lastTime` the oldest.
 */
export type SurvivalCurve = {
  kind: 'estimate'
  n: number
  events: number
  level: number
  lastTime: number
  points: SurvivalPoint[]
}

/** How the interval is made: on the survival itself, its logarithm, or the logarithm of its cumulative hazard. */
export type SurvivalInterval = 'plain' | 'log' | 'log-log'

/**
 * Kaplan-Meier estimate of the share of units still running at each age, some lives being unfinished
 * (right-censored). Kaplan and Meier (1958); standard error by Greenwood (1926), on the survival scale; cumulative
 * hazard by Nelson (1969) and Aalen (1978). A unit that was still running at an age at which another failed counts as
 * at risk there.
 *
 * Interval: 'log-log' by default, since it stays within 0 and 1 and keeps its level best with few failures (Borgan and
 * Liestøl 1990; Kalbfleisch and Prentice 2002, section 1.4); 'log' and 'plain' are cut at 1, 'plain' also at 0.
 *
 * `not-enough` counts failures: one is needed. Empty input gives it with n = 0. Throws a RangeError for an age that is
 * negative or not finite, or a level outside 0..1.
 */
export function kaplanMeier(
  lives: readonly Life[],
  options: { level?: number; interval?: SurvivalInterval } = {},
): SurvivalCurve | NotEnough {
  const { level = defaultLevel, interval = 'log-log' } = options
  requireLevel(level)
  requireAges(lives)
  const sorted = [...lives].sort((a, b) => a.time - b.time)
  const failures = sorted.filter((life) => life.failed).length
  if (failures === 0) return notEnough(0, 1)
  const z = normalQuantile((1 + level) / 2)
  const points: SurvivalPoint[] = []
  let survival = 1
  let greenwood = 0
  let cumulativeHazard = 0
  for (let i = 0; i < sorted.length; ) {
    const time = sorted[i]!.time
    const atRisk = sorted.length - i
    let events = 0
    for (; i < sorted.length && sorted[i]!.time === time; i++) if (sorted[i]!.failed) events++
    if (events === 0) continue
    survival *= (atRisk - events) / atRisk
    greenwood += events / (atRisk * (atRisk - events))
    cumulativeHazard += events / atRisk
    const standardError = survival > 0 ? survival * Math.sqrt(greenwood) : 0
    points.push({
      time,
      atRisk,
      events,
      survival,
      standardError,
      ...ends(survival, Math.sqrt(greenwood), z, interval),
      cumulativeHazard,
    })
  }
  const lastTime = sorted[sorted.length - 1]!.time
  return { kind: 'estimate', n: lives.length, events: failures, level, lastTime, points }
}

function ends(
  survival: number,
  relativeError: number,
  z: number,
  interval: SurvivalInterval,
): { low: number | null; high: number | null } {
  if (survival === 0) return { low: null, high: null }
  if (interval === 'plain') {
    const half = z * survival * relativeError
    return { low: Math.max(0, survival - half), high: Math.min(1, survival + half) }
  }
  if (interval === 'log') {
    const factor = Math.exp(z * relativeError)
    return { low: survival / factor, high: Math.min(1, survival * factor) }
  }
  const logSurvival = Math.log(survival)
  const factor = Math.exp((z * relativeError) / -logSurvival)
  return { low: Math.exp(logSurvival * factor), high: Math.exp(logSurvival / factor) }
}

/**
 * The age by which a share p (0..1) of units has failed, read off a survival curve, with the interval that the
 * curve's own band gives (Brookmeyer and Crowley 1982); `high`, and with many ties `low`, is null where that band
 * does not come down to 1 - p. `not-reached` when fewer than p failed within `lastTime`: nothing can be said then but
 * "later than that".
 *
 * Convention: the smallest age at which survival is at or below 1 - p; where the curve runs exactly at 1 - p, the
 * middle of that stretch, as with the median of an even number (R's survfit). "Exactly" allows for rounding (1e-12):
 * R 3.5-3 itself does not, and calls the median of 10 units with 5 failed "not reached".
 */
export function survivalQuantile(
  curve: SurvivalCurve,
  p: number,
):
  | { kind: 'estimate'; value: number; low: number | null; high: number | null; level: number; n: number }
  | { kind: 'not-reached'; lastTime: number; n: number } {
  requireLevel(p)
  const crossing = (height: (point: SurvivalPoint) => number | null): number | null => {
    const goal = 1 - p
    const i = curve.points.findIndex((point) => (height(point) ?? 0) <= goal + 1e-12)
    if (i < 0) return null
    const { time } = curve.points[i]!
    if (Math.abs((height(curve.points[i]!) ?? 0) - goal) > 1e-12) return time
    return (time + (curve.points[i + 1]?.time ?? curve.lastTime)) / 2
  }
  const value = crossing((point) => point.survival)
  const { n, level, lastTime } = curve
  if (value === null) return { kind: 'not-reached', lastTime, n }
  const upperBand = (point: SurvivalPoint): number | null => (point.survival === 0 ? 1 : point.high)
  const lowerBand = (point: SurvivalPoint): number | null => (point.survival === 0 ? 0 : point.low)
  return { kind: 'estimate', value, low: crossing(lowerBand), high: crossing(upperBand), level, n }
}

function requireAges(lives: readonly Life[]): void {
  requireFinite(
    lives.map((life) => life.time),
    'ages',
  )
  const negative = lives.find((life) => life.time < 0)
  if (negative) throw new RangeError(`One of the ages was ${negative.time}; expected zero or more.`)
}
