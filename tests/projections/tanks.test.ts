import { describe, expect, test } from 'vitest'
import { drawnBetween, filledAfter, fuelTanks, stretchesOf, waterTanks } from '../../projections/tanks.ts'
import { at, type Given, given } from './entries.ts'

const litres = (value: number) => ({ value, unit: 'L' as const })

function withTank(book: Given = given(), handle = 'fuel-tank', volume: number | null = 200): Given {
  book.write('equipment-fitted', '2026-04-01T08:00:00Z', {
    equipment: handle,
    name: handle,
    kind: 'fuel tank',
    ...(volume === null ? {} : { volume: litres(volume) }),
  })
  return book
}

const fill = (book: Given, when: string, amount: number | null, full = true, tank = 'fuel-tank') =>
  book.write('taken-aboard', when, {
    what: 'diesel',
    equipment: tank,
    ...(amount === null ? {} : { amount: litres(amount) }),
    ...(full ? { full } : {}),
  })

const sound = (book: Given, when: string, level: number, tank = 'fuel-tank') =>
  book.write('check-made', when, { equipment: tank, level: litres(level) })

describe('what was drawn from a tank', () => {
  test('from full to full is what went in, and needs no capacity', () => {
    const book = withTank(given(), 'fuel-tank', null)
    fill(book, '2026-05-01T10:00:00Z', 50)
    fill(book, '2026-05-10T10:00:00Z', 20, false)
    fill(book, '2026-05-20T10:00:00Z', 60)
    const [tank] = fuelTanks(book.told())
    expect(drawnBetween(tank!, tank!.marks[0]!, tank!.marks[1]!)?.litres).toBe(80)
  })

  test('from a sounding to a sounding is what is missing and what went in between', () => {
    const book = withTank()
    sound(book, '2026-05-01T10:00:00Z', 120)
    fill(book, '2026-05-10T10:00:00Z', 40, false)
    sound(book, '2026-05-20T10:00:00Z', 90)
    const [tank] = fuelTanks(book.told())
    expect(drawnBetween(tank!, tank!.marks[0]!, tank!.marks[1]!)?.litres).toBe(70)
    expect(filledAfter(tank!, tank!.marks[1]!, at('2026-06-01T00:00:00Z'))).toEqual({ litres: 0, entries: [] })
  })

  test('cannot be told where an amount is missing', () => {
    const book = withTank()
    fill(book, '2026-05-01T10:00:00Z', 50)
    fill(book, '2026-05-20T10:00:00Z', null)
    const [tank] = fuelTanks(book.told())
    expect(drawnBetween(tank!, tank!.marks[0]!, tank!.marks[1]!)).toBeNull()
  })
})

test('a reading of fuel that names no tank counts where there is one tank, and not where there are two', () => {
  const book = withTank()
  book.write('readings-taken', '2026-05-01T10:00:00Z', { equipment: 'engine', fuelLevel: litres(77) })
  expect(fuelTanks(book.told())[0]!.marks.map((mark) => mark.litres)).toEqual([77])
  withTank(book, 'second-tank')
  expect(fuelTanks(book.told()).map((tank) => tank.marks.length)).toEqual([0, 0])
})

test('a tank of petrol is no tank of diesel, and a tank is one of water once water was filled in', () => {
  const book = withTank()
  book.write('taken-aboard', '2026-05-01T10:00:00Z', { what: 'petrol', equipment: 'fuel-tank', amount: litres(5) })
  book.write('equipment-fitted', '2026-04-01T08:00:00Z', { equipment: 'tank', name: 'Tank', kind: 'tank' })
  expect(fuelTanks(book.told())).toEqual([])
  expect(waterTanks(book.told())).toEqual([])
  book.write('taken-aboard', '2026-05-02T10:00:00Z', { what: 'water', equipment: 'tank', amount: litres(90) })
  expect(waterTanks(book.told()).map((tank) => tank.equipment.handle)).toEqual(['tank'])
})

describe('stretches from one moment at which all tanks were known to the next', () => {
  const day = (mark: { at: number }) => mark.at / 86_400_000
  const any = { least: 0.1, most: Number.POSITIVE_INFINITY }

  test('take all tanks together, and wait for the one that is not known yet', () => {
    const book = withTank(withTank(), 'second-tank')
    for (const tank of ['fuel-tank', 'second-tank']) fill(book, '2026-05-01T10:00:00Z', 10, true, tank)
    fill(book, '2026-05-11T10:00:00Z', 30, true, 'fuel-tank')
    fill(book, '2026-05-21T10:00:00Z', 25, true, 'fuel-tank')
    fill(book, '2026-05-21T10:05:00Z', 45, true, 'second-tank')
    const stretches = stretchesOf(fuelTanks(book.told()), day, 0.5, any)
    expect(stretches.map(({ used, over }) => [used, Math.round(over)])).toEqual([[100, 20]])
  })

  test('end with the first mark at a berth and begin with the last: what was pumped out alongside is not what she burns', () => {
    const book = withTank()
    fill(book, '2026-05-01T10:00:00Z', 10)
    fill(book, '2026-05-08T10:00:00Z', 70)
    sound(book, '2026-05-15T10:00:00Z', 90)
    fill(book, '2026-05-20T10:00:00Z', 130)
    const engine = (mark: { at: number }) =>
      mark.at < at('2026-05-08T00:00:00Z') ? 0 : mark.at < at('2026-05-18T00:00:00Z') ? 20 : 30
    const stretches = stretchesOf(fuelTanks(book.told()), engine, 0.5, any)
    expect(stretches.map(({ used, over }) => [used, over])).toEqual([
      [70, 20],
      [20, 10],
    ])
  })

  test('leave out what is too short or too long', () => {
    const book = withTank()
    fill(book, '2026-05-01T10:00:00Z', 10)
    fill(book, '2026-05-08T10:00:00Z', 70)
    fill(book, '2026-09-08T10:00:00Z', 700)
    const tanks = fuelTanks(book.told())
    expect(stretchesOf(tanks, day, 0.5, { least: 1, most: 21 }).map(({ used }) => used)).toEqual([70])
    expect(stretchesOf(tanks, day, 0.5, { least: 8, most: 21 })).toEqual([])
    expect(stretchesOf([], day, 0.5, any)).toEqual([])
  })
})
