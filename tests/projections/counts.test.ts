import { describe, expect, test } from 'vitest'
import { countedBetween, engineOf } from '../../projections/counts.ts'
import { at, type Given, given, h, nm, read, withEngine } from './entries.ts'

const since = { at: at('2026-05-01T08:00:00Z') }
const until = at('2026-07-01T08:00:00Z')
const counted = (book: Given, equipment: string) => countedBetween(book.told(), equipment, since, until)

describe('what was counted between two moments', () => {
  test('on an empty book is nothing that can be told', () => {
    expect(counted(given(), 'engine')).toEqual({ hours: null, miles: null, starts: null })
  })

  test('on a part goes by the meter and the starts of the engine that it is part of', () => {
    const book = withEngine(100)
    book.write('equipment-fitted', '2026-05-01T09:00:00Z', {
      equipment: 'belt',
      name: 'Belt',
      kind: 'belt',
      partOf: 'engine',
    })
    book.write('engine-started', '2026-05-02T09:00:00Z', { equipment: 'engine' })
    read(book, '2026-06-01T08:00:00Z', 130)
    expect(counted(book, 'belt')).toEqual({ hours: 30, miles: null, starts: 1 })
    expect(engineOf(book.told(), 'belt')).toBe('engine')
    expect(engineOf(book.told(), 'mast')).toBeUndefined()
  })

  test('has starts where the engine has no meter at all', () => {
    const book = given()
    book.write('equipment-fitted', '2026-05-01T08:00:00Z', {
      equipment: 'outboard',
      name: 'Outboard',
      kind: 'outboard',
    })
    book.write('equipment-fitted', '2026-05-01T08:00:00Z', {
      equipment: 'plug',
      name: 'Plug',
      kind: 'other',
      partOf: 'outboard',
    })
    book.write('engine-started', '2026-05-02T09:00:00Z', { equipment: 'outboard' })
    expect(counted(book, 'plug')).toEqual({ hours: null, miles: null, starts: 1 })
  })

  test('has the miles of the passages where the distance log was never read', () => {
    const book = given()
    book.write('meter-fitted', '2026-05-01T08:00:00Z', {
      meter: 'log',
      name: 'Log',
      equipment: 'boat',
      counts: 'miles',
      kind: 'distance log',
      reading: 4000,
    })
    book.write('passage-ended', '2026-05-08T20:00:00Z', { at: 'on', distance: nm(55) })
    expect(counted(book, 'mast').miles).toBe(55)
    book.write('passage-ended', '2026-05-09T20:00:00Z', { at: 'on', distanceLog: nm(4100) })
    expect(counted(book, 'mast').miles).toBe(100)
  })

  test('goes by the own hours of the entries at both ends, where they carry them', () => {
    const book = withEngine(100)
    const service = () =>
      book.write('service-done', '2026-05-10', { equipment: 'engine', work: 'oil changed', hours: h(112) })
    const first = service()
    read(book, '2026-05-10T06:00:00Z', 110)
    read(book, '2026-05-20T08:00:00Z', 140)
    const last = book.write('service-done', '2026-05-20', {
      equipment: 'engine',
      work: 'oil changed',
      hours: h(142),
    })
    const { hours } = countedBetween(
      book.told(),
      'engine',
      { at: at('2026-05-10T00:00:00Z'), root: first },
      at('2026-05-20T00:00:00Z'),
      last,
    )
    expect(hours).toBe(30)
  })

  test('is never below nothing, however the moments lie', () => {
    const book = withEngine(100)
    read(book, '2026-06-01T08:00:00Z', 130)
    expect(countedBetween(book.told(), 'engine', { at: until }, since.at).hours).toBe(0)
  })
})
