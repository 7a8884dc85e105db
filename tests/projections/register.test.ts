import { describe, expect, test } from 'vitest'
import type { Data } from '../../events/index.ts'
import {
  distanceLog,
  equipmentTree,
  lineage,
  meterOf,
  nameOf,
  type Register,
  register,
} from '../../projections/register.ts'
import { fold } from '../../projections/timeline.ts'
import { type Given, given, withEngine } from './entries.ts'

const registerOf = (book: Given): Register => fold(register, book.told())

const fitted = (
  book: Given,
  equipment: string,
  data: Partial<Data<'equipment-fitted'>> = {},
  when = '2026-05-01T08:00:00Z',
) => book.write('equipment-fitted', when, { equipment, name: `The ${equipment}`, kind: 'other', ...data })

const fitMeter = (book: Given, meter: string, equipment: string, counts: 'hours' | 'miles' | 'cycles' = 'hours') =>
  book.write('meter-fitted', '2026-05-01T08:00:00Z', {
    meter,
    name: meter,
    equipment,
    counts,
    kind: 'true running',
    reading: 0,
  })

describe('equipment', () => {
  test('fitted again under its handle has a life more, and what was said of it last holds', () => {
    const book = given()
    fitted(book, 'belt', { kind: 'belt', place: 'port side' })
    fitted(book, 'belt', { kind: 'belt', name: 'New belt' }, '2026-06-01T08:00:00Z')
    const belt = registerOf(book).equipment.get('belt')!
    expect(belt.lives).toHaveLength(2)
    expect(belt).toMatchObject({ name: 'New belt', kind: 'belt', removed: false })
    expect(belt.data).not.toHaveProperty('place')
  })

  test('that was removed is told as removed until it is fitted again; its life has an end', () => {
    const book = given()
    fitted(book, 'heater')
    const removed = book.write('equipment-removed', '2026-06-01T08:00:00Z', { equipment: 'heater' })
    book.write('equipment-removed', '2026-06-02T08:00:00Z', { equipment: 'heater' })
    expect(registerOf(book).equipment.get('heater')?.removed).toBe(true)
    expect(registerOf(book).equipment.get('heater')?.lives[0]?.removed?.root).toBe(removed)
    fitted(book, 'heater', {}, '2026-07-01T08:00:00Z')
    expect(registerOf(book).equipment.get('heater')).toMatchObject({ removed: false, lives: [{}, { removed: null }] })
  })

  test('replaced on a day of which no hour is known is aboard, in whichever order that was written', () => {
    const replaced = (fittedFirst: boolean) => {
      const book = given()
      fitted(book, 'belt')
      if (fittedFirst) fitted(book, 'belt', { name: 'New belt' }, '2026-06-01')
      book.write('equipment-removed', '2026-06-01', { equipment: 'belt', condition: 'worn' })
      if (!fittedFirst) fitted(book, 'belt', { name: 'New belt' }, '2026-06-01')
      return registerOf(book).equipment.get('belt')!
    }
    for (const fittedFirst of [true, false]) {
      expect(replaced(fittedFirst)).toMatchObject({ name: 'New belt', removed: false })
      expect(replaced(fittedFirst).lives.map((life) => life.removed?.data.condition ?? null)).toEqual(['worn', null])
    }
  })

  test('that the book does not know cannot be removed', () => {
    const book = given()
    book.write('equipment-removed', '2026-06-01', { equipment: 'ghost' })
    expect(registerOf(book).equipment.size).toBe(0)
  })
})

describe('meters and tasks', () => {
  test('a meter fitted again keeps its first fitting and takes its new name; a replacement may change its kind', () => {
    const book = withEngine(100)
    book.write('meter-fitted', '2026-06-01T08:00:00Z', {
      meter: 'engine-hours',
      name: 'Counter',
      equipment: 'engine',
      counts: 'hours',
      kind: 'ignition on',
      reading: 120,
    })
    const meter = () => registerOf(book).meters.get('engine-hours')!
    expect(meter()).toMatchObject({ name: 'Counter', kind: 'ignition on', fitted: { data: { reading: 100 } } })
    book.write('meter-replaced', '2026-07-01T08:00:00Z', { meter: 'engine-hours', first: 0, kind: 'true running' })
    book.write('meter-replaced', '2026-08-01T08:00:00Z', { meter: 'engine-hours', first: 0 })
    book.write('meter-replaced', '2026-08-01T08:00:00Z', { meter: 'ghost', first: 0 })
    expect(meter().kind).toBe('true running')
    expect(registerOf(book).meters.size).toBe(1)
  })

  test('a task set anew keeps its first setting, and is retired no more', () => {
    const book = given()
    const set = (when: string, everyHours: number) =>
      book.write('upkeep-set', when, { task: 'oil', name: 'Oil', equipment: 'engine', work: 'oil changed', everyHours })
    const first = set('2026-05-01T08:00:00Z', 100)
    book.write('upkeep-retired', '2026-06-01T08:00:00Z', { task: 'oil' })
    book.write('upkeep-retired', '2026-06-01T08:00:00Z', { task: 'ghost' })
    const task = () => registerOf(book).tasks.get('oil')!
    expect(task().retired).not.toBeNull()
    const second = set('2026-07-01T08:00:00Z', 150)
    expect(task()).toMatchObject({ retired: null, data: { everyHours: 150 } })
    expect([task().since.root, task().set.root]).toEqual([first, second])
    expect(registerOf(book).tasks.size).toBe(1)
  })
})

describe('names', () => {
  test('are those last given; a handle that the book does not know is its own name', () => {
    const book = withEngine(100)
    book.write('upkeep-set', '2026-05-01', {
      task: 'oil',
      name: 'Change oil',
      equipment: 'engine',
      work: 'oil changed',
    })
    const from = registerOf(book)
    expect([nameOf(from, 'equipment', 'engine'), nameOf(from, 'meter', 'engine-hours')]).toEqual([
      'Engine',
      'Engine hours',
    ])
    expect(nameOf(from, 'task', 'oil')).toBe('Change oil')
    for (const refers of ['equipment', 'meter', 'task'] as const) expect(nameOf(from, refers, 'ghost')).toBe('ghost')
  })
})

describe('the meter on which equipment runs', () => {
  test('is its own, else that of what it runs with, else that of what it is part of', () => {
    const book = given()
    fitted(book, 'boat')
    fitted(book, 'engine', { partOf: 'boat' })
    fitted(book, 'generator', { partOf: 'boat' })
    fitted(book, 'pump', { partOf: 'engine' })
    fitted(book, 'impeller', { partOf: 'pump' })
    fitted(book, 'watermaker', { partOf: 'boat', drivenBy: 'generator' })
    fitMeter(book, 'engine-hours', 'engine')
    fitMeter(book, 'generator-hours', 'generator')
    fitMeter(book, 'log', 'boat', 'miles')
    const from = registerOf(book)
    const meters = ['engine', 'pump', 'impeller', 'watermaker', 'boat', 'ghost'].map(
      (one) => meterOf(from, one)?.handle,
    )
    expect(meters).toEqual(['engine-hours', 'engine-hours', 'engine-hours', 'generator-hours', undefined, undefined])
    expect(meterOf(from, 'impeller', 'miles')?.handle).toBe('log')
    expect(distanceLog(from)?.handle).toBe('log')
    expect(distanceLog(registerOf(given()))).toBeUndefined()
    expect(lineage(from, 'impeller')).toEqual(['impeller', 'pump', 'engine', 'boat'])
  })

  test('is found, and the walk ends, where things are part of each other or of themselves', () => {
    const book = given()
    fitted(book, 'a', { partOf: 'b' })
    fitted(book, 'b', { partOf: 'c' })
    fitted(book, 'c', { partOf: 'a' })
    fitted(book, 'self', { partOf: 'self' })
    fitMeter(book, 'c-hours', 'c')
    const from = registerOf(book)
    expect(lineage(from, 'a')).toEqual(['a', 'b', 'c'])
    expect(lineage(from, 'self')).toEqual(['self'])
    expect(meterOf(from, 'a')?.handle).toBe('c-hours')
    expect(meterOf(from, 'self')).toBeUndefined()
  })
})

describe('the tree of equipment', () => {
  const rows = (book: Given) => equipmentTree(registerOf(book)).map(({ equipment, depth }) => [equipment.handle, depth])

  test('puts each thing behind what it is part of', () => {
    const book = given()
    fitted(book, 'impeller', { partOf: 'pump' })
    fitted(book, 'boat', { kind: 'boat' })
    fitted(book, 'pump', { partOf: 'engine' })
    fitted(book, 'engine', { partOf: 'boat', kind: 'engine' })
    fitted(book, 'mast', { partOf: 'boat', kind: 'mast' })
    expect(rows(book)).toEqual([
      ['boat', 0],
      ['engine', 1],
      ['pump', 2],
      ['impeller', 3],
      ['mast', 1],
    ])
  })

  test('lists every thing once, those too that are part of each other, of themselves or of something unknown', () => {
    const book = given()
    fitted(book, 'a', { partOf: 'b' })
    fitted(book, 'b', { partOf: 'a' })
    fitted(book, 'self', { partOf: 'self' })
    fitted(book, 'orphan', { partOf: 'ghost' })
    fitted(book, 'child', { partOf: 'a' })
    const listed = rows(book).map(([handle]) => handle)
    expect([...listed].sort()).toEqual(['a', 'b', 'child', 'orphan', 'self'])
    expect(rows(book)).toContainEqual(['orphan', 0])
  })

  test('of an empty book is empty', () => {
    expect(rows(given())).toEqual([])
  })
})
