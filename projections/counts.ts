import { countAt, curveOf } from './meter-hours.ts'
import { milesBetween, passages } from './passages.ts'
import { meterOf, register } from './register.ts'
import { runs, startsBetween } from './runs.ts'
import { fold, type Timeline } from './timeline.ts'

/** What has passed between two moments on a piece of equipment; null where nothing counts it. */
export interface Counted {
  readonly hours: number | null
  readonly miles: number | null
  readonly starts: number | null
}

/**
 * Hours, miles and starts that a piece of equipment ran between two moments, each by the meter it runs on.
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
  const log = [...book.meters.values()].find((one) => one.counts === 'miles')
  const miles =
    log && curveOf(from, log.handle).points.length > 1
      ? between(log.handle)
      : milesBetween(fold(passages, from), since.at, until)
  const state = fold(runs, from)
  const engine = meter?.equipment ?? equipment
  const hasRuns = state.runs.some((run) => run.equipment === engine)
  return {
    hours: meter ? between(meter.handle) : null,
    miles,
    starts: hasRuns ? startsBetween(state, engine, since.at, until) : null,
  }
}
