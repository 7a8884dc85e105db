import { defaultLevel, type Estimate, type NotEnough, notEnough, requireFinite, requireLevel } from './estimate.ts'
import { medianAbsoluteDeviation } from './median-absolute-deviation.ts'
import { median } from './sample-quantile.ts'
import { studentTQuantile } from './student-t.ts'

/**
 * Huber's M-estimate of location with the scale fixed at the median absolute deviation (times 1.4826): the value m that
 * is the mean of the values once each is pulled in to within k scales of m. k = 1.5 keeps 96 % of the mean's precision
 * on normal values. Huber (1964; 1981, section 6.4). All in the unit of the values; iterated until it stands still.
 *
 * Interval: m -+ t(n - 1) times the standard error from the influence function (Huber 1981, section 6.5).
 * `not-enough` counts values, of which 3 are needed; or, when more than half the values are equal, so that there is no
 * scale, those that differ from the median, of which half of all are needed. Empty input gives n = 0.
 * Throws a RangeError for a value that is not finite, k <= 0 or a level outside 0..1.
 */
export function huberLocation(
  values: readonly number[],
  options: { k?: number; level?: number } = {},
): (Estimate & { scale: number }) | NotEnough {
  const { k = 1.5, level = defaultLevel } = options
  requireLevel(level)
  requireFinite(values, 'values')
  if (!(k > 0)) throw new RangeError(`Huber’s k was ${k}; expected a number above zero, such as 1.5.`)
  const n = values.length
  if (n < 3) return notEnough(n, 3)
  const middle = median(values)
  const scale = medianAbsoluteDeviation(values)
  if (scale === 0) return notEnough(values.filter((value) => value !== middle).length, Math.ceil(n / 2))
  const reach = k * scale
  let value = middle
  for (let step = 0; step < 500; step++) {
    const next = values.reduce((sum, x) => sum + Math.min(value + reach, Math.max(value - reach, x)), 0) / n
    const moved = Math.abs(next - value)
    value = next
    if (moved <= 1e-14 * scale) break
  }
  const inside = values.filter((x) => Math.abs(x - value) <= reach).length / n
  const squares = values.reduce((sum, x) => sum + Math.min(reach, Math.abs(x - value)) ** 2, 0)
  const error = Math.sqrt(squares / (n - 1) / n) / inside
  const half = studentTQuantile((1 + level) / 2, n - 1) * error
  return { kind: 'estimate', value, low: value - half, high: value + half, level, n, scale }
}
