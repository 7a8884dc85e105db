import { describe, expect, test } from 'vitest'
import { carried, openDefects, temporaryRepairs } from '../../projections/carried.ts'
import { fold } from '../../projections/timeline.ts'
import { type Given, given, idOf } from './entries.ts'

const stateOf = (book: Given) => fold(carried, book.told())
const open = (book: Given) => openDefects(stateOf(book)).map((defect) => defect.found.root)
const carries = (book: Given) => temporaryRepairs(stateOf(book)).map((repair) => repair.made.root)

const find = (book: Given, when = '2026-06-01T08:00:00Z') =>
  book.write('defect-found', when, { equipment: 'hose', what: 'drips', matters: 'some' })
const repair = (book: Given, kind: 'temporary' | 'permanent', mends?: string, when = '2026-06-02T08:00:00Z') =>
  book.write('repair-made', when, {
    equipment: 'hose',
    kind,
    what: 'tape',
    ...(mends === undefined ? {} : { mends }),
  })
const clear = (book: Given, defect: string, when = '2026-06-03T08:00:00Z') =>
  book.write('defect-cleared', when, { defect })

describe('a defect', () => {
  test('is open until it is cleared or repaired for good', () => {
    for (const ends of [clear, (book: Given, root: string) => repair(book, 'permanent', root)]) {
      const book = given()
      const root = find(book)
      expect(open(book)).toEqual([root])
      const by = ends(book, root)
      expect(open(book)).toEqual([])
      expect(stateOf(book).defects.get(root)?.ended?.root).toBe(by)
    }
  })

  test('is ended once: by what ended it first', () => {
    const book = given()
    const root = find(book)
    const first = repair(book, 'permanent', root)
    clear(book, root)
    expect(stateOf(book).defects.get(root)?.ended?.root).toBe(first)
  })

  test('stays, whatever was repaired for good without naming it', () => {
    const book = given()
    const root = find(book)
    repair(book, 'permanent')
    clear(book, idOf(999))
    expect(open(book)).toEqual([root])
  })

  test('cleared on a day of which no hour is known is cleared, though it was found at an hour of that day', () => {
    const book = given()
    const root = find(book, '2026-06-01T10:00:00Z')
    const mended = repair(book, 'temporary', root, '2026-06-01T11:00:00Z')
    clear(book, root, '2026-06-01')
    expect(open(book)).toEqual([])
    expect(carries(book)).toEqual([])
    expect(stateOf(book).repairs.get(mended)?.ended?.type).toBe('defect-cleared')
  })

  test('that was cleared does not hide a temporary repair made on a later day', () => {
    const book = given()
    const root = find(book, '2026-06-01T10:00:00Z')
    clear(book, root, '2026-06-01')
    const later = repair(book, 'temporary', root, '2026-06-09T11:00:00Z')
    expect(carries(book)).toEqual([later])
  })
})

describe('a temporary repair', () => {
  test('carries its defect, which is open no more but not ended', () => {
    const book = given()
    const root = find(book)
    const made = repair(book, 'temporary', root)
    expect(open(book)).toEqual([])
    expect(carries(book)).toEqual([made])
    expect(stateOf(book).defects.get(root)?.ended).toBeNull()
  })

  test('ends with its defect', () => {
    const book = given()
    const root = find(book)
    repair(book, 'temporary', root)
    clear(book, root)
    expect(carries(book)).toEqual([])
  })

  test('that is made permanent, or cleared by its own name, ends the defect behind it', () => {
    for (const ends of [
      clear,
      (book: Given, made: string) => repair(book, 'permanent', made, '2026-06-05T08:00:00Z'),
    ]) {
      const book = given()
      const root = find(book)
      const made = repair(book, 'temporary', root)
      ends(book, made)
      expect(carries(book)).toEqual([])
      expect(stateOf(book).defects.get(root)?.ended).not.toBeNull()
    }
  })

  test('made permanent on the day alone on which it was made ends with the defect behind it', () => {
    const book = given()
    const root = find(book)
    const made = repair(book, 'temporary', root, '2026-06-02T11:00:00Z')
    repair(book, 'permanent', made, '2026-06-02')
    expect(carries(book)).toEqual([])
    expect(stateOf(book).defects.get(root)?.ended).not.toBeNull()
  })

  test('gives way to a later one of the same defect, whether that names the defect or the repair', () => {
    for (const names of ['defect', 'repair'] as const) {
      const book = given()
      const root = find(book)
      const first = repair(book, 'temporary', root)
      const second = repair(book, 'temporary', names === 'defect' ? root : first, '2026-06-04T08:00:00Z')
      expect(carries(book)).toEqual([second])
      clear(book, root, '2026-06-05T08:00:00Z')
      expect(carries(book)).toEqual([])
    }
  })

  test('without a defect is carried too, until something names it', () => {
    const book = given()
    const made = repair(book, 'temporary')
    const other = repair(book, 'temporary')
    expect(carries(book)).toEqual([made, other])
    repair(book, 'permanent', made, '2026-06-05T08:00:00Z')
    expect(carries(book)).toEqual([other])
  })

  test('that names a defect which the book does not have is carried all the same', () => {
    const book = given()
    const made = repair(book, 'temporary', idOf(999))
    expect(carries(book)).toEqual([made])
    clear(book, idOf(999))
    expect(carries(book)).toEqual([])
  })

  test('that was struck leaves its defect open again', () => {
    const book = given()
    const root = find(book)
    const made = repair(book, 'temporary', root)
    book.strike(made, '2026-06-07T08:00:00Z')
    expect(open(book)).toEqual([root])
    expect(carries(book)).toEqual([])
  })
})

test('what she carries is told the oldest first, and an empty book carries nothing', () => {
  const book = given()
  expect([open(book), carries(book)]).toEqual([[], []])
  const late = find(book, '2026-06-09T08:00:00Z')
  const early = find(book, '2026-05-01T08:00:00Z')
  const second = repair(book, 'temporary', undefined, '2026-06-09T08:00:00Z')
  const first = repair(book, 'temporary', undefined, '2026-05-09T08:00:00Z')
  expect(open(book)).toEqual([early, late])
  expect(carries(book)).toEqual([first, second])
})
