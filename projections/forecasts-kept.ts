import { Temporal } from 'temporal-polyfill'
import type { Entry, EntryType } from '../events/index.ts'
import { engineOf } from './counts.ts'
import { dueRows, type LimitKind } from './due.ts'
import type { Estimate } from './figure.ts'
import { countAt, curveOf } from './meter-hours.ts'
import { milesOf, passages } from './passages.ts'
import { distanceLog, meterOf, register } from './register.ts'
import { runs } from './runs.ts'
import { median, sampleQuantile } from './statistics/sample-quantile.ts'
import { fold, momentOf, type Timeline, timeline } from './timeline.ts'

/** What counts towards a limit by use. */
type UseKind = Exclude<LimitKind, 'months'>

/** One forecast of one limit by use, as it was made and known at the start of a month. Days, YYYY-MM-DD. */
export interface MadeForecast {
  /** The day on which it was made. */
  readonly made: string
  readonly task: string
  readonly equipment: string
  readonly kind: UseKind
  /** From where the limit counts: the root of the service or fitting, and its moment. */
  readonly anchor: { readonly root: string; readonly at: number }
  readonly every: number
  readonly early: string
  readonly likely: string
  readonly late: string
}

/** A forecast beside what then happened. */
export interface JudgedForecast extends MadeForecast {
  /** The day on which the limit was reached by what is known now; null: not yet, though the late end has passed. */
  readonly fellDue: string | null
  /** Days from the likely day to that on which it fell due, or to today where it has not; positive: it fell due later. */
  readonly offBy: number
  readonly within: boolean
  /** Days from the making to the likely day. */
  readonly ahead: number
}

/** How good forecasts of one horizon were. */
export interface KeptBy {
  /** In words: "up to a month". */
  readonly horizon: string
  readonly n: number
  /** Distinct limits that fell due: forecasts of one from month to month are not independent. */
  readonly falls: number
  /** How many fell due between their early and late day. */
  readonly within: number
  /** Middle of the days that they were off, without sign. */
  readonly medianOff: number
}

/** How good the forecasts of this book were. */
export interface ForecastsKept {
  /** The first days of the months at which forecasts were made. */
  readonly months: readonly string[]
  /** Forecasts made, and of these not yet judged: their late end is still to come. */
  readonly made: number
  readonly open: number
  /** The nominal chance of early to late. */
  readonly level: number
  readonly overall: KeptBy | null
  readonly byHorizon: readonly KeptBy[]
  readonly judged: readonly JudgedForecast[]
  /**
   * By how much the ranges would have had to be wider (above 1) or narrower to hold what they promise, from the raw forecasts, each limit that fell
   * due counting once; `n` counts those.
   */
  readonly widen: Estimate
}

/** The chance that forecasts promise between early and late. */
const level = 0.8

/** Limits that fell due before ranges are said to be too wide or too narrow. */
const fallsNeeded = 10

/** What due dates hang on; gauges, checks, notes and stores say nothing of them. */
const relevant: readonly EntryType[] = [
  'book-set',
  'equipment-fitted',
  'equipment-removed',
  'meter-fitted',
  'meter-replaced',
  'upkeep-set',
  'upkeep-retired',
  'service-done',
  'engine-started',
  'engine-stopped',
  'hours-read',
  'passage-begun',
  'passage-ended',
]

/**
 * The entries that forecasts hang on. Of a meter that is read many times a day the first and the last reading of each day (UTC) are kept; what was
 * amended or struck is kept whole. What is left grows with the days of the log and not with its entries. In the order given.
 */
export function forecastEntries(entries: readonly Entry[]): Entry[] {
  const byId = new Map(entries.map((entry) => [entry.id, entry]))
  const mended = new Set<string>()
  for (const entry of entries)
    if (entry.replaces !== null) {
      mended.add(entry.id)
      mended.add(entry.replaces)
    }
  const rootType = (entry: Entry): EntryType => {
    let at = entry
    // A ring of amendments ends after as many steps as there are entries.
    for (let step = 0; at.replaces !== null && step < entries.length; step++) {
      const before = byId.get(at.replaces)
      if (!before) break
      at = before
    }
    return at.type
  }
  const counts = (entry: Entry): boolean => {
    const type = entry.replaces === null ? entry.type : rootType(entry)
    return relevant.includes(type) || (type === 'readings-taken' && readsHours(entry))
  }
  const kept: Entry[] = []
  const readings = new Map<string, Entry[]>()
  for (const entry of entries) {
    if (!counts(entry)) continue
    if (mended.has(entry.id) || (entry.type !== 'hours-read' && entry.type !== 'readings-taken')) {
      kept.push(entry)
      continue
    }
    const of = entry.type === 'hours-read' ? entry.data.meter : entry.data.equipment
    const key = `${of} ${entry.occurredAt.slice(0, 10)}`
    const there = readings.get(key)
    if (there) there.push(entry)
    else readings.set(key, [entry])
  }
  for (const some of readings.values()) {
    if (some.length > 2) {
      some.sort((a, b) => (a.occurredAt < b.occurredAt ? -1 : a.occurredAt > b.occurredAt ? 1 : a.id < b.id ? -1 : 1))
      some.splice(1, some.length - 2)
    }
    kept.push(...some)
  }
  return kept
}

/** A strike says nothing of hours itself; it is kept for what it strikes. */
const readsHours = (entry: Entry): boolean => entry.type !== 'readings-taken' || entry.data.hours !== undefined

/**
 * The first moments of the months of a log, in ship's time: from the month after the first entry was written down to that of `now`, the last `most`.
 * Before the first was written down nothing was known. An empty book has none.
 */
export function monthStarts(from: Timeline, now: number, most: number): number[] {
  const written = from.all.map((fair) => momentOf(fair.versions[0]!.recordedAt))
  const first = written.reduce((least, at) => Math.min(least, at), Number.POSITIVE_INFINITY)
  if (!(first < now)) return []
  const monthOf = (at: number) =>
    Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(from.zoneAt(at)).toPlainDate().with({ day: 1 })
  const starts: number[] = []
  for (let month = monthOf(now); starts.length < most; month = month.subtract({ months: 1 })) {
    const at = month.toZonedDateTime(from.zoneAt(now)).epochMilliseconds
    if (at <= first) break
    starts.push(at)
  }
  return starts.reverse()
}

/**
 * The forecasts as they were known at a moment: by entries that had happened and had been written down by then. Limits by use alone: the calendar is
 * no forecast. Left out are limits that were over and those whose range had no end.
 * @param entries as `forecastEntries` gives them
 */
export function forecastsMadeAt(entries: readonly Entry[], at: number): MadeForecast[] {
  const from = timeline(entries, { asOf: at, asKnown: at })
  const made = Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(from.zoneAt(at)).toPlainDate().toString()
  return dueRows(from, at).flatMap(({ task, limits, forecast, from: anchor }) => {
    if (forecast.kind !== 'estimate') return []
    return limits.flatMap((limit): MadeForecast[] => {
      if (limit.kind === 'months' || limit.left <= 0) return []
      const days = forecast.limits[limit.kind]
      if (!days || days.early === null || days.likely === null || days.late === null) return []
      return [
        {
          made,
          task: task.handle,
          equipment: task.data.equipment,
          kind: limit.kind,
          anchor: { root: anchor.root, at: anchor.at },
          every: limit.every,
          early: days.early,
          likely: days.likely,
          late: days.late,
        },
      ]
    })
  })
}

/**
 * What became of forecasts, by what is known now. A forecast is judged once its late end has passed, whether it had fallen due by then or not:
 * choosing by what happened would flatter it.
 * @param from the fair log as it is known now
 */
export function forecastsKept(
  from: Timeline,
  months: readonly number[],
  made: readonly MadeForecast[],
  now: number,
): ForecastsKept {
  const dayAt = (at: number) =>
    Temporal.Instant.fromEpochMilliseconds(Math.floor(at)).toZonedDateTimeISO(from.zoneAt(at)).toPlainDate()
  const today = dayAt(now)
  const reached = new Map<string, string | null>()
  const judged = made.flatMap((one): JudgedForecast[] => {
    if (Temporal.PlainDate.compare(one.late, today) >= 0) return []
    const key = `${one.task} ${one.kind} ${one.anchor.root} ${one.every}`
    let fellDue = reached.get(key)
    if (fellDue === undefined) {
      const at = reachedAt(from, one, now)
      fellDue = at === null ? null : dayAt(at).toString()
      reached.set(key, fellDue)
    }
    const off = Temporal.PlainDate.from(one.likely).until(fellDue ?? today, { largestUnit: 'days' }).days
    return [
      {
        ...one,
        fellDue,
        offBy: off,
        within: fellDue !== null && one.early <= fellDue && fellDue <= one.late,
        ahead: Temporal.PlainDate.from(one.made).until(one.likely, { largestUnit: 'days' }).days,
      },
    ]
  })
  return {
    months: months.map((at) => dayAt(at).toString()),
    made: made.length,
    open: made.length - judged.length,
    level,
    overall: judged.length === 0 ? null : keptBy('all of them', judged),
    byHorizon: horizons.flatMap(({ words, least, most }) => {
      const some = judged.filter((one) => one.ahead >= least && one.ahead < most)
      return some.length === 0 ? [] : [keptBy(words, some)]
    }),
    judged,
    widen: widenBy(judged),
  }
}

const horizons = [
  { words: 'up to a month ahead', least: Number.NEGATIVE_INFINITY, most: 31 },
  { words: 'one to three months', least: 31, most: 92 },
  { words: 'three to six months', least: 92, most: 183 },
  { words: 'six months to a year', least: 183, most: 366 },
  { words: 'more than a year', least: 366, most: Number.POSITIVE_INFINITY },
] as const

const fallOf = (one: MadeForecast): string => `${one.task} ${one.kind} ${one.anchor.root} ${one.every}`

const keptBy = (horizon: string, some: readonly JudgedForecast[]): KeptBy => ({
  horizon,
  n: some.length,
  falls: new Set(some.map(fallOf)).size,
  within: some.filter((one) => one.within).length,
  medianOff: median(some.map((one) => Math.abs(one.offBy))),
})

/**
 * How far off each limit was, in halves of its own range (1: at the early or the late end), the middle over the months; of these the value that
 * as many stay below as the level promises. Ends by the ranks of a binomial count, normal approximation (Conover, Practical Nonparametric
 * Statistics, 3rd ed., section 3.2; from memory).
 */
function widenBy(judged: readonly JudgedForecast[]): Estimate {
  const byFall = new Map<string, number[]>()
  for (const one of judged) {
    const from = Temporal.PlainDate.from(one.likely)
    const half = Math.max(1, Math.abs(from.until(one.offBy >= 0 ? one.late : one.early, { largestUnit: 'days' }).days))
    const there = byFall.get(fallOf(one))
    const share = Math.abs(one.offBy) / half
    if (there) there.push(share)
    else byFall.set(fallOf(one), [share])
  }
  const shares = [...byFall.values()].map(median)
  if (shares.length < fallsNeeded) return { kind: 'not-enough', n: shares.length, needed: fallsNeeded }
  const reach = 1.2816 * Math.sqrt((level * (1 - level)) / shares.length)
  return {
    kind: 'estimate',
    value: sampleQuantile(shares, level),
    low: sampleQuantile(shares, Math.max(0, level - reach)),
    high: sampleQuantile(shares, Math.min(1, level + reach)),
    n: shares.length,
  }
}

/** The moment at which a limit was reached, by what is known now; null if it has not been, or its beginning was struck. */
function reachedAt(from: Timeline, one: MadeForecast, now: number): number | null {
  const begun = from.find(one.anchor.root)
  if (!begun || begun.struck) return null
  if (one.kind === 'starts') {
    const engine = engineOf(from, one.equipment)
    const starts = fold(runs, from).runs.filter(
      (run) => run.equipment === engine && run.started.at > begun.at && run.started.at <= now,
    )
    return starts[Math.ceil(one.every) - 1]?.started.at ?? null
  }
  const book = fold(register, from)
  const meter = one.kind === 'hours' ? meterOf(book, one.equipment) : distanceLog(book)
  const curve = curveOf(from, meter?.handle ?? '')
  if (one.kind === 'miles' && curve.points.length <= 1) {
    let miles = 0
    for (const passage of fold(passages, from).passages) {
      const at = passage.ended?.at
      if (at === undefined || at <= begun.at || at > now) continue
      miles += milesOf(passage) ?? 0
      if (miles >= one.every) return at
    }
    return null
  }
  const start = countAt(curve, begun.at, begun.root)
  if (start === null) return null
  const wanted = start + one.every
  const { line } = curve
  const index = line.findIndex((corner) => corner.count >= wanted && corner.at >= begun.at)
  const corner = line[index]
  if (!corner || corner.at > now) return null
  const before = line[index - 1]
  if (!before || corner.count === before.count) return corner.at
  return before.at + ((wanted - before.count) / (corner.count - before.count)) * (corner.at - before.at)
}
