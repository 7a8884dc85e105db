import { describe, expect, it } from 'vitest'
import { kendallTail } from '../../projections/statistics/kendall-distribution.ts'
import { leastSquares } from '../../projections/statistics/least-squares.ts'
import { mannKendall } from '../../projections/statistics/mann-kendall.ts'
import { siegelSlope } from '../../projections/statistics/siegel-slope.ts'
import { theilSen } from '../../projections/statistics/theil-sen.ts'
import { enough, expectClose, readReference } from './statistics-data.ts'

type Inputs = { x: number[]; y: number[] }
type Expected = {
  n: number
  S: number
  varS: number
  zNoContinuity: number
  pNoContinuity: number
  zContinuity: number
  pContinuity: number
  tauB: number
  pExact?: number
  slope: number
  interceptMedians: number
  interceptJoint: number
  slopeCI: Record<string, [number, number]>
  pairsUsed: number
  siegelSlope: number
  olsSlope: number
  olsSlopeSE: number
}

// trend-*.json: data sets of R; R 4.2.2 cor.test(method = "kendall"), scipy 1.10.1 theilslopes, siegelslopes,
// linregress.
const sets = ['cars', 'lh', 'nhtemp', 'nile', 'ozone', 'turbine']

describe.each(sets)('the trend of %s is as R and scipy give it', (name) => {
  const { inputs, expected } = readReference<Inputs, Expected>(`trend-${name}`)

  it('Mann-Kendall’s test, ties and both continuity settings', () => {
    const test = enough(mannKendall(inputs.x, inputs.y))
    expect(test.n).toBe(expected.n)
    expect(test.s).toBe(expected.S)
    expectClose(test.varianceOfS, expected.varS, { rel: 1e-12 }, 'variance')
    expectClose(test.z, expected.zContinuity, { abs: 1e-9 }, 'z')
    expectClose(test.zUncorrected, expected.zNoContinuity, { abs: 1e-9 }, 'z uncorrected')
    expectClose(test.pNormal, expected.pContinuity, { rel: 1e-8 }, 'p')
    expectClose(test.pUncorrected, expected.pNoContinuity, { rel: 1e-8 }, 'p uncorrected')
    expectClose(test.tau, expected.tauB, { rel: 1e-12 }, 'tau')
    expect(test.method).toBe(expected.pExact === undefined ? 'normal' : 'exact')
    expectClose(test.p, expected.pExact ?? expected.pContinuity, { rel: 1e-8 }, 'p to report')
  })

  it('Theil-Sen’s slope, both intercepts, and Sen’s interval at four levels', () => {
    for (const [level, [low, high]] of Object.entries(expected.slopeCI)) {
      const fit = enough(theilSen(inputs.x, inputs.y, { level: Number(level) }))
      expect(fit.pairs).toBe(expected.pairsUsed)
      expectClose(fit.value, expected.slope, { rel: 1e-12 }, 'slope')
      expectClose(fit.intercept, expected.interceptMedians, { rel: 1e-12 }, 'intercept')
      expectClose(fit.jointIntercept, expected.interceptJoint, { rel: 1e-12 }, 'joint intercept')
      expectClose(fit.low, low, { rel: 1e-12 }, `low at ${level}`)
      expectClose(fit.high, high, { rel: 1e-12 }, `high at ${level}`)
    }
  })

  it('Siegel’s repeated median', () => {
    expectClose(enough(siegelSlope(inputs.x, inputs.y)).value, expected.siegelSlope, { rel: 1e-12 })
  })

  it('the least-squares slope and its standard error', () => {
    const rows = inputs.x.map((value) => [value])
    const slope = enough(leastSquares(rows, inputs.y)).coefficients[1]!
    // The files state no tolerance for these two: that of the regression files.
    expectClose(slope.value, expected.olsSlope, { rel: 1e-8 }, 'slope')
    expectClose(slope.standardError, expected.olsSlopeSE, { rel: 1e-8 }, 'error')
  })
})

it('the exact distribution of Kendall’s S gives the p-value of trend-turbine.json', () => {
  const { expected } = readReference<Inputs, Expected>('trend-turbine')
  expectClose(2 * kendallTail(11, (55 - expected.S) / 2), expected.pExact!, { rel: 1e-8 })
})
