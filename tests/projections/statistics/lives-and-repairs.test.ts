import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { kaplanMeier, survivalQuantile } from '../../../projections/statistics/kaplan-meier.ts'
import { laplaceTrend } from '../../../projections/statistics/laplace-trend.ts'
import { meanCumulativeFunction } from '../../../projections/statistics/mean-cumulative-function.ts'
import { militaryHandbookTrend } from '../../../projections/statistics/military-handbook-trend.ts'
import { powerLawRepairs } from '../../../projections/statistics/power-law-repairs.ts'
import { reverseArrangements } from '../../../projections/statistics/reverse-arrangements.ts'
import { weibullQuantile } from '../../../projections/statistics/weibull.ts'
import { weibullLife, weibullLifeQuantile } from '../../../projections/statistics/weibull-life.ts'
import { expectSound, shuffled } from './any-sample.ts'

const age = fc.oneof(fc.double({ min: 0.01, max: 1e5, noNaN: true }), fc.integer({ min: 1, max: 6 }))
const lives = fc.array(fc.record({ time: age, failed: fc.boolean() }), { maxLength: 20 })

describe('the survival curve', () => {
  it('falls from 1 towards 0 without NaN, within its band', () => {
    fc.assert(
      fc.property(lives, fc.constantFrom('plain' as const, 'log' as const, 'log-log' as const), (given, interval) => {
        const curve = kaplanMeier(given, { interval })
        expectSound(curve)
        if (curve.kind === 'not-enough') {
          expect(given.some((life) => life.failed)).toBe(false)
          return
        }
        let before = 1
        for (const { survival, low, high } of curve.points) {
          expect(survival).toBeLessThan(before)
          before = survival
          if (low === null || high === null) expect(survival).toBe(0)
          else expect(low <= survival * (1 + 1e-12) && survival <= high * (1 + 1e-12)).toBe(true)
        }
        expectSound(survivalQuantile(curve, 0.5))
      }),
    )
  })

  it('is the plain share of survivors when nothing is unfinished', () => {
    const curve = kaplanMeier([5, 3, 9, 3].map((time) => ({ time, failed: true })))
    if (curve.kind === 'not-enough') return expect.fail('there is enough')
    expect(curve.points.map((p) => p.survival)).toEqual([0.5, 0.25, 0])
  })

  it('does not care in which order the lives come', () => {
    const pair = lives.chain((given) => fc.tuple(fc.constant(given), shuffled(given)))
    fc.assert(
      fc.property(pair, ([a, b]) => {
        expect(kaplanMeier(b)).toEqual(kaplanMeier(a))
      }),
    )
  })

  it('needs one failure', () => {
    expect(kaplanMeier([])).toEqual({ kind: 'not-enough', n: 0, needed: 1 })
    expect(kaplanMeier([{ time: 400, failed: false }])).toEqual({ kind: 'not-enough', n: 0, needed: 1 })
  })

  it('gives the median life open ends when the band does not come down that far', () => {
    const given = [100, 200, 300, 400].map((time) => ({ time, failed: time < 350 }))
    const curve = kaplanMeier(given)
    if (curve.kind === 'not-enough') return expect.fail('there is enough')
    expect(survivalQuantile(curve, 0.5)).toEqual({
      kind: 'estimate',
      value: 250,
      low: 100,
      high: null,
      level: 0.95,
      n: 4,
    })
  })

  it('refuses an age below zero', () => {
    expect(() => kaplanMeier([{ time: -1, failed: true }])).toThrow('expected zero or more')
  })
})

const observation = fc.oneof(
  fc.record({ time: age, failed: fc.boolean() }),
  fc.tuple(age, age).map(([a, b]) => ({ after: Math.min(a, b) - 0.005, before: Math.max(a, b) })),
  age.map((before) => ({ after: 0, before })),
)

describe('the Weibull life', () => {
  it('gives no NaN and sound intervals for any mixture of finished, unfinished and inspected lives', () => {
    fc.assert(
      fc.property(
        fc.array(observation, { maxLength: 15 }),
        fc.constantFrom('wald', 'likelihood'),
        (given, interval) => {
          const fit = weibullLife(given, { needed: 1, interval: interval as 'wald' | 'likelihood' })
          expectSound(fit)
          if (fit.kind === 'estimate') for (const p of [0.01, 0.5, 0.9]) expectSound(weibullLifeQuantile(fit, p))
        },
      ),
      { numRuns: 300 },
    )
  })

  it('finds a fit whenever failures at different ages are known exactly', () => {
    const spread = fc.uniqueArray(fc.integer({ min: 10, max: 5000 }), { minLength: 5, maxLength: 20 })
    fc.assert(
      fc.property(spread, fc.integer({ min: 0, max: 10 }), (ages, running) => {
        const latest = Math.max(...ages)
        const given = [
          ...ages.map((time) => ({ time, failed: true })),
          ...Array.from({ length: running }, () => ({ time: latest, failed: false })),
        ]
        expect(weibullLife(given).kind).toBe('estimate')
      }),
    )
  })

  it('comes close to the truth when it sees a perfect sample', () => {
    const given = Array.from({ length: 999 }, (_, i) => ({
      time: weibullQuantile((i + 1) / 1000, 2.5, 800),
      failed: true,
    }))
    const fit = weibullLife(given)
    if (fit.kind === 'not-enough') return expect.fail('there is enough')
    expect(fit.shape.value).toBeCloseTo(2.5, 1)
    expect(fit.scale.value / 800).toBeCloseTo(1, 2)
  })

  it('is the same whatever the unit of age, and a count stands for so many units', () => {
    const given = [120, 340, 350, 610, 900].map((time) => ({ time, failed: true }))
    const still = { time: 700, failed: false }
    const [hours, days, counted] = [
      weibullLife([...given, still, still]),
      weibullLife([...given, still, still].map(({ time, failed }) => ({ time: time / 24, failed }))),
      weibullLife([...given, { ...still, count: 2 }]),
    ]
    if (hours.kind === 'not-enough' || days.kind === 'not-enough' || counted.kind === 'not-enough') {
      return expect.fail('there is enough')
    }
    expect(days.shape.low / hours.shape.low).toBeCloseTo(1, 8)
    expect((days.high * 24) / hours.high).toBeCloseTo(1, 8)
    expect(counted.low).toBeCloseTo(hours.low, 6)
    expect(counted.n).toBe(7)
  })

  it('is not fitted from fewer than five failures unless asked, nor from failures all at one age', () => {
    expect(weibullLife([])).toEqual({ kind: 'not-enough', n: 0, needed: 5 })
    const four = [100, 200, 300, 400].map((time) => ({ time, failed: true }))
    expect(weibullLife(four)).toEqual({ kind: 'not-enough', n: 4, needed: 5 })
    expect(weibullLife(four, { needed: 3 }).kind).toBe('estimate')
    const same = Array.from({ length: 6 }, () => ({ time: 300, failed: true }))
    expect(weibullLife(same)).toEqual({ kind: 'not-enough', n: 6, needed: 7 })
  })

  it('refuses an inspection interval that is upside down', () => {
    expect(() => weibullLife([{ after: 5, before: 3 }])).toThrow('expected 0 or more, then a larger number')
  })
})

const history = fc
  .tuple(fc.array(age, { maxLength: 6 }), age)
  .map(([repairs, more]) => ({ repairs, end: Math.max(0, ...repairs) + more }))

describe('the mean cumulative function', () => {
  it('rises without NaN, and its order of units does not matter', () => {
    const pair = fc.array(history, { maxLength: 8 }).chain((units) => fc.tuple(fc.constant(units), shuffled(units)))
    fc.assert(
      fc.property(pair, ([a, b]) => {
        const result = meanCumulativeFunction(a)
        expectSound(result)
        const other = meanCumulativeFunction(b)
        expect(other.kind).toBe(result.kind)
        if (result.kind === 'not-enough' || other.kind === 'not-enough') return
        result.points.forEach(({ value }, i) => {
          expect(value).toBeGreaterThan(result.points[i - 1]?.value ?? 0)
          expect(other.points[i]!.value).toBeCloseTo(value, 12)
        })
      }),
    )
  })

  it('needs two units and a repair', () => {
    expect(meanCumulativeFunction([])).toEqual({ kind: 'not-enough', n: 0, needed: 2 })
    expect(meanCumulativeFunction([{ repairs: [5], end: 9 }])).toEqual({ kind: 'not-enough', n: 1, needed: 2 })
    const untouched = { repairs: [], end: 9 }
    expect(meanCumulativeFunction([untouched, untouched])).toEqual({ kind: 'not-enough', n: 0, needed: 1 })
  })

  it('refuses a repair after the end', () => {
    expect(() => meanCumulativeFunction([{ repairs: [10], end: 9 }])).toThrow('expected ages from 0 up to the end')
  })
})

describe('the repairs of one unit', () => {
  it('give no NaN for any ages, tied ones and repairs at the very end too', () => {
    fc.assert(
      fc.property(fc.array(age, { maxLength: 12 }), fc.boolean(), (times, atEnd) => {
        const end = Math.max(1, ...times) + (atEnd ? 0 : 1)
        for (const result of [
          powerLawRepairs(times, end),
          laplaceTrend(times, end),
          militaryHandbookTrend(times, end),
          reverseArrangements(times),
        ]) {
          expectSound(result)
        }
      }),
    )
  })

  it('are too few to say anything when there are none', () => {
    expect(powerLawRepairs([], 100)).toEqual({ kind: 'not-enough', n: 0, needed: 2 })
    expect(laplaceTrend([], 100)).toEqual({ kind: 'not-enough', n: 0, needed: 4 })
    expect(militaryHandbookTrend([], 100)).toEqual({ kind: 'not-enough', n: 0, needed: 1 })
    expect(reverseArrangements([])).toEqual({ kind: 'not-enough', n: 0, needed: 4 })
  })

  it('that come ever more often look worse in every test', () => {
    const times = [400, 700, 850, 930, 970, 990, 996]
    const [laplace, handbook, reverse, law] = [
      laplaceTrend(times, 1000),
      militaryHandbookTrend(times, 1000),
      reverseArrangements(times),
      powerLawRepairs(times, 1000),
    ]
    expect(laplace).toMatchObject({ kind: 'test' })
    if (laplace.kind === 'test') expect(laplace.z).toBeGreaterThan(2)
    if (handbook.kind === 'test') expect(handbook.pWorsening).toBeLessThan(0.01)
    if (reverse.kind === 'test') expect(reverse.pWorsening).toBeLessThan(0.01)
    if (law.kind === 'estimate') expect(law.shape).toBeGreaterThan(1)
    expect([handbook.kind, reverse.kind, law.kind]).toEqual(['test', 'test', 'estimate'])
  })

  it('refuse a repair after the end', () => {
    expect(() => laplaceTrend([5, 11], 10)).toThrow('expected an age above 0 and up to the end, 10')
  })
})
