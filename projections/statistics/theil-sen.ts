import {
  defaultLevel,
  type Estimate,
  largestMeasurable,
  type NotEnough,
  notEnough,
  requireFinite,
  requireLevel,
  requireSameLength,
} from './estimate.ts'
import { normalQuantile } from './normal.ts'
import { median, medianOfSorted } from './sample-quantile.ts'

/**
 * A robust slope, in units of y over units of x, and two intercepts for it: through the medians of x and y, and
 * (`joint`) the median of y - slope x. `pairs` pairs had x different enough for a slope.
 */
export type TheilSen = Estimate & { intercept: number; jointIntercept: number; pairs: number }

/**
 * Theil-Sen slope of y against x: the median of the slopes of all pairs with different x. Theil (1950); Sen (1968),
 * whose interval this is: order statistics of the slopes at (N -+ z σ) / 2, σ² the variance of Kendall's S with ties
 * in x and y. Ranks rounded half to even, as scipy's theilslopes does; others interpolate. 29 % of the observations
 * may be wild.
 *
 * `not-enough` counts observations: at 0.95 at least 5 are needed for both ends to lie within the slopes; it is also
 * the answer, with needed = n + 1, when ties leave the ends outside. Empty input, or one single x, gives it too.
 * Throws a RangeError for unequal lengths, a number not finite or a level outside 0..1. Cost and memory grow with n².
 */
export function theilSen(
  x: readonly number[],
  y: readonly number[],
  options: { level?: number } = {},
): TheilSen | NotEnough {
  const { level = defaultLevel } = options
  requireLevel(level)
  requireSameLength(x, y, 'x and y')
  requireFinite(x, 'values of x')
  requireFinite(y, 'values of y')
  const n = x.length
  const z = normalQuantile((1 + level) / 2)
  const needed = fewest(z)
  if (n < needed) return notEnough(n, needed)
  const found: number[] = []
  for (let i = 1; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const slope = (y[i]! - y[j]!) / (x[i]! - x[j]!)
      // Adding 0 makes one of the two zeros, so that the order of the pairs leaves no trace.
      if (Math.abs(slope) <= largestMeasurable) found.push(slope + 0)
    }
  }
  const slopes = Float64Array.from(found).sort()
  const sigma = Math.sqrt((n * (n - 1) * (2 * n + 5) - tied(x) - tied(y)) / 18)
  const ends = ranks(slopes.length, z * sigma)
  if (!ends) return notEnough(n, n + 1)
  const slope = medianOfSorted(slopes)
  return {
    kind: 'estimate',
    value: slope,
    low: slopes[ends.low]!,
    high: slopes[ends.high]!,
    level,
    n,
    intercept: median(y) - slope * median(x),
    jointIntercept: medianOfSorted(Float64Array.from(x, (value, i) => y[i]! - slope * value).sort()),
    pairs: slopes.length,
  }
}

function ranks(pairs: number, spread: number): { low: number; high: number } | undefined {
  const low = roundHalfToEven((pairs - spread) / 2) - 1
  const high = roundHalfToEven((pairs + spread) / 2)
  return low >= 0 && high < pairs ? { low, high } : undefined
}

/** The smallest number of untied observations whose slopes reach out to both ends of the interval. */
function fewest(z: number): number {
  let n = 2
  while (!ranks((n * (n - 1)) / 2, z * Math.sqrt((n * (n - 1) * (2 * n + 5)) / 18))) n++
  return n
}

function tied(values: readonly number[]): number {
  const counts = new Map<number, number>()
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1)
  return [...counts.values()].reduce((sum, t) => sum + t * (t - 1) * (2 * t + 5), 0)
}

function roundHalfToEven(value: number): number {
  const rounded = Math.round(value)
  return rounded - value === 0.5 && rounded % 2 !== 0 ? rounded - 1 : rounded
}
