import type { Kind, Quantity } from '../../events/define.ts'
import { convert } from '../../events/units.ts'
import { questionReading } from '../../projections/meter-hours.ts'
import { meterOf, type Register } from '../../projections/register.ts'
import type { Timeline } from '../../projections/timeline.ts'
import type { Typed } from './typed.ts'

/** A figure that is questioned: it is kept if it is confirmed. */
export interface Question {
  /** What the boxes of its entry begin with. */
  readonly prefix: string
  readonly box: string
  readonly sentence: string
}

/** The boxes that confirm a questioned figure: the tick, and the figure that the question was about. */
export const confirmBoxes = (prefix: string) => ({
  right: `${prefix}confirmed`,
  asked: `${prefix}confirmed.asked`,
})

/** Whether the figure in a box was confirmed as it stands there now: a question that was about another figure is asked again. */
export const isConfirmed = (typed: Typed, prefix: string, box: string): boolean => {
  const { right, asked } = confirmBoxes(prefix)
  return typed.get(right) === 'yes' && typed.get(asked) === typed.get(box).trim()
}

/** The reading of an hours meter that an entry holds: which meter, which field; undefined when it holds none. */
function readingIn(
  kind: Kind,
  data: Readonly<Record<string, unknown>>,
  register: Register,
): { meter: string; field: string; hours: number } | undefined {
  const field = kind.type === 'hours-read' ? 'reading' : 'hours'
  const quantity = data[field] as Quantity | undefined
  if (quantity === undefined || !('confirmed' in kind.schema.shape)) return undefined
  const meter =
    kind.type === 'hours-read' ? String(data.meter) : meterOf(register, String(data.equipment), 'hours')?.handle
  return meter === undefined ? undefined : { meter, field, hours: convert(quantity.value, quantity.unit, 'h') }
}

/**
 * Questions a reading of an hours meter that runs backwards or beyond what the clock allows. One that was confirmed is not asked again.
 * @param from the fair log without the entry that is amended
 * @returns the data with `confirmed` as it was answered, and the question that is still open, or null
 */
export function questioned(
  from: Timeline,
  register: Register,
  kind: Kind,
  data: Readonly<Record<string, unknown>>,
  at: number,
  typed: Typed,
  prefix = '',
): { data: Record<string, unknown>; question: Question | null } {
  const { confirmed: _, ...rest } = data
  const reading = readingIn(kind, rest, register)
  const sentence = reading ? questionReading(from, reading.meter, at, reading.hours) : null
  if (!reading || sentence === null) return { data: rest, question: null }
  const box = prefix + reading.field
  if (isConfirmed(typed, prefix, box)) return { data: { ...rest, confirmed: true }, question: null }
  return { data: rest, question: { prefix, box, sentence } }
}
