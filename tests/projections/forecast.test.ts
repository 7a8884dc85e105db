import { describe, expect, test } from 'vitest'
import { dueRows } from '../../projections/due.ts'
import { type Forecast, predictedUse, useRecord } from '../../projections/forecast.ts'
import { at, type Given, nm, read, withEngine } from './entries.ts'

const dayMs = 86_400_000
const dateOf = (moment: number): string => new Date(moment).toISOString().slice(0, 10)

/** Hours that a boat runs on a day; days are counted from 1 May 2026. */
type Habit = (day: number, date: string) => number

/** Weekends of three hours and a fortnight's cruise in July, from the middle of April to the end of September. */
const seasonal: Habit = (day, date) => {
  const month = date.slice(5)
  if (month < '04-15' || month > '09-30') return 0
  if (month >= '07-08' && month <= '07-24') return day % 4 === 0 ? 0 : 4
  return day % 7 === 1 || day % 14 === 2 ? 3 : 0
}

/** A book in which the meter was read after every running day up to `until`. */
function kept(habit: Habit, until: string): Given {
  const book = withEngine(100)
  const begun = at('2026-05-01T00:00:00Z')
  let hours = 100
  for (let moment = begun + dayMs, day = 1; moment <= at(`${until}T00:00:00Z`); moment += dayMs, day++) {
    const ran = habit(day, dateOf(moment))
    if (ran === 0) continue
    hours += ran
    read(book, `${dateOf(moment)}T18:00:00Z`, hours)
  }
  return book
}

const oil = (
  book: Given,
  limits: { everyHours?: number; everyMonths?: number; everyMiles?: number },
  since: string,
) => {
  const set = { task: 'oil', name: 'Engine oil', equipment: 'engine', work: 'oil changed' as const, ...limits }
  book.write('upkeep-set', since, set)
  book.write('service-done', since, { equipment: 'engine', work: 'oil changed' })
}

type Told = Extract<Forecast, { kind: 'estimate' }>

const forecastAt = (book: Given, date: string): Forecast => dueRows(book.told(), at(`${date}T20:00:00Z`))[0]!.forecast
const toldAt = (book: Given, date: string): Told => {
  const forecast = forecastAt(book, date)
  if (forecast.kind !== 'estimate') expect.fail(JSON.stringify(forecast))
  return forecast as Told
}

describe('a forecast from three seasons', () => {
  const book = kept(seasonal, '2028-11-30')
  oil(book, { everyHours: 100, everyMonths: 36 }, '2028-09-30')
  const hours = toldAt(book, '2028-11-30')

  test('of hours in winter falls in the next season, not in the winter', () => {
    expect(hours.governs).toBe('hours')
    expect(hours.early > '2029-05-01').toBe(true)
    // She runs about 150 h a season.
    expect(hours.likely > '2029-06-30' && hours.likely < '2029-10-15').toBe(true)
    expect(hours.late! < '2030-10-01').toBe(true)
    expect(hours.byMonth.find(({ date }) => date === '2029-03-31')?.chance).toBeLessThan(0.03)
  })

  test('is told as early, likely and late at its level, with what each limit gives by itself', () => {
    expect(hours.level).toBe(0.8)
    expect(hours.early <= hours.likely && hours.likely <= hours.late!).toBe(true)
    expect(hours.limits.hours?.likely).toBe(hours.likely)
    expect(hours.limits.calendar).toEqual({ early: '2031-09-30', likely: '2031-09-30', late: '2031-09-30' })
    expect(hours.n).toBe(944)
  })

  test('gives chances by month that never fall, up to almost certain or two years on', () => {
    const chances = hours.byMonth.map((month) => month.chance)
    expect(chances).toEqual([...chances].sort((a, b) => a - b))
    expect(hours.byMonth[0]!.date).toBe('2028-11-30')
    expect(hours.byMonth.length).toBeLessThanOrEqual(24)
    expect(chances[chances.length - 1]).toBeGreaterThan(0.9)
  })

  test('is the same whenever it is asked for', () => {
    expect(toldAt(book, '2028-11-30')).toEqual(hours)
  })
})

test('near the season’s end it has two humps: this autumn or next spring, with the chance before she is laid up', () => {
  const book = kept(seasonal, '2028-08-31')
  oil(book, { everyHours: 14 }, '2028-08-31')
  const { beforeLayUp, early, late, byMonth } = toldAt(book, '2028-08-31')
  expect(beforeLayUp!.date > '2028-09-10' && beforeLayUp!.date < '2028-10-25').toBe(true)
  expect(beforeLayUp!.chance).toBeGreaterThan(0.1)
  expect(beforeLayUp!.chance).toBeLessThan(0.95)
  expect(early < '2028-10-15').toBe(true)
  expect(late! > '2029-03-15').toBe(true)
  // Hardly anything between the humps.
  const chanceBy = (date: string) => byMonth.find((month) => month.date === date)!.chance
  expect(chanceBy('2029-03-31') - chanceBy('2028-11-30')).toBeLessThan(0.15)
})

test('the calendar governs where it comes first, and cuts off what the hours leave open', () => {
  const book = kept(seasonal, '2028-08-31')
  oil(book, { everyHours: 400, everyMonths: 6 }, '2028-08-31')
  expect(toldAt(book, '2028-08-31')).toMatchObject({ governs: 'months', likely: '2029-02-28', late: '2029-02-28' })
})

describe('a young log', () => {
  test('says that it is too young, and how young', () => {
    const book = kept(seasonal, '2026-05-20')
    oil(book, { everyHours: 100 }, '2026-05-02')
    expect(forecastAt(book, '2026-05-20')).toEqual({ kind: 'not-enough', n: 19, needed: 30 })
  })

  test('is less sure than an old one of the same habits', () => {
    const daysBetween = (told: Told) => (Date.parse(told.late!) - Date.parse(told.early)) / dayMs
    const young = kept(seasonal, '2026-06-30')
    oil(young, { everyHours: 20 }, '2026-06-30')
    const old = kept(seasonal, '2029-06-30')
    oil(old, { everyHours: 20 }, '2029-06-30')
    expect(daysBetween(toldAt(young, '2026-06-30'))).toBeGreaterThan(daysBetween(toldAt(old, '2029-06-30')))
  })

  test('begun in summer expects a winter that it has not seen', () => {
    const book = kept(seasonal, '2026-09-15')
    oil(book, { everyHours: 200 }, '2026-09-15')
    expect(toldAt(book, '2026-09-15').likely > '2027-04-15').toBe(true)
  })
})

describe('use that changes', () => {
  const alike: Habit = (day) => (day % 3 === 0 ? 2 : 0)

  test('a boat used all year has no winter in her forecast', () => {
    const book = kept(alike, '2028-11-30')
    oil(book, { everyHours: 60 }, '2028-11-30')
    const { likely, late } = toldAt(book, '2028-11-30')
    expect(likely > '2029-01-31' && likely < '2029-04-15').toBe(true)
    expect(late! < '2029-09-01').toBe(true)
  })

  test('a southern season is learnt from the log', () => {
    const southern: Habit = (day, date) => seasonal(day, dateOf(Date.parse(date) + 183 * dayMs))
    const book = kept(southern, '2029-05-31')
    oil(book, { everyHours: 20 }, '2029-05-31')
    expect(toldAt(book, '2029-05-31').likely > '2029-09-25').toBe(true)
  })

  test('use that stops puts the date off, the further the longer it lasts', () => {
    const book = kept((day, date) => (date < '2028-06-01' ? alike(day, date) : 0), '2029-05-31')
    oil(book, { everyHours: 60 }, '2028-05-31')
    const soon = toldAt(book, '2028-06-05')
    expect(soon.likely < '2028-10-15').toBe(true)
    const after = forecastAt(book, '2029-05-31')
    if (after.kind === 'estimate')
      expect(Date.parse(after.likely) - Date.parse('2029-05-31')).toBeGreaterThan(365 * dayMs)
  })

  test('use that doubles brings the date nearer than the years before it would', () => {
    const doubled: Habit = (day, date) => (date < '2028-03-01' ? (day % 6 === 0 ? 2 : 0) : day % 2 === 0 ? 2 : 0)
    const book = kept(doubled, '2028-11-30')
    oil(book, { everyHours: 60 }, '2028-11-30')
    // 60 h take 180 days at the old pace, 60 at the new.
    expect(toldAt(book, '2028-11-30').likely < '2029-03-31').toBe(true)
  })
})

describe('the record that it is learnt from', () => {
  test('puts what was counted on the day of the reading, and more than a day’s worth on as many days as it needs', () => {
    const book = withEngine(100)
    read(book, '2026-05-03T18:00:00Z', 103)
    read(book, '2026-05-23T18:00:00Z', 135)
    const { firstDay, use, behind } = useRecord(book.told(), 'engine', 'hours', at('2026-05-25T20:00:00Z'))!
    expect(firstDay).toBe(Date.parse('2026-05-02') / dayMs)
    const days = [...use].flatMap((hours, i) => (hours > 0 ? [[dateOf((firstDay + i) * dayMs), hours]] : []))
    expect(days).toEqual([
      ['2026-05-03', 3],
      ['2026-05-08', 8],
      ['2026-05-13', 8],
      ['2026-05-18', 8],
      ['2026-05-23', 8],
    ])
    // Read every eleven days or so: two days of silence say nothing yet.
    expect([use.length, behind]).toEqual([22, 2])
  })

  test('loses nothing of what was counted', () => {
    const book = kept(seasonal, '2027-06-30')
    const { use } = useRecord(book.told(), 'engine', 'hours', at('2027-07-10T20:00:00Z'))!
    let ran = 0
    for (let day = 1; day <= 425; day++) ran += seasonal(day, dateOf(at('2026-05-01T00:00:00Z') + day * dayMs))
    expect(use.reduce((sum, one) => sum + one, 0)).toBeCloseTo(ran, 6)
  })

  test('is nothing where nothing counts it', () => {
    const book = withEngine(100)
    expect(useRecord(book.told(), 'engine', 'miles', at('2026-06-01T12:00:00Z'))).toBeNull()
    expect(predictedUse(book.told(), 'engine', 'starts', at('2026-06-01T12:00:00Z'))).toBeNull()
  })

  test('of miles comes from the passages where no distance log is read', () => {
    const book = withEngine(100)
    book.write('passage-begun', '2026-05-04T08:00:00Z', { from: 'here' })
    book.write('passage-ended', '2026-05-04T16:00:00Z', { at: 'there', distance: nm(30) })
    const { use } = useRecord(book.told(), 'engine', 'miles', at('2026-05-10T12:00:00Z'))!
    expect([...use]).toEqual([30, 0, 0, 0, 0, 0, 0])
  })

  test('is predicted once for all that run on one meter', () => {
    const told = kept(seasonal, '2026-08-31').told()
    const now = at('2026-08-31T20:00:00Z')
    expect(predictedUse(told, 'engine', 'hours', now)).toBe(predictedUse(told, 'engine', 'hours', now))
  })
})
