import fc from 'fast-check'
import { expect } from 'vitest'

/** Samples as they come aboard: measured values, whole ones with many ties, and all-equal ones. */
export const sample = (minLength: number, maxLength = 25): fc.Arbitrary<number[]> =>
  fc.oneof(
    fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength, maxLength }),
    fc.array(fc.integer({ min: -3, max: 3 }), { minLength, maxLength }),
    fc
      .tuple(fc.integer({ min: -9, max: 9 }), fc.integer({ min: minLength, max: maxLength }))
      .map(([value, length]) => new Array<number>(length).fill(value)),
  )

/** The same values in another order. */
export const shuffled = <T>(values: readonly T[]): fc.Arbitrary<T[]> =>
  fc.shuffledSubarray([...values], { minLength: values.length, maxLength: values.length })

/** Fails when a NaN hides anywhere in a result, or when an interval does not hold its own value. */
export function expectSound(result: unknown, path = 'result'): void {
  if (typeof result === 'number') expect(Number.isNaN(result), `${path} is not a number`).toBe(false)
  if (typeof result !== 'object' || result === null) return
  const { value, low, high } = result as { value?: unknown; low?: unknown; high?: unknown }
  if (typeof value === 'number') {
    if (typeof low === 'number') expect(low, `${path}.low`).toBeLessThanOrEqual(value)
    if (typeof high === 'number') expect(high, `${path}.high`).toBeGreaterThanOrEqual(value)
  }
  for (const [key, part] of Object.entries(result)) expectSound(part, `${path}.${key}`)
}
