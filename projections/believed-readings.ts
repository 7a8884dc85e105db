/**
 * Which readings of one meter to believe, between one change of the meter and the next: the longest story that fits together. Pure
 * arithmetic on readings in order; what they count and where they come from is the caller's business.
 */

/** One reading as the meter showed it. */
export interface Mark {
  /** The earliest moment at which it can have been read, milliseconds. */
  readonly at: number
  /** The latest; the same as `at` unless only the day is known. */
  readonly until: number
  /** Id of the entry. */
  readonly root: string
  readonly reading: number
  /** What it costs to disbelieve it: 1 for an ordinary reading. */
  readonly weight: number
}

/** What a meter can do. */
export interface MeterRules {
  /** The most that it can count in an hour of the clock. */
  readonly rate: number
  /** What a clock aboard may be wrong by, in the meter's own count. */
  readonly slack: number
  /** The reading at which it begins again from nought; null if it never does. */
  readonly rollsOverAt: number | null
}

/** How much she is usually used from one reading to the next: what all but a tenth of the steps stay below. */
export interface Usual {
  readonly gain: number
  readonly ms: number
}

/** A reading that is believed. */
export interface Believed {
  readonly mark: Mark
  /** Counted since the believed reading before; null where the meter cannot say: the first, and after a step that nobody wrote down. */
  readonly gain: number | null
}

/** A step in the readings costs more than two doubted ones and less than three: three that agree outweigh what went before. */
const stepCost = 2.5

/** A jump out of all proportion costs more than one doubted reading and less than two: it waits for a second reading to bear it out. */
const jumpCost = 1.5

/** So many steps must be known before one can be called out of proportion, and by how much it must exceed the usual. */
const stepsNeeded = 20
const outOfProportion = 8

/** A meter seldom rolls over: between two stories that leave out as much, the one without wins. */
const rollCost = 0.5

/** How many readings back the believed one before may lie; beyond it a run of doubted readings is taken for a step. */
const lookBack = 80

const hourMs = 3_600_000

/** To how much a reading was read off: to whole numbers, or to a tenth. */
const coarseness = (reading: number): number => (Number.isInteger(reading) ? 1 : 0.1)

/**
 * The most that a meter can have counted from one reading to a later one: by the clock, with what rounding adds at both ends.
 */
export function mostBetween(
  before: Pick<Mark, 'at' | 'reading'>,
  after: Pick<Mark, 'until' | 'reading'>,
  rules: MeterRules,
): number {
  const ms = Math.max(0, after.until - before.at)
  return (ms / hourMs) * rules.rate + rules.slack + (coarseness(before.reading) + coarseness(after.reading)) / 2
}

/** What was counted from one reading to a later one, or null if the two cannot both be right. */
export function stepBetween(
  before: Pick<Mark, 'at' | 'reading'>,
  after: Pick<Mark, 'until' | 'reading'>,
  rules: MeterRules,
): number | null {
  const most = mostBetween(before, after, rules)
  const step = after.reading - before.reading
  // Who reads a meter off to whole hours after somebody who read the tenths seems to go back a little.
  const roundedBack = coarseness(before.reading) === coarseness(after.reading) ? 0 : -1
  if (step >= 0 || step > roundedBack) return step <= most ? step : null
  if (rules.rollsOverAt === null) return null
  const rolled = step + rules.rollsOverAt
  return rolled >= 0 && rolled <= most ? rolled : null
}

/** What is usual from one believed reading to the next; null while too few are known. */
export function usualOf(believed: readonly Believed[]): Usual | null {
  const steps = believed.flatMap(({ mark, gain }, index) =>
    gain === null || gain <= 0 ? [] : [{ gain, ms: mark.at - believed[index - 1]!.mark.at }],
  )
  if (steps.length < stepsNeeded) return null
  const nineTenths = (values: number[]) => values.sort((a, b) => a - b)[Math.floor(values.length * 0.9)]!
  return { gain: nineTenths(steps.map((step) => step.gain)), ms: nineTenths(steps.map((step) => step.ms)) }
}

/**
 * Whether so much was never counted in such a time: beyond eight times the usual, in proportion to the time where that is longer than usual.
 * @param usual null: nothing is out of proportion
 */
export const isJump = (gain: number, ms: number, usual: Usual | null): boolean =>
  usual !== null && gain > outOfProportion * usual.gain * Math.max(1, ms / Math.max(1, usual.ms))

/** Whether reading `a` lies above `b`, on a meter that may have rolled over between the two. */
const above = (a: number, b: number, rollsOverAt: number | null): boolean =>
  rollsOverAt !== null && Math.abs(a - b) > rollsOverAt / 2 ? a < b : a > b

/**
 * Readings in the order in which they must have been taken. One of which only the day is known stands behind the last reading of that day
 * that is not above it, and behind the last use of that day that ended before one that is: meters are read after running.
 * @param marks in any order
 * @param lastUse when she was last used within a span of time, milliseconds; null if nothing says
 */
export function inOrder(
  marks: readonly Mark[],
  rollsOverAt: number | null,
  lastUse: (from: number, until: number) => number | null,
): Mark[] {
  const order = (a: Mark, b: Mark) =>
    a.at - b.at ||
    (a.reading === b.reading ? (a.root < b.root ? -1 : 1) : above(a.reading, b.reading, rollsOverAt) ? 1 : -1)
  const sorted = [...marks].sort(order)
  if (!sorted.some((mark) => mark.until > mark.at)) return sorted
  return sorted
    .map((mark, index) => {
      if (mark.until === mark.at) return mark
      const sameDay: Mark[] = []
      for (let i = index + 1; i < sorted.length && sorted[i]!.at < mark.until; i++)
        if (sorted[i]!.until === sorted[i]!.at) sameDay.push(sorted[i]!)
      const behind = sameDay.findLastIndex((other) => !above(other.reading, mark.reading, rollsOverAt))
      const at = sameDay[behind]?.at ?? mark.at
      const next = sameDay[behind + 1]?.at ?? mark.until
      const used = lastUse(at, next)
      return used === null || used <= at ? { ...mark, at } : { ...mark, at: used }
    })
    .sort(order)
}

/**
 * Believes the readings that agree best: the chain that never runs backwards (but for roll-over) nor faster than the clock, leaving out as
 * little weight as it can; between two that are as good, the one in which she ran less. A step in either direction that three readings agree
 * on is believed too: then the meter was changed and nobody wrote it down. A jump out of all proportion to her usual use is believed once a
 * second reading agrees.
 * Dynamic programme over the readings; the work grows with their number times `lookBack`.
 * @param marks in order; none gives none
 * @param usual null: jumps are not judged
 */
export function believe(
  marks: readonly Mark[],
  rules: MeterRules,
  usual: Usual | null,
): { believed: Believed[]; doubted: Mark[] } {
  const n = marks.length
  const weightBefore = new Float64Array(n + 1)
  for (let i = 0; i < n; i++) weightBefore[i + 1] = weightBefore[i]! + marks[i]!.weight
  // Of the best chain that ends with each reading: its cost, the reading before, what was counted since that, and in all.
  const cost = new Float64Array(n)
  const from = new Int32Array(n).fill(-1)
  const gain: (number | null)[] = new Array(n).fill(null)
  const count = new Float64Array(n)

  for (let j = 0; j < n; j++) {
    const mark = marks[j]!
    cost[j] = weightBefore[j]!
    count[j] = mark.reading
    for (let i = j - 1; i >= Math.max(0, j - lookBack); i--) {
      const skipped = weightBefore[j]! - weightBefore[i + 1]!
      if (skipped >= cost[j]!) break
      const before = marks[i]!
      const step = stepBetween(before, mark, rules)
      const total = cost[i]! + skipped + costOf(step, before, mark, usual)
      if (total >= cost[j]! - 1e-9) continue
      cost[j] = total
      from[j] = i
      gain[j] = step
      count[j] = count[i]! + (step ?? 0)
    }
  }

  let end = -1
  let least = Number.POSITIVE_INFINITY
  for (let j = n - 1; j >= 0; j--) {
    const total = cost[j]! + weightBefore[n]! - weightBefore[j + 1]!
    if (total > least + 1e-9 || (total > least - 1e-9 && count[j]! >= count[end]!)) continue
    least = total
    end = j
  }
  const believed: Believed[] = []
  const kept = new Set<number>()
  for (let j = end; j >= 0; j = from[j]!) {
    believed.push({ mark: marks[j]!, gain: gain[j]! })
    kept.add(j)
  }
  return { believed: believed.reverse(), doubted: marks.filter((_, j) => !kept.has(j)) }
}

function costOf(step: number | null, before: Mark, after: Mark, usual: Usual | null): number {
  if (step === null) return stepCost
  const rolled = step > after.reading - before.reading + 1e-6
  return (rolled ? rollCost : 0) + (isJump(step, after.until - before.at, usual) ? jumpCost : 0)
}
