import { Temporal } from 'temporal-polyfill'
import { convert } from '../events/units.ts'
import { carried, openDefects, temporaryRepairs } from './carried.ts'
import { type Counted, countedBetween } from './counts.ts'
import { type DueRow, dueRows, type Limit, type LimitKind } from './due.ts'
import type { Estimate, Selection } from './figure.ts'
import { expectedOver, type LearntRate, learntRate, type Stretch, variationOver } from './learnt-rate.ts'
import { left, leftNow } from './left.ts'
import { motoringRange } from './mechanics/fuel-consumption.ts'
import { PROPELLER_EXPONENT, propellerPower } from './mechanics/propeller-law.ts'
import { countAt, curveOf } from './meter-hours.ts'
import { milesOf, passages } from './passages.ts'
import { type Equipment, type Meter, meterOf, nameOf, type Register, register } from './register.ts'
import { runs, startsBetween } from './runs.ts'
import { services } from './services.ts'
import { gammaUpperTail } from './statistics/gamma.ts'
import { poissonUpperTail } from './statistics/poisson.ts'
import { median } from './statistics/sample-quantile.ts'
import {
  drawnBetween,
  filledAfter,
  fuelTanks,
  stretchesOf,
  type Tank,
  type TankMark,
  tankEvents,
  waterTanks,
} from './tanks.ts'
import { fold, type Timeline, type Told } from './timeline.ts'

/** A passage that somebody plans. */
export interface Plan {
  /** Engine hours, above 0. */
  readonly hours: number
  /** Days from leaving to arriving, above 0. */
  readonly days: number
  /** Nautical miles; null: not planned, and limits by miles are not asked. */
  readonly miles: number | null
  /** Engine speed, rpm; null: as she is usually run. */
  readonly speed: number | null
  /** Share of what the tanks hold that must be left on arrival, 0 to 1. */
  readonly reserve: number
  /** The day of leaving, YYYY-MM-DD, today or later; null: today. */
  readonly leaving: string | null
}

/** A third in reserve: common practice, no source. */
export const usualReserve = 1 / 3

/** How far engine hours go from what was planned: coefficient of variation, and how it is known. */
export interface PlanSpread {
  readonly share: number
  /** From so many passages of this boat; 0: assumed, for the log has too few. */
  readonly n: number
  readonly entries: readonly string[]
}

/** Assumed while a log has too few passages with miles and engine hours: a quarter of the hours are more or fewer. No source. */
export const assumedSpread = 0.3

/** Passages made by engine and miles that are needed before their scatter is used. */
const passagesNeeded = 8

/** Miles are planned from a chart, and a tack or a detour adds to them. Assumed, no source. */
const milesSpread = 0.1

/** From this chance on a task is named among what may fall due under way. */
const worthNaming = 0.1

/** From this chance on it is better done before leaving, unless it is fresh and would fall due again all the same. */
const betterDone = 0.5

/** A task that may fall due before she arrives. */
export interface UnderWay {
  readonly row: DueRow
  /** 0 to 1. */
  readonly chance: number
  /** The chance that it falls due before she arrives even if it is done on the day of leaving. */
  readonly thoughDone: number
  /** The limit that is likeliest to be reached first. */
  readonly limit: Limit
  /** The day on which the calendar has it due, for a calendar limit. */
  readonly on: string | null
}

/** Something that is best done before leaving, and why. */
export type BeforeLeaving =
  | { readonly why: 'left'; readonly entry: Told<'left-as'>; readonly name: string }
  | { readonly why: 'overdue'; readonly row: DueRow }
  | { readonly why: 'under way'; readonly item: UnderWay }
  | { readonly why: 'repair'; readonly entry: Told<'repair-made'>; readonly name: string }
  | { readonly why: 'defect'; readonly entry: Told<'defect-found'>; readonly name: string }

/** A temporary repair or a defect that she would carry, with what it has carried until now and would have by arrival. */
export interface ReliedOn {
  readonly entry: Told<'repair-made'> | Told<'defect-found'>
  readonly name: string
  readonly carried: Counted & { readonly days: number }
  readonly byArrival: { readonly hours: number | null; readonly miles: number | null; readonly days: number }
}

/** Parts that a task or a repair asks for; whether they are aboard the log does not know. */
export interface PartAsked {
  readonly parts: string
  /** What asks for them. */
  readonly by: string
  /** The entry that says so. */
  readonly root: string
}

/** What is known of one tank. */
export interface TankNow {
  readonly equipment: Equipment
  readonly capacity: number | null
  /** What was in it when it was last known, and filled since; null where the log never says. */
  readonly last: {
    readonly litres: number
    readonly full: boolean
    readonly at: number
    readonly root: string
    readonly filled: number
    readonly entries: readonly string[]
    /** Whole days ago. */
    readonly days: number
  } | null
}

/** Fuel or water for the passage. Litres; `low` and `high` are the ends between which it lies in four of five. */
export interface Store {
  readonly tanks: readonly TankNow[]
  /** Litres an engine hour, or a day for water, as learnt. */
  readonly rate: LearntRate
  /** Litres an hour at the planned speed, or a day. */
  readonly planned: Estimate
  /** From what the rate was learnt. */
  readonly by: 'tank to tank' | 'passages'
  /** Engine hours or days since the tanks were known. */
  readonly since: number | null
  /** What is likely in all tanks now. */
  readonly aboard: Estimate
  readonly needed: Estimate
  /** What is left on arrival; negative: so much too little. */
  readonly onArrival: Estimate
  /** What must be left, litres; null where nobody wrote what the tanks hold. */
  readonly reserve: number | null
  /** Engine hours (days, for water) until the reserve is begun, and in nine cases of ten at least; null where it cannot be said. */
  readonly lasts: { readonly likely: number; readonly least: number } | null
  /** Nautical miles under engine on it; null where the log has too few miles under engine. */
  readonly miles: number | null
}

/** Engine oil: what is topped up, and what the dipstick last showed. */
export interface OilAhead {
  /** Litres an engine hour. */
  readonly rate: LearntRate
  readonly needed: Estimate
  readonly dipstick: {
    readonly share: number
    readonly root: string
    readonly days: number
    readonly range: number | null
  } | null
}

/** How the planned engine speed changes what she burns. */
export interface PlannedSpeed {
  readonly asked: number
  /** Median of the engine speeds read under way; null while fewer than `needed` were read. */
  readonly usual: number | null
  readonly n: number
  readonly needed: number
  /** Fuel an hour against the usual speed, by the two exponents of the propeller law; null without a usual speed. */
  readonly factor: { readonly smallCraft: number; readonly cube: number } | null
  /** Her rated speed where it is written. */
  readonly rated: number | null
}

/** What the log says of a passage that is planned. It never says that she is fit for it. */
export interface Ahead {
  readonly plan: Plan
  /** Days, YYYY-MM-DD. */
  readonly leaving: string
  readonly arriving: string
  /** The meter whose hours were planned; null: no engine has one. */
  readonly meter: Meter | null
  readonly spread: PlanSpread
  readonly speed: PlannedSpeed | null
  readonly before: readonly BeforeLeaving[]
  readonly underWay: readonly UnderWay[]
  readonly relied: readonly ReliedOn[]
  readonly parts: readonly PartAsked[]
  readonly fuel: Store | null
  readonly water: Store | null
  readonly oil: OilAhead | null
}

const hourMs = 3_600_000
const dayMs = 24 * hourMs

/**
 * What the log says of a passage ahead.
 * @param now milliseconds
 */
export function ahead(from: Timeline, now: number, plan: Plan): Ahead {
  const book = fold(register, from)
  const today = dayIn(now, from.zoneAt(now))
  const leaving = plan.leaving === null ? today : Temporal.PlainDate.from(plan.leaving)
  const arriving = leaving.add({ days: Math.ceil(plan.days) })
  const engine = mainEngine(book)
  const meter = engine ? (meterOf(book, engine.handle) ?? null) : null
  const legs = legsOf(from, meter)
  const spread = planSpread(legs, plan)
  const rows = dueRows(from, now)
  const underWay = rows
    .filter((row) => row.state !== 'overdue' && row.limits.length > 0)
    .flatMap((row) => {
      const item = fallsDue(from, row, { plan, meter, spread, engine, now, untilArrival: today.until(arriving).days })
      return item ? [item] : []
    })
    .sort((a, b) => b.chance - a.chance || (b.row.usedShare ?? 0) - (a.row.usedShare ?? 0))
  const state = fold(carried, from)
  const repairs = temporaryRepairs(state).map(({ made }) => made)
  const defects = openDefects(state).map(({ found }) => found)
  const before: BeforeLeaving[] = [
    ...leftNow(fold(left, from)).map((entry) => ({
      why: 'left' as const,
      entry,
      name: nameOf(book, 'equipment', entry.data.equipment),
    })),
    ...rows.filter((row) => row.state === 'overdue').map((row) => ({ why: 'overdue' as const, row })),
    ...defects
      .filter((entry) => entry.data.matters === 'stops her' || entry.data.matters === 'much')
      .map((entry) => ({ why: 'defect' as const, entry, name: nameOf(book, 'equipment', entry.data.equipment) })),
    ...underWay
      .filter((item) => item.chance >= betterDone && (item.thoughDone < betterDone || (item.row.usedShare ?? 0) >= 0.5))
      .map((item) => ({ why: 'under way' as const, item })),
    ...repairs.map((entry) => ({
      why: 'repair' as const,
      entry,
      name: nameOf(book, 'equipment', entry.data.equipment),
    })),
  ]
  const speed = plan.speed === null ? null : plannedSpeed(from, engine, plan.speed)
  return {
    plan,
    leaving: leaving.toString(),
    arriving: arriving.toString(),
    meter,
    spread,
    speed,
    before,
    underWay,
    relied: [...repairs, ...defects].map((entry) => reliedOn(from, book, entry, plan, now, today.until(arriving).days)),
    parts: partsAsked(before, underWay, repairs, book),
    fuel: fuelAhead(from, meter, plan, speed, legs, now),
    water: waterAhead(from, plan, now, today.until(leaving).days),
    oil: engine && meter ? oilAhead(from, engine, meter, plan, now) : null,
  }
}

const dayIn = (at: number, zone: string): Temporal.PlainDate =>
  Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(zone).toPlainDate()

/** The engine that drives her: the first one aboard. */
const mainEngine = (book: Register): Equipment | null =>
  [...book.equipment.values()].find((one) => one.kind === 'engine' && !one.removed) ?? null

/** One passage with what the engine ran on it. */
interface Leg {
  readonly hours: number
  readonly miles: number | null
  readonly underEngine: number | null
  readonly fuel: number | null
  readonly entries: readonly string[]
}

function legsOf(from: Timeline, meter: Meter | null): Leg[] {
  if (!meter) return []
  const curve = curveOf(from, meter.handle)
  return fold(passages, from).passages.flatMap((passage): Leg[] => {
    const { begun, ended } = passage
    if (!begun || !ended) return []
    const start = countAt(curve, begun.at, begun.root)
    const end = countAt(curve, ended.at, ended.root)
    if (start === null || end === null) return []
    const { underEngine, fuelUsed } = ended.data
    return [
      {
        hours: end - start,
        miles: milesOf(passage),
        underEngine: underEngine ? convert(underEngine.value, underEngine.unit, '[nmi_i]') : null,
        fuel: fuelUsed ? convert(fuelUsed.value, fuelUsed.unit, 'L') : null,
        entries: [begun.root, ended.root],
      },
    ]
  })
}

/**
 * How far the engine hours of this boat's passages go from what their miles would give, for a passage of the miles planned, or of the miles that
 * the hours planned would give. Plans themselves are not in the log: the scatter of passages stands for that of plans.
 */
function planSpread(legs: readonly Leg[], plan: Plan): PlanSpread {
  const sailed = legs.filter((leg) => leg.miles !== null && leg.miles >= 5)
  const rate = learntRate(
    sailed.map((leg) => ({ used: leg.hours, over: leg.miles!, entries: leg.entries })),
    passagesNeeded,
  )
  const miles = rate.kind === 'estimate' ? (plan.miles ?? plan.hours / rate.value) : 0
  const share = miles > 0 && Number.isFinite(miles) ? variationOver(rate, miles) : null
  if (rate.kind === 'not-enough' || share === null) return { share: assumedSpread, n: 0, entries: [] }
  return { share: Math.min(1, Math.max(0.05, share)), n: rate.n, entries: rate.entries }
}

/** Chance that what was planned, give or take `share` of it, comes to more than `least`: gamma, so that it never is below nothing. */
export const chanceOfMore = (planned: number, share: number, least: number): number =>
  least <= 0 ? 1 : gammaUpperTail(least, 1 / share ** 2, planned * share ** 2)

interface Asked {
  readonly plan: Plan
  readonly meter: Meter | null
  readonly spread: PlanSpread
  readonly engine: Equipment | null
  readonly now: number
  readonly untilArrival: number
}

function fallsDue(from: Timeline, row: DueRow, asked: Asked): UnderWay | null {
  const { plan, meter, spread, engine, now, untilArrival } = asked
  const book = fold(register, from)
  // Hours of another engine were not planned.
  const isPlannedEngine = meter !== null && meterOf(book, row.task.data.equipment)?.handle === meter.handle
  const starts = row.limits.some(({ kind }) => kind === 'starts')
    ? startsExpected(from, engine, meter, plan.hours, now)
    : null
  /** The chance that what is left of a limit is used up before she arrives. */
  const chanceOf = (kind: LimitKind, left: number): number => {
    switch (kind) {
      case 'months':
        return left <= untilArrival ? 1 : 0
      case 'hours':
        // More than the clock allows cannot be run.
        return isPlannedEngine && left <= plan.days * 24 ? chanceOfMore(plan.hours, spread.share, left) : 0
      case 'miles':
        return plan.miles !== null && plan.miles > 0 ? chanceOfMore(plan.miles, milesSpread, left) : 0
      case 'starts':
        return starts === null ? 0 : poissonUpperTail(Math.ceil(left) - 1, starts)
    }
  }
  let first: { limit: Limit; chance: number } | null = null
  let thoughDone = 0
  for (const limit of row.limits) {
    const chance = chanceOf(limit.kind, limit.kind === 'months' ? (row.daysLeft ?? 0) : limit.left)
    thoughDone = Math.max(thoughDone, chanceOf(limit.kind, limit.days?.whole ?? limit.every))
    if (!first || chance > first.chance) first = { limit, chance }
  }
  if (!first || first.chance < worthNaming) return null
  const on =
    first.limit.kind === 'months' && row.daysLeft !== null
      ? dayIn(now, from.zoneAt(now)).add({ days: row.daysLeft }).toString()
      : null
  return { row, chance: first.chance, thoughDone, limit: first.limit, on }
}

/** Starts over so many engine hours, as over the last year; null where none were written. */
function startsExpected(
  from: Timeline,
  engine: Equipment | null,
  meter: Meter | null,
  hours: number,
  now: number,
): number | null {
  if (!engine || !meter) return null
  const since = now - 365 * dayMs
  const ran = countedBetween(from, engine.handle, { at: since }, now).hours
  const starts = startsBetween(fold(runs, from), engine.handle, since, now)
  return ran !== null && ran > 0 && starts > 0 ? (starts / ran) * hours : null
}

function reliedOn(
  from: Timeline,
  book: Register,
  entry: Told<'repair-made'> | Told<'defect-found'>,
  plan: Plan,
  now: number,
  untilArrival: number,
): ReliedOn {
  const counted = countedBetween(from, entry.data.equipment, { at: entry.at, root: entry.root }, now)
  const days = Math.floor((now - entry.at) / dayMs)
  return {
    entry,
    name: nameOf(book, 'equipment', entry.data.equipment),
    carried: { ...counted, days },
    byArrival: {
      hours: counted.hours === null ? null : counted.hours + plan.hours,
      miles: counted.miles === null || plan.miles === null ? null : counted.miles + plan.miles,
      days: days + untilArrival,
    },
  }
}

function partsAsked(
  before: readonly BeforeLeaving[],
  underWay: readonly UnderWay[],
  repairs: readonly Told<'repair-made'>[],
  book: Register,
): PartAsked[] {
  const rows = [
    ...before.flatMap((one) => (one.why === 'overdue' ? [one.row] : [])),
    ...underWay.map((item) => item.row),
  ]
  return [
    ...repairs.flatMap((entry) =>
      entry.data.waitsFor === undefined
        ? []
        : [{ parts: entry.data.waitsFor, by: nameOf(book, 'equipment', entry.data.equipment), root: entry.root }],
    ),
    ...rows.flatMap(({ task }) =>
      task.data.parts === undefined ? [] : [{ parts: task.data.parts, by: task.data.name, root: task.set.root }],
    ),
  ]
}

/** Readings of engine speed that are needed before one is called the usual one. */
const speedsNeeded = 5

function plannedSpeed(from: Timeline, engine: Equipment | null, asked: number): PlannedSpeed {
  const read = speedsUnderWay(from, engine?.handle)
  const usual = read.length >= speedsNeeded ? median(read) : null
  const by = (exponent: number): number | null => {
    if (usual === null) return null
    const power = propellerPower({ knownKilowatts: 1, knownRpm: usual, rpm: asked, exponent })
    return power.ok ? power.fraction : null
  }
  const smallCraft = by(PROPELLER_EXPONENT.smallCraft)
  const cube = by(PROPELLER_EXPONENT.cube)
  const rated = engine?.data.ratedSpeed
  return {
    asked,
    usual,
    n: read.length,
    needed: speedsNeeded,
    factor: smallCraft === null || cube === null ? null : { smallCraft, cube },
    rated: rated ? rated.value : null,
  }
}

/** Engine speeds that were read on passages. */
function speedsUnderWay(from: Timeline, engine: string | undefined): number[] {
  const spans = fold(passages, from).passages.flatMap(({ begun, ended }) =>
    begun ? [{ since: begun.at, until: ended?.at ?? Number.POSITIVE_INFINITY }] : [],
  )
  return from.told.flatMap((entry) =>
    entry.type === 'readings-taken' &&
    entry.data.equipment === engine &&
    entry.data.speed !== undefined &&
    entry.data.speed.value > 0 &&
    spans.some(({ since, until }) => entry.at >= since && entry.at <= until)
      ? [entry.data.speed.value]
      : [],
  )
}

function tankNow(tank: Tank, now: number): TankNow {
  const { equipment, capacity, marks } = tank
  const mark = marks[marks.length - 1]
  const filled = mark && filledAfter(tank, mark, now)
  if (!mark || mark.litres === null || !filled) return { equipment, capacity, last: null }
  const entries = [mark.root, ...filled.entries]
  const days = Math.floor((now - mark.at) / dayMs)
  return {
    equipment,
    capacity,
    last: { litres: mark.litres, full: mark.full, at: mark.at, root: mark.root, filled: filled.litres, entries, days },
  }
}

/**
 * What was in all tanks when they were last known, and what the meter has counted since. Where they were last known at different times, it counts
 * from the oldest, and what the others are known to have given since then is given back: one draws from one tank at a time.
 */
function stockOf(
  tanks: readonly Tank[],
  known: readonly TankNow[],
  counted: (mark: TankMark) => number | null,
  present: number | null,
  perUnit: number | null,
): { litres: number; since: number } | null {
  if (tanks.length === 0 || present === null) return null
  let litres = 0
  const marks: TankMark[] = []
  for (const [index, tank] of tanks.entries()) {
    const last = known[index]?.last
    const mark = tank.marks[tank.marks.length - 1]
    if (!last || !mark) return null
    litres += last.litres + last.filled
    marks.push(mark)
  }
  const at = marks.map(counted)
  if (at.some((one) => one === null)) return null
  const oldest = Math.min(...(at as number[]))
  const latest = Math.max(...(at as number[]))
  const first = Math.min(...marks.map((mark) => mark.at))
  let given = 0
  for (const [index, tank] of tanks.entries()) {
    const last = marks[index]!
    const begin = tank.marks.findLast((mark) => Math.abs(mark.at - first) <= 48 * hourMs && mark !== last)
    if (last.at - first > 48 * hourMs && begin) given += drawnBetween(tank, begin, last)?.litres ?? 0
  }
  const since = present - oldest
  // What was drawn since the last of them was known is not known to have come from any.
  if (perUnit !== null && perUnit * since - given < perUnit * (present - latest))
    return { litres, since: present - latest }
  return { litres: litres + given, since }
}

function fuelAhead(
  from: Timeline,
  meter: Meter | null,
  plan: Plan,
  speed: PlannedSpeed | null,
  legs: readonly Leg[],
  now: number,
): Store | null {
  const tanks = fuelTanks(from)
  if (tanks.length === 0 || !meter) return null
  const curve = curveOf(from, meter.handle)
  const counted = (mark: TankMark) => countAt(curve, mark.at, mark.root)
  // Half an hour is what berthing and shifting to the fuel quay take; under two hours a sounding is too coarse for a rate.
  const measured = learntRate(stretchesOf(tanks, counted, 0.5, { least: 2, most: Number.POSITIVE_INFINITY }))
  const told = learntRate(
    legs.flatMap((leg): Stretch[] =>
      leg.fuel !== null && leg.hours >= 0.5 ? [{ used: leg.fuel, over: leg.hours, entries: leg.entries }] : [],
    ),
  )
  const byTanks = measured.kind === 'estimate' || told.kind === 'not-enough'
  const rate = byTanks ? measured : told
  const factor = speed?.factor ?? { smallCraft: 1, cube: 1 }
  const underEngine = learntRate(
    legs.flatMap((leg): Stretch[] =>
      leg.underEngine !== null && leg.hours >= 0.5
        ? [{ used: leg.underEngine, over: leg.hours, entries: leg.entries }]
        : [],
    ),
  )
  const store = storeOf(tanks, rate, counted, countAt(curve, now), plan.hours, factor, plan.reserve, now)
  const isUsualSpeed = plan.speed === null || plan.speed === speed?.usual
  const range =
    store.lasts && store.planned.kind === 'estimate' && underEngine.kind === 'estimate' && isUsualSpeed
      ? motoringRange({
          tankLitres: store.lasts.likely * store.planned.value,
          usableShare: 1,
          litresPerHour: store.planned.value,
          knots: underEngine.value,
        })
      : null
  return { ...store, by: byTanks ? 'tank to tank' : 'passages', miles: range?.ok ? range.nauticalMiles : null }
}

/** Water fills lie days apart while somebody lives aboard; longer gaps say nothing of how much is used. */
const longestAboard = 21

function waterAhead(from: Timeline, plan: Plan, now: number, daysToLeaving: number): Store | null {
  const tanks = waterTanks(from)
  if (tanks.length === 0) return null
  const counted = (mark: TankMark) => mark.at / dayMs
  const rate = learntRate(stretchesOf(tanks, counted, 1, { least: 1, most: longestAboard }))
  const one = { smallCraft: 1, cube: 1 }
  const store = storeOf(tanks, rate, counted, now / dayMs, plan.days + daysToLeaving, one, plan.reserve, now)
  if (store.since !== null && store.since <= longestAboard) return store
  // Nobody can say what became of water that was filled so long ago.
  const unknown = { kind: 'not-enough', n: 0, needed: 1 } as const
  return { ...store, aboard: unknown, onArrival: unknown, lasts: null }
}

function storeOf(
  tanks: readonly Tank[],
  rate: LearntRate,
  counted: (mark: TankMark) => number | null,
  present: number | null,
  planned: number,
  factor: { readonly smallCraft: number; readonly cube: number },
  share: number,
  now: number,
): Store {
  const known = tanks.map((tank) => tankNow(tank, now))
  const stock = stockOf(tanks, known, counted, present, rate.kind === 'estimate' ? rate.value : null)
  const smaller = Math.min(factor.smallCraft, factor.cube)
  const greater = Math.max(factor.smallCraft, factor.cube)
  /** What is used over the time since the tanks were known and so much at the planned speed. */
  const used = (since: number, ahead: number): Estimate => {
    const likely = expectedOver(rate, since + ahead * factor.smallCraft)
    const low = expectedOver(rate, since + ahead * smaller)
    const high = expectedOver(rate, since + ahead * greater)
    if (likely.kind !== 'estimate' || low.kind !== 'estimate' || high.kind !== 'estimate')
      return { kind: 'not-enough', n: rate.n, needed: rate.kind === 'not-enough' ? rate.needed : rate.n }
    return { kind: 'estimate', value: likely.value, low: low.low, high: high.high, n: rate.n }
  }
  const leftAfter = (ahead: number): Estimate => {
    if (!stock)
      return { kind: 'not-enough', n: known.filter((tank) => tank.last !== null).length, needed: known.length }
    const use = used(stock.since, ahead)
    if (use.kind === 'not-enough') return use
    const { litres } = stock
    return { kind: 'estimate', value: litres - use.value, low: litres - use.high, high: litres - use.low, n: use.n }
  }
  const held = known.reduce<number | null>(
    (sum, tank) => (sum === null || tank.capacity === null ? null : sum + tank.capacity),
    0,
  )
  const reserve = held === null ? null : held * share
  const perOne = used(0, planned)
  return {
    tanks: known,
    rate,
    planned:
      perOne.kind === 'estimate'
        ? { ...perOne, value: perOne.value / planned, low: perOne.low / planned, high: perOne.high / planned }
        : perOne,
    by: 'tank to tank',
    since: stock?.since ?? null,
    aboard: leftAfter(0),
    needed: perOne,
    onArrival: leftAfter(planned),
    reserve,
    lasts: stock && reserve !== null && rate.kind === 'estimate' ? untilReserve(leftAfter, reserve) : null,
    miles: null,
  }
}

/** How much longer until no more than the reserve is left: as is likely, and at least in nine cases of ten. */
function untilReserve(leftAfter: (ahead: number) => Estimate, reserve: number): { likely: number; least: number } {
  const until = (end: 'value' | 'low'): number => {
    const above = (ahead: number) => {
      const leftThen = leftAfter(ahead)
      return leftThen.kind === 'estimate' && leftThen[end] > reserve
    }
    let low = 0
    // Nobody plans for more than ten thousand hours.
    let high = 10_000
    if (!above(0)) return 0
    for (let i = 0; i < 40; i++) {
      const middle = (low + high) / 2
      if (above(middle)) low = middle
      else high = middle
    }
    return low
  }
  return { likely: until('value'), least: until('low') }
}

const oilChanges: readonly string[] = ['oil changed', 'oil and filter changed']

/** Oil topped up between oil changes, and since the last of them, from the first entry on that tells what was taken aboard. */
function oilAhead(from: Timeline, engine: Equipment, meter: Meter, plan: Plan, now: number): OilAhead {
  const curve = curveOf(from, meter.handle)
  const { fillings } = fold(tankEvents, from)
  const begun = fillings[0]
  const ends = (fold(services, from).get(engine.handle) ?? [])
    .filter((entry) => oilChanges.includes(entry.data.work) && entry.at <= now)
    .map(({ at, root }) => ({ at, root: root as string | undefined }))
  const marks = begun
    ? [{ at: begun.at, root: begun.root as string | undefined }, ...ends.filter((one) => one.at > begun.at)]
    : []
  marks.push({ at: now, root: undefined })
  const stretches = marks.slice(1).flatMap((end, index): Stretch[] => {
    const start = marks[index]!
    const since = countAt(curve, start.at, start.root)
    const until = countAt(curve, end.at, end.root)
    if (since === null || until === null || until - since < 5) return []
    const topped = fillings.filter(
      (one) =>
        one.tank === engine.handle &&
        one.what === 'engine oil' &&
        one.litres !== null &&
        one.at > start.at &&
        one.at <= end.at,
    )
    return [
      {
        used: topped.reduce((sum, one) => sum + one.litres!, 0),
        over: until - since,
        entries: topped.map((one) => one.root),
      },
    ]
  })
  const rate = learntRate(stretches)
  const dipped = from.told.findLast(
    (entry): entry is Told<'check-made'> =>
      entry.type === 'check-made' &&
      entry.data.equipment === engine.handle &&
      entry.data.dipstick !== undefined &&
      entry.at <= now,
  )
  const range = engine.data.dipstickRange
  return {
    rate,
    needed: expectedOver(rate, plan.hours),
    dipstick: dipped
      ? {
          share: dipped.data.dipstick!.value,
          root: dipped.root,
          days: Math.floor((now - dipped.at) / dayMs),
          range: range ? convert(range.value, range.unit, 'L') : null,
        }
      : null,
  }
}

/** The entries that a learnt rate came from, as a selection that the Log can show. */
export const rateSelection = (rate: LearntRate): Selection => ({
  entries: rate.kind === 'estimate' ? rate.entries : [],
})
