import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { decode } from '../../events/index.ts'
import { isDay, momentOf, timeline } from '../../projections/timeline.ts'
import { note, taken } from '../events/lines.ts'
import { workedExamples } from './worked-examples.ts'

/**
 * Times as RFC 3339 (2002) has them: https://www.rfc-editor.org/rfc/rfc3339. The book reads a part of it and says so for the rest:
 * capital T and Z (section 5.6 lets a specification ask for that), and no leap seconds, which the clocks of JavaScript do not have.
 */

const decoded = (occurredAt: unknown) => decode({ ...note(1, 'x'), occurredAt })

const momentAs = (occurredAt: string): number => {
  const [entry] = timeline(taken([note(1, 'x', { occurredAt })])).told
  return entry!.at
}

const refusalOf = (occurredAt: unknown) => {
  const answer = decoded(occurredAt)
  if (answer.ok) throw new Error(`${String(occurredAt)} was accepted.`)
  expect(answer.refusals.map(({ field }) => field)).toEqual(['occurredAt'])
  return answer.problem
}

describe('the examples of RFC 3339, section 5.8', () => {
  // Each with what the text of the section says of it, as milliseconds by the calendar.
  const examples: [string, number, string][] = [
    [
      '1985-04-12T23:20:50.52Z',
      Date.UTC(1985, 3, 12, 23, 20, 50, 520),
      '20 minutes and 50.52 seconds after the 23rd hour, UTC',
    ],
    ['1996-12-19T16:39:57-08:00', Date.UTC(1996, 11, 20, 0, 39, 57), 'equivalent to 1996-12-20T00:39:57Z'],
    ['1937-01-01T12:00:27.87+00:20', Date.UTC(1937, 0, 1, 11, 40, 27, 870), 'noon in the Netherlands, 1937, at +00:20'],
  ]
  test.each(examples)('%s', (text, expected) => {
    expect(decoded(text).ok).toBe(true)
    expect(momentAs(text)).toBe(expected)
    expect(momentOf(text)).toBe(expected)
  })

  test('the equivalent times that the section names fall on one moment', () => {
    expect(momentAs('1996-12-19T16:39:57-08:00')).toBe(momentAs('1996-12-20T00:39:57Z'))
  })

  test.each(['1990-12-31T23:59:60Z', '1990-12-31T15:59:60-08:00'])(
    'the leap second %s is refused, and it is said what to write',
    (text) => {
      expect(refusalOf(text)).toBe(
        `Occurred at: got "${text}", expected a time with its offset (2026-06-14T16:31:00+02:00), or a day (2026-06-14).`,
      )
    },
  )
})

test('an offset worked to UTC by hand, day carried over, agrees (W56, from RFC 3339, section 5.8)', () => {
  const { inputs, expected } = workedExamples.find(({ id }) => id === 'W56')!
  const seconds = Math.round(inputs.local_h! * 3600)
  const clock = [seconds / 3600, (seconds / 60) % 60, seconds % 60].map((n) => String(Math.floor(n)).padStart(2, '0'))
  const offset = `${inputs.offset_h! < 0 ? '-' : '+'}${String(Math.abs(inputs.offset_h!)).padStart(2, '0')}:00`
  const at = momentAs(`1996-12-19T${clock.join(':')}${offset}`)
  const hoursIntoFirstDay = (at - Date.UTC(1996, 11, 19)) / 3_600_000
  expect(Math.floor(hoursIntoFirstDay / 24)).toBe(expected.day_carry!.value)
  // The hours of the example are written with fourteen digits: less than a millisecond.
  expect(hoursIntoFirstDay % 24).toBeCloseTo(expected.utc_h!.value, 9)
})

describe('what else RFC 3339 allows', () => {
  test.each([
    ['2026-06-14T16:31:00.123456789+02:00', '2026-06-14T14:31:00.123Z', 'any number of digits after the point (5.6)'],
    ['2026-06-14T16:31:00-00:00', '2026-06-14T16:31:00Z', 'an offset that is unknown: UTC, section 4.3'],
    ['2026-06-14T00:00:00+14:00', '2026-06-13T10:00:00Z', 'the first zone that sees a day'],
    ['2026-06-14T23:59:59-12:00', '2026-06-15T11:59:59Z', 'the last one'],
    ['2026-06-14T16:31:00+05:45', '2026-06-14T10:46:00Z', 'an offset in quarters of an hour'],
    ['2000-02-29T12:00:00Z', '2000-02-29T12:00:00Z', 'a leap year of a century that 400 divides (appendix C)'],
    ['2024-02-29T12:00:00Z', '2024-02-29T12:00:00Z', 'a leap year'],
  ])('%s is %s: %s', (text, utc) => {
    expect(decoded(text).ok).toBe(true)
    expect(momentAs(text)).toBe(Date.parse(utc))
  })

  test('the day alone, a full-date of section 5.6, is taken as what it is', () => {
    expect(decoded('2026-06-14').ok).toBe(true)
    expect(decoded('2024-02-29').ok).toBe(true)
    expect([isDay('2026-06-14'), isDay('2026-06-14T00:00:00Z')]).toEqual([true, false])
  })
})

describe('what is refused, with a sentence that says what was got and what was expected', () => {
  const expected = 'expected a time with its offset (2026-06-14T16:31:00+02:00), or a day (2026-06-14).'
  test.each([
    ['2026-06-14T16:31:00', 'no offset'],
    ['2026-06-14T24:00:00Z', 'hour 24: section 5.6 ends at 23'],
    ['2026-06-14T16:60:00Z', 'minute 60'],
    ['2026-06-14T16:31:61Z', 'second 61'],
    ['2026-02-29T12:00:00Z', '29 February in a common year'],
    ['1900-02-29T12:00:00Z', '29 February in a century that 400 does not divide (appendix C)'],
    ['2026-04-31T12:00:00Z', '31 April'],
    ['2026-13-01T12:00:00Z', 'month 13'],
    ['2026-00-10T12:00:00Z', 'month 0'],
    ['2026-06-00', 'day 0'],
    ['2026-02-29', 'a day that does not exist'],
    ['2100-02-29', 'nor in 2100'],
    ['2026-06-14T16:31+02:00', 'no seconds'],
    ['2026-06-14T16:31:00+0200', 'an offset without its colon'],
    ['2026-06-14T16:31:00+02', 'an offset of hours alone'],
    ['2026-06-14T16:31:00+24:00', 'an offset of a day'],
    ['2026-06-14T16:31:00+02:60', 'an offset with minute 60'],
    ['2026-06-14 16:31:00+02:00', 'a blank between day and time'],
    ['2026-06-14t16:31:00z', 'small letters'],
    ['2026-06-14T16:31:00,5Z', 'a comma before the fraction'],
    ['2026-06-14T16:31:00.Z', 'a point without digits'],
    ['20260614T163100Z', 'the basic format of ISO 8601'],
    ['2026-W24-7', 'a week date of ISO 8601'],
    ['2026-165', 'an ordinal date of ISO 8601'],
    ['+002026-06-14T16:31:00Z', 'a year of six digits'],
    ['26-06-14', 'a year of two digits'],
    ['14/06/2026', 'a day as people write it'],
    ['2026-06-14T16:31:00+02:00[Europe/Stockholm]', 'a zone in brackets (RFC 9557)'],
    [' 2026-06-14', 'a blank before'],
    ['2026-06-14\n', 'a line break after'],
    ['yesterday', 'words'],
    ['', 'nothing'],
  ])('%j: %s', (text) => {
    expect(refusalOf(text)).toBe(`Occurred at: got ${JSON.stringify(text).replace('\\n', '\n')}, ${expected}`)
  })

  test.each([
    [1_781_447_460_000, '1781447460000'],
    [null, 'null'],
    [undefined, 'nothing'],
    [true, 'true'],
    [['2026-06-14'], '["2026-06-14"]'],
  ])('%j, which is no text', (value, shown) => {
    expect(refusalOf(value)).toBe(`Occurred at: got ${shown}, ${expected}`)
  })

  test('a time of a megabyte, were its digits ever so right', () => {
    const problem = refusalOf(`2026-06-14T16:31:00.${'0'.repeat(1_000_000)}Z`)
    expect(problem).toContain(expected)
    expect(problem.length).toBeLessThan(250)
  })

  test('a day alone for when it was written down: that is a moment', () => {
    const answer = decode({ ...note(1, 'x'), recordedAt: '2026-06-14' })
    expect(answer).toMatchObject({
      ok: false,
      problem: 'Recorded at: got "2026-06-14", expected a time with its offset, such as 2026-06-14T16:31:00+02:00.',
    })
  })
})

describe('against the Temporal of ECMAScript, another implementation of the same calendar', () => {
  const two = (n: number) => String(n).padStart(2, '0')
  const someTime = fc
    .record({
      year: fc.integer({ min: 1900, max: 2399 }),
      month: fc.integer({ min: 0, max: 13 }),
      day: fc.constantFrom(0, 1, 2, 14, 27, 28, 29, 30, 31, 32),
      hour: fc.integer({ min: 0, max: 24 }),
      minute: fc.constantFrom(0, 1, 29, 59, 60),
      second: fc.constantFrom(0, 1, 59),
      fraction: fc.constantFrom('', '.5', '.25', '.123', '.000001'),
      sign: fc.constantFrom('+', '-'),
      offset: fc.constantFrom('00:00', '00:20', '01:00', '02:00', '05:45', '09:30', '12:00', '13:00', '23:59'),
    })
    .map((t) => ({
      date: `${t.year}-${two(t.month)}-${two(t.day)}`,
      text: `${t.year}-${two(t.month)}-${two(t.day)}T${two(t.hour)}:${two(t.minute)}:${two(t.second)}${t.fraction}${t.sign}${t.offset}`,
    }))

  test('the same times and days exist, and a time is the same moment', () => {
    const seen = { there: 0, not: 0 }
    fc.assert(
      fc.property(someTime, ({ date, text }) => {
        const moment = attempt(() => Temporal.Instant.from(text).epochMilliseconds)
        expect(decoded(text).ok).toBe(moment !== undefined)
        if (moment !== undefined) expect(momentOf(text)).toBe(moment)
        expect(decoded(date).ok).toBe(attempt(() => Temporal.PlainDate.from(date)) !== undefined)
        if (moment === undefined) seen.not++
        else seen.there++
      }),
      { numRuns: 3000, seed: 3339 },
    )
    expect(Math.min(seen.there, seen.not)).toBeGreaterThan(500)
  })

  function attempt<T>(make: () => T): T | undefined {
    try {
      return make()
    } catch (error) {
      if (error instanceof RangeError) return undefined
      throw error
    }
  }
})
