import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { gammaCdf, gammaQuantile, gammaUpperTail } from '../../../projections/statistics/gamma.ts'
import {
  negativeBinomialCdf,
  negativeBinomialQuantile,
  negativeBinomialUpperTail,
} from '../../../projections/statistics/negative-binomial.ts'
import { normalCdf, normalQuantile, normalUpperTail } from '../../../projections/statistics/normal.ts'
import { poissonCdf, poissonQuantile, poissonUpperTail } from '../../../projections/statistics/poisson.ts'
import { studentTCdf, studentTQuantile, studentTUpperTail } from '../../../projections/statistics/student-t.ts'
import { weibullCdf, weibullQuantile, weibullUpperTail } from '../../../projections/statistics/weibull.ts'

type Law = {
  name: string
  params: fc.Arbitrary<number[]>
  x: fc.Arbitrary<number>
  cdf: (x: number, p: number[]) => number
  upper: (x: number, p: number[]) => number
  quantile: (p: number, params: number[]) => number
}

/** Numbers spread evenly over powers of ten. */
const magnitude = (min: number, max: number) =>
  fc.double({ min: Math.log(min), max: Math.log(max), noNaN: true }).map(Math.exp)
const anywhere = fc.oneof(
  magnitude(1e-8, 1e8),
  magnitude(1e-8, 1e8).map((x) => -x),
  fc.constant(0),
)
const counts = fc.integer({ min: -2, max: 3000 })

const continuous: Law[] = [
  {
    name: 'normal',
    params: fc.tuple(anywhere, magnitude(1e-3, 1e3)).map((p) => [...p]),
    x: anywhere,
    cdf: (x, [m, s]) => normalCdf(x, m, s),
    upper: (x, [m, s]) => normalUpperTail(x, m, s),
    quantile: (p, [m, s]) => normalQuantile(p, m, s),
  },
  {
    name: 'Student t',
    params: magnitude(0.3, 1e4).map((f) => [f]),
    x: anywhere,
    cdf: (x, [f]) => studentTCdf(x, f!),
    upper: (x, [f]) => studentTUpperTail(x, f!),
    quantile: (p, [f]) => studentTQuantile(p, f!),
  },
  {
    name: 'gamma',
    params: fc.tuple(magnitude(0.05, 1e4), magnitude(1e-3, 1e3)).map((p) => [...p]),
    x: anywhere,
    cdf: (x, [a, b]) => gammaCdf(x, a!, b!),
    upper: (x, [a, b]) => gammaUpperTail(x, a!, b!),
    quantile: (p, [a, b]) => gammaQuantile(p, a!, b!),
  },
  {
    name: 'Weibull',
    params: fc.tuple(magnitude(0.1, 50), magnitude(1e-3, 1e3)).map((p) => [...p]),
    x: anywhere,
    cdf: (x, [a, b]) => weibullCdf(x, a!, b!),
    upper: (x, [a, b]) => weibullUpperTail(x, a!, b!),
    quantile: (p, [a, b]) => weibullQuantile(p, a!, b!),
  },
]

const discrete: Law[] = [
  {
    name: 'Poisson',
    params: magnitude(1e-3, 2e3).map((m) => [m]),
    x: counts,
    cdf: (x, [m]) => poissonCdf(x, m!),
    upper: (x, [m]) => poissonUpperTail(x, m!),
    quantile: (p, [m]) => poissonQuantile(p, m!),
  },
  {
    name: 'negative binomial',
    params: fc.tuple(magnitude(0.05, 500), fc.double({ min: 0.005, max: 1, noNaN: true })).map((p) => [...p]),
    x: counts,
    cdf: (x, [r, q]) => negativeBinomialCdf(x, r!, q!),
    upper: (x, [r, q]) => negativeBinomialUpperTail(x, r!, q!),
    quantile: (p, [r, q]) => negativeBinomialQuantile(p, r!, q!),
  },
]

const chance = fc.oneof(
  fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }),
  magnitude(1e-12, 1e-3),
  fc.integer({ min: 4, max: 40 }).map((bits) => 1 - 2 ** -bits),
)

describe.each([...continuous, ...discrete])('the $name distribution', ({ params, x, cdf, upper, quantile }) => {
  it('rises from 0 to 1, and what is not at or below is above', () => {
    fc.assert(
      fc.property(params, x, x, (given, a, b) => {
        const [low, high] = a < b ? [a, b] : [b, a]
        expect(cdf(low, given)).toBeLessThanOrEqual(cdf(high, given) * (1 + 1e-12))
        expect(cdf(low, given)).toBeGreaterThanOrEqual(0)
        expect(cdf(high, given)).toBeLessThanOrEqual(1)
        expect(cdf(a, given) + upper(a, given)).toBeCloseTo(1, 12)
      }),
    )
  })

  it('goes to 0 and 1 at the infinities', () => {
    fc.assert(
      fc.property(params, (given) => {
        expect([cdf(-Infinity, given), upper(-Infinity, given)]).toEqual([0, 1])
        expect([cdf(Infinity, given), upper(Infinity, given)]).toEqual([1, 0])
      }),
    )
  })

  it('refuses what is no probability and what is no number, in a sentence', () => {
    fc.assert(
      fc.property(params, (given) => {
        for (const bad of [-0.1, 1.1, Number.NaN])
          expect(() => quantile(bad, given)).toThrow(/expected a number from 0 to 1/)
        expect(() => cdf(Number.NaN, given)).toThrow(RangeError)
        expect(() =>
          cdf(
            1,
            given.map(() => Number.NaN),
          ),
        ).toThrow(RangeError)
      }),
    )
  })
})

describe.each(continuous)('quantiles of the $name distribution', ({ params, cdf, upper, quantile }) => {
  it('undo the distribution function, in both tails', () => {
    fc.assert(
      fc.property(params, chance, (given, p) => {
        const at = quantile(p, given)
        // A steep curve magnifies the rounding of the value itself: allow the step to the neighbouring numbers.
        const near = Math.max(Math.abs(at), Math.abs(given[0]!)) * 1e-14 + Number.MIN_VALUE
        const wanted = p <= 0.5 ? p : 1 - p
        const tail = (x: number) => (p <= 0.5 ? cdf(x, given) : upper(x, given))
        const ends = [tail(at - near), tail(at + near)].sort((a, b) => a - b)
        expect(ends[0]!).toBeLessThanOrEqual(wanted * (1 + 1e-9))
        expect(ends[1]!).toBeGreaterThanOrEqual(wanted * (1 - 1e-9))
      }),
    )
  })

  it('rise with the chance', () => {
    fc.assert(
      fc.property(params, chance, chance, (given, a, b) => {
        const [low, high] = [quantile(Math.min(a, b), given), quantile(Math.max(a, b), given)]
        expect(low).toBeLessThanOrEqual(high + Math.abs(high) * 1e-12)
      }),
    )
  })
})

describe.each(discrete)('quantiles of the $name distribution', ({ params, cdf, quantile }) => {
  it('are the smallest count that reaches the chance', () => {
    fc.assert(
      fc.property(params, chance, (given, p) => {
        const k = quantile(p, given)
        expect(Number.isInteger(k) && k >= 0).toBe(true)
        expect(cdf(k, given)).toBeGreaterThanOrEqual(p - 1e-12)
        expect(cdf(k - 1, given)).toBeLessThanOrEqual(p + 1e-12)
      }),
    )
  })

  it('give a count back from its own cumulative chance', () => {
    fc.assert(
      fc.property(params, fc.integer({ min: 0, max: 400 }), (given, k) => {
        const here = cdf(k, given)
        // Only where this count and the next have chances that rounding cannot hide.
        fc.pre(here - cdf(k - 1, given) > 1e-9 && here < 1 - 1e-9)
        expect(quantile(here, given)).toBe(k)
      }),
    )
  })
})

describe('laws between distributions', () => {
  it('a gamma wait for the k-th event is longer than t when fewer than k come by t', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 200 }), magnitude(0.01, 300), (k, t) => {
        const wait = gammaUpperTail(t, k, 1)
        expect(wait).toBeCloseTo(poissonCdf(k - 1, t), 12)
      }),
    )
  })

  it('the Weibull of shape 1 and the gamma of shape 1 are one exponential', () => {
    fc.assert(
      fc.property(magnitude(1e-4, 1e4), magnitude(1e-2, 1e2), (x, scale) => {
        expect(weibullCdf(x, 1, scale)).toBeCloseTo(gammaCdf(x, 1, scale), 13)
      }),
    )
  })

  it('Student’s t with many degrees of freedom is nearly normal', () => {
    expect(studentTQuantile(0.975, 1e9)).toBeCloseTo(normalQuantile(0.975), 7)
  })

  it('a sure success leaves no failures, and nothing expected leaves no events', () => {
    expect(negativeBinomialQuantile(0.99, 3, 1)).toBe(0)
    expect(poissonQuantile(0.99, 0)).toBe(0)
    expect(poissonCdf(0, 0)).toBe(1)
  })
})
