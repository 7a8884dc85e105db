import { describe, expect, test } from 'vitest'
import type { Data } from '../../events/index.ts'
import { ahead, assumedSpread, chanceOfMore, type Plan, usualReserve } from '../../projections/ahead.ts'
import { gammaUpperTail } from '../../projections/statistics/gamma.ts'
import { at, type Given, nm, read, withEngine } from './entries.ts'

const litres = (value: number) => ({ value, unit: 'L' as const })

const plan = (over: Partial<Plan> = {}): Plan => ({
  hours: 60,
  days: 5,
  miles: null,
  speed: null,
  reserve: usualReserve,
  leaving: null,
  ...over,
})

const ask = (book: Given, when: string, over: Partial<Plan> = {}) => ahead(book.told(), at(when), plan(over))

/** Sets a task on the engine, on 1 May 2026. */
const task = (book: Given, handle: string, set: Partial<Data<'upkeep-set'>>) =>
  book.write('upkeep-set', '2026-05-01T09:00:00Z', {
    task: handle,
    name: `Task ${handle}`,
    equipment: 'engine',
    work: 'inspected',
    ...set,
  })

/** A tank of 200 L that was filled at 100, 110, 120, 130 h, 30 L each time, on 2, 4, 6, 8 May. */
function withFuel(book: Given = withEngine(100)): Given {
  book.write('equipment-fitted', '2026-05-01T08:00:00Z', {
    equipment: 'fuel-tank',
    name: 'Fuel tank',
    kind: 'fuel tank',
    volume: litres(200),
  })
  for (const [index, amount] of [30, 30, 33, 27].entries()) {
    const day = `2026-05-0${2 + 2 * index}`
    read(book, `${day}T12:00:00Z`, 100 + 10 * index)
    book.write('taken-aboard', `${day}T12:00:00Z`, {
      what: 'diesel',
      equipment: 'fuel-tank',
      amount: litres(amount),
      full: true,
    })
  }
  return book
}

/** A passage with its engine hours, miles and what was under engine. */
function sail(book: Given, day: string, from: number, to: number, more: Partial<Data<'passage-ended'>>) {
  book.write('passage-begun', `${day}T06:00:00Z`, { from: 'here' })
  read(book, `${day}T06:01:00Z`, from)
  read(book, `${day}T18:00:00Z`, to)
  book.write('passage-ended', `${day}T18:01:00Z`, { at: 'there', ...more })
}

describe('fuel', () => {
  test('is told by the last time the tanks were full, with what was burnt since, and what the passage takes', () => {
    const book = withFuel()
    read(book, '2026-05-12T12:00:00Z', 140)
    const { fuel } = ask(book, '2026-05-13T12:00:00Z', { hours: 20 })
    expect(fuel?.tanks[0]?.last).toMatchObject({ litres: 200, full: true, filled: 0, days: 5 })
    expect(fuel?.by).toBe('tank to tank')
    // 30 + 33 + 27 L over thirty hours.
    expect(fuel?.rate).toMatchObject({ kind: 'estimate', value: 3, n: 3 })
    expect(fuel?.since).toBe(10)
    expect(fuel?.aboard).toMatchObject({ value: 170 })
    expect(fuel?.needed).toMatchObject({ value: 60 })
    expect(fuel?.onArrival).toMatchObject({ value: 110 })
    expect(fuel?.reserve).toBeCloseTo(200 / 3, 9)
    // 170 L down to the reserve, at 3 L an hour.
    expect(fuel?.lasts?.likely).toBeCloseTo((170 - 200 / 3) / 3, 6)
    expect(fuel!.lasts!.least).toBeLessThan(fuel!.lasts!.likely)
  })

  test('follows a later sounding and what was filled since, and says how old it is', () => {
    const book = withFuel()
    book.write('check-made', '2026-05-11T08:00:00Z', { equipment: 'fuel-tank', level: litres(90) })
    book.write('taken-aboard', '2026-05-12T08:00:00Z', { what: 'diesel', equipment: 'fuel-tank', amount: litres(20) })
    const { fuel } = ask(book, '2026-05-20T12:00:00Z')
    expect(fuel?.tanks[0]?.last).toMatchObject({ litres: 90, full: false, filled: 20, days: 9 })
    expect(fuel?.aboard).toMatchObject({ value: 110 })
  })

  test('that is too little is told as such, and the reserve is begun at once', () => {
    const book = withFuel()
    book.write('check-made', '2026-05-11T08:00:00Z', { equipment: 'fuel-tank', level: litres(50) })
    const { fuel } = ask(book, '2026-05-12T12:00:00Z', { hours: 60 })
    expect(fuel?.onArrival).toMatchObject({ value: 50 - 180 })
    expect(fuel?.lasts).toEqual({ likely: 0, least: 0 })
  })

  test('is not guessed at while the log has no three stretches, though the soundings are shown', () => {
    const book = withEngine(100)
    book.write('equipment-fitted', '2026-05-01T08:00:00Z', { equipment: 'tank', name: 'Tank', kind: 'fuel tank' })
    book.write('check-made', '2026-05-02T08:00:00Z', { equipment: 'tank', level: litres(90) })
    const { fuel } = ask(book, '2026-05-12T12:00:00Z')
    expect(fuel?.tanks[0]?.last?.litres).toBe(90)
    expect(fuel?.rate).toEqual({ kind: 'not-enough', n: 0, needed: 3 })
    expect(fuel?.needed.kind).toBe('not-enough')
    expect(fuel?.aboard.kind).toBe('not-enough')
    expect(fuel?.reserve).toBeNull()
  })

  test('is learnt from what passages say they used, where the tanks do not tell', () => {
    const book = withEngine(100)
    book.write('equipment-fitted', '2026-05-01T08:00:00Z', { equipment: 'tank', name: 'Tank', kind: 'fuel tank' })
    for (const [index, day] of ['03', '05', '07'].entries())
      sail(book, `2026-05-${day}`, 100 + 5 * index, 105 + 5 * index, { fuelUsed: litres(20) })
    const { fuel } = ask(book, '2026-05-12T12:00:00Z')
    expect(fuel?.by).toBe('passages')
    expect(fuel?.rate.kind === 'estimate' ? fuel.rate.value : null).toBeCloseTo(4, 1)
  })

  test('of several tanks is counted together, from when each was known', () => {
    const book = withFuel()
    book.write('equipment-fitted', '2026-05-01T08:00:00Z', {
      equipment: 'second-tank',
      name: 'Second tank',
      kind: 'fuel tank',
      volume: litres(100),
    })
    for (const day of ['02', '04', '06', '08'])
      book.write('check-made', `2026-05-${day}T12:00:00Z`, { equipment: 'second-tank', level: litres(100) })
    read(book, '2026-05-12T13:00:00Z', 150)
    // After twenty hours the first tank is filled: those sixty litres came from it, and none from the second.
    book.write('taken-aboard', '2026-05-12T13:00:00Z', {
      what: 'diesel',
      equipment: 'fuel-tank',
      amount: litres(60),
      full: true,
    })
    const { fuel } = ask(book, '2026-05-13T12:00:00Z', { hours: 10 })
    expect(fuel?.rate).toMatchObject({ value: 3 })
    expect(fuel?.aboard.kind === 'estimate' ? fuel.aboard.value : null).toBeCloseTo(300, 6)
    expect(fuel?.reserve).toBe(100)
  })

  test('at another engine speed goes by the propeller law from the speeds read under way, both exponents within its ends', () => {
    const book = withFuel()
    book.write('passage-begun', '2026-05-09T06:00:00Z', { from: 'here' })
    for (let i = 1; i <= 5; i++)
      book.write('readings-taken', `2026-05-09T1${i}:00:00Z`, {
        equipment: 'engine',
        speed: { value: 2000, unit: '/min' },
      })
    book.write('passage-ended', '2026-05-09T18:00:00Z', { at: 'there' })
    const slow = ask(book, '2026-05-10T12:00:00Z', { hours: 20, speed: 1600 })
    expect(slow.speed).toMatchObject({ usual: 2000, n: 5 })
    // 0.8 to the power of 2.7 and of 3.
    expect(slow.speed?.factor?.smallCraft).toBeCloseTo(0.5475, 3)
    expect(slow.speed?.factor?.cube).toBeCloseTo(0.512, 9)
    const planned = slow.fuel!.planned
    if (planned.kind === 'not-enough') throw new Error('expected an estimate')
    expect(planned.value).toBeCloseTo(3 * 0.8 ** 2.7, 6)
    expect(planned.low).toBeLessThan(3 * 0.8 ** 3)
  })

  test('at another engine speed is left as it is where no speed was read', () => {
    const { speed, fuel } = ask(withFuel(), '2026-05-10T12:00:00Z', { speed: 1600 })
    expect(speed).toMatchObject({ usual: null, n: 0, needed: 5, factor: null })
    expect(fuel?.planned).toMatchObject({ value: 3 })
  })
})

test('water is told by the day, and not at all once it was filled too long ago', () => {
  const book = withEngine(100)
  book.write('equipment-fitted', '2026-05-01T08:00:00Z', {
    equipment: 'water-tank',
    name: 'Water tank',
    kind: 'tank',
    volume: litres(300),
  })
  for (const day of ['02', '07', '12', '17'])
    book.write('taken-aboard', `2026-05-${day}T12:00:00Z`, {
      what: 'water',
      equipment: 'water-tank',
      amount: litres(100),
      full: true,
    })
  const soon = ask(book, '2026-05-19T12:00:00Z', { days: 4 }).water
  expect(soon?.rate).toMatchObject({ value: 20 })
  expect(soon?.aboard).toMatchObject({ value: 260 })
  expect(soon?.onArrival).toMatchObject({ value: 180 })
  const later = ask(book, '2026-08-19T12:00:00Z', { days: 4 }).water
  expect(later?.aboard.kind).toBe('not-enough')
  expect(later?.needed).toMatchObject({ value: 80 })
})

test('oil is told by what was topped up between oil changes, with the dipstick as last seen', () => {
  const book = withEngine(100)
  book.write('equipment-fitted', '2026-05-01T08:00:00Z', {
    equipment: 'engine',
    name: 'Engine',
    kind: 'engine',
    dipstickRange: litres(1.5),
  })
  let hours = 100
  for (const month of ['05', '06', '07', '08']) {
    read(book, `2026-${month}-02T11:00:00Z`, hours)
    book.write('service-done', `2026-${month}-02T11:00:00Z`, { equipment: 'engine', work: 'oil changed' })
    hours += 100
    read(book, `2026-${month}-20T10:00:00Z`, hours)
    book.write('taken-aboard', `2026-${month}-20T11:00:00Z`, {
      what: 'engine oil',
      equipment: 'engine',
      amount: litres(0.5),
    })
  }
  book.write('check-made', '2026-08-21T11:00:00Z', { equipment: 'engine', dipstick: { value: 60, unit: '%' } })
  const { oil } = ask(book, '2026-08-22T12:00:00Z', { hours: 50 })
  expect(oil?.dipstick).toMatchObject({ share: 60, days: 1, range: 1.5 })
  expect(oil?.needed).toMatchObject({ value: 0.25 })
})

describe('what falls due under way', () => {
  test('by hours has the chance that the planned hours, give or take, come to what is left', () => {
    const book = withEngine(100)
    task(book, 'near', { everyHours: 50 })
    task(book, 'far', { everyHours: 70 })
    task(book, 'beyond', { everyHours: 500 })
    const { underWay, spread } = ask(book, '2026-05-02T12:00:00Z')
    expect(spread).toEqual({ share: assumedSpread, n: 0, entries: [] })
    expect(underWay.map((item) => item.row.task.handle)).toEqual(['near', 'far'])
    expect(underWay[0]?.chance).toBeCloseTo(gammaUpperTail(50, 1 / 0.09, 60 * 0.09), 12)
    expect(underWay[0]!.chance).toBeGreaterThan(0.6)
    expect(underWay[1]!.chance).toBeLessThan(0.4)
  })

  test('by the calendar is certain, on its day, however few the hours', () => {
    const book = withEngine(100)
    task(book, 'yearly', { everyMonths: 1 })
    const { underWay } = ask(book, '2026-05-28T12:00:00Z', { hours: 1 })
    expect(underWay[0]).toMatchObject({ chance: 1, on: '2026-06-01' })
    expect(ask(book, '2026-05-20T12:00:00Z', { hours: 1 }).underWay).toEqual([])
    expect(ask(book, '2026-05-20T12:00:00Z', { hours: 1, leaving: '2026-05-28' }).underWay).toHaveLength(1)
  })

  test('by miles is asked only where miles are planned, by starts as often as she was started over the hours', () => {
    const book = withEngine(100)
    task(book, 'miles', { everyMiles: 300 })
    task(book, 'starts', { everyStarts: 12 })
    for (let day = 2; day <= 6; day++)
      book.write('engine-started', `2026-05-0${day}T08:00:00Z`, { equipment: 'engine' })
    read(book, '2026-05-06T09:00:00Z', 110)
    sail(book, '2026-05-07', 110, 115, { distance: nm(30) })
    const named = (over: Partial<Plan>) =>
      ask(book, '2026-05-09T12:00:00Z', over).underWay.map((item) => item.row.task.handle)
    // Five starts in 15 h: twenty in sixty, and seven are left.
    expect(named({})).toEqual(['starts'])
    expect(named({ miles: 420 }).sort()).toEqual(['miles', 'starts'])
  })

  test('cannot come of more hours than the clock has', () => {
    const book = withEngine(100)
    task(book, 'near', { everyHours: 30 })
    expect(ask(book, '2026-05-02T12:00:00Z', { hours: 24, days: 1 }).underWay).toEqual([])
  })

  test('is better done before leaving, unless it would fall due again', () => {
    const book = withEngine(100)
    task(book, 'oil', { everyHours: 150, work: 'oil changed' })
    task(book, 'strainer', { everyHours: 25 })
    read(book, '2026-05-20T12:00:00Z', 240)
    book.write('service-done', '2026-05-20T13:00:00Z', { equipment: 'engine', work: 'inspected' })
    const { before, underWay } = ask(book, '2026-05-21T12:00:00Z')
    expect(before.map((one) => (one.why === 'under way' ? one.item.row.task.handle : one.why))).toEqual(['oil'])
    expect(underWay.map((item) => item.row.task.handle).sort()).toEqual(['oil', 'strainer'])
    // Half used, it is better done all the same, though it falls due again under way.
    read(book, '2026-05-22T12:00:00Z', 255)
    const later = ask(book, '2026-05-23T12:00:00Z')
    expect(later.before.map((one) => (one.why === 'under way' ? one.item.row.task.handle : one.why)).sort()).toEqual([
      'overdue',
      'strainer',
    ])
    expect(later.underWay.find((item) => item.row.task.handle === 'strainer')!.thoughDone).toBeGreaterThan(0.9)
  })

  test('is judged by how the hours of her own passages differ for their miles, once there are enough', () => {
    const book = withEngine(100)
    let hours = 100
    for (let i = 0; i < 10; i++) {
      const ran = i % 2 === 0 ? 4 : 6
      sail(book, `2026-05-${String(3 + i).padStart(2, '0')}`, hours, hours + ran, { distance: nm(50) })
      hours += ran
    }
    const { spread } = ask(book, '2026-05-20T12:00:00Z', { miles: 500 })
    expect(spread.n).toBe(10)
    // Ten legs of 50 M with 4 or 6 h: the variance of one is 10/9; ten such legs, and the rate from ten.
    expect(spread.share).toBeCloseTo(Math.sqrt((10 / 9) * 10 * 2) / 50, 2)
  })
})

test('the chance of more than what is left is one where nothing is left', () => {
  expect(chanceOfMore(60, 0.3, 0)).toBe(1)
  expect(chanceOfMore(60, 0.3, -5)).toBe(1)
  expect(chanceOfMore(60, 0.01, 90)).toBeLessThan(1e-6)
})

test('what was left shut, what is overdue and what stops her come before all else', () => {
  const book = withEngine(100)
  task(book, 'overdue', { everyHours: 10, parts: 'gasket' })
  read(book, '2026-05-10T12:00:00Z', 120)
  book.write('left-as', '2026-05-11T12:00:00Z', { equipment: 'engine', state: 'drained' })
  book.write('defect-found', '2026-05-11T12:00:00Z', { equipment: 'engine', what: 'knocks', matters: 'stops her' })
  book.write('defect-found', '2026-05-11T12:00:00Z', { equipment: 'engine', what: 'paint', matters: 'little' })
  const { before, relied, parts } = ask(book, '2026-05-12T12:00:00Z')
  expect(before.map((one) => one.why)).toEqual(['left', 'overdue', 'defect'])
  expect(relied.map((one) => one.entry.type)).toEqual(['defect-found', 'defect-found'])
  expect(parts).toEqual([expect.objectContaining({ parts: 'gasket', by: 'Task overdue' })])
})

test('a temporary repair is relied on with the hours, miles and days that it will have carried by arrival', () => {
  const book = withEngine(100)
  sail(book, '2026-05-05', 100, 110, { distance: nm(40) })
  const mend = book.write('repair-made', '2026-05-06T08:00:00Z', {
    equipment: 'engine',
    kind: 'temporary',
    what: 'wire over the clamp',
    waitsFor: 'a clamp of 19 mm',
  })
  sail(book, '2026-05-08', 110, 117, { distance: nm(30) })
  const { relied, before, parts } = ask(book, '2026-05-10T08:00:00Z', { hours: 60, days: 5, miles: 420 })
  expect(relied).toHaveLength(1)
  expect(relied[0]).toMatchObject({
    carried: { hours: 7, miles: 30, days: 4 },
    byArrival: { hours: 67, miles: 450, days: 9 },
  })
  expect(before.map((one) => one.why)).toEqual(['repair'])
  expect(parts).toEqual([{ parts: 'a clamp of 19 mm', by: 'Engine', root: mend }])
})

test('an empty book answers with what it does not know', () => {
  const answer = ahead(withEngine().told({ asOf: 0 }), at('2026-05-02T12:00:00Z'), plan())
  expect(answer).toMatchObject({
    meter: null,
    before: [],
    underWay: [],
    relied: [],
    parts: [],
    fuel: null,
    water: null,
    oil: null,
  })
})
