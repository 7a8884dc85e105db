import { Temporal } from 'temporal-polyfill'
import type { Entry } from '../../events/index.ts'
import { countAt, curveOf } from '../meter-hours.ts'
import { meterOf, register } from '../register.ts'
import { type AsOf, fold, momentOf, type Timeline } from '../timeline.ts'
import { type Ask, asksOf } from './asks.ts'
import { causes, type SignKind } from './causes.ts'
import { type Chain, raisedAt, type Weighed } from './drive-state.ts'
import type { Drive } from './drives.ts'
import { type Episode, type Recording, recording, type Tipping } from './recording.ts'
import { nextOf, saysOf, strengthOf } from './words.ts'

/** A moment by ship's time and by the engine's hours, which are null where no meter counts them. */
export interface SignMoment {
  readonly occurredAt: string
  readonly engineHours: number | null
}

/** One entry that a sign rests on. */
export interface SignEvidence extends SignMoment {
  readonly entry: string
  readonly of: Weighed['of']
  /** What was read or graded. */
  readonly said: string
  /** Output and tension: the share of what was expected; null otherwise. */
  readonly share: number | null
  /** How far it speaks for the sign, in logarithms of the likelihood ratio; below nought, against it. */
  readonly weight: number
}

/** Something that drifts, or did. */
export interface Sign {
  readonly kind: SignKind
  /** The belt, or the alternator. */
  readonly equipment: string
  readonly state: 'standing' | 'past'
  /** Since when, by the evidence. */
  readonly onset: SignMoment
  /** The entry that raised it, and when that was written down: nothing later was known. */
  readonly raised: SignMoment & { readonly recordedAt: string; readonly entry: string }
  /** The entry with which it went: a service, better readings, an amendment; null while it stands. */
  readonly cleared: (SignMoment & { readonly recordedAt: string; readonly entry: string }) | null
  readonly strength: 'likely' | 'strong' | 'limit'
  readonly evidence: readonly SignEvidence[]
  readonly says: string
  readonly next: readonly string[]
}

/** What stands, what stood, and which readings are worth most now. */
export interface Signs {
  /** Standing ones first, then the past ones, the latest first. */
  readonly signs: readonly Sign[]
  readonly asks: readonly Ask[]
}

/** The hours of the night, ship's time, in which nothing is asked for. */
const night = { from: 21, until: 7 } as const

/** An entry that speaks for a sign at least this far is told of in its sentence. */
const telling = 0.3

/** Entries of no kind in particular, in the order in which they were written down, those of one moment together. */
export function inOrderOfRecording(entries: readonly Entry[]): Entry[][] {
  const timed = entries.map((entry) => ({ entry, at: momentOf(entry.recordedAt) })).sort((a, b) => a.at - b.at)
  const batches: Entry[][] = []
  let last = Number.NaN
  for (const { entry, at } of timed) {
    if (at === last) batches[batches.length - 1]!.push(entry)
    else batches.push([entry])
    last = at
  }
  return batches
}

const recorded = new WeakMap<readonly Entry[], Map<string, Recording>>()

/** The judgement over all entries of the book, made once for each past. */
export function recordingOf(entries: readonly Entry[], past: AsOf): Recording {
  let made = recorded.get(entries)
  if (!made) {
    made = new Map()
    recorded.set(entries, made)
  }
  const key = `${past.asOf ?? ''}/${past.asKnown ?? ''}`
  let judge = made.get(key)
  if (!judge) {
    judge = recording(past.asOf === undefined ? {} : { asOf: past.asOf })
    const known = past.asKnown ?? Number.POSITIVE_INFINITY
    for (const batch of inOrderOfRecording(entries)) if (momentOf(batch[0]!.recordedAt) <= known) judge.record(batch)
    if (made.size > 8) made.clear()
    made.set(key, judge)
  }
  return judge
}

/**
 * The signs of belts and charging, and what to read next. Each sign was raised by what had been written down by then and nothing else; engine
 * hours alone are by the hours curve as it is known now. A boat without belt and alternator has neither signs nor asks.
 * @param entries all entries of the book, in any order
 * @param from the fair log at the same past
 * @param now milliseconds: at night nothing is asked for
 */
export function signs(entries: readonly Entry[], from: Timeline, now: number, past: AsOf = {}): Signs {
  const judge = recordingOf(entries, past)
  const hour = Temporal.Instant.fromEpochMilliseconds(now).toZonedDateTimeISO(from.zoneAt(now)).hour
  const list = judge.episodes.map((episode) => ({ at: episode.raised.at, sign: signOf(from, episode) }))
  const rank = (sign: Sign) => (sign.state === 'past' ? 2 : sign.strength === 'limit' ? 0 : 1)
  return {
    signs: list.sort((a, b) => rank(a.sign) - rank(b.sign) || b.at - a.at).map(({ sign }) => sign),
    asks: asksOf(judge.drives(), hour >= night.from || hour < night.until),
  }
}

function signOf(from: Timeline, { drive, raised, cleared, standing, state }: Episode): Sign {
  const hoursAt = hoursOf(from, drive)
  const moment = ({ occurredAt, at }: { occurredAt: string; at: number }, root?: string): SignMoment => ({
    occurredAt,
    engineHours: hoursAt(at, root),
  })
  const tipping = (entry: Tipping) => ({
    ...moment(entry, entry.root),
    recordedAt: entry.recordedAt,
    entry: entry.root,
  })
  const evidence = listOf(state.weighed).filter(({ at }) => at >= standing.onset.at)
  const cause = causes.reduce(
    (best, { kind }, i) =>
      kind === standing.kind && (best < 0 || state.sums[i]!.value > state.sums[best]!.value) ? i : best,
    -1,
  )
  return {
    kind: standing.kind,
    equipment: (standing.kind === 'belt-slip' ? drive.belt : drive.alternator) ?? drive.name,
    state: cleared === null ? 'standing' : 'past',
    onset: moment(standing.onset),
    raised: tipping(raised),
    cleared: cleared && tipping(cleared),
    strength: strengthOf(standing, raisedAt[standing.kind]),
    evidence: evidence.map((one) => ({
      ...moment(one, one.root),
      entry: one.root,
      of: one.of,
      said: one.said,
      share: one.share === null ? null : Number(one.share.toFixed(3)),
      weight: Number(one.weights[cause]!.toFixed(2)),
    })),
    says: saysOf(
      standing,
      drive,
      evidence.filter(({ weights }) => weights[cause]! >= telling),
    ),
    next: nextOf(standing),
  }
}

/** Engine hours of a drive at a moment, to the tenth, by the hours curve; null where no meter counts them. */
export function hoursOf(from: Timeline, drive: Drive): (at: number, root?: string) => number | null {
  const meter = meterOf(fold(register, from), drive.belt ?? drive.alternator ?? drive.name, 'hours')
  if (!meter) return () => null
  const curve = curveOf(from, meter.handle)
  return (at, root) => {
    const count = countAt(curve, at, root)
    return count === null ? null : Math.round(count * 10) / 10
  }
}

/** A chain as a list, the first one first. */
function listOf<T>(chain: Chain<T> | null): T[] {
  const list: T[] = []
  for (let link = chain; link !== null; link = link.tail) list.push(link.head)
  return list.reverse()
}
