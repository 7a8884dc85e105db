import type { Entry } from '../../events/index.ts'
import type { Work } from '../../events/works.ts'
import { tensionKept } from '../mechanics/belt-relaxation.ts'
import type { AsOf, Timeline } from '../timeline.ts'
import { causes, type SignKind } from './causes.ts'
import { type DriveState, raisedAt } from './drive-state.ts'
import type { Drive } from './drives.ts'
import type { Dust, Tension } from './observation.ts'
import { expectedLog } from './output-curve.ts'
import { judgedFrom, limitedByAlternator } from './output-evidence.ts'
import type { Watched } from './recording.ts'
import { hoursOf, recordingOf } from './signs.ts'

/** A point of a drive's record: the entry that it opens to. */
export interface RecordPoint {
  readonly entry: string
  readonly at: number
  readonly occurredAt: string
  /** By the hours curve; null where no meter counts them. */
  readonly engineHours: number | null
}

/** All that the evidence of one drive is drawn from, in the order in which it happened. */
export interface DriveRecord {
  readonly drive: Drive
  /** Readings with amps. `expectedAmps` is what the curve of that moment expected; null without an engine speed. */
  readonly outputs: readonly (RecordPoint & {
    readonly amps: number
    readonly volts: number | null
    readonly rpm: number | null
    readonly minutes: number | null
    readonly expectedAmps: number | null
    /** Amps over those expected. */
    readonly share: number | null
    /** False: the battery, the regulator or another source set the amps ("absorption, not judged"). */
    readonly judged: boolean
  })[]
  readonly dust: readonly (RecordPoint & { readonly grade: Dust; readonly wiped: boolean | null })[]
  /** Checks of tension, each with the figure that the belt should have kept by then; null where there is nothing to hold it against. */
  readonly tensions: readonly (RecordPoint & Tension & { readonly expected: number | null })[]
  readonly works: readonly (RecordPoint & { readonly on: 'belt' | 'alternator'; readonly work: Work | 'fitted' })[]
  /** After each entry that was weighed: the largest sum of each kind over what raises a sign, 1 being there. */
  readonly sums: readonly (RecordPoint & { readonly of: Readonly<Record<SignKind, number>> })[]
  /** What she gives when all is well, as now learnt, hot: amps by engine speed; empty while fewer than four readings teach it. */
  readonly healthy: readonly { readonly rpm: number; readonly amps: number }[]
}

/** From so many readings on the learnt curve is worth drawing. */
const enough = 4

/** Minutes after which an alternator is hot. */
const hot = 30

/**
 * The record of every drive aboard. An empty book has none.
 * @param entries all entries of the book, in any order
 * @param from the fair log at the same past
 */
export const driveRecords = (entries: readonly Entry[], from: Timeline, past: AsOf = {}): DriveRecord[] =>
  recordingOf(entries, past)
    .drives()
    .map((watched) => recordOf(watched, hoursOf(from, watched.drive)))

function recordOf(
  { drive, state, states, observations }: Watched,
  hoursAt: (at: number, root?: string) => number | null,
): DriveRecord {
  const record = {
    outputs: [] as DriveRecord['outputs'][number][],
    dust: [] as DriveRecord['dust'][number][],
    tensions: [] as DriveRecord['tensions'][number][],
    works: [] as DriveRecord['works'][number][],
    sums: [] as DriveRecord['sums'][number][],
  }
  observations.forEach(({ root, at, occurredAt, what }, index) => {
    const before = states[index]!
    const after = states[index + 1]!
    const point = (): RecordPoint => ({ entry: root, at, occurredAt, engineHours: hoursAt(at, root) })
    if (what.kind === 'output' && what.amps !== null) {
      const expectedAmps = what.rpm === null ? null : Math.exp(expectedLog(before.curve, what.rpm, what.minutes))
      record.outputs.push({
        ...point(),
        amps: what.amps,
        volts: what.volts,
        rpm: what.rpm,
        minutes: what.minutes,
        expectedAmps,
        share: expectedAmps === null ? null : what.amps / expectedAmps,
        judged: what.rpm !== null && limitedByAlternator(what, before.setPoint, drive) >= judgedFrom,
      })
    }
    if (what.kind === 'look') {
      if (what.dust !== null) record.dust.push({ ...point(), grade: what.dust, wiped: what.wiped })
      if (what.tension !== null)
        record.tensions.push({ ...point(), ...what.tension, expected: expectedTension(before, after, what.tension) })
    }
    if (what.kind === 'work') record.works.push({ ...point(), on: what.on, work: what.work })
    if (what.kind === 'fitted') record.works.push({ ...point(), on: what.on, work: 'fitted' })
    if (after.sums !== before.sums) record.sums.push({ ...point(), of: sumsOf(after) })
  })
  const healthy =
    state.curve.n < enough
      ? []
      : Array.from({ length: 19 }, (_, index) => 1000 + 100 * index).map((rpm) => ({
          rpm,
          amps: Math.exp(expectedLog(state.curve, rpm, hot)),
        }))
  return { drive, ...record, healthy }
}

function expectedTension(before: DriveState, after: DriveState, check: Tension): number | null {
  const { tension } = before
  if (tension === null || tension.by !== check.by) return null
  const hoursSince = Math.max(0, after.run.hours - tension.hours)
  const kept = tensionKept({ beltHoursWhenTensioned: tension.beltHours, hoursSince })
  return kept.ok ? tension.value * kept.shareKept : null
}

const sumsOf = ({ sums }: DriveState): Record<SignKind, number> => {
  const largest = (kind: SignKind) =>
    Math.max(...sums.map(({ value }, i) => (causes[i]!.kind === kind ? value : 0))) / raisedAt[kind]
  return { 'belt-slip': largest('belt-slip'), 'charging-low': largest('charging-low') }
}
