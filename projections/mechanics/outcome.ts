/**
 * What a relation gives: its figures, or a sentence for people that says what was got, what was expected and what to do.
 * No figure in an `ok` outcome is NaN or infinite.
 */
export type Outcome<Figures extends object> = ({ ok: true } & Figures) | { ok: false; problem: string }

/** One number handed to a relation, with the range in which the relation holds. */
export interface Given {
  /** What it is, in words that follow "The". */
  name: string
  value: number
  /** Unit as people read it; empty for a bare number. */
  unit: string
  /** The value must be greater than this. */
  above?: number
  /** The value must be this or greater. */
  atLeast?: number
  /** The value must be less than this. */
  below?: number
  /** The value must be this or less. */
  atMost?: number
  /** What to do about it, as a whole sentence. Default: look at the entry or setting that it came from. */
  remedy?: string
}

/**
 * The first number that is missing, not finite or out of its range, as a sentence; undefined when all will do.
 * An empty list gives undefined.
 */
export function firstProblem(given: readonly Given[]): string | undefined {
  for (const one of given) {
    const sentence = problemWith(one)
    if (sentence !== undefined) return sentence
  }
  return undefined
}

/** The figures as an `ok` outcome, or a problem where one of them is beyond what a number can hold. */
export function settled<Figures extends object>(figures: Figures): Outcome<Figures> {
  for (const [name, value] of Object.entries(figures)) {
    if (typeof value === 'number' && !Number.isFinite(value)) return refused(beyondNumbers(name))
  }
  return { ok: true, ...figures }
}

/** A problem as an outcome. */
export function refused(problem: string): { ok: false; problem: string } {
  return { ok: false, problem }
}

function problemWith({ name, value, unit, above, atLeast, below, atMost, remedy }: Given): string | undefined {
  const inUnit = (number: number) => (unit === '' ? `${number}` : `${number} ${unit}`)
  const wanted: string[] = []
  if (above !== undefined) wanted.push(`more than ${inUnit(above)}`)
  if (atLeast !== undefined) wanted.push(`${inUnit(atLeast)} or more`)
  if (below !== undefined) wanted.push(`less than ${inUnit(below)}`)
  if (atMost !== undefined) wanted.push(`${inUnit(atMost)} or less`)
  const expected = wanted.length === 0 ? 'a finite number' : wanted.join(' and ')
  const toDo = remedy ?? 'Look at the entry or setting that it came from.'
  if (!Number.isFinite(value)) return `The ${name} was not a finite number; expected ${expected}. ${toDo}`
  const within =
    (above === undefined || value > above) &&
    (atLeast === undefined || value >= atLeast) &&
    (below === undefined || value < below) &&
    (atMost === undefined || value <= atMost)
  return within ? undefined : `The ${name} was ${inUnit(value)}; expected ${expected}. ${toDo}`
}

function beyondNumbers(name: string): string {
  const words = name.replace(/([A-Z])/g, (letter) => ` ${letter.toLowerCase()}`)
  return `The ${words} came out beyond what a number can hold; expected a figure of this world. Look for a mistyped figure among those that it came from.`
}
