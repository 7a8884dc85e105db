import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { openLog, type Row, withhold } from '../../events/log.ts'
import { type Book, openBook, type Written } from '../../server/book.ts'
import { elsewhere, frozen, idOf, line, note, scratchFolder, strike } from '../events/lines.ts'

const noon = Date.parse('2026-06-20T12:00:00Z')

/** A book in a file of its own, whose clock stands still at noon unless it is moved. */
function newBook(file = join(scratchFolder(), 'book.fettlebook')): {
  book: Book
  clock: { now: number }
  file: string
} {
  const clock = { now: noon }
  return { book: openBook(openLog(file), () => clock.now), clock, file }
}

const must = (written: Written): Row[] => {
  if (!written.ok) throw new Error(JSON.stringify(written.refused))
  return written.written
}

/** The sentences of a refusal, by index of the line; and the book is as it was before. */
function refusedBy(book: Book, attempt: () => Written) {
  const before = [...book.log.rows()]
  const answer = attempt()
  if (answer.ok) throw new Error('It was written.')
  expect([...book.log.rows()]).toEqual(before)
  expect(book.log.verify().ok).toBe(true)
  return answer.refused
}
const problems = (refused: ReturnType<typeof refusedBy>) =>
  refused.map(({ index, refusals }) => [index, ...refusals.map(({ field, problem }) => `${field}: ${problem}`)])

const common = { hand: 'K.S.', source: 'form' }
const fitted = (equipment: string) => ({
  type: 'equipment-fitted',
  occurredAt: '2026-05-01',
  ...common,
  data: { equipment, name: equipment, kind: 'engine' },
})
const metered = (meter: string, equipment: string) => ({
  type: 'meter-fitted',
  occurredAt: '2026-05-01',
  ...common,
  data: { meter, name: meter, equipment, counts: 'hours', kind: 'true running', reading: 0 },
})
const hours = (value: number, more: Record<string, unknown> = {}) => ({
  type: 'hours-read',
  occurredAt: '2026-06-20T09:00:00+02:00',
  ...common,
  data: { meter: 'engine-hours', reading: { value, unit: 'h' } },
  ...more,
})
const noted = (text: string, more: Record<string, unknown> = {}) => ({
  type: 'note-written',
  occurredAt: '2026-06-20T09:00:00+02:00',
  ...common,
  data: { text },
  ...more,
})
const struck = (replaces: string, more: Record<string, unknown> = {}) => ({
  type: 'entry-struck',
  occurredAt: '2026-06-20T11:00:00Z',
  ...common,
  replaces,
  data: {},
  ...more,
})

describe('what a person writes', () => {
  test('gets its id, its salt, its origin and the time of writing from the book', () => {
    const { book } = newBook()
    const [row] = must(book.write([noted('Oil at the full mark.')]))
    expect(row).toMatchObject({
      position: 1,
      origin: book.log.id,
      recordedAt: '2026-06-20T12:00:00.000Z',
      receivedAt: '2026-06-20T12:00:00.000Z',
      version: 1,
      replaces: null,
      occurredAt: '2026-06-20T09:00:00+02:00',
    })
    expect(row!.id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7/)
    expect(row!.salt).toMatch(/^[0-9a-f]{32}$/)
    expect([...book.log.rows()]).toEqual([row])
    expect(book.read().entries[0]).toMatchObject({ id: row!.id, data: { text: 'Oil at the full mark.' } })
  })

  test('may say when it was written down, and under which id', () => {
    const { book } = newBook()
    const [row] = must(book.write([{ ...noted('x'), recordedAt: '2026-06-20T10:00:00+02:00', id: idOf(7) }]))
    expect(row).toMatchObject({
      id: idOf(7),
      recordedAt: '2026-06-20T10:00:00+02:00',
      receivedAt: '2026-06-20T12:00:00.000Z',
    })
  })

  test('is not changed by writing it', () => {
    const { book } = newBook()
    expect(() => must(book.write(frozen([fitted('engine'), noted('x')])))).not.toThrow()
    expect(() => must(book.takeIn(frozen([noted('y', { hand: 'M.B.' })])))).not.toThrow()
  })

  test('is in the fair log at once; the fair log is made again only when something was added', () => {
    const { book, clock } = newBook()
    const empty = book.timeline()
    expect(empty.told).toEqual([])
    must(book.write([noted('one')]))
    const one = book.timeline()
    expect(one.told).toHaveLength(1)
    expect(book.timeline()).toBe(one)
    expect(book.timeline({})).toBe(one)
    expect(book.timeline({ asOf: noon - 86_400_000 })).toBe(book.timeline({ asOf: noon - 86_400_000 }))
    expect(book.timeline({ asOf: noon - 86_400_000 }).told).toEqual([])
    expect(book.timeline({ asKnown: noon - 86_400_000 })).not.toBe(book.timeline({ asOf: noon - 86_400_000 }))
    clock.now += 60_000
    must(book.write([noted('two')]))
    expect(book.timeline()).not.toBe(one)
    expect(book.timeline().told).toHaveLength(2)
    for (let past = 0; past < 50; past++) expect(book.timeline({ asKnown: noon + past }).told).toHaveLength(1)
  })

  test('is seen by another program with the same book open', () => {
    const { book, file } = newBook()
    const other = openBook(openLog(file), () => noon)
    expect(other.timeline().told).toEqual([])
    must(book.write([fitted('engine'), noted('one')]))
    expect(other.timeline().told).toHaveLength(2)
    must(other.write([noted('about it', { data: { text: 'x', equipment: 'engine' } })]))
    expect(book.timeline().told).toHaveLength(3)
  })

  test('that cannot be is refused field by field, and none of the batch is written', () => {
    const { book } = newBook()
    const refused = refusedBy(book, () =>
      book.write([
        noted('good'),
        noted('', { hand: '' }),
        noted(''),
        { ...noted('x'), type: 'whale-sighted' },
        noted('x', { occurredAt: '2026-02-30' }),
      ]),
    )
    expect(problems(refused)).toEqual([
      [1, 'hand: Hand: got "", expected some text.'],
      [2, 'text: Note: got "", expected some text.'],
      [3, expect.stringMatching(/^type: Got the unknown kind "whale-sighted", expected one of /)],
      [4, expect.stringMatching(/^occurredAt: Occurred at: got "2026-02-30", expected a time/)],
    ])
  })
})

describe('equipment, meters and tasks', () => {
  test('that the book does not know are refused, and it is said which ones it knows', () => {
    const { book } = newBook()
    expect(problems(refusedBy(book, () => book.write([hours(12)])))).toEqual([
      [
        0,
        'meter: Meter: got "engine-hours", which this book does not know; it knows none yet. Write the meter first, or correct the name.',
      ],
    ])
    must(book.write([fitted('engine'), fitted('generator'), metered('engine-hours', 'engine')]))
    expect(must(book.write([hours(12)]))).toHaveLength(1)
    const service = {
      type: 'service-done',
      occurredAt: '2026-06-20',
      ...common,
      data: { equipment: 'engin', work: 'oil changed' },
    }
    expect(problems(refusedBy(book, () => book.write([service])))).toEqual([
      [
        0,
        'equipment: Equipment: got "engin", which this book does not know; it knows engine, generator. Write the equipment first, or correct the name.',
      ],
    ])
    const retired = { type: 'upkeep-retired', occurredAt: '2026-06-20', ...common, data: { task: 'engine-oil' } }
    expect(problems(refusedBy(book, () => book.takeIn([retired])))).toEqual([
      [
        0,
        'task: Task: got "engine-oil", which this book does not know; it knows none yet. Write the upkeep task first, or correct the name.',
      ],
    ])
  })

  test('may be introduced by a later line of the same batch', () => {
    const { book } = newBook()
    expect(must(book.takeIn([hours(12), metered('engine-hours', 'engine'), fitted('engine')]))).toHaveLength(3)
  })

  test('of which there are many are not all told', () => {
    const { book } = newBook()
    must(book.write(Array.from({ length: 40 }, (_, n) => fitted(`pump-${String(n).padStart(2, '0')}`))))
    const [[, problem]] = problems(
      refusedBy(book, () => book.write([noted('x', { data: { text: 'x', equipment: 'mast' } })])),
    ) as [[number, string]]
    expect(problem).toContain('pump-00, pump-01,')
    expect(problem).toContain('pump-11 and 28 more.')
  })

  test('stay known when the entry that introduced them is struck or amended: what refers to them still stands', () => {
    const { book } = newBook()
    const [engine] = must(book.write([fitted('engine')]))
    must(book.write([struck(engine!.id)]))
    expect(must(book.write([noted('x', { data: { text: 'x', equipment: 'engine' } })]))).toHaveLength(1)
  })

  test('that a copy leaves out do not become known under another name', () => {
    const { book } = newBook()
    const left = withhold(line(1, 'equipment-fitted', { equipment: 'engine', name: 'Engine', kind: 'engine' }), [
      'data.equipment',
    ])
    must(book.takeIn([left]))
    expect(
      refusedBy(book, () => book.write([noted('x', { data: { text: 'x', equipment: 'undefined' } })])),
    ).toHaveLength(1)
  })
})

describe('the clock', () => {
  test('refuses what lies more than a day ahead of it, by either time, and says what it shows', () => {
    const { book } = newBook()
    const within = noted('x', { occurredAt: '2026-06-21T12:00:00Z' })
    expect(must(book.write([within]))).toHaveLength(1)
    expect(
      problems(refusedBy(book, () => book.write([noted('x', { occurredAt: '2026-06-21T14:00:01+02:00' })]))),
    ).toEqual([
      [
        0,
        "occurredAt: Got 2026-06-21T14:00:01+02:00, which lies ahead of this book's clock (2026-06-20T12:00:00.000Z); expected a time that has passed. Check the date, or the clock aboard.",
      ],
    ])
    expect(problems(refusedBy(book, () => book.takeIn([noted('x', { recordedAt: '2027-01-01T00:00:00Z' })])))).toEqual([
      [0, expect.stringMatching(/^recordedAt: Got 2027-01-01T00:00:00Z, which lies ahead/)],
    ])
  })

  test('takes today and tomorrow as days alone, for it may be tomorrow already where she lies, and no day after', () => {
    const { book } = newBook()
    expect(
      must(book.write([noted('x', { occurredAt: '2026-06-20' }), noted('x', { occurredAt: '2026-06-21' })])),
    ).toHaveLength(2)
    expect(refusedBy(book, () => book.write([noted('x', { occurredAt: '2026-06-22' })]))).toHaveLength(1)
  })

  test('that went back is no reason to refuse what is in the book already', () => {
    const { book, clock } = newBook()
    must(book.write([noted('x')]))
    clock.now -= 12 * 3600_000
    expect(book.takeIn([...book.log.rows()])).toEqual({ ok: true, written: [], already: 1 })
    expect(must(book.write([noted('y')]))[0]!.position).toBe(2)
    expect(book.log.verify().ok).toBe(true)
  })
})

describe('a zone', () => {
  test('that does not exist is refused, where it is set', () => {
    const { book } = newBook()
    const set = (zone: string) => ({ type: 'book-set', occurredAt: '2026-05-01', ...common, data: { zone } })
    expect(problems(refusedBy(book, () => book.write([set('Baltic/Gotska_Sandon')])))).toEqual([
      [0, `zone: Ship's time: got "Baltic/Gotska_Sandon", expected the name of a time zone, such as Europe/Stockholm.`],
    ])
    expect(must(book.write([set('Europe/Mariehamn')]))).toHaveLength(1)
    expect(book.timeline().zoneAt(noon)).toBe('Europe/Mariehamn')
  })
})

describe('an amendment made from a form that is out of date', () => {
  const withOne = () => {
    const made = newBook()
    must(made.book.write([fitted('engine'), metered('engine-hours', 'engine')]))
    const [first] = must(made.book.write([hours(1342)]))
    return { ...made, first: first! }
  }
  const isStale = (book: Book, attempt: () => Written) => {
    const [refused] = refusedBy(book, attempt)
    expect(refused!.stale).toBe(true)
    expect(refused!.refusals.map(({ field }) => field)).toEqual(['replaces'])
    return refused!.refusals[0]!.problem
  }

  test('is refused as stale when the entry was amended meanwhile', () => {
    const { book, first } = withOne()
    must(book.write([hours(1324, { replaces: first.id })]))
    expect(isStale(book, () => book.write([hours(1234, { replaces: first.id })]))).toMatch(
      /^This entry has been amended or struck since the form was opened\. What you typed is kept/,
    )
    expect(isStale(book, () => book.write([struck(first.id)]))).toMatch(/amended or struck/)
  })

  test('is refused as stale when the entry was struck meanwhile', () => {
    const { book, first } = withOne()
    const [strikeRow] = must(book.write([struck(first.id)]))
    isStale(book, () => book.write([hours(1324, { replaces: first.id })]))
    isStale(book, () => book.write([struck(first.id)]))
    // The strike itself can be struck: the entry is revived, and can be amended again.
    must(book.write([struck(strikeRow!.id)]))
    expect(must(book.write([hours(1324, { replaces: first.id })]))).toHaveLength(1)
  })

  test('is written when it names the version that holds', () => {
    const { book, first } = withOne()
    const [second] = must(book.write([hours(1324, { replaces: first.id })]))
    const [third] = must(book.write([hours(1243, { replaces: second!.id })]))
    expect(book.timeline().find(first.id)!.told.id).toBe(third!.id)
    expect(must(book.write([struck(third!.id)]))).toHaveLength(1)
    expect(book.timeline().find(first.id)!.struck).not.toBeNull()
  })

  test('is refused as stale when another program wrote meanwhile', () => {
    const { book, first, file } = withOne()
    const other = openBook(openLog(file), () => noon)
    must(other.write([hours(1324, { replaces: first.id })]))
    isStale(book, () => book.write([hours(1234, { replaces: first.id })]))
  })

  test('of an entry that is not in the book is refused as such', () => {
    const { book } = withOne()
    expect(isStale(book, () => book.write([hours(1324, { replaces: idOf(99) })]))).toMatch(
      /is not in the book\. Open the Log/,
    )
  })

  test('may strike or amend either rival of a conflict, whichever holds', () => {
    for (const which of [0, 1] as const) {
      for (const how of ['strike', 'amend'] as const) {
        const { book, first } = withOne()
        const rivals = [hours(1324), hours(1234)].map((draft, n) => ({
          ...draft,
          id: idOf(n + 1),
          recordedAt: `2026-06-20T1${n}:00:00Z`,
          replaces: first.id,
        }))
        must(book.takeIn(rivals))
        expect(
          book
            .timeline()
            .find(first.id)!
            .conflict.map((rival) => rival.id),
        ).toEqual([idOf(2), idOf(1)])
        must(book.write([how === 'strike' ? struck(rivals[which]!.id) : hours(1243, { replaces: rivals[which]!.id })]))
        const after = book.timeline().find(first.id)!
        if (how === 'strike') {
          expect(after.conflict).toEqual([])
          expect(after.told.id).toBe(rivals[1 - which]!.id)
        }
      }
    }
  })

  test('says what is wrong with its fields at the same time', () => {
    const { book, first } = withOne()
    must(book.write([hours(1324, { replaces: first.id })]))
    const [refused] = refusedBy(book, () => book.write([{ ...hours(-1), replaces: first.id }]))
    expect(refused!.stale).toBe(true)
    expect(refused!.refusals.map(({ field }) => field)).toEqual(['reading', 'replaces'])
  })

  test('comes in from elsewhere all the same: two copies of a book cannot ask each other', () => {
    const { book, first } = withOne()
    must(book.write([hours(1324, { replaces: first.id })]))
    expect(must(book.takeIn([hours(1234, { replaces: first.id })]))).toHaveLength(1)
    expect(book.timeline().find(first.id)!.conflict).toHaveLength(2)
    expect(must(book.takeIn([hours(1, { replaces: idOf(99) })]))).toHaveLength(1)
    expect(book.timeline().problems).toHaveLength(1)
  })
})

describe('lines taken in from elsewhere', () => {
  const least = { type: 'note-written', occurredAt: '2026-06-20T09:00:00+02:00', hand: 'M.B.', data: { text: 'x' } }

  test('need say only kind, time, hand and data: the rest is filled in', () => {
    const { book } = newBook()
    const [row] = must(book.takeIn([least]))
    expect(row).toMatchObject({
      ...least,
      origin: book.log.id,
      version: 1,
      source: 'command line',
      replaces: null,
      recordedAt: '2026-06-20T12:00:00.000Z',
      receivedAt: '2026-06-20T12:00:00.000Z',
    })
  })

  test('keep what they bring: id, origin, when they were written down, salt', () => {
    const { book } = newBook()
    const full = note(5, 'x', { source: 'phone', recordedAt: '2026-06-19T08:00:00+03:00' })
    const [row] = must(book.takeIn([full]))
    expect(row).toMatchObject({ ...full, origin: elsewhere, receivedAt: '2026-06-20T12:00:00.000Z', position: 1 })
  })

  test('do not bring what is the book’s own: position, time of receipt and link are read past', () => {
    const { book } = newBook()
    const [row] = must(
      book.takeIn([{ ...note(5, 'x'), position: 77, receivedAt: '1999-01-01T00:00:00Z', link: 'f'.repeat(64) }]),
    )
    expect(row).toMatchObject({ position: 1, receivedAt: '2026-06-20T12:00:00.000Z' })
    expect(book.log.verify().ok).toBe(true)
  })

  test('can be given a source and a hand for those that do not say', () => {
    const { book } = newBook()
    const { hand: _, ...without } = least
    const rows = must(book.takeIn([without, least], { source: 'CSV', hand: 'K.S.' }))
    expect(rows.map(({ hand, source }) => [hand, source])).toEqual([
      ['K.S.', 'CSV'],
      ['M.B.', 'CSV'],
    ])
    expect(problems(refusedBy(book, () => book.takeIn([without])))).toEqual([
      [0, 'hand: Hand: got nothing, expected text.'],
    ])
  })

  test('are taken in whole or not at all, and every line that is wrong is told of at once', () => {
    const { book } = newBook()
    must(book.takeIn([note(1, 'one')]))
    const refused = refusedBy(book, () =>
      book.takeIn([
        least,
        { ...least, whales: 2 },
        { ...least, data: { text: 'x', equipment: 'mast' } },
        { ...least, occurredAt: '2030-01-01' },
        5,
        null,
        [least],
        'x',
        { ...least, type: 7 },
        {},
      ]),
    )
    expect(problems(refused)).toEqual([
      [1, expect.stringMatching(/^: Got the unknown field "whales", expected only id, origin, type, .*\.$/)],
      [2, expect.stringMatching(/^equipment: Equipment: got "mast", which this book does not know/)],
      [3, expect.stringMatching(/^occurredAt: Got 2030-01-01, which lies ahead/)],
      [4, ': Got 5, expected an entry: an object with type, occurredAt, hand and data.'],
      [5, ': Got null, expected an entry: an object with type, occurredAt, hand and data.'],
      [6, expect.stringMatching(/^: Got \[\{"type".*expected an entry/)],
      [7, ': Got "x", expected an entry: an object with type, occurredAt, hand and data.'],
      [8, 'type: Type: got 7, expected the name of a kind of entry, such as hours-read.'],
      [
        9,
        expect.stringMatching(/^type: Type: got nothing/),
        expect.stringMatching(/^occurredAt/),
        expect.stringMatching(/^hand/),
      ],
    ])
    expect(book.lookOver([least, { ...least, whales: 2 }]).map(({ index }) => index)).toEqual([1])
  })

  test('are refused in few words, however much they hold', () => {
    const { book } = newBook()
    const enormous = 'x'.repeat(10_000_000)
    const many = Object.fromEntries(Array.from({ length: 20_000 }, (_, n) => [`f${n}`, n]))
    for (const input of [
      { ...least, [enormous]: 1 },
      { ...least, ...many },
      { ...least, type: enormous },
      { ...least, hand: enormous },
      { ...least, data: enormous },
      { ...least, data: { text: enormous } },
      { ...least, data: { text: 'x', [enormous]: 1 } },
      { ...least, data: { text: 'x', ...many } },
      { ...least, withheld: { [enormous]: 'ab'.repeat(32) }, salts: {} },
      enormous,
      [enormous],
    ]) {
      const [refused] = refusedBy(book, () => book.takeIn([input]))
      for (const { problem } of refused!.refusals) expect(problem.length).toBeLessThan(800)
    }
  })

  test('written twice change nothing, though they left id, salt and times to the book: the id is enough', () => {
    const { book, clock } = newBook()
    const input = { ...least, id: idOf(5) }
    const [row] = must(book.takeIn([input]))
    clock.now += 3600_000
    expect(book.takeIn([input])).toEqual({ ok: true, written: [], already: 1 })
    expect(book.takeIn([input, { ...least, id: idOf(6) }, input])).toMatchObject({
      ok: true,
      already: 2,
      written: [{ id: idOf(6) }],
    })
    expect([...book.log.rows()][0]).toEqual(row)
    const [refused] = refusedBy(book, () => book.takeIn([{ ...input, data: { text: 'y' } }]))
    expect(refused!.refusals[0]!.problem).toMatch(/already \(position 1\) with other content/)
    expect(refusedBy(book, () => book.takeIn([{ ...input, hand: 'X.Y.' }]))).toHaveLength(1)
    expect(refusedBy(book, () => book.takeIn([{ ...input, replaces: idOf(6) }]))).toHaveLength(1)
  })

  test('twice in one batch are one entry', () => {
    const { book } = newBook()
    const input = { ...least, id: idOf(5) }
    expect(book.takeIn([input, input])).toMatchObject({ ok: true, already: 1, written: [{ id: idOf(5) }] })
    expect(
      refusedBy(book, () =>
        book.takeIn([
          { ...least, id: idOf(6) },
          { ...least, id: idOf(6), data: { text: 'y' } },
        ]),
      ),
    ).toMatchObject([{ index: 1 }])
  })

  test('without an id are new entries every time', () => {
    const { book } = newBook()
    must(book.takeIn([least]))
    must(book.takeIn([least]))
    expect(book.read().entries).toHaveLength(2)
  })

  test('that leave fields out must bring the commitments and salts in full', () => {
    const { book } = newBook()
    const left = withhold(line(1, 'note-written', { text: 'secret', why: 'because' }), ['data.text', 'hand'])
    const wrong: Record<string, unknown>[] = [
      { ...left, salt: 'ab'.repeat(16) },
      { ...left, salts: undefined },
      { ...left, withheld: undefined },
      { ...left, withheld: {} },
      { ...left, salts: { ...left.salts, more: 'ab'.repeat(32) } },
      { ...left, salts: { ...left.salts, type: 'nonsense' } },
      { ...left, withheld: { ...left.withheld, 'data.text': 'AB'.repeat(32) } },
      { ...left, withheld: { ...left.withheld, type: 'ab'.repeat(32) } },
      { ...left, withheld: [] },
      { ...left, salts: 'none' },
      { ...left, hand: 'K.S.' },
      { ...left, data: { ...left.data, text: 'not secret' } },
    ]
    for (const [index, input] of wrong.entries()) {
      const clean = Object.fromEntries(Object.entries(input).filter(([, value]) => value !== undefined))
      const refused = refusedBy(book, () => book.takeIn([clean]))
      expect(refused[0]!.refusals[0]!.problem, String(index)).toMatch(/[Gg]ot |expected /)
    }
    expect(must(book.takeIn([left]))).toHaveLength(1)
    expect(book.log.verify().ok).toBe(true)
  })

  test('with a strike in front of what it strikes, and what it strikes missing, are taken in and told of', () => {
    const { book } = newBook()
    must(book.takeIn([strike(2, 1), note(1, 'one'), strike(4, 3)]))
    expect(book.timeline().told).toEqual([])
    expect(book.timeline().problems.map(({ entry }) => entry.id)).toEqual([idOf(4)])
  })
})

describe('a book brought over into an empty one', () => {
  test('tells the same there, and everything about it that is not the book’s own is the same', () => {
    const { book } = newBook()
    must(book.write([fitted('engine'), metered('engine-hours', 'engine')]))
    const [read] = must(book.write([hours(1342)]))
    must(book.write([hours(1324, { replaces: read!.id })]))
    const [wrong] = must(book.write([noted('wrong', { occurredAt: '2026-06-19' })]))
    must(book.write([struck(wrong!.id)]))
    const lines = [...book.log.rows()].map((row) => JSON.parse(JSON.stringify(row)) as unknown)

    const { book: other } = newBook()
    must(other.takeIn(lines))
    const own = ({ position: _, receivedAt: __, link: ___, ...author }: Row) => author
    expect([...other.log.rows()].map(own)).toEqual([...book.log.rows()].map(own))
    const told = (of: Book) => of.timeline().all.map((fair) => [fair.root, fair.at, fair.told.data, fair.struck?.id])
    expect(told(other)).toEqual(told(book))
    expect(other.log.id).not.toBe(book.log.id)
    expect(other.takeIn(lines)).toEqual({ ok: true, written: [], already: lines.length })
  })
})
