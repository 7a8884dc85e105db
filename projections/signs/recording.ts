import type { Entry } from '../../events/index.ts'
import { type Register, register } from '../register.ts'
import { type AsOf, isDay, momentOf, startOfDay, type Told, timeline } from '../timeline.ts'
import { type DriveState, driveState, observed, type Standing } from './drive-state.ts'
import { type Drive, drivesOf } from './drives.ts'
import { type Observation, observe } from './observation.ts'

/** What tips a judgement: an entry, by what it tells and when it was written down. */
export interface Tipping {
  readonly root: string
  readonly occurredAt: string
  readonly at: number
  readonly recordedAt: string
}

/** One judgement from when it was made to when it was withdrawn, in the order of recording. */
export interface Episode {
  readonly drive: Drive
  readonly raised: Tipping
  cleared: Tipping | null
  /** As it was judged last while it stood, and the state behind that. */
  standing: Standing
  state: DriveState
}

/** A drive as it is now judged. */
export interface Watched {
  readonly drive: Drive
  readonly state: DriveState
  /** What was observed of it, in the order in which it happened; `states[i]` is the state before the i-th observation. */
  readonly observations: readonly Observation[]
  readonly states: readonly DriveState[]
}

/** The judgement of all drives while entries are written down. */
export interface Recording {
  /**
   * Takes in what was written down at one moment, later than all that was taken in before; the order within does not matter.
   * Entries of kinds that say nothing of a drive are passed over.
   */
  record(written: readonly Entry[]): void
  readonly episodes: readonly Episode[]
  /** Every drive aboard, by what is known so far, with its state. */
  drives(): Watched[]
  /** Observations weighed so far: one for each entry and drive that it says something of, and again those behind one that came late. */
  readonly steps: number
}

const kept: ReadonlySet<string> = new Set([
  'book-set',
  'entry-struck',
  'equipment-fitted',
  'equipment-removed',
  'meter-fitted',
  'engine-started',
  'engine-stopped',
  'hours-read',
  'readings-taken',
  'check-made',
  'service-done',
])

/** Kinds by which the drives are known. */
const ofRegister: ReadonlySet<string> = new Set(['equipment-fitted', 'equipment-removed', 'meter-fitted'])

const setsZone = (entry: Entry): boolean => entry.type === 'book-set' && entry.data.zone !== undefined

/** An entry in its place: the order is that of the fair log. */
interface Placed {
  readonly told: Told
  /** When its first version was written down. */
  readonly written: number
}

const byPlace = (a: Placed, b: Placed): number =>
  a.told.at - b.told.at || a.written - b.written || (a.told.root < b.told.root ? -1 : a.told.root > b.told.root ? 1 : 0)

/** Where something would stand in a list in order. */
function placeOf(list: readonly Placed[], one: Placed): number {
  let low = 0
  let high = list.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (byPlace(list[middle]!, one) < 0) low = middle + 1
    else high = middle
  }
  return low
}

/** What is kept of one drive: what it has been told, in order, with the state after each. */
interface Watch {
  drive: Drive
  readonly placed: Placed[]
  readonly observations: Observation[]
  /** `states[i]` is the state before the i-th observation. */
  states: DriveState[]
  /** From this place on the states are out of date. */
  stale: number
  open: Episode | null
}

/**
 * A judgement that goes with the writing: it never knows more than what had been written down. A late, amended or struck entry judges its
 * drive anew from its place on; another pairing of belt and alternator judges them anew from the start.
 * @param past.asOf only what had happened by then
 */
export function recording(past: Pick<AsOf, 'asOf'> = {}): Recording {
  const families = new Map<string, Entry[]>()
  const rootOf = new Map<string, string>()
  const tellings = new Map<string, Placed[]>()
  /** The settings of ship's time with all that amends or strikes them. */
  let settings: Entry[] = []
  let { zoneAt } = timeline([])
  const days = new Map<string, number>()
  let watches: Watch[] = []
  let aboard: Register = register.initial()
  let lastMeters = ''
  const episodes: Episode[] = []
  let steps = 0

  const meterOfEngine = (meter: string, engine: string | null): boolean =>
    engine !== null && aboard.meters.get(meter)?.equipment === engine && aboard.meters.get(meter)?.counts === 'hours'

  return {
    episodes,
    get steps() {
      return steps
    },
    drives: () =>
      watches.map(({ drive, states, observations }) => ({
        drive,
        state: states[states.length - 1]!,
        observations,
        states,
      })),
    record(written) {
      const entries = written.filter(({ type }) => kept.has(type))
      if (entries.length === 0) return
      const touched = new Set<string>()
      for (const entry of entries) touched.add(join(entry))
      let registerChanged = false
      for (const entry of entries) {
        registerChanged ||= ofRegister.has(entry.type) || isStruckFitting(entry)
      }
      // Another zone aboard moves every entry that knows only its day.
      const zoned = [...touched].flatMap((root) => families.get(root)!).some(setsZone)
      if (zoned) {
        settings = [...families.values()].filter((family) => family.some(setsZone)).flat()
        zoneAt = timeline(settings, past).zoneAt
        for (const [root, family] of families) if (family.some(({ occurredAt }) => isDay(occurredAt))) touched.add(root)
      }
      const news: Placed[] = []
      for (const root of [...touched].sort()) {
        const before = tellings.get(root) ?? []
        const now = tell(root)
        tellings.set(root, now)
        for (const one of before) for (const watch of watches) take(watch, one)
        for (const one of now) {
          news.push(one)
          for (const watch of watches) put(watch, one)
        }
      }
      if (registerChanged) pairAnew()
      for (const watch of watches) refold(watch)
      for (const watch of watches) judge(watch, entries, news)
    },
  }

  /** Puts an entry into its family; two families that it joins become one. @returns the family's name */
  function join(entry: Entry): string {
    const own = rootOf.get(entry.id) ?? entry.id
    const of = entry.replaces === null ? own : (rootOf.get(entry.replaces) ?? entry.replaces)
    const members = [...(families.get(of) ?? []), ...(own === of ? [] : (families.get(own) ?? [])), entry]
    if (own !== of) {
      for (const one of tellings.get(own) ?? []) for (const watch of watches) take(watch, one)
      tellings.delete(own)
      families.delete(own)
    }
    families.set(of, members)
    rootOf.set(of, of)
    for (const { id } of members) rootOf.set(id, of)
    return of
  }

  function isStruckFitting(entry: Entry): boolean {
    const family = families.get(rootOf.get(entry.id)!)!
    return entry.type === 'entry-struck' && family.some(({ type }) => ofRegister.has(type))
  }

  /** The first moment of a day, by the clock aboard: the same rule as the fair log's. */
  function dayBegins(date: string): number {
    const zone = zoneAt(momentOf(`${date}T12:00:00Z`))
    const key = `${date} ${zone}`
    const there = days.get(key) ?? startOfDay(date, zone)
    days.set(key, there)
    return there
  }

  function tell(root: string): Placed[] {
    const family = families.get(root)!
    const only = family[0]!
    // The usual case, without the machinery: an entry that was never amended.
    if (family.length === 1 && only.replaces === null && only.type !== 'entry-struck' && !setsZone(only)) {
      const at = isDay(only.occurredAt) ? dayBegins(only.occurredAt) : momentOf(only.occurredAt)
      if (at > (past.asOf ?? Number.POSITIVE_INFINITY)) return []
      return [{ told: { ...only, root: only.id, at } as Told, written: momentOf(only.recordedAt) }]
    }
    const members = new Set(family.map(({ id }) => id))
    const fair = timeline([...family, ...settings.filter(({ id }) => !members.has(id))], past)
    return fair.all
      .filter(({ struck, versions }) => struck === null && versions.some(({ id }) => members.has(id)))
      .map(({ told, versions }) => ({ told, written: momentOf(versions[0]!.recordedAt) }))
  }

  /** What is aboard, by what the register's entries now tell. */
  function registerOf(): Register {
    const told = [...tellings.values()].flat().filter((one) => ofRegister.has(one.told.type))
    const state = register.initial()
    for (const { told: entry } of told.sort(byPlace)) {
      const handler = register.on[entry.type] as ((state: Register, entry: Told) => void) | undefined
      handler?.(state, entry)
    }
    return state
  }

  /** Pairs belts and alternators by the register as it now is; a drive that is as it was keeps its states. */
  function pairAnew(): void {
    aboard = registerOf()
    const before = new Map(watches.map((watch) => [watch.drive.name, watch]))
    const metersKnown = JSON.stringify([...aboard.meters.values()].map(({ handle, equipment }) => [handle, equipment]))
    watches = drivesOf(aboard).map((drive) => {
      const there = before.get(drive.name)
      before.delete(drive.name)
      const same = there && JSON.stringify(there.drive) === JSON.stringify(drive) && metersKnown === lastMeters
      if (same) return there
      const watch: Watch = {
        drive,
        placed: [],
        observations: [],
        states: [driveState(drive)],
        stale: 0,
        open: there?.open ?? null,
      }
      const all = [...tellings.values()].flat().sort(byPlace)
      for (const one of all) put(watch, one)
      return watch
    })
    lastMeters = metersKnown
    // What is no longer aboard is no longer judged.
    for (const { open } of before.values()) if (open !== null) open.cleared = open.raised
  }

  function put(watch: Watch, one: Placed): void {
    const seen = observe(one.told, watch.drive, meterOfEngine)
    if (seen === null) return
    const place = placeOf(watch.placed, one)
    watch.placed.splice(place, 0, one)
    watch.observations.splice(place, 0, seen)
    watch.stale = Math.min(watch.stale, place)
  }

  function take(watch: Watch, one: Placed): void {
    const place = placeOf(watch.placed, one)
    if (watch.placed[place]?.told.root !== one.told.root) return
    watch.placed.splice(place, 1)
    watch.observations.splice(place, 1)
    watch.stale = Math.min(watch.stale, place)
  }

  function refold(watch: Watch): void {
    const { observations, drive } = watch
    watch.states.length = Math.min(watch.states.length, watch.stale + 1)
    for (let i = watch.states.length - 1; i < observations.length; i++) {
      watch.states.push(observed(watch.states[i]!, observations[i]!, drive))
      steps++
    }
    watch.stale = observations.length
  }

  function judge(watch: Watch, entries: readonly Entry[], news: readonly Placed[]): void {
    const state = watch.states[watch.states.length - 1]!
    const { open } = watch
    const { standing } = state
    if (standing !== null && open !== null && open.standing.kind === standing.kind) {
      open.standing = standing
      open.state = state
      return
    }
    if (standing === null && open === null) return
    const tipping = tippingOf(watch, entries, news)
    if (open !== null) open.cleared = tipping
    watch.open = null
    if (standing === null) return
    watch.open = { drive: watch.drive, raised: tipping, cleared: null, standing, state }
    episodes.push(watch.open)
  }

  /** The entry that tipped it: of those written down at that moment one that says something of the drive, the last in the fair log. */
  function tippingOf(watch: Watch, entries: readonly Entry[], news: readonly Placed[]): Tipping {
    const ours = news
      .filter(({ told }) => observe(told, watch.drive, meterOfEngine) !== null)
      .sort(byPlace)
      .at(-1)?.told
    const [first] = [...entries].sort((a, b) => (a.id < b.id ? -1 : 1))
    const entry = ours ?? first!
    return {
      root: rootOf.get(entry.id) ?? entry.id,
      occurredAt: entry.occurredAt,
      at: ours?.at ?? momentOf(first!.recordedAt),
      recordedAt: first!.recordedAt,
    }
  }
}
