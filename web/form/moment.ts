import { Temporal } from 'temporal-polyfill'
import type { Refusal } from '../../events/define.ts'
import { isDay, momentOf } from '../../projections/timeline.ts'
import type { Typed } from './typed.ts'

/** The boxes that say when: the day, the time of day, and which of two when the clock was put back. */
export const whenBoxes = { date: 'when.date', time: 'when.time', turn: 'when.turn' } as const

/** Ship's time: the zone aboard at a moment, and the present moment. */
export interface ShipsTime {
  readonly zoneAt: (at: number) => string
  /** Milliseconds. */
  readonly now: number
}

/** One of the two moments that a time names when the clock was put back. */
export interface Turn {
  value: 'first' | 'second'
  words: string
}

/** What reading the boxes gives; `turns` when it must be said which of two moments is meant. */
export type When =
  | { ok: true; occurredAt: string; at: number }
  | { ok: false; refusals: Refusal[]; turns?: readonly Turn[] }

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

/** A day as it stands in a box: 14 Jun 2026. */
export function boxDay(date: Temporal.PlainDate | string): string {
  const day = typeof date === 'string' ? Temporal.PlainDate.from(date) : date
  return `${day.day} ${months[day.month - 1]} ${day.year}`
}

const boxTime = (time: { hour: number; minute: number }): string =>
  `${String(time.hour).padStart(2, '0')}.${String(time.minute).padStart(2, '0')}`

const aboard = (at: number, zoneAt: ShipsTime['zoneAt']): Temporal.ZonedDateTime =>
  Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(zoneAt(at))

/** The boxes filled in with the present moment, in ship's time. */
export function boxesNow({ zoneAt, now }: ShipsTime): Record<string, string> {
  const there = aboard(now, zoneAt)
  return { [whenBoxes.date]: boxDay(there.toPlainDate()), [whenBoxes.time]: boxTime(there) }
}

/** The boxes filled in with when an entry happened, in the ship's time of then; a day alone leaves the time empty. */
export function boxesOfMoment(occurredAt: string, zoneAt: ShipsTime['zoneAt']): Record<string, string> {
  if (isDay(occurredAt)) return { [whenBoxes.date]: boxDay(occurredAt), [whenBoxes.time]: '' }
  const there = aboard(momentOf(occurredAt), zoneAt)
  return { [whenBoxes.date]: boxDay(there.toPlainDate()), [whenBoxes.time]: boxTime(there) }
}

type ReadDay = { ok: true; date: Temporal.PlainDate } | { ok: false; problem: string }

/**
 * Reads a day as people write it: 14 Jun 2026, 14 June, 14.6.2026, 14.6., 2026-06-14, today, yesterday. Without a year it is the last
 * such day that has been. Days written with strokes are read differently on the two sides of the Atlantic and are questioned.
 * @param text not empty
 */
export function readDay(text: string, title: string, today: Temporal.PlainDate): ReadDay {
  const typed = text.trim()
  const refuse = (expected: string): ReadDay => ({ ok: false, problem: `${title}: got "${typed}", ${expected}.` })
  const form = 'expected a day, such as 14 Jun 2026, 14.6.2026, 2026-06-14, or yesterday'
  const word = typed.toLowerCase()
  if (word === 'today') return { ok: true, date: today }
  if (word === 'yesterday') return { ok: true, date: today.subtract({ days: 1 }) }
  let parts: { year: number | null; month: number; day: number } | null = null
  const iso = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(typed)
  const dotted = /^(\d{1,2})\.\s?(\d{1,2})\.(?:\s?(\d{4}))?$/.exec(typed)
  const named = /^(?:\p{L}{2,9}\.?,? )?(\d{1,2})\.? (\p{L}{3,9})\.?(?:,? (\d{4}))?$/u.exec(typed)
  if (iso) parts = { year: Number(iso[1]), month: Number(iso[2]), day: Number(iso[3]) }
  else if (dotted)
    parts = { year: dotted[3] ? Number(dotted[3]) : null, month: Number(dotted[2]), day: Number(dotted[1]) }
  else if (named) {
    const month = months.findIndex((name) => named[2]!.toLowerCase().startsWith(name.toLowerCase())) + 1
    if (month > 0) parts = { year: named[3] ? Number(named[3]) : null, month, day: Number(named[1]) }
  } else if (/^\d{1,2}\/\d{1,2}(\/\d{2,4})?$/.test(typed))
    return refuse('which can be read in two ways; write the month as a word, such as 14 Jun 2026')
  if (!parts) return refuse(form)
  const { year, month, day } = parts
  const exists = (inYear: number): Temporal.PlainDate | null => {
    try {
      return Temporal.PlainDate.from({ year: inYear, month, day }, { overflow: 'reject' })
    } catch {
      return null
    }
  }
  if (year !== null) {
    const date = exists(year)
    return date ? { ok: true, date } : refuse('which is no day of the calendar')
  }
  // Four years back there is every day, the 29th of February too.
  for (let back = 0; back <= 8; back++) {
    const date = exists(today.year - back)
    if (date && Temporal.PlainDate.compare(date, today.add({ days: 1 })) <= 0) return { ok: true, date }
  }
  return refuse('which is no day of the calendar')
}

function readTime(text: string): Temporal.PlainTime | null {
  const parts = /^(\d{1,2})[.:h ](\d{2})(?:[.:](\d{2}))?$/.exec(text) ?? /^(\d{1,2})(\d{2})$/.exec(text)
  if (!parts) return null
  const [hour, minute, second] = [Number(parts[1]), Number(parts[2]), Number(parts[3] ?? 0)]
  if (hour > 23 || minute > 59 || second > 59) return null
  return new Temporal.PlainTime(hour, minute, second)
}

const rfc3339 = (moment: Temporal.ZonedDateTime): string =>
  moment.toString({ smallestUnit: 'second', timeZoneName: 'never' })

/**
 * Reads the boxes that say when. An empty time means that only the day is known. A time that the clock aboard skipped, or showed twice,
 * is questioned.
 * @param before the time of the entry that is amended: boxes that still say the same keep it to the second
 */
export function readWhen(typed: Typed, { zoneAt, now }: ShipsTime, before?: string): When {
  const dateText = typed.get(whenBoxes.date).trim()
  const timeText = typed.get(whenBoxes.time).trim()
  const turn = typed.get(whenBoxes.turn)
  const refuse = (field: string, problem: string, turns?: readonly Turn[]): When => ({
    ok: false,
    refusals: [{ field, problem }],
    ...(turns ? { turns } : {}),
  })
  if (before !== undefined && turn === '') {
    const same = boxesOfMoment(before, zoneAt)
    if (same[whenBoxes.date] === dateText && same[whenBoxes.time] === timeText) {
      const at = isDay(before)
        ? Temporal.PlainDate.from(before).toZonedDateTime(zoneAt(now)).epochMilliseconds
        : momentOf(before)
      return { ok: true, occurredAt: before, at }
    }
  }
  if (dateText === '')
    return refuse(
      whenBoxes.date,
      'Day: got nothing, expected a day, such as 14 Jun 2026. Only the time may be left empty.',
    )
  const day = readDay(dateText, 'Day', aboard(now, zoneAt).toPlainDate())
  if (!day.ok) return refuse(whenBoxes.date, day.problem)
  if (timeText === '') {
    const noon = day.date.toZonedDateTime({ timeZone: 'UTC', plainTime: '12:00' }).epochMilliseconds
    const at = day.date.toZonedDateTime(zoneAt(noon)).epochMilliseconds
    return { ok: true, occurredAt: day.date.toString(), at }
  }
  const time = readTime(timeText)
  if (!time)
    return refuse(
      whenBoxes.time,
      `Time: got "${timeText}", expected hours and minutes of the 24-hour clock, such as 16.31. Leave it empty if only the day is known.`,
    )
  const local = day.date.toPlainDateTime(time)
  const guess = zoneAt(local.toZonedDateTime('UTC').epochMilliseconds)
  const zone = zoneAt(local.toZonedDateTime(guess).epochMilliseconds)
  const earlier = local.toZonedDateTime(zone, { disambiguation: 'earlier' })
  const later = local.toZonedDateTime(zone, { disambiguation: 'later' })
  if (earlier.epochMilliseconds === later.epochMilliseconds)
    return { ok: true, occurredAt: rfc3339(earlier), at: earlier.epochMilliseconds }
  if (!earlier.toPlainDateTime().equals(local))
    return refuse(
      whenBoxes.time,
      `Time: got ${boxTime(time)} on ${boxDay(day.date)}, which the clock skipped in ship's time (${zone}): it was put on by daylight saving. Write ${boxTime(later)} if the watch had not been put on yet; else look at the time again.`,
    )
  if (turn === 'first' || turn === 'second') {
    const meant = turn === 'first' ? earlier : later
    return { ok: true, occurredAt: rfc3339(meant), at: meant.epochMilliseconds }
  }
  return refuse(
    whenBoxes.turn,
    `The clock showed ${boxTime(time)} twice on ${boxDay(day.date)} in ship's time (${zone}): it was put back by daylight saving. Which one was it?`,
    [
      { value: 'first', words: `the first, before the clock was put back (${earlier.offset})` },
      { value: 'second', words: `the second, after it (${later.offset})` },
    ],
  )
}
