import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { fettlebook } from './fettlebook.ts'

vi.setConfig({ testTimeout: 120_000 })

const folder = mkdtempSync(join(tmpdir(), 'fettlebook-ahead-'))
/** The sample boat in a book of its own, which these tests only read. */
const book = join(folder, 'sample.book')

beforeAll(async () => {
  const { code, err } = await fettlebook(['sample', '--book', book])
  if (code !== 0) throw new Error(err)
}, 120_000)

afterAll(() => rmSync(folder, { recursive: true, force: true }))

test('ahead --json answers a planned passage with numbers, ends and the entries that they came from', async () => {
  const ran = await fettlebook([
    'ahead',
    ...['--hours', '60', '--days', '5', '--miles', '420', '--as-of', '2026-08-21T20:00:00+02:00'],
    ...['--json', '--book', book],
  ])
  expect(ran).toMatchObject({ code: 0, err: '' })
  const answer = JSON.parse(ran.out) as {
    plan: object
    leaving: string
    arriving: string
    spread: { share: number; learnt: boolean }
    underWay: { task: string; chance: number }[]
    fuel: {
      tanks: { last: { litres: number; entry: string } }[]
      rate: { kind: string; value: number; n: number; entries: string[] }
    }
    relied: { carried: { hours: number }; byArrival: { hours: number } }[]
  }
  expect(answer).toMatchObject({
    plan: { hours: 60, days: 5, miles: 420, speed: null },
    leaving: '2026-08-21',
    arriving: '2026-08-26',
    spread: { learnt: true },
  })
  expect(answer.underWay.length).toBeGreaterThan(0)
  for (const { chance } of answer.underWay) {
    expect(chance).toBeGreaterThanOrEqual(0.1)
    expect(chance).toBeLessThanOrEqual(1)
  }
  expect(answer.fuel.rate.kind).toBe('estimate')
  expect(answer.fuel.rate.n).toBeGreaterThanOrEqual(3)
  const known = (await fettlebook(['read', '--json', '--book', book])).out
  for (const entry of [...answer.fuel.rate.entries, ...answer.fuel.tanks.map((tank) => tank.last.entry)])
    expect(known).toContain(`"id":"${entry}"`)
  for (const { carried, byArrival } of answer.relied)
    if (carried.hours !== null) expect(byArrival.hours).toBeCloseTo(carried.hours + 60, 6)
})

test('ahead in words says what to do, what is carried, what is not known, and leaves the judgement to the owner', async () => {
  const ran = await fettlebook(['ahead', '--hours', '60', '--days', '5', '--book', book])
  expect(ran).toMatchObject({ code: 0, err: '' })
  for (const words of [
    'Do before leaving',
    'Falls due under way',
    'Fuel, water, oil',
    'Would be relied on',
    'the log does not know what is',
    'yours to judge',
  ])
    expect(ran.out).toContain(words)
  expect(ran.out).not.toMatch(/\bsafe\b|\bready\b/i)
})

test('equipment --json tells the lives of its parts, with what is not enough yet', async () => {
  const ran = await fettlebook(['equipment', 'raw-water-pump', '--json', '--book', book])
  const [pump] = JSON.parse(ran.out) as {
    life: { part: string; lives: object[]; survival: object; weibull: object }[]
  }[]
  const impeller = pump?.life.find((one) => one.part === 'impeller')
  expect(impeller?.lives.length).toBeGreaterThan(3)
  expect(impeller).toMatchObject({
    survival: { kind: 'not-enough', needed: 3 },
    weibull: { kind: 'not-enough', needed: 5 },
    set: { every: 300, task: 'impeller' },
  })
})

test('forecasts --json replays what was forecast against what happened, a month at a time', async () => {
  const ran = await fettlebook(['forecasts', '--json', '--months', '3', '--as-of', '2025-09-15', '--book', book])
  expect(ran).toMatchObject({ code: 0, err: '' })
  const kept = JSON.parse(ran.out) as {
    months: string[]
    made: number
    open: number
    judged: { made: string; late: string }[]
  }
  expect(kept.months).toEqual(['2025-07-01', '2025-08-01', '2025-09-01'])
  expect(kept.made).toBeGreaterThan(10)
  expect(kept.open + kept.judged.length).toBe(kept.made)
  for (const one of kept.judged) expect(one.late < '2025-09-15').toBe(true)
  const wrong = await fettlebook(['forecasts', '--months', 'all', '--book', book])
  expect(wrong).toMatchObject({ code: 2, out: '' })
  expect(wrong.err).toContain('Got --months all, expected a whole number from 1 to 600')
})

test('ahead without hours, or with a figure that cannot be, is misuse: exit code 2 and a sentence for each', async () => {
  const ran = await fettlebook(['ahead', '--days', '5', '--speed', '20', '--book', book])
  expect(ran).toMatchObject({ code: 2, out: '' })
  expect(ran.err).toContain('Engine hours: got nothing, expected 0.1 to 2000 engine hours, such as 60.')
  expect(ran.err).toContain('Engine speed: got "20", expected 300 to 10000 rpm')
})
