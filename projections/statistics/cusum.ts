import { requireFinite } from './estimate.ts'

/** After each value: the sums of what went above and below the target, and the plain sum of deviations. */
export type CusumPoint = { upper: number; lower: number; cumulative: number; above: boolean; below: boolean }

/**
 * Tabular CUSUM: `upper` gathers what exceeds target + allowance, `lower` what falls short of target - allowance,
 * neither below zero; a signal (`above`, `below`) when a sum exceeds the decision interval strictly. Page (1954);
 * NIST/SEMATECH e-Handbook, section 6.3.2.3. All in the unit of the values; the custom is an allowance of half the
 * shift that matters. `headStart` (fast initial response, Lucas and Crosier 1982) is where both sums begin, 0 by
 * default. Sums go on after a signal. Empty input gives an empty list. Throws a RangeError for a number that is not
 * finite, or an allowance, decision interval or head start below zero.
 */
export function cusum(
  values: readonly number[],
  chart: { target: number; allowance: number; decisionInterval: number; headStart?: number },
): CusumPoint[] {
  const { target, allowance, decisionInterval, headStart = 0 } = chart
  requireFinite(values, 'values')
  requireFinite([target, allowance, decisionInterval, headStart], 'settings of the chart')
  if (allowance < 0 || decisionInterval < 0 || headStart < 0) {
    throw new RangeError(
      `Allowance, decision interval and head start were ${allowance}, ${decisionInterval} and ${headStart}; expected zero or more.`,
    )
  }
  let upper = headStart
  let lower = headStart
  let cumulative = 0
  return values.map((value) => {
    const deviation = value - target
    upper = Math.max(0, upper + (deviation - allowance))
    lower = Math.max(0, lower + (-deviation - allowance))
    cumulative += deviation
    return { upper, lower, cumulative, above: upper > decisionInterval, below: lower > decisionInterval }
  })
}
