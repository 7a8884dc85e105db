import { describe, expect, test } from 'vitest'
import { milesBetween, milesOf, passages } from '../../projections/passages.ts'
import { fold } from '../../projections/timeline.ts'
import { at, type Given, given, nm } from './entries.ts'

const passagesOf = (book: Given) => fold(passages, book.told())
const ends = (book: Given) =>
  passagesOf(book).passages.map(({ begun, ended }) => [begun?.data.from ?? null, ended?.data.at ?? null])

describe('passages', () => {
  test('last from a beginning to the next end', () => {
    const book = given()
    book.write('passage-begun', '2026-06-01T08:00:00Z', { from: 'Visby' })
    expect(passagesOf(book).under?.begun?.data.from).toBe('Visby')
    book.write('passage-ended', '2026-06-01T18:00:00Z', { at: 'Lickershamn' })
    expect(ends(book)).toEqual([['Visby', 'Lickershamn']])
    expect(passagesOf(book).under).toBeNull()
  })

  test('may lack either end in a hand-kept log', () => {
    const book = given()
    book.write('passage-ended', '2026-06-01T08:00:00Z', { at: 'Visby' })
    book.write('passage-begun', '2026-06-02T08:00:00Z', { from: 'Visby' })
    book.write('passage-begun', '2026-06-03T08:00:00Z', { from: 'Lickershamn' })
    book.write('passage-ended', '2026-06-03T18:00:00Z', { at: 'Kappelshamn' })
    book.write('passage-ended', '2026-06-04T18:00:00Z', { at: 'Farosund' })
    expect(ends(book)).toEqual([
      [null, 'Visby'],
      ['Visby', null],
      ['Lickershamn', 'Kappelshamn'],
      [null, 'Farosund'],
    ])
  })

  test('of an empty book are none, and she lies nowhere', () => {
    expect(passagesOf(given())).toEqual({ passages: [], under: null })
  })
})

describe('the miles of a passage', () => {
  const milesFrom = (begun: Parameters<typeof nm>[0] | null, ended: object): number | null => {
    const book = given()
    book.write('passage-begun', '2026-06-01T08:00:00Z', {
      from: 'Visby',
      ...(begun === null ? {} : { distanceLog: nm(begun) }),
    })
    book.write('passage-ended', '2026-06-01T18:00:00Z', { at: 'Lickershamn', ...ended })
    return milesOf(passagesOf(book).passages[0]!)
  }

  test('are those written, in nautical miles whatever the unit', () => {
    expect(milesFrom(6386, { distance: { value: 37.04, unit: 'km' }, distanceLog: nm(6418) })).toBeCloseTo(20, 9)
  })

  test('are else the difference of the distance log', () => {
    expect(milesFrom(6386, { distanceLog: nm(6418) })).toBe(32)
    expect(milesFrom(6386, { distanceLog: { value: (6418 * 1852) / 1609.344, unit: '[mi_i]' } })).toBeCloseTo(32, 6)
  })

  test('are not told where one end is missing or the log went backwards', () => {
    expect(milesFrom(null, { distanceLog: nm(6418) })).toBeNull()
    expect(milesFrom(6386, {})).toBeNull()
    expect(milesFrom(6386, { distanceLog: nm(12) })).toBeNull()
  })

  test('between two moments are those of the passages that ended after the first and up to the second', () => {
    const book = given()
    for (const [day, miles] of [
      ['01', 10],
      ['02', 20],
      ['03', 40],
    ] as const)
      book.write('passage-ended', `2026-06-${day}T18:00:00Z`, { at: 'there', distance: nm(miles) })
    book.write('passage-ended', '2026-06-03T12:00:00Z', { at: 'there' })
    const miles = (since: string, until: string) =>
      milesBetween(passagesOf(book), at(`2026-06-${since}T18:00:00Z`), at(`2026-06-${until}T18:00:00Z`))
    expect([miles('01', '03'), miles('01', '02'), miles('03', '04')]).toEqual([60, 20, 0])
    expect(milesBetween(passagesOf(given()), 0, 1)).toBe(0)
  })
})
