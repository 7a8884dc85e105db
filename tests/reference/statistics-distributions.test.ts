import { describe, expect, it } from 'vitest'
import { countQuantile } from '../../projections/statistics/count-quantile.ts'
import { gammaCdf, gammaQuantile, gammaUpperTail } from '../../projections/statistics/gamma.ts'
import { regularizedBeta } from '../../projections/statistics/incomplete-beta.ts'
import { regularizedGamma } from '../../projections/statistics/incomplete-gamma.ts'
import { devianceTerm, logGamma, stirlingError } from '../../projections/statistics/log-gamma.ts'
import { risingRoot } from '../../projections/statistics/monotone-root.ts'
import {
  negativeBinomialCdf,
  negativeBinomialQuantile,
  negativeBinomialUpperTail,
} from '../../projections/statistics/negative-binomial.ts'
import { normalCdf, normalDensity, normalQuantile, normalUpperTail } from '../../projections/statistics/normal.ts'
import { poissonCdf, poissonQuantile, poissonUpperTail } from '../../projections/statistics/poisson.ts'
import { studentTCdf, studentTQuantile, studentTUpperTail } from '../../projections/statistics/student-t.ts'
import { weibullCdf, weibullQuantile, weibullUpperTail } from '../../projections/statistics/weibull.ts'
import { expectClose, readReference } from './statistics-data.ts'

type Inputs = { cases: { params: number[]; x: number[]; p: number[] }[] }
type Expected = { cases: { cdf: number[]; upperTail: number[]; quantile: number[] }[] }
type Distribution = {
  cdf: (x: number, ...params: number[]) => number
  upperTail: (x: number, ...params: number[]) => number
  quantile: (p: number, ...params: number[]) => number
  isDiscrete?: boolean
}

// dist-*.json: mpmath at 60 digits, rounded to double; cross-checked there against R 4.2.2 and scipy 1.10.1.
const distributions: Record<string, Distribution> = {
  normal: { cdf: normalCdf, upperTail: normalUpperTail, quantile: normalQuantile },
  t: {
    cdf: (x, df) => studentTCdf(x, df!),
    upperTail: (x, df) => studentTUpperTail(x, df!),
    quantile: (p, df) => studentTQuantile(p, df!),
  },
  gamma: {
    cdf: (x, shape, scale) => gammaCdf(x, shape!, scale!),
    upperTail: (x, shape, scale) => gammaUpperTail(x, shape!, scale!),
    quantile: (p, shape, scale) => gammaQuantile(p, shape!, scale!),
  },
  weibull: {
    cdf: (x, shape, scale) => weibullCdf(x, shape!, scale!),
    upperTail: (x, shape, scale) => weibullUpperTail(x, shape!, scale!),
    quantile: (p, shape, scale) => weibullQuantile(p, shape!, scale!),
  },
  poisson: {
    cdf: (x, mean) => poissonCdf(x, mean!),
    upperTail: (x, mean) => poissonUpperTail(x, mean!),
    quantile: (p, mean) => poissonQuantile(p, mean!),
    isDiscrete: true,
  },
  negbin: {
    cdf: (x, size, prob) => negativeBinomialCdf(x, size!, prob!),
    upperTail: (x, size, prob) => negativeBinomialUpperTail(x, size!, prob!),
    quantile: (p, size, prob) => negativeBinomialQuantile(p, size!, prob!),
    isDiscrete: true,
  },
}

describe.each(Object.entries(distributions))('the %s distribution matches mpmath at 60 digits', (name, it_) => {
  const { inputs, expected } = readReference<Inputs, Expected>(`dist-${name}`)
  const points = inputs.cases.map((given, i) => ({ ...given, want: expected.cases[i]! }))

  it.each(points)('chances at and below, and above, with parameters $params', ({ params, x, want }) => {
    x.forEach((at, i) => {
      for (const [got, wanted] of [
        [it_.cdf(at, ...params), want.cdf[i]!],
        [it_.upperTail(at, ...params), want.upperTail[i]!],
      ] as const) {
        // The tolerance of the file: below 1e-100 the doubles themselves run out of digits (2.9e-316 has eight).
        expectClose(got, wanted, { rel: wanted < 1e-100 ? 1e-7 : 1e-9 }, `${name} at ${at}`)
      }
    })
  })

  it.each(points)('quantiles with parameters $params', ({ params, p, want }) => {
    p.forEach((chance, i) => {
      const got = it_.quantile(chance, ...params)
      if (it_.isDiscrete) expect(got).toBe(want.quantile[i])
      else expectClose(got, want.quantile[i]!, { rel: 1e-9, abs: want.quantile[i] === 0 ? 1e-12 : 0 }, `p = ${chance}`)
    })
  })
})

describe('what the distributions are made of', () => {
  it('the incomplete gamma function gives the Poisson tails of dist-poisson.json', () => {
    const { inputs, expected } = readReference<Inputs, Expected>('dist-poisson')
    inputs.cases.forEach(({ params, x }, c) => {
      x.forEach((k, i) => {
        const { lower, upper } = regularizedGamma(k + 1, params[0]!)
        expectClose(upper, expected.cases[c]!.cdf[i]!, { rel: 1e-9 })
        expectClose(lower, expected.cases[c]!.upperTail[i]!, { rel: 1e-9 })
      })
    })
  })

  it('the incomplete gamma function keeps its digits at a large shape', () => {
    // mpmath 1.2.1 at 40 digits, gammainc(3000, 0, 3000, regularized=True) and the complement.
    const { lower, upper } = regularizedGamma(3000, 3000)
    expectClose(lower, 0.5024278898940543, { rel: 1e-11 })
    expectClose(upper, 0.4975721101059457, { rel: 1e-11 })
  })

  it('the incomplete beta function gives the tails of dist-negbin.json', () => {
    const { inputs, expected } = readReference<Inputs, Expected>('dist-negbin')
    inputs.cases.forEach(({ params, x }, c) => {
      x.forEach((k, i) => {
        const { lower, upper } = regularizedBeta(params[0]!, k + 1, params[1]!)
        expectClose(lower, expected.cases[c]!.cdf[i]!, { rel: 1e-9 })
        expectClose(upper, expected.cases[c]!.upperTail[i]!, { rel: 1e-9 })
      })
    })
  })

  it('the log of the gamma function is that of factorials and of Γ(1/2) = √π', () => {
    // Abramowitz and Stegun (1964), 6.1.5 to 6.1.8.
    expectClose(logGamma(0.5), 0.5 * Math.log(Math.PI), { rel: 1e-14 })
    expectClose(logGamma(1), 0, { abs: 1e-14 })
    expectClose(logGamma(11), Math.log(3628800), { rel: 1e-15 })
    expectClose(logGamma(171), 706.5730622457874, { rel: 1e-15 })
  })

  it('the error of Stirling’s formula is as tabulated', () => {
    // Loader (2000), "Fast and accurate computation of binomial probabilities", table of n! against Stirling, from
    // memory.
    expectClose(stirlingError(1), 0.08106146679532726, { rel: 1e-13 })
    expectClose(stirlingError(15), 0.005554733551962801, { rel: 1e-13 })
  })

  it('the deviance term agrees with its Taylor series where the plain formula cancels', () => {
    // x ln(x/m) + m - x = m (e²/2 - e³/6 + ...) with x = m (1 + e), Loader (2000), section 3.
    const e = 1e-6
    expectClose(devianceTerm(1000 * (1 + e), 1000), 1000 * (e ** 2 / 2 - e ** 3 / 6), { rel: 1e-9 })
    expectClose(devianceTerm(30, 10), 30 * Math.log(3) - 20, { rel: 1e-15 })
  })

  it('the root of Newton’s own example x³ - 2x - 5 is found', () => {
    // Newton's example (Wallis 1685); digits: OEIS A007493.
    const root = risingRoot((x) => ({ value: x ** 3 - 2 * x - 5, slope: 3 * x ** 2 - 2 }), 1, 10)
    expectClose(root, 2.0945514815423265, { rel: 1e-15 })
  })

  it('the quantile of a count is the smallest that reaches the chance, as in dist-poisson.json', () => {
    const { inputs, expected } = readReference<Inputs, Expected>('dist-poisson')
    const mean = inputs.cases[2]!.params[0]!
    const tails = (k: number) => ({ lower: poissonCdf(k, mean), upper: poissonUpperTail(k, mean) })
    // A start far off the truth must not matter.
    const got = inputs.cases[2]!.p.map((p) => countQuantile(p, 3, 1, tails))
    expect(got).toEqual(expected.cases[2]!.quantile)
  })

  it('the normal density is that of the tables', () => {
    // Abramowitz and Stegun (1964), table 26.1: Z(0) = 0.39894 22804 01433, Z(1) = 0.24197 07245 19143.
    expectClose(normalDensity(0), 0.398942280401433, { abs: 1e-15 })
    expectClose(normalDensity(1), 0.241970724519143, { abs: 1e-15 })
  })
})
