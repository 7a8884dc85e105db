import { describe, expect, it } from 'vitest'
import { cusum } from '../../projections/statistics/cusum.ts'
import { cusumDecisionInterval } from '../../projections/statistics/cusum-decision-interval.ts'
import { cusumRunLength } from '../../projections/statistics/cusum-run-length.ts'
import { ewma } from '../../projections/statistics/ewma.ts'
import { ewmaRunLength } from '../../projections/statistics/ewma-run-length.ts'
import { gaussLegendre } from '../../projections/statistics/gauss-legendre.ts'
import { mean } from '../../projections/statistics/mean.ts'
import { enough, expectAllClose, expectClose, readReference } from './statistics-data.ts'

describe('the tabular CUSUM of NIST/SEMATECH e-Handbook 6.3.2.3', () => {
  type Inputs = { x: number[]; target: number; k: number; h: number }
  type Expected = {
    printedUpper: number[]
    printedLower: number[]
    printedCusumFirst19: number[]
    exactUpper: number[]
    exactLower: number[]
    exactCusum: number[]
    firstSignalGroup: number
    signalGroups: number[]
    lowerSignals: number[]
  }
  const { inputs, expected } = readReference<Inputs, Expected>('control-cusum-nist')
  const points = cusum(inputs.x, { target: inputs.target, allowance: inputs.k, decisionInterval: inputs.h })
  const upper = points.map((p) => p.upper)
  const lower = points.map((p) => p.lower)
  const cumulative = points.map((p) => p.cumulative)

  it('has the sums as printed and as recomputed', () => {
    expectAllClose(upper, expected.printedUpper, { abs: 0.0051 })
    expectAllClose(lower, expected.printedLower, { abs: 0.0051 })
    expectAllClose(cumulative.slice(0, 19), expected.printedCusumFirst19, { abs: 0.0051 })
    expectAllClose(upper, expected.exactUpper, { abs: 1e-9 })
    expectAllClose(lower, expected.exactLower, { abs: 1e-9 })
    expectAllClose(cumulative, expected.exactCusum, { abs: 1e-9 })
  })

  it('signals from group 14 on, upwards only', () => {
    const groups = (signals: boolean[]) => signals.flatMap((signal, i) => (signal ? [i + 1] : []))
    expect(groups(points.map((p) => p.above))).toEqual(expected.signalGroups)
    expect(expected.signalGroups[0]).toBe(expected.firstSignalGroup)
    expect(groups(points.map((p) => p.below))).toEqual(expected.lowerSignals)
  })
})

describe('the EWMA of the Nile’s flow (R datasets::Nile; pandas ewm)', () => {
  type Inputs = { y: number[]; baselineCount: number; lambda: number; L: number }
  type Expected = {
    baselineMean: number
    baselineSd: number
    ewma: number[]
    halfWidth: number[]
    signals: number[]
    firstSignal: number
  }
  const { inputs, expected } = readReference<Inputs, Expected>('control-ewma-nile')

  it('has averages, limits and signals as pandas and the standard formula give them', () => {
    const baseline = enough(mean(inputs.y.slice(0, inputs.baselineCount)))
    expectClose(baseline.value, expected.baselineMean, { rel: 1e-12 })
    expectClose(baseline.sd, expected.baselineSd, { rel: 1e-12 })
    const chart = { mean: baseline.value, sd: baseline.sd, lambda: inputs.lambda, limit: inputs.L }
    const points = ewma(inputs.y, chart)
    const averages = points.map((p) => p.average)
    const halfWidths = points.map((p) => p.halfWidth)
    expectAllClose(averages, expected.ewma, { rel: 1e-12 })
    expectAllClose(halfWidths, expected.halfWidth, { rel: 1e-12 })
    expect(points.flatMap((p, i) => (p.signal ? [i + 1] : []))).toEqual(expected.signals)
    expect(points.findIndex((p) => p.signal) + 1).toBe(expected.firstSignal)
  })
})

// control-arl-*.json: R package spc 0.6.7, xcusum.arl and xewma.arl.
describe('mean run lengths are those of R spc', () => {
  type CusumInputs = { cases: { k: number; h: number; mu: number[] }[] }
  type CusumExpected = { cases: { oneSided: number[]; twoSided: number[] }[] }
  const cusums = readReference<CusumInputs, CusumExpected>('control-arl-cusum')

  it.each(cusums.inputs.cases.map((given, i) => ({ ...given, want: cusums.expected.cases[i]! })))(
    'CUSUM with k = $k, h = $h',
    ({ k, h, mu, want }) => {
      for (const sides of ['one', 'two'] as const) {
        const got = mu.map((shift) => cusumRunLength({ allowance: k, decisionInterval: h, sides }, shift))
        expectAllClose(got, sides === 'one' ? want.oneSided : want.twoSided, { rel: 1e-4 }, sides)
      }
    },
  )

  type EwmaInputs = { cases: { lambda: number; L: number; mu: number[] }[] }
  type EwmaExpected = { cases: { twoSidedFixed: number[]; twoSidedVarying: number[] }[] }
  const ewmas = readReference<EwmaInputs, EwmaExpected>('control-arl-ewma')

  it.each(ewmas.inputs.cases.map((given, i) => ({ ...given, want: ewmas.expected.cases[i]! })))(
    'EWMA with λ = $lambda, L = $L',
    ({ lambda, L, mu, want }) => {
      for (const limits of ['fixed', 'varying'] as const) {
        const got = mu.map((shift) => ewmaRunLength({ lambda, limit: L, limits }, shift))
        expectAllClose(got, limits === 'fixed' ? want.twoSidedFixed : want.twoSidedVarying, { rel: 1e-4 }, limits)
      }
    },
  )
})

describe('the design of a CUSUM (R spc 0.6.7 xcusum.crit; Hawkins 1993)', () => {
  type Inputs = { k: number[]; arl0: number; headstart: { k: number; h: number; hs: number; mu: number }[] }
  type Expected = { h: number[]; printedH: number[]; headstartTwoSided: number[]; headstartOneSided: number[] }
  const { inputs, expected } = readReference<Inputs, Expected>('control-cusum-design')

  it('has the decision intervals for one mistake in 370', () => {
    const intervals = inputs.k.map((k) => cusumDecisionInterval(k, inputs.arl0))
    expectAllClose(intervals, expected.h, { abs: 0.001 })
    expectAllClose(intervals, expected.printedH, { abs: 0.011 })
  })

  it('has the run lengths with a head start', () => {
    const runLengths = (sides: 'one' | 'two') =>
      inputs.headstart.map(({ k, h, hs, mu }) =>
        cusumRunLength({ allowance: k, decisionInterval: h, headStart: hs, sides }, mu),
      )
    expectAllClose(runLengths('two'), expected.headstartTwoSided, { rel: 1e-3 })
    expectAllClose(runLengths('one'), expected.headstartOneSided, { rel: 1e-3 })
  })
})

it('Gauss and Legendre’s nodes are those of the tables', () => {
  // Abramowitz and Stegun (1964), table 25.4, n = 4: 0.33998 10435 84856 (0.65214 51548 62546) and 0.86113 63115 94053
  // (0.34785 48451 37454).
  const nodes = gaussLegendre(4, -1, 1)
  const at = [-0.861136311594053, -0.339981043584856, 0.339981043584856, 0.861136311594053]
  const weights = [0.347854845137454, 0.652145154862546, 0.652145154862546, 0.347854845137454]
  expectAllClose(
    nodes.map((n) => n.node),
    at,
    { abs: 1e-15 },
  )
  expectAllClose(
    nodes.map((n) => n.weight),
    weights,
    { abs: 1e-15 },
  )
})
