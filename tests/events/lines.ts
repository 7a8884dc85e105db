import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import type { Data, Entry, EntryType } from '../../events/index.ts'
import { kindOf } from '../../events/index.ts'
import { entryOf, firstLink, type Line } from '../../events/log.ts'

/** A folder of its own for one test; it is gone when the test is. */
export function scratchFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'fettlebook-test-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

/** The id of the n-th entry of a test: the same in every run, in ascending order. */
export const idOf = (n: number): string => `0190c5a0-0000-7000-8000-${n.toString(16).padStart(12, '0')}`

/** The book that the lines of a test come from. */
export const elsewhere = '5f0c1d2e-3b4a-4c5d-8e6f-708192a3b4c5'

/** What a line may say beyond its kind and its data. */
export type Over = Partial<Omit<Line, 'type' | 'data' | 'replaces'>> & { replaces?: number | string | null }

/**
 * The author's part of the n-th entry of a test. It happened at 12:00 UTC and was written down n minutes later, unless `over` says
 * otherwise; `over.replaces` may give the number of the entry instead of its id.
 */
export function line<T extends EntryType>(n: number, type: T, data: Data<T>, over: Over = {}): Line {
  const { replaces = null, ...rest } = over
  return {
    id: idOf(n),
    origin: elsewhere,
    type,
    version: kindOf(type)!.version,
    occurredAt: '2026-06-14T12:00:00+00:00',
    recordedAt: new Date(Date.parse('2026-06-14T12:00:00Z') + n * 60_000).toISOString(),
    hand: 'K.S.',
    source: 'form',
    salt: n.toString(16).padStart(32, 'a'),
    data: data as Record<string, unknown>,
    ...rest,
    replaces: typeof replaces === 'number' ? idOf(replaces) : replaces,
  }
}

/** The n-th entry of a test: a note, the plainest kind there is. */
export const note = (n: number, text: string, over: Over = {}): Line => line(n, 'note-written', { text }, over)

/** The n-th entry of a test: it strikes entry `target` through. */
export const strike = (n: number, target: number | string, over: Over = {}): Line =>
  line(n, 'entry-struck', {}, { replaces: target, ...over })

/** Lines as the entries of a book that took them in in this order. */
export const taken = (lines: readonly Line[]): Entry[] =>
  lines.map((each, index) => {
    const read = entryOf({ ...each, position: index + 1, receivedAt: '2026-07-01T00:00:00.000Z', link: firstLink })
    if (!read.ok) throw new Error(read.problem)
    return read.entry
  })

/** Freezes a value with all that is in it: whoever changes an input is found out. */
export function frozen<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value)
    for (const part of Object.values(value)) frozen(part)
  }
  return value
}
