import { describe, expect, it } from 'vitest'
import { kaplanMeier, type SurvivalInterval, survivalQuantile } from '../../projections/statistics/kaplan-meier.ts'
import { kendallTail } from '../../projections/statistics/kendall-distribution.ts'
import { laplaceTrend } from '../../projections/statistics/laplace-trend.ts'
import { meanCumulativeFunction } from '../../projections/statistics/mean-cumulative-function.ts'
import { militaryHandbookTrend } from '../../projections/statistics/military-handbook-trend.ts'
import { powerLawRepairs } from '../../projections/statistics/power-law-repairs.ts'
import { repairTimes } from '../../projections/statistics/repair-times.ts'
import { reverseArrangements } from '../../projections/statistics/reverse-arrangements.ts'
import { weibullLife, weibullLifeQuantile } from '../../projections/statistics/weibull-life.ts'
import { lifeCell, weibullLikelihood } from '../../projections/statistics/weibull-likelihood.ts'
import { enough, expectAllClose, expectClose, readReference } from './statistics-data.ts'

type Lives = { time: number[]; status: number[] }
const livesOf = ({ time, status }: Lives) => time.map((t, i) => ({ time: t, failed: status[i] === 1 }))

type SurvivalExpected = {
  time: number[]
  atRisk: number[]
  events: number[]
  survival: number[]
  seGreenwood: number[]
  lower95Log: number[]
  upper95Log: number[]
  lower95LogLog: number[]
  upper95LogLog: number[]
  nelsonAalen: number[]
  median: number | null
}

// life-km-*.json: R survival 3.5-3, survfit(Surv(time, status) ~ 1); genfan and imotor data of that package (Nelson
// 1982; Meeker and Escobar 1998), and the data of NIST/SEMATECH e-Handbook 8.4.1.3.
describe.each(['genfan', 'motor190', 'nist'])('Kaplan-Meier on %s is as R survival gives it', (name) => {
  const { inputs, expected } = readReference<Lives, SurvivalExpected>(`life-km-${name}`)
  const curveWith = (interval: SurvivalInterval) => enough(kaplanMeier(livesOf(inputs), { interval }))

  it('survival, units at risk, Greenwood’s error and the Nelson-Aalen hazard', () => {
    const { points } = curveWith('log-log')
    expect(points.map((p) => p.time)).toEqual(expected.time)
    expect(points.map((p) => p.atRisk)).toEqual(expected.atRisk)
    expect(points.map((p) => p.events)).toEqual(expected.events)
    const survival = points.map((p) => p.survival)
    const errors = points.map((p) => p.standardError)
    const hazard = points.map((p) => p.cumulativeHazard)
    expectAllClose(survival, expected.survival, { rel: 1e-12 }, 'survival')
    expectAllClose(errors, expected.seGreenwood, { rel: 1e-10 }, 'error')
    expectAllClose(hazard, expected.nelsonAalen, { rel: 1e-12 }, 'hazard')
  })

  it('the log and log-log intervals', () => {
    for (const [interval, low, high] of [
      ['log', expected.lower95Log, expected.upper95Log],
      ['log-log', expected.lower95LogLog, expected.upper95LogLog],
    ] as const) {
      const { points } = curveWith(interval)
      expect(points.every((p) => p.low !== null && p.high !== null)).toBe(true)
      const lows = points.map((p) => p.low!)
      const highs = points.map((p) => p.high!)
      expectAllClose(lows, low, { rel: 1e-8 }, `low ${interval}`)
      expectAllClose(highs, high, { rel: 1e-8 }, `high ${interval}`)
    }
  })
})

describe('the median life read off the curve', () => {
  const medianOf = (name: string) => {
    const { inputs, expected } = readReference<Lives, SurvivalExpected>(`life-km-${name}`)
    return { got: survivalQuantile(enough(kaplanMeier(livesOf(inputs))), 0.5), wanted: expected.median }
  }

  it('is the middle of the stretch on which exactly half survive, as R has it (life-km-nist.json)', () => {
    const { got, wanted } = medianOf('nist')
    expect(got).toMatchObject({ kind: 'estimate', value: wanted })
  })

  it('is not reached while fewer than half have failed (life-km-genfan.json)', () => {
    const { got, wanted } = medianOf('genfan')
    expect(wanted).toBeNull()
    expect(got).toEqual({ kind: 'not-reached', lastTime: 11500, n: 70 })
  })

  it('is reached when exactly 5 of 10 have failed, though R loses it to rounding (life-km-motor190.json)', () => {
    const { got, wanted } = medianOf('motor190')
    expect(wanted).toBeNull()
    expect(0.8 * 0.75 * (5 / 6)).toBeGreaterThan(0.5)
    expect(got).toMatchObject({ kind: 'estimate', value: (1440 + 1680) / 2 })
  })
})

it('the plain interval is that of Greenwood’s formula', () => {
  // Kaplan and Meier (1958), eq. 2f and 3a; 10 units, 2 fail at 408: 0.8 -+ 1.96 √(0.8 * 0.2 / 10), as no unit left
  // before.
  const { inputs } = readReference<Lives, SurvivalExpected>('life-km-motor190')
  const first = enough(kaplanMeier(livesOf(inputs), { interval: 'plain' })).points[0]!
  expectClose(first.low!, 0.8 - 1.959963984540054 * Math.sqrt(0.016), { rel: 1e-12 })
  expect(first.high).toBe(1)
})

type WeibullExpected = {
  shape: number
  scale: number
  logLik: number
  seIntercept: number
  seLogSigma: number
  covInterceptLogSigma: number
  shapeCI95: [number, number]
  scaleCI95: [number, number]
  quantileP: number[]
  quantile: number[]
  quantileSE: number[]
  exponentialScale: number
  exponentialLogLik: number
  events: number
  n: number
  mean: number
  sd: number
  printed: { scale: number; shape: number; logLik: number; aicWeibull: number; mean: number; sd: number }
}

// life-weibull-*.json: R survival 3.5-3, survreg(dist = "weibull"); data as above, and survival::lung.
describe.each(['genfan', 'lung', 'motor190', 'nist'])('the Weibull life of %s is as R survreg gives it', (name) => {
  const { inputs, expected } = readReference<Lives, WeibullExpected>(`life-weibull-${name}`)
  const fit = enough(weibullLife(livesOf(inputs), { interval: 'wald' }))

  it('shape, scale, likelihood and their covariance', () => {
    expect(fit.n).toBe(expected.n)
    expect(fit.events).toBe(expected.events)
    expectClose(fit.shape.value, expected.shape, { rel: 1e-6 }, 'shape')
    expectClose(fit.scale.value, expected.scale, { rel: 1e-6 }, 'scale')
    expectClose(fit.logLikelihood, expected.logLik, { abs: 1e-6 }, 'likelihood')
    const [[scale, across], [, sigma]] = fit.covariance
    expectClose(Math.sqrt(scale), expected.seIntercept, { rel: 1e-4 }, 'error of ln scale')
    expectClose(Math.sqrt(sigma), expected.seLogSigma, { rel: 1e-4 }, 'error of ln sigma')
    expectClose(across, expected.covInterceptLogSigma, { rel: 1e-4 }, 'covariance')
  })

  it('Wald intervals on the log scale', () => {
    // Their ends inherit the tolerance of the standard errors: rel 1e-4 of the half width.
    expectAllClose([fit.shape.low, fit.shape.high], expected.shapeCI95, { rel: 1e-4 }, 'shape')
    expectAllClose([fit.scale.low, fit.scale.high], expected.scaleCI95, { rel: 1e-4 }, 'scale')
  })

  it('quantiles with their standard errors', () => {
    const quantiles = expected.quantileP.map((p) => enough(weibullLifeQuantile(fit, p)))
    const values = quantiles.map((q) => q.value)
    const errors = quantiles.map((q) => q.standardError)
    expectAllClose(values, expected.quantile, { rel: 1e-6 }, 'quantile')
    expectAllClose(errors, expected.quantileSE, { rel: 1e-4 }, 'error')
    expectClose(fit.value, expected.quantile[2]!, { rel: 1e-6 }, 'the fit’s own value is the median')
  })

  it('the likelihood interval ends where the likelihood has dropped by half the chi-square quantile', () => {
    // Meeker and Escobar (1998), section 8.3. 3.841458820694124 = R qchisq(0.95, 1), from memory. For right-censored
    // lives the best scale at a given shape is (Σ t^shape / failures)^(1/shape) (Nelson 1982, section 8.5).
    const cells = livesOf(inputs).map(lifeCell)
    const byLikelihood = enough(weibullLife(livesOf(inputs)))
    for (const shape of [byLikelihood.shape.low, byLikelihood.shape.high]) {
      const sum = inputs.time.reduce((total, time) => total + time ** shape, 0)
      const { value } = weibullLikelihood(cells, 0, shape, Math.log(sum / fit.events))
      expectClose(2 * (fit.logLikelihood - value), 3.841458820694124, { rel: 1e-6 }, `shape ${shape}`)
    }
  })

  it('with shape 1 the likelihood is that of the exponential life', () => {
    const { value } = weibullLikelihood(livesOf(inputs).map(lifeCell), 0, 1, Math.log(expected.exponentialScale))
    expectClose(value, expected.exponentialLogLik, { abs: 1e-6 })
  })
})

it('the Weibull life of the NIST case is as printed in the e-Handbook, 8.4.1.3', () => {
  const { inputs, expected } = readReference<Lives, WeibullExpected>('life-weibull-nist')
  const fit = enough(weibullLife(livesOf(inputs)))
  expect(fit.scale.value.toFixed(3)).toBe(expected.printed.scale.toFixed(3))
  expect(fit.shape.value.toFixed(4)).toBe(expected.printed.shape.toFixed(4))
  expect((-fit.logLikelihood).toFixed(3)).toBe((-expected.logLik).toFixed(3))
  expect((2 * 2 - 2 * fit.logLikelihood).toFixed(2)).toBe(expected.printed.aicWeibull.toFixed(2))
  expectClose(fit.mean, expected.mean, { rel: 1e-6 })
  expectClose(fit.sd, expected.sd, { rel: 1e-6 })
  expect(fit.mean.toFixed(3)).toBe(expected.printed.mean.toFixed(3))
  expect(fit.sd.toFixed(3)).toBe(expected.printed.sd.toFixed(3))
})

it('the Weibull life of wheels seen only at inspection is as R survreg gives it (life-weibull-turbineInspect.json)', () => {
  type Inspections = { lower: (number | null)[]; upper: (number | null)[]; count: number[] }
  const { inputs, expected } = readReference<Inspections, WeibullExpected>('life-weibull-turbineInspect')
  const observations = inputs.count.map((count, i) => {
    const before = inputs.upper[i] ?? null
    return before === null ? { time: inputs.lower[i]!, failed: false, count } : { after: 0, before, count }
  })
  const fit = enough(weibullLife(observations, { interval: 'wald' }))
  expectClose(fit.shape.value, expected.shape, { rel: 1e-6 }, 'shape')
  expectClose(fit.scale.value, expected.scale, { rel: 1e-6 }, 'scale')
  expectClose(fit.logLikelihood, expected.logLik, { abs: 1e-6 }, 'likelihood')
  expectClose(Math.sqrt(fit.covariance[0][0]), expected.seIntercept, { rel: 1e-4 }, 'error of ln scale')
  expectClose(Math.sqrt(fit.covariance[1][1]), expected.seLogSigma, { rel: 1e-4 }, 'error of ln sigma')
})

describe('the mean cumulative function of valve-seat replacements (Nelson 1995; R survival::valveSeat)', () => {
  type ValveSeats = { id: number[]; time: number[]; event: number[]; engines: number; events: number }
  type McfExpected = {
    age: number[]
    atRisk: number[]
    events: number[]
    mcf: number[]
    seRobust: number[]
    lawlessNadeauSE: number[]
  }
  const { inputs, expected } = readReference<ValveSeats, McfExpected>('life-mcf-valveseat')
  const histories = [...new Set(inputs.id)].map((id) => {
    const rows = inputs.id.flatMap((other, i) => (other === id ? [i] : []))
    const repairs = rows.filter((i) => inputs.event[i] === 1).map((i) => inputs.time[i]!)
    return { repairs, end: inputs.time[rows.find((i) => inputs.event[i] === 0)!]! }
  })

  it('is as R survfit and Lawless and Nadeau (1995) give it', () => {
    expect(histories.length).toBe(inputs.engines)
    const { points, events } = enough(meanCumulativeFunction(histories))
    expect(events).toBe(inputs.events)
    expect(points.map((p) => p.age)).toEqual(expected.age)
    expect(points.map((p) => p.atRisk)).toEqual(expected.atRisk)
    expect(points.map((p) => p.events)).toEqual(expected.events)
    const values = points.map((p) => p.value)
    const errors = points.map((p) => p.standardError)
    expectAllClose(values, expected.mcf, { rel: 1e-9 }, 'mean cumulative function')
    expectAllClose(errors, expected.lawlessNadeauSE, { rel: 1e-6 }, 'error')
    expectAllClose(errors, expected.seRobust, { rel: 1e-6 }, 'error by R')
  })
})

describe('the repairs of the NIST case study (e-Handbook 8.2.2.3, 8.4.5.2)', () => {
  type Repairs = { times: number[]; end: number }
  type RepairsExpected = Record<
    | 'r'
    | 'shapeMLE'
    | 'lambdaMLE'
    | 'shapeModified'
    | 'growthSlopeModified'
    | 'aModified'
    | 'mtbfAtEndModified'
    | 'laplaceZ'
    | 'laplacePTwoSided'
    | 'milHdbkChi2'
    | 'milHdbkDf'
    | 'milHdbkPUpper'
    | 'milHdbkPLower'
    | 'reversals'
    | 'reversalsMax',
    number
  > & {
    mtbfCI80: [number, number]
    printed: Record<'growthSlopeModified' | 'aModified' | 'shapeModified' | 'mtbfAtEndModified', number> & {
      mtbfCI80: [number, number]
    }
  }
  const { inputs, expected } = readReference<Repairs, RepairsExpected>('life-repairtrend-nist')
  const rel = { rel: 1e-9 }

  it('the power law fits as recomputed and as printed', () => {
    const fit = enough(powerLawRepairs(inputs.times, inputs.end, { level: 0.8 }))
    expect(fit.n).toBe(expected.r)
    expectClose(fit.maximumLikelihood.shape, expected.shapeMLE, rel)
    expectClose(fit.maximumLikelihood.rate, expected.lambdaMLE, rel)
    expectClose(fit.shape, expected.shapeModified, rel)
    expectClose(fit.growthSlope, expected.growthSlopeModified, rel)
    expectClose(fit.rate, expected.aModified, rel)
    expectClose(fit.value, expected.mtbfAtEndModified, rel)
    expectAllClose([fit.low, fit.high], expected.mtbfCI80, rel)
    const { printed } = expected
    expect(fit.growthSlope.toFixed(6)).toBe(printed.growthSlopeModified.toFixed(6))
    expect(fit.rate.toFixed(7)).toBe(printed.aModified.toFixed(7))
    expect(fit.shape.toFixed(6)).toBe(printed.shapeModified.toFixed(6))
    expect(fit.value.toFixed(3)).toBe(printed.mtbfAtEndModified.toFixed(3))
    expect([fit.low, fit.high].map((end) => end.toFixed(4))).toEqual(printed.mtbfCI80.map((end) => end.toFixed(4)))
  })

  it('Laplace’s test sees repairs come less often, not clearly', () => {
    const test = enough(laplaceTrend(inputs.times, inputs.end))
    expectClose(test.z, expected.laplaceZ, rel)
    expectClose(test.p, expected.laplacePTwoSided, rel)
  })

  it('the Military Handbook test sees it clearly', () => {
    const test = enough(militaryHandbookTrend(inputs.times, inputs.end))
    expectClose(test.chiSquare, expected.milHdbkChi2, rel)
    expect(test.degreesOfFreedom).toBe(expected.milHdbkDf)
    expectClose(test.pImproving, expected.milHdbkPUpper, rel)
    expectClose(test.pWorsening, expected.milHdbkPLower, rel)
  })

  it('the reverse arrangement test counts 33 reversals of 45', () => {
    const test = enough(reverseArrangements(inputs.times))
    expect(test.reversals).toBe(expected.reversals)
    expect(test.pairs).toBe(expected.reversalsMax)
    // Kendall (1970), appendix table 1, from memory: for n = 10, S = 19, 21 and 27 have the one-sided chances 0.054,
    // 0.036 and 0.0083; S = reversals - (pairs - reversals), so that 33 reversals are S = 21.
    expect(test.pImproving.toFixed(3)).toBe('0.036')
    expect(kendallTail(10, (45 - 19) / 2).toFixed(3)).toBe('0.054')
    expect(kendallTail(10, (45 - 27) / 2).toFixed(4)).toBe('0.0083')
  })

  it('the repairs are taken in order of age', () => {
    expect(repairTimes([...inputs.times].reverse(), inputs.end)).toEqual(inputs.times)
  })
})
