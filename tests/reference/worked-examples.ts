import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import type { Outcome } from '../../projections/mechanics/outcome.ts'

/** One worked example of the trade: inputs, and the values that its source prints or its formula gives. */
export interface WorkedExample {
  id: string
  topic: string
  title: string
  inputs: Record<string, number>
  source: { publication: string; locator: string; year: string; address?: string }
  status: string
  /** Relative tolerance on `expected`: these are the formula's own values, so only rounding is allowed. */
  tolerance_rel: number
  /** What the source prints, with the tolerance that its printed digits allow. */
  published: { name: string; value: number; tolerance_abs: number; as_printed: string }[]
  expected: Record<string, { value: number; unit: string }>
  note: string | null
}

/** All of tests/reference/data/worked-examples.json, W01 to W57. */
export const workedExamples: readonly WorkedExample[] = JSON.parse(
  readFileSync(new URL('./data/worked-examples.json', import.meta.url), 'utf8'),
)

/** Conversions and clock times: checked beside the code that does them, not with the mechanics. */
export const EXAMPLES_ELSEWHERE: readonly string[] = ['W53', 'W54', 'W56']

/** What a solution gets: the example's inputs by name (a name that is not there throws). */
export type Inputs = (name: string) => number

/** For each example: every expected value, worked by the code under test. */
export type Solutions = Record<string, (input: Inputs) => Record<string, number>>

/** The figures of an outcome, or a thrown error with its problem. */
export function figures<Figures extends object>(outcome: Outcome<Figures>): Figures {
  if (!outcome.ok) throw new Error(outcome.problem)
  return outcome
}

/**
 * One test for each solution, comparing every expected and every published value, and one that nothing of the topics is
 * left out.
 * @param constants names of expected values that are printed constants of the source's method and not results
 */
export function testWorkedExamples(
  topics: readonly string[],
  solutions: Solutions,
  constants: Record<string, readonly string[]> = {},
): void {
  const examples = workedExamples.filter(({ topic, id }) => topics.includes(topic) && !EXAMPLES_ELSEWHERE.includes(id))

  test(`every worked example on ${topics.join(', ')} is solved`, () => {
    expect(examples.length).toBeGreaterThan(0)
    expect(Object.keys(solutions).sort()).toEqual(examples.map(({ id }) => id).sort())
  })

  for (const example of examples) {
    const { publication, locator, year } = example.source
    test(`${example.id} ${example.title} (${publication}, ${locator}, ${year}; ${example.status})`, () => {
      const got = solutions[example.id]!((name) => {
        const value = example.inputs[name]
        if (value === undefined) throw new Error(`${example.id} has no input ${name}`)
        return value
      })
      const leftOut = constants[example.id] ?? []
      expect(Object.keys(got).sort()).toEqual(
        Object.keys(example.expected)
          .filter((name) => !leftOut.includes(name))
          .sort(),
      )
      for (const [name, value] of Object.entries(got)) {
        const expected = example.expected[name]!.value
        const error = Math.abs(value - expected)
        expect(error, `${name}: ${value}, expected ${expected}`).toBeLessThanOrEqual(
          example.tolerance_rel * Math.abs(expected),
        )
      }
      for (const { name, value, tolerance_abs, as_printed } of example.published) {
        const error = Math.abs(got[name]! - value)
        expect(error, `${name}: ${got[name]}, printed ${as_printed}`).toBeLessThanOrEqual(tolerance_abs)
      }
    })
  }
}
