import { ascending, median, medianOfSorted } from './sample-quantile.ts'

/**
 * Median absolute deviation from the median, times `factor`, in the unit of the values. The factor 1.4826 (the default,
 * R's rounding of 1 / 0.67448...) makes it the standard deviation of normal values; 1 gives the plain deviation.
 * Hampel (1974); Huber (1981), section 5.1. Half the values may be anything. It is 0 when more than half are equal, as
 * rounded readings often are. A description: throws a RangeError when there are no values or one is not finite.
 */
export function medianAbsoluteDeviation(values: readonly number[], factor = 1.4826): number {
  const middle = medianOfSorted(ascending(values))
  return factor * median(values.map((value) => Math.abs(value - middle)))
}
