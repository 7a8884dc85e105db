import { requirePositive, requireProbability } from './estimate.ts'
import { regularizedBeta } from './incomplete-beta.ts'
import { logGamma } from './log-gamma.ts'
import { risingRoot } from './monotone-root.ts'
import { normalQuantile } from './normal.ts'

/** Shares of |T| above (`outer`, both tails) and below (`inner`) |t|. */
function shares(t: number, degreesOfFreedom: number): { outer: number; inner: number } {
  requirePositive(degreesOfFreedom, 'number of degrees of freedom')
  if (Number.isNaN(t)) throw new RangeError('Student’s t distribution was asked at a value that is not a number.')
  if (Math.abs(t) === Number.POSITIVE_INFINITY) return { outer: 0, inner: 1 }
  const square = (t / degreesOfFreedom) * t
  const x = 1 / (1 + square)
  const y = square === Number.POSITIVE_INFINITY ? 1 : square / (1 + square)
  const { lower, upper } = regularizedBeta(degreesOfFreedom / 2, 0.5, x, y)
  return { outer: lower, inner: upper }
}

/**
 * Chance that Student's t with `degreesOfFreedom` (above 0, fractions allowed) is above t: half of
 * I_x(f/2, 1/2), x = f / (f + t²) (Abramowitz and Stegun 1964, 26.7.1 with 26.5.27).
 * Infinities give 0 and 1. Throws a RangeError for other degrees of freedom.
 */
export function studentTUpperTail(t: number, degreesOfFreedom: number): number {
  const { outer, inner } = shares(t, degreesOfFreedom)
  return t > 0 ? outer / 2 : 0.5 + inner / 2
}

/** Chance that Student's t is at or below t; see `studentTUpperTail`. */
export function studentTCdf(t: number, degreesOfFreedom: number): number {
  return studentTUpperTail(-t, degreesOfFreedom)
}

/**
 * The t that Student's t stays at or below with chance p; p = 0 and 1 give minus and plus infinity. Newton's method
 * on the logarithm of the tail (or, in the inner half, of the share within ±t) as a function of ln t, where both are
 * concave because the density of ln |T| is log-concave; between bounds: t is at least the normal quantile, and at
 * most what the power law of the tail gives (with a little room for rounding). Throws a RangeError for p outside 0..1
 * or degrees of freedom that are not finite and above 0.
 */
export function studentTQuantile(p: number, degreesOfFreedom: number): number {
  requireProbability(p)
  requirePositive(degreesOfFreedom, 'number of degrees of freedom')
  if (p === 0.5) return 0
  const tail = p < 0.5 ? p : 1 - p
  const sign = p < 0.5 ? -1 : 1
  if (tail === 0) return sign * Number.POSITIVE_INFINITY
  const f = degreesOfFreedom
  const logPeak = logGamma((f + 1) / 2) - logGamma(f / 2) - 0.5 * Math.log(f * Math.PI)
  const byOuter = tail < 0.25
  const logTarget = Math.log(byOuter ? 2 * tail : 1 - 2 * tail)
  const high = (logPeak + ((f - 1) / 2) * Math.log(f) - Math.log(Math.min(tail, 0.25))) / f
  const room = 1e-6
  const low = (byOuter ? Math.log(-normalQuantile(tail)) : logTarget - Math.LN2 - logPeak) - room
  const step = (v: number): { value: number; slope: number } => {
    const t = Math.exp(v)
    const { outer, inner } = shares(t, f)
    const share = byOuter ? outer : inner
    const density = 2 * Math.exp(logPeak + v - ((f + 1) / 2) * Math.log1p((t / f) * t))
    return { value: byOuter ? logTarget - Math.log(share) : Math.log(share) - logTarget, slope: density / share }
  }
  const largest = Math.log(Number.MAX_VALUE)
  if (low >= largest) return sign * Number.POSITIVE_INFINITY
  return sign * Math.exp(risingRoot(step, low, Math.max(low, Math.min(high, largest)), byOuter ? high : low))
}
