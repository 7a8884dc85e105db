import { type Data, decode, type Entry, type EntryType, kindOf } from '../../events/index.ts'
import { firstLink } from '../../events/log.ts'
import { type AsOf, isDay, type Timeline, timeline } from '../../projections/timeline.ts'

/** What an entry of a test may say beyond its kind, its moment and its data. */
export interface Over {
  /** Default: when it happened, or for a day alone its evening. */
  readonly recordedAt?: string
  /** The id of the entry that it amends or strikes. */
  readonly replaces?: string
}

/** The entries of one test, in the order in which the book took them in. */
export interface Given {
  readonly entries: Entry[]
  /** Writes an entry; gives its id. */
  write<T extends EntryType>(type: T, occurredAt: string, data: Data<T>, over?: Over): string
  /** Amends an entry: same kind, its whole data anew. */
  amend<T extends EntryType>(replaces: string, type: T, occurredAt: string, data: Data<T>, recordedAt: string): string
  /** Strikes an entry through. */
  strike(replaces: string, recordedAt: string): string
  /** The fair log of what was written so far. */
  told(past?: AsOf): Timeline
}

/** The id of the n-th entry of a test: the same in every run, in ascending order. */
export const idOf = (n: number): string => `0190c5a0-0000-7000-8000-${n.toString(16).padStart(12, '0')}`

/** An empty book to write the entries of a test in. Each is decoded as the log would, and frozen. */
export function given(): Given {
  const entries: Entry[] = []
  const write: Given['write'] = (type, occurredAt, data, over = {}) => {
    const position = entries.length + 1
    const id = idOf(position)
    const read = decode({
      id,
      origin: '5f0c1d2e-3b4a-4c5d-8e6f-708192a3b4c5',
      type,
      version: kindOf(type)!.version,
      occurredAt,
      recordedAt: over.recordedAt ?? (isDay(occurredAt) ? `${occurredAt}T20:00:00Z` : occurredAt),
      hand: 'K.S.',
      source: 'form',
      salt: '0'.repeat(32),
      replaces: over.replaces ?? null,
      data,
    })
    if (!read.ok) throw new Error(read.problem)
    const entry = { ...read.entry, position, receivedAt: '2030-01-01T00:00:00.000Z', link: firstLink } as Entry
    entries.push(Object.freeze({ ...entry, data: Object.freeze(entry.data) }) as Entry)
    return id
  }
  return {
    entries,
    write,
    amend: (replaces, type, occurredAt, data, recordedAt) => write(type, occurredAt, data, { replaces, recordedAt }),
    strike: (replaces, recordedAt) => write('entry-struck', recordedAt, {}, { replaces, recordedAt }),
    told: (past) => timeline(entries, past),
  }
}

/** Milliseconds of an RFC 3339 time. */
export const at = (text: string): number => Date.parse(text)

/** Hours as entered. */
export const h = (value: number): { value: number; unit: 'h' } => ({ value, unit: 'h' })

/** Nautical miles as entered. */
export const nm = (value: number): { value: number; unit: '[nmi_i]' } => ({ value, unit: '[nmi_i]' })

/** A book with an engine and its hours meter `engine-hours`, both fitted on 1 May 2026 at the reading given. */
export function withEngine(reading = 100, meter: Partial<Data<'meter-fitted'>> = {}): Given {
  const book = given()
  book.write('equipment-fitted', '2026-05-01T08:00:00Z', { equipment: 'engine', name: 'Engine', kind: 'engine' })
  book.write('meter-fitted', '2026-05-01T08:00:00Z', {
    meter: 'engine-hours',
    name: 'Engine hours',
    equipment: 'engine',
    counts: 'hours',
    kind: 'true running',
    reading,
    ...meter,
  })
  return book
}

/** Writes down what the engine's hours meter shows; gives the id. */
export const read = (book: Given, occurredAt: string, reading: number, over?: Over): string =>
  book.write('hours-read', occurredAt, { meter: 'engine-hours', reading: h(reading) }, over)
