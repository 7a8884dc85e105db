import type { Estimate } from './figure.ts'
import { studentTQuantile } from './statistics/student-t.ts'

/** What was used over some hours, days or miles, and the entries that say so. */
export interface Stretch {
  readonly used: number
  /** Above 0. */
  readonly over: number
  readonly entries: readonly string[]
}

/** A rate learnt from stretches; `n` counts them. What is expected of a stretch to come is `expectedOver`. */
export type LearntRate =
  | {
      readonly kind: 'estimate'
      /** Used for each one that it was used over. */
      readonly value: number
      readonly n: number
      /** All that the stretches were over. */
      readonly over: number
      /** Variance of what is used over a stretch of one. */
      readonly variance: number
      readonly entries: readonly string[]
    }
  | { readonly kind: 'not-enough'; readonly n: number; readonly needed: number }

/** The chance with which what comes lies between low and high. */
export const rateLevel = 0.8

/** From fewer than this nothing is said of how stretches differ. */
const fewest = 3

/** Only the last ones: an engine and her crew change over the years. */
const most = 12

/** How many entries a figure names; an address holds no more. */
const mostNamed = 30

/**
 * The rate of use: all that was used over all that it was used over. Weighted least squares through the origin, the variance of what is used
 * growing with the length of the stretch (Snedecor and Cochran, Statistical Methods, 8th ed., section 9.13; Cochran, Sampling Techniques, 3rd
 * ed., section 6.7; both from memory). `not-enough` counts stretches: three are needed; an empty list gives n = 0.
 * @param stretches in order of time; the last twelve are taken
 */
export function learntRate(stretches: readonly Stretch[], needed = fewest): LearntRate {
  const taken = stretches.filter(({ used, over }) => over > 0 && Number.isFinite(used)).slice(-most)
  if (taken.length < Math.max(2, needed)) return { kind: 'not-enough', n: taken.length, needed }
  const over = taken.reduce((sum, one) => sum + one.over, 0)
  const value = taken.reduce((sum, one) => sum + one.used, 0) / over
  const squares = taken.reduce((sum, one) => sum + (one.used - value * one.over) ** 2 / one.over, 0)
  return {
    kind: 'estimate',
    value,
    n: taken.length,
    over,
    variance: squares / (taken.length - 1),
    entries: [...new Set(taken.flatMap((one) => one.entries))].slice(-mostNamed),
  }
}

/**
 * What will be used over a stretch to come, with the ends between which it lies in four of five: Student's t with n - 1 degrees of freedom, for
 * the scatter of the stretch itself and of the rate. Never below nothing. Over 0 it is 0.
 */
export function expectedOver(rate: LearntRate, over: number): Estimate {
  if (rate.kind === 'not-enough') return rate
  const value = rate.value * over
  const sd = Math.sqrt(rate.variance * (over + over ** 2 / rate.over))
  const reach = studentTQuantile((1 + rateLevel) / 2, rate.n - 1) * sd
  return { kind: 'estimate', value, low: Math.max(0, value - reach), high: value + reach, n: rate.n }
}

/** How far a stretch of that length is off what is expected of it, as a share (coefficient of variation); null where nothing is expected. */
export function variationOver(rate: LearntRate, over: number): number | null {
  if (rate.kind === 'not-enough' || !(rate.value * over > 0)) return null
  return Math.sqrt(rate.variance * (over + over ** 2 / rate.over)) / (rate.value * over)
}
