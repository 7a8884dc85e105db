import { Temporal } from 'temporal-polyfill'
import { v7 } from 'uuid'
import { type Data, type EntryType, kindOf } from '../events/index.ts'
import type { Line } from '../events/log.ts'
import type { Random } from './random.ts'

/** What was written, of any kind: enough to refer to it or strike it. */
export interface Entered {
  readonly id: string
  readonly type: EntryType
  readonly occurredAt: string
  /** Milliseconds; of a day alone, its noon UTC. */
  readonly at: number
  /** Milliseconds. */
  readonly recordedAt: number
  readonly data: object
}

/** What was written, of one kind: enough to amend it. */
export interface Written<T extends EntryType> extends Entered {
  readonly type: T
  readonly data: Data<T>
}

/** How an entry was written, where it is not written a few minutes after the fact. */
export interface Manner {
  readonly hand?: string
  /** Written down this many minutes after it happened. */
  readonly after?: number
  /** Written down then, milliseconds. */
  readonly recordedAt?: number
  readonly replaces?: string
  /** Only the day is known, though the moment is given for the writing down. */
  readonly dayOnly?: true
}

const minute = 60_000

/** Kinds that are now and then written down hours later, when there is a hand free. */
const forgotten: ReadonlySet<EntryType> = new Set([
  'engine-started',
  'engine-stopped',
  'readings-taken',
  'taken-aboard',
])

/** RFC 3339 of a moment by the clock of a zone. */
export const clockTime = (at: number, zone: string): string =>
  Temporal.Instant.fromEpochMilliseconds(at)
    .toZonedDateTimeISO(zone)
    .toString({ timeZoneName: 'never', smallestUnit: 'second' })

/** The moment at which a zone's clock shows a local time ("2024-05-04T09:30"), milliseconds. */
export const momentOfLocal = (local: string, zone: string): number =>
  Temporal.PlainDateTime.from(local).toZonedDateTime(zone).epochMilliseconds

/**
 * The pen that keeps the sample's log: what is written gets its id (UUID version 7 from the recorded time, the count of what was
 * written and the stream), its salt, its hand and its recorded time. Nothing is taken from the machine.
 */
export class Pen {
  /** Ship's zone, by which times are written. */
  zone: string
  /** While set, everything is written down from that moment on, one entry after the other: a log brought up to date later. */
  catchUp: number | null = null
  readonly #origin: string
  readonly #random: Random
  readonly #lines: { line: Line; recordedAt: number; order: number }[] = []
  #count = 0

  constructor(origin: string, random: Random, zone: string) {
    this.#origin = origin
    this.#random = random
    this.zone = zone
  }

  /**
   * Writes an entry.
   * @param at milliseconds, written as the clock of the ship's zone shows it; or a day alone, which then needs `recordedAt` or `catchUp`
   */
  write<T extends EntryType>(type: T, at: number | string, data: Data<T>, manner: Manner = {}): Written<T> {
    const moment = typeof at === 'string' ? Date.parse(`${at}T12:00:00Z`) : at
    const full = typeof at === 'string' ? at : clockTime(at, this.zone)
    const occurredAt = manner.dayOnly ? full.slice(0, 10) : full
    const recordedAt = this.#recordedAt(type, moment, manner)
    const random = this.#random
    const order = this.#count++
    const id = v7({ msecs: recordedAt, random: random.bytes(16), seq: order })
    const line: Line = {
      id,
      origin: this.#origin,
      type,
      version: kindOf(type)?.version ?? 1,
      occurredAt,
      recordedAt: clockTime(recordedAt, this.zone),
      hand: manner.hand ?? (random.chance(0.7) ? 'H.B.' : 'E.N.'),
      source: 'sample',
      replaces: manner.replaces ?? null,
      data: data as Record<string, unknown>,
      salt: Array.from(random.bytes(16), (byte) => byte.toString(16).padStart(2, '0')).join(''),
    }
    this.#lines.push({ line, recordedAt, order })
    return { id, type, occurredAt, at: moment, recordedAt, data }
  }

  /** Amends: the same kind of entry again, whole, with the fields given changed (undefined: taken out) and the time, where given. */
  amend<T extends EntryType>(
    wrong: Written<T>,
    change: { [K in keyof Data<T>]?: Data<T>[K] | undefined },
    manner: Omit<Manner, 'replaces'> & { at?: number } = {},
  ): Written<T> {
    const data = Object.fromEntries(
      Object.entries({ ...wrong.data, ...change }).filter(([, value]) => value !== undefined),
    ) as Data<T>
    const at = manner.at ?? (wrong.occurredAt.length === 10 ? wrong.occurredAt : wrong.at)
    const recordedAt = manner.recordedAt ?? wrong.recordedAt + (manner.after ?? 25) * minute
    return this.write(wrong.type, at, data, { ...manner, recordedAt, replaces: wrong.id })
  }

  /** Strikes an entry, or strikes a strike; it happens when it is written. */
  strike(
    wrong: Entered,
    reason: string,
    manner: { after?: number; recordedAt?: number; hand?: string } = {},
  ): Written<'entry-struck'> {
    const recordedAt = manner.recordedAt ?? wrong.recordedAt + (manner.after ?? 30) * minute
    const { hand } = manner
    const at = Math.floor(recordedAt / minute) * minute
    return this.write('entry-struck', at, { reason }, { ...(hand ? { hand } : {}), recordedAt, replaces: wrong.id })
  }

  /** Everything written, in the order in which it was written down. */
  lines(): Line[] {
    return [...this.#lines].sort((a, b) => a.recordedAt - b.recordedAt || a.order - b.order).map(({ line }) => line)
  }

  #recordedAt(type: EntryType, moment: number, manner: Manner): number {
    if (manner.recordedAt !== undefined) return this.#toSecond(manner.recordedAt)
    if (this.catchUp !== null) {
      this.catchUp += Math.round(this.#random.between(50, 150)) * 1000
      return Math.max(this.catchUp, moment)
    }
    const later = forgotten.has(type) && this.#random.chance(0.05)
    const after = manner.after ?? (later ? this.#random.between(90, 500) : this.#random.between(1, 14))
    return this.#toSecond(moment + after * minute)
  }

  #toSecond = (at: number): number => Math.floor(at / 1000) * 1000
}
