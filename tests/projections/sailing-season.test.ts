import { describe, expect, test } from 'vitest'
import { fallsIn, sailingYear } from '../../projections/sailing-season.ts'
import { at, type Given, given } from './entries.ts'

/** Passages of a day each, on the days given. */
function sailed(...days: string[]): Given {
  const book = given()
  for (const day of days) {
    book.write('passage-begun', `${day}T06:00:00Z`, { from: 'here' })
    book.write('passage-ended', `${day}T16:00:00Z`, { at: 'there' })
  }
  return book
}

const northern = () =>
  sailed('2023-05-10', '2023-07-01', '2023-09-20', '2024-04-28', '2024-07-01', '2024-10-03', '2025-05-02', '2025-06-01')

describe('the sailing year', () => {
  test('turns in the middle of the lay-up, and its seasons run from the first passage to the last', () => {
    const year = sailingYear(northern().told(), at('2025-06-10T12:00:00Z'))
    expect(year.seasons.map(({ first, last, ended }) => [first, last, ended])).toEqual([
      ['2023-05-10', '2023-09-20', true],
      ['2024-04-28', '2024-10-03', true],
      ['2025-05-02', '2025-06-01', false],
    ])
  })

  test('tells where a day falls, and that some years are unlike others', () => {
    const year = sailingYear(northern().told(), at('2025-06-10T12:00:00Z'))
    expect(fallsIn(year, '2026-01-15')).toBe('lay-up')
    expect(fallsIn(year, '2025-12-31')).toBe('lay-up')
    expect(fallsIn(year, '2025-10-10')).toBe('lay-up')
    expect(fallsIn(year, '2025-08-01')).toBe('season')
    expect(fallsIn(year, '2025-09-28')).toBe('either')
    expect(fallsIn(year, '2026-05-05')).toBe('either')
  })

  test('is the same the other way round in the south', () => {
    const book = sailed(
      '2023-10-10',
      '2024-01-05',
      '2024-04-20',
      '2024-10-15',
      '2025-01-05',
      '2025-04-10',
      '2025-10-20',
    )
    const year = sailingYear(book.told(), at('2025-11-01T12:00:00Z'))
    expect(year.seasons.map(({ first, last }) => [first, last])).toEqual([
      ['2023-10-10', '2024-04-20'],
      ['2024-10-15', '2025-04-10'],
      ['2025-10-20', '2025-10-20'],
    ])
    expect(fallsIn(year, '2026-01-10')).toBe('season')
    expect(fallsIn(year, '2026-07-10')).toBe('lay-up')
  })

  test('says nothing with fewer than two seasons that ended, and nothing of a boat that sails all year', () => {
    const young = sailingYear(sailed('2024-05-10', '2024-09-20', '2025-05-01').told(), at('2025-06-01T12:00:00Z'))
    expect(fallsIn(young, '2026-01-10')).toBeNull()
    const months = Array.from(
      { length: 24 },
      (_, i) => `${2023 + Math.floor(i / 12)}-${String((i % 12) + 1).padStart(2, '0')}-15`,
    )
    const always = sailingYear(sailed(...months).told(), at('2025-01-01T12:00:00Z'))
    expect(always.turn).toBeNull()
    expect(always.seasons).toEqual([])
    expect(sailingYear(given().told(), at('2025-01-01T12:00:00Z'))).toMatchObject({ seasons: [], turn: null })
  })

  test('counts the days under way of each month, of the days that the log knows', () => {
    const year = sailingYear(sailed('2023-07-01', '2023-07-09', '2024-07-02').told(), at('2024-12-01T12:00:00Z'))
    expect(year.months[6]).toEqual({ underWay: 3, known: 62 })
    expect(year.months[0]).toEqual({ underWay: 0, known: 31 })
  })

  test('is not filled by a passage whose end was never written', () => {
    const book = given()
    book.write('passage-begun', '2023-07-01T06:00:00Z', { from: 'here' })
    book.write('passage-begun', '2024-07-01T06:00:00Z', { from: 'here' })
    const year = sailingYear(book.told(), at('2024-12-01T12:00:00Z'))
    expect(year.months[6]).toMatchObject({ underWay: 2 })
  })
})
