import { describe, expect, test } from 'vitest'
import type { Data } from '../../events/index.ts'
import { type Condition, lifeLevel, livesOf, repairsOf } from '../../projections/life.ts'
import { kaplanMeier } from '../../projections/statistics/kaplan-meier.ts'
import { weibullLife, weibullLifeQuantile } from '../../projections/statistics/weibull-life.ts'
import { at, type Given, given, h, read, withEngine } from './entries.ts'

/** An engine with a raw-water pump, fitted new on 1 May 2026 at 100 h. */
function withPump(data: Partial<Data<'equipment-fitted'>> = { newOrUsed: 'new' }): Given {
  const book = withEngine(100)
  book.write('equipment-fitted', '2026-05-01T08:00:00Z', {
    equipment: 'pump',
    name: 'Raw-water pump',
    kind: 'raw-water pump',
    partOf: 'engine',
    ...data,
  })
  return book
}

/** Renews the impeller at each of these hours, a month apart, with how the old one came out. */
function renewed(book: Given, ...times: (readonly [hours: number, condition?: Condition])[]): Given {
  times.forEach(([hours, condition], index) => {
    const when = new Date(Date.parse('2026-06-01T10:00:00Z') + index * 30 * 86_400_000).toISOString()
    book.write('service-done', when, {
      equipment: 'pump',
      work: 'impeller renewed',
      hours: h(hours),
      ...(condition === undefined ? {} : { condition }),
    })
  })
  return book
}

const impeller = (book: Given, now: string) => livesOf(book.told(), 'pump', at(now))[0]!

describe('the lives of a part', () => {
  test('run from one renewal to the next in hours; worn out and failed end one, all else lasted at least so long', () => {
    const book = renewed(withPump(), [150, 'failed'], [230, 'good'], [300], [420, 'worn out'])
    read(book, '2026-10-01T10:00:00Z', 450)
    const part = impeller(book, '2026-10-02T10:00:00Z')
    expect(part).toMatchObject({ part: 'impeller', unit: 'h', failures: 2 })
    expect(part.lives.map(({ age, failed, condition }) => [age, failed, condition])).toEqual([
      [50, true, 'failed'],
      [80, false, 'good'],
      [70, false, null],
      [120, true, 'worn out'],
      [30, false, null],
    ])
    expect(part.lives.at(-1)!.ended).toBeNull()
    expect(part.curve).toEqual({ kind: 'not-enough', n: 2, needed: 3 })
    expect(part.weibull).toEqual({ kind: 'not-enough', n: 2, needed: 5 })
    expect(part.median).toBeNull()
  })

  test('leave out what was there before: how old it was nobody knows', () => {
    for (const data of [{}, { newOrUsed: 'used' as const }]) {
      const part = impeller(renewed(withPump(data), [150, 'failed'], [230, 'failed']), '2026-10-02T10:00:00Z')
      expect(part.lives.map((life) => life.ageUnknown)).toEqual([true, false, false])
      expect(part.failures).toBe(1)
    }
  })

  test('give a curve from three failures on, and a Weibull life from five, as the estimators have it', () => {
    const ages = [60, 75, 90, 55, 110, 80] as const
    let hours = 100
    const times = ages.map((age, index) => {
      hours += age
      return [hours, index === 3 ? 'good' : 'failed'] as const
    })
    const three = impeller(renewed(withPump(), ...times.slice(0, 3)), '2027-01-01T10:00:00Z')
    expect(three.curve.kind).toBe('estimate')
    expect(three.median?.value).toBe(75)
    expect(three.weibull.kind).toBe('not-enough')
    const six = impeller(renewed(withPump(), ...times), '2027-01-01T10:00:00Z')
    const lives = [...ages.map((time, index) => ({ time, failed: index !== 3 })), { time: 0, failed: false }]
    expect(six.curve).toEqual(kaplanMeier(lives, { level: lifeLevel }))
    const fit = weibullLife(lives.slice(0, 6), { level: lifeLevel })
    if (fit.kind === 'not-enough' || six.weibull.kind === 'not-enough') throw new Error('expected estimates')
    expect(six.weibull.half).toEqual({ value: fit.value, low: fit.low, high: fit.high })
    const tenth = weibullLifeQuantile(fit, 0.1)
    if (tenth.kind === 'not-enough') throw new Error('expected an estimate')
    expect(six.weibull.tenth.value).toBe(tenth.value)
    expect(six.weibull.tenth.low).toBeLessThan(six.weibull.tenth.value)
  })

  test('know the interval that is set for the renewal, and change nothing of it', () => {
    const book = withPump()
    const set = {
      task: 'impeller',
      name: 'Impeller',
      equipment: 'pump',
      work: 'impeller renewed' as const,
      everyHours: 200,
      everyMonths: 12,
    }
    book.write('upkeep-set', '2026-05-01T09:00:00Z', set)
    renewed(book, [900, 'good'])
    const told = book.told()
    expect(livesOf(told, 'pump', at('2026-10-02T10:00:00Z'))[0]?.set).toEqual({ every: 200, task: 'impeller' })
    expect(told.told.filter((entry) => entry.type === 'upkeep-set').map((entry) => entry.data)).toEqual([set])
  })

  test('of a thing itself end when another is fitted in its place, removal, renewal and fitting of one afternoon being one', () => {
    const book = withPump()
    const belt = { equipment: 'belt', name: 'Belt', kind: 'belt' as const, drivenBy: 'engine' }
    book.write('equipment-fitted', '2026-05-01T08:00:00Z', { ...belt, newOrUsed: 'new' })
    read(book, '2026-08-01T09:00:00Z', 180)
    book.write('equipment-removed', '2026-08-01T10:00:00Z', { equipment: 'belt', condition: 'worn out' })
    book.write('equipment-fitted', '2026-08-01T10:30:00Z', belt)
    book.write('service-done', '2026-08-01T11:00:00Z', { equipment: 'belt', work: 'belt renewed', condition: 'worn' })
    read(book, '2026-09-01T09:00:00Z', 200)
    const [part] = livesOf(book.told(), 'belt', at('2026-09-02T10:00:00Z'))
    expect(part?.part).toBe('')
    expect(part?.lives.map(({ age, failed, condition }) => [Math.round(age), failed, condition])).toEqual([
      [80, true, 'worn out'],
      [20, false, null],
    ])
  })

  test('of what ages by the calendar are told in months', () => {
    const book = given()
    book.write('equipment-fitted', '2020-05-01', {
      equipment: 'bank',
      name: 'Bank',
      kind: 'battery bank',
      newOrUsed: 'new',
    })
    book.write('equipment-removed', '2025-05-01', { equipment: 'bank', condition: 'failed' })
    const [part] = livesOf(book.told(), 'bank', at('2026-01-01T00:00:00Z'))
    expect(part?.unit).toBe('mo')
    expect(part?.lives[0]?.age).toBeCloseTo(60, 0)
    expect(part?.lives[0]?.failed).toBe(true)
  })

  test('are none where nothing was renewed, and for what the book does not know', () => {
    expect(livesOf(withPump().told(), 'pump', at('2026-10-02T10:00:00Z'))).toEqual([])
    expect(livesOf(withPump().told(), 'nothing', at('2026-10-02T10:00:00Z'))).toEqual([])
  })
})

describe('how often a thing wanted mending', () => {
  const mend = (book: Given, when: string, equipment = 'pump') =>
    book.write('defect-found', when, { equipment, what: 'drips', matters: 'some' })

  test('counts defects, and repairs that mend none that was written, by its hours', () => {
    const book = withPump()
    read(book, '2026-06-01T10:00:00Z', 150)
    const defect = mend(book, '2026-06-01T11:00:00Z')
    book.write('repair-made', '2026-06-02T11:00:00Z', {
      equipment: 'pump',
      kind: 'permanent',
      what: 'new seal',
      mends: defect,
    })
    read(book, '2026-07-01T10:00:00Z', 170)
    book.write('repair-made', '2026-07-01T11:00:00Z', { equipment: 'pump', kind: 'permanent', what: 'new cover' })
    const record = repairsOf(book.told(), 'pump', at('2026-08-01T00:00:00Z'))!
    expect(record.unit).toBe('h')
    expect(record.watched).toBe(70)
    expect(record.repairs.map((one) => Math.round(one.age))).toEqual([50, 70])
    expect(record.trend).toEqual({ kind: 'not-enough', n: 2, needed: 4 })
    // One pump shows nothing of how pumps differ.
    expect(record.mean).toEqual({ kind: 'not-enough', n: 1, needed: 2 })
  })

  test('is told as a mean over all of its kind aboard, where there are several', () => {
    const book = given()
    for (const [index, hose] of ['hose-a', 'hose-b', 'hose-c', 'hose-d'].entries())
      book.write('equipment-fitted', `202${index === 3 ? 5 : 4}-01-01`, { equipment: hose, name: hose, kind: 'hose' })
    mend(book, '2024-07-01T00:00:00Z', 'hose-a')
    mend(book, '2025-07-01T00:00:00Z', 'hose-a')
    mend(book, '2024-12-01T00:00:00Z', 'hose-b')
    const record = repairsOf(book.told(), 'hose-a', at('2026-01-01T00:00:00Z'))!
    expect(record.unit).toBe('mo')
    if (record.mean.kind === 'not-enough') throw new Error('expected an estimate')
    // A quarter at 6 months and at 11 (four watched), a third at 18 (three).
    expect(record.mean.value).toBeCloseTo(1 / 4 + 1 / 4 + 1 / 3, 9)
    expect(record.mean).toMatchObject({ n: 3, units: 4 })
  })

  test('is nothing for what the book does not know', () => {
    expect(repairsOf(given().told(), 'pump', at('2026-01-01T00:00:00Z'))).toBeNull()
  })
})
