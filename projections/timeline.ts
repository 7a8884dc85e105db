import { Temporal } from 'temporal-polyfill'
import type { Entry, EntryOf, EntryType } from '../events/index.ts'

/**
 * The fair log: what happened, in the order in which it happened, with amendments and strikes applied.
 * The only code that knows about lateness, amendments and clocks; projections fold over `told` and need not.
 */

/** An entry as the fair log tells it: the version that holds, under the id and at the time by which it is known. */
export type Told<T extends EntryType = EntryType> = EntryOf<T> & {
  /** Id of the first version: what other entries refer to; it never changes. */
  readonly root: string
  /** When it happened, milliseconds since 1970 UTC; a day alone counts from its first moment in ship's time. */
  readonly at: number
}

/** An entry with all that was done to it. */
export interface FairEntry {
  readonly root: string
  readonly at: number
  /** The version that holds, struck or not. */
  readonly told: Told
  /** All versions on the branch that holds, the first one first; one if it was never amended. */
  readonly versions: readonly Entry[]
  /** The strike that holds, if it is struck. */
  readonly struck: EntryOf<'entry-struck'> | null
  /** The amendments and strikes that contradict each other, when copies of the book were brought together; else empty. */
  readonly conflict: readonly Entry[]
  /** Written down this many milliseconds after it happened; a day alone is late from the end of the day after. */
  readonly lateBy: number
}

/** Something about the amendments that a person should look at. */
export interface TimelineProblem {
  readonly entry: Entry
  readonly problem: string
}

/** The fair log at some moment. */
export interface Timeline {
  /** What holds, in order: the input of every projection. */
  readonly told: readonly Told[]
  /** What holds and what is struck, in order. */
  readonly all: readonly FairEntry[]
  readonly problems: readonly TimelineProblem[]
  /** By root id. */
  find(root: string): FairEntry | undefined
  /** The fair entry to which a version or a strike belongs. */
  rootOf(id: string): string | undefined
  /** Ship's zone at a moment, as known in this timeline. */
  zoneAt(at: number): string
}

/** Which past is asked for. */
export interface AsOf {
  /** "As it was": only what had happened by then (milliseconds). */
  readonly asOf?: number | undefined
  /** "As we knew it": only what had been written down by then (milliseconds). */
  readonly asKnown?: number | undefined
}

const strike = 'entry-struck'
const day = 86_400_000

/** Milliseconds of an RFC 3339 time with offset. */
export const momentOf = (text: string): number => Date.parse(text)

/** Whether an `occurredAt` knows only the day. */
export const isDay = (occurredAt: string): boolean => occurredAt.length === 10

/** The first moment of a calendar day in a zone, milliseconds. */
export const startOfDay = (date: string, zone: string): number =>
  Temporal.PlainDate.from(date).toZonedDateTime({ timeZone: zone }).epochMilliseconds

/**
 * The fair log of some entries. The order of `entries` does not matter: any order gives the same timeline.
 *
 * Order: by moment; at the same moment by when the first version was written, then by its id. Amendments take the place in the
 * order that the amended time gives them. An entry with two amendments, or with an amendment and a strike, made in copies of the
 * book, holds the one written last (then by id) and shows the conflict; an amendment that was itself struck gives way to one that was not.
 */
export function timeline(entries: readonly Entry[], past: AsOf = {}): Timeline {
  const { asOf = Number.POSITIVE_INFINITY, asKnown = Number.POSITIVE_INFINITY } = past
  const known =
    asKnown === Number.POSITIVE_INFINITY ? entries : entries.filter((entry) => momentOf(entry.recordedAt) <= asKnown)

  const byId = new Map<string, Entry>()
  for (const entry of known) byId.set(entry.id, entry)
  const replacers = new Map<string, Entry[]>()
  const problems: TimelineProblem[] = []
  const roots: Entry[] = []
  for (const entry of known) {
    if (entry.replaces === null) roots.push(entry)
    else {
      const target = byId.get(entry.replaces)
      if (!target)
        problems.push({
          entry,
          problem: `It ${entry.type === strike ? 'strikes' : 'amends'} an entry that this book does not have (${entry.replaces}).`,
        })
      else if (target.type === strike && entry.type !== strike)
        problems.push({ entry, problem: 'It amends a strike; a strike can only be struck.' })
      else if (entry.type !== strike && entry.type !== target.type)
        problems.push({
          entry,
          problem: `It amends a "${target.type}" but is a "${entry.type}"; an amendment is of the same kind.`,
        })
      else {
        const list = replacers.get(entry.replaces)
        if (list) list.push(entry)
        else replacers.set(entry.replaces, [entry])
        continue
      }
      // An amendment without its target still says something that happened; a strike without one says nothing, and can be struck.
      roots.push(entry)
    }
  }
  const rootIds = new Map<string, string>()
  const standings = new Map<string, Standing>()
  for (const root of roots) settle(root)

  const zones = zonesOf(roots, standingOf)
  const zoneAt = (at: number): string => {
    let zone = zones[0]?.zone ?? 'UTC'
    for (const span of zones) if (span.at <= at) zone = span.zone
    return zone
  }
  // A day begins by the clock aboard: the zone in force at noon UTC of that day, near enough to choose the zone by.
  const momentAboard = (occurredAt: string): number =>
    isDay(occurredAt) ? startOfDay(occurredAt, zoneAt(Date.parse(`${occurredAt}T12:00:00Z`))) : momentOf(occurredAt)

  const all: FairEntry[] = []
  for (const root of roots) {
    if (root.type === strike) continue
    const { versions, struck, conflict } = standingOf(root)
    const tip = versions[versions.length - 1]!
    const at = momentAboard(tip.occurredAt)
    if (at > asOf) continue
    const told = { ...tip, root: root.id, at } as Told
    const written = momentOf(root.recordedAt)
    const lateBy = Math.max(0, written - at - (isDay(tip.occurredAt) ? 2 * day : 0))
    all.push({ root: root.id, at, told, versions, struck, conflict, lateBy })
  }
  for (const entry of known)
    if (!rootIds.has(entry.id))
      problems.push({ entry, problem: 'It belongs to a ring of entries that replace each other; none of them holds.' })

  const keys = new Map<FairEntry, number>()
  for (const fair of all) keys.set(fair, momentOf(fair.versions[0]!.recordedAt))
  all.sort((a, b) => a.at - b.at || keys.get(a)! - keys.get(b)! || (a.root < b.root ? -1 : a.root > b.root ? 1 : 0))
  problems.sort((a, b) => (a.entry.id < b.entry.id ? -1 : 1))
  const byRoot = new Map(all.map((fair) => [fair.root, fair]))

  return {
    told: all.filter((fair) => fair.struck === null).map((fair) => fair.told),
    all,
    problems,
    find: (root) => byRoot.get(root),
    rootOf: (id) => rootIds.get(id),
    zoneAt,
  }

  /** Judges an entry and all that replaces it, the outermost first: no chain is too long, and a ring is never reached from a root. */
  function settle(root: Entry): void {
    const family = [root]
    for (let i = 0; i < family.length; i++) {
      rootIds.set(family[i]!.id, root.id)
      for (const next of replacers.get(family[i]!.id) ?? []) family.push(next)
    }
    for (const entry of family.reverse()) standings.set(entry.id, judge(entry))
  }

  /** What became of an entry by what replaces it directly; those have been judged already. */
  function judge(entry: Entry): Standing {
    const held = (replacers.get(entry.id) ?? []).map((next) => ({ next, ...standings.get(next.id)! })).sort(lastFirst)
    // A strike holds unless a strike that holds strikes it.
    const strikes = held.filter(({ next, struck }) => next.type === strike && struck === null)
    const amendments = held.filter(({ next }) => next.type !== strike)
    const open = amendments.filter(({ struck }) => struck === null)
    const rivals = [...open, ...strikes].sort(lastFirst)
    // Where every amendment is struck and the entry itself is not, the last of them is what was struck.
    const first = rivals[0] ?? amendments[0]
    if (first === undefined) return { branch: null, struck: null, conflict: [] }
    const conflict = open.length > 0 && rivals.length > 1 ? rivals.map(({ next }) => next) : null
    if (first.next.type === strike)
      return { branch: null, struck: first.next as EntryOf<'entry-struck'>, conflict: conflict ?? [] }
    return { branch: first.next, struck: first.struck, conflict: conflict ?? first.conflict }
  }

  function standingOf(root: Entry): { versions: Entry[]; struck: Standing['struck']; conflict: readonly Entry[] } {
    const { struck, conflict } = standings.get(root.id)!
    const versions: Entry[] = []
    for (let next: Entry | null = root; next !== null; next = standings.get(next.id)!.branch) versions.push(next)
    return { versions, struck, conflict }
  }
}

/** What became of one version of an entry: the amendment that holds in its place, if any, and how that stands. */
interface Standing {
  readonly branch: Entry | null
  readonly struck: EntryOf<'entry-struck'> | null
  readonly conflict: readonly Entry[]
}

const lastFirst = (a: { next: Entry }, b: { next: Entry }): number =>
  momentOf(b.next.recordedAt) - momentOf(a.next.recordedAt) || (a.next.id < b.next.id ? 1 : -1)

/** The spans of ship's time, by the settings that hold; a setting dated by the day alone counts in the zone that it sets. */
function zonesOf(
  roots: readonly Entry[],
  standingOf: (root: Entry) => { versions: Entry[]; struck: EntryOf<'entry-struck'> | null },
): { at: number; zone: string }[] {
  const spans: { at: number; zone: string; written: number; id: string }[] = []
  for (const root of roots) {
    if (root.type !== 'book-set') continue
    const { versions, struck } = standingOf(root)
    const tip = versions[versions.length - 1] as EntryOf<'book-set'>
    const zone = tip.data.zone
    if (struck || zone === undefined || !isZone(zone)) continue
    const at = isDay(tip.occurredAt) ? startOfDay(tip.occurredAt, zone) : momentOf(tip.occurredAt)
    spans.push({ at, zone, written: momentOf(root.recordedAt), id: root.id })
  }
  return spans.sort((a, b) => a.at - b.at || a.written - b.written || (a.id < b.id ? -1 : 1))
}

/** Whether a text names a time zone that can be used. */
export function isZone(zone: string): boolean {
  try {
    Temporal.PlainDate.from('2000-01-01').toZonedDateTime({ timeZone: zone })
    return true
  } catch {
    return false
  }
}

/** A pure fold: what a question starts from, and what each kind of entry adds. The keys of `on` are what it listens to. */
export interface Projection<S> {
  readonly initial: () => S
  /** A handler may change the state that it is handed, and nothing else. */
  readonly on: { readonly [T in EntryType]?: (state: S, entry: Told<T>) => void }
}

const folded = new WeakMap<Timeline, Map<Projection<unknown>, unknown>>()

/** The state of a projection over a timeline, folded once for each timeline. Read it only. */
export function fold<S>(projection: Projection<S>, from: Timeline): S {
  let states = folded.get(from)
  if (!states) {
    states = new Map()
    folded.set(from, states)
  }
  const there = states.get(projection as Projection<unknown>)
  if (there !== undefined) return there as S
  const state = projection.initial()
  for (const entry of from.told) {
    const handler = projection.on[entry.type] as ((state: S, entry: Told) => void) | undefined
    handler?.(state, entry)
  }
  states.set(projection as Projection<unknown>, state)
  return state
}
