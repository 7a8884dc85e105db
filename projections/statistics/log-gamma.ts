import { requirePositive } from './estimate.ts'

const halfLogTwoPi = 0.9189385332046727

/**
 * Error of Stirling's formula, `ln Γ(x + 1) - [(x + 1/2) ln x - x + ln(2π)/2]`, for finite x > 0. Asymptotic series,
 * Abramowitz and Stegun (1964), 6.1.41, from x = 10 on, where the first term left out is below 3e-17; a smaller x is
 * carried up by Γ(x + 1) = Γ(x + n + 1) / ((x + 1) ... (x + n)). Kept apart from `logGamma` because the large terms
 * cancel in probabilities (Loader 2000, section 2). Throws a RangeError for any other x.
 */
export function stirlingError(x: number): number {
  requirePositive(x, 'argument of Stirling’s formula')
  if (x >= 10) {
    const w = 1 / (x * x)
    return (
      (1 / 12 - w * (1 / 360 - w * (1 / 1260 - w * (1 / 1680 - w * (1 / 1188 - w * (691 / 360360 - w / 156)))))) / x
    )
  }
  return logGamma(x + 1) - ((x + 0.5) * Math.log(x) - x + halfLogTwoPi)
}

/**
 * Natural logarithm of Γ(x) for finite x > 0, to about 1e-15 (absolute near x = 1 and 2, relative elsewhere).
 * Stirling's formula with its series (Abramowitz and Stegun 1964, 6.1.41). Throws a RangeError for any other x.
 */
export function logGamma(x: number): number {
  requirePositive(x, 'argument of the gamma function')
  let product = 1
  let shifted = x
  while (shifted < 11) {
    product *= shifted
    shifted += 1
  }
  const m = shifted - 1
  return (m + 0.5) * Math.log(m) - m + halfLogTwoPi + stirlingError(m) - Math.log(product)
}

/**
 * Deviance term `x ln(x / mean) + mean - x` for finite x > 0 and mean > 0; 0 where they are equal.
 * Loader, "Fast and accurate computation of binomial probabilities" (2000), section 3: near x = mean the terms of the
 * plain formula cancel, and a series in (x - mean)/(x + mean) does not.
 */
export function devianceTerm(x: number, mean: number): number {
  const difference = x - mean
  if (Math.abs(difference) >= 0.1 * (x + mean)) return x * Math.log(x / mean) + mean - x
  const v = difference / (x + mean)
  let sum = difference * v
  let power = 2 * x * v
  for (let j = 3; ; j += 2) {
    power *= v * v
    const next = sum + power / j
    if (next === sum) return sum
    sum = next
  }
}
