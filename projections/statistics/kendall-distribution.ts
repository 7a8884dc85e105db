/**
 * Chance that at most `count` of the n (n - 1) / 2 pairs of n untied numbers in random order agree (or, by symmetry,
 * disagree) with the order. Exact: the number of orders with k such pairs follows the recurrence of Kendall (1970),
 * section 5.2, kept here as chances so that it does not overflow. n a whole number of 1 or more; cost grows with n³.
 * A count below zero gives 0, one of all pairs or more gives 1. Throws a RangeError for other n.
 */
export function kendallTail(n: number, count: number): number {
  if (!(Number.isInteger(n) && n >= 1))
    throw new RangeError(`The number of values was ${n}; expected 1, 2, 3 and so on.`)
  if (count < 0) return 0
  const pairs = (n * (n - 1)) / 2
  if (count >= pairs) return 1
  let chances = [1]
  for (let m = 2; m <= n; m++) {
    const next: number[] = []
    let window = 0
    for (let k = 0; k <= (m * (m - 1)) / 2; k++) {
      window += chances[k] ?? 0
      if (k >= m) window -= chances[k - m] ?? 0
      next.push(window / m)
    }
    chances = next
  }
  // Summed from the nearer end, so that a small chance is a sum of small chances.
  const atMost = (limit: number): number => chances.slice(0, limit + 1).reduce((sum, chance) => sum + chance, 0)
  const whole = Math.floor(count)
  return 2 * whole < pairs ? atMost(whole) : 1 - atMost(pairs - whole - 1)
}
