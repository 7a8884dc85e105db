import { expect, test } from 'vitest'
import { timeline } from '../../projections/timeline.ts'
import { momentAsked, readPast } from '../../server/past.ts'
import { line, taken } from '../events/lines.ts'

const utc = (text: string) => Date.parse(text)

/** Ship's time was Stockholm's until 20 June 2026 at noon UTC, then Helsinki's. */
const aboard = timeline(
  taken([
    line(1, 'book-set', { zone: 'Europe/Stockholm' }, { occurredAt: '2026-01-01' }),
    line(2, 'book-set', { zone: 'Europe/Helsinki' }, { occurredAt: '2026-06-20T12:00:00Z' }),
  ]),
)

test('nothing asked for is no past', () => {
  expect(readPast(undefined, undefined, aboard)).toEqual({ ok: true, past: {}, keep: '' })
})

// RFC 3339, section 5.8: "1985-04-12T23:20:50.52Z" and "1996-12-19T16:39:57-08:00", which "is equivalent to 1996-12-20T00:39:57Z".
test('the example times of RFC 3339 are read as it says', () => {
  expect(momentAsked('1985-04-12T23:20:50.52Z', aboard)).toBe(Date.UTC(1985, 3, 12, 23, 20, 50, 520))
  expect(momentAsked('1996-12-19T16:39:57-08:00', aboard)).toBe(Date.UTC(1996, 11, 20, 0, 39, 57))
})

test('a day means its last millisecond in the zone aboard on that day', () => {
  expect(momentAsked('2026-06-14', aboard)).toBe(utc('2026-06-14T21:59:59.999Z'))
  expect(momentAsked('2026-06-25', aboard)).toBe(utc('2026-06-25T20:59:59.999Z'))
})

test('where a day begins something, its first moment is meant', () => {
  expect(momentAsked('2026-06-14', aboard, 'first')).toBe(utc('2026-06-13T22:00:00Z'))
})

// Directive 2000/84/EC: summer time begins on the last Sunday of March at 01.00 UTC and ends on the last Sunday of October.
test('the days on which the clock is changed are 23 and 25 hours long', () => {
  const hours = (day: string) =>
    (momentAsked(day, aboard, 'last')! + 1 - momentAsked(day, aboard, 'first')!) / 3_600_000
  expect(hours('2026-03-29')).toBe(23)
  expect(hours('2026-10-25')).toBe(25)
  expect(hours('2026-06-14')).toBe(24)
})

test('a plus sign that an address has turned into a space is read as a plus', () => {
  expect(momentAsked('2026-06-14T16:31:00 02:00', aboard)).toBe(utc('2026-06-14T14:31:00Z'))
})

test('both clocks may be asked for, and the query keeps them as they were typed', () => {
  const read = readPast('2026-06-14T16:31:00+02:00', '2026-06-25', aboard)
  expect(read).toEqual({
    ok: true,
    past: { asOf: utc('2026-06-14T14:31:00Z'), asKnown: utc('2026-06-25T20:59:59.999Z') },
    keep: 'as-of=2026-06-14T16%3A31%3A00%2B02%3A00&as-known=2026-06-25',
  })
})

test.each([
  'yesterday',
  '14.6.2026',
  '2026-02-30',
  '2026-06-14T25:00:00Z',
  '2026-06-14T16:31:00',
  '2026-6-14',
  '',
  'x'.repeat(500),
])('"%s" is refused with a sentence that says what was got and what was expected', (text) => {
  const read = readPast(text, undefined, aboard)
  expect(read).toMatchObject({ ok: false })
  if (read.ok) return
  expect(read.problem).toContain(`as-of: got "${text.slice(0, 57)}`)
  expect(read.problem).toContain('expected a time with its offset')
  expect(read.problem.length).toBeLessThan(300)
})
