import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Data } from '../../events/index.ts'
import { type DueRow, daysUntilDue, dueRows, limitFigure, limitUnit } from '../../projections/due.ts'
import type { AsOf } from '../../projections/timeline.ts'
import { at, type Given, given, h, nm, read, withEngine } from './entries.ts'

type Set = Partial<Data<'upkeep-set'>>

/** Sets the task `oil` on the engine, on 1 May 2026. */
const setOil = (book: Given, set: Set, when = '2026-05-01T09:00:00Z') =>
  book.write('upkeep-set', when, { task: 'oil', name: 'Engine oil', equipment: 'engine', work: 'oil changed', ...set })

const changeOil = (book: Given, when: string, data: Partial<Data<'service-done'>> = {}, recordedAt?: string) =>
  book.write(
    'service-done',
    when,
    { equipment: 'engine', work: 'oil changed', ...data },
    recordedAt === undefined ? {} : { recordedAt },
  )

const rowsOf = (book: Given, now: string, past?: AsOf) => dueRows(book.told(past), at(now))

/** The row of one task; throws if it is not there. */
function rowOf(book: Given, now: string, task = 'oil', past?: AsOf): DueRow {
  const row = rowsOf(book, now, past).find((one) => one.task.handle === task)
  if (!row) throw new Error(`no row for ${task}`)
  return row
}

const limitOf = (row: DueRow, kind: string) => row.limits.find((limit) => limit.kind === kind)

describe('whichever comes first', () => {
  test('governs: the hours in a season of much motoring, the months in a lazy one', () => {
    for (const [reading, governs] of [
      [220, 'hours'],
      [120, 'months'],
    ] as const) {
      const book = withEngine(100)
      setOil(book, { everyHours: 150, everyMonths: 12 })
      read(book, '2026-10-01T12:00:00Z', reading)
      const row = rowOf(book, '2026-11-01T12:00:00Z')
      expect(row.governing?.kind).toBe(governs)
      expect(row.usedShare).toBe(Math.max(...row.limits.map((limit) => limit.share)))
      expect(limitOf(row, 'hours')).toMatchObject({ every: 150, used: reading - 100, left: 250 - reading })
      expect(limitOf(row, 'months')?.days).toEqual({ used: 184, whole: 365 })
      expect([row.hoursLeft, row.daysLeft]).toEqual([250 - reading, 181])
    }
  })

  test('may be the miles or the starts', () => {
    const book = withEngine(100)
    setOil(book, { everyHours: 1000, everyMiles: 500, everyStarts: 4 })
    for (const day of ['02', '03', '04'])
      book.write('engine-started', `2026-05-${day}T12:00:00Z`, { equipment: 'engine' })
    book.write('passage-ended', '2026-05-04T20:00:00Z', { at: 'there', distance: { value: 463, unit: 'km' } })
    const row = rowOf(book, '2026-05-10T12:00:00Z')
    expect(row.governing).toMatchObject({ kind: 'starts', used: 3, left: 1, share: 0.75 })
    expect(limitOf(row, 'miles')?.used).toBeCloseTo(250, 9)
    expect(limitOf(row, 'miles')?.share).toBeCloseTo(0.5, 9)
    book.write('passage-ended', '2026-05-08T20:00:00Z', { at: 'on', distance: nm(200) })
    expect(rowOf(book, '2026-05-10T12:00:00Z').governing?.kind).toBe('miles')
    expect(rowOf(book, '2026-05-10T12:00:00Z').usedShare).toBeCloseTo(0.9, 9)
  })

  test('counts miles by the distance log where there is one', () => {
    const book = withEngine(100)
    book.write('equipment-fitted', '2026-05-01T08:00:00Z', { equipment: 'boat', name: 'She', kind: 'boat' })
    book.write('meter-fitted', '2026-05-01T08:00:00Z', {
      meter: 'log',
      name: 'Log',
      equipment: 'boat',
      counts: 'miles',
      kind: 'distance log',
      reading: 4000,
    })
    setOil(book, { everyMiles: 500 })
    book.write('passage-ended', '2026-05-08T20:00:00Z', { at: 'on', distance: nm(999), distanceLog: nm(4120) })
    expect(limitOf(rowOf(book, '2026-05-10T12:00:00Z'), 'miles')).toMatchObject({ used: 120, left: 380 })
  })
})

describe('the order', () => {
  test('is overdue first, then soon, then later, each by the share used; what nothing counts comes last', () => {
    const book = withEngine(100)
    for (const [task, everyHours] of [
      ['later', 1000],
      ['less-later', 500],
      ['soon', 105],
      ['overdue', 90],
      ['more-overdue', 20],
    ] as const)
      setOil(book, { task, everyHours })
    setOil(book, { task: 'uncounted', everyMiles: 100 })
    read(book, '2026-10-01T12:00:00Z', 200)
    expect(rowsOf(book, '2026-10-02T12:00:00Z').map((row) => [row.task.handle, row.state])).toEqual([
      ['more-overdue', 'overdue'],
      ['overdue', 'overdue'],
      ['soon', 'soon'],
      ['less-later', 'later'],
      ['later', 'later'],
      ['uncounted', 'uncounted'],
    ])
  })

  test('is that of the short names where all else is equal', () => {
    const book = withEngine(100)
    for (const task of ['b', 'c', 'a']) setOil(book, { task, everyMonths: 12 })
    expect(rowsOf(book, '2026-10-02T12:00:00Z').map((row) => row.task.handle)).toEqual(['a', 'b', 'c'])
  })
})

describe('the state', () => {
  const stateAt = (reading: number) => {
    const book = withEngine(100)
    setOil(book, { everyHours: 150 })
    read(book, '2026-10-01T12:00:00Z', reading)
    return rowOf(book, '2026-10-02T12:00:00Z').state
  }

  test('is soon from nine tenths of the hours, or ten hours before they are used up, and overdue once they are', () => {
    expect([234.9, 235, 240, 249.9, 250, 251].map(stateAt)).toEqual([
      'later',
      'soon',
      'soon',
      'soon',
      'overdue',
      'overdue',
    ])
  })

  test('is soon a month before the day, and overdue on it', () => {
    const book = withEngine(100)
    setOil(book, { everyMonths: 12 })
    const states = ['2027-03-31', '2027-04-01', '2027-04-30', '2027-05-01', '2027-05-02'].map((day) => [
      rowOf(book, `${day}T12:00:00Z`).state,
      rowOf(book, `${day}T12:00:00Z`).daysLeft,
    ])
    expect(states).toEqual([
      ['later', 31],
      ['soon', 30],
      ['soon', 1],
      ['overdue', 0],
      ['overdue', -1],
    ])
  })

  test('is uncounted, with no share, where nothing counts what the task goes by', () => {
    const book = given()
    book.write('equipment-fitted', '2026-05-01T08:00:00Z', { equipment: 'engine', name: 'Engine', kind: 'engine' })
    setOil(book, { everyHours: 100, everyStarts: 50, everyMiles: 1000 })
    expect(rowOf(book, '2026-10-02T12:00:00Z')).toMatchObject({
      state: 'uncounted',
      limits: [],
      governing: null,
      usedShare: null,
      hoursLeft: null,
      daysLeft: null,
    })
  })
})

describe('the count begins', () => {
  test('with the last service, and only its own hours count where it carries them', () => {
    const book = withEngine(100)
    setOil(book, { everyHours: 150 })
    read(book, '2026-06-01T12:00:00Z', 140)
    const id = changeOil(book, '2026-06-10', { hours: h(148) })
    read(book, '2026-06-12T12:00:00Z', 160)
    const row = rowOf(book, '2026-06-13T12:00:00Z')
    expect(row.last?.root).toBe(id)
    expect(limitOf(row, 'hours')).toMatchObject({ used: 12, left: 138 })
  })

  test('at the line between two readings for a service without hours', () => {
    const book = withEngine(100)
    setOil(book, { everyHours: 150 })
    read(book, '2026-06-01T00:00:00Z', 140)
    changeOil(book, '2026-06-06')
    read(book, '2026-06-11T00:00:00Z', 160)
    expect(limitOf(rowOf(book, '2026-06-13T12:00:00Z'), 'hours')?.used).toBeCloseTo(10, 9)
  })

  test('with the fitting of the equipment, or with the first setting of the task where nothing was fitted, if it was never done', () => {
    const book = withEngine(100)
    setOil(book, { everyMonths: 12 }, '2026-08-01T09:00:00Z')
    expect(rowOf(book, '2026-10-02T12:00:00Z')).toMatchObject({ last: null, from: { type: 'equipment-fitted' } })
    expect(rowOf(book, '2026-10-02T12:00:00Z').daysLeft).toBe(211)

    const bare = given()
    setOil(bare, { everyMonths: 12 }, '2026-08-01T09:00:00Z')
    setOil(bare, { everyMonths: 6 }, '2026-09-01T09:00:00Z')
    expect(rowOf(bare, '2026-10-02T12:00:00Z')).toMatchObject({
      last: null,
      from: { type: 'upkeep-set' },
      daysLeft: 122,
    })
  })

  test('afresh when the equipment is fitted anew after its last service', () => {
    const book = withEngine(100)
    const belt: Data<'equipment-fitted'> = { equipment: 'belt', name: 'Belt', kind: 'belt', partOf: 'engine' }
    book.write('equipment-fitted', '2026-05-01T10:00:00Z', belt)
    setOil(book, { task: 'belt', equipment: 'belt', work: 'belt renewed', everyHours: 300 })
    read(book, '2026-06-01T12:00:00Z', 150)
    book.write('service-done', '2026-06-02T12:00:00Z', { equipment: 'belt', work: 'belt renewed', hours: h(150) })
    read(book, '2026-07-01T12:00:00Z', 190)
    expect(limitOf(rowOf(book, '2026-07-02T12:00:00Z', 'belt'), 'hours')?.used).toBe(40)
    book.write('equipment-removed', '2026-07-03T12:00:00Z', { equipment: 'belt' })
    book.write('equipment-fitted', '2026-07-03T12:00:00Z', belt)
    read(book, '2026-07-05T12:00:00Z', 195)
    expect(rowOf(book, '2026-07-06T12:00:00Z', 'belt')).toMatchObject({
      last: null,
      from: { type: 'equipment-fitted' },
    })
    expect(limitOf(rowOf(book, '2026-07-06T12:00:00Z', 'belt'), 'hours')?.used).toBeCloseTo(2.5, 9)
  })

  test('not afresh when equipment is described for the first time after a service that was written from memory', () => {
    const book = withEngine(100)
    setOil(book, { everyMonths: 12 })
    changeOil(book, '2026-04-01')
    expect(rowOf(book, '2026-05-02T12:00:00Z').last?.occurredAt).toBe('2026-04-01')
  })

  test('for the first time at other hours than later, where the task says so', () => {
    const book = withEngine(100)
    setOil(book, { firstAtHours: 50, everyHours: 150 })
    read(book, '2026-06-01T12:00:00Z', 140)
    expect(rowOf(book, '2026-06-02T12:00:00Z').hoursLeft).toBe(10)
    changeOil(book, '2026-06-03T12:00:00Z', { hours: h(140) })
    expect(rowOf(book, '2026-06-04T12:00:00Z').hoursLeft).toBe(150)
  })

  test('for a first time only: once done, the task falls due no more', () => {
    const book = withEngine(100)
    setOil(book, { firstAtHours: 50 })
    expect(rowsOf(book, '2026-06-02T12:00:00Z')).toHaveLength(1)
    changeOil(book, '2026-06-03T12:00:00Z')
    expect(rowsOf(book, '2026-06-04T12:00:00Z')).toEqual([])
  })
})

describe('a service', () => {
  test('fulfils the tasks whose work it includes, and no others', () => {
    const book = withEngine(100)
    for (const [task, work] of [
      ['oil', 'oil changed'],
      ['filter', 'oil and filter changed'],
      ['coolant', 'coolant changed'],
    ] as const)
      setOil(book, { task, work, everyMonths: 12 })
    changeOil(book, '2026-06-01T12:00:00Z', { work: 'oil and filter changed' })
    changeOil(book, '2026-07-01T12:00:00Z')
    const last = (task: string) => rowOf(book, '2026-08-02T12:00:00Z', task).last?.occurredAt ?? null
    expect([last('oil'), last('filter'), last('coolant')]).toEqual([
      '2026-07-01T12:00:00Z',
      '2026-06-01T12:00:00Z',
      null,
    ])
  })

  test('on other equipment fulfils nothing here', () => {
    const book = withEngine(100)
    setOil(book, { everyMonths: 12 })
    book.write('service-done', '2026-06-01T12:00:00Z', { equipment: 'gearbox', work: 'oil changed' })
    expect(rowOf(book, '2026-08-02T12:00:00Z').last).toBeNull()
  })

  test('written late counts from when it was done', () => {
    const book = withEngine(100)
    setOil(book, { everyMonths: 12 })
    changeOil(book, '2026-06-01', {}, '2026-09-01T12:00:00Z')
    expect(rowOf(book, '2026-09-02T12:00:00Z').daysLeft).toBe(272)
    expect(rowOf(book, '2026-09-02T12:00:00Z').last?.occurredAt).toBe('2026-06-01')
  })

  test('written late before a later one changes nothing', () => {
    const book = withEngine(100)
    setOil(book, { everyMonths: 12 })
    const id = changeOil(book, '2026-07-01T12:00:00Z')
    changeOil(book, '2026-06-01', {}, '2026-09-01T12:00:00Z')
    expect(rowOf(book, '2026-09-02T12:00:00Z').last?.root).toBe(id)
  })

  test('amended counts as amended, struck not at all, and again once the strike is struck', () => {
    const book = withEngine(100)
    setOil(book, { everyMonths: 12 })
    const id = changeOil(book, '2026-07-01T12:00:00Z')
    book.amend(
      id,
      'service-done',
      '2026-06-01T12:00:00Z',
      { equipment: 'engine', work: 'oil changed' },
      '2026-07-02T12:00:00Z',
    )
    const last = () => rowOf(book, '2026-09-02T12:00:00Z').last?.occurredAt ?? null
    expect(last()).toBe('2026-06-01T12:00:00Z')
    const strike = book.strike(book.entries.at(-1)!.id, '2026-07-03T12:00:00Z')
    expect(last()).toBeNull()
    book.strike(strike, '2026-07-04T12:00:00Z')
    expect(last()).toBe('2026-06-01T12:00:00Z')
  })
})

describe('a task', () => {
  test('that is retired is due no more, and again once it is set anew', () => {
    const book = withEngine(100)
    setOil(book, { everyMonths: 12 })
    book.write('upkeep-retired', '2026-06-01T12:00:00Z', { task: 'oil' })
    expect(rowsOf(book, '2026-09-02T12:00:00Z')).toEqual([])
    setOil(book, { everyMonths: 6 }, '2026-07-01T12:00:00Z')
    expect(rowOf(book, '2026-09-02T12:00:00Z').daysLeft).toBe(60)
  })

  test('on equipment that was removed is due no more, and again once that is fitted anew', () => {
    const book = withEngine(100)
    setOil(book, { everyMonths: 12 })
    book.write('equipment-removed', '2026-06-01T12:00:00Z', { equipment: 'engine' })
    expect(rowsOf(book, '2026-09-02T12:00:00Z')).toEqual([])
    book.write('equipment-fitted', '2026-07-01T12:00:00Z', { equipment: 'engine', name: 'Engine', kind: 'engine' })
    expect(rowOf(book, '2026-09-02T12:00:00Z').daysLeft).toBe(302)
  })

  test('set anew holds with its new interval, from the same service', () => {
    const book = withEngine(100)
    setOil(book, { everyHours: 150 })
    changeOil(book, '2026-06-01T12:00:00Z', { hours: h(110) })
    setOil(book, { everyHours: 200 }, '2026-06-02T12:00:00Z')
    expect(rowOf(book, '2026-09-02T12:00:00Z').hoursLeft).toBe(200)
  })
})

describe('months', () => {
  const dueDay = (begun: string, everyMonths: number, now: string, zone?: string): number | null => {
    const book = withEngine(100)
    if (zone !== undefined) book.write('book-set', '2020-01-01', { zone })
    setOil(book, { everyMonths })
    changeOil(book, begun)
    return rowOf(book, now).daysLeft
  }

  test('end on the last day of a month that is too short', () => {
    expect(dueDay('2027-01-31', 1, '2027-02-28T12:00:00Z')).toBe(0)
    expect(dueDay('2028-01-31', 1, '2028-02-29T12:00:00Z')).toBe(0)
    expect(dueDay('2027-02-28', 1, '2027-03-28T12:00:00Z')).toBe(0)
    expect(dueDay('2028-02-29', 12, '2029-02-28T12:00:00Z')).toBe(0)
  })

  test('of which only a part is asked for count that part of thirty days', () => {
    expect(dueDay('2027-01-31', 1.5, '2027-02-28T12:00:00Z')).toBe(15)
  })

  test("are told in days of ship's time, also on the days when the clocks change", () => {
    const zone = 'Europe/Stockholm'
    expect(dueDay('2026-09-25', 1, '2026-10-24T22:30:00Z', zone)).toBe(0)
    expect(dueDay('2026-09-25', 1, '2026-10-25T22:30:00Z', zone)).toBe(0)
    expect(dueDay('2026-09-25', 1, '2026-10-25T23:30:00Z', zone)).toBe(-1)
    expect(dueDay('2026-06-29T23:30:00+02:00', 9, '2027-03-27T23:30:00Z', zone)).toBe(1)
    expect(dueDay('2026-06-29T23:30:00+02:00', 9, '2027-03-28T22:30:00Z', zone)).toBe(0)
  })

  test("begin on the day that it was aboard, though ship's time has changed since", () => {
    const book = withEngine(100)
    book.write('book-set', '2026-05-01', { zone: 'America/Halifax' })
    setOil(book, { everyMonths: 1 })
    changeOil(book, '2026-06-01T22:30:00-03:00')
    book.write('book-set', '2026-06-20', { zone: 'Europe/Stockholm' })
    expect(rowOf(book, '2026-06-30T23:00:00Z').daysLeft).toBe(0)
    expect(rowOf(book, '2026-06-30T21:00:00Z').daysLeft).toBe(1)
  })

  test('begin on the day that was written, where only that is known, even on the day on which the zone changed', () => {
    const book = withEngine(100)
    book.write('book-set', '2026-05-01', { zone: 'America/Halifax' })
    setOil(book, { everyMonths: 1 })
    book.write('book-set', '2026-06-10T06:00:00Z', { zone: 'Europe/Stockholm' })
    changeOil(book, '2026-06-10')
    expect(rowOf(book, '2026-07-09T12:00:00Z').daysLeft).toBe(1)
  })
})

describe('as of', () => {
  const book = withEngine(100)
  setOil(book, { everyHours: 150 })
  read(book, '2026-06-01T12:00:00Z', 200)
  changeOil(book, '2026-06-02T12:00:00Z', { hours: h(200) }, '2026-08-01T12:00:00Z')
  read(book, '2026-07-01T12:00:00Z', 220)

  test('what had happened, the past is told with what is known now', () => {
    const then = at('2026-06-10T12:00:00Z')
    expect(rowOf(book, '2026-06-10T12:00:00Z', 'oil', { asOf: then })).toMatchObject({ hoursLeft: 150 })
    expect(rowOf(book, '2026-06-01T12:00:00Z', 'oil', { asOf: at('2026-06-01T12:00:00Z') })).toMatchObject({
      hoursLeft: 50,
      last: null,
    })
  })

  test('what was known, a service written down later is not there yet', () => {
    const then = at('2026-07-15T12:00:00Z')
    expect(rowOf(book, '2026-07-15T12:00:00Z', 'oil', { asKnown: then })).toMatchObject({ hoursLeft: 30, last: null })
    expect(rowOf(book, '2026-07-15T12:00:00Z')).toMatchObject({ hoursLeft: 130 })
  })
})

// How good a forecast is, is measured in tests/trials; how it follows use, in forecast.test.ts. Here: what a row gives of it.
describe('the forecast of a row', () => {
  test('is when the first limit is likely reached, between an early and a late day', () => {
    const book = withEngine(100)
    setOil(book, { everyHours: 150, everyMonths: 12 })
    read(book, '2026-08-09T08:00:00Z', 200)
    const { forecast } = rowOf(book, '2026-08-09T08:00:00Z')
    expect(forecast).toMatchObject({ kind: 'estimate', governs: 'hours', level: 0.8, n: 100 })
    if (forecast.kind !== 'estimate') return
    // At the pace so far the 50 h left take 50 days, to 28 September; the season may end before.
    expect(forecast.early <= '2026-09-28' && forecast.late! >= '2026-09-28').toBe(true)
    expect(forecast.early <= forecast.likely && forecast.likely <= forecast.late!).toBe(true)
    expect(forecast.limits.calendar).toEqual({ early: '2027-05-01', likely: '2027-05-01', late: '2027-05-01' })
  })

  test('is the day in the calendar where that comes before', () => {
    const book = withEngine(100)
    setOil(book, { everyHours: 1000, everyMonths: 6 })
    read(book, '2026-08-09T08:00:00Z', 200)
    expect(rowOf(book, '2026-08-09T08:00:00Z').forecast).toMatchObject({ governs: 'months', likely: '2026-11-01' })
  })

  test('is today for what is overdue by its count, and the day that has passed for what is overdue in the calendar', () => {
    const book = withEngine(100)
    setOil(book, { everyHours: 50 })
    setOil(book, { task: 'yearly', everyMonths: 2 })
    read(book, '2026-08-09T08:00:00Z', 200)
    expect(rowOf(book, '2026-08-09T08:00:00Z').forecast).toMatchObject({ governs: 'hours', likely: '2026-08-09' })
    expect(rowOf(book, '2026-08-09T08:00:00Z', 'yearly').forecast).toMatchObject({ likely: '2026-07-01' })
  })

  test('is not given while the log is too young to say when the hours come, not even by the calendar', () => {
    const book = withEngine(100)
    setOil(book, { everyHours: 150, everyMonths: 12 })
    read(book, '2026-05-20T08:00:00Z', 110)
    expect(rowOf(book, '2026-05-21T08:00:00Z').forecast).toEqual({ kind: 'not-enough', n: 20, needed: 30 })
    expect(rowOf(book, '2026-05-31T08:00:00Z').forecast.kind).toBe('estimate')
  })

  test('of the calendar alone needs no use to be known', () => {
    const book = withEngine(100)
    setOil(book, { everyMonths: 12 })
    expect(rowOf(book, '2026-05-02T08:00:00Z').forecast).toMatchObject({ kind: 'estimate', likely: '2027-05-01' })
  })

  test('is not given for hours while she does not run, but for the calendar beside them', () => {
    const book = withEngine(100)
    setOil(book, { everyHours: 150 })
    setOil(book, { task: 'both', everyHours: 150, everyMonths: 12 })
    read(book, '2026-08-09T08:00:00Z', 100)
    expect(rowOf(book, '2026-08-09T08:00:00Z').forecast).toEqual({ kind: 'not-enough', n: 0, needed: 30 })
    expect(rowOf(book, '2026-08-09T08:00:00Z', 'both').forecast).toMatchObject({ governs: 'months' })
  })

  test('of starts and miles goes by the time since they were written, not since the oldest entry', () => {
    const book = withEngine(100)
    book.write('equipment-fitted', '2010-05-01', { equipment: 'boat', name: 'She', kind: 'boat' })
    setOil(book, { task: 'starts', everyStarts: 60 })
    setOil(book, { task: 'miles', everyMiles: 6010 })
    for (const [month, day] of [
      [5, 1],
      [5, 21],
      [6, 10],
      [6, 30],
    ] as const) {
      const date = `2026-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`
      book.write('passage-begun', `${date}T10:00:00Z`, { from: 'here' })
      book.write('engine-started', `${date}T10:00:00Z`, { equipment: 'engine' })
      book.write('passage-ended', `${date}T20:00:00Z`, { at: 'there', distance: nm(300) })
    }
    const now = '2026-06-30T22:00:00Z'
    expect(rowOf(book, now, 'starts').forecast).toMatchObject({ kind: 'estimate', n: 61 })
    expect(rowOf(book, now, 'miles').forecast).toMatchObject({ kind: 'estimate', n: 61 })
  })
})

describe('days until due', () => {
  test('are what is left by what is used a day; none when it is over, not told when nothing is used', () => {
    expect(daysUntilDue(46.5, 2.1)).toBeCloseTo(22.142857, 6)
    expect(daysUntilDue(0, 2.1)).toBe(0)
    expect(daysUntilDue(-3, 0)).toBe(0)
    expect(daysUntilDue(10, 0)).toBeNull()
  })
})

test('a figure of a limit has its unit and opens to the entries that it was counted from', () => {
  const book = withEngine(100)
  const set = setOil(book, { everyHours: 150, everyMonths: 12, everyStarts: 100 })
  const service = changeOil(book, '2026-06-01T12:00:00Z', { hours: h(110) })
  book.write('engine-started', '2026-06-02T12:00:00Z', { equipment: 'engine' })
  const row = rowOf(book, '2026-06-10T12:00:00Z')
  const figure = limitFigure(limitOf(row, 'hours') as never, 40)
  expect(figure).toMatchObject({ value: 40, unit: 'h', from: { meter: 'engine-hours', entries: [set, service] } })
  expect(limitOf(row, 'starts')?.from).toMatchObject({ kinds: ['engine-started'], equipment: 'engine' })
  expect(Object.keys(limitUnit).sort()).toEqual(['hours', 'miles', 'months', 'starts'])
})

describe('whatever is entered', () => {
  const day = fc
    .integer({ min: 0, max: 1200 })
    .map((days) => new Date(Date.parse('2026-01-01') + days * 86_400_000).toISOString().slice(0, 10))
  const moment = fc
    .integer({ min: 0, max: 1200 * 24 })
    .map((hours) => new Date(Date.parse('2026-01-01') + hours * 3_600_000).toISOString())
  const when = fc.oneof(day, moment)
  const reading = fc.oneof(fc.integer({ min: 0, max: 3000 }), fc.double({ min: 0, max: 1e6, noNaN: true }))
  const interval = (min: number, max: number) =>
    fc.option(fc.oneof(fc.integer({ min, max }), fc.double({ min, max, noNaN: true })), { nil: undefined })
  const one = fc.oneof(
    fc.record({ kind: fc.constant('read' as const), when, reading }),
    fc.record({ kind: fc.constant('serve' as const), when, reading: fc.option(reading) }),
    fc.record({ kind: fc.constant('replace' as const), when, first: reading, last: fc.option(reading) }),
    fc.record({ kind: fc.constant('fit' as const), when }),
    fc.record({ kind: fc.constant('remove' as const), when }),
    fc.record({ kind: fc.constant('start' as const), when }),
    fc.record({ kind: fc.constant('end' as const), when, miles: fc.double({ min: 0, max: 30_000, noNaN: true }) }),
    fc.record({
      kind: fc.constant('set' as const),
      when,
      task: fc.constantFrom('a', 'b', 'c'),
      everyHours: interval(1, 100_000),
      everyMonths: interval(1, 600),
      everyMiles: interval(1, 1e6),
      everyStarts: interval(1, 1e6),
      firstAtHours: interval(1, 100_000),
    }),
    fc.record({ kind: fc.constant('strike' as const), when: moment, target: fc.nat() }),
    fc.record({
      kind: fc.constant('zone' as const),
      when,
      zone: fc.constantFrom('Europe/Stockholm', 'Pacific/Apia', 'America/St_Johns'),
    }),
  )

  const written = (all: readonly (typeof one extends fc.Arbitrary<infer T> ? T : never)[]): Given => {
    const book = withEngine(100, { rollsOverAt: 10_000 })
    for (const entry of all) {
      if (entry.kind === 'read') read(book, entry.when, entry.reading)
      if (entry.kind === 'serve') changeOil(book, entry.when, entry.reading === null ? {} : { hours: h(entry.reading) })
      if (entry.kind === 'replace')
        book.write('meter-replaced', entry.when, {
          meter: 'engine-hours',
          first: entry.first,
          ...(entry.last === null ? {} : { last: entry.last }),
        })
      if (entry.kind === 'fit')
        book.write('equipment-fitted', entry.when, { equipment: 'engine', name: 'Engine', kind: 'engine' })
      if (entry.kind === 'remove') book.write('equipment-removed', entry.when, { equipment: 'engine' })
      if (entry.kind === 'start') book.write('engine-started', entry.when, { equipment: 'engine' })
      if (entry.kind === 'end')
        book.write('passage-ended', entry.when, { at: 'there', distance: { value: entry.miles, unit: '[nmi_i]' } })
      if (entry.kind === 'set') {
        const { kind: _kind, when: set, ...task } = entry
        const given = Object.fromEntries(Object.entries(task).filter(([, value]) => value !== undefined))
        setOil(book, given as Set, set)
      }
      if (entry.kind === 'strike') book.strike(book.entries[entry.target % book.entries.length]!.id, entry.when)
      if (entry.kind === 'zone') book.write('book-set', entry.when, { zone: entry.zone })
    }
    return book
  }

  const numbersIn = (value: unknown): number[] =>
    typeof value === 'number'
      ? [value]
      : typeof value === 'object' && value !== null
        ? Object.values(value).flatMap(numbersIn)
        : []

  test('no row holds anything that is no number, no use is below nothing and no order but the one promised', () => {
    fc.assert(
      fc.property(fc.array(one, { maxLength: 40 }), moment, (all, now) => {
        const rows = rowsOf(written(all), now)
        expect(numbersIn(rows).filter((value) => !Number.isFinite(value))).toEqual([])
        for (const row of rows) {
          for (const limit of row.limits) {
            expect(limit.used).toBeGreaterThanOrEqual(0)
            expect(limit.used + limit.left).toBeCloseTo(limit.every, 6)
            expect(limit.share).toBeCloseTo(limit.used / limit.every, 9)
          }
          expect(row.usedShare).toBe(row.governing?.share ?? null)
          if (row.usedShare !== null) expect(row.state === 'overdue').toBe(row.usedShare >= 1)
          if (row.forecast.kind === 'estimate') expect(row.forecast.likely).toMatch(/^\d{4}-\d{2}-\d{2}$/)
        }
        const rank = { overdue: 0, soon: 1, later: 2, uncounted: 3 }
        const ranks = rows.map((row) => rank[row.state])
        expect(ranks).toEqual([...ranks].sort())
      }),
      { numRuns: 300 },
    )
  })
})
