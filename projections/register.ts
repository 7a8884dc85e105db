import type { Data } from '../events/index.ts'
import { type EquipmentKind, equipmentKinds } from '../events/works.ts'
import type { Projection, Told } from './timeline.ts'

/** One span during which the thing under a handle was the same thing. */
export interface Life {
  readonly fitted: Told<'equipment-fitted'>
  removed: Told<'equipment-removed'> | null
}

/** A piece of equipment: the handle is the place it has aboard, its lives are the things that have been there. */
export interface Equipment {
  readonly handle: string
  name: string
  kind: EquipmentKind
  /** What was said of it when it was last fitted. */
  data: Data<'equipment-fitted'>
  readonly lives: Life[]
  /** It has been taken out and nothing was fitted in its place. */
  removed: boolean
}

/** A meter and what it counts. */
export interface Meter {
  readonly handle: string
  name: string
  equipment: string
  counts: 'hours' | 'miles' | 'cycles'
  kind: Data<'meter-fitted'>['kind']
  readonly fitted: Told<'meter-fitted'>
}

/** An upkeep task as it was last set. */
export interface Task {
  readonly handle: string
  data: Data<'upkeep-set'>
  /** First and last time it was set. */
  readonly since: Told<'upkeep-set'>
  set: Told<'upkeep-set'>
  retired: Told<'upkeep-retired'> | null
}

/** What is aboard, what counts, what must be done. */
export interface Register {
  readonly equipment: Map<string, Equipment>
  readonly meters: Map<string, Meter>
  readonly tasks: Map<string, Task>
}

/** The register of the boat; an empty book has an empty one. */
export const register: Projection<Register> = {
  initial: () => ({ equipment: new Map(), meters: new Map(), tasks: new Map() }),
  on: {
    'equipment-fitted': (state, entry) => {
      const { data } = entry
      const there = state.equipment.get(data.equipment)
      const life: Life = { fitted: entry, removed: null }
      if (there) {
        there.name = data.name
        there.kind = data.kind
        there.data = data
        there.removed = false
        there.lives.push(life)
      } else
        state.equipment.set(data.equipment, {
          handle: data.equipment,
          name: data.name,
          kind: data.kind,
          data,
          lives: [life],
          removed: false,
        })
    },
    'equipment-removed': (state, entry) => {
      const there = state.equipment.get(entry.data.equipment)
      if (!there) return
      const { lives } = there
      const present = lives[lives.length - 1]!
      const before = lives[lives.length - 2]
      // Replaced at one moment, or on one day of which no time is known: what came out is the one before, in whichever order it was written.
      const out = before?.removed === null && present.fitted.at === entry.at ? before : present
      out.removed ??= entry
      there.removed = present.removed !== null
    },
    'meter-fitted': (state, entry) => {
      const { meter, name, equipment, counts, kind } = entry.data
      const there = state.meters.get(meter)
      if (there) Object.assign(there, { name, equipment, counts, kind })
      else state.meters.set(meter, { handle: meter, name, equipment, counts, kind, fitted: entry })
    },
    'meter-replaced': (state, entry) => {
      const there = state.meters.get(entry.data.meter)
      if (there && entry.data.kind) there.kind = entry.data.kind
    },
    'upkeep-set': (state, entry) => {
      const there = state.tasks.get(entry.data.task)
      if (there) {
        there.data = entry.data
        there.set = entry
        there.retired = null
      } else
        state.tasks.set(entry.data.task, {
          handle: entry.data.task,
          data: entry.data,
          since: entry,
          set: entry,
          retired: null,
        })
    },
    'upkeep-retired': (state, entry) => {
      const there = state.tasks.get(entry.data.task)
      if (there) there.retired = entry
    },
  },
}

/** The name of what a handle stands for; a handle that the book does not know is its own name. */
export function nameOf(from: Register, refers: 'equipment' | 'meter' | 'task', handle: string): string {
  if (refers === 'equipment') return from.equipment.get(handle)?.name ?? handle
  if (refers === 'meter') return from.meters.get(handle)?.name ?? handle
  return from.tasks.get(handle)?.data.name ?? handle
}

/** The chain from a piece of equipment to what it is part of or runs with, itself first; a ring is walked once. */
export function lineage(from: Register, handle: string): string[] {
  const walked: string[] = []
  let next: string | undefined = handle
  while (next !== undefined && !walked.includes(next)) {
    walked.push(next)
    const data: Data<'equipment-fitted'> | undefined = from.equipment.get(next)?.data
    next = data?.drivenBy ?? data?.partOf
  }
  return walked
}

/** The meter of that count on which equipment runs: its own, else that of what it is part of; undefined if there is none. */
export function meterOf(from: Register, handle: string, counts: Meter['counts'] = 'hours'): Meter | undefined {
  for (const one of lineage(from, handle))
    for (const meter of from.meters.values()) if (meter.equipment === one && meter.counts === counts) return meter
  return undefined
}

/** The meter that counts her miles: the first distance log that was fitted; undefined if there is none. */
export const distanceLog = (from: Register): Meter | undefined =>
  [...from.meters.values()].find((meter) => meter.counts === 'miles')

const order = (one: Equipment): number => equipmentKinds.indexOf(one.kind)

/** Equipment in the order of a tree, by kind as one would list a boat: each followed by its parts, `depth` deep. */
export function equipmentTree(from: Register): { equipment: Equipment; depth: number }[] {
  const parts = new Map<string | undefined, Equipment[]>()
  for (const one of from.equipment.values()) {
    const parent =
      one.data.partOf !== undefined && from.equipment.has(one.data.partOf) && one.data.partOf !== one.handle
        ? one.data.partOf
        : undefined
    parts.set(parent, [...(parts.get(parent) ?? []), one])
  }
  const rows: { equipment: Equipment; depth: number }[] = []
  for (const list of parts.values()) list.sort((a, b) => order(a) - order(b))
  const seen = new Set<string>()
  const walk = (parent: string | undefined, depth: number): void => {
    for (const one of parts.get(parent) ?? []) {
      if (seen.has(one.handle)) continue
      seen.add(one.handle)
      rows.push({ equipment: one, depth })
      walk(one.handle, depth + 1)
    }
  }
  walk(undefined, 0)
  // Parts of each other, entered by mistake, hang from nothing: they are listed all the same.
  for (const one of from.equipment.values()) if (!seen.has(one.handle)) rows.push({ equipment: one, depth: 0 })
  return rows
}
