import { defaultLevel, type Estimate, type NotEnough, notEnough, requireFinite, requireLevel } from './estimate.ts'
import { normalQuantile } from './normal.ts'
import { rankSumCut } from './rank-sum-distribution.ts'
import { medianOfSorted } from './sample-quantile.ts'

/** Up to here the rank-sum distribution is counted out, within a few milliseconds; beyond, the normal one is used. */
const largestExact = 30

/**
 * Hodges-Lehmann estimate of the shift of group `a` against group `b` (a higher: above zero): the median of all
 * differences a - b, in the unit of the values. Hodges and Lehmann (1963); Hollander and Wolfe (1999), sections 4.2 and
 * 4.3: interval from the rank-sum distribution, exact while both groups have at most 30 values.
 * Cost and memory grow with the product of the sizes. `n` is the number of values in both groups.
 *
 * `not-enough` counts the values of the smaller group: so many are needed that, with the larger as it is, the level can
 * be reached at all: 4 against 4 at 0.95. Empty input gives n = 0. Throws a RangeError for a value that is not finite.
 */
export function hodgesLehmannShift(
  a: readonly number[],
  b: readonly number[],
  options: { level?: number } = {},
): Estimate | NotEnough {
  const { level = defaultLevel } = options
  requireLevel(level)
  requireFinite(a, 'values of the first group')
  requireFinite(b, 'values of the second group')
  const tail = (1 - level) / 2
  const small = Math.min(a.length, b.length)
  const needed = neededInSmaller(small, Math.max(a.length, b.length), tail)
  if (small < needed) return notEnough(small, needed)
  const differences = new Float64Array(a.length * b.length)
  let next = 0
  for (const x of a) for (const y of b) differences[next++] = x - y
  differences.sort()
  const cut = cutOf(a.length, b.length, tail)
  return {
    kind: 'estimate',
    value: medianOfSorted(differences),
    low: differences[cut]!,
    high: differences[differences.length - 1 - cut]!,
    level,
    n: a.length + b.length,
  }
}

function neededInSmaller(small: number, large: number, tail: number): number {
  for (let k = Math.max(1, small); ; k++) {
    const other = Math.max(large, k)
    let chanceOfZero = 1
    for (let i = 1; i <= k; i++) chanceOfZero *= i / (other + i)
    if (chanceOfZero <= tail) return k
  }
}

function cutOf(m: number, n: number, tail: number): number {
  if (Math.max(m, n) > largestExact) {
    const z = normalQuantile(tail)
    return Math.max(0, Math.floor((m * n) / 2 + z * Math.sqrt((m * n * (m + n + 1)) / 12)))
  }
  return rankSumCut(m, n, tail)
}
