import { largestMeasurable, type NotEnough, notEnough, requireFinite, requireSameLength } from './estimate.ts'
import { medianOfSorted } from './sample-quantile.ts'

/**
 * Siegel's repeated median: for each observation the median slope to all others with a different x, and of these the
 * median, in units of y over units of x. Siegel (1982). Nearly half the observations may be wild, against 29 % for
 * theil-sen.ts, which is the one to ask for an interval: none is in common use for this slope, so none is given.
 * `not-enough` counts different x: 2 are needed. Empty input gives n = 0.
 * Throws a RangeError for unequal lengths or a number that is not finite. Cost grows with n² log n.
 */
export function siegelSlope(
  x: readonly number[],
  y: readonly number[],
): { kind: 'estimate'; value: number; n: number } | NotEnough {
  requireSameLength(x, y, 'x and y')
  requireFinite(x, 'values of x')
  requireFinite(y, 'values of y')
  const different = new Set(x).size
  const each = x.flatMap((from, i) => {
    const slopes = Float64Array.from(x, (to, j) => (y[j]! - y[i]!) / (to - from))
      .filter(isSlope)
      .sort()
    return slopes.length > 0 ? [medianOfSorted(slopes)] : []
  })
  if (different < 2 || each.length === 0) return notEnough(Math.min(1, different), 2)
  return { kind: 'estimate', value: medianOfSorted(Float64Array.from(each).sort()), n: x.length }
}

/** False where the two x are equal, or too near each other for a slope. */
const isSlope = (slope: number): boolean => Math.abs(slope) <= largestMeasurable
