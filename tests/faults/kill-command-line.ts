import { statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setImmediate as nextTurn, setTimeout as pause } from 'node:timers/promises'
import { expect } from 'vitest'
import { freshId, openLog } from '../../events/log.ts'
import type { Random } from '../../sample-logs/random.ts'
import { openBook } from '../../server/book.ts'
import { scratchFolder } from '../events/lines.ts'
import { fettlebook, start } from '../server/fettlebook.ts'

/**
 * Kills the command line again and again while it takes in a file of `length` entries, then runs it once more to its end.
 * @returns how often all was there, or nothing; how often it had said so; how often the kill came when there was something on the disk
 */
export async function killCommandLine(
  rounds: number,
  length: number,
  moments: Random,
): Promise<{ all: number; nothing: number; answered: number; committing: number }> {
  const folder = scratchFolder()
  const newBook = (name: string) => {
    const file = join(folder, `${name}.fettlebook`)
    const log = openLog(file)
    const least = { type: 'note-written', occurredAt: '2026-06-14', hand: 'K.S.' }
    expect(openBook(log).takeIn([{ ...least, data: { text: 'first' } }]).ok).toBe(true)
    log.close()
    const lines = Array.from({ length }, (_, n) =>
      JSON.stringify({ ...least, id: freshId(), data: { text: `line ${n}` } }),
    )
    const input = join(folder, `${name}.jsonl`)
    writeFileSync(input, lines.join('\n'))
    return { file, input, whole: 1 + lines.length }
  }
  const walSize = (file: string) => statSync(`${file}-wal`, { throwIfNoEntry: false })?.size ?? 0

  // How long it takes on this machine, as it is now, tells when to kill.
  const timed = newBook('timed')
  const began = performance.now()
  expect((await fettlebook(['write', '--book', timed.file, timed.input])).code).toBe(0)
  const usual = performance.now() - began

  const seen = { all: 0, nothing: 0, answered: 0, committing: 0 }
  for (let round = 0; round < rounds; round++) {
    const { file, input, whole } = newBook(`book-${round}`)
    const child = start(['write', '--book', file, input])
    if (round % 2 === 0) {
      // Anywhere from its first breath to long after its end.
      await Promise.race([child.ran, pause((usual * 2 * round) / rounds)])
    } else {
      // As soon as there is something on the disk, or a little later: in the middle of the commit.
      const enough = moments.whole(0, 200 * length)
      let ended = false
      void child.ran.then(() => {
        ended = true
      })
      while (!ended && walSize(file) <= enough) await nextTurn()
      if (!ended) seen.committing++
    }
    child.kill('SIGKILL')
    const { out, err } = await child.ran
    expect(err).toBe('')
    const opened = openLog(file)
    expect(opened.verify().problems).toEqual([])
    const there = opened.read().entries.length
    opened.close()
    expect([1, whole]).toContain(there)
    if (there === 1) seen.nothing++
    else seen.all++
    if (out !== '') {
      expect(there).toBe(whole)
      seen.answered++
    }

    expect(await fettlebook(['write', '--book', file, input])).toMatchObject({ code: 0, err: '' })
    const after = openLog(file)
    expect(after.read().entries).toHaveLength(whole)
    expect(after.verify()).toMatchObject({ ok: true, problems: [] })
    after.close()
  }
  return seen
}
