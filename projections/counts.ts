import { countAt, curveOf } from './meter-hours.ts'
import { milesBetween, milesOf, passages } from './passages.ts'
import { distanceLog, lineage, meterOf, register } from './register.ts'
import { runs, startsBetween } from './runs.ts'
import { fold, type Timeline } from './timeline.ts'

/** What has passed between two moments on a piece of equipment; null where nothing counts it. */
export interface Counted {
  readonly hours: number | null
  readonly miles: number | null
  readonly starts: number | null
}

/**
 * Hours, miles and starts that a piece of equipment ran between two moments: hours by the meter it runs on, miles by the distance log or else
 * by the passages, starts by the runs of the engine that it is, or is part of, or runs with.
 * @param since.root the entry that marks the beginning, whose own hours count where it carries them
 * @param untilRoot the entry that marks the end, likewise
 */
export function countedBetween(
  from: Timeline,
  equipment: string,
  since: { at: number; root?: string },
  until: number,
  untilRoot?: string,
): Counted {
  const book = fold(register, from)
  const meter = meterOf(book, equipment, 'hours')
  const between = (handle: string): number | null => {
    const curve = curveOf(from, handle)
    const start = countAt(curve, since.at, since.root)
    const end = countAt(curve, until, untilRoot)
    return start === null || end === null ? null : Math.max(0, end - start)
  }
  const log = distanceLog(book)
  const sailed = fold(passages, from)
  const miles =
    log && curveOf(from, log.handle).points.length > 1
      ? between(log.handle)
      : sailed.passages.some((passage) => milesOf(passage) !== null)
        ? milesBetween(sailed, since.at, until)
        : null
  const engine = engineOf(from, equipment)
  return {
    hours: meter ? between(meter.handle) : null,
    miles,
    starts: engine === undefined ? null : startsBetween(fold(runs, from), engine, since.at, until),
  }
}

/** The engine that a piece of equipment is, or is part of, or runs with, if starts of it are written; else undefined. */
export function engineOf(from: Timeline, equipment: string): string | undefined {
  const state = fold(runs, from)
  return lineage(fold(register, from), equipment).find((handle) => state.runs.some((run) => run.equipment === handle))
}
