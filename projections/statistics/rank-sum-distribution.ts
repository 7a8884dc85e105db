/**
 * Chance that the Mann-Whitney count (pairs in which a value of the first group exceeds one of the second) of two
 * untied groups of m and n from one distribution is at most `count`. Exact, by counting the choices of m ranks with
 * each sum (Mann and Whitney 1947; Hollander and Wolfe 1999, section 4.1). m and n whole, 0 or more; cost grows as (m
 * n)² / m. Throws a RangeError for other m or n.
 */
export function rankSumTail(m: number, n: number, count: number): number {
  const chances = rankSumChances(m, n)
  if (count < 0) return 0
  if (count >= m * n) return 1
  return chances.subarray(0, Math.floor(count) + 1).reduce((total, chance) => total + chance, 0)
}

/** The largest Mann-Whitney count whose chance of that or less does not exceed `tail` (0..1); -1 if there is none. */
export function rankSumCut(m: number, n: number, tail: number): number {
  const chances = rankSumChances(m, n)
  let cut = -1
  for (let total = chances[0]!; total <= tail && cut < m * n; total += chances[cut + 1] ?? 0) cut++
  return cut
}

function rankSumChances(m: number, n: number): Float64Array {
  if (!(Number.isInteger(m) && m >= 0 && Number.isInteger(n) && n >= 0)) {
    throw new RangeError(`The groups had ${m} and ${n} values; expected whole numbers of 0 or more.`)
  }
  const small = Math.min(m, n)
  // ways[k][u]: choices of k of the ranks so far whose sum exceeds 1 + 2 + ... + k by u.
  const ways = Array.from({ length: small + 1 }, () => new Float64Array(m * n + 1))
  ways[0]![0] = 1
  for (let rank = 1; rank <= m + n; rank++) {
    for (let k = Math.min(small, rank); k >= 1; k--) {
      const excess = rank - k
      for (let u = m * n; u >= excess; u--) ways[k]![u]! += ways[k - 1]![u - excess]!
    }
  }
  const chosen = ways[small]!
  const all = chosen.reduce((sum, w) => sum + w, 0)
  return chosen.map((w) => w / all)
}
