import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { kinds } from '../../events/index.ts'
import type { Line, Row } from '../../events/log.ts'
import { verbs } from '../../server/command-line.ts'
import { line, note, scratchFolder, strike } from '../events/lines.ts'
import { fettlebook, start } from './fettlebook.ts'

// Each test begins several processes, one after the other.
vi.setConfig({ testTimeout: 120_000 })

const jsonl = (lines: readonly unknown[]) => lines.map((each) => `${JSON.stringify(each)}\n`).join('')
const parsed = (text: string) =>
  text
    .split('\n')
    .filter(Boolean)
    .map((each) => JSON.parse(each) as Row)

/** A small boat: an engine with its meter, a task, two years of hours, a struck entry, an amended one, one written late. */
const boat: Line[] = [
  line(
    1,
    'book-set',
    { boat: 'Tern', zone: 'Europe/Stockholm' },
    { occurredAt: '2024-05-01', recordedAt: '2024-05-01T08:00:00Z' },
  ),
  line(
    2,
    'equipment-fitted',
    { equipment: 'engine', name: 'Engine', kind: 'engine', place: 'under the steps' },
    { occurredAt: '2024-05-01', recordedAt: '2024-05-01T08:01:00Z' },
  ),
  line(
    3,
    'meter-fitted',
    {
      meter: 'engine-hours',
      name: 'Engine hours',
      equipment: 'engine',
      counts: 'hours',
      kind: 'true running',
      reading: 1000,
    },
    { occurredAt: '2024-05-01', recordedAt: '2024-05-01T08:02:00Z' },
  ),
  line(
    4,
    'upkeep-set',
    {
      task: 'engine-oil',
      name: 'Oil and filter',
      equipment: 'engine',
      work: 'oil and filter changed',
      everyHours: 200,
      everyMonths: 12,
    },
    { occurredAt: '2024-05-01', recordedAt: '2024-05-01T08:03:00Z' },
  ),
  line(
    5,
    'service-done',
    {
      equipment: 'engine',
      work: 'oil and filter changed',
      cost: { value: 84.5, unit: 'EUR' },
      settingLeft: 'drain plug 25 N·m',
    },
    { occurredAt: '2024-06-01T10:00:00+02:00', recordedAt: '2024-06-01T10:00:00Z' },
  ),
  line(
    6,
    'hours-read',
    { meter: 'engine-hours', reading: { value: 1010, unit: 'h' } },
    { occurredAt: '2024-06-01T10:00:00+02:00', recordedAt: '2024-06-01T10:01:00Z' },
  ),
  line(
    7,
    'hours-read',
    { meter: 'engine-hours', reading: { value: 1110, unit: 'h' } },
    { occurredAt: '2024-09-01T10:00:00+02:00', recordedAt: '2024-09-05T10:00:00Z' },
  ),
  note(8, 'Alternator whines', { occurredAt: '2024-09-02T10:00:00+02:00', recordedAt: '2024-09-02T10:00:00Z' }),
  strike(9, 8, { occurredAt: '2024-09-03T10:00:00+02:00', recordedAt: '2024-09-03T10:00:00Z' }),
  note(10, 'Impeller spare borowed', { occurredAt: '2024-09-04T10:00:00+02:00', recordedAt: '2024-09-04T10:00:00Z' }),
  line(
    11,
    'note-written',
    { text: 'Impeller spare borrowed', why: 'spelling' },
    { occurredAt: '2024-09-04T10:00:00+02:00', recordedAt: '2024-09-04T11:00:00Z', replaces: 10 },
  ),
]

let template = ''

beforeAll(async () => {
  template = join(mkdtempSync(join(tmpdir(), 'fettlebook-test-')), 'book.sqlite')
  await bookOf(boat, template)
})
afterAll(() => rmSync(join(template, '..'), { recursive: true }))

/** A book that was written from these lines; default: a fresh copy of the one with that boat. */
async function bookOf(lines?: readonly unknown[], book = join(scratchFolder(), 'book.sqlite')): Promise<string> {
  if (!lines) copyFileSync(template, book)
  else expect(await fettlebook(['write', '--book', book], { input: jsonl(lines) })).toMatchObject({ code: 0, err: '' })
  return book
}

const rough = async (book: string) => (await fettlebook(['read', '--json', '--book', book])).out

test('--help lists every verb, and every verb says how it is used', async () => {
  const { code, out } = await fettlebook(['--help'])
  expect(code).toBe(0)
  const helps = await Promise.all(verbs.map(({ name }) => fettlebook([name, '--help'])))
  for (const [n, { name, about, options }] of verbs.entries()) {
    expect(out).toContain(`  ${name} `)
    expect(helps[n]).toMatchObject({ code: 0, err: '' })
    expect(helps[n]!.out).toContain(about)
    for (const option of Object.keys(options)) expect(helps[n]!.out).toContain(`--${option}`)
  }
})

test('every verb but schema takes --book, unless it makes a scratch copy; views take --json, --as-of and --as-known', () => {
  for (const { name, options } of verbs) {
    if (name !== 'schema' && name !== 'demo') expect([name, options.book?.type]).toEqual([name, 'string'])
    if (['read', 'due', 'equipment', 'hours'].includes(name))
      expect(Object.keys(options)).toEqual(expect.arrayContaining(['json', 'as-of', 'as-known']))
  }
})

test.each<[string, string[], string]>([
  ['no verb', [], 'Got no verb, expected one of serve, demo, sample, write, read'],
  ['an unknown verb', ['wirte'], 'Got "wirte", expected one of serve'],
  ['an unknown option', ['due', '--jsno'], 'Got the unknown option --jsno. Expected: fettlebook due [--book FILE]'],
  ['an option without its value', ['due', '--book'], 'Expected: fettlebook due [--book FILE]'],
  ['too many operands', ['write', 'a.jsonl', 'b.jsonl'], 'Got "b.jsonl" too much. Expected: fettlebook write [FILE]'],
  ['a port that is none', ['demo', '--port', '99999'], 'Got --port 99999, expected a number from 0 to 65535.'],
  [
    'fields that cannot be left out',
    ['read', '--json', '--without', 'occurredAt'],
    'Got --without "occurredAt", expected "hand" or fields of data',
  ],
  ['fields left out of words', ['read', '--without', 'hand'], 'expected it with --json'],
  ['an unknown kind', ['read', '--kind', 'hours'], 'Got --kind hours, expected one of passage-begun'],
  ['two books to verify', ['verify', 'a', '--book', 'b'], 'Got more than one of FILE, --book and --lines'],
])('%s is misuse: exit code 2, and a sentence that says what was expected', async (_, args, sentence) => {
  const ran = await fettlebook(args)
  expect(ran).toMatchObject({ code: 2, out: '' })
  expect(ran.err).toContain(sentence)
})

test('a moment or a span that cannot be read is misuse', async () => {
  const book = await bookOf()
  for (const [option, word] of [
    ['--as-of', 'as-of: got "soon"'],
    ['--as-known', 'as-known: got "soon"'],
    ['--since', 'Got --since soon'],
    ['--until', 'Got --until soon'],
  ] as const) {
    const ran = await fettlebook(['read', '--book', book, option, 'soon'])
    expect(ran).toMatchObject({ code: 2, out: '' })
    expect(ran.err).toContain(word)
  }
})

test('a book that is not there, and a file that is no book, are refused with a sentence', async () => {
  const folder = scratchFolder()
  const none = join(folder, 'none.sqlite')
  for (const verb of ['read', 'due', 'equipment', 'hours', 'verify']) {
    const ran = await fettlebook([verb, '--book', none])
    expect(ran).toMatchObject({ code: 1, out: '' })
    expect(ran.err).toContain(`There is no book at ${none}.`)
  }
  const text = join(folder, 'shopping.txt')
  writeFileSync(text, 'belts, impeller, two litres of oil and a great deal of patience\n'.repeat(20))
  const ran = await fettlebook(['verify', text])
  expect(ran.code).toBe(1)
  expect(ran.err).toContain(`${text} is not a Fettlebook book.`)
})

test('where no book is named, it is the one in the folder for data of this user', async () => {
  const home = scratchFolder()
  const env = { HOME: home, XDG_DATA_HOME: join(home, 'data') }
  expect((await fettlebook(['write'], { input: jsonl(boat), env })).code).toBe(0)
  const file = join(home, 'data/fettlebook/book.sqlite')
  expect(statSync(join(home, 'data/fettlebook')).mode & 0o077).toBe(0)
  expect((await fettlebook(['read', '--json'], { env })).out).toBe(await rough(file))
})

test('what is written is read again, field by field, with what the book added', async () => {
  const rows = parsed(await rough(await bookOf()))
  expect(rows.map(({ position: _, receivedAt: __, link: ___, ...author }) => author)).toEqual(boat)
  expect(rows.map(({ position }) => position)).toEqual(boat.map((_, n) => n + 1))
  for (const { receivedAt, link } of rows) {
    expect(receivedAt).toMatch(/^\d{4}-\d\d-\d\dT.*Z$/)
    expect(link).toMatch(/^[0-9a-f]{64}$/)
  }
})

test('the whole log into an empty book gives the same entries and views; written once more it changes nothing', async () => {
  const first = await bookOf()
  const copy = await rough(first)
  const second = join(scratchFolder(), 'second.sqlite')
  expect(await fettlebook(['write', '--book', second], { input: copy })).toMatchObject({
    code: 0,
    out: expect.stringContaining('Wrote 11 entries.'),
  })
  const again = await fettlebook(['write', '--book', second], { input: copy })
  expect(again).toMatchObject({ code: 0, out: expect.stringContaining('Wrote 0 entries. 11 entries already there.') })
  const author = (text: string) => parsed(text).map(({ receivedAt: _, link: __, ...rest }) => rest)
  expect(author(await rough(second))).toEqual(author(copy))
  for (const view of [
    ['read'],
    ['due', '--json', '--as-of', '2024-10-01'],
    ['hours', '--json'],
    ['equipment', '--json', '--as-of', '2024-10-01'],
  ]) {
    const [one, two] = await Promise.all([first, second].map((book) => fettlebook([...view, '--book', book])))
    expect(one!.code).toBe(0)
    expect(two).toEqual(one)
  }
})

test('a batch with wrong lines is refused whole: each with its number and why', async () => {
  const book = await bookOf()
  const before = await rough(book)
  const [first] = boat
  const input = [
    JSON.stringify(note(20, 'good')),
    '',
    '{"type": "note-written", ',
    JSON.stringify({ ...note(21, 'x'), type: 'note-sung' }),
    JSON.stringify({ ...note(22, 'x'), version: 7 }),
    JSON.stringify(line(23, 'hours-read', { meter: 'engine-hours', reading: { value: 62, unit: 'A' } } as never)),
    JSON.stringify(line(24, 'hours-read', { meter: 'engine-hours', reading: { value: -5, unit: 'h' } })),
    JSON.stringify(line(25, 'hours-read', { meter: 'genset-hours', reading: { value: 5, unit: 'h' } })),
    JSON.stringify(note(26, 'x', { occurredAt: '2199-01-01T00:00:00Z' })),
    JSON.stringify(line(27, 'defect-found', { equipment: 'windlass', what: 'slips', matters: 'some' })),
    '42',
    '[]',
    `{"text":"${'a'.repeat(10 * 1024 * 1024)}"}`,
    JSON.stringify({ ...note(28, 'x'), colour: 'red' }),
  ].join('\n')
  const ran = await fettlebook(['write', '--book', book], { input })
  expect(ran).toMatchObject({ code: 1, out: '' })
  const told = new Map(
    ran.err.split('\n').flatMap((text) => {
      const found = /^line (\d+): (.*)$/.exec(text)
      return found ? [[Number(found[1]), found[2]!] as const] : []
    }),
  )
  expect([...told.keys()]).toEqual([3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14])
  expect(told.get(3)).toContain('which is no JSON; expected one entry')
  expect(told.get(4)).toContain('Got the unknown kind "note-sung", expected one of')
  expect(told.get(5)).toContain('Got version 7 of "note-written", expected at most 1')
  expect(told.get(6)).toContain('got "A", expected one of h')
  expect(told.get(7)).toContain('got -5 h, expected 0 to')
  expect(told.get(8)).toContain('Meter: got "genset-hours", which this book does not know; it knows engine-hours.')
  expect(told.get(9)).toContain("which lies ahead of this book's clock")
  expect(told.get(10)).toContain('Equipment: got "windlass"')
  expect(told.get(11)).toContain('Got 42, expected an entry')
  expect(told.get(12)).toContain('Got [], expected an entry')
  expect(told.get(13)).toContain('expected one entry of at most 1048576')
  expect(told.get(14)).toContain('Got the unknown field "colour"')
  expect(ran.err).toContain('Nothing was written: 12 of 13 lines refused.')
  expect(await rough(book)).toBe(before)

  const clash = await fettlebook(['write', '--book', book], {
    input: jsonl([note(29, 'good'), { ...first, hand: 'X.' }]),
  })
  expect(clash).toMatchObject({ code: 1, err: expect.stringMatching(/^line 2: The id .* is in the book already/) })
  expect(await rough(book)).toBe(before)
})

test('lines that hang on one that is refused are not blamed for it', async () => {
  const book = join(scratchFolder(), 'book.sqlite')
  const lines = boat.map((each) =>
    each.type === 'meter-fitted' ? { ...each, data: { ...each.data, counts: 'days' } } : each,
  )
  const ran = await fettlebook(['write', '--book', book], { input: jsonl(lines) })
  expect(ran.code).toBe(1)
  expect(ran.err.match(/^line \d+/gm)).toEqual(['line 3'])
})

test('what a line may leave out is filled in, the hand from --hand', async () => {
  const book = join(scratchFolder(), 'book.sqlite')
  const bare = { type: 'note-written', occurredAt: '2024-06-01', data: { text: 'first line of a book' } }
  const without = await fettlebook(['write', '--book', book], { input: jsonl([bare]) })
  expect(without).toMatchObject({ code: 1, err: expect.stringContaining('line 1: Hand: got nothing') })
  const file = join(scratchFolder(), 'lines.jsonl')
  writeFileSync(file, jsonl([bare, { ...bare, hand: 'T.B.' }]))
  expect(await fettlebook(['write', file, '--book', book, '--hand', 'K.S.'])).toMatchObject({ code: 0, err: '' })
  const rows = parsed(await rough(book))
  expect(rows.map(({ hand, source, version }) => ({ hand, source, version }))).toEqual([
    { hand: 'K.S.', source: 'command line', version: 1 },
    { hand: 'T.B.', source: 'command line', version: 1 },
  ])
  expect(new Set(rows.map(({ id }) => id)).size).toBe(2)
})

test('a file that cannot be read is refused; no lines at all write nothing, and that is good', async () => {
  const book = join(scratchFolder(), 'book.sqlite')
  const missing = await fettlebook(['write', '/nowhere/lines.jsonl', '--book', book])
  expect(missing).toMatchObject({
    code: 1,
    err: expect.stringContaining('Got /nowhere/lines.jsonl, which cannot be read'),
  })
  expect(await fettlebook(['write', '--book', book], { input: '\n\n' })).toMatchObject({
    code: 0,
    out: expect.stringContaining('Wrote 0 entries.'),
  })
})

test("the log in words tells what was struck, amended and written late, in ship's time", async () => {
  const { code, out } = await fettlebook(['read', '--book', await bookOf()])
  expect(code).toBe(0)
  expect(out).toContain('2024-09-01\n  10.00    Hours read  ')
  expect(out).toContain('Written 2024-09-05 12.00, four days late.')
  expect(out).toMatch(/10\.00 {4}Note {2}Alternator whines\. {2}K\.S\. {2}STRUCK\n +Struck 2024-09-03 12\.00, K\.S\./)
  expect(out).toMatch(
    /Note {2}Impeller spare borrowed\. {2}K\.S\.\n +Amended 2024-09-04 13\.00, K\.S\.: spelling\n +Was: Impeller spare borowed\./,
  )
  expect(out).toMatch(/\n9 entries\n$/)
})

test('filters choose fair entries; as JSON all versions and strikes of these come along', async () => {
  const book = await bookOf()
  const positions = async (...filter: string[]) => {
    const ran = await fettlebook(['read', '--json', '--book', book, ...filter])
    expect(ran).toMatchObject({ code: 0, err: '' })
    return parsed(ran.out).map(({ position }) => position)
  }
  expect(await positions('--kind', 'hours-read')).toEqual([6, 7])
  expect(await positions('--kind', 'hours-read', '--kind', 'service-done')).toEqual([5, 6, 7])
  expect(await positions('--kind', 'note-written')).toEqual([8, 9, 10, 11])
  expect(await positions('--kind', 'entry-struck')).toEqual([9])
  expect(await positions('--struck')).toEqual([8, 9])
  expect(await positions('--equipment', 'engine')).toEqual([2, 3, 4, 5, 6, 7])
  expect(await positions('--since', '2024-09-02')).toEqual([8, 9, 10, 11])
  expect(await positions('--since', '2024-06-01', '--until', '2024-09-01')).toEqual([5, 6, 7])
  expect(await positions('--until', '2024-06-01T09:59:59+02:00')).toEqual([1, 2, 3, 4])
  expect(await positions('--as-of', '2024-06-01')).toEqual([1, 2, 3, 4, 5, 6])
  expect(await positions('--as-known', '2024-09-04T10:30:00Z')).toEqual([1, 2, 3, 4, 5, 6, 8, 9, 10])
  const unknown = await fettlebook(['read', '--book', book, '--equipment', 'windlass'])
  expect(unknown).toMatchObject({ code: 1, err: expect.stringContaining('it knows engine.') })
})

test('a copy without costs and hands still verifies and still writes; a changed character is found', async () => {
  const book = await bookOf()
  const { code, out } = await fettlebook(['read', '--json', '--book', book, '--without', 'data.cost,hand'])
  expect(code).toBe(0)
  expect(out).not.toMatch(/84\.5|K\.S\./)
  const folder = scratchFolder()
  const copy = join(folder, 'copy.jsonl')
  writeFileSync(copy, out)
  const proved = await fettlebook(['verify', '--lines', copy])
  const whole = await fettlebook(['verify', book])
  expect(proved).toMatchObject({ code: 0, err: '' })
  expect(proved.out).toContain('11 entries, the last at position 11')
  expect(proved.out).toBe(whole.out)
  expect((await fettlebook(['write', copy, '--book', join(folder, 'other.sqlite')])).code).toBe(0)

  writeFileSync(copy, out.replace('under the steps', 'under the stepz'))
  const changed = await fettlebook(['verify', '--lines', copy])
  expect(changed).toMatchObject({ code: 1, out: expect.stringContaining('Position 2 (equipment-fitted') })
  writeFileSync(copy, `${out.split('\n').toSpliced(4, 1).join('\n')}{broken\n{}\n`)
  const dropped = await fettlebook(['verify', '--lines', copy, '--json'])
  expect(dropped.code).toBe(1)
  expect((JSON.parse(dropped.out) as { problems: string[] }).problems).toEqual([
    expect.stringContaining('Line 11: Got "{broken"'),
    expect.stringContaining('Line 12: It lacks position'),
    expect.stringContaining('After position 4 comes 6'),
    expect.stringContaining('Position 6'),
  ])
})

test('verify names what was changed in the book behind its back', async () => {
  const book = await bookOf()
  const good = await fettlebook(['verify', '--book', book])
  expect(good).toMatchObject({ code: 0, err: '' })
  expect(good.out).toMatch(/^11 entries, the last at position 11\nhead [0-9a-f]{64}\n/)
  const raw = new Database(book)
  raw.exec('DROP TRIGGER log_is_never_updated')
  raw.prepare("UPDATE log SET hand = 'X.' WHERE position = 3").run()
  raw.close()
  const bad = await fettlebook(['verify', '--book', book])
  expect(bad.code).toBe(1)
  expect(bad.out).toContain('Position 3 (meter-fitted')
  expect(bad.out).toContain('"log_is_never_updated" is gone')
})

test('rows that cannot be read are named, the rest is printed, and the exit code says so', async () => {
  const book = await bookOf()
  const raw = new Database(book)
  raw.exec('DROP TRIGGER log_is_never_updated')
  raw.prepare("UPDATE log SET type = 'kind-of-the-future' WHERE position = 8").run()
  raw.prepare("UPDATE log SET data = '{' WHERE position = 7").run()
  raw.close()
  for (const form of [[], ['--json']]) {
    const ran = await fettlebook(['read', '--book', book, ...form])
    expect(ran.code).toBe(1)
    expect(ran.err).toContain('position 7 (hours-read): ')
    expect(ran.err).toContain('position 8 (kind-of-the-future): Got the unknown kind')
    expect(ran.err).toContain('2 entries could not be read.')
    expect(ran.out).toContain('Impeller spare borrowed')
  }
})

test('schema prints JSON Schema with a branch for every kind, and its examples are taken in', async () => {
  const { code, out } = await fettlebook(['schema'])
  expect(code).toBe(0)
  const schema = JSON.parse(out) as {
    $schema: string
    oneOf: { properties: { type: { const: string } }; examples: { type: string }[] }[]
  }
  expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema')
  expect(schema.oneOf.map(({ properties }) => properties.type.const)).toEqual(kinds.map(({ type }) => type))
  const notes = schema.oneOf.flatMap(({ examples }) => examples).filter(({ type }) => type === 'book-set')
  const book = join(scratchFolder(), 'book.sqlite')
  expect(notes.length).toBeGreaterThan(0)
  expect(await fettlebook(['write', '--book', book], { input: jsonl(notes) })).toMatchObject({ code: 0, err: '' })
})

test('due --json is an array with what other programs need of each task, as it was and as it was known', async () => {
  const book = await bookOf()
  const due = async (...past: string[]) => {
    const ran = await fettlebook(['due', '--json', '--book', book, ...past])
    expect(ran).toMatchObject({ code: 0, err: '' })
    return JSON.parse(ran.out) as Record<string, unknown>[]
  }
  const [task, ...none] = await due('--as-of', '2024-09-01T12:00:00+02:00')
  expect(none).toEqual([])
  expect(Object.keys(task!)).toEqual([
    'task',
    'equipment',
    'name',
    'every',
    'last',
    'usedShare',
    'left',
    'state',
    'forecast',
  ])
  // 100 of 200 hours since the service; its year ends on 1 June 2025, 273 days after 1 September 2024.
  expect(task).toMatchObject({
    task: 'engine-oil',
    equipment: 'engine',
    name: 'Oil and filter',
    every: { hours: 200, months: 12 },
    last: { occurredAt: '2024-06-01T10:00:00+02:00', entry: boat[4]!.id },
    usedShare: 0.5,
    left: { hours: 100, days: 273 },
    state: 'later',
  })
  expect((await due('--as-of', '2024-09-01T12:00:00+02:00', '--as-known', '2024-09-01'))[0]).toMatchObject({
    left: { hours: 200 },
  })
  expect((await due())[0]).toMatchObject({ state: 'overdue' })
  const words = await fettlebook(['due', '--book', book])
  expect(words.out).toMatch(/^State +Task[\s\S]*overdue +Oil and filter +engine/)
})

test('hours and equipment are printed in words and as JSON', async () => {
  const book = await bookOf()
  const [hours, meters, list, one] = await Promise.all([
    fettlebook(['hours', '--json', '--book', book]),
    fettlebook(['hours', '--book', book]),
    fettlebook(['equipment', '--json', '--book', book, '--as-of', '2024-10-01']),
    fettlebook(['equipment', 'engine', '--book', book, '--as-of', '2024-10-01']),
  ])
  expect(JSON.parse(hours!.out)).toMatchObject([
    {
      meter: 'engine-hours',
      equipment: 'engine',
      counts: 'hours',
      last: { reading: 1110, at: '2024-09-01T10:00:00+02:00', entry: boat[6]!.id },
      doubted: [],
    },
  ])
  expect(meters!.out).toContain('Engine hours')
  expect(JSON.parse(list!.out)).toMatchObject([
    {
      equipment: 'engine',
      name: 'Engine',
      kind: 'engine',
      place: 'under the steps',
      removed: false,
      hoursSinceFitted: 110,
      settings: [{ left: 'drain plug 25 N·m', entry: boat[4]!.id }],
    },
  ])
  expect(one!.out).toMatch(/^Engine \(engine\), engine, under the steps\nfitted 2024-05-01, 110\.0 h since\n/)
  expect(one!.out).toContain('left drain plug 25 N·m, 2024-06-01')
  expect(one!.out).toContain('Hours read')
  expect(await fettlebook(['equipment', 'mast', '--book', book])).toMatchObject({
    code: 1,
    err: 'Got "mast", which this book does not know; it knows engine.\n',
  })
})

test('hours that nobody counted are not passed over: what ran before its meter ran at least that', async () => {
  const later = boat.map((each) => (each.type === 'meter-fitted' ? { ...each, occurredAt: '2024-06-01' } : each))
  const book = await bookOf(later)
  const { out } = await fettlebook(['equipment', '--book', book, '--as-of', '2024-10-01'])
  expect(out).toMatch(/^Engine .* at least 110\.0 h$/m)
  const json = JSON.parse((await fettlebook(['equipment', '--json', '--book', book])).out) as unknown
  expect(json).toMatchObject([{ hoursSinceFitted: 110, hoursCountedFrom: '2024-06-01T00:00:00+02:00' }])
})

test('what an entry says cannot steer the terminal', async () => {
  const book = await bookOf([note(1, 'look: \u001b[2Jgone \u009b31m')])
  const { out } = await fettlebook(['read', '--book', book])
  expect(out).toContain('look: ?[2Jgone ?31m')
  const refused = await fettlebook(['write', '--book', book], {
    input: jsonl([{ ...note(2, 'x'), occurredAt: '\u001b[2J' }]),
  })
  expect(refused.err).toContain('?[2J')
})

test('a reader that closes the pipe ends a long export without a complaint', async () => {
  const many = Array.from({ length: 4000 }, (_, n) => note(n + 1, `entry ${n} ${'.'.repeat(300)}`))
  const child = start(['read', '--json', '--book', await bookOf(many)])
  child.stdout!.once('data', () => child.stdout!.destroy())
  expect(await child.ran).toMatchObject({ code: 0, err: '' })
})

test('a damaged file is told as that, and not as a fault of the program', async () => {
  const many = Array.from({ length: 200 }, (_, n) => note(n + 1, `entry ${n} ${'.'.repeat(300)}`))
  const book = await bookOf(many)
  const bytes = readFileSync(book)
  // The first page holds the tables' names; from the fourth on lie rows.
  writeFileSync(book, bytes.fill(0xa5, 3 * 4096, 20 * 4096))
  for (const args of [['read'], ['due'], ['verify'], ['write', '--hand', 'K.S.']]) {
    const ran = await fettlebook([...args, '--book', book], { input: jsonl([note(500, 'one more')]) })
    expect(ran.code).toBe(1)
    expect(`${ran.out}${ran.err}`).toContain('malformed')
    expect(ran.err).not.toContain('fault of the program')
  }
})

test('a book cannot be begun in a folder that is not there', async () => {
  const folder = join(scratchFolder(), 'made')
  const ran = await fettlebook(['write', '--book', join(folder, 'deep/book.sqlite')], { input: jsonl(boat) })
  expect(ran).toMatchObject({ code: 1, err: expect.stringContaining('could not be opened as a book') })
  mkdirSync(folder)
  const onFolder = await fettlebook(['write', '--book', folder], { input: jsonl(boat) })
  expect(onFolder).toMatchObject({ code: 1, err: expect.stringContaining('could not be opened as a book') })
})

test('the program is one that a shell can run', () => {
  const main = readFileSync(new URL('../../server/main.ts', import.meta.url), 'utf8')
  expect(main.startsWith('#!/usr/bin/env node\n')).toBe(true)
})
