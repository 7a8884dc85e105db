import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/**
 * Volume resistivity of standard annealed copper at 20 °C, ohm mm²/m.
 * Source: NBS Handbook 100, Copper Wire Tables, Part I 1.1, 1966 (100 % IACS).
 */
export const COPPER_OHM_SQUARE_MILLIMETRES_PER_METRE = 0.017241

/** Temperature coefficient of copper's resistance at 20 °C, per K. Source: industrial power engineering handbook, p. 970. */
export const COPPER_PER_KELVIN = 0.00393

/**
 * Resistance of a copper conductor at 20 °C and the voltage lost in it: R = rho L / A, V = R I. Joints and terminals are
 * left out, and are often the larger part of a loss that is measured.
 * Source: NBS Handbook 100, Copper Wire Tables, for rho.
 */
export function voltDrop(given: {
  /** Both legs together, m, above 0. */
  lengthBothWaysMetres: number
  /** mm², above 0. */
  areaSquareMillimetres: number
  /** A, 0 or more. */
  amps: number
  /** Volts of the system, above 0, of which the share is reckoned. */
  systemVolts: number
}): Outcome<{ ohms: number; dropVolts: number; dropPercent: number }> {
  const problem = firstProblem([
    { name: 'length there and back', value: given.lengthBothWaysMetres, unit: 'm', above: 0 },
    { name: 'conductor area', value: given.areaSquareMillimetres, unit: 'mm²', above: 0 },
    { name: 'current', value: given.amps, unit: 'A', atLeast: 0 },
    { name: 'system voltage', value: given.systemVolts, unit: 'V', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  const ohms = (COPPER_OHM_SQUARE_MILLIMETRES_PER_METRE * given.lengthBothWaysMetres) / given.areaSquareMillimetres
  const dropVolts = ohms * given.amps
  return settled({ ohms, dropVolts, dropPercent: (dropVolts / given.systemVolts) * 100 })
}

/**
 * Smallest conductor for a voltage drop in circular mils: 10.75 I L / E, L both ways in feet. For the drop alone: heating,
 * bundling, insulation and fuse are another matter, for the rules in force and a licensed electrician.
 * From memory: ABYC E-11, DC conductor sizing, CM = K I L / E with K = 10.75.
 */
export function conductorForDrop(given: {
  /** A, above 0. */
  amps: number
  /** Both legs together, feet, above 0. */
  lengthBothWaysFeet: number
  /** Drop allowed, V, above 0. */
  allowedDropVolts: number
}): Outcome<{ circularMils: number }> {
  const problem = firstProblem([
    { name: 'current', value: given.amps, unit: 'A', above: 0 },
    { name: 'length there and back', value: given.lengthBothWaysFeet, unit: 'ft', above: 0 },
    { name: 'drop allowed', value: given.allowedDropVolts, unit: 'V', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ circularMils: (10.75 * given.amps * given.lengthBothWaysFeet) / given.allowedDropVolts })
}

/**
 * Resistance of copper at another temperature, ohms: R20 (1 + alpha (T - 20)).
 * Source: industrial power engineering handbook, p. 970, for alpha; NBS Handbook 100 for copper at 20 °C.
 * @param ohmsAt20Celsius above 0
 * @param celsius -100 to 200, where the straight line serves
 */
export function copperResistance(ohmsAt20Celsius: number, celsius: number): Outcome<{ ohms: number }> {
  const problem = firstProblem([
    { name: 'resistance at 20 °C', value: ohmsAt20Celsius, unit: 'ohm', above: 0 },
    { name: 'conductor temperature', value: celsius, unit: '°C', atLeast: -100, atMost: 200 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ ohms: ohmsAt20Celsius * (1 + COPPER_PER_KELVIN * (celsius - 20)) })
}
