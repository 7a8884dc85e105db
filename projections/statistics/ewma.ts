import { requireFinite, requirePositive } from './estimate.ts'

/** After each value: the weighted average, how far from the mean it may stray, and whether it strayed further. */
export type EwmaPoint = { average: number; halfWidth: number; signal: boolean }

/**
 * Exponentially weighted moving average, started at the mean, with exact limits that widen with the number of values:
 * `L sd √(λ / (2 - λ) (1 - (1 - λ)^(2i)))`, i counted from the first value. Roberts (1959); NIST/SEMATECH e-Handbook,
 * section 6.3.2.4. `lambda` (above 0, up to 1) is the weight of the newest value; `mean` and `sd` are those of the
 * time when all was well, in the unit of the values; `limit` is L, in standard deviations. A signal when the average
 * is further off than the half width, strictly. Empty input gives an empty list. Throws a RangeError for a number
 * that is not finite, lambda outside 0..1, or sd or limit not above zero.
 */
export function ewma(
  values: readonly number[],
  chart: { mean: number; sd: number; lambda: number; limit: number },
): EwmaPoint[] {
  const { mean, sd, lambda, limit } = chart
  requireFinite(values, 'values')
  requireFinite([mean], 'settings of the chart')
  requirePositive(sd, 'standard deviation')
  requirePositive(limit, 'limit')
  requireLambda(lambda)
  let average = mean
  return values.map((value, i) => {
    average = (1 - lambda) * average + lambda * value
    const halfWidth = limit * sd * ewmaError(lambda, i + 1)
    return { average, halfWidth, signal: Math.abs(average - mean) > halfWidth }
  })
}

/**
 * Standard error of the average after `count` values (infinity: in the long run), in standard deviations of one value.
 */
export function ewmaError(lambda: number, count: number): number {
  return Math.sqrt((lambda / (2 - lambda)) * (1 - (1 - lambda) ** (2 * count)))
}

/** Throws a RangeError unless lambda lies above 0 and at most at 1. */
export function requireLambda(lambda: number): void {
  if (!(lambda > 0 && lambda <= 1)) {
    throw new RangeError(`The weight lambda was ${lambda}; expected a number above 0 and up to 1, such as 0.2.`)
  }
}
