import { Temporal } from 'temporal-polyfill'
import { engineOf } from './counts.ts'
import type { Limit, LimitKind } from './due.ts'
import { curveOf } from './meter-hours.ts'
import { milesOf, passages } from './passages.ts'
import { distanceLog, meterOf, register } from './register.ts'
import { runs } from './runs.ts'
import type { UseRecord } from './statistics/season-profile.ts'
import { predictUse, type UsePrediction, yachtUse } from './statistics/use-prediction.ts'
import { fold, type Timeline } from './timeline.ts'

/** Days on which something falls due, YYYY-MM-DD: with a chance of `level` between early and late. Null: not within thirty years. */
export interface DueDays {
  readonly early: string | null
  readonly likely: string | null
  readonly late: string | null
}

/** What counts towards a limit by use. */
export type Counted = 'hours' | 'miles' | 'starts'

/** When a task falls due, learnt from the boat's own use. */
export type Forecast =
  | {
      readonly kind: 'estimate'
      /** The limit that likely comes first. */
      readonly governs: LimitKind
      /** Calendar day, YYYY-MM-DD: as likely before as after. Today for what is over by its count, the day that has passed for the calendar. */
      readonly likely: string
      /** One chance in ten that it falls due before. */
      readonly early: string
      /** One chance in ten that it falls due after; null if that is more than thirty years off. */
      readonly late: string | null
      /** The chance of early to late, 0.8. */
      readonly level: number
      /** The chance that it has fallen due by the end of that day, for the last days of months, this one first; at most 24, until it is almost certain. */
      readonly byMonth: readonly { readonly date: string; readonly chance: number }[]
      /** The likely day of the next lay-up and the chance that it falls due before she is laid up; null where no season is known. */
      readonly beforeLayUp: { readonly date: string; readonly chance: number } | null
      /** Each limit by itself. */
      readonly limits: { readonly [K in Counted | 'calendar']?: DueDays }
      /** Days of use behind it; 1 where no forecast was needed. */
      readonly n: number
    }
  /** `n` of `needed` days of log with use in them; 0 where she is not used at all and no limit goes by the calendar. */
  | { readonly kind: 'not-enough'; readonly n: number; readonly needed: number }

/** The share of the futures between early and late. */
const level = 0.8

/** With less log than this the forecast would be the prior's alone. */
const daysNeeded = 30

/** Days that are looked ahead day by day; later use repeats the last two of these years. */
const horizon = 800

/** What use is on a running day before anything is known of a boat. Common practice, no source. */
const perRunningDay: Record<Counted, number> = { hours: 2.5, miles: 25, starts: 2 }

/** More than this between two readings was not run on one day. */
const mostInOneDay: Record<Counted, number> = { hours: 8, miles: 120, starts: 1e9 }

const dayMs = 86_400_000

/**
 * When a task falls due. Its limits by use are forecast from the daily use of the meter (`predictUse`), the calendar is sure. Where several
 * limits go by use, they are taken to come early or late together, as one boat's use does.
 * @param equipment handle of what the task is on
 * @param limits what is left of each limit now
 * @param dueDay the day of the calendar limit; null without one
 * @param now milliseconds
 */
export function forecastOf(
  from: Timeline,
  equipment: string,
  limits: readonly Limit[],
  dueDay: Temporal.PlainDate | null,
  now: number,
): Forecast {
  const today = Temporal.Instant.fromEpochMilliseconds(now).toZonedDateTimeISO(from.zoneAt(now)).toPlainDate()
  const calendarIn = dueDay === null ? null : today.until(dueDay, { largestUnit: 'days' }).days
  const over = limits.find((one) => one.kind !== 'months' && one.left <= 0)
  if (calendarIn !== null && calendarIn <= 0) return sure(today, 'months', calendarIn)
  if (over) return sure(today, over.kind, 0)

  let short: { n: number; needed: number } | null = null
  const ways: Way[] = []
  for (const { kind, left } of limits) {
    if (kind === 'months') continue
    const use = predictedUse(from, equipment, kind, now)
    if (use === null || use.days < daysNeeded) short = { n: use?.days ?? 0, needed: daysNeeded }
    else if (use.prediction) {
      const passage = use.prediction.firstPassage(left)
      ways.push({
        kind,
        n: use.days,
        quantile: (p) => Math.max(0, passage.quantile(p) - use.behind),
        chanceBy: (day) => passage.chanceBy(day + use.behind),
        layUp: passage.beforeLayUp && { ...passage.beforeLayUp, day: passage.beforeLayUp.day - use.behind },
      })
    }
  }
  // A calendar date to come would be too sure while the log is too young to say whether the hours come before it.
  if (short) return { kind: 'not-enough', ...short }
  if (calendarIn !== null)
    ways.push({
      kind: 'months',
      n: 1,
      quantile: () => calendarIn,
      chanceBy: (day) => (day >= calendarIn ? 1 : 0),
      layUp: null,
    })

  const likely = (way: Way) => way.quantile(0.5)
  const [first] = [...ways].sort((a, b) => likely(a) - likely(b) || (a.kind === 'months' ? -1 : 1))
  if (!first || likely(first) === Number.POSITIVE_INFINITY) return { kind: 'not-enough', n: 0, needed: daysNeeded }
  const date = (days: number) => (days === Number.POSITIVE_INFINITY ? null : today.add({ days }).toString())
  const soonest = (p: number) => Math.min(...ways.map((way) => way.quantile(p)))
  const chanceBy = (day: number) => Math.max(...ways.map((way) => way.chanceBy(day)))
  const tail = (1 - level) / 2
  const daysOf = (quantile: (p: number) => number): DueDays => ({
    early: date(quantile(tail)),
    likely: date(quantile(0.5)),
    late: date(quantile(1 - tail)),
  })
  const known = ways.filter((way) => way.layUp !== null)
  const layUp = known[0]?.layUp ?? null
  return {
    kind: 'estimate',
    governs: first.kind,
    likely: date(soonest(0.5))!,
    early: date(soonest(tail))!,
    late: date(soonest(1 - tail)),
    level,
    byMonth: byMonth(today, chanceBy),
    beforeLayUp: layUp && {
      date: date(layUp.day)!,
      chance: Math.max(
        calendarIn !== null && calendarIn <= layUp.day ? 1 : 0,
        ...known.map((way) => way.layUp!.chance),
      ),
    },
    limits: Object.fromEntries(
      ways.map((way) => [way.kind === 'months' ? 'calendar' : way.kind, daysOf(way.quantile)]),
    ),
    n: first.n,
  }
}

/** One limit as it may fall due: days from today. */
interface Way {
  readonly kind: LimitKind
  readonly n: number
  quantile(p: number): number
  chanceBy(day: number): number
  readonly layUp: { readonly day: number; readonly chance: number } | null
}

function sure(today: Temporal.PlainDate, governs: LimitKind, days: number): Forecast {
  const day = today.add({ days }).toString()
  const due = { early: day, likely: day, late: day }
  return {
    kind: 'estimate',
    governs,
    ...due,
    level,
    byMonth: byMonth(today, () => 1),
    beforeLayUp: null,
    limits: { [governs === 'months' ? 'calendar' : governs]: due },
    n: 1,
  }
}

function byMonth(
  today: Temporal.PlainDate,
  chanceBy: (day: number) => number,
): { readonly date: string; readonly chance: number }[] {
  const months: { date: string; chance: number }[] = []
  for (let ahead = 0; ahead < 24; ahead++) {
    const month = today.toPlainYearMonth().add({ months: ahead })
    const date = month.toPlainDate({ day: month.daysInMonth })
    const chance = Math.round(chanceBy(today.until(date, { largestUnit: 'days' }).days) * 1000) / 1000
    months.push({ date: date.toString(), chance })
    if (chance >= 0.995) break
  }
  return months
}

/** What a meter's use will be. */
export interface PredictedUse {
  /** Days of log that it was learnt from. */
  readonly days: number
  /** Days between the last that is known and today. */
  readonly behind: number
  /** Null while nothing was used at all: then there is nothing to learn from. */
  readonly prediction: UsePrediction | null
}

const predicted = new WeakMap<Timeline, Map<string, PredictedUse | null>>()

/** Predictions by the daily use that they were made from: most entries change nothing about it, and the next minute does not either. */
const predictions = new Map<string, UsePrediction>()

/** Three counts of a few engines, now and as of a few pasts. */
const mostPredictions = 32

function predictionOf(record: UseRecord, kind: Counted): UsePrediction {
  const key = `${kind} ${JSON.stringify({ ...record, use: [...record.use] })}`
  let prediction = predictions.get(key)
  if (prediction === undefined) {
    prediction = predictUse(record, horizon, { ...yachtUse, perRunningDay: perRunningDay[kind] })
    if (predictions.size >= mostPredictions) predictions.delete(predictions.keys().next().value!)
    predictions.set(key, prediction)
  }
  return prediction
}

/**
 * What use will come of the hours, miles or starts by which a piece of equipment is counted; null where nothing counts them. Made once for
 * each meter, day and timeline, for all that runs on it.
 */
export function predictedUse(from: Timeline, equipment: string, kind: Counted, now: number): PredictedUse | null {
  const book = fold(register, from)
  const meter = kind === 'hours' ? meterOf(book, equipment)?.handle : kind === 'starts' ? engineOf(from, equipment) : ''
  if (meter === undefined) return null
  let made = predicted.get(from)
  if (!made) {
    made = new Map()
    predicted.set(from, made)
  }
  const key = `${kind} ${meter} ${now}`
  let use = made.get(key)
  if (use === undefined) {
    const record = useRecord(from, equipment, kind, now)
    use =
      record === null
        ? null
        : {
            days: record.use.length + record.behind,
            behind: record.behind,
            prediction: record.use.some((amount) => amount > 0) ? predictionOf(record, kind) : null,
          }
    made.set(key, use)
  }
  return use
}

/**
 * Use by days of ship's time, from the day after the first reading to today, or to the last reading where the meter is read so seldom that
 * silence says nothing yet. What was counted between two readings belongs to the day of the second; more than one day can
 * have seen is shared out over as many days as it needs, evenly back to the reading before. Null where nothing counts it.
 */
export function useRecord(
  from: Timeline,
  equipment: string,
  kind: Counted,
  now: number,
): (UseRecord & { readonly behind: number }) | null {
  const midnight = Temporal.Instant.fromEpochMilliseconds(now)
    .toZonedDateTimeISO(from.zoneAt(now))
    .startOfDay().epochMilliseconds
  const noonUtc = Temporal.Instant.fromEpochMilliseconds(now).toZonedDateTimeISO(from.zoneAt(now)).toPlainDate()
  const today = Math.round(Date.parse(noonUtc.toString()) / dayMs)
  const dayNumber = (at: number) => today + Math.floor((at - midnight) / dayMs)

  const gains = gainsOf(from, equipment, kind, now)
  if (gains === null) return null
  const firstDay = dayNumber(gains.begun) + (gains.inclusive ? 0 : 1)
  const gaps = gains.read.slice(1).map((at, i) => (at - gains.read[i]!) / dayMs)
  const usualGap = gaps.length === 0 ? 0 : [...gaps].sort((a, b) => a - b)[gaps.length >> 1]!
  const lastRead = gains.read[gains.read.length - 1] ?? gains.begun
  const silence = today - dayNumber(lastRead)
  const behind = usualGap > 4 && silence < 2 * usualGap ? Math.max(0, silence) : 0
  const length = today - behind - firstDay + 1
  if (length < 1) return { firstDay, use: new Float64Array(0), behind }
  const use = new Float64Array(length)
  for (const { since, at, amount } of gains.list) {
    const last = dayNumber(at) - firstDay
    const days = Math.max(1, Math.min(Math.round(amount / mostInOneDay[kind]), dayNumber(at) - dayNumber(since)))
    const step = (dayNumber(at) - dayNumber(since)) / days
    for (let i = 0; i < days; i++) {
      const day = Math.min(length - 1, Math.max(0, Math.round(last - i * step)))
      use[day]! += amount / days
    }
  }
  return { firstDay, use, behind }
}

/** What was counted, by spans of time. */
interface Gains {
  readonly begun: number
  /** The first day belongs to the record. */
  readonly inclusive: boolean
  readonly list: readonly { readonly since: number; readonly at: number; readonly amount: number }[]
  /** When the meter was read; empty where each use is written by itself. */
  readonly read: readonly number[]
}

function gainsOf(from: Timeline, equipment: string, kind: Counted, now: number): Gains | null {
  const book = fold(register, from)
  if (kind === 'starts') {
    const engine = engineOf(from, equipment)
    const started = fold(runs, from).runs.flatMap((run) =>
      run.equipment === engine && run.started.at <= now ? [run.started.at] : [],
    )
    if (started.length === 0) return null
    return {
      begun: started[0]!,
      inclusive: true,
      list: started.map((at) => ({ since: at, at, amount: 1 })),
      read: [],
    }
  }
  const meter = kind === 'hours' ? meterOf(book, equipment) : distanceLog(book)
  const { points, line } = curveOf(from, meter?.handle ?? '')
  if (kind === 'hours' ? points.length > 0 : points.length > 1) {
    const list: { since: number; at: number; amount: number }[] = []
    for (let i = 1; i < line.length && line[i]!.at <= now; i++) {
      const amount = line[i]!.count - line[i - 1]!.count
      if (amount > 0) list.push({ since: line[i - 1]!.at, at: line[i]!.at, amount })
    }
    const read = points.map((point) => point.at).filter((at) => at <= now)
    return { begun: points[0]!.at, inclusive: false, list, read }
  }
  if (kind === 'hours') return null
  const sailed = fold(passages, from).passages.filter(({ begun, ended }) => (begun ?? ended)!.at <= now)
  const [first] = sailed
  if (!first) return null
  return {
    begun: (first.begun ?? first.ended)!.at,
    inclusive: true,
    list: sailed.flatMap((passage) => {
      const amount = milesOf(passage) ?? 0
      const at = passage.ended?.at
      return at !== undefined && at <= now && amount > 0 ? [{ since: passage.begun?.at ?? at, at, amount }] : []
    }),
    read: [],
  }
}
