import { Temporal } from 'temporal-polyfill'
import { countedBetween, engineOf } from './counts.ts'
import type { Figure, Selection } from './figure.ts'
import { type Forecast, forecastOf } from './forecast.ts'
import { distanceLog, meterOf, register, type Task } from './register.ts'
import { fulfils, services } from './services.ts'
import { fold, isDay, type Timeline, type Told } from './timeline.ts'

/** The limits a task can have. */
export type LimitKind = 'hours' | 'months' | 'miles' | 'starts'

/** One limit of one task: how much of it is used. */
export interface Limit {
  readonly kind: LimitKind
  /** The interval: hours, months, nautical miles, starts. */
  readonly every: number
  /** What has been used of it, in the same unit. */
  readonly used: number
  /** every - used; negative when it is over. */
  readonly left: number
  readonly share: number
  /** The entries that it was counted from: the beginning, the task as set, and the readings since. */
  readonly from: Selection
  /** A calendar limit in days: used, and from its beginning to the day on which it is due. */
  readonly days?: { readonly used: number; readonly whole: number }
}

/** How a task stands. `uncounted`: its only limits are counted by a meter that she does not have. */
export type DueState = 'overdue' | 'soon' | 'later' | 'uncounted'

/** One task as it stands. */
export interface DueRow {
  readonly task: Task
  readonly limits: readonly Limit[]
  /** The limit of which most is used; null if none can be counted. */
  readonly governing: Limit | null
  /** The largest share used of any limit; 1 is due. Null if none can be counted. */
  readonly usedShare: number | null
  /** What the count begins from: the last service that fulfils it, else the fitting of the equipment, else the day the task was set. */
  readonly from: Told<'service-done'> | Told<'equipment-fitted'> | Told<'upkeep-set'>
  /** The last service that fulfils it, or null: then nothing says that it was ever done. */
  readonly last: Told<'service-done'> | null
  /** Hours left until the hours limit; null without one. */
  readonly hoursLeft: number | null
  /** Days left until the calendar limit; null without one. */
  readonly daysLeft: number | null
  readonly state: DueState
  readonly forecast: Forecast
}

/** From this share on a limit that is counted is worth a word before it is due; or when only hours of one passage are left. */
const soonShare = 0.9
const soonHours = 10

/** A calendar limit is soon a month ahead, a short one in its last fifth. */
const soonDays = 30

function isSoon(limit: Limit, daysLeft: number | null): boolean {
  if (limit.kind === 'months') return daysLeft !== null && daysLeft <= soonDays && limit.share >= 0.8
  return limit.share >= soonShare || (limit.kind === 'hours' && limit.left <= soonHours && limit.share >= 0.5)
}

/**
 * Every upkeep task that holds, overdue first, then by the share used.
 * Left out are tasks that are retired, tasks on equipment that was removed, and tasks that have a first time only once that is done.
 * @param now milliseconds; for an earlier moment than that of the last entry ask with a timeline of then
 */
export function dueRows(from: Timeline, now: number): DueRow[] {
  const book = fold(register, from)
  const rows: DueRow[] = []
  for (const task of book.tasks.values()) {
    if (task.retired !== null) continue
    const equipment = book.equipment.get(task.data.equipment)
    if (equipment?.removed) continue
    const row = dueRow(from, task, now)
    if (row.limits.length === 0 && row.last !== null && task.data.firstAtHours !== undefined) continue
    rows.push(row)
  }
  const order: Record<DueState, number> = { overdue: 0, soon: 1, later: 2, uncounted: 3 }
  return rows.sort(
    (a, b) =>
      order[a.state] - order[b.state] ||
      (b.usedShare ?? -1) - (a.usedShare ?? -1) ||
      (a.task.handle < b.task.handle ? -1 : 1),
  )
}

function dueRow(from: Timeline, task: Task, now: number): DueRow {
  const book = fold(register, from)
  const { data } = task
  const equipment = book.equipment.get(data.equipment)
  const fitted = equipment?.lives[equipment.lives.length - 1]?.fitted
  const done = (fold(services, from).get(data.equipment) ?? []).filter(
    (entry) => fulfils(entry.data.work, data.work) && entry.at <= now,
  )
  const last = done[done.length - 1] ?? null
  // What was fitted anew after the last service starts afresh.
  const anchor =
    last && !(fitted && equipment && equipment.lives.length > 1 && fitted.at > last.at) ? last : (fitted ?? task.since)
  const served = anchor === last ? last : null
  const counted = countedBetween(from, data.equipment, { at: anchor.at, root: anchor.root }, now)

  const limits: Limit[] = []
  const entries = [...new Set([task.set.root, anchor.root])]
  const limit = (kind: LimitKind, every: number | undefined, used: number | null) => {
    if (every === undefined || used === null) return
    const behind = { ...readingsBehind(from, data.equipment, kind), since: anchor.at, until: now, entries }
    limits.push({ kind, every, used, left: every - used, share: used / every, from: behind })
  }
  limit('hours', served === null ? (data.firstAtHours ?? data.everyHours) : data.everyHours, counted.hours)
  limit('miles', data.everyMiles, counted.miles)
  limit('starts', data.everyStarts, counted.starts)

  const zone = from.zoneAt(now)
  const today = dayIn(now, zone)
  let daysLeft: number | null = null
  let dueDay: Temporal.PlainDate | null = null
  if (data.everyMonths !== undefined) {
    const begun = dayOf(from, anchor)
    dueDay = monthsAfter(begun, data.everyMonths)
    daysLeft = today.until(dueDay, { largestUnit: 'days' }).days
    const whole = begun.until(dueDay, { largestUnit: 'days' }).days
    const share = Math.max(0, (whole - daysLeft) / whole)
    limits.push({
      kind: 'months',
      every: data.everyMonths,
      used: share * data.everyMonths,
      left: (1 - share) * data.everyMonths,
      share,
      from: { entries },
      days: { used: whole - daysLeft, whole },
    })
  }

  const governing = limits.reduce<Limit | null>(
    (most, one) => (most === null || one.share > most.share ? one : most),
    null,
  )
  const hoursLeft = limits.find((one) => one.kind === 'hours')?.left ?? null
  const usedShare = governing?.share ?? null
  let state: DueState = 'later'
  if (usedShare === null) state = 'uncounted'
  else if (usedShare >= 1) state = 'overdue'
  else if (limits.some((one) => isSoon(one, daysLeft))) state = 'soon'

  return {
    task,
    limits,
    governing,
    usedShare,
    from: anchor,
    last: served,
    hoursLeft,
    daysLeft,
    state,
    forecast: forecastOf(from, data.equipment, limits, dueDay, now),
  }
}

const dayIn = (at: number, zone: string): Temporal.PlainDate =>
  Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(zone).toPlainDate()

/** The calendar day of an entry aboard; where only the day is known, that. */
const dayOf = (from: Timeline, entry: Told): Temporal.PlainDate =>
  isDay(entry.occurredAt) ? Temporal.PlainDate.from(entry.occurredAt) : dayIn(entry.at, from.zoneAt(entry.at))

/** A number of months after a day, at the end of a month its last day; part of a month counts as that part of 30 days. */
const monthsAfter = (day: Temporal.PlainDate, months: number): Temporal.PlainDate =>
  day.add({ months: Math.floor(months) }).add({ days: Math.round((months % 1) * 30) })

/**
 * Days until a limit is reached at a steady rate; null when nothing is used.
 * @param left what is left of the interval, in its unit
 * @param perDay use a day, in the same unit
 */
export function daysUntilDue(left: number, perDay: number): number | null {
  if (left <= 0) return 0
  return perDay > 0 ? left / perDay : null
}

/** What a limit is counted by: a meter's readings, or the starts of an engine. */
function readingsBehind(from: Timeline, equipment: string, kind: LimitKind): Selection {
  const book = fold(register, from)
  if (kind === 'starts') return { kinds: ['engine-started'], equipment: engineOf(from, equipment) ?? equipment }
  const meter = kind === 'miles' ? distanceLog(book) : meterOf(book, equipment)
  return meter ? { meter: meter.handle } : { kinds: ['passage-ended'] }
}

/** A value of a limit (used, left, over) as a figure that opens to its entries. */
export const limitFigure = (limit: Limit, value: number): Figure => ({
  value,
  unit: limitUnit[limit.kind],
  from: limit.from,
  decimals: limit.kind === 'months' && value % 1 !== 0 ? 1 : 0,
})

/** UCUM codes of the limits; starts are counted by number. */
export const limitUnit: Record<LimitKind, string> = { hours: 'h', months: 'mo', miles: '[nmi_i]', starts: '1' }
