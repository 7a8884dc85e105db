import type { Quantity } from '../events/define.ts'
import { convert } from '../events/units.ts'
import {
  type Believed,
  believe,
  inOrder,
  isJump,
  type Mark,
  type MeterRules,
  mostBetween,
  stepBetween,
  type Usual,
  usualOf,
} from './believed-readings.ts'
import type { Figure } from './figure.ts'
import { passages } from './passages.ts'
import { distanceLog, lineage, type Meter, meterOf, type Register, register } from './register.ts'
import { runs } from './runs.ts'
import { fold, isDay, type Projection, type Timeline, type Told } from './timeline.ts'

/**
 * Running hours: one curve for each meter, through replacement, roll-over and mistyped readings. Miles of the distance log and
 * pump cycles run through the same curve.
 */

/** A point of the curve: a reading that is believed. */
export interface CurvePoint {
  readonly at: number
  /** Counted through replacements and roll-over; hours, nautical miles or cycles. */
  readonly count: number
  readonly reading: number
  readonly root: string
  /** Which of `fittings` of the curve showed it. */
  readonly fitting: number
}

/** A reading that is kept in the log but not believed, with the reason in a sentence. */
export interface Doubted {
  readonly root: string
  readonly at: number
  readonly reading: number
  readonly problem: string
}

/** One meter in its place, from its fitting or the replacement of the one before. */
export interface Fitting {
  /** From when; the first holds for what is older too. */
  readonly at: number
  readonly kind: Meter['kind'] | null
  readonly rollsOverAt: number | null
}

/** The curve of one meter. */
export interface Curve {
  readonly meter: string
  readonly points: readonly CurvePoint[]
  readonly doubted: readonly Doubted[]
  /** Readings from which on the meter must have been another one, though nobody wrote that it was changed. */
  readonly unwritten: readonly Doubted[]
  readonly fittings: readonly Fitting[]
  /** What is usual from one reading to the next; null while too little is known, and for meters that count no hours. */
  readonly usual: Usual | null
  /** The count as it went between the points, by the runs and passages in between: corners of a line, in order. */
  readonly line: readonly { readonly at: number; readonly count: number }[]
}

/** What a reading is a reading of: a meter by name, the meter on which equipment runs, the distance log, the counter of a pump. */
interface Reading {
  readonly of: 'meter' | 'runs on' | 'distance log' | 'pump counter'
  readonly handle: string
  readonly at: number
  readonly day: boolean
  readonly root: string
  readonly reading: number
  readonly confirmed: boolean
}

/** A meter begins to count from a figure: it was fitted, replaced, or, the counter of a pump, set back. */
interface Change {
  readonly of: 'meter' | 'pump counter'
  readonly handle: string
  readonly at: number
  readonly day: boolean
  readonly root: string
  /** Described anew in its place; otherwise the count goes on with another meter, or the same one set back. */
  readonly fitted: boolean
  /** What the one before last showed, where somebody could read it. */
  readonly last: number | undefined
  readonly first: number
  readonly kind: Meter['kind'] | undefined
  readonly rollsOverAt: number | undefined
}

interface MeterState {
  /** Changes of all meters, in order. */
  readonly changes: Change[]
  readonly readings: Reading[]
}

const push = (
  state: MeterState,
  entry: Told,
  of: Reading['of'],
  handle: string,
  reading: number,
  confirmed = false,
): void => {
  state.readings.push({ of, handle, at: entry.at, day: isDay(entry.occurredAt), root: entry.root, reading, confirmed })
}

const change = (state: MeterState, entry: Told, what: Omit<Change, 'at' | 'day' | 'root'>): void => {
  state.changes.push({ ...what, at: entry.at, day: isDay(entry.occurredAt), root: entry.root })
}

const inHours = ({ value, unit }: Quantity): number => convert(value, unit, 'h')

const readOn = (
  state: MeterState,
  entry: Told<'engine-started' | 'engine-stopped' | 'readings-taken' | 'service-done'>,
): void => {
  const { equipment, hours, confirmed } = entry.data
  if (hours !== undefined) push(state, entry, 'runs on', equipment, inHours(hours), confirmed)
}

const readLog = (state: MeterState, entry: Told<'passage-begun' | 'passage-ended'>): void => {
  const log = entry.data.distanceLog
  if (log !== undefined) push(state, entry, 'distance log', '', convert(log.value, log.unit, '[nmi_i]'))
}

const meterReadings: Projection<MeterState> = {
  initial: () => ({ changes: [], readings: [] }),
  on: {
    'meter-fitted': (state, entry) => {
      const { meter, reading, kind, rollsOverAt } = entry.data
      change(state, entry, {
        of: 'meter',
        handle: meter,
        fitted: true,
        last: undefined,
        first: reading,
        kind,
        rollsOverAt,
      })
    },
    'meter-replaced': (state, entry) => {
      const { meter, last, first, kind, rollsOverAt } = entry.data
      change(state, entry, { of: 'meter', handle: meter, fitted: false, last, first, kind, rollsOverAt })
    },
    'hours-read': (state, entry) => {
      const { meter, reading, confirmed } = entry.data
      push(state, entry, 'meter', meter, inHours(reading), confirmed)
    },
    'engine-started': readOn,
    'engine-stopped': readOn,
    'readings-taken': readOn,
    'service-done': readOn,
    'passage-begun': readLog,
    'passage-ended': readLog,
    'check-made': (state, entry) => {
      const { equipment, bilgeCount, counterReset } = entry.data
      if (counterReset)
        change(state, entry, {
          of: 'pump counter',
          handle: equipment,
          fitted: false,
          last: undefined,
          first: bilgeCount ?? 0,
          kind: undefined,
          rollsOverAt: undefined,
        })
      else if (bilgeCount !== undefined) push(state, entry, 'pump counter', equipment, bilgeCount)
    },
  },
}

const hourMs = 3_600_000

/** A calendar day lasts 25 hours when the clocks go back. */
const longestDay = 25 * hourMs

/** The most that a meter can count in an hour of the clock: hours, nautical miles (no cruising yacht makes 30 knots), pump cycles (one a second). */
const fastest: Record<Meter['counts'], number> = { hours: 1, miles: 30, cycles: 3600 }

/** What a clock aboard may be wrong by, in the meter's own count. */
const slack: Record<Meter['counts'], number> = { hours: 0.25, miles: 5, cycles: 0 }

/** A revolution counter shows hours at its rated speed and may run a little ahead of the clock. Common practice, no source. */
const revolutionsAhead = 1.3

/** What was written when a meter was fitted or replaced outweighs two readings, not three. */
const firm = 2.4

/** A reading that was questioned and confirmed takes more than three others to outweigh it. */
const confirmedWeight = 3

const rulesOf = (counts: Meter['counts'], { kind, rollsOverAt }: Fitting): MeterRules => ({
  rate: fastest[counts] * (kind === 'revolution counting' ? revolutionsAhead : 1),
  slack: slack[counts],
  rollsOverAt,
})

const curves = new WeakMap<Timeline, Map<string, Curve>>()

/** The curve of a meter, in its own count (hours, nautical miles, cycles); a meter that the book does not know has no points. */
export function curveOf(from: Timeline, meter: string): Curve {
  let made = curves.get(from)
  if (!made) {
    made = new Map()
    curves.set(from, made)
  }
  let curve = made.get(meter)
  if (!curve) {
    curve = makeCurve(from, meter)
    made.set(meter, curve)
  }
  return curve
}

function makeCurve(from: Timeline, handle: string): Curve {
  const book = fold(register, from)
  const { changes, readings } = fold(meterReadings, from)
  const meter = book.meters.get(handle)
  if (!meter) return { meter: handle, points: [], doubted: [], unwritten: [], fittings: [], usual: null, line: [] }
  const { counts } = meter
  const use = useOf(from, meter)
  const marks = readings.filter((one) => meterRead(book, one)?.handle === handle).map(markOf)
  const parts = partsOf(
    changes.filter((one) => meterRead(book, one)?.handle === handle || (one.of === 'meter' && one.handle === handle)),
    marks,
    counts,
  ).map(({ fitting, marks: own }) => ({ fitting, marks: inOrder(own, fitting.rollsOverAt, use.last) }))
  const usual =
    counts === 'hours'
      ? usualOf(parts.flatMap(({ fitting, marks: own }) => believe(own, rulesOf(counts, fitting), null).believed))
      : null

  const points: CurvePoint[] = []
  const doubted: Doubted[] = []
  const unwritten: Doubted[] = []
  const shown = (reading: number) => shownCount(reading, counts)
  const first = meter.fitted.data.alreadyRun ?? 0
  // The count as the meters have it; where rounding makes it go back a little, the curve stays where it was.
  let running: number | null = null
  parts.forEach(({ fitting, marks: own }, index) => {
    const solved = believe(own, rulesOf(counts, fitting), usual)
    for (const { mark, gain } of solved.believed) {
      const before = points[points.length - 1]
      const at = before ? Math.max(before.at, mark.at) : mark.at
      if (running === null) running = first + mark.reading
      else running += gain ?? use.hoursRun(before!.at, at)
      if (gain === null && before?.fitting === index)
        unwritten.push({
          root: mark.root,
          at,
          reading: mark.reading,
          problem: `It went from ${shown(before.reading)} to ${shown(mark.reading)}, and three readings agree on it: the meter must have been changed or set. Write "Meter replaced" for when that was.`,
        })
      points.push({
        at,
        count: Math.max(running, before?.count ?? 0),
        reading: mark.reading,
        root: mark.root,
        fitting: index,
      })
    }
    for (const mark of solved.doubted)
      doubted.push({
        root: mark.root,
        at: mark.at,
        reading: mark.reading,
        problem: doubt(mark, solved.believed, shown),
      })
  })
  return {
    meter: handle,
    points,
    doubted,
    unwritten,
    fittings: parts.map((part) => part.fitting),
    usual,
    line: lineOf(points, use),
  }
}

/** The meter that a reading belongs to; undefined if nothing of the kind counts there. */
function meterRead(book: Register, { of, handle }: Pick<Reading, 'of' | 'handle'>): Meter | undefined {
  switch (of) {
    case 'meter': {
      const meter = book.meters.get(handle)
      return meter?.counts === 'hours' ? meter : undefined
    }
    case 'runs on':
      return meterOf(book, handle, 'hours')
    case 'distance log':
      return distanceLog(book)
    case 'pump counter':
      return [...book.meters.values()].find((meter) => meter.counts === 'cycles' && meter.equipment === handle)
  }
}

const markOf = ({ at, day, root, reading, confirmed }: Reading): Mark => ({
  at,
  until: day ? at + longestDay : at,
  root,
  reading,
  weight: confirmed ? confirmedWeight : 1,
})

/**
 * The readings of each fitting of a meter, with what was written at its beginning and its end. Readings that are older than the first fitting
 * belong to it all the same; a fitting written again describes the same meter anew. A reading that may have been taken on either side of a
 * change belongs to the new meter if that can have shown it.
 */
function partsOf(
  changes: MeterState['changes'],
  marks: readonly Mark[],
  counts: Meter['counts'],
): { fitting: Fitting; marks: Mark[] }[] {
  const parts: { fitting: Fitting; marks: Mark[]; begins: Mark }[] = []
  for (const { at, day, root, fitted, last, first, kind, rollsOverAt } of changes) {
    const until = day ? at + longestDay : at
    const mark = (reading: number): Mark => ({ at, until, root, reading, weight: firm })
    const before = parts[parts.length - 1]
    const fitting: Fitting = {
      at: before && fitted ? before.fitting.at : at,
      kind: kind ?? before?.fitting.kind ?? null,
      rollsOverAt: rollsOverAt ?? before?.fitting.rollsOverAt ?? null,
    }
    const begins = mark(first)
    if (before && fitted) {
      before.fitting = fitting
      before.marks.push(begins)
    } else {
      if (last !== undefined) before?.marks.push(mark(last))
      parts.push({ fitting, marks: [begins], begins })
    }
  }
  for (const mark of marks) {
    const part = parts.findLast(({ begins, fitting }, index) => {
      if (index === 0 || mark.at > begins.until) return true
      if (mark.until < begins.at) return false
      return (
        stepBetween(begins, { ...mark, until: Math.max(mark.until, begins.until) }, rulesOf(counts, fitting)) !== null
      )
    })
    part?.marks.push(mark)
  }
  return parts
}

/** When what a meter counts was in use, as far as the log says. */
interface Use {
  /** Runs of the engine, then passages: spans in order, without overlap. */
  readonly runs: readonly Span[]
  readonly passages: readonly Span[]
  /** The end of the last run, else of the last passage, that ended within a span of time; null if none did. */
  last(from: number, until: number): number | null
  /** What the runs between two moments add up to, in the meter's own count; 0 where none are written or it counts no hours. */
  hoursRun(from: number, until: number): number
}

interface Span {
  readonly from: number
  readonly until: number
}

function useOf(from: Timeline, meter: Meter): Use {
  const book = fold(register, from)
  const line = lineage(book, meter.equipment)
  const timed = (entry: Told | null): entry is Told => entry !== null && !isDay(entry.occurredAt)
  const ran =
    meter.counts === 'hours'
      ? fold(runs, from).runs.flatMap(({ equipment, started, stopped }) =>
          line.includes(equipment) && timed(started) && timed(stopped) ? [{ from: started.at, until: stopped.at }] : [],
        )
      : []
  const sailed = fold(passages, from).passages.flatMap(({ begun, ended }) =>
    timed(begun) && timed(ended) ? [{ from: begun.at, until: ended.at }] : [],
  )
  const lastOf = (spans: readonly Span[], since: number, until: number): number | null => {
    const end = spans[firstAfter(spans, until, (span) => span.until) - 1]?.until
    return end !== undefined && end >= since ? end : null
  }
  return {
    runs: ran,
    passages: sailed,
    last: (since, until) => lastOf(ran, since, until) ?? lastOf(sailed, since, until),
    hoursRun: (since, until) =>
      within(ran, since, until).reduce((sum, span) => sum + (span.until - span.from) / hourMs, 0),
  }
}

/** How many of some things in order come no later than a moment. */
function firstAfter<T>(things: readonly T[], at: number, when: (thing: T) => number): number {
  let low = 0
  let high = things.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (when(things[middle]!) <= at) low = middle + 1
    else high = middle
  }
  return low
}

/** The parts of spans that lie between two moments. */
function within(spans: readonly Span[], from: number, until: number): Span[] {
  const parts: Span[] = []
  for (let i = firstAfter(spans, from, (span) => span.until); i < spans.length && spans[i]!.from < until; i++)
    parts.push({ from: Math.max(from, spans[i]!.from), until: Math.min(until, spans[i]!.until) })
  return parts
}

/**
 * The line between the points: what was counted between two readings is spread over the runs in between if they are long enough for it, else
 * over the passages, else evenly.
 */
function lineOf(points: readonly CurvePoint[], use: Use): { at: number; count: number }[] {
  const line: { at: number; count: number }[] = []
  points.forEach((point, index) => {
    const before = points[index - 1]
    if (before && point.count > before.count) {
      const gain = point.count - before.count
      const long = (spans: readonly Span[]) => spans.reduce((sum, span) => sum + span.until - span.from, 0)
      const spans = [use.runs, use.passages]
        .map((all) => within(all, before.at, point.at))
        .find((some) => long(some) >= gain * hourMs * 0.9)
      let { count } = before
      for (const span of spans ?? []) {
        line.push({ at: span.from, count })
        count += (gain * (span.until - span.from)) / long(spans!)
        line.push({ at: span.until, count })
      }
    }
    line.push({ at: point.at, count: point.count })
  })
  return line
}

const shownCount = (value: number, counts: Meter['counts']): string =>
  counts === 'hours' ? `${value.toFixed(1)} h` : counts === 'miles' ? `${value.toFixed(1)} M` : value.toFixed(0)

/** Why a reading is not believed, by what the believed ones before and after it show. */
function doubt(mark: Mark, believed: readonly Believed[], shown: (reading: number) => string): string {
  const index = believed.findIndex((one) => one.mark.at > mark.at)
  const after = index < 0 ? undefined : believed[index]!.mark
  const before = believed[(index < 0 ? believed.length : index) - 1]?.mark
  const around =
    before && after
      ? `the readings before and after it show ${shown(before.reading)} and ${shown(after.reading)}`
      : before
        ? `the reading before it shows ${shown(before.reading)}`
        : `the reading after it shows ${shown(after!.reading)}`
  return `It shows ${shown(mark.reading)}, but ${around}. It is kept and not counted; if it was mistyped, amend it.`
}

/**
 * The count at a moment: between two readings by the line, after the last the last, before the first the first; null without readings.
 * @param root of an entry that carries a reading: if it is believed, its own figure counts rather than the line
 */
export function countAt(curve: Curve, at: number, root?: string): number | null {
  const { points, line } = curve
  if (points.length === 0) return null
  if (root !== undefined) {
    const own = points.findLast((point) => point.root === root)
    if (own) return own.count
  }
  const next = firstAfter(line, at, (corner) => corner.at)
  const before = line[next - 1]
  const after = line[next]
  if (!before) return points[0]!.count
  if (!after) return before.count
  return before.count + ((after.count - before.count) * (at - before.at)) / (after.at - before.at)
}

/** One row of the Hours view. */
export interface MeterRow {
  readonly meter: Meter
  /** What has been counted in all; null while there is no reading. */
  readonly total: Figure | null
  /** What the meter last showed, and when; null while there is no reading. */
  readonly last: { readonly reading: number; readonly at: number; readonly root: string } | null
  readonly doubted: readonly Doubted[]
  readonly unwritten: readonly Doubted[]
}

const countUnit: Record<Meter['counts'], string> = { hours: 'h', miles: '[nmi_i]', cycles: '1' }

/** All meters with what they have counted, in the order in which they were fitted. */
export function meterRows(from: Timeline): MeterRow[] {
  return [...fold(register, from).meters.values()].map((meter) => {
    const { points, doubted, unwritten } = curveOf(from, meter.handle)
    const last = points[points.length - 1]
    return {
      meter,
      total: last
        ? {
            value: last.count,
            unit: countUnit[meter.counts],
            from: { meter: meter.handle },
            decimals: meter.counts === 'hours' ? 1 : 0,
          }
        : null,
      last: last ? { reading: last.reading, at: last.at, root: last.root } : null,
      doubted,
      unwritten,
    }
  })
}

/**
 * Whether a reading that somebody is about to write should be asked about: a sentence, or null.
 * @param meter handle; of one that the book does not know nothing is asked
 * @param at when it was read, milliseconds; of a day alone its first moment
 * @param reading as the meter shows it, in its own count
 * @param about.day only the day is known
 * @param about.amends root id of the entry that is being amended: its own reading asks nothing
 */
export function questionReading(
  from: Timeline,
  meter: string,
  at: number,
  reading: number,
  about: { day?: boolean; amends?: string } = {},
): string | null {
  const curve = curveOf(from, meter)
  const counts = fold(register, from).meters.get(meter)?.counts
  const index = Math.max(
    0,
    curve.fittings.findLastIndex((one) => one.at <= at),
  )
  const fitting = curve.fittings[index]
  if (!fitting || !counts) return null
  const rules = rulesOf(counts, fitting)
  const shown = (value: number) => shownCount(value, counts)
  const until = about.day ? at + longestDay : at
  const points = curve.points.filter((point) => point.fitting === index && point.root !== about.amends)
  // Of a day alone: behind what that day showed and is not above it.
  const behind = points.findLastIndex((point) => point.at <= at || (point.at <= until && point.reading <= reading))
  const before = points[behind]
  const after = points[behind + 1]
  const turned = (low: number, high: number) =>
    rules.rollsOverAt !== null && high - low > rules.rollsOverAt / 2 ? rules.rollsOverAt : 0
  if (before) {
    const step = reading - before.reading + (reading < before.reading ? turned(reading, before.reading) : 0)
    if (step < 0)
      return `Got ${shown(reading)}, but it showed ${shown(before.reading)} before: it would have run backwards. Look again; if the meter was replaced, write that first.`
    if (step > mostBetween(before, { until, reading }, rules))
      return `Got ${shown(reading)}, ${shown(step)} more than the ${shown(before.reading)} before, in ${((until - before.at) / hourMs).toFixed(1)} h by the clock. Look again: two figures may have changed places.`
    if (isJump(step, until - before.at, curve.usual))
      return `Got ${shown(reading)}, ${shown(step)} more than the ${shown(before.reading)} before: she has never run so much in such a time. Look again: two figures may have changed places.`
  }
  if (after) {
    const step = after.reading - reading + (after.reading < reading ? turned(after.reading, reading) : 0)
    if (step < 0)
      return `Got ${shown(reading)}, but later it showed only ${shown(after.reading)}. Look again, or check the time.`
    if (step > mostBetween({ at, reading }, { until: after.at, reading: after.reading }, rules))
      return `Got ${shown(reading)}, but ${((after.at - at) / hourMs).toFixed(1)} h later it showed ${shown(after.reading)}: more than the clock allows. Look again, or check the time.`
  }
  return null
}
