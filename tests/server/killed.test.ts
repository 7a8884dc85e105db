import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { random } from '../../sample-logs/random.ts'
import { scratchFolder } from '../events/lines.ts'
import { killCommandLine } from '../faults/kill-command-line.ts'
import { killServer } from '../faults/kill-server.ts'
import { expectKept, type Killed, writeUntilKilled } from '../faults/killing.ts'

/** A few kills with every run of the tests; `npm run faults` does it many times over. */
describe('a program that is killed while it writes', () => {
  test('leaves every acknowledged entry in the book, once, and every batch whole', async () => {
    const file = join(scratchFolder(), 'book.fettlebook')
    const killed: Killed[] = []
    for (const [round, after] of [0, 7, 90].entries()) killed.push(await writeUntilKilled(file, `w${round}`, after))
    const { acknowledged, entries } = expectKept(file, killed)
    for (const one of killed) expect(one.acknowledged.length).toBeGreaterThan(0)
    expect(entries).toBeGreaterThanOrEqual(acknowledged)
  }, 120_000)

  test('leaves the others at their work: three write at once into a book that all of them begin', async () => {
    const file = join(scratchFolder(), 'book.fettlebook')
    const killed = await Promise.all([15, 60, 140].map((after, n) => writeUntilKilled(file, `w${n}`, after)))
    for (const one of killed) expect(one.acknowledged.length).toBeGreaterThan(0)
    expectKept(file, killed)
  }, 120_000)
})

const moments = random(7, 'a few kills')

describe('the server that is killed while forms are posted', () => {
  test('has every form that it answered, once, also when they are posted again', async () => {
    const { answered } = await killServer(2, moments)
    expect(answered).toBeGreaterThan(0)
  }, 120_000)
})

describe('the command line that is killed while it takes in a file', () => {
  test('has taken all of it or nothing, and takes it once when it is run again', async () => {
    const { all, nothing } = await killCommandLine(2, 300, moments)
    expect(all + nothing).toBe(2)
  }, 120_000)
})
