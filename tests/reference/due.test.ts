import { describe, expect, test } from 'vitest'
import { daysUntilDue, dueRows } from '../../projections/due.ts'
import { at, h, read, withEngine } from '../projections/entries.ts'
import { workedExamples } from './worked-examples.ts'

// W44 of data/worked-examples.json. It is arithmetic alone and its inputs were composed for it: no publication prints it.
const example = workedExamples.find(({ id }) => id === 'W44')!
const input = (name: string): number => example.inputs[name]!
const expected = (name: string): number => example.expected[name]!.value
const relative = (value: number) => example.tolerance_rel * Math.abs(value)

const dayMs = 86_400_000

describe(`${example.id} ${example.title} (${example.source.publication}; ${example.status})`, () => {
  test('is what days until due gives', () => {
    const left = input('last_h') + input('every_h') - input('now_h')
    expect(left).toBe(expected('left_h'))
    const days = daysUntilDue(left, input('h_per_day'))!
    expect(Math.abs(days - expected('days'))).toBeLessThanOrEqual(relative(expected('days')))
  })

  test('is what the Due view gives for a book in which she ran as much a day for as long as the log is', () => {
    // The log begins a hundred days before now, at the reading that this use leads on from.
    const begun = at('2026-05-01T08:00:00Z')
    const now = begun + 100 * dayMs
    const atFirst = input('now_h') - 100 * input('h_per_day')
    const moment = (hours: number) => new Date(begun + ((hours - atFirst) / input('h_per_day')) * dayMs).toISOString()
    const book = withEngine(atFirst)
    book.write('upkeep-set', '2026-05-01T09:00:00Z', {
      task: 'oil',
      name: 'Engine oil',
      equipment: 'engine',
      work: 'oil changed',
      everyHours: input('every_h'),
    })
    book.write('service-done', moment(input('last_h')), {
      equipment: 'engine',
      work: 'oil changed',
      hours: h(input('last_h')),
    })
    read(book, new Date(now).toISOString(), input('now_h'))
    const [row] = dueRows(book.told(), now)
    expect(Math.abs(row!.hoursLeft! - expected('left_h'))).toBeLessThanOrEqual(relative(expected('left_h')))
    // The view tells whole days: 22 of the 22.14 have passed on the day on which it falls due.
    const whole = Math.floor(expected('days'))
    const day = new Date(now + whole * dayMs).toISOString().slice(0, 10)
    const { forecast } = row!
    expect(forecast).toMatchObject({ kind: 'estimate', governs: 'hours' })
    // The view's forecast is learnt and has a range; use that was even and goes on puts the day of the plain rate within it.
    if (forecast.kind === 'estimate') expect(forecast.early <= day && day <= forecast.late!).toBe(true)
  })
})
