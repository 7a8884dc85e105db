import { expect, test } from 'vitest'
import { left, leftNow } from '../../projections/left.ts'
import { fold } from '../../projections/timeline.ts'
import { type Given, given } from './entries.ts'

const now = (book: Given) =>
  leftNow(fold(left, book.told())).map(({ data }) => [data.equipment, data.state] as [string, string])

const leave = (book: Given, equipment: string, state: 'shut' | 'drained' | 'isolated', when: string) =>
  book.write('left-as', when, { equipment, state })

test('what was left shut, drained or isolated is told until it is restored, the oldest first', () => {
  const book = given()
  leave(book, 'bank', 'isolated', '2026-10-03T08:00:00Z')
  leave(book, 'seacock', 'shut', '2026-10-01T08:00:00Z')
  leave(book, 'engine', 'drained', '2026-10-02T08:00:00Z')
  expect(now(book)).toEqual([
    ['seacock', 'shut'],
    ['engine', 'drained'],
    ['bank', 'isolated'],
  ])
  book.write('restored', '2027-04-01T08:00:00Z', { equipment: 'engine' })
  expect(now(book)).toEqual([
    ['seacock', 'shut'],
    ['bank', 'isolated'],
  ])
})

test('one thing left in two states is told twice, and restoring it ends both', () => {
  const book = given()
  leave(book, 'engine', 'drained', '2026-10-01T08:00:00Z')
  leave(book, 'engine', 'shut', '2026-10-02T08:00:00Z')
  expect(now(book)).toHaveLength(2)
  book.write('restored', '2027-04-01T08:00:00Z', { equipment: 'engine' })
  expect(now(book)).toEqual([])
})

test('left again after it was restored is told again', () => {
  const book = given()
  leave(book, 'seacock', 'shut', '2026-10-01T08:00:00Z')
  book.write('restored', '2026-10-02T08:00:00Z', { equipment: 'seacock' })
  leave(book, 'seacock', 'shut', '2026-10-03T08:00:00Z')
  expect(now(book)).toEqual([['seacock', 'shut']])
})

test('restoring what was not left changes nothing, and does not reach into what is left later', () => {
  const book = given()
  book.write('restored', '2026-10-01T08:00:00Z', { equipment: 'seacock' })
  expect(now(book)).toEqual([])
  leave(book, 'seacock', 'shut', '2026-10-02T08:00:00Z')
  book.write('restored', '2026-10-03T08:00:00Z', { equipment: 'ghost' })
  expect(now(book)).toEqual([['seacock', 'shut']])
})

test('restored on the day alone on which it was left stays told: nobody is to turn the key on a doubt', () => {
  const book = given()
  leave(book, 'seacock', 'shut', '2026-10-01T10:00:00Z')
  book.write('restored', '2026-10-01', { equipment: 'seacock' })
  expect(now(book)).toEqual([['seacock', 'shut']])
})

test('a restoring that is struck leaves it as it was', () => {
  const book = given()
  leave(book, 'seacock', 'shut', '2026-10-01T08:00:00Z')
  book.strike(book.write('restored', '2026-10-02T08:00:00Z', { equipment: 'seacock' }), '2026-10-03T08:00:00Z')
  expect(now(book)).toEqual([['seacock', 'shut']])
})
