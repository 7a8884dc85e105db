import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import fc from 'fast-check'
import { describe, expect, onTestFinished, test, vi } from 'vitest'
import {
  digestOf,
  firstLink,
  type Line,
  type Log,
  linkOf,
  mint,
  NotABook,
  openLog,
  proveRows,
  withhold,
} from '../../events/log.ts'
import { idOf, line, note, scratchFolder, strike } from './lines.ts'

const clock = '2026-07-01T08:00:00.000Z'

const newFile = (name = 'book.fettlebook') => join(scratchFolder(), name)

/** The same file through another connection, with nothing of ours in between. */
function raw(file: string): Database.Database {
  const db = new Database(file)
  onTestFinished(() => void db.close())
  return db
}

function must(appended: ReturnType<Log['append']>) {
  if (!appended.ok) throw new Error(JSON.stringify(appended.refused))
  return appended
}

const refusedBy = (appended: ReturnType<Log['append']>) => {
  if (appended.ok) throw new Error('It was taken in.')
  return appended.refused
}

describe('a book', () => {
  test('is made where there is none, and is the same book when it is opened again', () => {
    const file = newFile()
    const first = openLog(file)
    must(first.append([note(1, 'Oil at the full mark.')], clock))
    const entries = first.read().entries
    const id = first.id
    first.close()
    const again = openLog(file, { create: false })
    expect(again.id).toBe(id)
    expect(id).toMatch(/^[0-9a-f-]{36}$/)
    expect(again.read().entries).toEqual(entries)
    expect(again.head()).toEqual({ position: 1, link: entries[0]!.link })
    expect(again.verify()).toEqual({ ok: true, entries: 1, head: again.head(), problems: [] })
  })

  test('that is empty has its head at nought', () => {
    const log = openLog(newFile())
    expect(log.head()).toEqual({ position: 0, link: firstLink })
    expect(log.read()).toEqual({ entries: [], unreadable: [] })
    expect([...log.rows()]).toEqual([])
    expect(log.verify()).toEqual({ ok: true, entries: 0, head: { position: 0, link: firstLink }, problems: [] })
  })

  test('gives back what was written, to the last character', () => {
    const texts = [
      'œ “quoted” \\ back',
      'line\nbreak\ttab',
      '\u0000 nought',
      'aboard ⛵ Åland',
      '{"json": true}',
      "it's",
    ]
    const lines = texts.map((text, index) => note(index + 1, text, { hand: `h${index}é` }))
    const file = newFile()
    const log = openLog(file)
    must(log.append(lines, clock))
    log.close()
    const again = openLog(file)
    expect([...again.rows()].map(({ position: _, receivedAt: __, link: ___, ...author }) => author)).toEqual(lines)
    expect(again.read().entries.map((entry) => (entry.data as { text: string }).text)).toEqual(texts)
    expect(again.row(idOf(3))).toMatchObject({ position: 3, receivedAt: clock, data: { text: texts[2] } })
    expect(again.row(idOf(99))).toBeUndefined()
    expect(again.verify().problems).toEqual([])
  })

  test('writes ahead into a log of its own, and waits for the disk at every write', () => {
    // The setting belongs to the connection, so it can be asked for only there: the calls go through to the real one.
    const pragma = vi.spyOn(Database.prototype, 'pragma')
    onTestFinished(() => pragma.mockRestore())
    const file = newFile()
    openLog(file)
    const connection = pragma.mock.contexts[0] as Database.Database
    pragma.mockRestore()
    expect(connection.name).toBe(file)
    // 2 is FULL: https://www.sqlite.org/pragma.html#pragma_synchronous
    expect(connection.pragma('synchronous', { simple: true })).toBe(2)
    expect(connection.pragma('journal_mode', { simple: true })).toBe('wal')
    expect(raw(file).pragma('journal_mode', { simple: true })).toBe('wal')
  })
})

describe('the rough log is only ever added to', () => {
  const statements = [
    "UPDATE log SET hand = 'X'",
    'UPDATE log SET position = position + 100',
    "UPDATE OR REPLACE log SET data = '{}' WHERE position = 1",
    'DELETE FROM log',
    'DELETE FROM log WHERE position = 3',
    'REPLACE INTO log SELECT * FROM log WHERE position = 2',
    'INSERT OR REPLACE INTO log SELECT 9, id, origin, type, version, occurred_at, recorded_at, hand, source, replaces, data, salt, salts, withheld, received_at, link FROM log WHERE position = 2',
    "UPDATE book SET id = 'X'",
    'DELETE FROM book',
    "INSERT INTO book (id) VALUES ('another')",
  ]
  test.each(statements)('SQLite itself refuses: %s', (statement) => {
    const file = newFile()
    const log = openLog(file)
    must(log.append([note(1, 'one'), note(2, 'two'), note(3, 'three')], clock))
    const before = [...log.rows()]
    const id = log.id
    expect(() => raw(file).exec(statement)).toThrow(/never changed|never erased|never overwritten|keeps its id/)
    expect([...log.rows()]).toEqual(before)
    expect(log.verify()).toMatchObject({ ok: true, problems: [] })
    log.close()
    expect(openLog(file).id).toBe(id)
  })
})

describe('an entry written again', () => {
  test('changes nothing, in a batch of its own or among others or twice in one batch', () => {
    const log = openLog(newFile())
    must(log.append([note(1, 'one')], clock))
    const head = log.head()
    expect(log.append([note(1, 'one')], '2027-01-01T00:00:00.000Z')).toEqual({ ok: true, written: [], already: 1 })
    expect(log.head()).toEqual(head)
    const among = must(log.append([note(2, 'two'), note(1, 'one'), note(2, 'two')], clock))
    expect([among.written.map((row) => row.id), among.already]).toEqual([[idOf(2)], 2])
    expect(log.verify()).toMatchObject({ ok: true, entries: 2 })
  })

  test('under the same id but with other content is refused, whichever field differs', () => {
    const log = openLog(newFile())
    const first = line(1, 'hours-read', { meter: 'engine-hours', reading: { value: 1243.6, unit: 'h' } })
    must(log.append([note(7, 'other'), first], clock))
    const differing: Partial<Line>[] = [
      { hand: 'X.Y.' },
      { source: 'import' },
      { occurredAt: '2026-06-14T12:00:01+00:00' },
      // The same moment, written otherwise: what the author wrote counts, not what it means.
      { occurredAt: '2026-06-14T14:00:00+02:00' },
      { recordedAt: '2026-06-14T12:02:00.000Z' },
      { replaces: idOf(7) },
      { origin: idOf(8) },
      { salt: 'b'.repeat(32) },
      { data: { meter: 'engine-hours', reading: { value: 1243.7, unit: 'h' } } },
      { data: { meter: 'engine-hours', reading: { value: 1243.6, unit: 'min' } } },
      { data: { ...first.data, note: 'after all' } },
    ]
    for (const difference of differing) {
      const [refused, ...rest] = refusedBy(log.append([{ ...first, ...difference }], clock))
      expect(rest).toEqual([])
      expect(refused).toMatchObject({ index: 0, problem: expect.stringMatching(/already \(position 2\).*different/) })
    }
    expect(log.verify()).toMatchObject({ ok: true, entries: 2 })
  })

  test('with its fields in another order is the same entry', () => {
    const log = openLog(newFile())
    must(log.append([line(1, 'note-written', { text: 'one', equipment: 'engine' })], clock))
    const reversed = Object.fromEntries(
      Object.entries(line(1, 'note-written', { equipment: 'engine', text: 'one' })).reverse(),
    )
    expect(log.append([reversed as unknown as Line], clock)).toEqual({ ok: true, written: [], already: 1 })
  })
})

describe('a batch', () => {
  test('is taken in whole or not at all, and every refused line is named', () => {
    const log = openLog(newFile())
    must(log.append([note(1, 'one')], clock))
    const head = log.head()
    const refused = refusedBy(
      log.append(
        [
          note(2, 'two'),
          { ...note(3, ''), data: { text: '' } },
          note(1, 'not what one said'),
          { ...note(4, 'four'), type: 'nonsense-written' },
          note(5, 'five'),
        ],
        clock,
      ),
    )
    expect(refused.map(({ index }) => index)).toEqual([1, 2, 3])
    for (const { problem } of refused) expect(problem).toMatch(/[Gg]ot .*\.$/)
    expect(log.head()).toEqual(head)
    expect(log.read().entries).toHaveLength(1)
    // The refused positions are used again: the counter went back with the rest.
    must(log.append([note(2, 'two')], clock))
    expect(log.head().position).toBe(2)
    expect(log.verify().problems).toEqual([])
  })

  test('that is empty is fine and adds nothing', () => {
    const log = openLog(newFile())
    expect(log.append([], clock)).toEqual({ ok: true, written: [], already: 0 })
  })

  test('of text that is no Unicode is refused with a sentence, in whichever field it stands', () => {
    const log = openLog(newFile())
    const half = 'half a pair \ud83d'
    const lines = [note(1, half), note(2, 'two', { hand: half }), note(3, 'three', { source: half })]
    for (const each of lines) {
      const [refused] = refusedBy(log.append([each], clock))
      expect(refused!.problem).toMatch(/[Gg]ot .*expected/)
      expect(log.head().position).toBe(0)
    }
  })

  test('of which a half was written by hand behind its back, as if power had failed, is not there when the book is opened', () => {
    const file = newFile()
    const log = openLog(file)
    must(log.append([note(1, 'one')], clock))
    const other = raw(file)
    other.exec('BEGIN IMMEDIATE')
    other
      .prepare(
        `INSERT INTO log SELECT 2, ?, origin, type, version, occurred_at, recorded_at, hand, source, replaces, data, salt, salts, withheld, received_at, link FROM log`,
      )
      .run(idOf(2))
    copyFileSync(file, `${file}.copy`)
    copyFileSync(`${file}-wal`, `${file}.copy-wal`)
    other.exec('ROLLBACK')
    const copy = openLog(`${file}.copy`)
    expect(copy.read().entries.map((entry) => entry.id)).toEqual([idOf(1)])
    expect(copy.verify().ok).toBe(true)
  })
})

describe('reading', () => {
  test('sees what was appended since, and gives the same object while nothing was', () => {
    const log = openLog(newFile())
    expect(log.read().entries).toEqual([])
    must(log.append([note(1, 'one')], clock))
    const one = log.read()
    expect(one.entries.map((entry) => entry.id)).toEqual([idOf(1)])
    expect(log.read()).toBe(one)
    must(log.append([note(2, 'two')], clock))
    expect(log.read().entries.map((entry) => entry.id)).toEqual([idOf(1), idOf(2)])
    // What was handed out before is not changed behind the reader's back.
    expect(one.entries).toHaveLength(1)
  })
})

describe('two connections to one book', () => {
  test('see what the other has written, and nothing is read twice', () => {
    const file = newFile()
    const one = openLog(file)
    const two = openLog(file)
    expect(two.id).toBe(one.id)
    const empty = two.read()
    expect(empty.entries).toEqual([])
    must(one.append([note(1, 'by one')], clock))
    expect(two.read().entries.map((entry) => entry.id)).toEqual([idOf(1)])
    expect(two.read()).toBe(two.read())
    must(two.append([note(2, 'by two')], clock))
    must(one.append([note(3, 'by one')], clock))
    for (const log of [one, two]) {
      expect(log.read().entries.map((entry) => entry.id)).toEqual([1, 2, 3].map(idOf))
      expect(log.verify().ok).toBe(true)
      expect(log.head().position).toBe(3)
    }
  })

  test('take entries in while one of them is reading everything out', () => {
    const file = newFile()
    const log = openLog(file)
    must(
      log.append(
        Array.from({ length: 30 }, (_, index) => note(index + 1, `note ${index + 1}`)),
        clock,
      ),
    )
    const seen: string[] = []
    let next = 100
    for (const row of log.rows()) {
      seen.push(row.id)
      if (seen.length % 10 === 0) must(log.append([note(next++, 'meanwhile')], clock))
    }
    expect(seen.slice(0, 30)).toEqual(Array.from({ length: 30 }, (_, index) => idOf(index + 1)))
    expect(new Set(seen).size).toBe(seen.length)
    expect(log.verify()).toMatchObject({ ok: true, entries: next - 100 + 30 })
  })
})

describe('a file that is no book', () => {
  const refusal = (file: string, options = {}): string => {
    try {
      openLog(file, options)
    } catch (error) {
      if (error instanceof NotABook) return error.message
      throw error
    }
    throw new Error('It was opened.')
  }

  test('is refused with a sentence, and not a byte of it is changed', () => {
    const folder = scratchFolder()
    const files: Record<string, (file: string) => void> = {
      text: (file) => writeFileSync(file, 'Oil changed at 1243 h.\n'.repeat(200)),
      'a few bytes': (file) => writeFileSync(file, 'x'),
      'a database of something else': (file) => {
        const db = new Database(file)
        db.exec('CREATE TABLE recipes (name TEXT); INSERT INTO recipes VALUES (1)')
        db.close()
      },
      'a database of something else with a log in it': (file) => {
        const db = new Database(file)
        db.exec('CREATE TABLE log (id TEXT); CREATE TABLE book (id TEXT)')
        db.close()
      },
    }
    for (const [name, make] of Object.entries(files)) {
      const file = join(folder, name)
      make(file)
      const before = readFileSync(file)
      expect(refusal(file), name).toMatch(/book/)
      expect(refusal(file), name).toContain(file)
      expect(readFileSync(file).equals(before), name).toBe(true)
    }
  })

  test('nor a folder, nor in a folder that is not there', () => {
    const folder = scratchFolder()
    mkdirSync(join(folder, 'inside'))
    expect(refusal(join(folder, 'inside'))).toMatch(/could not be opened as a book/)
    expect(refusal(join(folder, 'missing', 'book'))).toMatch(/could not be opened as a book/)
  })

  test('is not made where a book is to be there already', () => {
    const file = newFile()
    expect(refusal(file, { create: false })).toMatch(/There is no book at .*--book/)
    expect(existsSync(file)).toBe(false)
  })

  test('of nought bytes becomes a book', () => {
    const file = newFile()
    writeFileSync(file, '')
    expect(openLog(file).verify().ok).toBe(true)
  })

  test('but a newer Fettlebook is refused as such, and not changed', () => {
    const file = newFile()
    const log = openLog(file)
    must(log.append([note(1, 'one')], clock))
    log.close()
    const db = new Database(file)
    db.pragma('user_version = 2')
    db.close()
    const before = readFileSync(file)
    expect(refusal(file)).toMatch(/newer Fettlebook/)
    expect(readFileSync(file).equals(before)).toBe(true)
  })

  test('any more, because its tables are gone, is refused with a sentence', () => {
    for (const statement of ['DROP TABLE log', 'DROP TABLE book', 'ALTER TABLE log RENAME COLUMN salt TO pepper']) {
      const file = newFile()
      openLog(file).close()
      raw(file).exec(statement)
      expect(refusal(file), statement).toMatch(/book/)
    }
  })
})

/** Puts a row into the file without asking the log: what a newer or another program might have left there. */
function insertRaw(file: string, values: Line & { dataText?: string }) {
  const db = raw(file)
  const { position, link } = (db.prepare('SELECT position, link FROM log ORDER BY position DESC LIMIT 1').get() as
    | { position: number; link: string }
    | undefined) ?? { position: 0, link: firstLink }
  db.prepare('INSERT INTO log VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, NULL, NULL, ?, ?)').run(
    position + 1,
    values.id,
    values.origin,
    values.type,
    values.version,
    values.occurredAt,
    values.recordedAt,
    values.hand,
    values.source,
    values.replaces,
    values.dataText ?? JSON.stringify(values.data),
    values.salt,
    clock,
    linkOf(link, digestOf(values), clock),
  )
}

describe('a row that cannot be read', () => {
  const strange: Record<string, Line & { dataText?: string }> = {
    'an unknown kind': { ...note(11, 'x'), type: 'whale-sighted' },
    'a newer version of a kind': { ...note(12, 'x'), version: 7 },
    'a field that the kind does not have': { ...note(13, 'x'), data: { text: 'x', whales: 2 } },
    'a value that cannot be': line(14, 'hours-read', { meter: 'm', reading: { value: -5, unit: 'h' } }),
    'a time without its offset': note(15, 'x', { occurredAt: '2026-06-14T12:00:00' }),
    'a day that does not exist': note(16, 'x', { occurredAt: '2026-02-30' }),
    'a strike of nothing': { ...strike(17, 1), replaces: null },
    'data that is a list': { ...note(18, 'x'), data: [] as unknown as Record<string, unknown> },
    'data that is null': { ...note(19, 'x'), data: {}, dataText: 'null' },
    'data that is no JSON': { ...note(20, 'x'), dataText: '{"text": "x' },
    'data that is a number': { ...note(21, 'x'), dataText: '42' },
  }

  test.each(Object.entries(strange))('is counted and shown with its reason, not fatal: %s', (_, values) => {
    const file = newFile()
    const log = openLog(file)
    must(log.append([note(1, 'one')], clock))
    insertRaw(file, values)
    must(log.append([note(30, 'after')], clock))
    const check = (opened: Log) => {
      const { entries, unreadable } = opened.read()
      expect(entries.map((entry) => entry.id)).toEqual([idOf(1), idOf(30)])
      expect(unreadable).toEqual([
        { position: 2, id: values.id, type: values.type, problem: expect.stringMatching(/\w.*\.$/s) },
      ])
      expect([...opened.rows()].map((row) => row.id)).toEqual(expect.arrayContaining([idOf(1), idOf(30)]))
      expect(() => opened.row(values.id)).not.toThrow()
      expect(() => opened.verify()).not.toThrow()
      // Somebody tries to write under the same id: an answer, not a crash.
      expect(opened.append([note(Number.parseInt(values.id.slice(-4), 16), 'again')], clock).ok).toBe(false)
    }
    check(log)
    log.close()
    check(openLog(file))
  })

  test('because a newer Fettlebook wrote it is proved by the chain all the same, and goes out with an export', () => {
    const file = newFile()
    const log = openLog(file)
    must(log.append([note(1, 'one')], clock))
    insertRaw(file, strange['an unknown kind']!)
    insertRaw(file, strange['a newer version of a kind']!)
    expect(log.verify()).toMatchObject({ ok: true, entries: 3, problems: [] })
    expect([...log.rows()]).toHaveLength(3)
    expect(proveRows(log.rows()).problems).toEqual([])
    expect(log.read().unreadable.map((row) => row.problem)).toEqual([
      expect.stringMatching(/unknown kind "whale-sighted".*newer/i),
      expect.stringMatching(/version 7.*at most 1.*newer/i),
    ])
  })
})

/** A closed book of full entries, amendments, a strike and copies that leave something out, and what stood in its rows. */
function bookToDamage(folder: string): string {
  const file = join(folder, 'whole.fettlebook')
  const log = openLog(file)
  const service = (n: number) =>
    line(n, 'service-done', {
      equipment: 'engine',
      work: 'oil changed',
      hours: { value: 1102.4, unit: 'h' },
      cost: { value: 84.5, unit: 'EUR' },
      note: 'Filter “hand-tight”, then ¾ turn; Åse held the torch.',
    })
  must(
    log.append(
      [
        note(1, 'one', { occurredAt: '2026-06-14' }),
        line(2, 'hours-read', { meter: 'engine-hours', reading: { value: 1243.6, unit: 'h' } }),
        line(3, 'hours-read', { meter: 'engine-hours', reading: { value: 1234.6, unit: 'h' } }, { replaces: 2 }),
        strike(4, 1),
        service(5),
        // Keys whose bytes could be lost unseen: noughts at the end, letters that have capitals.
        note(6, 'six', { salt: 'abcdefabcdefabcdefabcdefabcd0000' }),
      ],
      clock,
    ),
  )
  must(
    log.append(
      [withhold(service(7), ['data.cost', 'hand']), withhold(note(8, 'eight'), ['data.text'])],
      '2026-07-02T08:00:00.000Z',
    ),
  )
  must(log.append([note(9, 'nine'), note(10, 'ten')], '2026-07-03T08:00:00.000Z'))
  log.close()
  return file
}

/** Does something to the file with all guards taken out, and puts the guards back as they were: no trace but the change itself. */
function behindTheGuards(file: string, change: (db: Database.Database) => void) {
  const db = new Database(file)
  const guards = db.prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").all() as {
    name: string
    sql: string
  }[]
  for (const { name } of guards) db.exec(`DROP TRIGGER ${name}`)
  try {
    change(db)
  } finally {
    for (const { sql } of guards) db.exec(sql)
    db.close()
  }
}

const verified = (file: string) => {
  const log = openLog(file)
  try {
    return log.verify()
  } finally {
    log.close()
  }
}

const columns = [
  'position',
  'id',
  'origin',
  'type',
  'version',
  'occurred_at',
  'recorded_at',
  'hand',
  'source',
  'replaces',
  'data',
  'salt',
  'salts',
  'withheld',
  'received_at',
  'link',
] as const

describe('verify', () => {
  test('finds nothing in a book that nobody has touched, nor when the guards were out and nothing was done', () => {
    const file = bookToDamage(scratchFolder())
    expect(verified(file)).toMatchObject({ ok: true, entries: 10, problems: [] })
    behindTheGuards(file, () => {})
    expect(verified(file)).toMatchObject({ ok: true, entries: 10, problems: [] })
  })

  test('finds any changed character in any field of any entry', () => {
    const folder = scratchFolder()
    const whole = bookToDamage(folder)
    const file = join(folder, 'damaged.fettlebook')
    const db = new Database(whole, { readonly: true })
    const rows = db.prepare('SELECT * FROM log ORDER BY position').all() as Record<string, string | number | null>[]
    db.close()
    const tried = new Map<string, number>()

    const change = (value: string, at: number, how: string, put: string): string => {
      const characters = Array.from(value)
      const index = at % Math.max(characters.length, 1)
      const there = characters[index] ?? ''
      if (how === 'case') characters[index] = there === there.toUpperCase() ? there.toLowerCase() : there.toUpperCase()
      else if (how === 'insert') characters.splice(index, 0, put)
      else if (how === 'remove') characters.splice(index, 1)
      else if (how === 'append') characters.push(put)
      else characters[index] = put
      return characters.join('')
    }

    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: rows.length - 1 }),
        fc.constantFrom(...columns),
        fc.nat(4000),
        fc.constantFrom('put', 'put', 'put', 'case', 'insert', 'remove', 'append', 'null'),
        fc.oneof(
          fc.constantFrom(...'0123456789abcdefABCDEFghz{}[]":,.- \\\n'),
          fc.constantFrom('\u0000', 'é', '\u2028', '⛵'),
        ),
        fc.constantFrom(-1, 1, 9, 100, -1000),
        (index, column, at, how, put, step) => {
          const before = rows[index]![column]!
          let after: string | number | null
          if (typeof before === 'number') after = before + step
          else if (before === null) after = how === 'remove' ? '' : how === 'case' ? '{}' : put
          else if (how === 'null' && ['replaces', 'salt', 'salts', 'withheld'].includes(column)) after = null
          else after = change(before, at, how === 'null' ? 'put' : how, put)
          fc.pre(after !== before)
          // Two rows cannot have one position or one id: SQLite refuses that by itself.
          fc.pre(!rows.some((row) => (column === 'position' || column === 'id') && row[column] === after))
          copyFileSync(whole, file)
          behindTheGuards(file, (opened) => {
            const done = opened.prepare(`UPDATE log SET ${column} = ? WHERE position = ?`).run(after, index + 1)
            expect(done.changes).toBe(1)
          })
          const result = verified(file)
          expect(result.ok).toBe(false)
          expect(result.problems.length).toBeGreaterThan(0)
          tried.set(column, (tried.get(column) ?? 0) + 1)
        },
      ),
      { numRuns: 600, seed: 20260614 },
    )
    expect([...tried.keys()].sort()).toEqual([...columns].sort())
    for (const column of columns) expect(tried.get(column), column).toBeGreaterThan(15)
  }, 120_000)

  const changes: Record<string, (db: Database.Database) => void> = {
    'a capital in a salt': (db) => db.exec('UPDATE log SET salt = upper(salt) WHERE position = 6'),
    'a nought lost at the end of a salt': (db) =>
      db.exec("UPDATE log SET salt = substr(salt, 1, 31) || 'g' WHERE position = 6"),
    'a hand put in where one was left out': (db) => db.exec("UPDATE log SET hand = 'X.Y.' WHERE position = 7"),
    'a cost put in where one was left out': (db) =>
      db.exec(`UPDATE log SET data = json_insert(data, '$.cost', json('{"unit":"EUR","value":1}')) WHERE position = 7`),
    'empty salts beside a salt': (db) => db.exec("UPDATE log SET salts = '{}' WHERE position = 1"),
    'empty commitments beside a salt': (db) => db.exec("UPDATE log SET withheld = '{}' WHERE position = 1"),
    'both empty, beside a salt': (db) => db.exec("UPDATE log SET withheld = '{}', salts = '{}' WHERE position = 1"),
    'a space in the data': (db) => db.exec("UPDATE log SET data = data || ' ' WHERE position = 2"),
    'a field given twice': (db) =>
      db.exec(`UPDATE log SET data = '{"text":"other",' || substr(data, 2) WHERE position = 6`),
    'a time written otherwise for the same moment': (db) =>
      db.exec("UPDATE log SET received_at = '2026-07-01T10:00:00.000+02:00' WHERE position = 2"),
    'the first row dropped': (db) => db.exec('DELETE FROM log WHERE position = 1'),
    'a middle row dropped': (db) => db.exec('DELETE FROM log WHERE position = 5'),
    'the last row dropped': (db) => db.exec('DELETE FROM log WHERE position = 10'),
    'the last three rows dropped': (db) => db.exec('DELETE FROM log WHERE position > 7'),
    'every row dropped': (db) => db.exec('DELETE FROM log'),
    'the first row dropped and the others moved up': (db) =>
      db.exec(
        "DELETE FROM log WHERE position = 1; UPDATE log SET position = -position; UPDATE log SET position = -position - 1; UPDATE sqlite_sequence SET seq = 9 WHERE name = 'log'",
      ),
    'a middle row dropped and the others moved up': (db) =>
      db.exec(
        "DELETE FROM log WHERE position = 5; UPDATE log SET position = -position WHERE position > 5; UPDATE log SET position = -position - 1 WHERE position < 0; UPDATE sqlite_sequence SET seq = 9 WHERE name = 'log'",
      ),
    'two neighbouring rows exchanged': (db) => exchange(db, 2, 3),
    'two distant rows exchanged': (db) => exchange(db, 1, 9),
    'the last two rows exchanged': (db) => exchange(db, 9, 10),
    'what two authors wrote exchanged, each under the other link': (db) => {
      const read = db.prepare('SELECT * FROM log WHERE position = ?')
      const [a, b] = [read.get(9) as Record<string, unknown>, read.get(10) as Record<string, unknown>]
      for (const column of ['hand', 'data', 'salt', 'recorded_at'])
        for (const [to, from] of [
          [9, b],
          [10, a],
        ] as const)
          db.prepare(`UPDATE log SET ${column} = ? WHERE position = ?`).run(from[column], to)
    },
    'a row doubled': (db) =>
      db.exec(
        `INSERT INTO log SELECT 11, '${idOf(99)}', origin, type, version, occurred_at, recorded_at, hand, source, replaces, data, salt, salts, withheld, received_at, link FROM log WHERE position = 10`,
      ),
  }

  function exchange(db: Database.Database, a: number, b: number) {
    db.exec(
      `UPDATE log SET position = -${a} WHERE position = ${a}; UPDATE log SET position = ${a} WHERE position = ${b}; UPDATE log SET position = ${b} WHERE position = -${a}`,
    )
  }

  test.each(Object.entries(changes))('finds %s', (_, change) => {
    const file = bookToDamage(scratchFolder())
    behindTheGuards(file, change)
    const result = verified(file)
    expect(result.ok).toBe(false)
    for (const problem of result.problems) expect(problem).toMatch(/^\S.*\.$/s)
  })

  const guards = [
    'log_is_never_updated',
    'log_is_never_deleted',
    'log_is_never_overwritten',
    'book_is_never_updated',
    'book_is_never_deleted',
    'book_is_one',
  ]

  test.each(guards)('says that the guard %s was removed, or does nothing any more', (guard) => {
    const folder = scratchFolder()
    const file = bookToDamage(folder)
    raw(file).exec(`DROP TRIGGER ${guard}`)
    expect(verified(file)).toMatchObject({ ok: false, problems: [expect.stringContaining(guard)] })
    const table = guard.split('_')[0]
    raw(file).exec(`CREATE TRIGGER ${guard} BEFORE UPDATE ON ${table} BEGIN SELECT 1; END`)
    expect(verified(file)).toMatchObject({ ok: false, problems: [expect.stringContaining(guard)] })
  })

  test('says that something was added that would keep entries from being written', () => {
    const file = bookToDamage(scratchFolder())
    raw(file).exec('CREATE TRIGGER quiet BEFORE INSERT ON log BEGIN SELECT RAISE(IGNORE); END')
    expect(verified(file)).toMatchObject({ ok: false, problems: [expect.stringContaining('quiet')] })
  })

  test('cannot know of a tail cut by somebody who also set the counter back: that shows in the head alone', () => {
    const file = bookToDamage(scratchFolder())
    const noted = verified(file).head
    behindTheGuards(file, (db) =>
      db.exec("DELETE FROM log WHERE position > 8; UPDATE sqlite_sequence SET seq = 8 WHERE name = 'log'"),
    )
    const result = verified(file)
    expect(result).toMatchObject({ ok: true, entries: 8 })
    expect(result.head).not.toEqual(noted)
  })

  test('answers for a damaged file too, and never calls a book whole whose entries are not', () => {
    const folder = scratchFolder()
    const whole = bookToDamage(folder)
    const before = [...openLog(whole).rows()]
    const bytes = readFileSync(whole)
    const file = join(folder, 'damaged.fettlebook')
    const seen = { refused: 0, found: 0, harmless: 0 }
    fc.assert(
      fc.property(
        fc.nat(bytes.length - 1),
        fc.integer({ min: 1, max: 255 }),
        fc.constantFrom(1, 8, 512),
        (at, flip, run) => {
          const damaged = Buffer.from(bytes)
          for (let i = at; i < Math.min(at + run, damaged.length); i++) damaged[i] = damaged[i]! ^ flip
          writeFileSync(file, damaged)
          let log: Log
          try {
            log = openLog(file)
          } catch (error) {
            expect(error).toBeInstanceOf(NotABook)
            seen.refused++
            return
          }
          try {
            const result = log.verify()
            if (result.ok) {
              expect([...log.rows()]).toEqual(before)
              seen.harmless++
            } else seen.found++
          } finally {
            log.close()
          }
        },
      ),
      { numRuns: 300, seed: 7 },
    )
    expect(seen.found).toBeGreaterThan(20)
    expect(seen.refused).toBeGreaterThan(5)
  }, 60_000)
})

describe('an entry made here', () => {
  test('has an id of its own that sorts by when it was made, a salt of its own, and the present version of its kind', () => {
    const log = openLog(newFile())
    const draft = {
      type: 'note-written',
      occurredAt: '2026-06-14',
      hand: 'K.S.',
      source: 'form',
      recordedAt: clock,
      data: { text: 'x' },
    }
    const lines = Array.from({ length: 50 }, () => mint(draft, log.id))
    expect(new Set(lines.map(({ id }) => id)).size).toBe(50)
    expect(new Set(lines.map(({ salt }) => salt)).size).toBe(50)
    // RFC 9562, section 5.7: version 7 begins with the time, and sorts by it.
    for (const { id } of lines)
      expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/)
    expect(lines.map(({ id }) => id).sort()).toEqual(lines.map(({ id }) => id))
    expect(lines[0]).toMatchObject({ origin: log.id, version: 1, replaces: null })
    expect(must(log.append(lines, clock)).written).toHaveLength(50)
  })
})
