/**
 * Root of a rising function between `low` and `high`: Newton's steps as long as they stay inside the bracket and shrink
 * it, halving otherwise (Dekker 1969's idea; Brent 1973, chapter 4). `f` gives the value and the slope at x; a slope of
 * zero or infinity only means that the step is a halving. Ends when the bracket or the step is down to rounding.
 * With f(low) >= 0 the root is taken to be `low`, with f(high) <= 0 `high`: the ends are bounds that rounding may have
 * pushed past the root. Throws a RangeError unless low <= high, both finite.
 */
export function risingRoot(
  f: (x: number) => { value: number; slope: number },
  low: number,
  high: number,
  start: number = (low + high) / 2,
): number {
  if (!(Number.isFinite(low) && Number.isFinite(high) && low <= high)) {
    throw new RangeError(`The root was sought between ${low} and ${high}; expected two finite numbers in rising order.`)
  }
  let below = low
  let above = high
  let x = Math.min(high, Math.max(low, start))
  for (let lastWidth = Number.POSITIVE_INFINITY, k = 0; ; k++) {
    const { value, slope } = f(x)
    if (value === 0) return x
    if (value < 0) below = x
    else above = x
    const width = above - below
    const stalled = k % 4 === 3 && width > lastWidth / 2
    if (k % 4 === 3) lastWidth = width
    let next = x - value / slope
    if (stalled || !(next > below && next < above)) next = below + width / 2
    if (Math.abs(next - x) <= 4e-16 * Math.abs(x) || next === below || next === above) return next
    x = next
  }
}
