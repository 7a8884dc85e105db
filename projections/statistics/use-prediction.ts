import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'
import { requireLevel, requirePositive, requireProbability } from './estimate.ts'
import { normalQuantile } from './normal.ts'
import {
  cruisingYacht,
  noSeason,
  partOf,
  type SeasonPrior,
  type SeasonShape,
  sailingYear,
  seasonProfile,
  shapeAt,
  type UseRecord,
  yearDays,
} from './season-profile.ts'

/** What is believed of use before there is a record. */
export interface UsePrior extends SeasonPrior {
  /** Use on a running day, in the unit of the record; it counts as three running days seen. */
  readonly perRunningDay: number
  /** Spread of the factor by which habits to come differ from those that the record shows; 0: by nothing but what it shows itself. */
  readonly drift: number
  /** Variance of the mean amount of running days over that of as many independent ones. */
  readonly clumps: number
  /** Chance a month that use shifts for good. */
  readonly changes: number
  /** Chance a month that use stops for good. */
  readonly stops: number
}

/** A cruising yacht's engine hours. Common practice and judgement, no source; `npm run trials` shows how far it carries. */
export const yachtUse: UsePrior = {
  ...cruisingYacht,
  perRunningDay: 2.5,
  drift: 0.3,
  clumps: 2,
  changes: 0.005,
  stops: 0.004,
}

/** The hours of a machine that works all year and seldom changes its work, an aircraft's. */
export const machineUse: UsePrior = {
  ...noSeason,
  perRunningDay: 2.5,
  drift: 0,
  clumps: 1,
  changes: 0.001,
  stops: 0.0005,
}

/** What use will come: many possible futures, all as likely as each other. */
export interface UsePrediction {
  /** Days that the futures reach; later use repeats the last two years of each. */
  readonly horizon: number
  /** Use from the end of the record to the end of day `day` (1 is the day after the record) that is not exceeded with chance p. */
  quantile(day: number, p: number): number
  /** Chance that an amount has been reached by the end of day `day`. 1 for amounts of 0 and less. */
  chanceReached(day: number, amount: number): number
  /** When an amount is reached. */
  firstPassage(amount: number): FirstPassage
  /** Chance that there is a lay-up at all, 0..1. */
  readonly seasonal: number
}

/** On which day after the record an amount is reached. */
export interface FirstPassage {
  /** Day (1 is the day after the record) by whose end it is reached with chance p; infinity if it is not within thirty years. 0 for an amount of 0 and less. */
  quantile(p: number): number
  /** The shortest span of days that holds it with a chance of `level`: for waits, which have a long tail, shorter than that between two quantiles. */
  shortest(level: number): { readonly low: number; readonly high: number }
  /** Chance that it is reached by the end of a day. */
  chanceBy(day: number): number
  /** The next lay-up: its likely beginning and the chance that the amount is reached before, each future by its own; null without a season. */
  readonly beforeLayUp: { readonly day: number; readonly chance: number } | null
}

/** Mean length of a busy or idle spell, days. */
const spellDays = 12

const futures = 320
const farthest = 30 * 366

/** Shape of the gamma of the factor, mean 1, by which use shifts for good where it does. */
const changeShape = 2.5

const yearSpreads: readonly [number, number][] = [
  [0.15, 0.15],
  [0.25, 0.25],
  [0.4, 0.3],
  [0.6, 0.2],
  [0.85, 0.1],
]

/** How much the ends of a season vary from year to year, days. Common practice, no source. */
const edgeSpread = 13

/**
 * Predicts use from a daily record, by many simulated futures: each takes a season shape and a rate from what the record says of them
 * (`seasonProfile`), a factor for each sailing year, season's ends that vary, busy and idle spells (a factor that
 * changes every twelve days on average, with the dispersion found), and amounts of running days as the record has them. Use that rose, fell or stopped for good is
 * one of the things believed possible, weighed by what the record says. What is not known yet comes from the prior.
 * The sequence of chances is fixed: the same record gives the same futures. Throws a RangeError for a horizon below 1.
 */
export function predictUse(record: UseRecord, horizon: number, prior: UsePrior = yachtUse): UsePrediction {
  requirePositive(horizon, 'horizon in days')
  const source = xoroshiro128plus(20240229)
  const unit = () => ((source.next() >>> 0) + 0.5) / 4294967296
  const normal = () => normalQuantile(unit())
  // Wilson and Hilferty (1931): the cube root of a gamma variable is nearly normal.
  const gamma = (shape: number, rate: number) => {
    const ninth = 1 / (9 * shape)
    return (shape * Math.max(0, 1 - ninth + Math.sqrt(ninth) * normal()) ** 3) / rate
  }

  const { firstDay, use } = record
  const today = firstDay + use.length
  const profile = seasonProfile(record, prior)
  const { shapes, rates, chances, turn, dispersion } = profile

  const dayOfYear = (day: number) => day - Math.floor(day / yearDays) * yearDays
  const amounts: number[] = []
  for (const amount of use) if (amount > 0) amounts.push(amount)
  const n = amounts.length
  const total = amounts.reduce((sum, one) => sum + one, 0)
  const mean = (total + 3 * prior.perRunningDay) / (n + 3)
  const spread = Math.sqrt(
    (amounts.reduce((sum, one) => sum + (one / mean - 1) ** 2, 0) + 3 * 0.7 ** 2 + 1e-9) / (n + 3),
  )
  const meanSpread = Math.sqrt((prior.clumps * spread ** 2) / (n + 2) + 0.05 ** 2)

  // Windows of thirty days back from the end: running days in each, thinned by the dispersion.
  const windows = Math.min(24, Math.floor(use.length / 30))
  const ranIn = new Float64Array(windows)
  for (let w = 0; w < windows; w++)
    for (let i = use.length - 30 * (w + 1); i < use.length - 30 * w; i++) if (use[i]! > 0) ranIn[w]! += 1 / dispersion
  const thisYear = sailingYear(today - 1, turn)
  const yearBegan = Math.max(firstDay, Math.ceil(thisYear * yearDays + turn))

  // The same in spans of four days, for the year that is under way.
  const presentRan = new Float64Array(Math.floor((today - yearBegan) / 4))
  const presentDays = Float64Array.from(presentRan, (_, span) => dayOfYear(today - 4 * span - 2))
  for (let span = 0; span < presentRan.length; span++)
    for (let j = 0; j < 4; j++) if (use[use.length - 1 - 4 * span - j]! > 0) presentRan[span]! += 1 / dispersion

  const dayAhead = new Float64Array(horizon + 1)
  const yearAhead = new Int32Array(horizon + 1)
  for (let day = 1; day <= horizon; day++) {
    dayAhead[day] = dayOfYear(today + day - 1)
    yearAhead[day] = sailingYear(today + day - 1, turn) - thisYear
  }

  const spreads = spreadChances()
  const cumulated = new Float64Array(chances.length)
  let running = 0
  for (let i = 0; i < chances.length; i++) cumulated[i] = running += chances[i]!

  // What the last days say of the spell that she is in.
  const lastly = Math.min(spellDays / 2, use.length)
  let lately = 0
  let latelyDays = 0
  for (let i = use.length - lastly; i < use.length; i++) {
    if (use[i]! > 0) lately++
    latelyDays += profile.byPart[partOf(firstDay + i)]!
  }
  const rateMean = Math.max(...profile.byPart)

  const width = horizon + 1
  const paths = new Float32Array(futures * width)
  const layUps = new Float64Array(futures)
  let seasonalFutures = 0
  let pick = 0
  let shapeSeen: SeasonShape | null = null
  const weights = new Float64Array(366)
  const logWeights = new Float64Array(366)
  // A log of less than a year or two shows less of her habits.
  const driftSpread = prior.drift * Math.sqrt(1 + yearDays / (use.length + 90))
  const logStep = Math.log(rates[1]! / rates[0]!)
  const years = Math.ceil(horizon / yearDays) + 2
  const earlies = new Float64Array(years)
  const lates = new Float64Array(years)
  const factors = new Float64Array(years)
  for (let path = 0; path < futures; path++) {
    const target = ((path + 0.5) / futures) * running
    while (pick < cumulated.length - 1 && cumulated[pick]! < target) pick++
    const shape = shapes[Math.floor(pick / rates.length)]!
    if (shape !== shapeSeen) {
      shapeSeen = shape
      for (let day = 0; day < 366; day++) {
        weights[day] = shapeAt(shape, day + 0.5)
        logWeights[day] = Math.log(weights[day]!)
      }
    }
    const drift = driftSpread * normal()
    const rate = rates[pick % rates.length]! * Math.exp(logStep * betweenRates(pick))
    const yearSpread = draw(spreads, unit())
    const yearShape = 1 / yearSpread ** 2

    const now = presentYear(rate, yearShape)
    earlies[0] = now.edges[0]
    lates[0] = now.edges[1]
    factors[0] = now.factor
    for (let y = 1; y < years; y++) {
      earlies[y] = edgeSpread * normal()
      lates[y] = edgeSpread * normal()
      factors[y] = now.lasting * gamma(yearShape, yearShape)
    }

    const more = Math.exp(meanSpread * normal() - meanSpread ** 2 / 2)
    const drifted = rate * Math.exp(drift)
    const busy = Math.min(0.9, rate * now.lasting)
    const lively = Math.min(2.5, Math.max(0.02, (dispersion - (1 - busy)) / (2 * spellDays * busy)))
    const spellShape = 1 / lively
    let spell = gamma(spellShape + lately, spellShape + (latelyDays / rateMean) * rate * now.factor)
    let spellEnds = 1 + Math.floor(-spellDays * Math.log(unit()))
    let sum = 0
    const base = path * width
    for (let day = 1; day <= horizon; day++) {
      const y = yearAhead[day]!
      const p = drifted * factors[y]! * weights[weightAt(dayAhead[day]!, earlies[y]!, lates[y]!)]!
      if (spellEnds === day) {
        spell = gamma(spellShape, spellShape)
        spellEnds = day + 1 + Math.floor(-spellDays * Math.log(unit()))
      }
      if (unit() < Math.min(0.97, p * spell)) sum += more * amountOf()
      paths[base + day] = sum
    }
    const seasonal = shape.outside < 0.3
    if (seasonal) seasonalFutures++
    layUps[path] = seasonal ? layUpOf(shape) : Number.POSITIVE_INFINITY
  }

  const cycle = Math.min(horizon, 730)
  const passage = (path: number, amount: number): number => {
    if (amount <= 0) return 0
    const base = path * width
    const end = paths[base + horizon]!
    let whole = 0
    let wanted = amount
    if (amount > end) {
      const again = end - paths[base + horizon - cycle]!
      if (again <= 0) return Number.POSITIVE_INFINITY
      whole = Math.ceil((amount - end) / again)
      wanted = amount - whole * again
    }
    let low = 1
    let high = horizon
    while (low < high) {
      const middle = (low + high) >> 1
      if (paths[base + middle]! >= wanted) high = middle
      else low = middle + 1
    }
    const day = low + whole * cycle
    return day > farthest ? Number.POSITIVE_INFINITY : day
  }
  const column = new Float64Array(futures)
  const seasonal = seasonalFutures / futures
  return {
    horizon,
    seasonal,
    quantile(day, p) {
      requireProbability(p)
      const at = Math.min(horizon, Math.max(0, Math.round(day)))
      for (let path = 0; path < futures; path++) column[path] = paths[path * width + at]!
      return atShare(column.sort(), p)
    },
    chanceReached(day, amount) {
      if (amount <= 0) return 1
      const at = Math.min(horizon, Math.max(0, Math.floor(day)))
      let reached = 0
      for (let path = 0; path < futures; path++) if (paths[path * width + at]! >= amount) reached++
      return reached / futures
    },
    firstPassage(amount) {
      const days = new Float64Array(futures)
      const ends: number[] = []
      let before = 0
      for (let path = 0; path < futures; path++) {
        const day = passage(path, amount)
        days[path] = day
        const end = layUps[path]!
        if (end < Number.POSITIVE_INFINITY) {
          ends.push(end)
          if (day <= end) before++
        }
      }
      days.sort()
      ends.sort((a, b) => a - b)
      return {
        quantile(p) {
          requireProbability(p)
          return atShare(days, p)
        },
        shortest(level) {
          requireLevel(level)
          const held = Math.min(futures, Math.ceil(level * futures))
          let from = 0
          let least = Number.POSITIVE_INFINITY
          for (let i = 0; i + held <= futures; i++) {
            const width = days[i + held - 1]! - days[i]!
            if (width < least) {
              least = width
              from = i
            }
          }
          return { low: days[from]!, high: days[from + held - 1]! }
        },
        chanceBy(day) {
          let count = 0
          while (count < futures && days[count]! <= day) count++
          return count / futures
        },
        beforeLayUp: ends.length >= futures / 2 ? { day: ends[ends.length >> 1]!, chance: before / ends.length } : null,
      }
    },
  }

  /** Where in the weights a day of the year lies, when the season begins `early` and ends `late` days after its usual days. */
  function weightAt(day: number, early: number, late: number): number {
    const { start, length } = shapeSeen!
    let since = day - start
    if (since < 0) since += yearDays
    // The half of the year round the middle of each end moves with it.
    let moved = day - (since < length / 2 || since > (length + yearDays) / 2 ? early : late)
    if (moved < 0) moved += yearDays
    else if (moved >= yearDays) moved -= yearDays
    return Math.floor(moved)
  }

  /** Where between two rates of the grid: by a parabola through the logarithms of their chances, in steps of the grid, -0.5..0.5. */
  function betweenRates(at: number): number {
    const r = at % rates.length
    const height = (i: number) => Math.log(Math.max(1e-300, chances[i]!))
    const here = height(at)
    const below = r > 0 ? height(at - 1) : here - 4
    const above = r < rates.length - 1 ? height(at + 1) : here - 4
    const slope = (above - below) / 2
    const bend = Math.min(0, above + below - 2 * here)
    const weights = [-0.4, -0.2, 0, 0.2, 0.4].map(
      (x) => [x, Math.exp(slope * x + (bend / 2) * x * x)] as [number, number],
    )
    return draw(weights, unit()) + 0.2 * (unit() - 0.5)
  }

  function amountOf(): number {
    if (unit() * (n + 4) < n) return amounts[Math.floor(unit() * n)]!
    return (-mean * Math.log(unit() * unit())) / 2
  }

  /** How much years differ, by how well each spread gives the counts of the years under the mean profile. */
  function spreadChances(): [number, number][] {
    const counts = new Map<number, [number, number]>()
    for (let i = 0; i < use.length; i++) {
      const name = sailingYear(firstDay + i, turn)
      let year = counts.get(name)
      if (!year) {
        year = [0, 0]
        counts.set(name, year)
      }
      if (use[i]! > 0) year[0] += 1 / dispersion
      year[1] += profile.byPart[partOf(firstDay + i)]! / dispersion
    }
    const fits = yearSpreads.map(([value, chance]) => {
      const a = 1 / value ** 2
      let fit = Math.log(chance)
      for (const [count, expected] of counts.values()) fit += logNegativeBinomial(count, expected, a)
      return fit
    })
    const most = Math.max(...fits)
    return yearSpreads.map(([value], i) => [value, Math.exp(fits[i]! - most)])
  }

  /** The year that is under way, given the shape in hand and the rate: how its season's ends lie, its factor, and what of it lasts. */
  function presentYear(rate: number, yearShape: number): { edges: [number, number]; factor: number; lasting: number } {
    // Candidates for the season's ends, one taken by how well it gives this year's running days so far.
    const tries = 6
    let chosen: [number, number] = [0, 0]
    let chosenRan = 0
    let chosenDays = 0
    let weightSum = 0
    let best = Number.NEGATIVE_INFINITY
    const seen: { edges: [number, number]; fit: number; ran: number; days: number }[] = []
    for (let i = 0; i < tries; i++) {
      const edges: [number, number] = [edgeSpread * normal(), edgeSpread * normal()]
      let fit = 0
      let ranDays = 0
      let days = 0
      for (let span = 0; span < presentRan.length; span++) {
        const at = weightAt(presentDays[span]!, edges[0], edges[1])
        days += (4 * weights[at]! * rate) / dispersion
        const count = presentRan[span]!
        ranDays += count
        if (count > 0) fit += count * logWeights[at]!
      }
      fit -= (yearShape + ranDays) * Math.log(yearShape + days)
      if (fit > best) best = fit
      seen.push({ edges, fit, ran: ranDays, days })
    }
    const at = unit()
    for (const one of seen) weightSum += Math.exp(one.fit - best)
    let reached = 0
    for (const one of seen) {
      reached += Math.exp(one.fit - best) / weightSum
      chosen = one.edges
      chosenRan = one.ran
      chosenDays = one.days
      if (reached >= at) break
    }

    // Whether use changed for good, and when: back from the end by months.
    let ranSince = 0
    let daysSince = 0
    const cases: { fit: number; ran: number; days: number }[] = []
    let stopped = 0
    for (let w = 0; w < windows; w++) {
      ranSince += ranIn[w]!
      for (let part = 0; part < 6; part++) {
        const day = today - 30 * w - 5 * part - 3
        daysSince += (5 * rate * weights[Math.floor(dayOfYear(day))]!) / dispersion
      }
      cases.push({
        fit:
          prior.changes *
          Math.exp(
            logNegativeBinomial(ranSince, daysSince, changeShape) - logNegativeBinomial(ranSince, daysSince, yearShape),
          ),
        ran: ranSince,
        days: daysSince,
      })
      if (ranSince === 0) stopped += prior.stops * Math.exp(-logNegativeBinomial(0, daysSince, yearShape))
    }
    let left = unit() * (1 + stopped + cases.reduce((sum, one) => sum + one.fit, 0))
    left -= stopped
    if (left < 0) return { edges: chosen, factor: 0.01, lasting: 0.01 }
    for (const one of cases) {
      left -= one.fit
      if (left < 0) {
        const lasting = gamma(changeShape + one.ran, changeShape + one.days)
        return { edges: chosen, factor: lasting, lasting }
      }
    }
    return { edges: chosen, factor: gamma(yearShape + chosenRan, yearShape + chosenDays), lasting: 1 }
  }

  /** Days from today to the end of the season that is under way or comes next. */
  function layUpOf(shape: SeasonShape): number {
    for (let y = 0; y < years; y++) {
      const began = (thisYear + y) * yearDays + turn
      let end = shape.start + shape.length + lates[y]!
      end += Math.floor((began - end) / yearDays + 1) * yearDays
      const days = Math.round(end) - today
      if (days >= 1) return days
    }
    return Number.POSITIVE_INFINITY
  }
}

function draw(pairs: readonly [number, number][], u: number): number {
  let left = u * pairs.reduce((sum, [, chance]) => sum + chance, 0)
  for (const [value, chance] of pairs) {
    left -= chance
    if (left <= 0) return value
  }
  return pairs[pairs.length - 1]![0]
}

/** Of a count under a Poisson with mean `expected` times a gamma of that shape and mean 1, less what does not depend on the gamma. */
function logNegativeBinomial(count: number, expected: number, shape: number): number {
  // ln Γ(count + shape) - ln Γ(shape) by Stirling's formula, with one step up where the shape is small.
  return rising(shape, count) + shape * Math.log(shape / (shape + expected)) - count * Math.log(shape + expected)
}

const rising = (shape: number, count: number): number => stirling(count + shape) - stirling(shape)

const stirling = (x: number): number => {
  const y = x + 3
  return (y - 0.5) * Math.log(y) - y + 1 / (12 * y) - Math.log(x * (x + 1) * (x + 2))
}

/** The smallest of some numbers in rising order that a share p of them does not exceed. */
const atShare = (sorted: Float64Array, p: number): number =>
  sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(p * sorted.length) - 1))]!
