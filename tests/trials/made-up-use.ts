import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64'
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'

/**
 * Boats that never were, for the trials: daily engine hours over many years, made from trips (weekends, evenings, cruises), not
 * from the model that is on trial. All spreads are of our own choosing: no published figures of yachts' daily use are known to us.
 */

/** How such a boat is used. */
export type Habit = 'northern' | 'southern' | 'all year' | 'two seasons' | 'changing' | 'stopping'

/** A boat's use as it truly went, with the moment at which a forecast is asked for. */
export interface MadeUpUse {
  readonly habit: Habit
  /** Day number (days since 1970-01-01) of `use[0]`. */
  readonly firstDay: number
  /** Hours run on each day; the forecast may see `use[0]` to `use[history - 1]`. */
  readonly use: Float64Array
  readonly history: number
  /** Hours a year that her habits give in the long run, as they are at the moment of the forecast. */
  readonly yearly: number
  /** Last day of each season from the first on, day numbers; empty for boats without a lay-up. */
  readonly seasonEnds: readonly number[]
}

interface Habits {
  readonly seasons: readonly { readonly start: number; readonly end: number }[]
  readonly startSpread: number
  readonly endSpread: number
  readonly weekend: number
  readonly weekday: number
  readonly rounded: number
  readonly cruises: number
  readonly cruiseDays: number
  readonly cruiseRuns: number
  readonly cruiseMore: number
  readonly yearSpread: number
  readonly hours: number
  readonly hoursShape: number
  readonly outOfSeason: number
}

/** Days of the future that are made, beyond the history: five years. */
export const futureDays = 5 * 365

/**
 * One boat.
 * @param start where the sequence of chances begins; the same number gives the same boat
 * @param history days that the forecast may see
 */
export function madeUpUse(start: number, history: number): MadeUpUse {
  const source = xoroshiro128plus(start * 2654435761)
  const unit = () => uniformFloat64(source)
  const between = (low: number, high: number) => low + (high - low) * unit()
  const normal = () => Math.sqrt(-2 * Math.log(1 - unit())) * Math.cos(2 * Math.PI * unit())
  const poisson = (mean: number) => {
    let n = 0
    for (let left = Math.exp(-mean), p = unit(); p > left; p *= unit()) n++
    return n
  }
  /** Gamma with a mean and a whole-number shape: a sum of exponentials. */
  const gamma = (mean: number, shape: number) => {
    let sum = 0
    for (let i = 0; i < shape; i++) sum -= Math.log(1 - unit())
    return (mean * sum) / shape
  }

  const kind = unit()
  const habit: Habit =
    kind < 0.56
      ? 'northern'
      : kind < 0.68
        ? 'southern'
        : kind < 0.8
          ? 'all year'
          : kind < 0.85
            ? 'two seasons'
            : kind < 0.95
              ? 'changing'
              : 'stopping'

  const first = 118 + 20 * normal()
  const last = Math.max(first + 70, 278 + 22 * normal())
  const turned = habit === 'southern' ? 182 : 0
  const seasons =
    habit === 'all year'
      ? [{ start: 0, end: 365 }]
      : habit === 'two seasons'
        ? [
            { start: first - 20, end: 188 },
            { start: 240, end: last + 20 },
          ]
        : [{ start: first + turned, end: last + turned }]
  const habits: Habits = {
    seasons,
    startSpread: habit === 'all year' ? 0 : between(3, 15),
    endSpread: habit === 'all year' ? 0 : between(3, 18),
    weekend: between(0.08, 0.55),
    weekday: unit() < 0.5 ? between(0, 0.03) : between(0.03, 0.2),
    rounded: unit() < 0.5 ? 0 : between(0.3, 0.9),
    cruises: between(0.3, 3),
    cruiseDays: between(5, 28),
    cruiseRuns: between(0.45, 0.92),
    cruiseMore: between(1, 1.8),
    yearSpread: between(0.08, 0.42),
    hours: Math.exp(between(Math.log(0.7), Math.log(4.5))),
    hoursShape: 1 + Math.floor(between(0, 5)),
    outOfSeason: unit() < 0.5 ? 0 : between(0, 0.025),
  }
  const changeAt = history + Math.floor(between(-730, 365))
  const later: Habits =
    habit === 'stopping'
      ? { ...habits, weekend: 0, weekday: 0, cruises: 0, outOfSeason: 0 }
      : habit === 'changing'
        ? changed(habits)
        : habits

  function changed(before: Habits): Habits {
    const much = Math.exp(between(0.4, 1.1) * (unit() < 0.5 ? 1 : -1))
    const longer = between(-30, 40)
    return {
      ...before,
      weekend: Math.min(0.9, before.weekend * much),
      weekday: Math.min(0.6, before.weekday * much),
      cruises: before.cruises * much,
      seasons: before.seasons.map(({ start, end }) => ({ start, end: Math.max(start + 60, end + longer) })),
    }
  }

  const firstDay = 16801 + Math.floor(between(0, 365))
  const { use, seasonEnds } = days(firstDay, history + futureDays)
  const present = changeAt < history && habit !== 'stopping' ? later : habits
  const years = 12
  const long = days(firstDay, years * 365, present)
  let yearly = 0
  for (const hours of long.use) yearly += hours / years
  return { habit, firstDay, use, history, yearly, seasonEnds: habit === 'all year' ? [] : seasonEnds }

  function days(from: number, length: number, always?: Habits): { use: Float64Array; seasonEnds: number[] } {
    const use = new Float64Array(length)
    const seasonEnds: number[] = []
    const firstYear = Math.floor(from / 365.2425) - 1
    for (let year = firstYear; year * 365.2425 < from + length; year++) {
      const newYear = Math.round(year * 365.2425)
      const at = always ?? (newYear + 180 - from >= changeAt ? later : habits)
      const factor = Math.exp(at.yearSpread * normal() - at.yearSpread ** 2 / 2)
      at.seasons.forEach((season, index) => {
        const begins = newYear + Math.round(season.start + at.startSpread * normal())
        const ends = Math.max(begins + 20, newYear + Math.round(season.end + at.endSpread * normal()))
        if (index === at.seasons.length - 1) seasonEnds.push(ends)
        const put = (day: number, more: number) => {
          const i = day - from
          const now = always ?? (i >= changeAt ? later : habits)
          if (i < 0 || i >= length || (now === later && habit === 'stopping')) return
          use[i] = Math.min(24, (use[i] ?? 0) + gamma(at.hours * more, at.hoursShape))
        }
        for (let day = begins; day < ends; day++) {
          const weekend = (day + 4) % 7 >= 5
          const hump = 1 - at.rounded + at.rounded * 1.57 * Math.sin((Math.PI * (day - begins)) / (ends - begins))
          if (unit() < factor * hump * (weekend ? at.weekend : at.weekday)) put(day, 1)
        }
        for (let n = poisson(at.cruises * factor * ((ends - begins) / 160)); n > 0; n--) {
          const middle =
            begins + (ends - begins) * (habit === 'all year' ? unit() : 0.15 + 0.7 * ((unit() + unit()) / 2))
          const long = at.cruiseDays * between(0.5, 1.5)
          for (let day = Math.round(middle - long / 2); day < middle + long / 2; day++)
            if (day >= begins && day < ends && unit() < at.cruiseRuns) put(day, at.cruiseMore)
        }
      })
      for (let day = newYear; day < newYear + 365; day++) {
        const i = day - from
        if (i >= 0 && i < length && !(habit === 'stopping' && (always ?? (i >= changeAt ? later : habits)) === later))
          if (use[i] === 0 && unit() < at.outOfSeason) use[i] = between(0.2, 0.6)
      }
    }
    return { use, seasonEnds: seasonEnds.sort((a, b) => a - b) }
  }
}
