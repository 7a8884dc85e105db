import { defaultLevel, type Estimate, type NotEnough, notEnough, requireLevel } from './estimate.ts'
import { normalQuantile } from './normal.ts'
import { repairTimes } from './repair-times.ts'

/**
 * A fitted power law of repairs: `value`, `low`, `high` are the mean time between repairs at the end of the
 * observation. Expected repairs by age t are `rate * t^shape`; a shape below 1 means that repairs come ever less
 * often, above 1 ever more. `maximumLikelihood` holds the estimates before the correction for bias.
 */
export type PowerLawRepairs = Estimate & {
  shape: number
  rate: number
  growthSlope: number
  maximumLikelihood: { shape: number; rate: number }
}

/**
 * Power-law (Crow-AMSAA) fit to the repairs of one unit watched from age 0 to `end` (a time-terminated record).
 * Crow (1974); NIST/SEMATECH e-Handbook, section 8.4.5.2: shape (r - 1) / Σ ln(end / t), the correction for bias of
 * r / Σ ln(end / t); rate r / end^shape; mean time between repairs end / (r shape).
 * Interval: the handbook's approximation for a time-terminated record, with r z²/2 under the root of the lower end.
 *
 * `not-enough` counts repairs: more than one is needed for the fit and more than z²/2 for the upper end, so 2 up to a
 * level of 0.954. A repair at `end` itself counts. When all are at `end` there is no fit either: needed is n + 1.
 * Empty input gives n = 0. Throws a RangeError for a repair outside 0..end or a level outside 0..1.
 */
export function powerLawRepairs(
  times: readonly number[],
  end: number,
  options: { level?: number } = {},
): PowerLawRepairs | NotEnough {
  const { level = defaultLevel } = options
  requireLevel(level)
  const sorted = repairTimes(times, end)
  const r = sorted.length
  const z = normalQuantile((1 + level) / 2)
  const needed = Math.max(2, Math.floor((z * z) / 2) + 1)
  if (r < needed) return notEnough(r, needed)
  const sum = sorted.reduce((total, time) => total + Math.log(end / time), 0)
  if (sum === 0) return notEnough(r, r + 1)
  const shape = (r - 1) / sum
  const likeliest = r / sum
  const value = end / (r * shape)
  const span = value * r * (r - 1)
  const low = span / (r + (z * z) / 4 + Math.sqrt((r * z * z) / 2 + z ** 4 / 16)) ** 2
  const high = span / (r - z * Math.sqrt(r / 2)) ** 2
  return {
    kind: 'estimate',
    value,
    low,
    high,
    level,
    n: r,
    shape,
    rate: r / end ** shape,
    growthSlope: 1 - shape,
    maximumLikelihood: { shape: likeliest, rate: r / end ** likeliest },
  }
}
