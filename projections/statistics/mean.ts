import { defaultLevel, type Estimate, type NotEnough, notEnough, requireFinite, requireLevel } from './estimate.ts'
import { studentTQuantile } from './student-t.ts'

/**
 * Mean with Student's interval (Student 1908), for values scattered evenly about it, and their standard deviation
 * (divisor n - 1), all in the unit of the values. One gross error spoils it: huber-location.ts does not mind.
 * `not-enough` counts values: two are needed. Empty input gives n = 0. Throws a RangeError for a value that is not
 * finite.
 */
export function mean(
  values: readonly number[],
  options: { level?: number } = {},
): (Estimate & { sd: number }) | NotEnough {
  const { level = defaultLevel } = options
  requireLevel(level)
  requireFinite(values, 'values')
  const n = values.length
  if (n < 2) return notEnough(n, 2)
  const value = values.reduce((sum, x) => sum + x, 0) / n
  const sd = Math.sqrt(values.reduce((sum, x) => sum + (x - value) ** 2, 0) / (n - 1))
  const half = (studentTQuantile((1 + level) / 2, n - 1) * sd) / Math.sqrt(n)
  return { kind: 'estimate', value, low: value - half, high: value + half, level, n, sd }
}
