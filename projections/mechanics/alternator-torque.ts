import { drivenSpeed, type PulleyPair } from './belt-slip.ts'
import type { TensionModel } from './belt-slip-torque.ts'
import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/**
 * Efficiency of a small claw-pole alternator. Common practice, no source; it falls with speed and heat, and the
 * owner's or maker's figure comes first.
 */
export const CLAW_POLE_EFFICIENCY = { low: 0.5, usual: 0.55, high: 0.65 } as const

/** What an alternator gives and what it asks of its belt. */
export interface TorqueAsked {
  alternatorRpm: number
  electricalWatts: number
  mechanicalWatts: number
  torqueAskedNewtonMetres: number
}

/**
 * Torque that an alternator asks at its own pulley, N.m: V I / (efficiency x 2 pi n / 60). No amps ask nothing (the
 * fan and the bearings are left out).
 * Source: elementary physics, P = V I and M = P / omega.
 */
export function torqueAsked(given: {
  /** Volts at the alternator, above 0. */
  volts: number
  /** Amps that the alternator gives, 0 or more; not those of the battery, which lack what is used meanwhile. */
  amps: number
  /** Alternator revolutions a minute, above 0. */
  alternatorRpm: number
  /** Electrical over mechanical power, above 0 and at most 1; default `CLAW_POLE_EFFICIENCY.usual`. */
  efficiency?: number
}): Outcome<TorqueAsked> {
  const efficiency = given.efficiency ?? CLAW_POLE_EFFICIENCY.usual
  const problem = firstProblem([
    { name: 'voltage', value: given.volts, unit: 'V', above: 0 },
    { name: 'current', value: given.amps, unit: 'A', atLeast: 0 },
    { name: 'alternator efficiency', value: efficiency, unit: '', above: 0, atMost: 1 },
    {
      name: 'alternator speed',
      value: given.alternatorRpm,
      unit: 'rpm',
      above: 0,
      remedy: 'A stopped alternator asks nothing; take the reading while she runs.',
    },
  ])
  if (problem !== undefined) return refused(problem)
  const electricalWatts = given.volts * given.amps
  const mechanicalWatts = electricalWatts / efficiency
  return settled({
    alternatorRpm: given.alternatorRpm,
    electricalWatts,
    mechanicalWatts,
    torqueAskedNewtonMetres: mechanicalWatts / ((2 * Math.PI * given.alternatorRpm) / 60),
  })
}

/**
 * The same from the engine's speed and the two pulleys, slip taken as nil.
 * @param pair the crank pulley drives, the alternator pulley is driven; see `PulleyPair`
 */
export function torqueAskedAtEngineSpeed(
  pair: PulleyPair,
  given: { volts: number; amps: number; efficiency?: number },
): Outcome<TorqueAsked> {
  const driven = drivenSpeed(pair)
  if (!driven.ok) return driven
  return torqueAsked({ ...given, alternatorRpm: driven.drivenRpm })
}

/** Where a slip torque came from: checked at the pulley nut, or reckoned by one of the two models. */
export type SlipTorqueBasis = 'checked' | TensionModel['model']

/**
 * "In hand": slip torque over torque asked, at one speed and output. A static figure, for comparing one check with the
 * last on the same drive: it leaves out shock, heat, misalignment and the rest of the belt's load, and has no value at
 * which a belt begins to slip.
 * Both torques at the same pulley, N.m: slip torque 0 or more, torque asked above 0.
 */
export function inHand(given: {
  slipTorqueNewtonMetres: number
  basis: SlipTorqueBasis
  torqueAskedNewtonMetres: number
}): Outcome<{ inHandRatio: number; basis: SlipTorqueBasis; says: string }> {
  const problem = firstProblem([
    { name: 'slip torque', value: given.slipTorqueNewtonMetres, unit: 'N.m', atLeast: 0 },
    {
      name: 'torque asked',
      value: given.torqueAskedNewtonMetres,
      unit: 'N.m',
      above: 0,
      remedy: 'With no output nothing is asked, and there is nothing to compare with.',
    },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({
    inHandRatio: given.slipTorqueNewtonMetres / given.torqueAskedNewtonMetres,
    basis: given.basis,
    says: 'A static figure, an aid to compare one check with the last on this drive.',
  })
}
