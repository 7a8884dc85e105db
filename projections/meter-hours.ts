import type { Quantity } from '../events/define.ts'
import { convert } from '../events/units.ts'
import type { Figure } from './figure.ts'
import { type Meter, meterOf, type Register, register } from './register.ts'
import { fold, isDay, type Projection, type Timeline, type Told } from './timeline.ts'

/**
 * Running hours: one curve for each meter, through replacement, roll-over and mistyped readings. Miles of the distance log and
 * pump cycles run through the same curve.
 */

/** One reading as it was shown by the meter. */
interface Mark {
  readonly at: number
  /** Only the day is known: it was read within 24 hours from `at`. */
  readonly day: boolean
  readonly root: string
  readonly reading: number
  /** What it costs to disbelieve it; 1 for an ordinary reading. */
  readonly weight: number
}

/** A point of the curve: a reading that is believed. */
export interface CurvePoint {
  readonly at: number
  /** Counted through replacements and roll-over; hours, nautical miles or cycles. */
  readonly count: number
  readonly reading: number
  readonly root: string
}

/** A reading that is kept in the log but not believed, with the reason in a sentence. */
export interface Doubted {
  readonly root: string
  readonly at: number
  readonly reading: number
  readonly problem: string
}

/** The curve of one meter. */
export interface Curve {
  readonly meter: string
  readonly points: readonly CurvePoint[]
  readonly doubted: readonly Doubted[]
}

interface MeterState {
  /** Meter by meter: replacements and fittings, in order. */
  changes: { meter: string; entry: Told<'meter-fitted'> | Told<'meter-replaced'> }[]
  read: { meter: string; at: number; day: boolean; root: string; reading: number; confirmed: boolean }[]
  /** Readings that name equipment: which meter that is, only the whole register can say. */
  of: { equipment: string; at: number; day: boolean; root: string; reading: number; confirmed: boolean }[]
  logs: { at: number; day: boolean; root: string; reading: number }[]
}

const hours = (quantity: Quantity): number => convert(quantity.value, quantity.unit, 'h')

const whenOf = (entry: Told) => ({ at: entry.at, day: isDay(entry.occurredAt), root: entry.root })

const readOn = (
  state: MeterState,
  entry: Told<'engine-started' | 'engine-stopped' | 'readings-taken' | 'service-done'>,
): void => {
  const { data } = entry
  if (data.hours === undefined) return
  state.of.push({
    ...whenOf(entry),
    equipment: data.equipment,
    reading: hours(data.hours),
    confirmed: 'confirmed' in data && data.confirmed === true,
  })
}

const readLog = (state: MeterState, entry: Told<'passage-begun' | 'passage-ended'>): void => {
  const log = entry.data.distanceLog
  if (log !== undefined) state.logs.push({ ...whenOf(entry), reading: convert(log.value, log.unit, '[nmi_i]') })
}

const meterReadings: Projection<MeterState> = {
  initial: () => ({ changes: [], read: [], of: [], logs: [] }),
  on: {
    'meter-fitted': (state, entry) => {
      state.changes.push({ meter: entry.data.meter, entry })
    },
    'meter-replaced': (state, entry) => {
      state.changes.push({ meter: entry.data.meter, entry })
    },
    'hours-read': (state, entry) => {
      state.read.push({
        ...whenOf(entry),
        meter: entry.data.meter,
        reading: hours(entry.data.reading),
        confirmed: entry.data.confirmed === true,
      })
    },
    'engine-started': readOn,
    'engine-stopped': readOn,
    'readings-taken': readOn,
    'service-done': readOn,
    'passage-begun': readLog,
    'passage-ended': readLog,
  },
}

/** The most that a meter can count in an hour of the clock: hours, nautical miles (no cruising yacht makes 30 knots), cycles. */
const fastest: Record<Meter['counts'], number> = { hours: 1, miles: 30, cycles: Number.POSITIVE_INFINITY }

/** What a clock aboard and a reading rounded to a tenth may differ by, in the meter's own count. */
const slack: Record<Meter['counts'], number> = { hours: 0.5, miles: 5, cycles: 0 }

/** A revolution counter shows hours at its rated speed and may run a little ahead of the clock. Common practice, no source. */
const revolutionsAhead = 1.3

const hourMs = 3_600_000
const dayMs = 24 * hourMs

/** A lasting step costs more than two doubted readings and less than three: three that agree outweigh what went before. */
const stepCost = 2.5

/** How many readings back a believed reading may lie: beyond it a run of doubted readings is taken for a step. */
const lookBack = 80

const curves = new WeakMap<Timeline, Map<string, Curve>>()

/** The curve of a meter, in its own count (hours, nautical miles, cycles); a meter without readings has no points. */
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

interface Segment {
  rollsOverAt: number | null
  kind: Meter['kind'] | null
  marks: Mark[]
}

/** What a person wrote when fitting or replacing a meter outweighs any reading. */
const firm = 5

function makeCurve(from: Timeline, handle: string): Curve {
  const book = fold(register, from)
  const state = fold(meterReadings, from)
  const counts = book.meters.get(handle)?.counts ?? 'hours'
  const marks: Mark[] = []
  for (const one of state.read) if (one.meter === handle) marks.push(markOf(one, one.confirmed))
  for (const one of state.of)
    if (meterOf(book, one.equipment, 'hours')?.handle === handle) marks.push(markOf(one, one.confirmed))
  if (counts === 'miles' && firstMilesMeter(book) === handle)
    for (const one of state.logs) marks.push(markOf(one, false))

  const changes = state.changes.filter((change) => change.meter === handle).map((change) => change.entry)
  const first = changes[0]
  const segments: Segment[] = [{ rollsOverAt: null, kind: null, marks: [] }]
  let already = 0
  if (first?.type === 'meter-fitted') {
    // Readings older than the day on which the meter was described are its own all the same.
    already = first.data.alreadyRun ?? 0
    segments[0] = { rollsOverAt: first.data.rollsOverAt ?? null, kind: first.data.kind, marks: [] }
    marks.push({ ...whenOf(first), reading: first.data.reading, weight: firm })
    changes.shift()
  }
  marks.sort((a, b) => a.at - b.at || a.reading - b.reading)
  let next = 0
  for (const change of changes) {
    const open = segments[segments.length - 1]!
    while (next < marks.length && marks[next]!.at < change.at) open.marks.push(marks[next++]!)
    const begin = change.type === 'meter-fitted' ? change.data.reading : change.data.first
    if (change.type === 'meter-replaced' && change.data.last !== undefined)
      open.marks.push({ ...whenOf(change), reading: change.data.last, weight: firm })
    segments.push({
      rollsOverAt: change.data.rollsOverAt ?? open.rollsOverAt,
      kind: change.data.kind ?? open.kind,
      marks: [{ ...whenOf(change), reading: begin, weight: firm }],
    })
  }
  segments[segments.length - 1]!.marks.push(...marks.slice(next))

  const points: CurvePoint[] = []
  const doubted: Doubted[] = []
  segments.forEach((segment, index) => {
    const solved = solve(segment, counts)
    doubted.push(...solved.doubted)
    const begin = solved.points[0]
    if (!begin) return
    // The first meter's own figure is the count; a later one carries on from where the one before ended.
    const base = index === 0 || points.length === 0 ? already : points[points.length - 1]!.count - begin.count
    for (const point of solved.points) points.push({ ...point, count: base + point.count })
  })
  return { meter: handle, points, doubted }
}

const markOf = (one: { at: number; day: boolean; root: string; reading: number }, confirmed: boolean): Mark => ({
  at: one.at,
  day: one.day,
  root: one.root,
  reading: one.reading,
  // A reading that was questioned and confirmed takes three others to outweigh it.
  weight: confirmed ? 3 : 1,
})

const firstMilesMeter = (book: Register): string | undefined =>
  [...book.meters.values()].find((meter) => meter.counts === 'miles')?.handle

/**
 * Believes the readings that agree best: the chain that never runs backwards (but for roll-over) nor faster than the clock, leaving out as
 * little weight as it can. A step in either direction that three readings agree on is taken as a meter changed without being written down.
 * Dynamic programme over the readings in order; cost grows with their number times `lookBack`.
 */
function solve(segment: Segment, counts: Meter['counts']): { points: CurvePoint[]; doubted: Doubted[] } {
  const { rollsOverAt, kind } = segment
  const marks = placed(segment.marks)
  const n = marks.length
  if (n === 0) return { points: [], doubted: [] }
  const rate = fastest[counts] * (kind === 'revolution counting' ? revolutionsAhead : 1)
  const cost = new Float64Array(n)
  const from = new Int32Array(n).fill(-1)
  const gain = new Float64Array(n)
  const weightBefore = new Float64Array(n + 1)
  for (let i = 0; i < n; i++) weightBefore[i + 1] = weightBefore[i]! + marks[i]!.weight

  for (let j = 0; j < n; j++) {
    const mark = marks[j]!
    let best = weightBefore[j]!
    let bestFrom = -1
    let bestGain = 0
    for (let i = j - 1; i >= Math.max(0, j - lookBack); i--) {
      const skipped = weightBefore[j]! - weightBefore[i + 1]!
      if (skipped >= best) break
      const before = marks[i]!
      const most = mostBetween(before, mark, rate, counts)
      let step = mark.reading - before.reading
      if (step < 0 && rollsOverAt !== null && step + rollsOverAt <= most) step += rollsOverAt
      const possible = step >= 0 && step <= most
      const total = cost[i]! + skipped + (possible ? 0 : stepCost)
      if (total < best) {
        best = total
        bestFrom = i
        bestGain = possible ? step : 0
      }
    }
    cost[j] = best
    from[j] = bestFrom
    gain[j] = bestGain
  }

  let end = n - 1
  let least = Number.POSITIVE_INFINITY
  for (let j = n - 1; j >= 0; j--) {
    const total = cost[j]! + weightBefore[n]! - weightBefore[j + 1]!
    if (total < least - 1e-9) {
      least = total
      end = j
    }
  }
  const believed: number[] = []
  for (let j = end; j >= 0; j = from[j]!) believed.unshift(j)

  const points: CurvePoint[] = []
  let count = marks[believed[0]!]!.reading
  for (const j of believed) {
    if (points.length > 0) count += gain[j]!
    const { at, reading, root } = marks[j]!
    points.push({ at, count, reading, root })
  }
  const kept = new Set(believed)
  const doubted = marks
    .filter((mark, j) => !kept.has(j) && mark.weight < firm)
    .map((mark) => ({
      root: mark.root,
      at: mark.at,
      reading: mark.reading,
      problem: 'It does not agree with the readings before and after it.',
    }))
  return { points, doubted }
}

/**
 * A reading of which only the day is known goes behind the last reading of that day that is not above it: where in the day it belongs, the
 * meter itself says.
 */
function placed(marks: readonly Mark[]): Mark[] {
  if (!marks.some((mark) => mark.day)) return [...marks]
  return marks
    .map((mark, index) => {
      if (!mark.day || mark.weight === firm) return mark
      let { at } = mark
      for (let i = index + 1; i < marks.length && marks[i]!.at < mark.at + dayMs; i++) {
        const other = marks[i]!
        if (!other.day && other.reading <= mark.reading) at = other.at
      }
      return at === mark.at ? mark : { ...mark, at }
    })
    .sort((a, b) => a.at - b.at || a.reading - b.reading)
}

/** The most that a meter can have counted between two readings. */
function mostBetween(
  before: { at: number; day: boolean },
  after: { at: number; day: boolean },
  rate: number,
  counts: Meter['counts'],
): number {
  const ms = after.at + (after.day ? dayMs : 0) - before.at
  return (Math.max(0, ms) / hourMs) * rate + slack[counts]
}

/**
 * The count at a moment: between two readings in a straight line, after the last the last, before the first the first; null without readings.
 * @param root of an entry that carries a reading: if it is believed, its own figure counts rather than the line
 */
export function countAt(curve: Curve, at: number, root?: string): number | null {
  const { points } = curve
  if (points.length === 0) return null
  if (root !== undefined) {
    const own = points.find((point) => point.root === root)
    if (own) return own.count
  }
  let low = 0
  let high = points.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (points[middle]!.at <= at) low = middle + 1
    else high = middle
  }
  const before = points[low - 1]
  const after = points[low]
  if (!before) return points[0]!.count
  if (!after || after.at === before.at) return before.count
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
}

const countUnit: Record<Meter['counts'], string> = { hours: 'h', miles: '[nmi_i]', cycles: '1' }

/** All meters with what they have counted, in the order in which they were fitted. */
export function meterRows(from: Timeline): MeterRow[] {
  return [...fold(register, from).meters.values()].map((meter) => {
    const curve = curveOf(from, meter.handle)
    const last = curve.points[curve.points.length - 1]
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
      doubted: curve.doubted,
    }
  })
}

/**
 * Whether a reading that somebody is about to write should be asked about: a sentence, or null.
 * @param meter handle
 * @param at when it was read, milliseconds
 * @param reading as the meter shows it, in its own count
 */
export function questionReading(from: Timeline, meter: string, at: number, reading: number): string | null {
  const book = fold(register, from)
  const known = book.meters.get(meter)
  const counts = known?.counts ?? 'hours'
  const unit = counts === 'miles' ? 'M' : counts === 'hours' ? 'h' : ''
  const { points } = curveOf(from, meter)
  const before = [...points].reverse().find((point) => point.at <= at)
  const after = points.find((point) => point.at > at)
  const shown = (value: number) => `${value.toFixed(counts === 'cycles' ? 0 : 1)} ${unit}`.trim()
  const rate = fastest[counts] * (known?.kind === 'revolution counting' ? revolutionsAhead : 1)
  const rollsOverAt = known?.fitted.data.rollsOverAt
  if (before) {
    const most = mostBetween({ ...before, day: false }, { at, day: false }, rate, counts)
    let step = reading - before.reading
    if (step < 0 && rollsOverAt !== undefined && step + rollsOverAt <= most) step += rollsOverAt
    if (step < 0)
      return `Got ${shown(reading)}, but it showed ${shown(before.reading)} before: it would have run backwards. Look again; if the meter was replaced, write that first.`
    if (step > most)
      return `Got ${shown(reading)}, ${shown(step)} more than the ${shown(before.reading)} before, in ${((at - before.at) / hourMs).toFixed(1)} h by the clock. Look again: two figures may have changed places.`
  }
  if (after && reading > after.reading && !(rollsOverAt !== undefined && reading - after.reading > rollsOverAt / 2))
    return `Got ${shown(reading)}, but later it showed only ${shown(after.reading)}. Look again, or check the time.`
  return null
}
