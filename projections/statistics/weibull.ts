import { requirePositive, requireProbability } from './estimate.ts'

const cumulativeHazard = (x: number, shape: number, scale: number): number => {
  requirePositive(shape, 'shape')
  requirePositive(scale, 'scale')
  if (Number.isNaN(x)) throw new RangeError('The Weibull distribution was asked at a value that is not a number.')
  return x <= 0 ? 0 : (x / scale) ** shape
}

/**
 * Chance that a Weibull variable is at or below x: `1 - exp(-(x / scale)^shape)` (Weibull 1951; Meeker and Escobar
 * 1998, section 4.8), by expm1 so that small chances keep their digits. 0 for x <= 0; x in the unit of `scale`, which
 * is the life by which 63.2 % have failed. Throws a RangeError unless shape and scale are finite and above 0.
 */
export function weibullCdf(x: number, shape: number, scale: number): number {
  return -Math.expm1(-cumulativeHazard(x, shape, scale))
}

/** Chance that a Weibull variable is above x; see `weibullCdf`. */
export function weibullUpperTail(x: number, shape: number, scale: number): number {
  return Math.exp(-cumulativeHazard(x, shape, scale))
}

/**
 * The x that a Weibull variable stays at or below with chance p: `scale (-ln(1 - p))^(1/shape)`. p = 0 gives 0,
 * p = 1 infinity. Throws a RangeError for p outside 0..1, or unless shape and scale are finite and above 0.
 */
export function weibullQuantile(p: number, shape: number, scale: number): number {
  requireProbability(p)
  requirePositive(shape, 'shape')
  requirePositive(scale, 'scale')
  return scale * (-Math.log1p(-p)) ** (1 / shape)
}
