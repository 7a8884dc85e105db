import { requirePositive, requireProbability } from './estimate.ts'
import { logGammaWeight, regularizedGamma } from './incomplete-gamma.ts'
import { logGamma } from './log-gamma.ts'
import { risingRoot } from './monotone-root.ts'

const tails = (x: number, shape: number, scale: number): { lower: number; upper: number } => {
  requirePositive(scale, 'scale')
  return regularizedGamma(shape, Math.max(0, x / scale))
}

/**
 * Chance that a gamma variable (density x^(shape-1) e^(-x/scale), mean shape * scale) is at or below x: P(shape,
 * x/scale). 0 for x <= 0. Chi-square with f degrees of freedom is shape f/2, scale 2. Throws a RangeError unless
 * shape and scale are finite and above 0.
 */
export function gammaCdf(x: number, shape: number, scale: number): number {
  return tails(x, shape, scale).lower
}

/** Chance that a gamma variable is above x; see `gammaCdf`. */
export function gammaUpperTail(x: number, shape: number, scale: number): number {
  return tails(x, shape, scale).upper
}

/**
 * The x that a gamma variable stays at or below with chance p, in the unit of `scale`. p = 0 gives 0, p = 1 infinity.
 * Newton's method on the logarithm of the smaller tail as a function of ln x, where it is concave (the density of ln X
 * is log-concave), between two bounds: P(a, x) <= x^a / Γ(a + 1) from below, and from above the mean for the lower half
 * or the tail bound a + √(2 a L) + L, L = -ln(1 - p), for the upper (Laurent and Massart 2000, section 4.1).
 * A quantile below the smallest number there is comes out as 0.
 * Throws a RangeError for p outside 0..1, or unless shape and scale are finite and above 0.
 */
export function gammaQuantile(p: number, shape: number, scale: number): number {
  requireProbability(p)
  requirePositive(shape, 'shape')
  requirePositive(scale, 'scale')
  if (p === 0) return 0
  if (p === 1) return Number.POSITIVE_INFINITY
  const isLower = p <= 0.5
  const tail = isLower ? p : 1 - p
  const logTail = Math.log(tail)
  const low = (Math.log(isLower ? p : 0.5) + logGamma(shape + 1)) / shape
  const high = isLower ? Math.log(shape) : Math.log(shape + Math.sqrt(-2 * shape * logTail) - logTail)
  const step = (u: number): { value: number; slope: number } => {
    const x = Math.exp(u)
    const { lower, upper } = regularizedGamma(shape, x)
    const reached = isLower ? lower : upper
    const slope = (shape * Math.exp(logGammaWeight(shape, x))) / reached
    return { value: isLower ? Math.log(reached) - logTail : logTail - Math.log(reached), slope }
  }
  if (Math.exp(low) === 0 && regularizedGamma(shape, Number.MIN_VALUE).lower >= p) return 0
  const floor = Math.max(low, Math.log(Number.MIN_VALUE))
  return scale * Math.exp(risingRoot(step, floor, Math.max(floor, high), isLower ? floor : high))
}
