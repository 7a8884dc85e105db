import { Temporal } from 'temporal-polyfill'

/**
 * Dates and times as the log writes them, in English words and in ship's time. The names stand here and do not come from the
 * machine's locale: the same entry reads the same aboard and ashore.
 */

const weekdays = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday']
const months = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
]
const numbers = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
]

const two = (n: number): string => String(n).padStart(2, '0')
const short = (word: string): string => word.slice(0, 3)
const aboard = (at: number, zone: string): Temporal.ZonedDateTime =>
  Temporal.Instant.fromEpochMilliseconds(Math.floor(at)).toZonedDateTimeISO(zone)

/** The ship's day of a moment, YYYY-MM-DD. */
export const shipDay = (at: number, zone: string): string => aboard(at, zone).toPlainDate().toString()

/** "19.42" */
export function clockText(at: number, zone: string): string {
  const { hour, minute } = aboard(at, zone)
  return `${two(hour)}.${two(minute)}`
}

/** "Sun 14 Jun 2026, 19.42" */
export function momentText(at: number, zone: string): string {
  const time = aboard(at, zone)
  return `${short(weekdays[time.dayOfWeek - 1]!)} ${time.day} ${short(months[time.month - 1]!)} ${time.year}, ${clockText(at, zone)}`
}

/** The offset of ship's time from UTC at a moment: "+02:00" */
export const offsetText = (at: number, zone: string): string => aboard(at, zone).offset

/** A moment for a `datetime` attribute or a form: RFC 3339 with ship's offset, to the second. */
export const momentIso = (at: number, zone: string): string =>
  aboard(at, zone).toString({ timeZoneName: 'never', smallestUnit: 'second' })

/**
 * The head of a day: "Sunday 14 June"; with its year when that is not the year of `beside`.
 * @param date YYYY-MM-DD
 * @param beside the day by which the reader knows the year, YYYY-MM-DD
 */
export function dayText(date: string, beside?: string): string {
  const day = Temporal.PlainDate.from(date)
  return `${weekdays[day.dayOfWeek - 1]} ${day.day} ${months[day.month - 1]}${year(day, beside)}`
}

/** "14 Jun"; with its year when that is not the year of `beside`. Both YYYY-MM-DD. */
export function shortDayText(date: string, beside?: string): string {
  const day = Temporal.PlainDate.from(date)
  return `${day.day} ${short(months[day.month - 1]!)}${year(day, beside)}`
}

const year = (day: Temporal.PlainDate, beside: string | undefined): string =>
  beside === undefined || Number(beside.slice(0, 4)) === day.year ? '' : ` ${day.year}`

/** "14 Jun 12.52" */
export const shortMomentText = (at: number, zone: string, beside?: string): string =>
  `${shortDayText(shipDay(at, zone), beside)} ${clockText(at, zone)}`

/** The month of a day: "Jun". */
export const monthText = (date: string): string => short(months[Temporal.PlainDate.from(date).month - 1]!)

/**
 * How late something was written, in words: "two days late", "13 hours late".
 * @param happened the ship's day of what happened, YYYY-MM-DD
 * @param written the ship's day on which it was written, YYYY-MM-DD
 * @param lateBy milliseconds; decides only below a day
 */
export function lateText(happened: string, written: string, lateBy: number): string {
  const days = Temporal.PlainDate.from(happened).until(written, { largestUnit: 'days' }).days
  if (days < 1 || lateBy < 24 * 3600_000) {
    const hours = Math.round(lateBy / 3600_000)
    if (hours < 24 && hours > 0) return `${count(hours, 'hour')} late`
  }
  return days < 1 ? 'late' : `${count(days, 'day')} late`
}

const count = (n: number, word: string): string => {
  if (n === 1) return word === 'hour' ? 'an hour' : `a ${word}`
  return `${numbers[n] ?? n} ${word}s`
}
