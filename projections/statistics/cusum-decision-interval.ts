import { cusumRunLength } from './cusum-run-length.ts'
import { risingRoot } from './monotone-root.ts'

/**
 * The decision interval h, in standard deviations, with which a CUSUM of the given allowance k (0 or more) signals by
 * mistake once in `inControlRunLength` values on average. Hawkins (1993) gives a table for 370; here the run length
 * itself is inverted (see `cusumRunLength`). `sides` as there, 'two' by default. Throws a RangeError when even h =
 * 0.01 signals more rarely than that, or for more than 1e11 values.
 */
export function cusumDecisionInterval(
  allowance: number,
  inControlRunLength: number,
  sides: 'one' | 'two' = 'two',
): number {
  const logRunLength = (decisionInterval: number): number =>
    Math.log(cusumRunLength({ allowance, decisionInterval, sides }, 0))
  const smallest = 0.01
  const target = Math.log(inControlRunLength)
  if (!(target > logRunLength(smallest) && inControlRunLength <= 1e11)) {
    throw new RangeError(
      `A run length of ${inControlRunLength} was asked for at allowance ${allowance}; expected one from ${Math.ceil(Math.exp(logRunLength(smallest)))} up to 1e11.`,
    )
  }
  let high = 1
  while (logRunLength(high) < target) high *= 2
  const nudge = 1e-4
  return risingRoot(
    (h) => {
      const here = logRunLength(h)
      return { value: here - target, slope: (logRunLength(h + nudge) - here) / nudge }
    },
    smallest,
    high,
  )
}
