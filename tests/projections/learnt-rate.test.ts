import { describe, expect, test } from 'vitest'
import { expectedOver, learntRate, type Stretch, variationOver } from '../../projections/learnt-rate.ts'
import { studentTQuantile } from '../../projections/statistics/student-t.ts'

const of = (...pairs: [used: number, over: number][]): Stretch[] =>
  pairs.map(([used, over], index) => ({ used, over, entries: [`e${index}`] }))

describe('a rate learnt from stretches', () => {
  test('is all that was used over all that it was used over', () => {
    const rate = learntRate(of([30, 10], [66, 20], [87, 30]))
    expect(rate).toMatchObject({ kind: 'estimate', value: 183 / 60, n: 3, over: 60, entries: ['e0', 'e1', 'e2'] })
  })

  test('is as weighted least squares through the origin has it: the value, its scatter, the ends for a stretch to come', () => {
    // By hand: y = (30, 66, 87) on x = (10, 20, 30), weights 1/x: slope sum(y)/sum(x); residuals -0.5, 5, -4.5.
    const rate = learntRate(of([30, 10], [66, 20], [87, 30]))
    if (rate.kind === 'not-enough') throw new Error('expected an estimate')
    expect(rate.variance).toBeCloseTo((0.25 / 10 + 25 / 20 + 20.25 / 30) / 2, 12)
    const sd = Math.sqrt(rate.variance * (40 + 40 ** 2 / 60))
    const ahead = expectedOver(rate, 40)
    expect(ahead).toMatchObject({ kind: 'estimate', value: 122, n: 3 })
    if (ahead.kind === 'not-enough') throw new Error('expected an estimate')
    expect(ahead.high - ahead.value).toBeCloseTo(studentTQuantile(0.9, 2) * sd, 10)
    expect(ahead.value - ahead.low).toBeCloseTo(studentTQuantile(0.9, 2) * sd, 10)
    expect(variationOver(rate, 40)).toBeCloseTo(sd / 122, 12)
  })

  test('is not there with fewer than three stretches, and says how many there are', () => {
    expect(learntRate([])).toEqual({ kind: 'not-enough', n: 0, needed: 3 })
    expect(learntRate(of([1, 1], [2, 1]))).toEqual({ kind: 'not-enough', n: 2, needed: 3 })
    expect(expectedOver(learntRate([]), 5)).toEqual({ kind: 'not-enough', n: 0, needed: 3 })
    expect(variationOver(learntRate([]), 5)).toBeNull()
  })

  test('forgets what is older than the last twelve stretches', () => {
    const old = Array.from({ length: 20 }, (): [number, number] => [100, 10])
    const rate = learntRate(of(...old, ...Array.from({ length: 12 }, (): [number, number] => [20, 10])))
    expect(rate).toMatchObject({ value: 2, n: 12 })
  })

  test('never expects less than nothing', () => {
    const ahead = expectedOver(learntRate(of([0, 10], [60, 10], [3, 10])), 10)
    expect(ahead).toMatchObject({ low: 0 })
  })
})
