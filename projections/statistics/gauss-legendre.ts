/**
 * Nodes and weights of Gauss and Legendre's rule with `count` points on low..high, in rising order: integrates
 * polynomials up to degree 2 count - 1 exactly. Roots of the Legendre polynomial by Newton's method from Tricomi's
 * first guess (Abramowitz and Stegun 1964, 25.4.30 and 22.16.6). Throws a RangeError unless count is a whole number
 * of 1 or more.
 */
export function gaussLegendre(count: number, low: number, high: number): { node: number; weight: number }[] {
  if (!(Number.isInteger(count) && count >= 1)) {
    throw new RangeError(`The number of nodes was ${count}; expected 1, 2, 3 and so on.`)
  }
  const half = (high - low) / 2
  const middle = (high + low) / 2
  return Array.from({ length: count }, (_, i) => {
    let x = -Math.cos((Math.PI * (i + 0.75)) / (count + 0.5))
    let slope = 1
    for (let step = 0; step < 100; step++) {
      const { value, before } = legendre(count, x)
      slope = (count * (x * value - before)) / (x * x - 1)
      const moved = value / slope
      x -= moved
      if (Math.abs(moved) < 1e-15) break
    }
    return { node: middle + half * x, weight: (2 * half) / ((1 - x * x) * slope * slope) }
  })
}

/** Legendre polynomials of degree n (`value`) and n - 1 (`before`) at x. */
function legendre(n: number, x: number): { value: number; before: number } {
  let before = 0
  let value = 1
  for (let k = 1; k <= n; k++) {
    const next = ((2 * k - 1) * x * value - (k - 1) * before) / k
    before = value
    value = next
  }
  return { value, before }
}
