import { describe, expect, it } from 'vitest'
import { hodgesLehmann } from '../../projections/statistics/hodges-lehmann.ts'
import { hodgesLehmannShift } from '../../projections/statistics/hodges-lehmann-shift.ts'
import { huberLocation } from '../../projections/statistics/huber-location.ts'
import { huberProposal2 } from '../../projections/statistics/huber-proposal-2.ts'
import { leastSquares } from '../../projections/statistics/least-squares.ts'
import { mRegression } from '../../projections/statistics/m-regression.ts'
import { mean } from '../../projections/statistics/mean.ts'
import { medianAbsoluteDeviation } from '../../projections/statistics/median-absolute-deviation.ts'
import { orthogonalSolve } from '../../projections/statistics/orthogonal-solve.ts'
import { qnScale } from '../../projections/statistics/qn-scale.ts'
import { rankSum } from '../../projections/statistics/rank-sum.ts'
import { rankSumCut, rankSumTail } from '../../projections/statistics/rank-sum-distribution.ts'
import { median, sampleQuantile } from '../../projections/statistics/sample-quantile.ts'
import { signedRankCut, signedRankTail } from '../../projections/statistics/signed-rank-distribution.ts'
import { snScale } from '../../projections/statistics/sn-scale.ts'
import { enough, expectAllClose, expectClose, readReference } from './statistics-data.ts'

type LocationExpected = Record<
  | 'n'
  | 'mean'
  | 'sd'
  | 'median'
  | 'mad'
  | 'madRaw'
  | 'iqrType7'
  | 'huberLocation'
  | 'huberScaleUsed'
  | 'huberLocationRobustbase'
  | 'hodgesLehmannOneSample'
  | 'qn'
  | 'sn'
  | 'huberConverged'
  | 'huberProposal2LocationStatsmodels'
  | 'huberProposal2ScaleStatsmodels',
  number
> & { quantileType7: number[]; quantileType6: number[] }

// robust-location-*.json: MASS and datasets of R; R 4.2.2, MASS 7.3-58.2, robustbase 0.95-0, statsmodels 0.13.5.
describe.each(['chem', 'newcomb', 'rivers'])('location and scale of %s are as R and statsmodels give them', (name) => {
  const { inputs, expected } = readReference<{ y: number[] }, LocationExpected>(`robust-location-${name}`)
  const { y } = inputs
  const toScale = { abs: 1e-12 * expected.mad }

  it('mean and standard deviation', () => {
    const { value, sd, n } = enough(mean(y))
    expect(n).toBe(expected.n)
    // The file states no tolerance; it prints 15 digits.
    expectClose(value, expected.mean, { rel: 1e-14 })
    expectClose(sd, expected.sd, { rel: 1e-14 })
  })

  it('median, quantiles of both definitions, median absolute deviation', () => {
    const chances = [0.05, 0.1, 0.25, 0.75, 0.9, 0.95]
    const type7 = chances.map((p) => sampleQuantile(y, p))
    const type6 = chances.map((p) => sampleQuantile(y, p, 6))
    expectClose(median(y), expected.median, toScale)
    // Printed to 15 digits, which for lengths in the thousands is coarser than 1e-12 of the scale.
    expectAllClose(type7, expected.quantileType7, { ...toScale, rel: 1e-15 }, 'type 7')
    expectAllClose(type6, expected.quantileType6, { ...toScale, rel: 1e-15 }, 'type 6')
    expectClose(type7[3]! - type7[2]!, expected.iqrType7, toScale)
    expectClose(medianAbsoluteDeviation(y), expected.mad, toScale)
    expectClose(medianAbsoluteDeviation(y, 1), expected.madRaw, toScale)
  })

  it('Hodges-Lehmann’s middle', () => {
    expectClose(enough(hodgesLehmann(y)).value, expected.hodgesLehmannOneSample, toScale)
  })

  it('Huber’s location, standing still', () => {
    const { value, scale } = enough(huberLocation(y))
    expectClose(scale, expected.huberScaleUsed, toScale)
    expectClose(value, expected.huberConverged, { rel: 1e-10 })
    // MASS and robustbase stop once a step is below 1e-6 scales.
    expectClose(value, expected.huberLocation, { abs: 2e-6 * expected.mad })
    expectClose(value, expected.huberLocationRobustbase, { abs: 2e-6 * expected.mad })
  })

  it('Huber’s Proposal 2', () => {
    const { value, scale } = enough(huberProposal2(y))
    expectClose(value, expected.huberProposal2LocationStatsmodels, { rel: 1e-5 })
    expectClose(scale, expected.huberProposal2ScaleStatsmodels, { rel: 1e-5 })
  })

  it('the scales Qn and Sn', () => {
    // The file states no tolerance; sn is printed with six digits or more, both to the last one printed.
    expectClose(qnScale(y), expected.qn, { rel: 1e-9 })
    expectClose(snScale(y), expected.sn, { rel: 1e-9 })
  })
})

describe('two groups: the sleep data (Student 1908; R datasets::sleep, wilcox.test)', () => {
  const { inputs, expected } = readReference<
    { a: number[]; b: number[] },
    { shiftMedian: number; W: number; pNormalCC: number }
  >('robust-shift-sleep')

  it('Hodges-Lehmann’s shift', () => {
    expectClose(enough(hodgesLehmannShift(inputs.a, inputs.b)).value, expected.shiftMedian, { abs: 1e-12 })
  })

  it('Wilcoxon’s rank sum, corrected for ties and continuity', () => {
    const test = enough(rankSum(inputs.a, inputs.b))
    expect(test.w).toBe(expected.W)
    expect(test.method).toBe('normal')
    expectClose(test.pNormal, expected.pNormalCC, { rel: 1e-8 })
    expect(test.p).toBe(test.pNormal)
  })
})

describe('the distributions behind the intervals agree with the printed tables of critical values', () => {
  it('Wilcoxon’s signed rank: 5 % two-sided', () => {
    // Wilcoxon and Wilcox (1964), in every textbook, from memory: n = 6: 0, 8: 3, 10: 8, 15: 25, 20: 52, 24: 81.
    const critical = { 6: 0, 8: 3, 10: 8, 15: 25, 20: 52, 24: 81 }
    for (const [n, sum] of Object.entries(critical)) expect(signedRankCut(Number(n), 0.025), `n = ${n}`).toBe(sum)
    expect(signedRankCut(5, 0.025)).toBe(-1)
    expectClose(signedRankTail(10, 8), 25 / 1024, { rel: 1e-14 })
  })

  it('Mann and Whitney’s U: 5 % two-sided', () => {
    // Milton (1964), in every textbook, from memory: (4, 4): 0, (5, 5): 2, (7, 9): 12, (10, 10): 23, (20, 20): 127.
    for (const [m, n, u] of [
      [4, 4, 0],
      [5, 5, 2],
      [7, 9, 12],
      [10, 10, 23],
      [20, 20, 127],
    ] as const) {
      expect(rankSumCut(m, n, 0.025), `${m} and ${n}`).toBe(u)
      expect(rankSumTail(m, n, u)).toBeLessThanOrEqual(0.025)
    }
    expect(rankSumCut(3, 3, 0.025)).toBe(-1)
  })
})

type Regression = { y: number[]; X: number[][] }
type RegressionExpected = {
  olsCoef: number[]
  olsSE: number[]
  olsSigma: number
  olsR2: number
  olsResiduals: number[]
  huberCoef: number[]
  huberScale: number
  huberSE: number[]
  huberWeights: number[]
  bisquareCoef: number[]
  bisquareScale: number
  rlmMassCoef: number[]
  rlmMassScale: number
}

// robust-regression-*.json: MASS::phones and R stackloss; statsmodels 0.13.5 OLS and RLM, MASS 7.3-58.2 rlm.
describe.each(['phones', 'stack'])('regression of %s is as statsmodels and MASS give it', (name) => {
  const { inputs, expected } = readReference<Regression, RegressionExpected>(`robust-regression-${name}`)

  it('least squares', () => {
    const fit = enough(leastSquares(inputs.X, inputs.y))
    const values = fit.coefficients.map((c) => c.value)
    const errors = fit.coefficients.map((c) => c.standardError)
    expectAllClose(values, expected.olsCoef, { rel: 1e-8 }, 'coefficient')
    expectAllClose(errors, expected.olsSE, { rel: 1e-8 }, 'error')
    expectClose(fit.residualSd, expected.olsSigma, { rel: 1e-8 })
    expectClose(fit.rSquared!, expected.olsR2, { rel: 1e-8 })
    expectAllClose(fit.residuals, expected.olsResiduals, { rel: 1e-8 }, 'residual')
  })

  it('Huber’s regression, errors and weights', () => {
    const fit = enough(mRegression(inputs.X, inputs.y))
    const values = fit.coefficients.map((c) => c.value)
    const errors = fit.coefficients.map((c) => c.standardError)
    expectAllClose(values, expected.huberCoef, { rel: 1e-5 }, 'coefficient')
    expectClose(fit.scale, expected.huberScale, { rel: 1e-5 })
    expectAllClose(errors, expected.huberSE, { rel: 1e-5 }, 'error')
    expectAllClose(fit.weights, expected.huberWeights, { rel: 1e-5 }, 'weight')
  })

  it('is near MASS rlm, which stops after a step of 1e-4 and divides by 0.6745', () => {
    const fit = enough(mRegression(inputs.X, inputs.y))
    const values = fit.coefficients.map((c) => c.value)
    expectAllClose(values, expected.rlmMassCoef, { rel: 1e-5 }, 'coefficient')
    expectClose(fit.scale, expected.rlmMassScale, { rel: 1e-4 })
  })

  it('the bisquare, started from least squares', () => {
    const fit = enough(mRegression(inputs.X, inputs.y, { weighing: 'bisquare' }))
    const values = fit.coefficients.map((c) => c.value)
    expectAllClose(values, expected.bisquareCoef, { rel: 1e-4 }, 'coefficient')
    expectClose(fit.scale, expected.bisquareScale, { rel: 1e-4 })
  })
})

describe('the certified line of NIST StRD Norris', () => {
  type Certified = Record<'slope' | 'intercept' | 'slopeSE' | 'interceptSE' | 'residualSd' | 'r2', number>
  const { inputs, expected } = readReference<{ x: number[]; y: number[] }, Certified>('robust-regression-nist-norris')
  const rows = inputs.x.map((value) => [value])

  it('is met by least squares to nine digits', () => {
    const fit = enough(leastSquares(rows, inputs.y))
    const [intercept, slope] = fit.coefficients
    expectClose(slope!.value, expected.slope, { rel: 1e-9 })
    expectClose(intercept!.value, expected.intercept, { rel: 1e-9 })
    expectClose(slope!.standardError, expected.slopeSE, { rel: 1e-9 })
    expectClose(intercept!.standardError, expected.interceptSE, { rel: 1e-9 })
    expectClose(fit.residualSd, expected.residualSd, { rel: 1e-9 })
    expectClose(fit.rSquared!, expected.r2, { rel: 1e-9 })
  })

  it('is met by the solver beneath it', () => {
    const solved = orthogonalSolve(
      rows.map((row) => [1, ...row]),
      inputs.y,
    )
    expectAllClose(solved.solution ?? [], [expected.intercept, expected.slope], { rel: 1e-9 })
  })
})
