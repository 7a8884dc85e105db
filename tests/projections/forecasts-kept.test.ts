import { describe, expect, test } from 'vitest'
import type { Entry } from '../../events/index.ts'
import {
  forecastEntries,
  forecastsKept,
  forecastsMadeAt,
  type MadeForecast,
  monthStarts,
} from '../../projections/forecasts-kept.ts'
import { at, type Given, h, read, withEngine } from './entries.ts'

/** An engine with an oil task every 50 h, run two hours every third day from May on, serviced whenever it is due. */
function steady(until: string): Given {
  const book = withEngine(100)
  book.write('upkeep-set', '2026-05-01T09:00:00Z', {
    task: 'oil',
    name: 'Oil',
    equipment: 'engine',
    work: 'oil changed',
    everyHours: 50,
  })
  let reading = 100
  let served = 100
  for (let day = at('2026-05-02T12:00:00Z'); day < at(until); day += 3 * 86_400_000) {
    reading += 2
    read(book, new Date(day).toISOString(), reading)
    if (reading - served < 50) continue
    served = reading
    book.write('service-done', new Date(day + 3_600_000).toISOString(), {
      equipment: 'engine',
      work: 'oil changed',
      hours: h(reading),
    })
  }
  return book
}

const replay = (book: Given, now: string, most = 60) => {
  const told = book.told()
  const months = monthStarts(told, at(now), most)
  const entries = forecastEntries(book.entries)
  const made = months.flatMap((month) => forecastsMadeAt(entries, month))
  return { months, made, kept: forecastsKept(told, months, made, at(now)) }
}

/** A forecast as a test says it. */
const forecast = (over: Partial<MadeForecast>): MadeForecast => ({
  made: '2026-06-01',
  task: 'oil',
  equipment: 'engine',
  kind: 'hours',
  anchor: { root: '', at: 0 },
  every: 50,
  early: '2026-06-10',
  likely: '2026-06-20',
  late: '2026-07-10',
  ...over,
})

describe('months', () => {
  test('begin with the one after the first entry was written down, and end with the present one', () => {
    const told = steady('2026-09-10').told()
    const days = (most: number) =>
      monthStarts(told, at('2026-09-10T12:00:00Z'), most).map((month) => new Date(month).toISOString().slice(0, 10))
    expect(days(60)).toEqual(['2026-06-01', '2026-07-01', '2026-08-01', '2026-09-01'])
    expect(days(2)).toEqual(['2026-08-01', '2026-09-01'])
    expect(monthStarts(steady('2026-09-10').told({ asOf: 0 }), at('2026-09-10T12:00:00Z'), 60)).toEqual([])
  })
})

describe('forecasts as they were made', () => {
  test('know nothing that was written down later, though it had happened', () => {
    const book = steady('2026-08-02')
    const month = at('2026-08-01T00:00:00Z')
    const before = forecastsMadeAt(forecastEntries(book.entries), month)
    book.write(
      'service-done',
      '2026-07-20T10:00:00Z',
      { equipment: 'engine', work: 'oil changed' },
      { recordedAt: '2026-08-20T10:00:00Z' },
    )
    expect(before).toHaveLength(1)
    expect(forecastsMadeAt(forecastEntries(book.entries), month)).toEqual(before)
    const later = at('2026-09-01T00:00:00Z')
    expect(forecastsMadeAt(forecastEntries(book.entries), later)[0]?.anchor.root).not.toBe(before[0]?.anchor.root)
  })

  test('are the same in whatever order the book took its entries in', () => {
    const { entries } = steady('2026-08-02')
    const month = at('2026-08-01T00:00:00Z')
    const forwards = forecastsMadeAt(forecastEntries(entries), month)
    expect(forwards).toHaveLength(1)
    expect(forecastsMadeAt(forecastEntries([...entries].reverse()), month)).toEqual(forwards)
  })

  test('are of limits by use alone, and only while they are not over', () => {
    const book = withEngine(100)
    book.write('upkeep-set', '2026-05-01T09:00:00Z', {
      task: 'coolant',
      name: 'Coolant',
      equipment: 'engine',
      work: 'coolant changed',
      everyMonths: 12,
    })
    expect(forecastsMadeAt(book.entries, at('2026-07-01T00:00:00Z'))).toEqual([])
  })
})

describe('forecasts judged', () => {
  test('by the day on which the hours since then were reached, service or no service', () => {
    const book = steady('2026-12-01')
    const anchor = book.told().told.find((entry) => entry.type === 'upkeep-set')!
    const fitted = book.told().told.find((entry) => entry.type === 'equipment-fitted')!
    expect(anchor).toBeDefined()
    // 50 h since 1 May: the 25th run, on 13 July.
    const made = forecast({ anchor: { root: fitted.root, at: fitted.at } })
    const kept = forecastsKept(book.told(), [], [made], at('2026-12-01T00:00:00Z'))
    expect(kept.judged[0]).toMatchObject({ fellDue: '2026-07-13', offBy: 23, within: false, ahead: 19 })
    const wider = forecastsKept(book.told(), [], [{ ...made, late: '2026-07-13' }], at('2026-12-01T00:00:00Z'))
    expect(wider.judged[0]?.within).toBe(true)
    const later = { ...made, every: 130 }
    const never = forecastsKept(book.told(), [], [{ ...later, every: 1e6 }], at('2026-12-01T00:00:00Z'))
    expect(never.judged[0]).toMatchObject({ fellDue: null, within: false })
  })

  test('only once their late day has passed, whatever happened before', () => {
    const book = steady('2026-07-20')
    const fitted = book.told().told.find((entry) => entry.type === 'equipment-fitted')!
    const made = forecast({ anchor: { root: fitted.root, at: fitted.at }, late: '2026-08-10' })
    expect(forecastsKept(book.told(), [], [made], at('2026-07-20T12:00:00Z'))).toMatchObject({
      made: 1,
      open: 1,
      overall: null,
      judged: [],
    })
    expect(forecastsKept(book.told(), [], [made], at('2026-08-12T12:00:00Z')).open).toBe(0)
  })

  test('are told by how far ahead they were, and one limit counts once among the falls', () => {
    const book = steady('2026-12-01')
    const fitted = book.told().told.find((entry) => entry.type === 'equipment-fitted')!
    const anchor = { root: fitted.root, at: fitted.at }
    const kept = forecastsKept(
      book.told(),
      [],
      [
        forecast({ anchor, late: '2026-07-20' }),
        forecast({ anchor, made: '2026-05-10', likely: '2026-07-01', late: '2026-07-05' }),
      ],
      at('2026-12-01T00:00:00Z'),
    )
    expect(kept.byHorizon.map(({ horizon, n, within, medianOff }) => [horizon, n, within, medianOff])).toEqual([
      ['up to a month ahead', 1, 1, 23],
      ['one to three months', 1, 0, 12],
    ])
    expect(kept.overall).toMatchObject({ n: 2, falls: 1, within: 1, medianOff: 17.5 })
    expect(kept.widen).toEqual({ kind: 'not-enough', n: 1, needed: 10 })
  })

  test('say by how much the ranges should be wider, once ten limits fell due', () => {
    const book = steady('2026-12-01')
    const fitted = book.told().told.find((entry) => entry.type === 'equipment-fitted')!
    // All fell due on 13 July, 10 days after the likely day; the ranges reach 5 to 14 days beyond it.
    const made = Array.from({ length: 10 }, (_, index) =>
      forecast({
        task: `task-${index}`,
        anchor: { root: fitted.root, at: fitted.at },
        likely: '2026-07-03',
        late: `2026-07-${String(8 + index).padStart(2, '0')}`,
      }),
    )
    const { widen } = forecastsKept(book.told(), [], made, at('2026-12-01T00:00:00Z'))
    // Of 10/5, 10/6 ... 10/14 the value below which eight of ten lie.
    if (widen.kind === 'not-enough') throw new Error('expected an estimate')
    expect(widen.value).toBeCloseTo(10 / 7 + 0.2 * (10 / 6 - 10 / 7), 9)
    expect(widen.low).toBeLessThan(widen.value)
    expect(widen.high).toBeGreaterThan(widen.value)
  })

  test('of a boat that is run steadily hold at least what they promise', () => {
    const { kept, made } = replay(steady('2027-06-01'), '2027-06-01T00:00:00Z')
    expect(made.length).toBeGreaterThan(8)
    expect(kept.overall!.within / kept.overall!.n).toBeGreaterThanOrEqual(0.8)
  })
})

describe('the cost of a replay', () => {
  /** Counts how often the entries are asked when they were written down: once for each that is looked at for a moment of the past. */
  const counting = (entries: readonly Entry[]) => {
    const count = { asked: 0 }
    const watched = entries.map((entry) => {
      const { recordedAt, ...rest } = entry
      return Object.defineProperty({ ...rest }, 'recordedAt', {
        enumerable: true,
        get: () => {
          count.asked++
          return recordedAt
        },
      }) as Entry
    })
    return { count, watched }
  }

  const asked = (book: Given, months: number): number => {
    const { count, watched } = counting(book.entries)
    const entries = forecastEntries(watched)
    for (let month = 0; month < months; month++)
      forecastsMadeAt(entries, at(`2026-${String(6 + month).padStart(2, '0')}-01T00:00:00Z`))
    return count.asked
  }

  test('grows with the months, and not with entries that say nothing of what is due', () => {
    const bare = steady('2026-12-01')
    const full = steady('2026-12-01')
    for (let i = 0; i < 600; i++) {
      const when = new Date(at('2026-05-02T00:00:00Z') + i * 4 * 3_600_000).toISOString()
      full.write('note-written', when, { text: 'seen' })
      full.write('readings-taken', when, { equipment: 'engine', coolant: { value: 80, unit: 'Cel' } })
    }
    expect(asked(full, 3)).toBe(asked(bare, 3))
    expect(asked(full, 6)).toBe(asked(bare, 6))
    expect(asked(bare, 6)).toBeLessThan(3 * asked(bare, 3))
  })

  test('does not grow with how often a day the meter is read', () => {
    const often = (times: number) => {
      const book = withEngine(100)
      book.write('upkeep-set', '2026-05-01T09:00:00Z', {
        task: 'oil',
        name: 'Oil',
        equipment: 'engine',
        work: 'oil changed',
        everyHours: 50,
      })
      for (let day = 0; day < 90; day++)
        for (let time = 0; time < times; time++)
          read(
            book,
            new Date(at('2026-05-02T06:00:00Z') + day * 86_400_000 + time * 600_000).toISOString(),
            100 + day + (time * 0.5) / times,
          )
      return book
    }
    expect(asked(often(20), 3)).toBe(asked(often(2), 3))
  })

  test('leaves nothing out that was amended or struck', () => {
    const book = steady('2026-06-20')
    const wrong = read(book, '2026-06-21T10:00:00Z', 999)
    book.strike(wrong, '2026-06-21T11:00:00Z')
    const note = book.write('note-written', '2026-06-21T12:00:00Z', { text: 'seen' })
    book.strike(note, '2026-06-21T13:00:00Z')
    const kept = forecastEntries(book.entries)
    expect(kept.some((entry) => entry.id === wrong)).toBe(true)
    expect(kept.filter((entry) => entry.type === 'entry-struck')).toHaveLength(1)
    expect(kept.some((entry) => entry.type === 'note-written')).toBe(false)
  })
})
