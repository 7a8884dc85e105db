import type { Data } from '../events/index.ts'
import type { Projection, Told } from './timeline.ts'

/** One engine start to stop. */
export interface Run {
  readonly equipment: string
  readonly started: Told<'engine-started'>
  /** Null while it runs, or where the stop was never written. */
  stopped: Told<'engine-stopped'> | null
  readonly purpose: Data<'engine-started'>['purpose'] | undefined
}

/** Runs and starts of every engine, in order. */
export interface Runs {
  readonly runs: Run[]
  /** The run that has no stop yet, by engine. */
  readonly open: Map<string, Run>
}

/** Engine runs; a second start without a stop between begins a new run and leaves the first without its stop. */
export const runs: Projection<Runs> = {
  initial: () => ({ runs: [], open: new Map() }),
  on: {
    'engine-started': (state, entry) => {
      const run: Run = { equipment: entry.data.equipment, started: entry, stopped: null, purpose: entry.data.purpose }
      state.runs.push(run)
      state.open.set(entry.data.equipment, run)
    },
    'engine-stopped': (state, entry) => {
      const run = state.open.get(entry.data.equipment)
      if (!run) return
      run.stopped = entry
      state.open.delete(entry.data.equipment)
    },
  },
}

/** How often an engine was started after `since` and up to `until`, milliseconds. */
export const startsBetween = (from: Runs, equipment: string, since: number, until: number): number =>
  from.runs.filter((run) => run.equipment === equipment && run.started.at > since && run.started.at <= until).length
