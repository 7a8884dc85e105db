/** A battery bank and what else fills it and draws from it. Figures from common practice, no source. */

/** Battery kinds of the register that made-up boats have. */
export type BankKind = 'flooded lead' | 'AGM' | 'gel' | 'lithium iron phosphate'

/** What does not change. */
export interface Bank {
  kind: BankKind
  capacity: number
  /** Absorption voltage of her regulator. */
  setPoint: number
  /** Amps drawn aboard on average, and while under way. */
  draw: number
  /** Peak amps of the panels at noon. */
  solar: number
}

/** Amps that the bank takes at its absorption voltage at a state of charge, 0 to 1. */
export function acceptance({ kind, capacity }: Bank, charge: number): number {
  if (kind === 'lithium iron phosphate')
    return charge > 0.985 ? capacity * 0.01 : capacity * Math.min(0.5, (1 - charge) * 12)
  const appetite = kind === 'flooded lead' ? 1.1 : kind === 'gel' ? 1.4 : 1.9
  return capacity * appetite * Math.max(0.004, 1 - charge) ** 1.15
}

/** Volts under charge while the bank takes all that there is. */
export function bulkVolts({ kind, capacity, setPoint }: Bank, charge: number, amps: number): number {
  const volts =
    kind === 'lithium iron phosphate'
      ? 13.05 + 0.35 * charge + (0.6 * amps) / capacity
      : 12.5 + 1.0 * charge + (2.2 * amps) / capacity
  return Math.min(setPoint - 0.05, volts)
}

/** Amps of the panels at an hour of the day (0 to 24) under a sky, 0 overcast to 1 clear. */
export const sunAmps = ({ solar }: Bank, hour: number, sky: number): number =>
  solar * Math.max(0, Math.cos(((hour - 13) / 15) * Math.PI)) * (0.15 + 0.85 * sky)
