import { createHash, createHmac, randomBytes } from 'node:crypto'
import { closeSync, existsSync, openSync, readSync } from 'node:fs'
import Database from 'better-sqlite3'
import canonicalize from 'canonicalize'
import { v4, v7 } from 'uuid'
import { z } from 'zod'
import { got, metaOf } from './define.ts'
import { decode, type Entry, kindOf } from './index.ts'

/**
 * The rough log: one SQLite file a boat, append-only, hash-chained. The only file of events/ that touches the world.
 *
 * Proof. Every field of the author's part has a commitment, HMAC-SHA-256 keyed with a salt of its own over the field's
 * canonical JSON (RFC 8785); the digest of an entry is the SHA-256 of the canonical JSON of all its commitments; the link is the
 * SHA-256 over the link before, the digest and receivedAt. A field can be left out of a copy by giving its commitment in
 * its place: digest and chain still prove the rest.
 * A chain alone cannot show that the whole book was rewritten, nor that its tail was cut by somebody who knew how: keep the head
 * elsewhere (it stands in the foot of the Log page, in `verify`, and belongs on backups and hand-overs).
 */

/** The author's part of an entry as it is exchanged and stored. */
export interface Line {
  id: string
  origin: string
  type: string
  version: number
  /** RFC 3339 with offset, or a day. */
  occurredAt: string
  recordedAt: string
  hand: string
  source: string
  replaces: string | null
  data: Record<string, unknown>
  /** The secret from which the salts of all fields are derived; absent in a copy that leaves something out. */
  salt?: string
  /** In such a copy: the salts of the fields that are there, by field name. */
  salts?: Record<string, string>
  /** In such a copy: the commitments of the fields that are not, by field name ("hand", "data.cost"). */
  withheld?: Record<string, string>
}

/** A line as the book holds it. */
export interface Row extends Line {
  position: number
  receivedAt: string
  link: string
}

/** What an author has to say; the rest is minted. */
export interface Draft {
  /** Given where other entries of the same batch, or a form that may be posted twice, must know it beforehand; else minted. */
  id?: string
  type: string
  occurredAt: string
  hand: string
  source: string
  data: Record<string, unknown>
  replaces?: string | null
  recordedAt: string
}

/** A row that cannot be read as an entry: counted and shown, never skipped in silence. */
export interface Unreadable {
  position: number
  id: string
  type: string
  problem: string
}

const canonical = (value: unknown): string => canonicalize(value) as string
const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex')

const headFields = [
  'id',
  'origin',
  'type',
  'version',
  'occurredAt',
  'recordedAt',
  'hand',
  'source',
  'replaces',
] as const

/** The link before the first: 64 noughts. */
export const firstLink = '0'.repeat(64)

function fieldsOf(line: Line): [string, unknown][] {
  const left = new Set(Object.keys(line.withheld ?? {}))
  return [
    ...headFields.map((name): [string, unknown] => [name, line[name]]),
    ...Object.entries(line.data).map(([name, value]): [string, unknown] => [`data.${name}`, value]),
  ].filter(([name]) => !left.has(name as string)) as [string, unknown][]
}

/** The salt of one field: HMAC-SHA-256 of its name, keyed with the entry's salt; knowing one tells nothing of the others. */
const saltOf = (line: Line, name: string): string =>
  line.salts?.[name] ??
  createHmac('sha256', Buffer.from(line.salt ?? '', 'hex'))
    .update(name)
    .digest('hex')

/** The commitment of every field, by name: 64 hexadecimal digits each. */
export function commitments(line: Line): Record<string, string> {
  const result: Record<string, string> = { ...line.withheld }
  for (const [name, value] of fieldsOf(line))
    result[name] = createHmac('sha256', Buffer.from(saltOf(line, name), 'hex'))
      .update(canonical([name, value]))
      .digest('hex')
  return result
}

const isHex = (text: unknown, digits: number): boolean =>
  typeof text === 'string' && text.length === digits && /^[0-9a-f]*$/.test(text)

/**
 * What is wrong with the salts and commitments of a line, or null. Whatever a line holds must be bound by its digest: a value beside the
 * commitment that stands in its place would not be, nor a salt that opens nothing; and a key has one spelling only.
 */
function secretsProblem(line: Line): string | null {
  const { salt, salts, withheld } = line
  if (salts === undefined && withheld === undefined)
    return isHex(salt, 32) ? null : `Salt: got ${got(salt)}, expected 32 hexadecimal digits.`
  if (salts === undefined || withheld === undefined || salt !== undefined)
    return 'Got a copy that leaves fields out, expected "salts" and "withheld" together, and no "salt". Export the copy again.'
  const left = Object.keys(withheld)
  const odd = left.filter((name) => name !== 'hand' && !name.startsWith('data.'))
  if (left.length === 0 || odd.length > 0)
    return `Withheld: got ${odd.map((name) => `"${name.slice(0, 40)}"`).join(', ') || 'nothing'}, expected "hand" or fields of data such as "data.cost"; the rest of an entry cannot be left out.`
  const both = left.filter((name) => (name === 'hand' ? line.hand !== '-' : name.slice(5) in line.data))
  if (both.length > 0)
    return `Got ${both.join(', ')} both as a value and as withheld, expected the one or the other${both.includes('hand') ? ' (a hand that is left out is written "-")' : ''}. Export the copy again.`
  const there = fieldsOf(line).map(([name]) => name)
  const given = Object.keys(salts)
  if (given.length !== there.length || !there.every((name) => Object.hasOwn(salts, name)))
    return 'Salts: expected one for every field that is there, and no other. Export the copy again.'
  if (![...Object.values(salts), ...Object.values(withheld)].every((text) => isHex(text, 64)))
    return 'Salts and withheld: expected 64 hexadecimal digits each, in lower case.'
  return null
}

/** The digest of the author's part; the same for a full entry and for a copy of it that leaves fields out. */
export const digestOf = (line: Line): string => sha256(canonical(commitments(line)))

/** The link that follows `before`. */
export const linkOf = (before: string, digest: string, receivedAt: string): string =>
  sha256(canonical([before, digest, receivedAt]))

/**
 * A copy without some fields ("hand" or "data.<name>"): their commitments stand in their place, the entry's salt is replaced by the
 * salts of the fields that remain. Names that are not there are passed over.
 */
export function withhold<T extends Line>(line: T, names: readonly string[]): T {
  const all = commitments(line)
  const leave = names.filter((name) => name in all && (name === 'hand' || name.startsWith('data.')))
  if (leave.length === 0) return line
  const withheld: Record<string, string> = { ...line.withheld }
  const salts: Record<string, string> = {}
  for (const [name] of fieldsOf(line)) {
    if (leave.includes(name)) withheld[name] = all[name]!
    else salts[name] = saltOf(line, name)
  }
  const data = Object.fromEntries(Object.entries(line.data).filter(([name]) => !(`data.${name}` in withheld)))
  const { salt: _, ...rest } = line
  return { ...rest, hand: 'hand' in withheld ? '-' : line.hand, data, salts, withheld } as T
}

/** A new entry from what its author said: id (UUID version 7), salt and the present version of its kind are added. */
export function mint(draft: Draft, origin: string): Line {
  const version = kindOf(draft.type)?.version ?? 1
  return {
    id: v7(),
    origin,
    version,
    salt: randomBytes(16).toString('hex'),
    ...draft,
    replaces: draft.replaces ?? null,
  }
}

/** Fresh salt for a line that came without one. */
export const freshSalt = (): string => randomBytes(16).toString('hex')

/** Fresh id for a line that came without one. */
export const freshId = (): string => v7()

const applicationId = 0x46_65_74_74

const schema = `
CREATE TABLE book (
  id TEXT NOT NULL
) STRICT;
CREATE TABLE log (
  position INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  origin TEXT NOT NULL,
  type TEXT NOT NULL,
  version INTEGER NOT NULL,
  occurred_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  hand TEXT NOT NULL,
  source TEXT NOT NULL,
  replaces TEXT,
  data TEXT NOT NULL,
  salt TEXT,
  salts TEXT,
  withheld TEXT,
  received_at TEXT NOT NULL,
  link TEXT NOT NULL
) STRICT;
CREATE INDEX log_replaces ON log (replaces) WHERE replaces IS NOT NULL;
CREATE TRIGGER log_is_never_updated BEFORE UPDATE ON log BEGIN SELECT RAISE(ABORT, 'the rough log is never changed: amend or strike'); END;
CREATE TRIGGER log_is_never_deleted BEFORE DELETE ON log BEGIN SELECT RAISE(ABORT, 'the rough log is never erased: strike'); END;
CREATE TRIGGER log_is_never_overwritten BEFORE INSERT ON log WHEN EXISTS (SELECT 1 FROM log WHERE id = NEW.id OR position = NEW.position) BEGIN SELECT RAISE(ABORT, 'the rough log is never overwritten: amend or strike'); END;
CREATE TRIGGER book_is_never_updated BEFORE UPDATE ON book BEGIN SELECT RAISE(ABORT, 'a book keeps its id'); END;
CREATE TRIGGER book_is_never_deleted BEFORE DELETE ON book BEGIN SELECT RAISE(ABORT, 'a book keeps its id'); END;
CREATE TRIGGER book_is_one BEFORE INSERT ON book WHEN EXISTS (SELECT 1 FROM book) BEGIN SELECT RAISE(ABORT, 'a book keeps its id'); END;
`

interface Stored {
  position: number
  id: string
  origin: string
  type: string
  version: number
  occurred_at: string
  recorded_at: string
  hand: string
  source: string
  replaces: string | null
  data: string
  salt: string | null
  salts: string | null
  withheld: string | null
  received_at: string
  link: string
}

/** @throws SyntaxError when what is to be an object is none */
function parsed<T>(text: string): T {
  const value: unknown = JSON.parse(text)
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new SyntaxError(`got ${text.slice(0, 40)}, expected an object`)
  return value as T
}

const rowOf = (stored: Stored): Row => ({
  position: stored.position,
  id: stored.id,
  origin: stored.origin,
  type: stored.type,
  version: stored.version,
  occurredAt: stored.occurred_at,
  recordedAt: stored.recorded_at,
  hand: stored.hand,
  source: stored.source,
  replaces: stored.replaces,
  data: parsed(stored.data),
  ...(stored.salt === null ? {} : { salt: stored.salt }),
  ...(stored.salts === null ? {} : { salts: parsed<Record<string, string>>(stored.salts) }),
  ...(stored.withheld === null ? {} : { withheld: parsed<Record<string, string>>(stored.withheld) }),
  receivedAt: stored.received_at,
  link: stored.link,
})

/** A row as an entry of the book, or why it cannot be read. */
export function entryOf(row: Row): { ok: true; entry: Entry } | { ok: false; problem: string } {
  const problem = secretsProblem(row)
  if (problem) return { ok: false, problem }
  const { position, receivedAt, link, salts: _, withheld, ...author } = row
  const left = Object.keys(withheld ?? {})
  const decoded = decode(
    { ...author, salt: author.salt ?? '0'.repeat(32) },
    left.filter((name) => name.startsWith('data.')).map((name) => name.slice(5)),
  )
  if (!decoded.ok) return decoded
  return {
    ok: true,
    entry: { ...decoded.entry, position, receivedAt, link, ...(left.length > 0 ? { withheld: left } : {}) } as Entry,
  }
}

/** What `append` gives: positions of what is now in the book, or the lines that were refused, by index in the batch. */
export type Appended =
  | { ok: true; written: Row[]; already: number }
  | { ok: false; refused: { index: number; problem: string }[] }

/** Where the chain ends. */
export interface Head {
  position: number
  link: string
}

/** What `verify` gives; `problems` are sentences that name the position. */
export interface Verified {
  ok: boolean
  entries: number
  head: Head
  problems: string[]
}

/** An open book. */
export interface Log {
  /** The id of the book: the `origin` of what it takes in first. */
  readonly id: string
  readonly file: string
  /** All entries in the order in which they were taken in; the same object until something was added. */
  read(): { entries: readonly Entry[]; unreadable: readonly Unreadable[] }
  /**
   * The rows as stored, in order, for export; entries may be taken in meanwhile. A row whose JSON is broken cannot be given:
   * `read` counts it, `verify` names it.
   */
  rows(): Iterable<Row>
  /** One row; undefined where there is none, or where its JSON is broken. */
  row(id: string): Row | undefined
  /**
   * Adds a batch, whole or not at all; when it returns, the batch is on the disk. A line whose id is there already with the same
   * author's content is passed over; with other content it is refused. Every line is validated first.
   * @param receivedAt this book's clock, UTC, RFC 3339
   */
  append(lines: readonly Line[], receivedAt: string): Appended
  head(): Head
  verify(): Verified
  close(): void
}

/** A file that cannot be opened as a book; the message is a sentence for people. */
export class NotABook extends Error {}

/**
 * Opens a book, and makes it if the file is not there.
 * @param file path, or ":memory:"
 * @param options.create false: a file that is not there is refused
 * @throws NotABook when the file is something else, or a newer Fettlebook's
 */
export function openLog(file: string, options: { create?: boolean } = {}): Log {
  if (options.create === false && file !== ':memory:' && !existsSync(file))
    throw new NotABook(
      `There is no book at ${file}. Name another with --book, or open this one once with "serve" to begin it.`,
    )
  if (!isDatabase(file)) throw new NotABook(`${file} is not a Fettlebook book. Name another file with --book.`)
  let db: Database.Database | undefined
  try {
    db = new Database(file)
    return logOn(db, file)
  } catch (error) {
    db?.close()
    if (error instanceof NotABook) throw error
    throw new NotABook(
      `${file} could not be opened as a book (${(error as Error).message}). Expected a Fettlebook book or a new file in a folder that can be written to.`,
    )
  }
}

/** Whether SQLite may touch a file: one that is not there, is empty, or begins as https://www.sqlite.org/fileformat.html, section 1.3, says. */
function isDatabase(file: string): boolean {
  if (file === ':memory:' || !existsSync(file)) return true
  const magic = Buffer.from('SQLite format 3\0', 'latin1')
  const start = Buffer.alloc(magic.length)
  try {
    const opened = openSync(file, 'r')
    try {
      const length = readSync(opened, start)
      return length === 0 || start.equals(magic)
    } finally {
      closeSync(opened)
    }
  } catch {
    // Whatever keeps us from reading it, SQLite says it better.
    return true
  }
}

function logOn(db: Database.Database, file: string): Log {
  db.pragma('busy_timeout = 10000')
  // In one transaction: another process may be making the book at this moment.
  const [found, version, tables] = db.transaction(() => [
    db.pragma('application_id', { simple: true }) as number,
    db.pragma('user_version', { simple: true }) as number,
    (db.prepare('SELECT count(*) AS n FROM sqlite_schema').get() as { n: number }).n,
  ])() as [number, number, number]
  if (found !== applicationId && tables > 0)
    throw new NotABook(`${file} is a database, but not a Fettlebook book. Name another file with --book.`)
  if (found === applicationId && version > 1)
    throw new NotABook(`${file} was made by a newer Fettlebook. Open it with that one.`)
  db.pragma('journal_mode = WAL')
  // The library's default in WAL is NORMAL, which can lose the last commits when power fails.
  db.pragma('synchronous = FULL')
  db.transaction(() => {
    if (db.pragma('application_id', { simple: true }) === applicationId) return
    db.pragma(`application_id = ${applicationId}`)
    db.pragma('user_version = 1')
    db.exec(schema)
    db.prepare('INSERT INTO book (id) VALUES (?)').run(v4())
  }).immediate()

  const book = db.prepare('SELECT id FROM book').get() as { id: string } | undefined
  if (!book) throw new NotABook(`${file} is a Fettlebook book that has lost its id. Restore it from a backup.`)
  const insert = db.prepare(
    `INSERT INTO log (position, id, origin, type, version, occurred_at, recorded_at, hand, source, replaces, data, salt, salts, withheld, received_at, link)
     VALUES (@position, @id, @origin, @type, @version, @occurred_at, @recorded_at, @hand, @source, @replaces, @data, @salt, @salts, @withheld, @received_at, @link)`,
  )
  const byId = db.prepare('SELECT * FROM log WHERE id = ?')
  const last = db.prepare('SELECT position, link FROM log ORDER BY position DESC LIMIT 1')
  const after = db.prepare('SELECT * FROM log WHERE position > ? ORDER BY position')
  const someAfter = db.prepare('SELECT * FROM log WHERE position > ? ORDER BY position LIMIT 500')

  let cache: { entries: readonly Entry[]; unreadable: readonly Unreadable[] } = { entries: [], unreadable: [] }
  let readTo = 0
  let seen = -1

  const head = (): Head => (last.get() as Head | undefined) ?? { position: 0, link: firstLink }

  const append = db.transaction((lines: readonly Line[], receivedAt: string): Appended => {
    const refused: { index: number; problem: string }[] = []
    const written: Row[] = []
    let already = 0
    let { position, link } = head()
    for (const [index, line] of lines.entries()) {
      const checked = entryOf({ ...line, position: position + 1, receivedAt, link: '' })
      if (!checked.ok) {
        refused.push({ index, problem: checked.problem })
        continue
      }
      const digest = digestOf(line)
      const there = byId.get(line.id) as Stored | undefined
      if (there) {
        const stored = whole(there)
        if (stored && digestOf(stored) === digest) already++
        else
          refused.push({
            index,
            problem: `The id ${line.id} is in the book already (position ${there.position}) with other content. Got a different entry under the same id; give it an id of its own, or amend the first.`,
          })
        continue
      }
      position += 1
      link = linkOf(link, digest, receivedAt)
      const row: Row = { ...line, position, receivedAt, link }
      insert.run({
        position,
        id: line.id,
        origin: line.origin,
        type: line.type,
        version: line.version,
        occurred_at: line.occurredAt,
        recorded_at: line.recordedAt,
        hand: line.hand,
        source: line.source,
        replaces: line.replaces,
        data: canonical(line.data),
        salt: line.salt ?? null,
        salts: line.salts ? canonical(line.salts) : null,
        withheld: line.withheld ? canonical(line.withheld) : null,
        received_at: receivedAt,
        link,
      })
      written.push(row)
    }
    if (refused.length > 0) throw new Refused(refused)
    return { ok: true, written, already }
  })

  return {
    id: book.id,
    file,
    read() {
      const now = db.pragma('data_version', { simple: true }) as number
      if (now === seen && readTo === head().position) return cache
      seen = now
      const rows = after.all(readTo) as Stored[]
      if (rows.length === 0) return cache
      const entries = [...cache.entries]
      const unreadable = [...cache.unreadable]
      for (const stored of rows) {
        const read = readRow(stored)
        if (read.ok) entries.push(read.entry)
        else unreadable.push({ position: stored.position, id: stored.id, type: stored.type, problem: read.problem })
        readTo = stored.position
      }
      cache = { entries, unreadable }
      return cache
    },
    *rows() {
      // In parts, for an open statement would keep its connection from writing.
      let position = Number.MIN_SAFE_INTEGER
      for (;;) {
        const part = someAfter.all(position) as Stored[]
        for (const stored of part) {
          position = stored.position
          const row = whole(stored)
          if (row) yield row
        }
        if (part.length === 0) return
      }
    },
    row(wanted) {
      const stored = byId.get(wanted) as Stored | undefined
      return stored && whole(stored)
    },
    append(lines, receivedAt) {
      try {
        return append.immediate(lines, receivedAt)
      } catch (error) {
        if (error instanceof Refused) return { ok: false, refused: error.refused }
        throw error
      }
    },
    head,
    verify: () => verifyBook(db),
    close: () => db.close(),
  }
}

class Refused extends Error {
  readonly refused: { index: number; problem: string }[]
  constructor(refused: { index: number; problem: string }[]) {
    super('refused')
    this.refused = refused
  }
}

/** The row, or undefined where its JSON is broken. */
function whole(stored: Stored): Row | undefined {
  try {
    return rowOf(stored)
  } catch {
    return undefined
  }
}

function readRow(stored: Stored): { ok: true; entry: Entry } | { ok: false; problem: string } {
  try {
    const read = entryOf(rowOf(stored))
    if (!read.ok) return read
    const needed = neededButWithheld(read.entry)
    return needed.length === 0
      ? read
      : {
          ok: false,
          problem: `This copy leaves out ${needed.join(', ')}, without which the entry says nothing. It is kept and proves; the book that it was copied from has it.`,
        }
  } catch (error) {
    return { ok: false, problem: `The row is no longer an entry: ${(error as Error).message}.` }
  }
}

/** The titles of fields that were left out of a copy although an entry of its kind cannot be told without them. */
function neededButWithheld(entry: Entry): string[] {
  const shape = kindOf(entry.type)?.schema.shape ?? {}
  return (entry.withheld ?? [])
    .filter((name) => name.startsWith('data.'))
    .flatMap((name) => {
      const schema = shape[name.slice(5)] as z.ZodType | undefined
      return schema === undefined || schema instanceof z.ZodOptional ? [] : [metaOf(schema, name).title.toLowerCase()]
    })
}

/**
 * Proves rows against their links, in order. Works on the rows of a book and on an exported copy that begins at position 1.
 * @returns sentences that name the position; none when every link follows from the one before
 */
export function proveRows(rows: Iterable<Row>): { problems: string[]; entries: number; head: Head } {
  const problems: string[] = []
  let before: Head = { position: 0, link: firstLink }
  let entries = 0
  for (const row of rows) {
    entries++
    if (row.position !== before.position + 1)
      problems.push(`After position ${before.position} comes ${row.position}: entries are missing or out of order.`)
    const secrets = secretsProblem(row)
    if (secrets) problems.push(`Position ${row.position} (${row.type}, ${row.id}) is not as it was written. ${secrets}`)
    if (linkOf(before.link, digestOf(row), row.receivedAt) !== row.link)
      problems.push(
        `Position ${row.position} (${row.type}, ${row.id}): its content does not give its link. It, or the one before it, was changed.`,
      )
    before = { position: row.position, link: row.link }
  }
  return { problems, entries, head: before }
}

/** What a book's file is made of: the name and the SQL of each table, index and trigger. */
function madeOf(db: Database.Database): Map<string, string> {
  const parts = db.prepare("SELECT name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite!_%' ESCAPE '!'").all()
  return new Map((parts as { name: string; sql: string }[]).map(({ name, sql }) => [name, sql]))
}

function verifyBook(db: Database.Database): Verified {
  try {
    return verifyRows(db)
  } catch (error) {
    const problem = `SQLite cannot read the file through: ${(error as Error).message}. Restore the book from a backup.`
    return { ok: false, entries: 0, head: { position: 0, link: firstLink }, problems: [problem] }
  }
}

function verifyRows(db: Database.Database): Verified {
  const rows = db.prepare('SELECT * FROM log ORDER BY position').all() as Stored[]
  const problems: string[] = []
  const readable: Row[] = []
  for (const stored of rows) {
    for (const name of ['data', 'salts', 'withheld'] as const) {
      const text = stored[name]
      if (text !== null && !isCanonical(text))
        problems.push(`Position ${stored.position}: its ${name} is not as it was written.`)
    }
    const row = whole(stored)
    if (row) readable.push(row)
    else problems.push(`Position ${stored.position} (${stored.id}) cannot be read at all.`)
  }
  const proved = proveRows(readable)
  problems.push(...proved.problems)
  const counted = db.prepare("SELECT seq FROM sqlite_sequence WHERE name = 'log'").get() as { seq: number } | undefined
  if ((counted?.seq ?? 0) !== proved.head.position)
    problems.push(
      `The book has taken in ${counted?.seq ?? 0} entries, but the last is at position ${proved.head.position}: its end is missing.`,
    )
  const fresh = new Database(':memory:')
  fresh.exec(schema)
  const expected = madeOf(fresh)
  fresh.close()
  const found = madeOf(db)
  for (const [name, sql] of expected)
    if (found.get(name) !== sql)
      problems.push(
        `"${name}" ${found.has(name) ? 'in the file is not as it was made' : 'is gone from the file'}: something other than Fettlebook has changed it.`,
      )
  for (const name of found.keys())
    if (!expected.has(name))
      problems.push(
        `"${name}" is in the file and was not made by Fettlebook; it could keep entries from being written.`,
      )
  const sound = db.pragma('integrity_check', { simple: true })
  if (sound !== 'ok') problems.push(`SQLite finds the file damaged: ${String(sound)}.`)
  return { ok: problems.length === 0, entries: rows.length, head: proved.head, problems }
}

function isCanonical(text: string): boolean {
  try {
    return canonical(JSON.parse(text)) === text
  } catch {
    return false
  }
}
