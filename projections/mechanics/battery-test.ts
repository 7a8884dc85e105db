import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/**
 * Capacity from a constant-current test discharge, per cent of rated: 100 Ha / Ht. Above 100 where the battery gave more
 * than its rating.
 * Source: US Navy NAVEDTRA 14344, lead-acid batteries, test discharge.
 */
export function capacityFromTest(given: {
  /** Hours it lasted to the stated end voltage, 0 or more. */
  actualHours: number
  /** Hours that a new battery lasts at that current, above 0. */
  ratedHours: number
}): Outcome<{ capacityPercent: number }> {
  const problem = firstProblem([
    { name: 'hours lasted', value: given.actualHours, unit: 'h', atLeast: 0 },
    { name: 'hours rated', value: given.ratedHours, unit: 'h', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ capacityPercent: (given.actualHours / given.ratedHours) * 100 })
}

/**
 * Charging time from specific gravity, hours: points needed / (points per amp-hour x amps). A point is 0.001 of specific
 * gravity; points per amp-hour come from this battery's own discharge test.
 * Source: US Navy NAVEDTRA 14344, lead-acid batteries, charging time.
 */
export function chargingTime(given: {
  /** Points still to gain, 0 or more. */
  pointsNeeded: number
  /** Points per A.h, above 0. */
  pointsPerAmpHour: number
  /** Charging rate, A, above 0. */
  amps: number
}): Outcome<{ hours: number }> {
  const problem = firstProblem([
    { name: 'points of specific gravity needed', value: given.pointsNeeded, unit: '', atLeast: 0 },
    { name: 'points per amp-hour', value: given.pointsPerAmpHour, unit: '', above: 0 },
    { name: 'charging rate', value: given.amps, unit: 'A', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ hours: given.pointsNeeded / (given.pointsPerAmpHour * given.amps) })
}

/**
 * Specific gravity as it would read at 80 °F (26.7 °C): SG + 0.004 (T - 80) / 10, T in °F.
 * Source: US Army TM 5-1185, Table IV (column headings inferred): 1.296 at 40 °F equals 1.280 at 80 °F.
 * @param specificGravity as read, 1.0 to 1.4
 * @param electrolyteCelsius -40 to 60
 */
export function correctedSpecificGravity(
  specificGravity: number,
  electrolyteCelsius: number,
): Outcome<{ specificGravityAt80Fahrenheit: number }> {
  const problem = firstProblem([
    {
      name: 'specific gravity',
      value: specificGravity,
      unit: '',
      atLeast: 1,
      atMost: 1.4,
      remedy: 'Write it as on the hydrometer with its decimal point, 1.265 and not 1265.',
    },
    { name: 'electrolyte temperature', value: electrolyteCelsius, unit: '°C', atLeast: -40, atMost: 60 },
  ])
  if (problem !== undefined) return refused(problem)
  const electrolyteFahrenheit = (electrolyteCelsius * 9) / 5 + 32
  return settled({ specificGravityAt80Fahrenheit: specificGravity + (0.004 * (electrolyteFahrenheit - 80)) / 10 })
}
