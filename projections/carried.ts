import { isDay, type Projection, type Told } from './timeline.ts'

/** A defect and what became of it. */
export interface Defect {
  readonly found: Told<'defect-found'>
  /** The permanent repair or the clearance that ended it; null while it is open. */
  ended: Told<'repair-made'> | Told<'defect-cleared'> | null
}

/** A temporary repair: a get-you-home mend that still carries its defect. */
export interface TemporaryRepair {
  readonly made: Told<'repair-made'>
  /** Root id of the defect, where it names one. */
  readonly defect: string | null
  ended: Told<'repair-made'> | Told<'defect-cleared'> | null
}

/** What she carries. */
export interface Carried {
  readonly defects: Map<string, Defect>
  readonly repairs: Map<string, TemporaryRepair>
  /** What ended a defect that has not been told yet: dated by the day alone, an end can come before the hour of its beginning. */
  readonly ends: Map<string, Told<'repair-made'> | Told<'defect-cleared'>>
}

/** A calendar day lasts 25 hours when the clocks go back. */
const longestDay = 25 * 3_600_000

/**
 * Defects and temporary repairs, by root id. A permanent repair or a clearance ends the one that it names, and with a defect the temporary
 * repairs that mend it; with a temporary repair the defect behind it. Two temporary repairs of one defect: the later one replaces the first.
 */
export const carried: Projection<Carried> = {
  initial: () => ({ defects: new Map(), repairs: new Map(), ends: new Map() }),
  on: {
    'defect-found': (state, entry) => {
      state.defects.set(entry.root, { found: entry, ended: state.ends.get(entry.root) ?? null })
    },
    'repair-made': (state, entry) => {
      const { kind, mends } = entry.data
      if (kind === 'permanent') {
        if (mends !== undefined) end(state, mends, entry)
        return
      }
      const before = mends === undefined ? undefined : state.repairs.get(mends)
      const defect = before ? before.defect : (mends ?? null)
      for (const repair of state.repairs.values())
        if (repair.ended === null && (repair === before || (defect !== null && repair.defect === defect)))
          repair.ended = entry
      state.repairs.set(entry.root, { made: entry, defect, ended: null })
      const ended = state.ends.get(entry.root) ?? endedThatDay(state, defect, entry)
      if (ended) end(state, entry.root, ended)
    },
    'defect-cleared': (state, entry) => end(state, entry.data.defect, entry),
  },
}

/** An end of which only the day is known also ends a temporary repair made on that day. */
function endedThatDay(state: Carried, defect: string | null, made: Told<'repair-made'>) {
  const by = defect === null ? null : state.defects.get(defect)?.ended
  return by && isDay(by.occurredAt) && made.at < by.at + longestDay ? by : null
}

function end(state: Carried, root: string, by: Told<'repair-made'> | Told<'defect-cleared'>): void {
  const repair = state.repairs.get(root)
  if (repair) repair.ended ??= by
  const defect = repair ? repair.defect : root
  if (defect === null) return
  const found = state.defects.get(defect)
  if (found) found.ended ??= by
  else if (!repair) state.ends.set(root, by)
  for (const one of state.repairs.values()) if (one.defect === defect) one.ended ??= by
}

/** Temporary repairs that are still relied on, the oldest first. */
export const temporaryRepairs = (state: Carried): TemporaryRepair[] =>
  [...state.repairs.values()].filter((repair) => repair.ended === null)

/** Defects that are open and that no temporary repair covers, the oldest first. */
export const openDefects = (state: Carried): Defect[] =>
  [...state.defects.values()].filter(
    (defect) => defect.ended === null && !temporaryRepairs(state).some((repair) => repair.defect === defect.found.root),
  )
