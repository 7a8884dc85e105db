import { expect, test } from 'vitest'
import { driveRecords } from '../../../projections/signs/drive-record.ts'
import { timeline } from '../../../projections/timeline.ts'
import { type BeltBoat, wellKept } from './belts.ts'

const recordOf = (boat: BeltBoat) => driveRecords([...boat.book.entries], timeline(boat.book.entries))[0]!

test('readings stand with what was expected of them, and those that the battery set as not judged', () => {
  const boat = wellKept()
  const bulk = boat.reads(11, 1)
  const absorbed = boat.reads(12, 0.4, { stage: 'absorption', volts: { value: 14.4, unit: 'V' } })
  const { outputs } = recordOf(boat)
  const of = (id: string) => outputs.find(({ entry }) => entry === id)!
  expect(of(bulk).judged).toBe(true)
  expect(of(bulk).share).toBeGreaterThan(0.93)
  expect(of(bulk).share).toBeLessThan(1.07)
  expect(of(absorbed).judged).toBe(false)
  expect(of(bulk).engineHours).toBe(1044)
})

test('dust, checks of tension with what the belt should have kept, and works stand in order', () => {
  const boat = wellKept()
  const check = boat.torque(11, 18)
  boat.looks(12, 'trace', true)
  const service = boat.serves(13, 'belt', 'belt tensioned')
  const { dust, tensions, works } = recordOf(boat)
  expect(dust.map(({ grade }) => grade)).toEqual(['none', 'none', 'none', 'trace'])
  expect(tensions).toMatchObject([{ entry: check, by: 'slip torque', value: 18 }])
  expect(tensions[0]!.expected).toBeGreaterThan(20)
  expect(tensions[0]!.expected).toBeLessThan(22)
  expect(works.at(-1)).toMatchObject({ entry: service, on: 'belt', work: 'belt tensioned' })
})

test('the sums reach one with the sign', () => {
  const boat = wellKept()
  expect(recordOf(boat).sums.every(({ of }) => of['belt-slip'] < 1 && of['charging-low'] < 1)).toBe(true)
  for (let day = 11; day <= 14; day++) boat.reads(day, 0.66)
  expect(Math.max(...recordOf(boat).sums.map(({ of }) => of['charging-low']))).toBeGreaterThanOrEqual(1)
})

test('the healthy curve rises with engine speed, and is empty while little is learnt', () => {
  const { healthy } = recordOf(wellKept())
  expect(healthy.length).toBeGreaterThan(10)
  for (const [index, { amps }] of healthy.entries()) expect(amps).toBeGreaterThan(healthy[index - 1]?.amps ?? 0)
})

test('an empty book has no record', () => {
  expect(driveRecords([], timeline([]))).toEqual([])
})
