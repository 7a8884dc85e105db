import type { Entry } from '../../../events/index.ts'
import { asksOf } from '../../../projections/signs/asks.ts'
import type { SignKind } from '../../../projections/signs/causes.ts'
import { type Recording, recording } from '../../../projections/signs/recording.ts'
import { type FaultKind, isBeltFault } from './faults.ts'
import { type BoatTruth, madeUpBoat, type Prompter } from './made-up-boat.ts'

/** What became of one boat in the trial. */
export interface Trial {
  readonly truth: BoatTruth
  /** Signs raised, in order, with the moment at which the log was written that raised them. */
  readonly raised: readonly { kind: SignKind; at: number; limit: boolean }[]
  readonly steps: number
  readonly entries: readonly Entry[]
}

const atNight = (at: number): boolean => {
  const hour = new Date(at).getUTCHours()
  return hour < 7 || hour >= 21
}

/** Keeps a boat's log, judged entry by entry as it is written down; a prompted owner is told what is asked for. */
export function tryBoat(start: number, fault: FaultKind | null, prompted: boolean): Trial {
  const judge = recording()
  const prompter: Prompter = {
    record: (entry) => judge.record([entry]),
    wanted: (now) =>
      prompted
        ? asksOf(judge.drives(), atNight(now)).map(({ what, why }) =>
            /load switched on/.test(why) ? 'output from low' : what,
          )
        : [],
  }
  const { truth, entries } = madeUpBoat(start, { fault, prompter })
  return { truth, raised: raisedIn(judge), steps: judge.steps, entries }
}

const raisedIn = (judge: Recording): Trial['raised'] =>
  judge.episodes.map(({ standing, raised }) => ({
    kind: standing.kind,
    at: Date.parse(raised.recordedAt),
    limit: standing.limit,
  }))

/** How one faulty boat did. */
export interface Found {
  /** A sign of any kind came after the fault began and before the belt failed or the record ended; of the right kind. */
  readonly any: boolean
  readonly right: boolean
  /** The first sign after the fault began was of the right kind. */
  readonly firstRight: boolean
  /** Engine hours from when output had fallen by 5 % until the first sign; below nought where it came before. Null if there is none. */
  readonly delay: number | null
  /** Bulk readings after the fault began. */
  readonly bulk: number
}

/** How one faulty boat did. */
export function foundIn({ truth, raised }: Trial): Found {
  const { fault, began, failed, fallen } = truth
  if (fault === null || began === null) return { any: false, right: false, firstRight: false, delay: null, bulk: 0 }
  const kind: SignKind = isBeltFault(fault.kind) ? 'belt-slip' : 'charging-low'
  const inTime = raised.filter(({ at }) => at >= began.at && at < (failed?.at ?? Number.POSITIVE_INFINITY))
  const first = inTime[0]
  return {
    any: inTime.length > 0,
    right: inTime.some((one) => one.kind === kind),
    firstRight: first?.kind === kind,
    delay: first && fallen ? truth.hoursAt(first.at) - fallen.hours : null,
    bulk: truth.bulkReadings.filter((at) => at >= began.at).length,
  }
}

/** False alarms of one boat: all signs of a healthy one, those before the fault of another; and the boat-seasons in which they came. */
export function falseAlarms({ truth, raised }: Trial): { seasons: number; alarms: Record<SignKind, number> } {
  const until = truth.began?.at ?? Number.POSITIVE_INFINITY
  const early = raised.filter(({ at }) => at < until)
  const count = (kind: SignKind) => early.filter((one) => one.kind === kind).length
  const hours = truth.hoursAt(Number.POSITIVE_INFINITY)
  // Up to the fault a boat has sailed the same share of her seasons as of her hours.
  const seasons = truth.fault === null ? truth.seasons : truth.began ? (truth.seasons * truth.began.hours) / hours : 0
  return { seasons, alarms: { 'belt-slip': count('belt-slip'), 'charging-low': count('charging-low') } }
}
