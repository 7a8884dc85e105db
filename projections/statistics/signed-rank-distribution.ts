/**
 * Chance that Wilcoxon's signed-rank sum of n untied values that are symmetric about zero is at most `sum`. Exact, by
 * counting the subsets of 1..n with each sum (Wilcoxon 1945; Hollander and Wolfe 1999, section 3.1), kept as chances so
 * that it does not overflow. n a whole number of 0 or more; cost grows with n³. Throws a RangeError for other n.
 */
export function signedRankTail(n: number, sum: number): number {
  const chances = signedRankChances(n)
  if (sum < 0) return 0
  if (sum >= chances.length - 1) return 1
  return chances.subarray(0, Math.floor(sum) + 1).reduce((total, chance) => total + chance, 0)
}

/**
 * The largest sum of n signed ranks whose chance of that or less does not exceed `tail` (0..1); -1 if there is none.
 */
export function signedRankCut(n: number, tail: number): number {
  const chances = signedRankChances(n)
  let cut = -1
  for (let total = chances[0]!; total <= tail && cut < chances.length - 1; total += chances[cut + 1] ?? 0) cut++
  return cut
}

function signedRankChances(n: number): Float64Array {
  if (!(Number.isInteger(n) && n >= 0))
    throw new RangeError(`The number of values was ${n}; expected 0, 1, 2 and so on.`)
  const chances = new Float64Array((n * (n + 1)) / 2 + 1)
  chances[0] = 1
  for (let rank = 1; rank <= n; rank++) {
    for (let s = (rank * (rank + 1)) / 2; s >= 0; s--) {
      chances[s] = (chances[s]! + (s >= rank ? chances[s - rank]! : 0)) / 2
    }
  }
  return chances
}
