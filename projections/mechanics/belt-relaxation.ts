import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/** How a belt loses tension with running hours. Settings: the owner's own checks are better than the defaults. */
export interface Relaxation {
  /** Share of tension lost in running in, 0 or more and below 1. */
  runInLoss: number
  /** Hours in which the running-in loss falls to about a third (1 / e) of what was left of it, above 0. */
  runInHours: number
  /** Hours in which the slow loss (stretch, wear into the groove) takes tension down to 1 / e, above 0. */
  slowHours: number
}

/**
 * Defaults. The running-in loss of a third is the ratio of new to used deflection force, 1.5, in the industrial belt
 * installation guide's Table 5 (2015). Three running-in hours are chosen so that nine tenths of that loss are over
 * by the published second looks at a new belt, 2 and 4 h (US Army TM 55-1930-209-14&P-19, Table 3-3) and 8 h
 * (MIL-HDBK-1164, 6.7.1). The slow loss is from memory, no source.
 */
export const USUAL_RELAXATION: Relaxation = { runInLoss: 1 / 3, runInHours: 3, slowHours: 2000 }

/**
 * Share of its tension that a belt still has, above 0 and at most 1: g(then + run) / g(then), with
 * g(h) = (1 - a + a exp(-h / running-in hours)) exp(-h / slow hours). Fast while the belt is new, slow afterwards; a used
 * belt that is tensioned again starts on the slow part. Rest, heat and slip are left out. The form is our own choice.
 */
export function tensionKept(given: {
  /** Hours the belt had run when it was tensioned, 0 or more (0 for a new belt). */
  beltHoursWhenTensioned: number
  /** Hours run since, 0 or more. */
  hoursSince: number
  /** Default `USUAL_RELAXATION`. */
  relaxation?: Relaxation
}): Outcome<{ shareKept: number }> {
  const relaxation = given.relaxation ?? USUAL_RELAXATION
  const problem = firstProblem([
    { name: "belt's hours when tensioned", value: given.beltHoursWhenTensioned, unit: 'h', atLeast: 0 },
    { name: 'hours since', value: given.hoursSince, unit: 'h', atLeast: 0 },
    { name: 'running-in loss', value: relaxation.runInLoss, unit: '', atLeast: 0, below: 1 },
    { name: 'running-in hours', value: relaxation.runInHours, unit: 'h', above: 0 },
    { name: 'slow hours', value: relaxation.slowHours, unit: 'h', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  const runIn = (hours: number) =>
    1 - relaxation.runInLoss + relaxation.runInLoss * Math.exp(-hours / relaxation.runInHours)
  const then = given.beltHoursWhenTensioned
  return settled({
    shareKept: (runIn(then + given.hoursSince) / runIn(then)) * Math.exp(-given.hoursSince / relaxation.slowHours),
  })
}
