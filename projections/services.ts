import type { Work } from '../events/works.ts'
import type { Projection, Told } from './timeline.ts'

/** Services by equipment, in order. */
export type Services = Map<string, Told<'service-done'>[]>

/** Every service done; an empty book has none. */
export const services: Projection<Services> = {
  initial: () => new Map(),
  on: {
    'service-done': (state, entry) => {
      const there = state.get(entry.data.equipment)
      if (there) there.push(entry)
      else state.set(entry.data.equipment, [entry])
    },
  },
}

/**
 * The works that a work includes: whoever renews a belt also tensions it. Common practice, no source. Every work includes itself.
 */
const includes: { readonly [work in Work]?: readonly Work[] } = {
  'oil and filter changed': ['oil changed'],
  'belt renewed': ['belt tensioned', 'pulleys aligned', 'inspected'],
  'belt tensioned': ['inspected'],
  'impeller renewed': ['impeller inspected', 'inspected'],
  'impeller inspected': ['inspected'],
  'exhaust elbow renewed': ['exhaust elbow cleaned', 'inspected'],
  'element renewed': ['water drained'],
  'packing renewed': ['packing adjusted'],
  'strip and service': ['greased', 'cleaned', 'inspected', 'exercised'],
  overhauled: ['inspected', 'cleaned', 'adjusted'],
  renewed: ['overhauled', 'inspected', 'cleaned', 'adjusted'],
  greased: ['exercised'],
  'load tested': ['inspected'],
  'capacity tested': ['load tested', 'inspected'],
  cleaned: ['inspected'],
  'leak tested': ['inspected'],
  'serviced ashore': ['date checked', 'inspected'],
}

/** Whether a work done fulfils a task that asks for `wanted`. */
export const fulfils = (done: Work, wanted: Work): boolean =>
  done === wanted || (includes[done]?.includes(wanted) ?? false)

/** A setting as it was found and left, and when: how to put it back. */
export interface SettingKept {
  readonly name: string
  readonly found: { text: string | { value: number; unit: string } } | null
  readonly left: { text: string | { value: number; unit: string } } | null
  readonly entry: Told<'service-done'>
}

/** The settings of one piece of equipment as last found and left, newest service first; none if no service says. */
export function settingsOf(all: Services, equipment: string): SettingKept[] {
  const kept = new Map<string, SettingKept>()
  for (const entry of [...(all.get(equipment) ?? [])].reverse()) {
    const { data } = entry
    const pairs: [
      string,
      string | { value: number; unit: string } | undefined,
      string | { value: number; unit: string } | undefined,
    ][] = [
      ['Slip torque at the pulley nut', data.slipTorqueFound, data.slipTorqueLeft],
      ['Deflection', data.deflectionFound, data.deflectionLeft],
      [data.work.charAt(0).toUpperCase() + data.work.slice(1), data.settingFound, data.settingLeft],
    ]
    for (const [name, found, left] of pairs) {
      if ((found === undefined && left === undefined) || kept.has(name)) continue
      kept.set(name, {
        name,
        found: found === undefined ? null : { text: found },
        left: left === undefined ? null : { text: left },
        entry,
      })
    }
  }
  return [...kept.values()]
}
