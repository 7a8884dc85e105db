import { describe, expect, test } from 'vitest'
import { runs, startsBetween } from '../../projections/runs.ts'
import { fold } from '../../projections/timeline.ts'
import { at, type Given, given } from './entries.ts'

const runsOf = (book: Given) => fold(runs, book.told())

const start = (book: Given, when: string, equipment = 'engine') => book.write('engine-started', when, { equipment })
const stop = (book: Given, when: string, equipment = 'engine') => book.write('engine-stopped', when, { equipment })

describe('engine runs', () => {
  test('last from a start to the next stop of the same engine, with the purpose of the start', () => {
    const book = given()
    book.write('engine-started', '2026-06-01T08:00:00Z', { equipment: 'port', purpose: 'charging' })
    start(book, '2026-06-01T08:01:00Z', 'starboard')
    const stopped = stop(book, '2026-06-01T09:00:00Z', 'port')
    const { runs: all, open } = runsOf(book)
    expect(all.map((run) => [run.equipment, run.purpose, run.stopped?.root])).toEqual([
      ['port', 'charging', stopped],
      ['starboard', undefined, undefined],
    ])
    expect([...open.keys()]).toEqual(['starboard'])
  })

  test('a second start without a stop begins a new run, and the first has no end', () => {
    const book = given()
    start(book, '2026-06-01T08:00:00Z')
    start(book, '2026-06-01T10:00:00Z')
    stop(book, '2026-06-01T11:00:00Z')
    expect(runsOf(book).runs.map((run) => run.stopped === null)).toEqual([true, false])
    expect(runsOf(book).open.size).toBe(0)
  })

  test('a stop without a start is no run', () => {
    const book = given()
    stop(book, '2026-06-01T08:00:00Z')
    stop(book, '2026-06-01T09:00:00Z', 'ghost')
    expect(runsOf(book)).toEqual({ runs: [], open: new Map() })
  })

  test('a stop written late closes the run that it belongs to', () => {
    const book = given()
    start(book, '2026-06-01T08:00:00Z')
    start(book, '2026-06-02T08:00:00Z')
    book.write(
      'engine-stopped',
      '2026-06-01T09:00:00Z',
      { equipment: 'engine' },
      { recordedAt: '2026-06-03T09:00:00Z' },
    )
    expect(runsOf(book).runs.map((run) => run.stopped?.occurredAt ?? null)).toEqual(['2026-06-01T09:00:00Z', null])
  })

  test('an empty book has none', () => {
    expect(runsOf(given())).toEqual({ runs: [], open: new Map() })
  })
})

test('starts are counted after the first moment and up to the second, of one engine', () => {
  const book = given()
  for (const hour of ['08', '09', '10']) start(book, `2026-06-01T${hour}:00:00Z`)
  start(book, '2026-06-01T09:30:00Z', 'generator')
  const count = (since: string, until: string) =>
    startsBetween(runsOf(book), 'engine', at(`2026-06-01T${since}:00Z`), at(`2026-06-01T${until}:00Z`))
  expect([count('08:00', '10:00'), count('07:59', '10:00'), count('10:00', '12:00'), count('12:00', '08:00')]).toEqual([
    2, 3, 0, 0,
  ])
})
