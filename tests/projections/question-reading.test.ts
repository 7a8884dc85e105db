import { describe, expect, test } from 'vitest'
import { questionReading } from '../../projections/meter-hours.ts'
import { at, h, read, withEngine } from './entries.ts'

/** What is asked of a reading of the engine's meter at a moment. */
const ask = (book: ReturnType<typeof withEngine>, when: string, reading: number, about = {}) =>
  questionReading(book.told(), 'engine-hours', at(when), reading, about)

describe('a reading that is about to be written is asked about', () => {
  const book = withEngine(1240)
  read(book, '2026-05-10T12:00:00Z', 1243.2)
  read(book, '2026-05-20T12:00:00Z', 1260)

  test('if the meter would have run backwards', () => {
    expect(ask(book, '2026-05-21T12:00:00Z', 1206)).toBe(
      'Got 1206.0 h, but it showed 1260.0 h before: it would have run backwards. Look again; if the meter was replaced, write that first.',
    )
  })

  test('if it goes beyond what the clock allows', () => {
    expect(ask(book, '2026-05-20T16:00:00Z', 1620)).toBe(
      'Got 1620.0 h, 360.0 h more than the 1260.0 h before, in 4.0 h by the clock. Look again: two figures may have changed places.',
    )
  })

  test('if it lies above what the meter showed later', () => {
    expect(ask(book, '2026-05-15T12:00:00Z', 1324)).toBe(
      'Got 1324.0 h, but later it showed only 1260.0 h. Look again, or check the time.',
    )
  })

  test('if the clock does not allow what the meter showed later', () => {
    expect(ask(book, '2026-05-20T10:00:00Z', 1244)).toBe(
      'Got 1244.0 h, but 2.0 h later it showed 1260.0 h: more than the clock allows. Look again, or check the time.',
    )
  })

  test('if she has never run so much in such a time', () => {
    const often = withEngine(100)
    for (let day = 2; day <= 31; day++) read(often, `2026-05-${String(day).padStart(2, '0')}T12:00:00Z`, 99 + day)
    expect(ask(often, '2026-06-04T12:00:00Z', 203)).toBe(
      'Got 203.0 h, 73.0 h more than the 130.0 h before: she has never run so much in such a time. Look again: two figures may have changed places.',
    )
  })
})

describe('nothing is asked of a reading', () => {
  const book = withEngine(1240)
  read(book, '2026-05-10T12:00:00Z', 1243.2)
  read(book, '2026-05-20T12:00:00Z', 1260.5)

  test('that fits between the ones before and after it', () => {
    expect(ask(book, '2026-05-15T12:00:00Z', 1250.1)).toBeNull()
    expect(ask(book, '2026-05-21T12:00:00Z', 1260.5)).toBeNull()
    expect(ask(book, '2020-01-01T12:00:00Z', 1100.2)).toBeNull()
  })

  test('that says she ran for exactly as long as the clock, but asked if for an hour more', () => {
    expect(ask(book, '2026-05-20T22:00:00Z', 1270.5)).toBeNull()
    expect(ask(book, '2026-05-20T22:00:00Z', 1271.5)).toContain('by the clock')
  })

  test('of a meter that the book does not know', () => {
    expect(questionReading(book.told(), 'generator-hours', at('2026-05-21T12:00:00Z'), 3)).toBeNull()
  })

  test('that rolled over', () => {
    const rolls = withEngine(9990, { rollsOverAt: 10_000 })
    expect(ask(rolls, '2026-05-10T12:00:00Z', 7.5)).toBeNull()
    read(rolls, '2026-05-10T12:00:00Z', 7.5)
    expect(ask(rolls, '2026-05-05T12:00:00Z', 9995.5)).toBeNull()
    expect(ask(rolls, '2026-05-11T12:00:00Z', 1.5)).toContain('backwards')
  })

  test('of the day alone that can have been taken at some hour of that day', () => {
    const days = withEngine(100)
    read(days, '2026-05-10T08:00:00Z', 105.2)
    read(days, '2026-05-10T20:00:00Z', 110.2)
    expect(ask(days, '2026-05-10T00:00:00Z', 107.2, { day: true })).toBeNull()
    expect(ask(days, '2026-05-10T00:00:00Z', 99.2, { day: true })).toContain('backwards')
    expect(ask(days, '2026-05-10T00:00:00Z', 140.2, { day: true })).toContain('by the clock')
  })

  test('that corrects a mistyped one', () => {
    const wrong = withEngine(100)
    const root = read(wrong, '2026-06-10T12:00:00Z', 201)
    expect(ask(wrong, '2026-06-10T12:00:00Z', 120)).toContain('backwards')
    expect(ask(wrong, '2026-06-10T12:00:00Z', 120, { amends: root })).toBeNull()
  })

  test('of the old meter, written late after it was replaced', () => {
    const replaced = withEngine(1240)
    replaced.write('meter-replaced', '2026-05-20T12:00:00Z', { meter: 'engine-hours', first: 0, rollsOverAt: 1000 })
    read(replaced, '2026-05-30T12:00:00Z', 20)
    expect(ask(replaced, '2026-05-15T12:00:00Z', 1250)).toBeNull()
    expect(ask(replaced, '2026-05-25T12:00:00Z', 1250)).toContain('Got 1250.0 h')
    expect(ask(replaced, '2026-05-25T12:00:00Z', 10)).toBeNull()
  })

  test('that goes back to the truth after a mistyped one that is not believed', () => {
    const mistyped = withEngine(1240)
    read(mistyped, '2026-05-10T12:00:00Z', 2143)
    expect(ask(mistyped, '2026-05-11T12:00:00Z', 1244.5)).toBeNull()
  })
})

test('a reading that was asked about and confirmed is kept as it is, and believed against two others', () => {
  const book = withEngine(100)
  read(book, '2026-05-10T12:00:00Z', 110)
  read(book, '2026-05-11T12:00:00Z', 111)
  book.write('hours-read', '2026-05-12T12:00:00Z', { meter: 'engine-hours', reading: h(40), confirmed: true })
  expect(ask(book, '2026-05-13T12:00:00Z', 41.5)).toBeNull()
})
