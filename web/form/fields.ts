import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import { explain, type FieldMeta, inner, type Kind, metaOf, type Quantity, type Refusal } from '../../events/define.ts'
import { type Dimension, symbolOf, unitsOf } from '../../events/units.ts'
import type { Register } from '../../projections/register.ts'
import { type Settings, shownUnit } from '../../projections/settings.ts'
import { boxDay, readDay, readWhen, type ShipsTime, type Turn } from './moment.ts'
import { boxNumber, readNumber } from './number.ts'
import { Typed } from './typed.ts'

/** What kind of box a field needs. */
export type Input = 'quantity' | 'money' | 'number' | 'text' | 'prose' | 'choice' | 'flag' | 'day' | 'handle' | 'entry'

/** One field of a form, as the schema describes it. */
export interface FieldSpec {
  readonly name: string
  readonly meta: FieldMeta
  readonly required: boolean
  readonly input: Input
  /** Choices only: the stored values, in order. */
  readonly choices: readonly string[]
  /** Handles only: this field introduces the name that others refer to. */
  readonly introduces: boolean
}

/** Fields that a form never shows as boxes of their own: the one is asked when a figure is questioned, the other on amendments. */
export const askedApart = new Set(['confirmed', 'why'])

/** The kinds that introduce a handle, with the field that does. */
const introducing: Readonly<Record<string, string>> = {
  'equipment-fitted': 'equipment',
  'meter-fitted': 'meter',
  'upkeep-set': 'task',
}

const specs = new WeakMap<z.ZodObject, readonly FieldSpec[]>()

/** The fields of a kind, in the order of its schema; read off the schema once. */
export function fieldsOf(kind: Kind): readonly FieldSpec[] {
  let made = specs.get(kind.schema)
  if (!made) {
    made = Object.entries(kind.schema.shape).map(([name, schema]) => specOf(kind, name, schema as z.ZodType))
    specs.set(kind.schema, made)
  }
  return made
}

function specOf(kind: Kind, name: string, schema: z.ZodType): FieldSpec {
  const bare = inner(schema)
  const meta = metaOf(bare, name)
  const spec = (input: Input, choices: readonly string[] = []): FieldSpec => ({
    name,
    meta,
    required: !(schema instanceof z.ZodOptional),
    input,
    choices,
    introduces: introducing[kind.type] === name,
  })
  if (meta.dimension) return spec('quantity')
  if (meta.money) return spec('money')
  if (meta.refers) return spec(meta.refers === 'entry' ? 'entry' : 'handle')
  if (bare instanceof z.ZodEnum) return spec('choice', bare.options.map(String))
  if (bare instanceof z.ZodBoolean) return spec('flag')
  if (bare instanceof z.ZodNumber) return spec('number')
  if (bare instanceof z.ZodISODate) return spec('day')
  if (bare instanceof z.ZodString) return spec(meta.long ? 'prose' : 'text')
  throw new Error(`${kind.type}.${name}: no box for this schema`)
}

/** What a form needs to know to read boxes and to fill them in. */
export interface Reading extends ShipsTime {
  readonly settings: Settings
  /** Names by which people may call what has a handle. */
  readonly register: Register
}

/** The box that holds the unit of a quantity or the currency of an amount. */
export const unitBox = (box: string): string => `${box}.unit`

/** The UCUM code that a form offers for a quantity. */
export const offeredUnit = (meta: FieldMeta & { dimension: Dimension }, settings: Settings): string =>
  meta.unit ?? shownUnit(settings, meta.dimension)

/** What people write for a unit beside its symbol and its code. */
const alsoWritten: Readonly<Record<string, readonly string[]>> = {
  Cel: ['C', 'celsius'],
  '[degF]': ['F', 'fahrenheit'],
  '[nmi_i]': ['nm', 'nmi', 'NM', 'sm'],
  'N.m': ['Nm', 'N m'],
  '[lbf_av].[ft_i]': ['lb ft', 'lb-ft', 'ft lb', 'ft-lb', 'lbf ft'],
  '[lbf_av]': ['lb'],
  '[kn_i]': ['kt', 'kts', 'knots'],
  L: ['litre', 'litres', 'ltr'],
  h: ['hours', 'hrs'],
}

/** The unit of that dimension that a person wrote, as UCUM code; null when there is none or more than one. */
export function unitWritten(text: string, dimension: Dimension): string | null {
  const typed = text.trim()
  const rows = unitsOf(dimension)
  const spelled = (row: (typeof rows)[number]): string[] => [row.code, row.symbol, ...(alsoWritten[row.code] ?? [])]
  const exact = rows.filter((row) => spelled(row).includes(typed))
  if (exact.length === 1) return exact[0]!.code
  // "m" is not "M": a metre is never taken for a nautical mile.
  if (dimension === 'distance' && typed === 'm') return null
  const folded = typed.toLowerCase().replaceAll('°', '')
  const alike = rows.filter((row) => spelled(row).some((one) => one.toLowerCase().replaceAll('°', '') === folded))
  return alike.length === 1 ? alike[0]!.code : null
}

/** What reading one kind's boxes gives. A field that was refused is left out of `data`. */
export interface ReadData {
  data: Record<string, unknown>
  refusals: Refusal[]
}

/**
 * Reads the boxes of a kind's fields. An empty box is an absent field; nothing is rounded, cut or completed. The refusals name boxes.
 * @param prefix put before every box name, for forms that hold several entries
 */
export function readData(kind: Kind, typed: Typed, reading: Reading, prefix = ''): ReadData {
  const data: Record<string, unknown> = {}
  const refusals: Refusal[] = []
  for (const spec of fieldsOf(kind)) {
    const box = prefix + spec.name
    const read = readField(spec, box, typed, reading)
    if ('problem' in read) refusals.push({ field: box, problem: read.problem })
    else if (read.value !== undefined) data[spec.name] = read.value
  }
  const unread = new Set(refusals.map((refusal) => refusal.field))
  const checked = kind.schema.safeParse(data)
  if (!checked.success)
    for (const refusal of explain(checked.error, kind.schema, data))
      if (!unread.has(prefix + refusal.field))
        refusals.push({ field: prefix + refusal.field, problem: refusal.problem })
  return { data, refusals }
}

type ReadField = { value: unknown } | { problem: string }

function readField(spec: FieldSpec, box: string, typed: Typed, reading: Reading): ReadField {
  const { meta } = spec
  const text = typed.get(box).replace(/\r\n?/g, '\n').trim()
  if (text === '') return { value: undefined }
  switch (spec.input) {
    case 'quantity':
      return readQuantity(meta as FieldMeta & { dimension: Dimension }, text, typed.get(unitBox(box)).trim(), reading)
    case 'money': {
      const number = readNumber(text, meta.title)
      if (!number.ok) return number
      const unit = typed.get(unitBox(box)).trim().toUpperCase()
      if (!/^[A-Z]{3}$/.test(unit))
        return {
          problem: `${meta.title}: got ${unit === '' ? 'no currency' : `the currency "${unit}"`}, expected a code of three letters, such as EUR.`,
        }
      return { value: { value: number.value, unit } satisfies Quantity }
    }
    case 'number': {
      const number = readNumber(text, meta.title)
      return number.ok ? { value: number.value } : number
    }
    case 'day': {
      const today = Temporal.Instant.fromEpochMilliseconds(reading.now)
        .toZonedDateTimeISO(reading.zoneAt(reading.now))
        .toPlainDate()
      const day = readDay(text, meta.title, today)
      return day.ok ? { value: day.date.toString() } : day
    }
    case 'flag':
      if (text === 'yes') return { value: true }
      if (text === 'no') return { value: false }
      return { problem: `${meta.title}: got "${text}", expected yes or no.` }
    case 'handle':
      return { value: spec.introduces ? text : handleMeant(text, meta.refers as 'equipment', reading.register) }
    default:
      return { value: text }
  }
}

function readQuantity(
  meta: FieldMeta & { dimension: Dimension },
  text: string,
  unitText: string,
  reading: Reading,
): ReadField {
  const codes = unitsOf(meta.dimension)
  const inBox = unitText === '' ? offeredUnit(meta, reading.settings) : unitWritten(unitText, meta.dimension)
  // "62 A" in the box of the figure: the unit is taken if it is the one that stands beside it.
  const parts = /^(.*[\d.,])\s*([^\d\s.,].*)$/u.exec(text)
  const trailing = parts ? unitWritten(parts[2]!, meta.dimension) : null
  if (inBox === null)
    return {
      problem: `${meta.title}: got the unit "${unitText}", expected ${codes.map((row) => row.symbol).join(', ')}.`,
    }
  if (parts && trailing !== null && trailing !== inBox)
    return {
      problem: `${meta.title}: got "${text}" with ${symbolOf(inBox)} beside it, expected one unit; write the figure alone and its unit beside it.`,
    }
  const number = readNumber(parts && trailing !== null ? parts[1]! : text, meta.title)
  return number.ok ? { value: { value: number.value, unit: inBox } satisfies Quantity } : number
}

/** The handle that is meant: a handle that is known, else the one whose name was typed, else what was typed. */
export function handleMeant(text: string, refers: 'equipment' | 'meter' | 'task', register: Register): string {
  const folded = text.toLowerCase()
  const named = (handles: Iterable<string>, name: (handle: string) => string): string | undefined => {
    const alike = [...handles].filter((handle) => name(handle).toLowerCase() === folded)
    return alike.length === 1 ? alike[0] : undefined
  }
  if (refers === 'equipment')
    return register.equipment.has(text)
      ? text
      : (named(register.equipment.keys(), (handle) => register.equipment.get(handle)!.name) ?? text)
  if (refers === 'meter')
    return register.meters.has(text)
      ? text
      : (named(register.meters.keys(), (handle) => register.meters.get(handle)!.name) ?? text)
  return register.tasks.has(text)
    ? text
    : (named(register.tasks.keys(), (handle) => register.tasks.get(handle)!.data.name) ?? text)
}

/** The box of the initials. */
export const handBox = 'entry.hand'

/** Reads the initials. */
export function readHand(typed: Typed): { ok: true; hand: string } | { ok: false; refusals: Refusal[] } {
  const hand = typed.get(handBox).trim()
  if (hand === '' || hand.length > 24)
    return {
      ok: false,
      refusals: [
        {
          field: handBox,
          problem:
            hand === ''
              ? 'Hand: got nothing, expected the initials of who writes, such as K.S.'
              : `Hand: got ${hand.length} characters, expected initials, at most 24.`,
        },
      ],
    }
  return { ok: true, hand }
}

/** What reading a whole form gives: one entry, or what is wrong with which box. What was typed stays with whoever asked. */
export type ParsedForm =
  | { ok: true; occurredAt: string; at: number; hand: string; data: Record<string, unknown> }
  | { ok: false; refusals: Refusal[]; turns?: readonly Turn[] }

/**
 * Reads a form of one entry: when, who, and the fields of its kind.
 * @param before when the entry that is amended happened, so that a time left alone keeps its seconds
 */
export function parseForm(kind: Kind, typed: Typed, reading: Reading, before?: string): ParsedForm {
  const when = readWhen(typed, reading, before)
  const hand = readHand(typed)
  const { data, refusals } = readData(kind, typed, reading)
  if (when.ok && hand.ok && refusals.length === 0)
    return { ok: true, occurredAt: when.occurredAt, at: when.at, hand: hand.hand, data }
  return {
    ok: false,
    refusals: [...refusals, ...(when.ok ? [] : when.refusals), ...(hand.ok ? [] : hand.refusals)],
    ...(!when.ok && when.turns ? { turns: when.turns } : {}),
  }
}

/** The boxes filled in with the data of an entry, for amending it: reading them back gives the same data. */
export function boxesOf(kind: Kind, data: Readonly<Record<string, unknown>>, prefix = ''): Record<string, string> {
  const boxes: Record<string, string> = {}
  for (const spec of fieldsOf(kind)) {
    const value = data[spec.name]
    if (value === undefined) continue
    const box = prefix + spec.name
    if (spec.input === 'quantity' || spec.input === 'money') {
      const { value: figure, unit } = value as Quantity
      boxes[box] = boxNumber(figure)
      boxes[unitBox(box)] = symbolOf(unit)
    } else if (spec.input === 'flag') boxes[box] = value ? 'yes' : 'no'
    else if (spec.input === 'number') boxes[box] = boxNumber(value as number)
    else if (spec.input === 'day') boxes[box] = boxDay(String(value))
    else boxes[box] = String(value)
  }
  return boxes
}

/** Boxes that stand in for each other, the first ones over the later ones: what was typed over what is filled in. */
export const filled = (...layers: readonly Readonly<Record<string, string>>[]): Typed =>
  new Typed(Object.entries(Object.assign({}, ...[...layers].reverse()) as Record<string, string>))
