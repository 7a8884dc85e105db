import { requirePositive } from './estimate.ts'

/**
 * The repairs of one unit that were watched for a fixed span: ages in rising order, each above 0 and at or below `end`.
 * Returns them; throws a RangeError when one lies outside, or when `end` is not a finite number above zero.
 */
export function repairTimes(times: readonly number[], end: number): number[] {
  requirePositive(end, 'end of the observation')
  const bad = times.find((time) => !(time > 0 && time <= end))
  if (bad !== undefined) {
    throw new RangeError(`One of the repairs was at ${bad}; expected an age above 0 and up to the end, ${end}.`)
  }
  return [...times].sort((a, b) => a - b)
}
