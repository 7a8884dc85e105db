import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { random } from '../../sample-logs/random.ts'
import { scratchFolder } from '../events/lines.ts'
import { killCommandLine } from './kill-command-line.ts'
import { killServer } from './kill-server.ts'
import { expectKept, type Killed, writeUntilKilled } from './killing.ts'

/** The moments of the kills look random and are asked for alike in every run; where they fall is up to the machine. */
const moments = random(20260614, 'kills')

describe('programs that are killed while several of them write into one book', () => {
  test('leave every acknowledged entry there once, and every batch whole: 160 kills', async () => {
    const seen = { kills: 0, silent: 0, acknowledged: 0, unheard: 0 }
    for (let series = 0; series < 5; series++) {
      const file = join(scratchFolder(), 'book.fettlebook')
      const killed: Killed[] = []
      for (let round = 0; round < 8; round++) {
        const writers = [0, 1, 2, 3].map((n) => {
          // Most are killed as they write, some as they start: they may be making the file, or reading it, or not be there yet.
          const after = moments.chance(0.2) ? -moments.whole(50, 2500) : moments.whole(0, 250)
          return writeUntilKilled(file, `s${series}r${round}w${n}`, after)
        })
        killed.push(...(await Promise.all(writers)))
        const { acknowledged, entries } = expectKept(file, killed)
        seen.unheard += entries - acknowledged
      }
      seen.kills += killed.length
      seen.silent += killed.filter((one) => one.acknowledged.length === 0).length
      seen.acknowledged += killed.flatMap((one) => one.acknowledged.flat()).length
    }
    expect(seen.kills).toBe(160)
    expect(seen.acknowledged).toBeGreaterThan(1000)
    expect(seen.silent).toBeGreaterThan(0)
    console.log('writers killed:', seen)
  })
})

describe('the server', () => {
  test('that is killed while forms are posted has every one that it answered, once, also when they are posted again', async () => {
    const seen = await killServer(12, moments)
    console.log('server killed:', seen)
    expect(seen.answered).toBeGreaterThan(50)
    expect(seen.unanswered).toBeGreaterThan(0)
  })
})

describe('the command line', () => {
  test('that is killed while it takes in a file has taken all of it or nothing, and takes it once when it is run again', async () => {
    const seen = await killCommandLine(24, 2000, moments)
    console.log('command line killed:', seen)
    expect(seen.nothing).toBeGreaterThan(0)
    expect(seen.all).toBeGreaterThan(0)
  })
})
