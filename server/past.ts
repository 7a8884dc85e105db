import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import { type AsOf, momentOf, startOfDay, type Timeline } from '../projections/timeline.ts'

/** The past that was asked for, and the query that keeps it; or a sentence that says what was wrong. */
export type Past = { ok: true; past: AsOf; keep: string } | { ok: false; problem: string }

const moment = z.iso.datetime({ offset: true })
const day = z.iso.date()

/**
 * Reads `as-of` ("as it was") and `as-known` ("as we knew it"), from an address or a command line.
 * @param asOf RFC 3339 with offset, or a day, which means its last millisecond in ship's time; undefined: not asked for
 * @param asKnown the same
 * @param aboard the fair log that knows ship's time
 */
export function readPast(asOf: string | undefined, asKnown: string | undefined, aboard: Timeline): Past {
  const past: { asOf?: number; asKnown?: number } = {}
  const keep = new URLSearchParams()
  for (const [name, key, text] of [
    ['as-of', 'asOf', asOf],
    ['as-known', 'asKnown', asKnown],
  ] as const) {
    if (text === undefined) continue
    const at = momentAsked(text, aboard)
    if (at === undefined)
      return {
        ok: false,
        problem: `${name}: got "${shortened(text)}", expected a time with its offset, such as 2026-06-14T16:31:00+02:00, or a day, such as 2026-06-14. Correct it, or leave it out to see the book as it is now.`,
      }
    past[key] = at
    keep.set(name, text)
  }
  return { ok: true, past, keep: keep.toString() }
}

/**
 * The moment that a text names, milliseconds: RFC 3339 with offset, or a day.
 * @param end which end of a day is meant; default its last millisecond
 * @returns undefined when the text is neither
 */
export function momentAsked(text: string, aboard: Timeline, end: 'first' | 'last' = 'last'): number | undefined {
  // In an address a plus sign that was not escaped arrives as a space.
  const time = text.replace(/ (?=\d\d:\d\d$)/, '+')
  if (moment.safeParse(time).success) return momentOf(time)
  if (!day.safeParse(text).success) return undefined
  const zone = aboard.zoneAt(Date.parse(`${text}T12:00:00Z`))
  if (end === 'first') return startOfDay(text, zone)
  return startOfDay(Temporal.PlainDate.from(text).add({ days: 1 }).toString(), zone) - 1
}

const shortened = (text: string): string => (text.length > 60 ? `${text.slice(0, 57)}...` : text)
