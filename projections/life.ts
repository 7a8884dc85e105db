import type { EquipmentKind, Work } from '../events/works.ts'
import { countedBetween } from './counts.ts'
import type { Estimate } from './figure.ts'
import { type Equipment, meterOf, type Register, register } from './register.ts'
import { services } from './services.ts'
import type { NotEnough } from './statistics/estimate.ts'
import { kaplanMeier, type SurvivalCurve, survivalQuantile } from './statistics/kaplan-meier.ts'
import { type LaplaceTrend, laplaceTrend } from './statistics/laplace-trend.ts'
import { meanCumulativeFunction, type RepairHistory } from './statistics/mean-cumulative-function.ts'
import { weibullLife, weibullLifeQuantile } from './statistics/weibull-life.ts'
import { fold, type Projection, type Timeline, type Told } from './timeline.ts'

/** How an old part came out. */
export type Condition = 'good' | 'worn' | 'worn out' | 'failed'

/** One part that was renewed: from when it was put in to when it came out, or to now. */
export interface PartLife {
  readonly begun: Told<'equipment-fitted'> | Told<'service-done'>
  /** Null while it runs. */
  readonly ended: Told<'equipment-removed'> | Told<'service-done'> | Told<'equipment-fitted'> | null
  /** Null while it runs, or where nobody wrote it. */
  readonly condition: Condition | null
  /** In the unit of its part: engine hours or months. */
  readonly age: number
  /** It came out worn out or failed: its life was over. Else it lasted at least so long. */
  readonly failed: boolean
  /** It was there when the log began, or was fitted used: how old it truly is nobody knows, and it is left out of the reckoning. */
  readonly ageUnknown: boolean
}

/** Calendar months of 30.44 days, or hours of the meter that it runs on. */
export type AgeUnit = 'h' | 'mo'

/** What the history of one part says of how long it lasts. */
export interface LifeOfPart {
  readonly equipment: string
  /** The word for the part, such as "impeller"; empty for the thing itself. */
  readonly part: string
  readonly unit: AgeUnit
  /** In order of time; the last may still run. */
  readonly lives: readonly PartLife[]
  /** How many of those of known age came out worn out or failed. */
  readonly failures: number
  /** The share still running by age; from three failures on. */
  readonly curve: SurvivalCurve | NotEnough
  /** The age by which half have failed, off the curve; null where it does not come down so far, or there is none. `high` null: no end can be told. */
  readonly median: { readonly value: number; readonly low: number | null; readonly high: number | null } | null
  /** The fitted Weibull life: its shape, and the ages by which half and one in ten have failed. From five failures on. */
  readonly weibull:
    | { readonly kind: 'estimate'; readonly n: number; readonly shape: Ends; readonly half: Ends; readonly tenth: Ends }
    | NotEnough
  /** The interval at which a task renews it, in its unit, and that task; null where none does. */
  readonly set: { readonly every: number; readonly task: string } | null
}

/** A value with the ends of its interval. */
export interface Ends {
  readonly value: number
  readonly low: number
  readonly high: number
}

/** The chance with which the truth lies between the ends that this file gives. */
export const lifeLevel = 0.8

/** A curve of fewer failures would be one step. */
const fewestForCurve = 3

/** What ages by the calendar though it hangs on an engine: rubber, zinc, cells, cloth and wire. Common practice, no source. */
const byCalendar: readonly EquipmentKind[] = [
  'anode',
  'battery bank',
  'hose',
  'safety gear',
  'sail',
  'seacock',
  'stay',
  'boat',
]

const monthMs = 30.44 * 86_400_000

/** Fitting, removal and renewal within half a day are one change. */
const oneChange = 43_200_000

/** The word for what a work renews; null where it renews nothing. Empty: the thing itself. */
function renewedBy(work: Work, kind: EquipmentKind): string | null {
  if (work === 'renewed') return ''
  const part = / renewed$/.test(work) ? work.slice(0, -' renewed'.length) : null
  // A belt is its own belt, an anode its own anode.
  return part !== null && (kind as string) === part ? '' : part
}

/**
 * How long each part of a piece of equipment lasts that was ever renewed, the thing itself first; none where nothing was renewed. A part that
 * came out good, worn, or in a condition that nobody wrote, and one that still runs, lasted at least so long (right-censored).
 * @param now milliseconds
 */
export function livesOf(from: Timeline, equipment: string, now: number): LifeOfPart[] {
  const book = fold(register, from)
  const one = book.equipment.get(equipment)
  if (!one) return []
  const renewals = new Map<string, Told<'service-done'>[]>()
  for (const entry of fold(services, from).get(equipment) ?? []) {
    const part = renewedBy(entry.data.work, one.kind)
    if (part === null || entry.at > now) continue
    renewals.set(part, [...(renewals.get(part) ?? []), entry])
  }
  if (one.lives.length > 1 || one.removed || one.lives.some((life) => life.removed))
    renewals.set('', renewals.get('') ?? [])
  return [...renewals.keys()].sort().map((part) => lifeOfPart(from, book, one, part, renewals.get(part)!, now))
}

function lifeOfPart(
  from: Timeline,
  book: Register,
  one: Equipment,
  part: string,
  renewals: readonly Told<'service-done'>[],
  now: number,
): LifeOfPart {
  const task = [...book.tasks.values()].find(
    ({ data, retired }) => retired === null && data.equipment === one.handle && renewedBy(data.work, one.kind) === part,
  )
  const metered = meterOf(book, one.handle) !== undefined && !byCalendar.includes(one.kind)
  const unit: AgeUnit = metered && (task === undefined || task.data.everyHours !== undefined) ? 'h' : 'mo'
  const every = unit === 'h' ? task?.data.everyHours : task?.data.everyMonths
  const lives = livesIn(from, one, part, renewals, unit, now)
  const known = lives.filter((life) => !life.ageUnknown)
  const failures = known.filter((life) => life.failed).length
  const curve =
    failures < fewestForCurve
      ? ({ kind: 'not-enough', n: failures, needed: fewestForCurve } as const)
      : kaplanMeier(
          known.map(({ age, failed }) => ({ time: age, failed })),
          { level: lifeLevel },
        )
  const half = curve.kind === 'estimate' ? survivalQuantile(curve, 0.5) : null
  return {
    equipment: one.handle,
    part,
    unit,
    lives,
    failures,
    curve,
    median: half?.kind === 'estimate' ? { value: half.value, low: half.low, high: half.high } : null,
    weibull: weibullOf(known),
    set: task && every !== undefined ? { every, task: task.handle } : null,
  }
}

function weibullOf(lives: readonly PartLife[]): LifeOfPart['weibull'] {
  // A part that came out on the day it was put in says nothing of its life.
  const fit = weibullLife(
    lives.filter(({ age }) => age > 0).map(({ age, failed }) => ({ time: age, failed })),
    { level: lifeLevel },
  )
  if (fit.kind === 'not-enough') return fit
  const tenth = weibullLifeQuantile(fit, 0.1)
  if (tenth.kind === 'not-enough') return tenth
  return {
    kind: 'estimate',
    n: fit.n,
    shape: fit.shape,
    half: { value: fit.value, low: fit.low, high: fit.high },
    tenth: { value: tenth.value, low: tenth.low, high: tenth.high },
  }
}

type Begun = PartLife['begun']

function livesIn(
  from: Timeline,
  one: Equipment,
  part: string,
  renewals: readonly Told<'service-done'>[],
  unit: AgeUnit,
  now: number,
): PartLife[] {
  const begins: Begun[] = [...one.lives.map((life) => life.fitted).filter(({ at }) => at <= now), ...renewals].sort(
    (a, b) => a.at - b.at,
  )
  const removals = one.lives.flatMap((life) => (life.removed && life.removed.at <= now ? [life.removed] : []))
  const starts: Begun[] = []
  for (const begun of begins) {
    const before = starts[starts.length - 1]
    if (before && begun.at - before.at <= oneChange) continue
    starts.push(begun)
  }
  const near = (at: number) => (entry: Told) => Math.abs(entry.at - at) <= oneChange
  return starts.map((begun, index) => {
    const next = starts[index + 1]
    const removed = removals.find(
      (entry) => entry.at > begun.at + oneChange && entry.at <= (next?.at ?? now) + oneChange,
    )
    const ended = removed ?? next ?? null
    const service = ended && renewals.find(near(ended.at))
    // How a pump came out says nothing of the impeller in it.
    const condition = (part === '' ? removed?.data.condition : undefined) ?? service?.data.condition ?? null
    const until = ended?.at ?? now
    const counted = countedBetween(from, one.handle, { at: begun.at, root: begun.root }, until, ended?.root)
    return {
      begun,
      ended,
      condition,
      age: unit === 'h' ? (counted.hours ?? 0) : (until - begun.at) / monthMs,
      failed: condition === 'worn out' || condition === 'failed',
      ageUnknown: begun.type === 'equipment-fitted' && isOld(begun, begun === one.lives[0]?.fitted),
    }
  })
}

/** What was there first is new only if that was written; what replaced it is, unless it was written to be used. */
const isOld = ({ data }: Told<'equipment-fitted'>, first: boolean): boolean =>
  first ? data.newOrUsed !== 'new' : data.newOrUsed !== undefined && data.newOrUsed !== 'new'

/** Defects found and repairs made without one, by equipment. */
type Repairs = Map<string, (Told<'defect-found'> | Told<'repair-made'>)[]>

const repairs: Projection<Repairs> = {
  initial: () => new Map(),
  on: {
    'defect-found': (state, entry) => {
      state.set(entry.data.equipment, [...(state.get(entry.data.equipment) ?? []), entry])
    },
    'repair-made': (state, entry) => {
      // What mends a defect was counted when that was found.
      if (entry.data.mends === undefined)
        state.set(entry.data.equipment, [...(state.get(entry.data.equipment) ?? []), entry])
    },
  },
}

/** How often a piece of equipment has wanted mending while the log watched it. */
export interface RepairRecord {
  readonly unit: AgeUnit
  /** Hours or months since it was first fitted. */
  readonly watched: number
  readonly repairs: readonly { readonly age: number; readonly entry: Told<'defect-found'> | Told<'repair-made'> }[]
  /** Whether they come ever more often (z above 0) or ever less; from four on. */
  readonly trend: LaplaceTrend | NotEnough
  /** Repairs that one of all those of its kind aboard has had on average by the age of the oldest repair; counts units. */
  readonly mean: (Estimate & { readonly age?: number; readonly units?: number }) | NotEnough
}

/** How often a piece of equipment has wanted mending; null for one that the book does not know. */
export function repairsOf(from: Timeline, equipment: string, now: number): RepairRecord | null {
  const book = fold(register, from)
  const one = book.equipment.get(equipment)
  if (!one) return null
  const unit: AgeUnit = meterOf(book, one.handle) !== undefined && !byCalendar.includes(one.kind) ? 'h' : 'mo'
  const own = historyOf(from, one, unit, now)
  const units = [...book.equipment.values()]
    .filter((other) => other.kind === one.kind)
    .map((other) => historyOf(from, other, unit, now))
    .filter((history): history is History => history !== null && history.end > 0)
  if (own === null || own.end <= 0)
    return {
      unit,
      watched: 0,
      repairs: [],
      trend: { kind: 'not-enough', n: 0, needed: 4 },
      mean: { kind: 'not-enough', n: units.length, needed: 2 },
    }
  const inside = own.repairs.filter((age) => age > 0)
  const mean = meanCumulativeFunction(units, { level: lifeLevel })
  const last = mean.kind === 'estimate' ? mean.points[mean.points.length - 1] : undefined
  return {
    unit,
    watched: own.end,
    repairs: own.repairs.map((age, index) => ({ age, entry: own.entries[index]! })),
    trend: laplaceTrend(inside, own.end),
    mean:
      mean.kind === 'not-enough'
        ? mean
        : {
            kind: 'estimate',
            value: last!.value,
            low: last!.low,
            high: last!.high,
            n: mean.events,
            age: last!.age,
            units: mean.n,
          },
  }
}

type History = RepairHistory & { readonly entries: readonly (Told<'defect-found'> | Told<'repair-made'>)[] }

/** Null where the hours that it is told in are not counted. */
function historyOf(from: Timeline, one: Equipment, unit: AgeUnit, now: number): History | null {
  const first = one.lives[0]!.fitted
  const last = one.removed ? one.lives[one.lives.length - 1]!.removed : null
  const ageAt = (at: number, root?: string): number | null =>
    unit === 'mo'
      ? Math.max(0, at - first.at) / monthMs
      : countedBetween(from, one.handle, { at: first.at, root: first.root }, at, root).hours
  const end = ageAt(Math.min(now, last?.at ?? now))
  if (end === null) return null
  const entries = (fold(repairs, from).get(one.handle) ?? []).filter(({ at }) => at >= first.at && at <= now)
  // A repair on the day of removal belongs to it, though only the day is known.
  return { repairs: entries.map(({ at, root }) => Math.min(end, ageAt(at, root) ?? 0)), end, entries }
}
