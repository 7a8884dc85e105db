import type { Projection, Told } from './timeline.ts'

/** What was left shut, out, drained or isolated and not restored since, by equipment, the oldest first. */
export type Left = Map<string, Told<'left-as'>[]>

/** States that must not be forgotten before the key is turned; restoring a piece of equipment ends all of its own. */
export const left: Projection<Left> = {
  initial: () => new Map(),
  on: {
    'left-as': (state, entry) => {
      const there = state.get(entry.data.equipment)
      if (there) there.push(entry)
      else state.set(entry.data.equipment, [entry])
    },
    restored: (state, entry) => {
      state.delete(entry.data.equipment)
    },
  },
}

/** Everything that is still as it was left, the oldest first. */
export const leftNow = (state: Left): Told<'left-as'>[] => [...state.values()].flat().sort((a, b) => a.at - b.at)
