/**
 * What the files of this folder hand back, and what they refuse.
 *
 * - An **estimate** (a guess at something that was not seen) is `{ kind: 'estimate', ... }` with its interval, or
 *   `{ kind: 'not-enough', n, needed }`. It is never a lone number, so that nobody can forget to say how sure it is.
 * - A **test** is `{ kind: 'test', ... }` with its statistic and p-value, or `not-enough`.
 * - A **description** of numbers in hand (a median, a spread, a running sum) and a **distribution function** are plain
 *   numbers.
 *
 * Nothing returns NaN. What no caller can mean (a negative life, a probability of 1.2, lists of unequal length, the
 * median of nothing) throws a `RangeError` that says what was got and what was expected: it is a bug in the caller.
 */

/** An estimated number with the ends of its interval; all in the unit of the estimated thing. */
export type Interval = { value: number; low: number; high: number }

/** An estimate of one number: `level` is the interval's nominal confidence (0..1), `n` the number of observations. */
export type Estimate = Interval & { kind: 'estimate'; level: number; n: number }

/**
 * There is too little to go on: `n` is what there is, `needed` what there must be; each function says what it counts
 * (observations, failures, units).
 */
export type NotEnough = { kind: 'not-enough'; n: number; needed: number }

/** Makes the answer of an estimator that has `n` of the `needed` things that it counts. */
export function notEnough(n: number, needed: number): NotEnough {
  return { kind: 'not-enough', n, needed }
}

/** The level used where the caller names none: 0.95, the custom of the sources cited throughout this folder. */
export const defaultLevel = 0.95

/** Throws a RangeError unless `level` lies strictly between 0 and 1. */
export function requireLevel(level: number): void {
  if (!(level > 0 && level < 1)) {
    throw new RangeError(`The level of an interval was ${level}; expected a number between 0 and 1, such as 0.95.`)
  }
}

/** Throws a RangeError unless `p` lies in 0..1, both ends allowed. */
export function requireProbability(p: number): void {
  if (!(p >= 0 && p <= 1)) {
    throw new RangeError(`The probability was ${p}; expected a number from 0 to 1.`)
  }
}

/** Throws a RangeError unless `value` is a finite number above zero; `name` is used in the message. */
export function requirePositive(value: number, name: string): void {
  if (!(value > 0 && value < Number.POSITIVE_INFINITY)) {
    throw new RangeError(`The ${name} was ${value}; expected a finite number above zero.`)
  }
}

/** No measured quantity or slope is larger, and sums of squares of numbers up to here cannot overflow. */
export const largestMeasurable = 1e100

/**
 * Throws a RangeError unless `value` lies above zero and at most at 1e9, beyond which sums that grow with its root
 * would take too long; `name` is used in the message.
 */
export function requireShape(value: number, name: string): void {
  if (!(value > 0 && value <= 1e9)) {
    throw new RangeError(`The ${name} was ${value}; expected a number above zero and up to 1e9.`)
  }
}

/** Throws a RangeError when any of `values` is not a finite number within -+1e100; `name` is used in the message. */
export function requireFinite(values: readonly number[], name: string): void {
  const bad = values.find((value) => !(Math.abs(value) <= largestMeasurable))
  if (bad !== undefined) {
    throw new RangeError(
      `One of the ${name} was ${bad}; expected numbers within ±1e100 only. Leave out what was not measured.`,
    )
  }
}

/** Throws a RangeError unless the two lists are equally long. */
export function requireSameLength(a: readonly unknown[], b: readonly unknown[], names: string): void {
  if (a.length !== b.length) {
    throw new RangeError(`The lists of ${names} have ${a.length} and ${b.length} members; expected one for each other.`)
  }
}
