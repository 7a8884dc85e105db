import { readFileSync } from 'node:fs'
import { expect } from 'vitest'
import type { NotEnough } from '../../projections/statistics/estimate.ts'

/** One published or computed data set: what went in, what comes out, where it is from, how near one must come. */
export type ReferenceSet<Inputs, Expected> = { source: string; inputs: Inputs; expected: Expected }

/** Reads tests/reference/data/<name>.json; the types are the caller's word for what the file holds. */
export function readReference<Inputs, Expected>(name: string): ReferenceSet<Inputs, Expected> {
  const text = readFileSync(new URL(`data/${name}.json`, import.meta.url), 'utf8')
  const set = JSON.parse(text) as ReferenceSet<Inputs, Expected>
  expect(set.source.length, `${name} must name its source`).toBeGreaterThan(20)
  return set
}

/** Fails unless `actual` is within `rel` times the expected size, or within `abs`, of `expected`. */
export function expectClose(actual: number, expected: number, within: { rel?: number; abs?: number }, what = ''): void {
  const allowed = Math.max((within.rel ?? 0) * Math.abs(expected), within.abs ?? 0)
  const off = Math.abs(actual - expected)
  expect(off <= allowed, `${what} got ${actual}, expected ${expected}, off by ${off}, allowed ${allowed}`).toBe(true)
}

/** `expectClose` for each pair of two lists, which must be equally long. */
export function expectAllClose(
  actual: readonly number[],
  expected: readonly number[],
  within: { rel?: number; abs?: number },
  what = '',
): void {
  expect(actual.length, what).toBe(expected.length)
  actual.forEach((value, i) => {
    expectClose(value, expected[i]!, within, `${what} [${i}]`)
  })
}

/** The estimate itself; fails when the function said that there was not enough. */
export function enough<T extends { kind: string }>(result: T | NotEnough): Exclude<T, NotEnough> {
  if (result.kind === 'not-enough') expect.fail(`not enough: ${JSON.stringify(result)}`)
  return result as Exclude<T, NotEnough>
}
