import { ascending } from './sample-quantile.ts'

/** Corrections for n = 2 to 9 (Croux and Rousseeuw 1992, as in robustbase 0.95-0). */
const smallSample = [0.743, 1.851, 0.954, 1.351, 0.993, 1.198, 1.005, 1.131]

/**
 * Sn scale of Rousseeuw and Croux (1993): the low median, over the values, of the high median of each one's distances
 * to all, scaled by 1.1926 to the standard deviation of normal values, in the unit of the values. Corrections for
 * small n as in R's robustbase 0.95-0. Cost grows with n² log n. A description: throws a RangeError for fewer than
 * two values or one that is not finite.
 */
export function snScale(values: readonly number[]): number {
  const sorted = ascending(values)
  const n = sorted.length
  if (n < 2) throw new RangeError('Sn was asked of one value; expected at least two.')
  const typical = sorted.map((value) => {
    const distances = sorted.map((other) => Math.abs(value - other)).sort((a, b) => a - b)
    return distances[Math.floor(n / 2)]!
  })
  typical.sort((a, b) => a - b)
  return 1.1926 * snCorrection(n) * typical[Math.floor((n + 1) / 2) - 1]!
}

function snCorrection(n: number): number {
  if (n <= 9) return smallSample[n - 2]!
  return n % 2 === 1 ? n / (n - 0.9) : 1
}
