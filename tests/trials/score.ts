/** The first day (1 is the day after the origin) by whose end `amount` more was used; infinity if never in the record. */
export function trueDay(use: Float64Array, history: number, amount: number): number {
  let sum = 0
  for (let i = history; i < use.length; i++) {
    sum += use[i]!
    if (sum >= amount) return i - history + 1
  }
  return Number.POSITIVE_INFINITY
}

/** Pinball loss of a quantile (Koenker and Bassett 1978), days; both days kept below `most`. */
export function pinball(p: number, said: number, came: number, most: number): number {
  const off = Math.min(came, most) - Math.min(said, most)
  return off >= 0 ? p * off : (p - 1) * off
}

/** Quantiles of the day by the constant rate: R / m + z sqrt(R s² / m³), m and s² mean and variance of the days; null where nothing was used. */
export function constantRate(use: Float64Array, history: number, amount: number): ((z: number) => number) | null {
  let sum = 0
  let squares = 0
  for (let i = 0; i < history; i++) {
    sum += use[i]!
    squares += use[i]! ** 2
  }
  const mean = sum / history
  if (mean === 0) return null
  const variance = (squares - history * mean ** 2) / (history - 1)
  const sd = Math.sqrt((amount * variance) / mean ** 3)
  return (z) => amount / mean + z * sd
}

/** Counts of one row of the table. */
export class Tally {
  n = 0
  covered = 0
  early = 0
  late = 0
  ours = 0
  constant = 0
  constantCovered = 0
  compared = 0

  add(low: number, high: number, came: number): void {
    this.n++
    if (came < low) this.early++
    else if (came > high) this.late++
    else this.covered++
  }

  row(name: string): string {
    const share = (value: number, of: number) => (of === 0 ? '-' : ((100 * value) / of).toFixed(1))
    return [
      name.padEnd(26),
      String(this.n).padStart(6),
      share(this.covered, this.n).padStart(8),
      share(this.early, this.n).padStart(8),
      share(this.late, this.n).padStart(8),
      (this.compared === 0 ? '-' : (this.ours / this.constant).toFixed(3)).padStart(8),
      share(this.constantCovered, this.compared).padStart(8),
    ].join(' ')
  }
}
