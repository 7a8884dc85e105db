import { normalCdf, normalDensity } from '../statistics/normal.ts'
import { causes, type Weights } from './causes.ts'
import type { Drive } from './drives.ts'
import type { Observation } from './observation.ts'
import { curveVariance, expectedLog, lostBySlip, type OutputCurve, readingVariance } from './output-curve.ts'

/** A reading of the charging output. */
export type Output = Extract<Observation['what'], { kind: 'output' }>

/** The voltage at which the regulator begins to hold back, of a 12-volt bank, as learnt so far. */
export interface SetPoint {
  readonly volts: number
  readonly variance: number
}

/** Set-points before any reading: the low end of what is met for each battery (SET_POINTS_AT_25_CELSIUS), a fifth of a volt of doubt. */
export function usualSetPoint(battery: Drive['battery']): SetPoint {
  const volts =
    battery === 'gel' ? 14.1 : battery === 'lithium iron phosphate' || battery === 'other lithium' ? 14.2 : 14.3
  return { volts, variance: 0.2 ** 2 }
}

/** Learns the set-point from volts while the owner calls it absorption, or from volts that no bulk charging shows. */
export function learnSetPoint(known: SetPoint, { stage, volts }: Output): SetPoint {
  if (volts === null || volts < 13.6 || volts > 15.2) return known
  const held = stage === 'absorption'
  if (!held && volts <= known.volts) return known
  // A slip of the pen names the wrong stage now and then: volts far off what is known count for less.
  const noise = (held ? 0.12 : 0.3) ** 2 + (Math.abs(volts - known.volts) > 0.5 ? 0.3 : 0)
  const gain = known.variance / (known.variance + noise)
  return {
    volts: known.volts + gain * (volts - known.volts),
    // It is moved by the owner, by temperature, by another regulator: never taken for certain.
    variance: Math.max(0.05 ** 2, (1 - gain) * known.variance),
  }
}

/**
 * The chance that the alternator was the limit, 0 to 1, and not the battery, the regulator or another source: only then do the amps say
 * anything of belt or alternator.
 */
export function limitedByAlternator(reading: Output, setPoint: SetPoint, drive: Drive): number {
  const { stage, volts, others, readAt, minutes } = reading
  if (stage === 'off') return 0
  let odds = 0.35
  // Owners name the wrong stage about one time in twenty.
  if (stage === 'bulk') odds *= 12
  if (stage === 'absorption' || stage === 'float') odds /= 20
  if (volts !== null) {
    const spread = Math.sqrt(setPoint.variance + 0.08 ** 2)
    const below = normalCdf((setPoint.volts - 0.1 - volts) / spread)
    // Below 12.2 V of rest nothing is being charged at all; above 15 V a figure is wrong.
    const bulk = volts > 15.2 || volts < 11.5 ? 0.02 : below
    odds *= Math.max(0.02, bulk) / Math.max(0.03, 1 - bulk)
  }
  // At the battery's gauge other sources are in the figure, and what else is running is out of it.
  if (readAt === 'battery' && others === true) odds *= 0.25
  if (readAt === null && others === true) odds *= 0.4
  if (drive.solar && readAt !== 'alternator' && others === null) odds *= 0.7
  // Regulators wait a little, and hold a hot alternator back.
  if (minutes !== null && minutes < 3) odds *= 0.3
  if (minutes !== null && minutes > 40) odds *= 0.5
  if (minutes === null) odds *= 0.8
  return odds / (1 + odds)
}

/** From this chance on a reading is judged. */
export const judgedFrom = 0.3

/** A judged reading: how its amps stand to what was expected, and what each cause would say to that. */
export interface OutputEvidence {
  readonly weights: Weights
  /** Amps over amps expected. */
  readonly share: number
  /** The chance that the alternator was the limit. */
  readonly limited: number
  /** Variance with which the curve may learn from it. */
  readonly variance: number
}

/** Where the alternator was not the limit the amps may be anything below: an even density of the logarithm, from a tenth to all of it. */
const anything = 1 / 2.3

/** What a reading says, or null where it says nothing: no amps, no speed, or another limit than the alternator. */
export function outputEvidence(
  reading: Output,
  curve: OutputCurve,
  setPoint: SetPoint,
  drive: Drive,
): OutputEvidence | null {
  const { amps, rpm, minutes } = reading
  if (amps === null || rpm === null || amps < 1 || rpm < 700) return null
  const limited = limitedByAlternator(reading, setPoint, drive)
  if (limited < judgedFrom) return null
  // Amps of the battery lack what is used aboard meanwhile, some amps more or less.
  const extra = reading.readAt === 'alternator' ? 0 : 3 / Math.max(8, amps)
  const variance = readingVariance(curve, rpm, minutes, amps, extra)
  const spread = Math.sqrt(variance + curveVariance(curve, rpm, minutes))
  const off = Math.log(amps) - expectedLog(curve, rpm, minutes)
  const likelihood = (shift: number): number => {
    const below = Math.min(spread * 1.5, 0.1)
    const sd = shift === 0 ? spread : Math.sqrt(spread ** 2 + below ** 2)
    return limited * (normalDensity((off - shift) / sd) / sd) + (1 - limited) * anything
  }
  const well = likelihood(0)
  return {
    weights: causes.map(({ slip, output }) =>
      slip === 0 && output === 0
        ? 0
        : Math.log(likelihood(output + (slip === 0 ? 0 : lostBySlip(curve, rpm, minutes, slip))) / well),
    ),
    share: Math.exp(off),
    limited,
    variance: variance / limited ** 2,
  }
}

/**
 * Whether there is no output at all while the engine turns it: at once a matter for the owner, whatever the sums say. Needs amps of nearly nothing and
 * volts of a battery that nothing charges (10.5 to 12.9 V), so that a full bank or another source is not taken for it.
 */
export function outputGone({ amps, volts, rpm, minutes, stage, others }: Output, expectedAmps: number): boolean {
  if (amps === null || volts === null || stage === 'off' || stage === 'float') return false
  if ((rpm !== null && rpm < 900) || (minutes !== null && minutes < 3)) return false
  return amps <= Math.max(2, 0.04 * expectedAmps) && volts >= 10.5 && volts <= 12.9 && others !== true
}
