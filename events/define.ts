import { z } from 'zod'
import { convert, type Dimension, symbolOf, unitsOf } from './units.ts'

/** What a field says about itself, beside its type: form, log line, export column and JSON Schema are made from it. */
export interface FieldMeta {
  /** The label on the form and the head of the export column, in the trade's words. */
  title: string
  /** How the value reads in a log line, `{}` being the value; `. ` at the start begins a new sentence. Default: "title {}". */
  says?: string
  /** One line of help under the field. */
  help?: string
  /** Quantities only: what is measured. */
  dimension?: Dimension
  /** Quantities only: the UCUM code a form offers first, where the unit set for the dimension would be unhandy. */
  unit?: string
  /** The field names something that other entries introduce. */
  refers?: 'equipment' | 'meter' | 'task' | 'entry'
  /** Choices only: words for people where the stored value does not read well. */
  words?: Record<string, string>
  /** Equipment kinds for which the field makes sense; absent: for all. */
  only?: readonly string[]
  /** Money only. */
  money?: true
  /** Long text: several lines in a form. */
  long?: true
}

const plain = (title: string, meta: Omit<FieldMeta, 'title'> = {}): FieldMeta => ({ title, ...meta })

/** A measured quantity, stored as entered. */
export interface Quantity {
  value: number
  /** UCUM code. */
  unit: string
}

/**
 * The field builders. Every field of every kind is made with one of these, so that each knows its title and its meaning.
 * Nothing is coerced: an empty box is an absent field, never a zero.
 */
export const field = {
  /** A measured quantity. `min` and `max` are in the dimension's base unit and mark what cannot be, not what is unusual. */
  quantity(title: string, dimension: Dimension, range: { min: number; max: number }, meta: Partial<FieldMeta> = {}) {
    const base = unitsOf(dimension)[0]!
    const codes = unitsOf(dimension).map((unit) => unit.code) as [string, ...string[]]
    return z
      .strictObject({ value: z.number(), unit: z.enum(codes) })
      .check((ctx) => {
        const { value, unit } = ctx.value
        const inBase = convert(value, unit, base.code)
        if (inBase >= range.min - 1e-9 && inBase <= range.max + 1e-9) return
        const shown = (limit: number) => Number(convert(limit, base.code, unit).toPrecision(4))
        ctx.issues.push({
          code: 'custom',
          input: ctx.value,
          message: `${title}: got ${value} ${symbolOf(unit)}, expected ${shown(range.min)} to ${shown(range.max)} ${symbolOf(unit)}; check the figure and its unit.`,
        })
      })
      .meta({ ...plain(title), dimension, ...meta })
  },
  /** An amount of money; the unit is an ISO 4217 code. */
  money(title: string, meta: Partial<FieldMeta> = {}) {
    return z
      .strictObject({
        value: z.number().min(0).max(1e8),
        unit: z.string().regex(/^[A-Z]{3}$/, 'expected a currency code of three capitals, such as EUR'),
      })
      .meta({ ...plain(title), money: true, ...meta })
  },
  /** A bare number: a count, a ratio. */
  number(title: string, range: { min: number; max: number; whole?: true }, meta: Partial<FieldMeta> = {}) {
    const bare = z.number().min(range.min).max(range.max)
    return (range.whole ? bare.int() : bare).meta({ ...plain(title), ...meta })
  },
  /** One line of text. */
  text(title: string, meta: Partial<FieldMeta> = {}, most = 200) {
    return z
      .string()
      .min(1)
      .max(most)
      .meta({ ...plain(title), ...meta })
  },
  /** Text of several lines. */
  prose(title: string, meta: Partial<FieldMeta> = {}) {
    return z
      .string()
      .min(1)
      .max(4000)
      .meta({ ...plain(title), long: true, ...meta })
  },
  /** One of a closed list of words. */
  choice<const T extends readonly [string, ...string[]]>(title: string, words: T, meta: Partial<FieldMeta> = {}) {
    return z.enum(words).meta({ ...plain(title), ...meta })
  },
  /** Yes or no; where nobody looked the field is absent. */
  flag(title: string, meta: Partial<FieldMeta> = {}) {
    return z.boolean().meta({ ...plain(title), ...meta })
  },
  /** A calendar day, YYYY-MM-DD. */
  day(title: string, meta: Partial<FieldMeta> = {}) {
    return z.iso.date().meta({ ...plain(title), ...meta })
  },
  /** The short name by which entries refer to equipment, a meter or a task: lower case, digits, hyphens. */
  handle(title: string, refers: 'equipment' | 'meter' | 'task', meta: Partial<FieldMeta> = {}) {
    return z
      .string()
      .max(48)
      .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'expected lower-case letters, digits and hyphens, such as house-alternator')
      .meta({ ...plain(title), refers, ...meta })
  },
  /** The id of another entry. */
  entry(title: string, meta: Partial<FieldMeta> = {}) {
    return z.uuid().meta({ ...plain(title), refers: 'entry', ...meta })
  },
}

type Fields = Record<string, z.ZodType>

/**
 * Why an entry was amended: a field of every kind but the strike, which has its reason. It stands in the data, not in the
 * envelope, so that it is covered by the digest and can be withheld like any other field; the first version has none.
 */
const amendable = { why: field.text('Why amended', { says: '' }, 400).optional() }

type Amendable<T extends string, F extends Fields> = T extends 'entry-struck' ? F : F & typeof amendable

/** One kind of entry. The file that defines it is all that the rough log needs to record, mend, list and export it. */
export interface Kind<T extends string = string, S extends z.ZodObject = z.ZodObject> {
  /** Past-tense fact in kebab-case; also the name of its file. */
  readonly type: T
  readonly version: number
  /** The bold word at the head of its log line. */
  readonly label: string
  /** One sentence: what is recorded with it. */
  readonly about: string
  readonly schema: S
  /** At least one for every version there has ever been; they stay for ever. */
  readonly examples: readonly { readonly version: number; readonly data: unknown }[]
  /** `upgrades[n]` turns the data of version n into that of version n + 1. */
  readonly upgrades: { readonly [from: number]: (data: Record<string, unknown>) => Record<string, unknown> }
}

/** Defines a kind of entry at version 1; a kind that has changed says its version and its upgrades. */
export function defineEvent<const T extends string, F extends Fields>(kind: {
  type: T
  label: string
  about: string
  fields: F
  examples: Kind['examples']
  version?: number
  upgrades?: Kind['upgrades']
}) {
  const { fields, version = 1, upgrades = {}, ...rest } = kind
  const shape = (kind.type === 'entry-struck' ? fields : { ...fields, ...amendable }) as Amendable<T, F>
  return { ...rest, version, upgrades, schema: z.strictObject(shape) } satisfies Kind
}

const aTime = 'expected a time with its offset, such as 2026-06-14T16:31:00+02:00'
// RFC 3339 allows any number of digits after the point; 40 characters leave room for fourteen.
const moment = z.iso.datetime({ offset: true, error: aTime }).max(40, aTime)
const lowerUuid = z
  .uuid()
  .regex(/^[0-9a-f-]+$/, 'expected the id in lower case, so that the same id is always written alike')

/** The author's part of an entry, the same for all kinds: all of it is covered by the digest. */
export const envelope = z.strictObject({
  id: lowerUuid.meta({
    title: 'Id',
    help: 'UUID, version 7 where it can be; writing the same id again changes nothing.',
  }),
  origin: lowerUuid.meta({ title: 'Origin', help: 'Id of the book that first took the entry in.' }),
  type: z
    .string('expected the name of a kind of entry, such as hours-read')
    .meta({ title: 'Type', help: 'Which kind of entry this is.' }),
  version: z.number().int().min(1).meta({ title: 'Version', help: 'Of the kind, as it was when this was written.' }),
  occurredAt: z
    .union([moment, z.iso.date()], {
      error: 'expected a time with its offset (2026-06-14T16:31:00+02:00), or a day (2026-06-14)',
    })
    .meta({ title: 'Occurred at', help: "When it happened, RFC 3339 with ship's offset; or the day alone." }),
  recordedAt: moment.meta({ title: 'Recorded at', help: 'When the person wrote it down.' }),
  hand: z.string().min(1).max(24).meta({ title: 'Hand', help: 'Initials of who wrote it.' }),
  source: z.string().min(1).max(40).meta({ title: 'Source', help: 'Where it came in: form, command line, sample ...' }),
  salt: z
    .string()
    .regex(/^[0-9a-f]{32}$/, 'expected 32 hexadecimal digits')
    .meta({ title: 'Salt', help: 'Secret of the field commitments; 16 random bytes.' }),
  replaces: lowerUuid
    .nullable()
    .meta({ title: 'Replaces', help: 'The entry that this one amends or strikes; null for most.' }),
})

/** The author's envelope without `type` and `data`, which every kind narrows. */
export type Envelope = Omit<z.infer<typeof envelope>, 'type'>

/** What the book adds when it takes an entry in. */
export interface Received {
  /** 1 for the first entry of the book, without gaps. */
  position: number
  /** The book's own clock, UTC. */
  receivedAt: string
  /** Hash of the link before, the digest and `receivedAt`, 64 hexadecimal digits. */
  link: string
}

/** The inside of a schema: without the "may be absent" around it. */
export function inner(schema: z.ZodType): z.ZodType {
  return schema instanceof z.ZodOptional ? inner(schema.unwrap() as z.ZodType) : schema
}

/** What a field says about itself; a field that was not made by the builders has its name as title. */
export function metaOf(schema: z.ZodType, name = ''): FieldMeta {
  const meta = inner(schema).meta() as Partial<FieldMeta> | undefined
  return { title: name, ...meta }
}

/** How a value that was given reads in a refusal: as JSON, sixty characters of it at most; "nothing" where there was none. */
export const got = (input: unknown): string => {
  if (input === undefined) return 'nothing'
  const text =
    typeof input === 'string'
      ? `"${input.slice(0, 60)}"`
      : typeof input === 'number'
        ? String(input)
        : (JSON.stringify(input) ?? String(input))
  return text.length > 60 ? `${text.slice(0, 57)}...` : text
}

const at = (input: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>((value, key) => (value as Record<PropertyKey, unknown> | undefined)?.[key], input)

/** One thing wrong with an input: the field it belongs to (empty: the whole) and a sentence for people. */
export interface Refusal {
  field: string
  problem: string
}

/**
 * What is wrong, in sentences: what was got, what was expected. One refusal a field, in the order of the schema.
 * @param schema the object schema that refused; titles come from its fields
 * @param input what was given, for the "got" part
 */
export function explain(error: z.ZodError, schema: z.ZodObject, input: unknown): Refusal[] {
  const seen = new Set<string>()
  const refusals: Refusal[] = []
  for (const issue of error.issues) {
    const name = String(issue.path[0] ?? '')
    if (name !== '' && seen.has(name)) continue
    seen.add(name)
    const part = name === '' ? undefined : (schema.shape[name] as z.ZodType | undefined)
    const meta = part ? metaOf(part, name) : { title: name }
    const title = issue.path.length > 1 ? `${meta.title} (${String(issue.path[1])})` : meta.title
    const value = at(input, issue.path)
    if (issue.code === 'custom') refusals.push({ field: name, problem: issue.message })
    else if (issue.code === 'unrecognized_keys') {
      const known = issue.path.length === 0 ? Object.keys(schema.shape).join(', ') : 'value, unit'
      const unknown = issue.keys.slice(0, 5).map(got).join(', ')
      const more = issue.keys.length > 5 ? ` and ${issue.keys.length - 5} more` : ''
      refusals.push({
        field: name,
        problem: `${name === '' ? 'Got' : `${title}: got`} the unknown field ${unknown}${more}, expected only ${known}. Correct the name or leave it out.`,
      })
    } else refusals.push({ field: name, problem: `${title}: got ${got(value)}, ${expected(issue, meta)}.` })
  }
  return refusals
}

const inWords: Record<string, string> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
}

function expected(issue: z.core.$ZodIssue, meta: FieldMeta): string {
  const own = issue.message.startsWith('expected') ? issue.message : undefined
  if (own) return own
  switch (issue.code) {
    case 'invalid_type': {
      if (issue.expected !== 'object') return `expected ${inWords[issue.expected] ?? issue.expected}`
      const unit = meta.dimension ? unitsOf(meta.dimension)[0]!.code : 'EUR'
      return `expected a value with its unit, such as {"value": 62, "unit": "${unit}"}`
    }
    case 'invalid_value':
      return issue.values.length > 1
        ? `expected one of ${issue.values.map((v) => (v === String(v) && symbolOf(v) !== v ? `${v} (${symbolOf(v)})` : v)).join(', ')}`
        : `expected ${String(issue.values[0])}`
    case 'too_big':
      return issue.origin === 'string'
        ? `expected at most ${issue.maximum} characters`
        : `expected at most ${issue.maximum}`
    case 'too_small':
      return issue.origin === 'string' ? 'expected some text' : `expected at least ${issue.minimum}`
    case 'invalid_format':
      return issue.format === 'uuid'
        ? 'expected the id of an entry (a UUID)'
        : issue.format === 'date'
          ? 'expected a day that exists, such as 2026-06-14'
          : `expected the form ${issue.format}`
    default:
      return issue.message.toLowerCase()
  }
}
