import { gammaQuantile } from '../../../projections/statistics/gamma.ts'
import { normalQuantile } from '../../../projections/statistics/normal.ts'

/** A figure with the ends between which it lies in nineteen of twenty. */
export interface Interval {
  readonly value: number
  readonly low: number
  readonly high: number
}

const z = normalQuantile(0.975)

/** A share, by the score interval (Wilson 1927); of nothing, from 0 to 1. */
export function shareInterval(hits: number, of: number): Interval {
  if (of === 0) return { value: 0, low: 0, high: 1 }
  const p = hits / of
  const middle = (p + z ** 2 / (2 * of)) / (1 + z ** 2 / of)
  const half = (z / (1 + z ** 2 / of)) * Math.sqrt((p * (1 - p)) / of + z ** 2 / (4 * of ** 2))
  return { value: p, low: middle - half, high: middle + half }
}

/** Events over an exposure, exact for Poisson counts (Garwood 1936). Exposure above 0. */
export const rateInterval = (events: number, exposure: number): Interval => ({
  value: events / exposure,
  low: events === 0 ? 0 : gammaQuantile(0.025, events, 1) / exposure,
  high: gammaQuantile(0.975, events + 1, 1) / exposure,
})

/** The median, by order statistics (binomial, in its normal form); null of an empty list. */
export function medianInterval(values: readonly number[]): Interval | null {
  if (values.length === 0) return null
  const sorted = [...values].sort((a, b) => a - b)
  const n = sorted.length
  const at = (place: number) => sorted[Math.max(0, Math.min(n - 1, place))]!
  const half = (z * Math.sqrt(n)) / 2
  return {
    value: (at(Math.floor((n - 1) / 2)) + at(Math.ceil((n - 1) / 2))) / 2,
    low: at(Math.floor(n / 2 - half)),
    high: at(Math.ceil(n / 2 + half) - 1),
  }
}
