import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/**
 * Hours and days until a service that goes by hours falls due, at a steady rate of use. Both are negative when it is
 * overdue: how far, and how long ago at that rate. A point figure; it says nothing of how steady the use is.
 * Source: arithmetic.
 */
export function serviceDue(given: {
  /** Meter at the last service, h, 0 or more. */
  lastHours: number
  /** Interval, h, above 0. */
  everyHours: number
  /** Meter now, h, no less than at the last service. */
  nowHours: number
  /** Mean use, hours a day, above 0. */
  hoursPerDay: number
}): Outcome<{ leftHours: number; leftDays: number }> {
  const problem = firstProblem([
    { name: 'hours at the last service', value: given.lastHours, unit: 'h', atLeast: 0 },
    { name: 'interval', value: given.everyHours, unit: 'h', above: 0 },
    {
      name: 'hours now',
      value: given.nowHours,
      unit: 'h',
      atLeast: given.lastHours,
      remedy: 'Use the running-hours curve, which carries on through a replaced meter.',
    },
    {
      name: 'use',
      value: given.hoursPerDay,
      unit: 'hours a day',
      above: 0,
      remedy: 'While she does not run, no date can be told from the hours.',
    },
  ])
  if (problem !== undefined) return refused(problem)
  const leftHours = given.lastHours + given.everyHours - given.nowHours
  return settled({ leftHours, leftDays: leftHours / given.hoursPerDay })
}
