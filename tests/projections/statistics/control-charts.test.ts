import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { cusum } from '../../../projections/statistics/cusum.ts'
import { cusumDecisionInterval } from '../../../projections/statistics/cusum-decision-interval.ts'
import { cusumRunLength } from '../../../projections/statistics/cusum-run-length.ts'
import { ewma } from '../../../projections/statistics/ewma.ts'
import { ewmaRunLength } from '../../../projections/statistics/ewma-run-length.ts'
import { gaussLegendre } from '../../../projections/statistics/gauss-legendre.ts'
import { normalUpperTail } from '../../../projections/statistics/normal.ts'
import { expectSound, sample } from './any-sample.ts'

const chart = { target: 0, allowance: 0.5, decisionInterval: 4 }

describe('the CUSUM', () => {
  it('has sums that are never below zero, and mirrors when the values do', () => {
    fc.assert(
      fc.property(sample(0), (values) => {
        const points = cusum(values, chart)
        expectSound(points)
        const mirrored = cusum(
          values.map((value) => -value),
          chart,
        )
        points.forEach(({ upper, lower }, i) => {
          expect(Math.min(upper, lower)).toBeGreaterThanOrEqual(0)
          expect(mirrored[i]).toMatchObject({ upper: lower, lower: upper })
        })
      }),
    )
  })

  it('is empty for no values, and signals only above the decision interval', () => {
    expect(cusum([], chart)).toEqual([])
    expect(cusum([4.5], chart)[0]).toMatchObject({ upper: 4, above: false })
    expect(cusum([4.6], chart)[0]).toMatchObject({ above: true, below: false })
  })

  it('refuses an allowance below zero', () => {
    expect(() => cusum([1], { ...chart, allowance: -1 })).toThrow('expected zero or more')
  })
})

describe('the EWMA', () => {
  it('stays between the values and the mean, and mirrors when the values do', () => {
    const settings = { mean: 0, sd: 1, lambda: 0.2, limit: 3 }
    fc.assert(
      fc.property(sample(0), (values) => {
        const points = ewma(values, settings)
        expectSound(points)
        const mirrored = ewma(
          values.map((value) => -value),
          settings,
        )
        points.forEach(({ average, signal }, i) => {
          expect(average).toBeLessThanOrEqual(Math.max(0, ...values) * (1 + 1e-12))
          expect(average).toBeGreaterThanOrEqual(Math.min(0, ...values) * (1 + 1e-12))
          expect(mirrored[i]).toMatchObject({ signal })
        })
      }),
    )
  })

  it('refuses a weight of zero', () => {
    expect(() => ewma([1], { mean: 0, sd: 1, lambda: 0, limit: 3 })).toThrow('such as 0.2')
  })
})

describe('run lengths', () => {
  it('with a weight of 1 are those of single values against limits', () => {
    for (const shift of [0, 1, 3]) {
      const chance = normalUpperTail(3 - shift) + normalUpperTail(3 + shift)
      for (const limits of ['fixed', 'varying'] as const) {
        expect(ewmaRunLength({ lambda: 1, limit: 3, limits }, shift) * chance).toBeCloseTo(1, 9)
      }
    }
  })

  it('of a CUSUM with hardly any decision interval are those of single values against the allowance', () => {
    const length = cusumRunLength({ allowance: 2, decisionInterval: 1e-9, sides: 'one' }, 0)
    expect(length * normalUpperTail(2)).toBeCloseTo(1, 6)
  })

  it('shorten with the shift, whichever way it goes', () => {
    const runs = [0, 0.5, 1, 2].map((shift) => cusumRunLength({ allowance: 0.5, decisionInterval: 5 }, shift))
    expect(runs).toEqual([...runs].sort((a, b) => b - a))
    expect(cusumRunLength({ allowance: 0.5, decisionInterval: 5 }, -1)).toBeCloseTo(runs[2]!, 9)
    expect(ewmaRunLength({ lambda: 0.2, limit: 3 }, -1)).toBeCloseTo(ewmaRunLength({ lambda: 0.2, limit: 3 }, 1), 9)
  })

  it('that are endless for all that numbers can tell come out as infinity, not as nonsense', () => {
    expect(cusumRunLength({ allowance: 1, decisionInterval: 30, sides: 'one' }, -3)).toBe(Number.POSITIVE_INFINITY)
    expect(ewmaRunLength({ lambda: 0.3, limit: 12 }, 0)).toBe(Number.POSITIVE_INFINITY)
    expect(cusumRunLength({ allowance: 0.5, decisionInterval: 5 }, 6)).toBeGreaterThanOrEqual(1)
  })

  it('agree with runs that are played out', () => {
    // A fixed stream of normal values (Box and Muller on a linear congruential sequence), 4,000 runs: the error of
    // their mean is some 1.5 %, five times which is allowed.
    let state = 20240601
    const uniform = () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0
      return (state + 0.5) / 2 ** 32
    }
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform())
    let total = 0
    for (let run = 0; run < 4000; run++) {
      let upper = 2
      let lower = 2
      while (upper <= 4 && lower <= 4) {
        const value = normal() + 0.5
        upper = Math.max(0, upper + value - 0.5)
        lower = Math.max(0, lower - value - 0.5)
        total++
      }
    }
    const wanted = cusumRunLength({ allowance: 0.5, decisionInterval: 4, headStart: 2 }, 0.5)
    expect(Math.abs(total / 4000 / wanted - 1)).toBeLessThan(0.08)
  })

  it('are what the decision interval was asked for', () => {
    const interval = cusumDecisionInterval(0.5, 500, 'one')
    expect(cusumRunLength({ allowance: 0.5, decisionInterval: interval, sides: 'one' }, 0)).toBeCloseTo(500, 6)
    expect(() => cusumDecisionInterval(3, 2)).toThrow(/A run length of 2 was asked for/)
  })
})

describe('Gauss and Legendre’s rule', () => {
  it('integrates polynomials up to twice its points less one', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 60 }), fc.integer({ min: 0, max: 20 }), (count, degree) => {
        fc.pre(degree <= 2 * count - 1)
        const sum = gaussLegendre(count, 0, 1).reduce((total, { node, weight }) => total + weight * node ** degree, 0)
        expect(sum * (degree + 1)).toBeCloseTo(1, 12)
      }),
    )
  })
})
