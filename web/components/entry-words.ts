import { inner, metaOf, type Quantity } from '../../events/define.ts'
import { type Entry, kindOf } from '../../events/index.ts'
import type { Settings } from '../../projections/settings.ts'
import { formatFigure, formatNumber, quantityText } from './figure.tsx'

/** The name of what an entry refers to: a piece of equipment, a meter, a task by its handle, another entry by its id. */
export type Names = (refers: 'equipment' | 'meter' | 'task' | 'entry', handle: string) => string

/** One field of an entry as it reads in a log line. */
export interface Piece {
  readonly field: string
  /** What joins it to the piece before: a comma, a colon, a semicolon or a full stop, with its space. */
  readonly join: string
  readonly before: string
  readonly value: string
  readonly after: string
  /** As it was written, where it is shown in another unit. */
  readonly entered?: string
  /** The id of another entry that it names. */
  readonly to?: string
  /** The fact of its line: what a check found amiss. */
  readonly fact: boolean
}

/** A field that was amended: what was there, who amended it, what holds. Null: nothing was there. */
export interface Change {
  readonly field: string
  readonly join: string
  readonly was: readonly { readonly piece: Piece | null; readonly hand: string }[]
  readonly now: Piece | null
}

/** What is amiss in a check, and so stands bold. */
const amiss: Record<string, (value: unknown) => boolean> = {
  found: (value) => value !== 'normal',
  dust: (value) => value === 'film' || value === 'heavy',
  impeller: (value) => value !== 'sound',
  oilLook: (value) => value === 'thin' || value === 'milky',
  coolantLevel: (value) => value !== 'at the mark',
  waterInBowl: (value) => value === 'some' || value === 'much',
  rawWaterSeen: (value) => value !== 'seen',
}

const lower = (title: string): string =>
  /^\p{Lu}(?!\p{Lu})/u.test(title) ? title[0]!.toLowerCase() + title.slice(1) : title

/** The fields of an entry that read in its line, in the order of its schema. */
export function piecesOf(entry: Entry, settings: Settings, names: Names): Piece[] {
  return fieldsOf(entry).flatMap((name) => {
    const piece = pieceOf(entry, name, settings, names)
    return piece ? [piece] : []
  })
}

const fieldsOf = (entry: Entry): string[] => Object.keys(kindOf(entry.type)!.schema.shape)

/** One field as a piece; null when it is absent, or when it is not said and need not be. */
function pieceOf(entry: Entry, name: string, settings: Settings, names: Names, always = false): Piece | null {
  const value = (entry.data as Record<string, unknown>)[name]
  if (value === undefined) return null
  const meta = metaOf(inner(kindOf(entry.type)!.schema.shape[name] as never), name)
  const says = meta.says === '' && always ? `${lower(meta.title)} {}` : (meta.says ?? `${lower(meta.title)} {}`)
  if (says === '') return null
  const [, join = ', ', template = ''] = /^([.:;,] )?(.*)$/s.exec(says)!
  const fact = amiss[name]?.(value) ?? false
  const common = { field: name, join, fact }
  if (typeof value === 'boolean') {
    const words = template.replace(' {}', '')
    return { ...common, before: '', value: value ? words : `${words}: no`, after: '' }
  }
  const [before = '', after = ''] = template.split('{}') as [string, string?]
  if (typeof value === 'number') return { ...common, before, value: formatNumber(value, decimals(value)), after }
  if (typeof value === 'object' && value !== null) {
    const { value: amount, unit } = value as Quantity
    if (meta.money) {
      const whole = Number.isInteger(amount)
      return { ...common, before, value: formatFigure(amount, unit, whole ? 0 : 2), after }
    }
    const { text, entered } = quantityText({ value: amount, unit }, settings)
    return { ...common, before, value: text, after, ...(entered === undefined ? {} : { entered }) }
  }
  const text = String(value)
  if (meta.refers === 'entry') return { ...common, before, value: names('entry', text), after, to: text }
  if (meta.refers) return { ...common, before, value: names(meta.refers, text), after }
  return { ...common, before, value: meta.words?.[text] ?? text, after }
}

const decimals = (value: number): number => Math.min(6, (String(value).split('.')[1] ?? '').length)

/** The pieces of an amended entry: what never changed as it is, what did as a change. The reason is not among them. */
export function changesOf(versions: readonly Entry[], settings: Settings, names: Names): (Piece | Change)[] {
  const tip = versions[versions.length - 1]!
  return fieldsOf(tip).flatMap((name): (Piece | Change)[] => {
    if (name === 'why') return []
    const values = versions.map((entry) => JSON.stringify((entry.data as Record<string, unknown>)[name]))
    if (values.every((value) => value === values[0])) {
      const piece = pieceOf(tip, name, settings, names)
      return piece ? [piece] : []
    }
    const was = versions.slice(0, -1).flatMap((entry, index) => {
      if (values[index] === values[index + 1]) return []
      return [{ piece: pieceOf(entry, name, settings, names, true), hand: versions[index + 1]!.hand }]
    })
    const now = pieceOf(tip, name, settings, names, true)
    const join = now?.join ?? was.find(({ piece }) => piece !== null)?.piece?.join ?? ', '
    return [{ field: name, join, was, now }]
  })
}

/** What joins a piece to the text before it: nothing at the beginning, no second full stop after one that is there. */
export const joinAfter = (text: string, join: string): string =>
  text === '' ? '' : /[.!?]$/.test(text) && join.startsWith('.') ? join.slice(1) : join

/** The full stop that ends a line, unless it ends with one. */
export const stopAfter = (text: string): string => (text === '' || /[.!?]$/.test(text) ? '' : '.')

/** An entry as a line of plain text, without its kind: "2 000 rpm, 73 A, coolant 81 °C." Empty when it says nothing more. */
export function entryText(entry: Entry, settings: Settings, names: Names): string {
  const text = piecesOf(entry, settings, names).reduce(
    (line, { join, before, value, after }) => `${line}${joinAfter(line, join)}${before}${value}${after}`,
    '',
  )
  return text + stopAfter(text)
}

/** A field as it reads by itself, in a table or an export: its title and its value. */
export function fieldText(
  entry: Entry,
  name: string,
  settings: Settings,
  names: Names,
): { title: string; value: string; entered?: string } | null {
  const schema = kindOf(entry.type)!.schema.shape[name]
  const piece = schema === undefined ? null : pieceOf(entry, name, settings, names, true)
  if (!piece) return null
  const { title } = metaOf(inner(schema as never), name)
  const data = (entry.data as Record<string, unknown>)[name]
  const value = typeof data === 'boolean' ? (data ? 'yes' : 'no') : piece.value
  return { title, value, ...(piece.entered === undefined ? {} : { entered: piece.entered }) }
}
