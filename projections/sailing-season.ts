import { Temporal } from 'temporal-polyfill'
import { passages } from './passages.ts'
import { fold, isDay, type Timeline, type Told } from './timeline.ts'

/** One season as it was sailed. Days, YYYY-MM-DD. */
export interface SailedSeason {
  readonly first: string
  readonly last: string
  /** The entries of its first and its last passage. */
  readonly entries: readonly string[]
  /** A later season has begun, so that `last` is its end. */
  readonly ended: boolean
}

/** When this boat sails and when she is laid up, by her passages. */
export interface SailingYear {
  readonly seasons: readonly SailedSeason[]
  /** The day of the year (1 to 365) in the middle of the longest time without a passage; null where there is no lay-up. */
  readonly turn: number | null
  /** By month, January first: on how many of its days she was under way, and of how many days the log knows. */
  readonly months: readonly { readonly underWay: number; readonly known: number }[]
}

/** A gap of two months in the passages of all years together is a lay-up; less is a pause. Common practice, no source. */
const layUpDays = 60

/** Where a day falls, by the seasons that the log knows. */
export type FallsIn = 'lay-up' | 'season' | 'either'

/**
 * The seasons of a boat, from her passages: the year turns in the middle of the longest part of it in which she never sailed.
 * Without passages there are no seasons.
 * @param now milliseconds
 */
export function sailingYear(from: Timeline, now: number): SailingYear {
  const days = fold(passages, from).passages.flatMap((passage) => daysOf(from, passage.begun, passage.ended, now))
  const months = monthsOf(days, dayOf(from, now))
  const turn = turnOf(days.map(({ day }) => day.dayOfYear))
  if (days.length === 0 || turn === null) return { seasons: [], turn: null, months }
  const seasons: { first: (typeof days)[number]; last: (typeof days)[number]; year: number }[] = []
  for (const one of days) {
    const year = one.day.dayOfYear > turn ? one.day.year : one.day.year - 1
    const open = seasons[seasons.length - 1]
    if (open?.year === year) open.last = one
    else seasons.push({ first: one, last: one, year })
  }
  const today = dayOf(from, now)
  const present = today.dayOfYear > turn ? today.year : today.year - 1
  return {
    seasons: seasons.map(({ first, last, year }) => ({
      first: first.day.toString(),
      last: last.day.toString(),
      entries: [...new Set([first.root, last.root])],
      ended: year < present,
    })),
    turn,
    months,
  }
}

/**
 * Whether a day falls where she has always been laid up, where she has always sailed, or between; null with fewer than two seasons that ended.
 * @param date YYYY-MM-DD
 */
export function fallsIn({ seasons, turn }: SailingYear, date: string): FallsIn | null {
  const ended = seasons.filter((season) => season.ended)
  if (turn === null || ended.length < 2) return null
  const since = (day: string) => (Temporal.PlainDate.from(day).dayOfYear - turn + 366) % 366
  const at = since(date)
  const begins = seasons.map((season) => since(season.first))
  const ends = ended.map((season) => since(season.last))
  if (at < Math.min(...begins) || at > Math.max(...ends)) return 'lay-up'
  return at >= Math.max(...begins) && at <= Math.min(...ends) ? 'season' : 'either'
}

const dayOf = (from: Timeline, at: number): Temporal.PlainDate =>
  Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(from.zoneAt(at)).toPlainDate()

/** The days of one passage with the entry that says so; one of which only an end is known is that day. */
function daysOf(from: Timeline, begun: Told | null, ended: Told | null, now: number) {
  const on = (entry: Told) =>
    isDay(entry.occurredAt) ? Temporal.PlainDate.from(entry.occurredAt) : dayOf(from, entry.at)
  const first = begun ?? ended
  if (!first || first.at > now) return []
  const last = ended ?? begun!
  const days: { day: Temporal.PlainDate; root: string }[] = []
  const until = on(last)
  for (let day = on(first); Temporal.PlainDate.compare(day, until) <= 0; day = day.add({ days: 1 })) {
    days.push({ day, root: Temporal.PlainDate.compare(day, until) < 0 ? first.root : last.root })
    // No passage of a cruising yacht is longer; an end that was never written must not fill the years.
    if (days.length > 120) break
  }
  return days
}

/** The middle of the longest gap between the days of the year given, round the year; null where it is shorter than a lay-up. */
function turnOf(daysOfYear: readonly number[]): number | null {
  const sorted = [...new Set(daysOfYear)].sort((a, b) => a - b)
  let longest = { gap: 0, from: 0 }
  sorted.forEach((day, index) => {
    const next = sorted[index + 1] ?? sorted[0]! + 365
    if (next - day > longest.gap) longest = { gap: next - day, from: day }
  })
  if (longest.gap < layUpDays) return null
  return Math.max(1, Math.round(longest.from + longest.gap / 2) % 365)
}

function monthsOf(
  days: readonly { readonly day: Temporal.PlainDate }[],
  today: Temporal.PlainDate,
): SailingYear['months'] {
  const underWay = Array.from({ length: 12 }, () => new Set<string>())
  for (const { day } of days) underWay[day.month - 1]!.add(day.toString())
  const known = Array.from({ length: 12 }, () => 0)
  const first = days[0]?.day
  if (first)
    for (
      let month = first.with({ day: 1 });
      Temporal.PlainDate.compare(month.add({ months: 1 }), today) <= 0;
      month = month.add({ months: 1 })
    )
      known[month.month - 1]! += month.daysInMonth
  // The month that runs and the one in which the log began are known in part: they count with what was seen of them.
  return underWay.map((set, index) => ({ underWay: set.size, known: Math.max(known[index]!, set.size) }))
}
