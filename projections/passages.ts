import { convert } from '../events/units.ts'
import type { Projection, Told } from './timeline.ts'

/** One passage, berth to berth; either end may be missing in a hand-kept log. */
export interface Passage {
  readonly begun: Told<'passage-begun'> | null
  ended: Told<'passage-ended'> | null
}

/** The passages in order, and where she lies. */
export interface Passages {
  readonly passages: Passage[]
  /** The passage she is on, or null. */
  under: Passage | null
}

/** Passages; a second beginning without an end between leaves the first without its end. */
export const passages: Projection<Passages> = {
  initial: () => ({ passages: [], under: null }),
  on: {
    'passage-begun': (state, entry) => {
      const passage: Passage = { begun: entry, ended: null }
      state.passages.push(passage)
      state.under = passage
    },
    'passage-ended': (state, entry) => {
      if (state.under) {
        state.under.ended = entry
        state.under = null
      } else state.passages.push({ begun: null, ended: entry })
    },
  },
}

/** Nautical miles made on a passage: as written, else from the distance log; null where neither says. */
export function milesOf(passage: Passage): number | null {
  const made = passage.ended?.data.distance
  if (made) return convert(made.value, made.unit, '[nmi_i]')
  const before = passage.begun?.data.distanceLog
  const after = passage.ended?.data.distanceLog
  if (!before || !after) return null
  const miles = convert(after.value, after.unit, '[nmi_i]') - convert(before.value, before.unit, '[nmi_i]')
  return miles >= 0 ? miles : null
}

/** Nautical miles made between two moments, by the passages that ended in between, for a boat without a distance log that can be read. */
export function milesBetween(from: Passages, since: number, until: number): number {
  let miles = 0
  for (const passage of from.passages)
    if (passage.ended && passage.ended.at > since && passage.ended.at <= until) miles += milesOf(passage) ?? 0
  return miles
}
