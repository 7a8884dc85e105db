import { defaultLevel, type Estimate, type NotEnough, notEnough, requireFinite, requireLevel } from './estimate.ts'
import { medianAbsoluteDeviation } from './median-absolute-deviation.ts'
import { normalCdf, normalDensity } from './normal.ts'
import { median } from './sample-quantile.ts'
import { studentTQuantile } from './student-t.ts'

/**
 * Huber's Proposal 2: location and scale together, each residual pulled in to within k scales; the scale is that which
 * makes the sum of squared pulled-in residuals what it would be for n - 1 normal values. Huber (1964); Huber (1981),
 * section 6.4, with n - 1 as in MASS `hubers` and statsmodels. k = 1.5. Against a third of gross errors it gives way
 * earlier than huber-location.ts, on clean values its scale is steadier. All in the unit of the values.
 *
 * Interval and `not-enough` as `huberLocation`, also when the scale shrinks to nothing on values mostly equal.
 * Throws a RangeError for a value that is not finite, k <= 0 or a level outside 0..1.
 */
export function huberProposal2(
  values: readonly number[],
  options: { k?: number; level?: number } = {},
): (Estimate & { scale: number }) | NotEnough {
  const { k = 1.5, level = defaultLevel } = options
  requireLevel(level)
  requireFinite(values, 'values')
  if (!(k > 0)) throw new RangeError(`Huber’s k was ${k}; expected a number above zero, such as 1.5.`)
  const n = values.length
  if (n < 3) return notEnough(n, 3)
  const inCore = 2 * normalCdf(k) - 1
  const expectedSquare = inCore + k * k * (1 - inCore) - 2 * k * normalDensity(k)
  let value = median(values)
  const start = medianAbsoluteDeviation(values)
  const spread = notEnough(values.filter((x) => x !== value).length, Math.ceil(n / 2))
  if (start === 0) return spread
  let scale = start
  for (let step = 0; step < 1000; step++) {
    const reach = k * scale
    const nextValue = values.reduce((sum, x) => sum + Math.min(value + reach, Math.max(value - reach, x)), 0) / n
    const squares = values.reduce((sum, x) => sum + Math.min(reach, Math.abs(x - nextValue)) ** 2, 0)
    const nextScale = Math.sqrt(squares / ((n - 1) * expectedSquare))
    const moved = Math.abs(nextValue - value) + Math.abs(nextScale - scale)
    value = nextValue
    scale = nextScale
    if (moved <= 1e-13 * start) break
  }
  const reach = k * scale
  const inside = values.filter((x) => Math.abs(x - value) <= reach).length / n
  if (!(scale > 1e-9 * start) || inside === 0) return notEnough(spread.n, Math.max(spread.needed, spread.n + 1))
  const squares = values.reduce((sum, x) => sum + Math.min(reach, Math.abs(x - value)) ** 2, 0)
  const half = (studentTQuantile((1 + level) / 2, n - 1) * Math.sqrt(squares / (n - 1) / n)) / inside
  return { kind: 'estimate', value, low: value - half, high: value + half, level, n, scale }
}
