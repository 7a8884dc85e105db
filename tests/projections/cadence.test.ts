import { expect, it } from 'vitest'
import { cadenceOf, cadences } from '../../projections/cadence.ts'
import { register } from '../../projections/register.ts'
import { fold } from '../../projections/timeline.ts'
import { at, h, withEngine } from './entries.ts'

/** An engine whose oil is changed at the hours given, on the days given. */
function oilChanged(changes: readonly (readonly [day: string, hours: number])[]) {
  const book = withEngine(100)
  book.write('upkeep-set', '2026-05-01T09:00:00Z', {
    task: 'oil',
    name: 'Engine oil',
    equipment: 'engine',
    work: 'oil changed',
    everyHours: 150,
    everyMonths: 12,
  })
  for (const [day, hours] of changes)
    book.write('service-done', day, { equipment: 'engine', work: 'oil and filter changed', hours: h(hours) })
  return book
}

const oilOf = (book: ReturnType<typeof oilChanged>, now: string) => {
  const told = book.told()
  return cadenceOf(told, fold(register, told).tasks.get('oil')!, at(now))
}

it('tells the hours run between successive services and since the last one', () => {
  const book = oilChanged([
    ['2026-07-01', 248],
    ['2026-09-01', 411],
    ['2027-06-01', 621],
  ])
  book.write('hours-read', '2027-07-20T10:00:00Z', { meter: 'engine-hours', reading: h(811) })
  const oil = oilOf(book, '2027-07-20T12:00:00Z')
  expect(oil.kept.map((one) => Math.round(one.hours!))).toEqual([148, 163, 210])
  expect(Math.round(oil.running!.hours!)).toBe(190)
  expect(oil.rising).toBe(true)
})

it('says that hours do not rise where they do not', () => {
  const oil = oilOf(
    oilChanged([
      ['2026-07-01', 250],
      ['2026-09-01', 398],
      ['2027-06-01', 545],
    ]),
    '2027-06-02T12:00:00Z',
  )
  expect(oil.rising).toBe(false)
})

it('says so before the rising hours pass what was set, and again when they have', () => {
  const changes = [
    ['2026-07-01', 190],
    ['2026-09-01', 290],
    ['2027-06-01', 400],
  ] as const
  const after = (reading: number) => {
    const book = oilChanged(changes)
    book.write('hours-read', '2027-07-20T10:00:00Z', { meter: 'engine-hours', reading: h(reading) })
    return oilOf(book, '2027-07-20T12:00:00Z')
  }
  expect(after(450)).toMatchObject({ measure: 'hours', every: 150, rising: true, risingPast: false })
  expect(after(540)).toMatchObject({ rising: true, risingPast: true })
})

it('does not call hours rising where the task goes by the calendar alone', () => {
  const book = oilChanged([
    ['2026-07-01', 190],
    ['2026-09-01', 290],
    ['2027-06-01', 490],
  ])
  book.write('upkeep-set', '2026-05-02T09:00:00Z', {
    task: 'oil',
    name: 'Engine oil',
    equipment: 'engine',
    work: 'oil changed',
    everyMonths: 12,
  })
  expect(oilOf(book, '2027-07-20T12:00:00Z')).toMatchObject({ measure: 'months', every: 12, rising: false })
})

it('takes two works of one afternoon that both fulfil the task for one service', () => {
  const book = oilChanged([['2026-07-01', 250]])
  book.write('service-done', '2026-09-01T10:00:00Z', { equipment: 'engine', work: 'oil changed', hours: h(400) })
  book.write('service-done', '2026-09-01T14:00:00Z', {
    equipment: 'engine',
    work: 'oil and filter changed',
    hours: h(400),
  })
  const oil = oilOf(book, '2026-09-02T00:00:00Z')
  expect(oil.kept.map((one) => Math.round(one.hours!))).toEqual([150, 150])
})

it('counts how many services a year the use asks for, and how late too few of them come', () => {
  const book = oilChanged([
    ['2026-12-01', 250],
    ['2027-04-30', 410],
  ])
  book.write('hours-read', '2027-05-01T07:00:00Z', { meter: 'engine-hours', reading: h(410) })
  const yearly = oilOf(book, '2027-05-01T08:00:00Z').yearly!
  expect(yearly.governs).toBe('hours')
  expect(yearly.used).toBeCloseTo(310, 6)
  expect(yearly.needs).toBeCloseTo(310 / 150, 6)
  expect(yearly.done).toBe(2)
  // Two services for 310 h leave each 155 h apart, five beyond the interval.
  expect(yearly.lateBy).toBeCloseTo(5, 6)
})

it('lets the calendar govern where little is run', () => {
  const book = oilChanged([['2026-06-01', 110]])
  book.write('hours-read', '2027-05-31T10:00:00Z', { meter: 'engine-hours', reading: h(140) })
  const oil = oilOf(book, '2027-06-01T10:00:00Z')
  expect(oil.running!.governs).toBe('months')
  expect(oil.running!.months).toBeCloseTo(12, 6)
  expect(oil.running!.share).toBeCloseTo(1, 6)
  expect(oil.yearly!.governs).toBe('months')
  expect(oil.yearly!.needs).toBe(1)
})

it('asks for nothing a year while less than a year is known', () => {
  expect(oilOf(oilChanged([['2026-07-01', 150]]), '2026-09-01T00:00:00Z').yearly).toBeNull()
})

it('begins anew where the equipment was fitted anew', () => {
  const book = oilChanged([['2026-07-01', 250]])
  book.write('equipment-fitted', '2026-08-01T08:00:00Z', { equipment: 'engine', name: 'Engine', kind: 'engine' })
  book.write('hours-read', '2026-08-01T08:05:00Z', { meter: 'engine-hours', reading: h(300) })
  book.write('service-done', '2026-09-01T10:00:00Z', { equipment: 'engine', work: 'oil changed', hours: h(360) })
  const oil = oilOf(book, '2026-09-02T00:00:00Z')
  expect(oil.kept.map((one) => Math.round(one.hours!))).toEqual([150, 60])
})

it('leaves out tasks that were retired', () => {
  const book = oilChanged([])
  book.write('upkeep-retired', '2026-06-01T10:00:00Z', { task: 'oil' })
  expect(cadences(book.told(), at('2026-07-01T00:00:00Z'))).toEqual([])
})
