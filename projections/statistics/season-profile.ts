/** Day by day use of one thing: hours, miles, starts. `use[i]` belongs to day `firstDay + i`; days are counted from 1970-01-01. */
export interface UseRecord {
  readonly firstDay: number
  readonly use: Float64Array
}

/** Mean length of the Gregorian year in days. */
export const yearDays = 365.2425

/** The year is cut into 73 parts of about five days. */
export const parts = 73

/** Which part of the year a day number lies in, 0..72, from 1 January on. */
export const partOf = (day: number): number => {
  const turned = day / yearDays
  return Math.min(parts - 1, Math.floor((turned - Math.floor(turned)) * parts))
}

/** One shape that a year of use can have. */
export interface SeasonShape {
  /** First day of the season, as a day of the year, 0..365. */
  readonly start: number
  /** Length in days; the whole year for use without a season. */
  readonly length: number
  /** 0: even through the season; above: the share by which its ends lie below its middle. */
  readonly rounded: number
  /** Use outside the season as a share of that within. */
  readonly outside: number
}

/** How likely a running day is on a day of the year (0..365), against the most likely day, 0..1. */
export function shapeAt(shape: SeasonShape, dayOfYear: number): number {
  if (shape.length >= 365) return 1
  const turned = (dayOfYear - shape.start) / yearDays
  const since = (turned - Math.floor(turned)) * yearDays
  if (since >= shape.length) return shape.outside
  const hump = 1 - shape.rounded + shape.rounded * Math.sin((Math.PI * since) / shape.length)
  return Math.max(shape.outside, hump)
}

/** What is believed before anything is known of a boat. */
export interface SeasonPrior {
  /** Chance that she is used all year alike. */
  readonly allYear: number
  /** Chance of a southern season among boats with one; the rest is northern, but for a tenth that may begin at any time. */
  readonly southern: number
  /** Variance over mean of the number of running days in some weeks: above 1 where they come together. */
  readonly dispersion: number
  /** Running days a day at the height of the season: the median, and the spread of its logarithm. */
  readonly running: { readonly median: number; readonly spread: number }
}

/**
 * A cruising yacht in Europe: common practice, no source. Seasons begin about the end of April, give or take a month, and last
 * five and a half months, give or take six weeks.
 */
export const cruisingYacht: SeasonPrior = {
  allYear: 0.12,
  southern: 0.17,
  dispersion: 4,
  running: { median: 0.42, spread: 0.9 },
}

/** Use that knows no season: a machine that works all year. */
export const noSeason: SeasonPrior = { allYear: 1, southern: 0, dispersion: 1.1, running: { median: 0.4, spread: 0.6 } }

/** What the record says of the season: shapes and rates of running days with their chances. */
export interface SeasonProfile {
  readonly shapes: readonly SeasonShape[]
  /** Running days a day at the height of the season; the grid on which the rate is believed. */
  readonly rates: readonly number[]
  /** Chance of each shape with each rate, `shape * rates.length + rate`; they add up to 1. */
  readonly chances: Float64Array
  /** Day of the year in the middle of the lay-up: one sailing year ends, the next begins. */
  readonly turn: number
  /** Variance over mean of the number of running days in some weeks: 1 if they fell independently. */
  readonly dispersion: number
  /** Mean running days a day by part of the year, over all that is believed possible. */
  readonly byPart: Float64Array
}

const starts = Array.from({ length: 28 }, (_, i) => i * 13.044)
const lengths = [60, 90, 115, 140, 165, 190, 215, 245, 285]
const outsides: readonly [number, number][] = [
  [0.004, 0.45],
  [0.03, 0.25],
  [0.12, 0.15],
  [0.4, 0.15],
]
const roundeds: readonly [number, number][] = [
  [0, 0.5],
  [0.7, 0.5],
]

interface Grid {
  readonly shapes: readonly SeasonShape[]
  readonly weight: Float64Array
  readonly log: Float64Array
}

let made: Grid | undefined

/** Shapes with their weight and its logarithm by part of the year, ends smoothed by what they vary from year to year. */
function grid(): Grid {
  if (made) return made
  const shapes: SeasonShape[] = [{ start: 0, length: 366, rounded: 0, outside: 1 }]
  for (const start of starts)
    for (const length of lengths)
      for (const [rounded] of roundeds)
        for (const [outside] of outsides) shapes.push({ start, length, rounded, outside })
  const weight = new Float64Array(shapes.length * parts)
  const log = new Float64Array(shapes.length * parts)
  const shifts = [-14, -7, 0, 7, 14]
  const share = [0.1, 0.23, 0.34, 0.23, 0.1]
  shapes.forEach((shape, k) => {
    for (let part = 0; part < parts; part++) {
      let sum = 0
      for (let i = 0; i < shifts.length; i++)
        sum += share[i]! * shapeAt(shape, ((part + 0.5) / parts) * yearDays + shifts[i]!)
      weight[k * parts + part] = sum
      log[k * parts + part] = Math.log(sum)
    }
  })
  made = { shapes, weight, log }
  return made
}

const bell = (off: number, spread: number): number => Math.exp(-0.5 * (off / spread) ** 2)

/** Distance between two days of the year, round the year. */
const apart = (a: number, b: number): number => {
  const off = Math.abs(a - b) % yearDays
  return Math.min(off, yearDays - off)
}

const priors = new Map<string, Float64Array>()

function logPrior(prior: SeasonPrior): Float64Array {
  const key = `${prior.allYear} ${prior.southern}`
  const there = priors.get(key)
  if (there) return there
  const { shapes } = grid()
  const chance = new Float64Array(shapes.length)
  let sum = 0
  const share = (pairs: readonly [number, number][], value: number) => pairs.find(([one]) => one === value)![1]
  shapes.forEach((shape, k) => {
    if (k === 0) return
    const middle = (hemisphere: number) => bell(apart(shape.start, hemisphere), 28)
    const begins = 0.9 * (middle(115) * (1 - prior.southern) + middle(115 + 182) * prior.southern) + 0.1 * 0.19
    const lasts = bell(shape.length - 165, 48) + 0.08
    chance[k] = begins * lasts * share(outsides, shape.outside) * share(roundeds, shape.rounded)
    sum += chance[k]!
  })
  for (let k = 1; k < shapes.length; k++) chance[k] = Math.log(((1 - prior.allYear) * chance[k]!) / sum)
  chance[0] = Math.log(prior.allYear)
  priors.set(key, chance)
  return chance
}

const rates = Array.from({ length: 9 }, (_, i) => 0.01 * 1.75 ** i)

/** Spread of the factor by which one year's use differs from another's; and of which that is a gamma's shape. */
const yearShape = 1 / 0.35 ** 2

/** Running days in windows, both of a pair and all lengths of window, that the prior dispersion weighs as much as. */
const priorWeight = 40

/**
 * Variance over mean of the number of running days in two, four and eight weeks, from neighbouring windows, whose own means differ little:
 * sum (a - b)^2 / sum (a + b) (after von Neumann 1941, the mean square successive difference). Taken from the use itself, so that long
 * running days that come together count too: the variance that use has beyond running days with amounts of their own. Shrunk to
 * that of the prior as if ten running days had been seen with it; kept within 0.6..10.
 */
function dispersionOf(record: UseRecord, prior: SeasonPrior): number {
  const { use } = record
  let n = 0
  let total = 0
  let square = 0
  for (const amount of use)
    if (amount > 0) {
      n++
      total += amount
      square += amount ** 2
    }
  const mean = n > 0 ? total / n : 1
  const spread = n > 1 ? square / n / mean ** 2 - 1 : 0
  let squares = 0
  let sums = 0
  for (const window of [14, 28, 56]) {
    let before = -1
    for (let i = use.length - window; i >= 0; i -= window) {
      let sum = 0
      for (let j = i; j < i + window; j++) sum += use[j]! / mean
      if (before >= 0) {
        squares += (sum - before) ** 2 - spread * (sum + before)
        sums += sum + before
      }
      before = sum
    }
  }
  return Math.min(10, Math.max(0.6, (prior.dispersion * priorWeight + squares) / (priorWeight + sums)))
}

/** The middle of the emptiest third of the year; a winter's worth of prior keeps a young log to January (or July in the south). */
function turnOf(record: UseRecord, prior: SeasonPrior): number {
  if (prior.allYear === 1) return ((record.firstDay % yearDays) + yearDays) % yearDays
  const ran = new Float64Array(parts)
  const days = new Float64Array(parts)
  for (let i = 0; i < record.use.length; i++) {
    const part = partOf(record.firstDay + i)
    days[part]!++
    if (record.use[i]! > 0) ran[part]!++
  }
  let best = 0
  let least = Number.POSITIVE_INFINITY
  const span = 24
  for (let from = 0; from < parts; from++) {
    let sum = 0
    for (let j = 0; j < span; j++) {
      const part = (from + j) % parts
      const winter = 0.5 - 0.5 * Math.cos((2 * Math.PI * (part + 0.5)) / parts - 0.2)
      const believed = (1 - prior.southern) * winter + prior.southern * (1 - winter)
      sum += (ran[part]! + 2 * 0.25 * believed) / (days[part]! + 2)
    }
    if (sum < least) {
      least = sum
      best = ((from + span / 2) / parts) * yearDays
    }
  }
  return best % yearDays
}

/** Which sailing year a day lies in, given the day of the year at which they turn. */
export const sailingYear = (day: number, turn: number): number => Math.floor((day - turn) / yearDays)

/**
 * What a record says of the season. Every shape of a fixed grid (start, length, roundness, use outside) with every rate of running days is
 * weighed by its prior chance and by how well it gives the running days of each sailing year; each year has a factor of its own, gamma
 * with mean 1 and spread 0.35, so that counts are negative binomial (Gelman et al. 2013, section 2.6: gamma-Poisson). Bursts are
 * allowed for by dividing counts and days by their dispersion (quasi-likelihood, McCullagh and Nelder 1989, chapter 9).
 * An empty record gives the prior.
 */
export function seasonProfile(record: UseRecord, prior: SeasonPrior = cruisingYacht): SeasonProfile {
  const { shapes, weight, log } = grid()
  const turn = turnOf(record, prior)
  const dispersion = dispersionOf(record, prior)
  const years = new Map<number, { ran: Float64Array; days: Float64Array; n: number }>()
  const ranIn = new Float64Array(parts)
  for (let i = 0; i < record.use.length; i++) {
    const day = record.firstDay + i
    const name = sailingYear(day, turn)
    let year = years.get(name)
    if (!year) {
      year = { ran: new Float64Array(parts), days: new Float64Array(parts), n: 0 }
      years.set(name, year)
    }
    const part = partOf(day)
    year.days[part]! += 1 / dispersion
    if (record.use[i]! > 0) {
      year.ran[part]! += 1 / dispersion
      year.n += 1 / dispersion
      ranIn[part]! += 1 / dispersion
    }
  }
  const list = [...years.values()]
  const chances = logPriorTimes(rates)
  const n = list.reduce((sum, year) => sum + year.n, 0)
  const exposures = new Float64Array(list.length)
  let most = Number.NEGATIVE_INFINITY
  for (let k = 0; k < shapes.length; k++) {
    let fit = 0
    for (let part = 0; part < parts; part++) if (ranIn[part]! > 0) fit += ranIn[part]! * log[k * parts + part]!
    for (let y = 0; y < list.length; y++) {
      const { days } = list[y]!
      let exposure = 0
      for (let part = 0; part < parts; part++) exposure += days[part]! * weight[k * parts + part]!
      exposures[y] = exposure
    }
    for (let r = 0; r < rates.length; r++) {
      const rate = rates[r]!
      let value = chances[k * rates.length + r]! + fit + n * Math.log(rate)
      for (let y = 0; y < list.length; y++)
        value -= (list[y]!.n + yearShape) * Math.log(yearShape + rate * exposures[y]!)
      chances[k * rates.length + r] = value
      if (value > most) most = value
    }
  }
  let sum = 0
  for (let i = 0; i < chances.length; i++) sum += chances[i] = Math.exp(chances[i]! - most)
  const byPart = new Float64Array(parts)
  for (let k = 0; k < shapes.length; k++) {
    let rate = 0
    for (let r = 0; r < rates.length; r++) {
      chances[k * rates.length + r]! /= sum
      rate += chances[k * rates.length + r]! * rates[r]!
    }
    for (let part = 0; part < parts; part++) byPart[part]! += rate * weight[k * parts + part]!
  }
  return { shapes, rates, chances, turn, dispersion, byPart }

  function logPriorTimes(grid: readonly number[]): Float64Array {
    const shape = logPrior(prior)
    const rate = grid.map((one) => bell(Math.log(one / prior.running.median), prior.running.spread))
    const all = rate.reduce((total, one) => total + one, 0)
    const chance = new Float64Array(shape.length * grid.length)
    for (let k = 0; k < shape.length; k++)
      for (let r = 0; r < grid.length; r++) chance[k * grid.length + r] = shape[k]! + Math.log(rate[r]! / all)
    return chance
  }
}
