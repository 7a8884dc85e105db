import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/** Sea water, round figures, no source: kg/L and kJ/(kg K). */
export const SEA_WATER = { kilogramsPerLitre: 1.025, kilojoulesPerKilogramKelvin: 3.99 } as const

/**
 * Heat that the raw water carries off, kW: flow x density x heat capacity x rise.
 * Source: elementary physics.
 */
export function heatToRawWater(given: {
  /** Flow, L/min, 0 or more. */
  litresPerMinute: number
  /** Outlet less sea temperature, K; negative where the water leaves colder than it came. */
  riseKelvin: number
  /** kg/L, above 0; default `SEA_WATER.kilogramsPerLitre`. */
  kilogramsPerLitre?: number
  /** kJ/(kg K), above 0; default `SEA_WATER.kilojoulesPerKilogramKelvin`. */
  kilojoulesPerKilogramKelvin?: number
}): Outcome<{ kilowatts: number }> {
  const density = given.kilogramsPerLitre ?? SEA_WATER.kilogramsPerLitre
  const heatCapacity = given.kilojoulesPerKilogramKelvin ?? SEA_WATER.kilojoulesPerKilogramKelvin
  const problem = firstProblem([
    { name: 'raw-water flow', value: given.litresPerMinute, unit: 'L/min', atLeast: 0 },
    { name: 'temperature rise', value: given.riseKelvin, unit: 'K', above: -100, below: 100 },
    { name: 'water density', value: density, unit: 'kg/L', above: 0 },
    { name: 'heat capacity', value: heatCapacity, unit: 'kJ/(kg.K)', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ kilowatts: (given.litresPerMinute / 60) * density * heatCapacity * given.riseKelvin })
}
