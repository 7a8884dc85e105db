import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/**
 * Exponents of power against engine speed with a fixed propeller. `cube`: propeller-law note for marine engineers, 2025.
 * `smallCraft`: propeller power curve article citing a propeller handbook. A boat's own log is better than either.
 */
export const PROPELLER_EXPONENT = { cube: 3, smallCraft: 2.7 } as const

/**
 * Power that a fixed propeller takes at another engine speed: P2 = P1 (n2 / n1)^exponent. Same hull, loading and sea;
 * `fraction` is P2 / P1.
 * Source: as for `PROPELLER_EXPONENT`.
 */
export function propellerPower(given: {
  /** Power at the known speed, kW, above 0. */
  knownKilowatts: number
  /** The known speed, rpm, above 0. */
  knownRpm: number
  /** The speed asked about, rpm, 0 or more. */
  rpm: number
  /** 1 to 4; default `PROPELLER_EXPONENT.cube`. */
  exponent?: number
}): Outcome<{ kilowatts: number; fraction: number }> {
  const exponent = given.exponent ?? PROPELLER_EXPONENT.cube
  const problem = firstProblem([
    { name: 'known power', value: given.knownKilowatts, unit: 'kW', above: 0 },
    { name: 'known engine speed', value: given.knownRpm, unit: 'rpm', above: 0 },
    { name: 'engine speed', value: given.rpm, unit: 'rpm', atLeast: 0 },
    { name: 'propeller exponent', value: exponent, unit: '', atLeast: 1, atMost: 4 },
  ])
  if (problem !== undefined) return refused(problem)
  const fraction = (given.rpm / given.knownRpm) ** exponent
  return settled({ kilowatts: given.knownKilowatts * fraction, fraction })
}
