import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Signs } from '../../projections/signs/signs.ts'
import { beltBoat } from '../projections/signs/belts.ts'
import { fettlebook } from './fettlebook.ts'

/** A book in which a belt slips, then is tensioned. */
const folder = mkdtempSync(join(tmpdir(), 'fettlebook-test-'))
const book = join(folder, 'belts.book')
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const boat = beltBoat()

const run = (...args: string[]) => fettlebook(['signs', '--book', book, ...args])
const json = async (...args: string[]) => JSON.parse((await run('--json', ...args)).out) as Signs

beforeAll(async () => {
  for (let day = 1; day <= 10; day++) boat.reads(day, 1)
  boat.reads(11, 0.9)
  boat.looks(12, 'film', true)
  boat.reads(12, 0.84, { speed: { value: 1250, unit: '/min' } })
  boat.looks(13, 'film', true)
  boat.reads(14, 0.75, { speed: { value: 1300, unit: '/min' } })
  boat.serves(15, 'belt', 'belt tensioned')
  const input = boat.book.entries
    .map(({ position: _, receivedAt: __, link: ___, ...line }) => JSON.stringify(line))
    .join('\n')
  const { code, err } = await fettlebook(['write', '--book', book], { input })
  expect(code, err).toBe(0)
})

describe('signs', () => {
  test('tells the past ones, each with the entries that raised and cleared it', async () => {
    const { signs } = await json()
    expect(signs.map(({ kind, state }) => [kind, state])).toEqual([['belt-slip', 'past']])
    const ids = boat.book.entries.map(({ id }) => id)
    expect(ids).toContain(signs[0]!.raised.entry)
    expect(signs[0]!.cleared!.entry).toBe(ids.at(-1))
  })

  test('tells what stood, as it was and as it was known, and asks for at most two readings', async () => {
    for (const past of [
      ['--as-of', boat.on(15, 11)],
      ['--as-known', boat.on(15, 11)],
    ]) {
      const { signs, asks } = await json(...past)
      expect(signs.map(({ kind, state }) => [kind, state])).toEqual([['belt-slip', 'standing']])
      expect(signs[0]!.onset.engineHours).toBeGreaterThan(1000)
      expect(asks.length).toBeLessThanOrEqual(2)
    }
    expect((await json('--as-known', boat.on(11, 11))).signs).toEqual([])
  })

  test('reads in words: the sentence, then the steps with the isolation first', async () => {
    const { code, out } = await run('--as-of', boat.on(15, 11))
    expect(code).toBe(0)
    expect(out).toMatch(/^Alternator belt: belt-slip, (likely|strong)$/m)
    expect(out).toMatch(/^ {2}1\. Stop the engine; after it has stopped, isolate the batteries/m)
  })

  test('says so where there is nothing, and asks for nothing in the night', async () => {
    const { code, out } = await run('--as-of', boat.on(3, 4))
    expect(code).toBe(0)
    expect(out).toBe('No signs.\n')
  })
})
