import { describe, expect, test } from 'vitest'
import type { Data } from '../../events/index.ts'
import { works } from '../../events/works.ts'
import { fulfils, services, settingsOf } from '../../projections/services.ts'
import { fold } from '../../projections/timeline.ts'
import { type Given, given } from './entries.ts'

const servicesOf = (book: Given) => fold(services, book.told())
const serve = (book: Given, when: string, data: Partial<Data<'service-done'>> = {}) =>
  book.write('service-done', when, { equipment: 'belt', work: 'belt tensioned', ...data })

describe('services', () => {
  test('are told by equipment, in the order in which they were done', () => {
    const book = given()
    const second = serve(book, '2026-06-02T08:00:00Z')
    const first = serve(book, '2026-06-01T08:00:00Z')
    const other = serve(book, '2026-06-03T08:00:00Z', { equipment: 'engine', work: 'oil changed' })
    const roots = [...servicesOf(book)].map(([equipment, all]) => [equipment, ...all.map((one) => one.root)])
    expect(roots).toEqual([
      ['belt', first, second],
      ['engine', other],
    ])
    expect(servicesOf(given()).size).toBe(0)
  })
})

describe('a work', () => {
  test('fulfils itself, whatever it is', () => {
    for (const work of works) expect(fulfils(work, work)).toBe(true)
  })

  test('fulfils what is done on the way', () => {
    for (const [done, wanted] of [
      ['oil and filter changed', 'oil changed'],
      ['belt renewed', 'belt tensioned'],
      ['belt renewed', 'pulleys aligned'],
      ['impeller renewed', 'impeller inspected'],
      ['exhaust elbow renewed', 'exhaust elbow cleaned'],
      ['capacity tested', 'load tested'],
      ['strip and service', 'greased'],
      ['renewed', 'inspected'],
    ] as const)
      expect(fulfils(done, wanted), `${done} fulfils ${wanted}`).toBe(true)
  })

  test('does not fulfil what asks for more', () => {
    for (const [done, wanted] of [
      ['oil changed', 'oil and filter changed'],
      ['belt tensioned', 'belt renewed'],
      ['impeller inspected', 'impeller renewed'],
      ['inspected', 'cleaned'],
      ['oil sampled', 'oil changed'],
      ['other work', 'inspected'],
    ] as const)
      expect(fulfils(done, wanted), `${done} fulfils ${wanted}`).toBe(false)
  })

  test('includes what the works that it includes include, and never one that includes it', () => {
    for (const a of works)
      for (const b of works) {
        if (a === b || !fulfils(a, b)) continue
        expect(fulfils(b, a), `${b} fulfils ${a}`).toBe(false)
        for (const c of works) if (fulfils(b, c)) expect(fulfils(a, c), `${a} over ${b} fulfils ${c}`).toBe(true)
      }
  })
})

describe('settings', () => {
  test('are told as last found and left, the newest service first', () => {
    const book = given()
    serve(book, '2026-06-01T08:00:00Z', {
      slipTorqueFound: { value: 14, unit: 'N.m' },
      slipTorqueLeft: { value: 24, unit: 'N.m' },
      deflectionLeft: { value: 8, unit: 'mm' },
    })
    const newest = serve(book, '2026-07-01T08:00:00Z', { slipTorqueFound: { value: 20, unit: 'N.m' } })
    serve(book, '2026-08-01T08:00:00Z', { equipment: 'stay', work: 'tensioned', settingLeft: '14 turns' })
    const kept = settingsOf(servicesOf(book), 'belt')
    expect(kept.map(({ name, found, left }) => [name, found?.text ?? null, left?.text ?? null])).toEqual([
      ['Slip torque at the pulley nut', { value: 20, unit: 'N.m' }, null],
      ['Deflection', null, { value: 8, unit: 'mm' }],
    ])
    expect(kept[0]!.entry.root).toBe(newest)
  })

  test('in words go by the work that set them', () => {
    const book = given()
    serve(book, '2026-06-01T08:00:00Z', { equipment: 'stay', work: 'tensioned', settingLeft: '12 turns' })
    serve(book, '2026-07-01T08:00:00Z', {
      equipment: 'stay',
      work: 'tensioned',
      settingFound: '12 turns',
      settingLeft: '14 turns',
    })
    serve(book, '2026-05-01T08:00:00Z', { equipment: 'stay', work: 'adjusted', settingLeft: 'second hole' })
    const kept = settingsOf(servicesOf(book), 'stay')
    expect(kept.map(({ name, found, left }) => [name, found?.text ?? null, left?.text ?? null])).toEqual([
      ['Tensioned', '12 turns', '14 turns'],
      ['Adjusted', null, 'second hole'],
    ])
  })

  test('are none where no service says', () => {
    const book = given()
    serve(book, '2026-06-01T08:00:00Z')
    expect(settingsOf(servicesOf(book), 'belt')).toEqual([])
    expect(settingsOf(servicesOf(book), 'ghost')).toEqual([])
  })
})
