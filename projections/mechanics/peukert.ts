import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/**
 * Time to empty from Peukert's law as text-books write it, hours: C / I^k. Here C is the Peukert capacity (amps to the
 * power k, times hours: what the battery gives at 1 A), not the capacity on its label; for that use `timeFromRated`.
 * Source: Electrotechnik.net, Peukert law note, 2010 (C 100, k 1.2, 5 A gives 14.5 h).
 */
export function timeFromPeukertCapacity(given: {
  /** A^k h, above 0. */
  peukertCapacity: number
  /** Peukert exponent, 1 to 2. */
  exponent: number
  /** Discharge current, A, above 0. */
  amps: number
}): Outcome<{ hours: number }> {
  const problem = firstProblem([
    { name: 'Peukert capacity', value: given.peukertCapacity, unit: '', above: 0 },
    ...dischargeGiven(given),
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ hours: given.peukertCapacity / given.amps ** given.exponent })
}

/**
 * Time to empty and charge given from Peukert's law in the rated form: t = H (C / (I H))^k. At the rated current it is
 * the rated time by definition.
 * From memory: standard restatement of Peukert's law for a rated capacity. It holds near the rated current and at the
 * temperature of the rating.
 */
export function timeFromRated(given: {
  /** Capacity on the label, A.h, above 0. */
  ratedAmpHours: number
  /** Hours of that rating (20 as a rule), above 0. */
  ratedHours: number
  /** Peukert exponent, 1 to 2. */
  exponent: number
  /** Discharge current, A, above 0. */
  amps: number
}): Outcome<{ hours: number; ampHours: number }> {
  const problem = firstProblem([
    { name: 'rated capacity', value: given.ratedAmpHours, unit: 'A.h', above: 0 },
    { name: 'hours of the rating', value: given.ratedHours, unit: 'h', above: 0 },
    ...dischargeGiven(given),
  ])
  if (problem !== undefined) return refused(problem)
  const hours = given.ratedHours * (given.ratedAmpHours / (given.amps * given.ratedHours)) ** given.exponent
  return settled({ hours, ampHours: hours * given.amps })
}

/**
 * Peukert exponent from two full discharges: ln(t2 / t1) / ln(I1 / I2).
 * Source: Peukert law note, I^k t constant. Two equal currents give no exponent; one below 1 or above 2 is a mistyped
 * figure or a battery that was not full, and is a problem.
 */
export function peukertExponent(
  first: { amps: number; hours: number },
  second: { amps: number; hours: number },
): Outcome<{ exponent: number }> {
  const problem = firstProblem(
    [first, second].flatMap((one) => [
      { name: 'discharge current', value: one.amps, unit: 'A', above: 0 },
      { name: 'discharge time', value: one.hours, unit: 'h', above: 0 },
    ]),
  )
  if (problem !== undefined) return refused(problem)
  if (first.amps === second.amps)
    return refused(
      `Both discharges were at ${first.amps} A; expected two different currents. Discharge once more at another one.`,
    )
  const exponent = Math.log(second.hours / first.hours) / Math.log(first.amps / second.amps)
  const exponentProblem = firstProblem([
    {
      name: 'Peukert exponent from these two discharges',
      value: exponent,
      unit: '',
      atLeast: 1,
      atMost: 2,
      remedy: 'Look whether the battery was full both times and stopped at the same voltage.',
    },
  ])
  return exponentProblem === undefined ? settled({ exponent }) : refused(exponentProblem)
}

function dischargeGiven({ exponent, amps }: { exponent: number; amps: number }) {
  return [
    { name: 'Peukert exponent', value: exponent, unit: '', atLeast: 1, atMost: 2 },
    { name: 'discharge current', value: amps, unit: 'A', above: 0 },
  ]
}
