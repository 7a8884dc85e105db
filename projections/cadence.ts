import { Temporal } from 'temporal-polyfill'
import type { Data } from '../events/index.ts'
import { type Counted, countedBetween } from './counts.ts'
import type { Selection } from './figure.ts'
import { register, type Task } from './register.ts'
import { fulfils, services } from './services.ts'
import { fold, type Timeline, type Told } from './timeline.ts'

/** What was run between two services of one task, or since the last of them. */
export interface ServiceInterval {
  readonly from: Told<'service-done'> | Told<'equipment-fitted'>
  /** Null for the interval that is running. */
  readonly to: Told<'service-done'> | null
  readonly hours: number | null
  readonly miles: number | null
  readonly starts: number | null
  /** Calendar months with the part of the month that was begun. */
  readonly months: number
  /** The largest share of any of the task's limits that had been used at its end; null if none could be counted. */
  readonly share: number | null
  /** Which of the limits that was. */
  readonly governs: 'hours' | 'months' | 'miles' | 'starts' | null
}

/** How a task is kept: the interval as set against the intervals as run. */
export interface Cadence {
  readonly task: Task
  /** Ended intervals in order; one service after fitting gives one. */
  readonly kept: readonly ServiceInterval[]
  readonly running: ServiceInterval | null
  /**
   * Services a year that the use of the last year asks for, by the limit that asks for most, and what was done in that year;
   * null while less than a year of use is known.
   */
  readonly yearly: YearlyNeed | null
  /** By what it is told how the task is kept: its first limit of hours, miles, starts, months. */
  readonly measure: 'hours' | 'months' | 'miles' | 'starts'
  /** The interval as set, in that measure; null for a task that is done when it suits. */
  readonly every: number | null
  /** The hours between services rise: a task by hours, each of the last intervals longer, or the running one longer than any of them. */
  readonly rising: boolean
  /** It rises, and the last interval or the running one is beyond nine tenths of what was set. */
  readonly risingPast: boolean
  /** The entries behind it. */
  readonly from: Selection
}

/** How often a year of this use asks for a service. */
export interface YearlyNeed {
  readonly governs: 'hours' | 'months' | 'miles' | 'starts'
  /** What was run in the last year, in the unit of the limit that governs. */
  readonly used: number
  readonly every: number
  /** used / every: 310 h at every 150 h ask for 2.07 a year. */
  readonly needs: number
  /** Services done in that year. */
  readonly done: number
  /**
   * Doing only the whole number of services below `needs`, evenly through the use, leaves each late by this much beyond the interval, in its unit;
   * 0 when the whole number is enough. 310 h with two a year: 5 h.
   */
  readonly lateBy: number
}

const dayMs = 86_400_000

/** How every task that holds is kept, in the order of the register. */
export function cadences(from: Timeline, now: number): Cadence[] {
  const book = fold(register, from)
  return [...book.tasks.values()]
    .filter((task) => task.retired === null && book.equipment.get(task.data.equipment)?.removed !== true)
    .map((task) => cadenceOf(from, task, now))
}

/** How one task is kept. Intervals begin at the fitting of the equipment (anew, too) and at each service that fulfils the task. */
export function cadenceOf(from: Timeline, task: Task, now: number): Cadence {
  const { data } = task
  const lives = fold(register, from).equipment.get(data.equipment)?.lives ?? []
  const entries = (fold(services, from).get(data.equipment) ?? []).filter(
    (entry) => fulfils(entry.data.work, data.work) && entry.at <= now,
  )
  // Two works of one afternoon that both fulfil the task (renewed, then tensioned) are one service.
  const done = entries.filter((entry, index) => {
    const next = entries[index + 1]
    return next === undefined || next.at - entry.at > oneService
  })
  const marks: (Told<'service-done'> | Told<'equipment-fitted'>)[] = [
    ...lives.map((life) => life.fitted).filter((fitted) => fitted.at <= now),
    ...done,
  ].sort((a, b) => a.at - b.at)
  const kept: ServiceInterval[] = []
  let begun: (typeof marks)[number] | null = null
  for (const mark of marks) {
    if (begun && mark.type === 'service-done' && mark.at - begun.at > oneService)
      kept.push(interval(from, data, begun, mark, mark.at))
    begun = mark
  }
  const running = begun ? interval(from, data, begun, null, now) : null
  const rising = data.everyHours !== undefined && rises(kept, running)
  const beyond = (one: ServiceInterval | null | undefined) =>
    one?.hours != null && data.everyHours !== undefined && one.hours > data.everyHours * 0.9
  return {
    task,
    kept,
    running,
    yearly: yearlyNeed(from, data, done, now),
    ...measureOf(data),
    rising,
    risingPast: rising && (beyond(running) || beyond(kept[kept.length - 1])),
    from: { task: task.handle },
  }
}

/** Works within half a day of each other are one service. */
const oneService = dayMs / 2

function measureOf(data: Data<'upkeep-set'>): Pick<Cadence, 'measure' | 'every'> {
  if (data.everyHours !== undefined) return { measure: 'hours', every: data.everyHours }
  if (data.everyMiles !== undefined) return { measure: 'miles', every: data.everyMiles }
  if (data.everyStarts !== undefined) return { measure: 'starts', every: data.everyStarts }
  return { measure: 'months', every: data.everyMonths ?? null }
}

function interval(
  from: Timeline,
  data: Data<'upkeep-set'>,
  begin: ServiceInterval['from'],
  end: Told<'service-done'> | null,
  until: number,
): ServiceInterval {
  const counted = countedBetween(from, data.equipment, { at: begin.at, root: begin.root }, until, end?.root)
  const months = monthsBetween(from, begin.at, until)
  let share: number | null = null
  let governs: ServiceInterval['governs'] = null
  for (const [kind, every, used] of limitsOf(data, counted, months))
    if (share === null || used / every > share) {
      share = used / every
      governs = kind
    }
  return { from: begin, to: end, ...counted, months, share, governs }
}

type LimitUse = ['hours' | 'months' | 'miles' | 'starts', every: number, used: number]

const limitsOf = (data: Data<'upkeep-set'>, counted: Counted, months: number): LimitUse[] =>
  (
    [
      ['hours', data.everyHours, counted.hours],
      ['months', data.everyMonths, months],
      ['miles', data.everyMiles, counted.miles],
      ['starts', data.everyStarts, counted.starts],
    ] as const
  ).filter((one): one is LimitUse => one[1] !== undefined && one[2] !== null)

/** Calendar months from one moment to another in ship's time, the last one as a share of its days. */
function monthsBetween(from: Timeline, since: number, until: number): number {
  const day = (at: number) =>
    Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(from.zoneAt(at)).toPlainDate()
  const begin = day(since)
  const end = day(until)
  const whole = begin.until(end, { largestUnit: 'months' })
  const last = begin.add({ months: whole.months })
  const length = last.until(begin.add({ months: whole.months + 1 }), { largestUnit: 'days' }).days
  return whole.months + whole.days / length
}

function yearlyNeed(
  from: Timeline,
  data: Data<'upkeep-set'>,
  done: readonly Told<'service-done'>[],
  now: number,
): YearlyNeed | null {
  const since = now - 365 * dayMs
  const begun = from.told[0]?.at ?? now
  if (begun > since) return null
  const counted = countedBetween(from, data.equipment, { at: since }, now)
  let most: LimitUse | null = null
  for (const one of limitsOf(data, counted, 12)) if (most === null || one[2] / one[1] > most[2] / most[1]) most = one
  if (!most) return null
  const [governs, every, used] = most
  const needs = used / every
  const whole = Math.max(1, Math.floor(needs))
  return {
    governs,
    used,
    every,
    needs,
    done: done.filter((entry) => entry.at > since).length,
    lateBy: Math.max(0, used / whole - every),
  }
}

/**
 * Each of the last intervals longer in hours than the one before, the last of them beyond the first by a tenth at least; or the running one is
 * already a tenth longer than any of them. A statement of fact about two or three figures, not a test.
 */
function rises(kept: readonly ServiceInterval[], running: ServiceInterval | null): boolean {
  const hours = kept.map((one) => one.hours).filter((value): value is number => value !== null)
  const last = hours.slice(-3)
  const first = last[0]
  const end = last[last.length - 1]
  if (first === undefined || end === undefined) return false
  const growing =
    last.length >= 2 && last.every((value, index) => index === 0 || value > last[index - 1]!) && end > first * 1.1
  return growing || (running?.hours != null && last.length >= 2 && running.hours > Math.max(...last) * 1.1)
}
