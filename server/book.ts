import { got, inner, metaOf, type Refusal } from '../events/define.ts'
import { type Decoded, decode, type Entry, isEntryType, kindOf } from '../events/index.ts'
import { type Draft, freshId, freshSalt, type Line, type Log, mint, type Row, type Unreadable } from '../events/log.ts'
import { type AsOf, isZone, momentOf, type Timeline, timeline } from '../projections/timeline.ts'

/** A line of a batch that was refused: its index, and what is wrong with which field. */
export interface RefusedLine {
  index: number
  refusals: Refusal[]
  /** The entry to be amended or struck has been amended or struck by somebody else meanwhile. */
  stale?: true
}

/** What a write gives: the rows now in the book, or why nothing was written. */
export type Written = { ok: true; written: Row[]; already: number } | { ok: false; refused: RefusedLine[] }

/** A book in use: its rough log, its clock, its fair log. What pages and commands are handed. */
export interface Book {
  readonly log: Log
  /** The book's clock, milliseconds; pinned for the sample boat. */
  now(): number
  /** Says where the clock is pinned, for the page; null when it runs. */
  readonly pinned: boolean
  /** All entries, and the rows that could not be read. */
  read(): { entries: readonly Entry[]; unreadable: readonly Unreadable[] }
  /** The fair log; the same object for the same past until something was added. */
  timeline(past?: AsOf): Timeline
  /**
   * Writes what a person entered here: ids and salts are minted, `recordedAt` is now. Whole or not at all. An amendment must
   * name the version that holds; one that does not comes back `stale`.
   */
  write(drafts: readonly (Omit<Draft, 'recordedAt'> & { recordedAt?: string })[]): Written
  /** Takes in lines of the exchange format, from another book or program. Whole or not at all. */
  takeIn(lines: readonly unknown[], defaults?: Defaults): Written
  /** Looks such lines over without writing any: those that `takeIn` would refuse for what they say, in their order. */
  lookOver(lines: readonly unknown[], defaults?: Defaults): RefusedLine[]
}

/** What lines that are taken in may leave out. */
export interface Defaults {
  source?: string
  hand?: string
}

/** How far ahead of this book's clock a time may lie: clocks aboard differ, and a day alone begins before its noon. */
const aheadAllowed = 24 * 3600_000

/**
 * A book over an open log.
 * @param now the clock, milliseconds; default the machine's
 */
export function openBook(log: Log, now?: () => number): Book {
  const clock = now ?? Date.now
  let cached: { entries: readonly Entry[]; byPast: Map<string, Timeline> } | null = null

  const timelineOf = (past: AsOf = {}): Timeline => {
    const { entries } = log.read()
    if (cached?.entries !== entries) cached = { entries, byPast: new Map() }
    const key = `${past.asOf ?? ''}/${past.asKnown ?? ''}`
    const there = cached.byPast.get(key)
    if (there) return there
    if (cached.byPast.size > 16) cached.byPast.clear()
    const made = timeline(entries, past)
    cached.byPast.set(key, made)
    return made
  }

  const examine = (inputs: readonly unknown[], defaults: Defaults): { lines: Line[]; refused: RefusedLine[] } => {
    const lines: Line[] = []
    const refused: RefusedLine[] = []
    const recordedAt = new Date(clock()).toISOString()
    // What a refused line introduces counts as known here: one mistake is told once, not once for every line that hangs on it.
    const known = registerOf(log.read().entries, inputs)
    const inBatch = new Map<string, Line>()
    for (const [index, input] of inputs.entries()) {
      const id = isObject(input) && typeof input.id === 'string' ? input.id : undefined
      // Written again after a lost reply, a line that left things to the book is the same line: it gets what it got then.
      const before = id === undefined ? undefined : (inBatch.get(id) ?? log.row(id))
      const completed = complete(input, { recordedAt, origin: log.id, ...defaults }, before)
      if (completed.ok) inBatch.set(completed.line.id, before ?? completed.line)
      const refusals = completed.ok ? crossCheck(completed.line, known, clock()) : completed.refusals
      if (refusals.length > 0) refused.push({ index, refusals })
      else if (completed.ok) lines.push(completed.line)
    }
    return { lines, refused }
  }

  const append = (lines: readonly Line[]): Written => {
    const appended = log.append(lines, new Date(clock()).toISOString())
    if (appended.ok) return appended
    return {
      ok: false,
      refused: appended.refused.map(({ index, problem }) => ({ index, refusals: [{ field: '', problem }] })),
    }
  }

  return {
    log,
    now: clock,
    pinned: now !== undefined,
    read: () => log.read(),
    timeline: timelineOf,
    write(drafts) {
      const recordedAt = new Date(clock()).toISOString()
      const lines = drafts.map((draft) => mint({ recordedAt, ...draft }, log.id))
      const fair = timelineOf()
      const known = registerOf(log.read().entries, lines)
      const refused = lines.flatMap((line, index): RefusedLine[] => {
        const decoded = decode({ ...line })
        const refusals = decoded.ok ? crossCheck(line, known, clock()) : decoded.refusals
        const stale = line.replaces === null ? null : staleness(fair, line.replaces)
        if (stale !== null)
          return [{ index, refusals: [...refusals, { field: 'replaces', problem: stale }], stale: true }]
        return refusals.length > 0 ? [{ index, refusals }] : []
      })
      return refused.length > 0 ? { ok: false, refused } : append(lines)
    },
    takeIn(inputs, defaults = {}) {
      const { lines, refused } = examine(inputs, defaults)
      return refused.length > 0 ? { ok: false, refused } : append(lines)
    },
    lookOver: (inputs, defaults = {}) => examine(inputs, defaults).refused,
  }
}

/** The handles that entries introduce, whatever became of those entries. */
interface Register {
  equipment: Set<string>
  meter: Set<string>
  task: Set<string>
}

function registerOf(entries: readonly Entry[], lines: readonly unknown[]): Register {
  const register: Register = { equipment: new Set(), meter: new Set(), task: new Set() }
  const introduce = (type: unknown, data: Record<string, unknown>) => {
    // A copy may have left the name out.
    const add = (names: Set<string>, name: unknown) => void (typeof name === 'string' && names.add(name))
    if (type === 'equipment-fitted') add(register.equipment, data.equipment)
    if (type === 'meter-fitted') add(register.meter, data.meter)
    if (type === 'upkeep-set') add(register.task, data.task)
  }
  for (const entry of entries) introduce(entry.type, entry.data)
  for (const line of lines) if (isObject(line) && isObject(line.data)) introduce(line.type, line.data)
  return register
}

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

const introduced: Record<'equipment' | 'meter' | 'task', string> = {
  equipment: 'Equipment: got',
  meter: 'Meter: got',
  task: 'Task: got',
}

function crossCheck(line: Line, known: Register, now: number): Refusal[] {
  const refusals: Refusal[] = []
  for (const name of ['occurredAt', 'recordedAt'] as const) {
    const text = line[name]
    if (momentOf(text.length === 10 ? `${text}T00:00:00Z` : text) > now + aheadAllowed)
      refusals.push({
        field: name,
        problem: `Got ${text}, which lies ahead of this book's clock (${new Date(now).toISOString()}); expected a time that has passed. Check the date, or the clock aboard.`,
      })
  }
  const kind = kindOf(line.type)
  for (const [name, value] of Object.entries(line.data)) {
    const schema = kind?.schema.shape[name]
    if (!schema) continue
    const { refers } = metaOf(inner(schema as never), name)
    if (!refers || refers === 'entry' || typeof value !== 'string' || known[refers].has(value)) continue
    const all = [...known[refers]].sort()
    const some =
      all.length === 0
        ? 'none yet'
        : all.length > 12
          ? `${all.slice(0, 12).join(', ')} and ${all.length - 12} more`
          : all.join(', ')
    refusals.push({
      field: name,
      problem: `${introduced[refers]} "${value}", which this book does not know; it knows ${some}. Write ${refers === 'task' ? 'the upkeep task' : `the ${refers}`} first, or correct the name.`,
    })
  }
  if (line.type === 'book-set' && typeof line.data.zone === 'string' && !isZone(line.data.zone))
    refusals.push({
      field: 'zone',
      problem: `Ship's time: got "${line.data.zone}", expected the name of a time zone, such as Europe/Stockholm.`,
    })
  return refusals
}

function staleness(fair: Timeline, replaces: string): string | null {
  const root = fair.rootOf(replaces)
  if (root === undefined)
    return 'The entry that this amends or strikes is not in the book. Open the Log and begin from the entry there.'
  const entry = fair.find(root)
  // A strike is itself struck to revive an entry.
  if (!entry || entry.struck?.id === replaces) return null
  const tip = entry.versions[entry.versions.length - 1]!
  if (entry.struck === null && tip.id === replaces) return null
  // Striking a rival settles a conflict, also while it is the strike among the rivals that holds.
  if (entry.conflict.some((rival) => rival.id === replaces)) return null
  return 'This entry has been amended or struck since the form was opened. What you typed is kept: look at the entry as it now stands, then write again.'
}

const lineFields = new Set([
  'id',
  'origin',
  'type',
  'version',
  'occurredAt',
  'recordedAt',
  'hand',
  'source',
  'replaces',
  'data',
  'salt',
  'salts',
  'withheld',
])
const booksOwn = new Set(['position', 'receivedAt', 'link'])

/** Fills in what an exchanged line may leave out, from the line of the same id where there is one, and checks the whole. */
function complete(
  input: unknown,
  defaults: Defaults & { recordedAt: string; origin: string },
  before: Line | undefined,
): { ok: true; line: Line } | { ok: false; refusals: Refusal[] } {
  if (!isObject(input))
    return {
      ok: false,
      refusals: [
        {
          field: '',
          problem: `Got ${got(input)}, expected an entry: an object with type, occurredAt, hand and data.`,
        },
      ],
    }
  const unknown = Object.keys(input).filter((name) => !lineFields.has(name) && !booksOwn.has(name))
  const more = unknown.length > 5 ? ` and ${unknown.length - 5} more` : ''
  if (unknown.length > 0)
    return {
      ok: false,
      refusals: [
        {
          field: '',
          problem: `Got the unknown field ${unknown.slice(0, 5).map(got).join(', ')}${more}, expected only ${[...lineFields].join(', ')}. Correct the name or put it into data.`,
        },
      ],
    }
  const type = typeof input.type === 'string' ? input.type : ''
  const line: Record<string, unknown> = {
    id: freshId(),
    origin: before?.origin ?? defaults.origin,
    version: before?.version ?? (isEntryType(type) ? kindOf(type)!.version : 1),
    recordedAt: before?.recordedAt ?? defaults.recordedAt,
    source: before?.source ?? defaults.source ?? 'command line',
    replaces: null,
    ...(defaults.hand === undefined ? {} : { hand: defaults.hand }),
    ...Object.fromEntries(Object.entries(input).filter(([name]) => lineFields.has(name))),
  }
  const { salts, withheld, ...author } = line
  const partial = salts !== undefined || withheld !== undefined
  if (partial && !(isHexMap(salts) && isHexMap(withheld) && author.salt === undefined))
    return {
      ok: false,
      refusals: [
        {
          field: 'withheld',
          problem:
            'Got a copy that leaves fields out, expected "salts" and "withheld" as objects of 64 hexadecimal digits each, and no "salt".',
        },
      ],
    }
  if (!partial && author.salt === undefined) author.salt = before?.salt ?? freshSalt()
  const left = partial ? Object.keys(withheld as object) : []
  const decoded: Decoded = decode(
    partial ? { ...author, salt: '0'.repeat(32) } : author,
    left.filter((name) => name.startsWith('data.')).map((name) => name.slice(5)),
  )
  if (!decoded.ok) return { ok: false, refusals: decoded.refusals }
  return { ok: true, line: { ...author, ...(partial ? { salts, withheld } : {}) } as unknown as Line }
}

const isHexMap = (value: unknown): value is Record<string, string> =>
  isObject(value) && Object.values(value).every((text) => typeof text === 'string' && /^[0-9a-f]{64}$/.test(text))
