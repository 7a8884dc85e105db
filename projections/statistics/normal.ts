import { requirePositive, requireProbability } from './estimate.ts'
import { regularizedGamma } from './incomplete-gamma.ts'

/** Density of the standard normal distribution at z, any number; 0 at both infinities. */
export function normalDensity(z: number): number {
  return Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)
}

/**
 * Chance that a normal variable is above x: `erfc(z / √2) / 2` with z = (x - mean) / sd, by way of the incomplete gamma
 * function (DLMF 7.11.2), so that the far tail keeps its digits down to the smallest number there is.
 * x in the unit of mean and sd, infinities allowed. Throws a RangeError unless sd > 0.
 */
export function normalUpperTail(x: number, mean = 0, sd = 1): number {
  requirePositive(sd, 'standard deviation')
  if (Number.isNaN(x)) throw new RangeError('The normal distribution was asked at a value that is not a number.')
  const z = (x - mean) / sd
  const { lower, upper } = regularizedGamma(0.5, (z * z) / 2)
  return z >= 0 ? upper / 2 : 0.5 + lower / 2
}

/** Chance that a normal variable is at or below x; see `normalUpperTail` for range, errors and source. */
export function normalCdf(x: number, mean = 0, sd = 1): number {
  return normalUpperTail(-x, -mean, sd)
}

const ratio = (r: number, top: readonly number[], bottom: readonly number[]): number =>
  top.reduceRight((sum, c) => sum * r + c, 0) / bottom.reduceRight((sum, c) => sum * r + c, 0)

const central = {
  top: [
    3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987, 67265.7709270087,
    33430.57558358813, 2509.0809287301227,
  ],
  bottom: [
    1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271,
    28729.085735721943, 5226.495278852546,
  ],
}
const middle = {
  top: [
    1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684,
    0.2417807251774506, 0.022723844989269184, 0.0007745450142783414,
  ],
  bottom: [
    1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
    0.0005475938084995345, 1.0507500716444169e-9,
  ],
}
const far = {
  top: [
    6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
    0.0012426609473880784, 0.000027115555687434876, 2.0103343992922881e-7,
  ],
  bottom: [
    1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133, 0.000018463183175100548,
    1.421511758316446e-7, 2.0442631033899397e-15,
  ],
}

/**
 * The x that a normal variable stays at or below with chance p: Wichura (1988), algorithm AS 241 (PPND16),
 * coefficients rounded to doubles, relative error about 1e-16. p = 0 and 1 give minus and plus infinity, the
 * distribution's true ends. Throws a RangeError for p outside 0..1 or sd <= 0.
 */
export function normalQuantile(p: number, mean = 0, sd = 1): number {
  requireProbability(p)
  requirePositive(sd, 'standard deviation')
  const q = p - 0.5
  if (Math.abs(q) <= 0.425) return mean + sd * q * ratio(0.180625 - q * q, central.top, central.bottom)
  const tail = q < 0 ? p : 1 - p
  if (tail === 0) return q < 0 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY
  const r = Math.sqrt(-Math.log(tail))
  const z = r <= 5 ? ratio(r - 1.6, middle.top, middle.bottom) : ratio(r - 5, far.top, far.bottom)
  return mean + sd * (q < 0 ? -z : z)
}
