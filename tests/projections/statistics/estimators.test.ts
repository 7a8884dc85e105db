import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { NotEnough } from '../../../projections/statistics/estimate.ts'
import { hodgesLehmann } from '../../../projections/statistics/hodges-lehmann.ts'
import { hodgesLehmannShift } from '../../../projections/statistics/hodges-lehmann-shift.ts'
import { huberLocation } from '../../../projections/statistics/huber-location.ts'
import { huberProposal2 } from '../../../projections/statistics/huber-proposal-2.ts'
import { leastSquares } from '../../../projections/statistics/least-squares.ts'
import { mRegression } from '../../../projections/statistics/m-regression.ts'
import { mannKendall } from '../../../projections/statistics/mann-kendall.ts'
import { mean } from '../../../projections/statistics/mean.ts'
import { medianAbsoluteDeviation } from '../../../projections/statistics/median-absolute-deviation.ts'
import { qnScale } from '../../../projections/statistics/qn-scale.ts'
import { rankSum } from '../../../projections/statistics/rank-sum.ts'
import { median, sampleQuantile } from '../../../projections/statistics/sample-quantile.ts'
import { siegelSlope } from '../../../projections/statistics/siegel-slope.ts'
import { snScale } from '../../../projections/statistics/sn-scale.ts'
import { theilSen } from '../../../projections/statistics/theil-sen.ts'
import { expectSound, sample, shuffled } from './any-sample.ts'

type Located = { kind: 'estimate'; value: number; low: number; high: number } | NotEnough

const locations: [string, (values: readonly number[]) => Located, number][] = [
  ['mean', mean, 2],
  ['Hodges-Lehmann', hodgesLehmann, 6],
  ['Huber', huberLocation, 3],
  ['Huber Proposal 2', huberProposal2, 3],
]

describe.each(locations)('the location by %s', (_, estimate, needed) => {
  it('says not-enough for nothing at all and below what it needs', () => {
    expect(estimate([])).toEqual({ kind: 'not-enough', n: 0, needed })
    expect(estimate(Array.from({ length: needed - 1 }, (__, i) => i))).toMatchObject({ kind: 'not-enough', needed })
    expect(estimate(Array.from({ length: needed }, (__, i) => i)).kind).toBe('estimate')
  })

  it('gives no NaN, and an interval around its value, for any sample', () => {
    fc.assert(
      fc.property(sample(0), (values) => {
        expectSound(estimate(values))
      }),
    )
  })

  it('does not care about the order', () => {
    const pair = sample(0).chain((values) => fc.tuple(fc.constant(values), shuffled(values)))
    fc.assert(
      fc.property(pair, ([values, other]) => {
        const a = estimate(values)
        const b = estimate(other)
        expect(b.kind).toBe(a.kind)
        if (a.kind === 'not-enough' || b.kind === 'not-enough') return
        const size = Math.max(1e-290, ...values.map(Math.abs))
        expect(Math.abs(a.value - b.value)).toBeLessThanOrEqual(1e-9 * size)
      }),
    )
  })

  it('follows a change of unit and of zero', () => {
    fc.assert(
      fc.property(sample(6), (values) => {
        const a = estimate(values)
        const b = estimate(values.map((value) => 32 - 1.5 * value))
        if (a.kind === 'not-enough' || b.kind === 'not-enough') return
        const slack = 1e-8 * (1 + Math.max(...values.map(Math.abs)))
        expect(Math.abs(b.value - (32 - 1.5 * a.value))).toBeLessThanOrEqual(slack)
        expect(Math.abs(b.low - (32 - 1.5 * a.high))).toBeLessThanOrEqual(slack)
        expect(Math.abs(b.high - (32 - 1.5 * a.low))).toBeLessThanOrEqual(slack)
      }),
    )
  })

  it('refuses a reading that is no number, in a sentence', () => {
    expect(() => estimate([1, 2, Number.NaN, 4, 5, 6, 7])).toThrow('Leave out what was not measured')
  })
})

describe('a wild reading', () => {
  const clean = [14.1, 14.2, 14.2, 14.3, 14.3, 14.4, 14.4, 14.5, 14.6]
  it.each(locations.slice(1))('does not carry off the location by %s', (_, estimate) => {
    const [a, b] = [estimate(clean), estimate([...clean, 144])]
    if (a.kind === 'not-enough' || b.kind === 'not-enough') return expect.fail('there is enough')
    expect(Math.abs(b.value - a.value)).toBeLessThan(0.2)
  })
})

describe.each([
  ['median absolute deviation', medianAbsoluteDeviation],
  ['Qn', qnScale],
  ['Sn', snScale],
] as const)('the scale by %s', (_, scale) => {
  it('is never below zero, does not feel a shift, and follows a change of unit', () => {
    fc.assert(
      fc.property(sample(2), (values) => {
        const size = 1e-9 * (1 + Math.max(...values.map(Math.abs)))
        const here = scale(values)
        expect(here).toBeGreaterThanOrEqual(0)
        expect(Math.abs(scale(values.map((value) => 7 - 2 * value)) - 2 * here)).toBeLessThanOrEqual(size)
      }),
    )
  })

  it('refuses an empty list', () => {
    expect(() => scale([])).toThrow(RangeError)
  })
})

describe('sample quantiles', () => {
  it('lie within the sample and rise with p, for both definitions', () => {
    const p = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(sample(1), p, p, fc.constantFrom(6 as const, 7 as const), (values, a, b, definition) => {
        const low = sampleQuantile(values, Math.min(a, b), definition)
        const high = sampleQuantile(values, Math.max(a, b), definition)
        const slack = 1e-12 * Math.max(...values.map(Math.abs)) + 1e-300
        expect(low).toBeLessThanOrEqual(high + slack)
        expect(low).toBeGreaterThanOrEqual(Math.min(...values) - slack)
        expect(high).toBeLessThanOrEqual(Math.max(...values) + slack)
        expect(Math.abs(sampleQuantile(values, 0.5, definition) - median(values))).toBeLessThanOrEqual(slack)
      }),
    )
  })
})

const pairs = (minLength: number) =>
  fc
    .tuple(sample(minLength, 15), sample(minLength, 15))
    .map(([x, y]) => ({ x: x.slice(0, y.length), y: y.slice(0, x.length) }))

describe('trends and regressions', () => {
  it('give no NaN for any pairs, however tied', () => {
    fc.assert(
      fc.property(pairs(0), ({ x, y }) => {
        const rows = x.map((value) => [value])
        expectSound(mannKendall(x, y))
        expectSound(theilSen(x, y))
        expectSound(siegelSlope(x, y))
        expectSound(leastSquares(rows, y))
        expectSound(mRegression(rows, y))
        expectSound(mRegression(rows, y, { weighing: 'bisquare' }))
      }),
    )
  })

  it('find the line through points that lie on one', () => {
    const x = [0, 1, 2, 4, 7, 11, 16]
    const y = x.map((value) => 3 - 0.25 * value)
    const rows = x.map((value) => [value])
    for (const slope of [
      theilSen(x, y),
      siegelSlope(x, y),
      ...[leastSquares(rows, y), mRegression(rows, y), mRegression(rows, y, { weighing: 'bisquare' })].map((fit) =>
        fit.kind === 'estimate' ? { kind: 'estimate' as const, ...fit.coefficients[1]! } : fit,
      ),
    ]) {
      if (slope.kind === 'not-enough') return expect.fail('there is enough')
      expect(slope.value).toBeCloseTo(-0.25, 12)
    }
  })

  it('do not care in which order the pairs come', () => {
    const shuffledPairs = pairs(5).chain(({ x, y }) => {
      const together = x.map((value, i) => [value, y[i]!] as const)
      return fc.tuple(fc.constant(together), shuffled(together))
    })
    fc.assert(
      fc.property(shuffledPairs, ([a, b]) => {
        const columns = (list: readonly (readonly [number, number])[]) =>
          [list.map(([x]) => x), list.map(([, y]) => y)] as const
        expect(mannKendall(...columns(b))).toEqual(mannKendall(...columns(a)))
        expect(theilSen(...columns(b))).toEqual(theilSen(...columns(a)))
      }),
    )
  })

  it('turn round when time runs backwards', () => {
    fc.assert(
      fc.property(pairs(5), ({ x, y }) => {
        const back = x.map((value) => -value)
        const [a, b] = [mannKendall(x, y), mannKendall(back, y)]
        if (a.kind === 'not-enough' || b.kind === 'not-enough') return
        expect(b.s + a.s).toBe(0)
        expect(b.p).toBe(a.p)
      }),
    )
  })

  it('say not-enough for nothing, and for one single x', () => {
    expect(mannKendall([], [])).toEqual({ kind: 'not-enough', n: 0, needed: 4 })
    expect(theilSen([], [])).toEqual({ kind: 'not-enough', n: 0, needed: 5 })
    expect(siegelSlope([], [])).toEqual({ kind: 'not-enough', n: 0, needed: 2 })
    expect(leastSquares([], [])).toMatchObject({ kind: 'not-enough', n: 0 })
    expect(leastSquares([[2], [2], [2], [2]], [1, 2, 3, 4])).toEqual({ kind: 'not-enough', n: 1, needed: 2 })
    expect(theilSen([2, 2, 2, 2, 2], [1, 2, 3, 4, 5]).kind).toBe('not-enough')
  })

  it('refuse lists of unequal length', () => {
    expect(() => theilSen([1, 2, 3], [1, 2])).toThrow('expected one for each other')
    expect(() => mannKendall([1, 2, 3], [1, 2])).toThrow('expected one for each other')
    expect(() => leastSquares([[1], [2, 3]], [1, 2])).toThrow(RangeError)
  })

  it('have nothing to explain when y does not vary', () => {
    expect(leastSquares([[1], [2], [4]], [5, 5, 5])).toMatchObject({ rSquared: null })
    expect(mannKendall([1, 2, 3, 4], [5, 5, 5, 5])).toMatchObject({ s: 0, z: 0, p: 1, tau: 0 })
  })
})

describe('two groups', () => {
  it('give no NaN, and swapping them turns the shift round', () => {
    fc.assert(
      fc.property(sample(0, 12), sample(0, 12), (a, b) => {
        const [there, back] = [hodgesLehmannShift(a, b), hodgesLehmannShift(b, a)]
        expectSound(there)
        expectSound(rankSum(a, b))
        if (there.kind === 'not-enough' || back.kind === 'not-enough') {
          expect(back).toEqual(there)
          return
        }
        expect(back.value + there.value).toBe(0)
        expect(back.low + there.high).toBe(0)
        const [test, other] = [rankSum(a, b), rankSum(b, a)]
        if (test.kind === 'test' && other.kind === 'test') expect(other.p).toBeCloseTo(test.p, 12)
      }),
    )
  })

  it('need four against four at 95 %', () => {
    expect(hodgesLehmannShift([1, 2, 3], [4, 5, 6])).toEqual({ kind: 'not-enough', n: 3, needed: 4 })
    expect(hodgesLehmannShift([1, 2, 3, 4], [5, 6, 7, 8])).toMatchObject({ value: -4, low: -7, high: -1 })
    expect(hodgesLehmannShift([], [])).toMatchObject({ kind: 'not-enough', n: 0 })
    expect(rankSum([], [1, 2, 3])).toEqual({ kind: 'not-enough', n: 0, needed: 3 })
  })
})
