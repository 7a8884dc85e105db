import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/** A driving and a driven pulley; pitch diameters in mm, above 0. */
export interface PulleyPair {
  /** Revolutions a minute of the driving pulley, 0 or more. */
  driverRpm: number
  driverDiameterMillimetres: number
  drivenDiameterMillimetres: number
}

/**
 * Speed of the driven pulley, rpm: n1 d1 / d2 (1 - s / 100).
 * Source: slip of a belt, engineering notes.
 * @param slipPercent 0 to 100, default 0
 */
export function drivenSpeed(pair: PulleyPair, slipPercent = 0): Outcome<{ drivenRpm: number }> {
  const problem = firstProblem([
    ...pairGiven(pair),
    { name: 'slip', value: slipPercent, unit: '%', atLeast: 0, atMost: 100 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({
    drivenRpm:
      ((pair.driverRpm * pair.driverDiameterMillimetres) / pair.drivenDiameterMillimetres) * (1 - slipPercent / 100),
  })
}

/**
 * Slip as a speed loss, per cent of the speed without slip. Some creep is part of every loaded V-belt. A negative
 * figure means that a diameter or a speed is off, not that the belt gains.
 * Source: slip of a belt, engineering notes: N2 / N1 = d1 / d2 (1 - s / 100).
 * @param drivenRpm measured, 0 or more
 */
export function slipFromSpeeds(
  pair: PulleyPair,
  drivenRpm: number,
): Outcome<{ drivenWithoutSlipRpm: number; slipPercent: number }> {
  const problem = firstProblem([
    ...pairGiven(pair),
    { name: 'driving speed', value: pair.driverRpm, unit: 'rpm', above: 0, remedy: 'Read both speeds while she runs.' },
    { name: 'driven speed', value: drivenRpm, unit: 'rpm', atLeast: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  const drivenWithoutSlipRpm = (pair.driverRpm * pair.driverDiameterMillimetres) / pair.drivenDiameterMillimetres
  return settled({
    drivenWithoutSlipRpm,
    slipPercent: ((drivenWithoutSlipRpm - drivenRpm) / drivenWithoutSlipRpm) * 100,
  })
}

/**
 * Slip of a belt that slips on several pulleys, per cent: 1 - (1 - s1)(1 - s2)...; the plain sum overstates it.
 * No pulleys give 0.
 * Source: slip of a belt, engineering notes: (1 - s1)(1 - s2).
 * @param slipsPercent each 0 to 100
 */
export function combinedSlip(slipsPercent: readonly number[]): Outcome<{ slipPercent: number }> {
  const problem = firstProblem(
    slipsPercent.map((value) => ({ name: 'slip', value, unit: '%', atLeast: 0, atMost: 100 })),
  )
  if (problem !== undefined) return refused(problem)
  return settled({ slipPercent: (1 - slipsPercent.reduce((kept, slip) => kept * (1 - slip / 100), 1)) * 100 })
}

function pairGiven(pair: PulleyPair) {
  return [
    { name: 'driving pulley diameter', value: pair.driverDiameterMillimetres, unit: 'mm', above: 0 },
    { name: 'driven pulley diameter', value: pair.drivenDiameterMillimetres, unit: 'mm', above: 0 },
    { name: 'driving speed', value: pair.driverRpm, unit: 'rpm', atLeast: 0 },
  ]
}
