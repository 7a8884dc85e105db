import { describe, expect, it } from 'vitest'
import { cruisingYacht, seasonProfile } from '../../projections/statistics/season-profile.ts'
import { machineUse, predictUse } from '../../projections/statistics/use-prediction.ts'
import { readDailyUse } from '../trials/daily-use.ts'
import { constantRate, trueDay } from '../trials/score.ts'
import { readReference } from './statistics-data.ts'

/** As data/forecast-aircraft.json and data/forecast-rain.json describe it in their notes. */
interface Backtest {
  readonly units: number
  readonly start: string
  readonly end: string
  readonly first: number
  readonly step: number
  readonly last: number
  readonly R: readonly number[]
}
type Level = { readonly coverage: number; readonly decided: number; readonly meanWidthDays: number }
type Baselines = Record<string, { readonly byTarget: { readonly all: Record<string, Level> } }>

const aircraft = readReference<Backtest, Baselines>('forecast-aircraft')
const rain = readReference<Backtest, Baselines>('forecast-rain')
const z: Record<string, number> = { '0.5': 0.6744897501960817, '0.8': 1.2815515655446004, '0.95': 1.959963984540054 }

describe('the naive method, from which the bars are taken', () => {
  it('is scored here as it was there: coverage within 0.002, mean width within 0.05 days', () => {
    const { start, end, first, step, last, R } = aircraft.inputs
    for (const level of Object.keys(z)) {
      let n = 0
      let covered = 0
      let width = 0
      let made = 0
      for (const { use } of readDailyUse('usage-aircraft.csv', start, end))
        for (let origin = first; origin <= last; origin += step)
          for (const target of R) {
            const rate = constantRate(use, origin + 1, target)!
            const low = Math.max(1, Math.floor(rate(-z[level]!)))
            const high = Math.ceil(rate(z[level]!))
            const came = trueDay(use, origin + 1, target)
            made++
            width += high - low
            if (came === Number.POSITIVE_INFINITY && high > use.length - origin - 1) continue
            n++
            if (came >= low && came <= high) covered++
          }
      const published = aircraft.expected['normal-allHistory']!.byTarget.all[level]!
      expect(n).toBe(published.decided)
      expect(Math.abs(covered / n - published.coverage)).toBeLessThanOrEqual(0.002)
      expect(Math.abs(width / made - published.meanWidthDays)).toBeLessThanOrEqual(0.05)
    }
  })
})

describe('the hours of 12 of the 48 aircraft, from origins six weeks apart', () => {
  // The whole of it is `npm run trials`. These are other aircraft than those on which the model was tuned.
  it('are covered about as often as is said, and the intervals are hardly wider than the naive method’s', () => {
    const { start, end, first, last, R } = aircraft.inputs
    const levels = [0.5, 0.8, 0.95]
    const rows = levels.map(() => ({ n: 0, covered: 0 }))
    let width = 0
    let naive = 0
    readDailyUse('usage-aircraft.csv', start, end)
      .filter((_, index) => index % 4 === 1)
      .forEach(({ firstDay, use }) => {
        for (let origin = first; origin <= last; origin += 42) {
          const history = origin + 1
          const prediction = predictUse({ firstDay, use: use.slice(0, history) }, 800, machineUse)
          for (const target of R) {
            const passage = prediction.firstPassage(target)
            const came = trueDay(use, history, target)
            const rate = constantRate(use, history, target)!
            naive += Math.ceil(rate(z['0.8']!)) - Math.max(1, Math.floor(rate(-z['0.8']!)))
            levels.forEach((level, i) => {
              const { low, high } = passage.shortest(level)
              if (level === 0.8) width += Math.min(high, 1095) - low
              if (came === Number.POSITIVE_INFINITY && high > use.length - history) return
              rows[i]!.n++
              if (came >= low && came <= high) rows[i]!.covered++
            })
          }
        }
      })
    levels.forEach((level, i) => {
      const { n, covered } = rows[i]!
      expect(n).toBeGreaterThan(180)
      // About 60 stretches that hardly overlap: two standard errors are 0.10 at 0.8 and 0.13 at 0.5.
      expect(Math.abs(covered / n - level)).toBeLessThanOrEqual(level === 0.5 ? 0.13 : 0.1)
    })
    expect(width / naive).toBeLessThan(1.25)
  })
})

describe('the rain of Seattle', () => {
  const { start, end } = rain.inputs
  const { firstDay, use } = readDailyUse('usage-rain.csv', start, end)[0]!

  it('is learnt to be wet in winter and dry in July, as NOAA’s record of 2012 to 2015 is', () => {
    const { byPart, chances } = seasonProfile({ firstDay, use }, { ...cruisingYacht, allYear: 0.3, southern: 0.5 })
    const july = byPart.slice(36, 42)
    const december = byPart.slice(67, 73)
    const mean = (parts: Float64Array) => parts.reduce((sum, one) => sum + one, 0) / parts.length
    expect(mean(december)).toBeGreaterThan(2 * mean(july))
    expect(chances.reduce((sum, one) => sum + one, 0)).toBeCloseTo(1, 9)
  })

  it('is predicted as a year’s sum that holds the sum that fell', () => {
    const history = 3 * 365
    const prediction = predictUse({ firstDay, use: use.slice(0, history) }, 365, { ...machineUse, perRunningDay: 6 })
    const fell = use.slice(history, history + 365).reduce((sum, one) => sum + one, 0)
    expect(fell).toBeGreaterThan(prediction.quantile(365, 0.025))
    expect(fell).toBeLessThan(prediction.quantile(365, 0.975))
  })
})
