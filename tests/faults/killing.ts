import { type ChildProcess, spawn } from 'node:child_process'
import { setTimeout as pause } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { expect } from 'vitest'
import { openLog } from '../../events/log.ts'
import { openBook } from '../../server/book.ts'

const root = fileURLToPath(new URL('../..', import.meta.url))

/** What one writer was told that the book had taken: batches of ids and texts. */
export type Acknowledged = [id: string, text: string][][]

/** A writer that was killed: what it had acknowledged by then, and what it complained of. */
export interface Killed {
  acknowledged: Acknowledged
  complaints: string
}

/**
 * Starts a writer, lets it write, kills it.
 * @param after milliseconds from its first acknowledgement to the kill; negative: so many from its start, acknowledged or not
 */
export async function writeUntilKilled(file: string, name: string, after: number): Promise<Killed> {
  const child = spawn(process.execPath, ['--import', 'tsx', 'tests/faults/writer.ts', file, name], { cwd: root })
  let out = ''
  let complaints = ''
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    complaints += text
  })
  const ended = new Promise<void>((resolve) => child.on('close', () => resolve()))
  const begun = new Promise<void>((resolve) => {
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      out += text
      resolve()
    })
  })
  if (after < 0) await pause(-after)
  else {
    await Promise.race([begun, ended])
    await pause(after)
  }
  kill(child)
  await ended
  // A line without its end is none: it was being written when the kill came.
  const lines = out.split('\n').slice(0, -1)
  return { acknowledged: lines.map((line) => JSON.parse(line) as Acknowledged[number]), complaints }
}

/** Ends one process that we started, at once and without a word. */
export function kill(child: ChildProcess): void {
  child.kill('SIGKILL')
}

/**
 * Opens the book after the kills and looks whether it has kept its word.
 * @returns how many entries were acknowledged, and how many there are
 */
export function expectKept(file: string, killed: readonly Killed[]): { acknowledged: number; entries: number } {
  const log = openLog(file)
  try {
    const verified = log.verify()
    expect(verified.problems).toEqual([])
    const { entries, unreadable } = log.read()
    expect(unreadable).toEqual([])
    expect(entries.map((entry) => entry.position)).toEqual(entries.map((_, index) => index + 1))

    const times = new Map<string, number>()
    for (const { id } of entries) times.set(id, (times.get(id) ?? 0) + 1)
    const texts = new Map(entries.map((entry) => [entry.id, (entry.data as { text: string }).text]))
    const acknowledged = killed.flatMap((one) => one.acknowledged.flat())
    for (const [id, text] of acknowledged) {
      expect(times.get(id), `${text} was acknowledged`).toBe(1)
      expect(texts.get(id)).toBe(text)
    }
    // Nothing is there twice, and of a batch all or nothing, acknowledged or not.
    expect(new Set(texts.values()).size).toBe(entries.length)
    const batches = new Map<string, { size: number; there: number }>()
    for (const text of texts.values()) {
      const [, batch, size] = /^(.* batch \d+) entry \d+ of (\d+)$/.exec(text)!
      const seen = batches.get(batch!) ?? { size: Number(size), there: 0 }
      batches.set(batch!, { ...seen, there: seen.there + 1 })
    }
    for (const [batch, { size, there }] of batches) expect(there, batch).toBe(size)
    for (const { complaints } of killed) expect(complaints).toBe('')

    // A survivor writes again what it was told is there: nothing changes.
    const head = log.head()
    const again = openBook(log).takeIn([...log.rows()])
    expect(again).toMatchObject({ ok: true, written: [], already: entries.length })
    expect(log.head()).toEqual(head)
    return { acknowledged: acknowledged.length, entries: entries.length }
  } finally {
    log.close()
  }
}
