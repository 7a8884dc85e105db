import type { Data } from '../events/index.ts'
import type { Dimension } from '../events/units.ts'
import type { Projection } from './timeline.ts'

/** The settings of the book as they stand: each field as it was last set. */
export type Settings = Omit<Data<'book-set'>, 'note' | 'why'>

/** Settings of the book; an empty book has none. */
export const settings: Projection<Settings> = {
  initial: () => ({}),
  on: {
    'book-set': (state, { data: { note: _note, why: _why, ...set } }) => {
      Object.assign(state, set)
    },
  },
}

/** The unit of each dimension where the owner has not chosen one: SI, or what the trade reads it in. */
const usual: Record<Dimension, string> = {
  time: 'h',
  distance: '[nmi_i]',
  length: 'mm',
  rotation: '/min',
  current: 'A',
  voltage: 'V',
  charge: 'A.h',
  power: 'kW',
  temperature: 'Cel',
  pressure: 'bar',
  speed: '[kn_i]',
  volume: 'L',
  mass: 'kg',
  torque: 'N.m',
  force: 'N',
  frequency: 'Hz',
  angle: 'deg',
  share: '%',
}

/** The UCUM code of the unit in which figures of a dimension are shown. */
export const shownUnit = (set: Settings, dimension: Dimension): string => {
  const chosen = set[`${dimension}Unit` as keyof Settings]
  return chosen ?? usual[dimension]
}
