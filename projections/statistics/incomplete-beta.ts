import { requireShape } from './estimate.ts'
import { devianceTerm, stirlingError } from './log-gamma.ts'

/**
 * Regularised incomplete beta function I_x(a, b) (`lower`) and its complement (`upper`) for a and b above 0, up to
 * 1e9, and x in 0..1. `complement` is 1 - x, handed over by the caller, who often knows it to more digits than the
 * subtraction gives. Continued fraction DLMF 8.17.22 (Lentz's method as modified by Thompson and Barnett 1986), on
 * the side where it converges fast; the factor before it by the saddle-point form of Loader (2000), section 2. Throws
 * a RangeError for any other a, b or x. Own code: see incomplete-gamma.ts for what was tried.
 */
export function regularizedBeta(
  a: number,
  b: number,
  x: number,
  complement: number = 1 - x,
): { lower: number; upper: number } {
  requireShape(a, 'first shape of the incomplete beta function')
  requireShape(b, 'second shape of the incomplete beta function')
  if (!(x >= 0 && x <= 1)) throw new RangeError(`The incomplete beta function was asked at ${x}; expected 0 to 1.`)
  if (x === 0) return { lower: 0, upper: 1 }
  if (complement === 0) return { lower: 1, upper: 0 }
  if (x < (a + 1) / (a + b + 2)) {
    const lower = leftTail(a, b, x, complement)
    return { lower, upper: 1 - lower }
  }
  const upper = leftTail(b, a, complement, x)
  return { lower: 1 - upper, upper }
}

/** Natural logarithm of `x^a y^b / B(a, b)`, where y = 1 - x, for x and y above 0. */
export function logBetaWeight(a: number, b: number, x: number, y: number): number {
  const n = a + b
  const deviance = devianceTerm(a, n * x) + devianceTerm(b, n * y)
  const logBinomial = stirlingError(n) - stirlingError(a) - stirlingError(b) - deviance
  return logBinomial + 0.5 * Math.log((a * b) / n / (2 * Math.PI))
}

function leftTail(a: number, b: number, x: number, y: number): number {
  const smallest = 1e-300
  let c = 1
  let d = 1 - ((a + b) * x) / (a + 1)
  if (Math.abs(d) < smallest) d = smallest
  d = 1 / d
  let fraction = d
  for (let m = 1; ; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 + even * d
    c = 1 + even / c
    if (Math.abs(d) < smallest) d = smallest
    if (Math.abs(c) < smallest) c = smallest
    d = 1 / d
    fraction *= c * d
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 + odd * d
    c = 1 + odd / c
    if (Math.abs(d) < smallest) d = smallest
    if (Math.abs(c) < smallest) c = smallest
    d = 1 / d
    fraction *= c * d
    if (Math.abs(c * d - 1) < 1e-15) break
  }
  return Math.min(1, Math.exp(logBetaWeight(a, b, x, y) + Math.log(fraction / a)))
}
