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

/** The units in which figures of each dimension are shown; what is not set is shown in SI or the trade's metric unit. */
export const shownUnit = (set: Settings, dimension: Dimension): string => {
  switch (dimension) {
    case 'temperature':
      return set.temperatureUnit ?? 'Cel'
    case 'pressure':
      return set.pressureUnit ?? 'bar'
    case 'volume':
      return set.volumeUnit ?? 'L'
    case 'distance':
      return set.distanceUnit ?? '[nmi_i]'
    case 'length':
      return set.lengthUnit ?? 'mm'
    case 'torque':
      return set.torqueUnit ?? 'N.m'
    case 'force':
      return set.forceUnit ?? 'N'
    case 'speed':
      return set.speedUnit ?? '[kn_i]'
    case 'mass':
      return set.massUnit ?? 'kg'
    case 'power':
      return set.powerUnit ?? 'kW'
    case 'time':
      return 'h'
    case 'rotation':
      return '/min'
    case 'current':
      return 'A'
    case 'voltage':
      return 'V'
    case 'charge':
      return 'A.h'
    case 'frequency':
      return 'Hz'
    case 'angle':
      return 'deg'
    case 'share':
      return '%'
  }
}
