import { readdirSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { z } from 'zod'
import { envelope, field, inner, type Kind, metaOf } from '../../events/define.ts'
import { decode, type EntryType, exchangeSchema, isEntryType, kindOf, kinds as listed } from '../../events/index.ts'
import { openLog } from '../../events/log.ts'
import { dimensions, unitsOf } from '../../events/units.ts'
import { equipmentKinds, works, worksOf } from '../../events/works.ts'
import { idOf, line, note, strike } from './lines.ts'

const kinds: readonly Kind[] = listed
const folder = new URL('../../events/', import.meta.url)

/** The files of the folder that define no kind of entry. */
const otherFiles = ['define', 'index', 'log', 'units', 'works']

const fieldsOf = (kind: Kind): [string, z.ZodType][] => Object.entries(kind.schema.shape) as [string, z.ZodType][]
const everyField = kinds.flatMap((kind) => fieldsOf(kind).map(([name, schema]) => ({ kind, name, schema })))

/** An entry of that kind with some data; a strike names what it strikes. */
const entryWith = (kind: Kind, data: unknown, version = kind.version): Record<string, unknown> => ({
  ...line(1, 'note-written', { text: 'x' }),
  type: kind.type,
  version,
  data,
  ...(kind.type === 'entry-struck' ? { replaces: idOf(2) } : {}),
})

const refusalsOf = (input: Record<string, unknown>) => {
  const answer = decode(input)
  if (answer.ok) throw new Error('It was accepted.')
  return answer.refusals
}

describe('every kind of entry', () => {
  test('is in a file of its own name, and every file is in the list', async () => {
    const files = readdirSync(folder)
      .filter((name) => name.endsWith('.ts'))
      .map((name) => name.slice(0, -3))
      .filter((name) => !otherFiles.includes(name))
    expect(files.sort()).toEqual(kinds.map((kind) => kind.type).sort())
    for (const name of files) {
      const exported = Object.values((await import(new URL(`${name}.ts`, folder).href)) as object)
      const made = exported.filter((one): one is Kind => typeof one === 'object' && one !== null && 'schema' in one)
      expect(made, name).toEqual([kindOf(name)])
    }
  })

  test('has a name in kebab-case, a label and a sentence about it, none of them used twice', () => {
    for (const kind of kinds) {
      expect(kind.type).toMatch(/^[a-z]+(-[a-z]+)+$|^restored$/)
      expect(kind.label).toMatch(/^[A-Z]/)
      expect(kind.about).toMatch(/^[A-Z].*\.$/)
      expect(isEntryType(kind.type) && kindOf(kind.type)).toBe(kind)
    }
    for (const key of ['type', 'label', 'about'] as const)
      expect(new Set(kinds.map((kind) => kind[key])).size).toBe(kinds.length)
    expect([isEntryType('whale-sighted'), kindOf('whale-sighted'), kindOf('constructor')]).toEqual([
      false,
      undefined,
      undefined,
    ])
  })

  test('has an example of every version that there has ever been, and an upgrade from each to the next', () => {
    for (const kind of kinds) {
      const versions = Array.from({ length: kind.version }, (_, index) => index + 1)
      expect([...new Set(kind.examples.map((example) => example.version))].sort(), kind.type).toEqual(versions)
      expect(Object.keys(kind.upgrades).map(Number), kind.type).toEqual(versions.slice(0, -1))
    }
  })

  test('reads all its examples, of whichever version, as the present one', () => {
    for (const kind of kinds)
      for (const { version, data } of kind.examples) {
        const answer = decode(entryWith(kind, data, version))
        expect(answer, kind.type).toMatchObject({ ok: true })
        if (!answer.ok) continue
        expect(kind.schema.safeParse(answer.entry.data).success).toBe(true)
        if (version === kind.version) expect(answer.entry.data).toEqual(data)
      }
  })

  test('keeps all its examples in a book as they were entered', () => {
    const log = openLog(':memory:')
    const lines = kinds.flatMap((kind, k) =>
      kind.examples.map(({ version, data }, e) => ({
        ...line(1000 * (k + 1) + e, kind.type as EntryType, data as never),
        version,
        ...(kind.type === 'entry-struck' ? { replaces: idOf(2) } : {}),
      })),
    )
    const appended = log.append(lines, '2026-07-01T08:00:00.000Z')
    expect(appended).toMatchObject({ ok: true, already: 0 })
    expect([...log.rows()].map((row) => row.data)).toEqual(lines.map((one) => one.data))
    expect(log.read()).toMatchObject({ unreadable: [] })
    expect(log.verify().problems).toEqual([])
    log.close()
  })
})

describe('every field of every kind', () => {
  test('has a title of its own, in words', () => {
    for (const { kind, name, schema } of everyField) {
      const { title } = metaOf(schema)
      expect(title, `${kind.type}.${name}`).toMatch(/^[A-Z].*[^.:]$/)
    }
    for (const kind of kinds) {
      const titles = fieldsOf(kind).map(([, schema]) => metaOf(schema).title)
      expect(new Set(titles).size, `${kind.type}: ${titles.join(', ')}`).toBe(titles.length)
    }
    for (const [name, schema] of Object.entries(envelope.shape)) expect(metaOf(schema).title, name).toMatch(/^[A-Z]/)
  })

  test('has a name in camel case that does not say its unit: that stands beside the value', () => {
    for (const { name } of everyField) expect(name).toMatch(/^[a-z]+([A-Z][a-z]+)*$/)
  })

  test('that is a quantity can be given in every unit of its dimension, and in no other', () => {
    const quantities = everyField.filter(({ schema }) => metaOf(schema).dimension)
    expect(quantities.length).toBeGreaterThan(40)
    for (const { kind, name, schema } of quantities) {
      const { dimension } = metaOf(schema)
      expect(Object.keys(dimensions)).toContain(dimension)
      const shape = (inner(schema) as z.ZodObject).shape
      expect(Object.keys(shape).sort(), `${kind.type}.${name}`).toEqual(['unit', 'value'])
      expect((shape.unit as z.ZodEnum).options).toEqual(unitsOf(dimension!).map(({ code }) => code))
    }
  })

  test('says how it reads in a log line with a place for its value, unless it is a mark', () => {
    for (const { kind, name, schema } of everyField) {
      const { says } = metaOf(schema)
      if (says === undefined || says === '') continue
      const mark = inner(schema).type === 'boolean'
      expect(says.includes('{}'), `${kind.type}.${name}: ${says}`).toBe(!mark)
    }
  })

  test('makes sense for kinds of equipment that there are, and has words for choices that there are', () => {
    for (const { kind, name, schema } of everyField) {
      const { only = [], words = {} } = metaOf(schema)
      for (const one of only) expect(equipmentKinds, `${kind.type}.${name}`).toContain(one)
      const options = inner(schema).type === 'enum' ? (inner(schema) as z.ZodEnum).options : []
      for (const word of Object.keys(words)) expect(options, `${kind.type}.${name}`).toContain(word)
    }
  })

  test('may be left out unless the entry would say nothing without it', () => {
    for (const kind of kinds)
      expect(fieldsOf(kind).filter(([, schema]) => !schema.isOptional()).length, kind.type).toBeLessThanOrEqual(6)
  })
})

describe('the works of each kind of equipment', () => {
  test('are closed lists, each of which the schema of a service knows', () => {
    for (const kind of equipmentKinds) {
      const own = worksOf(kind)
      expect(new Set(own).size, kind).toBe(own.length)
      expect(own, kind).toContain('other work')
      for (const work of own) expect(works).toContain(work)
    }
    expect(new Set(works).size).toBe(works.length)
    expect(worksOf('belt')).toEqual(expect.arrayContaining(['belt tensioned', 'belt renewed']))
    expect(worksOf('raw-water pump')).toContain('impeller renewed')
  })
})

describe('the exchange format as JSON Schema, draft 2020-12', () => {
  const schema = exchangeSchema()
  // Titles, units and words for people stand in it as keywords of their own, which a validator passes over by the standard.
  const ajv = new Ajv2020({ strict: false, validateFormats: false, allErrors: true })

  test('is itself a valid schema, and has one branch for each kind', () => {
    expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema')
    expect(ajv.validateSchema(schema)).toBe(true)
    const branches = schema.oneOf as { properties: { type: { const: string } } }[]
    expect(branches.map((branch) => branch.properties.type.const)).toEqual(kinds.map((kind) => kind.type))
  })

  const valid = ajv.compile(schema)
  const problems = () => JSON.stringify(valid.errors?.slice(0, 5))

  test('accepts each of its own examples, and so does the book', () => {
    const branches = schema.oneOf as { title: string; examples: Record<string, unknown>[] }[]
    let seen = 0
    for (const { title, examples } of branches)
      for (const example of examples) {
        expect(valid(example), `${title}: ${problems()}`).toBe(true)
        expect(decode({ ...note(1, 'x'), ...example }), title).toMatchObject({ ok: true })
        seen++
      }
    expect(seen).toBe(kinds.flatMap((kind) => kind.examples).length)
  })

  test('accepts what a book gives out, with what the book added', () => {
    const log = openLog(':memory:')
    log.append(
      [note(1, 'one'), strike(2, 1), note(3, 'one', { replaces: 1, occurredAt: '2026-06-14' })],
      '2026-07-01T08:00:00.000Z',
    )
    for (const row of log.rows()) expect(valid(JSON.parse(JSON.stringify(row))), problems()).toBe(true)
    log.close()
  })

  /** Something that may or may not fit a field: values that do for most of its examples, and everything that JSON can say. */
  const junk = fc.oneof(
    fc.constantFrom(
      null,
      true,
      false,
      0,
      -1,
      1.5,
      62,
      1e99,
      '',
      'x',
      '62',
      'engine',
      'Big Engine',
      'EUR',
      '2026-06-14',
      idOf(1),
      [],
      {},
      [1],
      { a: 1 },
    ),
    fc.string({ maxLength: 12 }),
    fc.double({ noNaN: true, noDefaultInfinity: true }),
    fc.record(
      {
        value: fc.constantFrom<unknown>(0, 1, 62, -3, 1e6, 1e12, '62', null, true),
        unit: fc.constantFrom<unknown>('h', 'V', 'A', 'bar', 'Cel', '[degF]', 'mm', 'EUR', 'furlong', '', null),
        extra: fc.constant(1),
      },
      { requiredKeys: ['value', 'unit'] },
    ),
    fc.record({ value: fc.constant(62) }),
  )

  test('and the book agree on any entry, but for the limits of what can be, which only the book knows', () => {
    const seen = { both: 0, neither: 0, limits: 0 }
    fc.assert(
      fc.property(
        fc.constantFrom(...kinds),
        fc.nat(5),
        fc.array(fc.tuple(fc.nat(60), junk), { minLength: 0, maxLength: 2 }),
        fc.array(fc.nat(60), { maxLength: 1 }),
        fc.constantFrom(1, 1, 1, -1e9, 1e9),
        (kind, which, changes, left, times) => {
          const data: Record<string, unknown> = { ...(kind.examples[which % kind.examples.length]!.data as object) }
          const names = [...fieldsOf(kind).map(([name]) => name), 'whales']
          for (const [at, value] of changes) data[names[at % names.length]!] = value
          for (const at of left) delete data[names[at % names.length]!]
          for (const [name, schema] of fieldsOf(kind)) {
            const there = data[name] as { value: number; unit: string } | undefined
            if (metaOf(schema).dimension && typeof there?.value === 'number')
              data[name] = { ...there, value: there.value * times }
          }
          const input = entryWith(kind, data)
          const ours = decode(input)
          if (valid(input)) {
            if (ours.ok) seen.both++
            else {
              for (const { problem } of ours.refusals) expect(problem).toMatch(/check the figure and its unit/)
              seen.limits++
            }
          } else {
            expect(ours.ok, problems()).toBe(false)
            seen.neither++
          }
        },
      ),
      { numRuns: 4000, seed: 2020 },
    )
    expect(seen.both).toBeGreaterThan(500)
    expect(seen.neither).toBeGreaterThan(500)
    expect(seen.limits).toBeGreaterThan(10)
  })
})

/** What can go wrong with a field, whatever it is. */
const enormous = 'x'.repeat(10_000_000)
const large = 'x'.repeat(20_000)
const badInputs: unknown[] = [
  null,
  '62',
  62,
  -1,
  1e99,
  Number.NaN,
  Number.POSITIVE_INFINITY,
  '',
  'Not A Word Of Any List',
  true,
  [],
  ['x'],
  {},
  { value: 62 },
  { unit: 'h' },
  { value: '62', unit: 'h' },
  { value: null, unit: 'h' },
  { value: 62, unit: null },
  { value: 62, unit: 'furlong' },
  { value: 62, unit: 'h', extra: 1 },
  { value: 62, unit: 'h', ...Object.fromEntries(Array.from({ length: 3000 }, (_, n) => [`extra${n}`, n])) },
  { value: -1e12, unit: 'h' },
  { value: 1e12, unit: 'EUR' },
  { value: 1, unit: 'euro' },
  large,
  { value: large, unit: 'h' },
  { value: 62, unit: large },
  { value: 62, unit: 'h', [large]: 1 },
  [large],
]

const isSentence = (problem: string, what: string) => {
  expect(problem, what).toMatch(/[Gg]ot /)
  expect(problem, what).toMatch(/expected /)
  expect(problem, what).toMatch(/\.$/)
  // The longest is the list of all works.
  expect(problem.length, what).toBeLessThan(1500)
  expect(problem, what).not.toMatch(
    /undefined|\[object|Invalid|\ba int\b|expected (string|number|boolean|object|int)\b/,
  )
}

describe('a bad value', () => {
  test.each(kinds.map((kind) => [kind.type, kind] as const))(
    'in any field of %s is refused with the field’s title, what was got and what was expected',
    (_, kind) => {
      const good = kind.examples.at(-1)!.data as Record<string, unknown>
      for (const [name, schema] of fieldsOf(kind)) {
        const { title } = metaOf(schema)
        let refused = 0
        for (const [index, value] of badInputs.entries()) {
          const answer = decode(entryWith(kind, { ...good, [name]: value }))
          if (answer.ok) continue
          refused++
          const shown = `${kind.type}.${name}, bad input ${index}`
          expect(answer.refusals, shown).toHaveLength(1)
          const [{ field: at, problem }] = answer.refusals as [{ field: string; problem: string }]
          expect(at, shown).toBe(name)
          expect(problem.startsWith(`${title}`), `${shown}: ${problem.slice(0, 200)}`).toBe(true)
          isSentence(problem, shown)
          expect(answer.problem).toBe(problem)
        }
        expect(refused, `${kind.type}.${name}`).toBeGreaterThan(badInputs.length / 2)
      }
    },
  )

  test('in any field of the envelope too', () => {
    const good: Record<string, unknown> = { ...note(1, 'x') }
    for (const name of Object.keys(envelope.shape)) {
      const more = [enormous, [enormous], undefined, '0190C5A0-0000-7000-8000-000000000001', 0, 1.5, 1e20]
      for (const [index, value] of [...badInputs, ...more].entries()) {
        const input = { ...good, [name]: value }
        const answer = decode(input)
        if (answer.ok) continue
        const shown = `${name}, bad input ${index}`
        expect(
          answer.refusals.map((refusal) => refusal.field),
          shown,
        ).toEqual([name])
        isSentence(answer.problem, shown)
      }
      const without = { ...good }
      delete without[name]
      expect(
        refusalsOf(without).map((refusal) => refusal.field),
        name,
      ).toEqual([name])
    }
  })

  const hours = (reading: unknown) => ({
    ...line(1, 'hours-read', { meter: 'm', reading: { value: 1, unit: 'h' } }),
    data: { meter: 'm', reading },
  })
  const readings = (name: string, value: number, unit: string) => ({
    ...line(1, 'readings-taken', { equipment: 'engine' }),
    data: { equipment: 'engine', [name]: { value, unit } },
  })
  const service = (more: Record<string, unknown>) => ({
    ...line(1, 'service-done', { equipment: 'engine', work: 'oil changed' }),
    data: { equipment: 'engine', work: 'oil changed', ...more },
  })
  const rounds = (more: Record<string, unknown>) => ({
    ...line(1, 'rounds-made', { set: 'running' }),
    data: { set: 'running', ...more },
  })
  const noted = (data: unknown, over: Record<string, unknown> = {}) => ({ ...note(1, 'x'), data, ...over })
  const long = 'x'.repeat(56)

  test.each<[string, Record<string, unknown>, string]>([
    [
      'no reading',
      hours(undefined),
      'Reading: got nothing, expected a value with its unit, such as {"value": 62, "unit": "h"}.',
    ],
    ['null', hours(null), 'Reading: got null, expected a value with its unit, such as {"value": 62, "unit": "h"}.'],
    [
      'a bare number',
      hours(62),
      'Reading: got 62, expected a value with its unit, such as {"value": 62, "unit": "h"}.',
    ],
    [
      'a list',
      hours([62, 'h']),
      'Reading: got [62,"h"], expected a value with its unit, such as {"value": 62, "unit": "h"}.',
    ],
    ['text for a number', hours({ value: '62', unit: 'h' }), 'Reading (value): got "62", expected a number.'],
    ['no number', hours({ value: Number.NaN, unit: 'h' }), 'Reading (value): got NaN, expected a number.'],
    ['no value', hours({ unit: 'h' }), 'Reading (value): got nothing, expected a number.'],
    ['no unit', hours({ value: 62 }), 'Reading (unit): got nothing, expected one of h, min, s.'],
    [
      'an unknown unit',
      hours({ value: 62, unit: 'furlong' }),
      'Reading (unit): got "furlong", expected one of h, min, s.',
    ],
    [
      'the unit of something else',
      hours({ value: 62, unit: 'bar' }),
      'Reading (unit): got "bar", expected one of h, min, s.',
    ],
    ['volts for amps', readings('amps', 13.8, 'V'), 'Amps (unit): got "V", expected A.'],
    [
      'an impossible temperature',
      readings('coolant', 300, 'Cel'),
      'Coolant: got 300 °C, expected -40 to 160 °C; check the figure and its unit.',
    ],
    [
      'an impossible one in the other unit',
      readings('coolant', 400, '[degF]'),
      'Coolant: got 400 °F, expected -40 to 320 °F; check the figure and its unit.',
    ],
    [
      'an oil pressure in psi, said to be bar',
      readings('oilPressure', 55, 'bar'),
      'Oil pressure: got 55 bar, expected 0 to 12 bar; check the figure and its unit.',
    ],
    [
      'hours before nought',
      hours({ value: -5, unit: 'h' }),
      'Reading: got -5 h, expected 0 to 1000000 h; check the figure and its unit.',
    ],
    [
      'more than a value and its unit',
      hours({ value: 5, unit: 'h', of: 'm' }),
      'Reading: got the unknown field "of", expected only value, unit. Correct the name or leave it out.',
    ],
    [
      'a cost alone',
      service({ cost: 84.5 }),
      'Cost: got 84.5, expected a value with its unit, such as {"value": 62, "unit": "EUR"}.',
    ],
    [
      'a cost in words',
      service({ cost: { value: 84.5, unit: 'euro' } }),
      'Cost (unit): got "euro", expected a currency code of three capitals, such as EUR.',
    ],
    [
      'a cost below nought',
      service({ cost: { value: -1, unit: 'EUR' } }),
      'Cost (value): got -1, expected at least 0.',
    ],
    ['a part of a look', rounds({ looked: 1.5 }), 'Checks looked at: got 1.5, expected a whole number.'],
    ['too many looks', rounds({ looked: 900 }), 'Checks looked at: got 900, expected at most 200.'],
    [
      'a word that is none of the list',
      rounds({ set: 'whenever' }),
      'Set: got "whenever", expected one of before starting, running, after stopping.',
    ],
    [
      'yes for a mark',
      {
        ...line(1, 'taken-aboard', { what: 'diesel', equipment: 'tank' }),
        data: { what: 'diesel', equipment: 'tank', full: 'yes' },
      },
      'Filled to the neck: got "yes", expected true or false.',
    ],
    [
      'a name that is no short name',
      noted({ text: 'x', equipment: 'Big Engine' }),
      'About: got "Big Engine", expected lower-case letters, digits and hyphens, such as house-alternator.',
    ],
    ['no text', noted({}), 'Note: got nothing, expected text.'],
    ['a number for text', noted({ text: 5 }), 'Note: got 5, expected text.'],
    ['empty text', noted({ text: '' }), 'Note: got "", expected some text.'],
    ['ten megabytes of text', noted({ text: enormous }), `Note: got "${long}..., expected at most 4000 characters.`],
    [
      'an unknown field',
      noted({ text: 'x', whales: 2 }),
      'Got the unknown field "whales", expected only text, equipment, why. Correct the name or leave it out.',
    ],
    ['data that is a list', noted([]), 'Data: got [], expected an object with the fields of "note-written".'],
    ['data that is null', noted(null), 'Data: got null, expected an object with the fields of "note-written".'],
    ['no data', noted(undefined), 'Data: got nothing, expected an object with the fields of "note-written".'],
    [
      'data of ten megabytes',
      noted(enormous),
      `Data: got "${long}..., expected an object with the fields of "note-written".`,
    ],
    [
      'no kind',
      noted({}, { type: undefined }),
      'Type: got nothing, expected the name of a kind of entry, such as hours-read.',
    ],
    [
      'an unknown kind',
      noted({}, { type: 'whale-sighted' }),
      `Got the unknown kind "whale-sighted", expected one of ${kinds.map((kind) => kind.type).join(', ')}. A newer Fettlebook may know it.`,
    ],
    [
      'a newer version',
      noted({ text: 'x' }, { version: 7 }),
      'Got version 7 of "note-written", expected at most 1. A newer Fettlebook wrote it; read it with that one.',
    ],
    ['version nought', noted({ text: 'x' }, { version: 0 }), 'Version: got 0, expected at least 1.'],
    [
      'a hand too long',
      noted({ text: 'x' }, { hand: 'the owner herself, in person' }),
      'Hand: got "the owner herself, in person", expected at most 24 characters.',
    ],
    ['an id that is none', noted({ text: 'x' }, { id: '17' }), 'Id: got "17", expected the id of an entry (a UUID).'],
    [
      'an id in capitals',
      noted({ text: 'x' }, { id: idOf(1).toUpperCase() }),
      `Id: got "${idOf(1).toUpperCase()}", expected the id in lower case, so that the same id is always written alike.`,
    ],
    [
      'half of a character',
      noted({ text: 'x \ud83d' }),
      'Note: got half of a character, expected text in Unicode. Type it again.',
    ],
    [
      'a strike of nothing',
      { ...strike(1, 2), replaces: null },
      'Replaces: got nothing, expected the id of the entry that is struck.',
    ],
  ])('says what it is: %s', (_, input, sentence) => {
    expect(refusalsOf(input).map(({ problem }) => problem)).toEqual([sentence])
  })

  test('is told of every field at once, in the order of the form', () => {
    const problems = refusalsOf({
      ...line(1, 'readings-taken', { equipment: 'engine' }),
      data: { oilPressure: { value: 55, unit: 'bar' }, equipment: 'Engine!', coolant: 'hot', whales: 2 },
    })
    expect(problems.map((refusal) => refusal.field)).toEqual(['equipment', 'coolant', 'oilPressure', ''])
  })

  test('under a name that every object has is an unknown field like any other', () => {
    for (const name of ['constructor', 'toString', '__proto__', 'hasOwnProperty']) {
      const data = JSON.parse(`{"text": "x", "${name}": 1}`) as Record<string, unknown>
      expect(refusalsOf({ ...note(1, 'x'), data })[0]!.problem, name).toContain(`unknown field "${name}"`)
    }
    expect(refusalsOf({ ...note(1, 'x'), type: '__proto__' })[0]!.problem).toContain('unknown kind "__proto__"')
  })
})

describe('the limits of a quantity', () => {
  test('hold in whichever unit it was given, to the limit itself', () => {
    const coolant = field.quantity('Coolant', 'temperature', { min: -40, max: 160 })
    for (const [value, unit] of [
      [160, 'Cel'],
      [-40, 'Cel'],
      [320, '[degF]'],
      [-40, '[degF]'],
    ] as const) {
      expect(coolant.safeParse({ value, unit }).success, `${value} ${unit}`).toBe(true)
      const beyond = value + Math.sign(value) * 0.1
      expect(coolant.safeParse({ value: beyond, unit }).success, `${beyond} ${unit}`).toBe(false)
    }
  })
})
