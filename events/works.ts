/**
 * What equipment there is and what is done to it. Later judgements hang on `work` (a renewed belt starts afresh), so it is
 * a closed list for each kind of equipment, never free text alone. The works are those of the trade; common practice, no source.
 */

const everywhere = ['inspected', 'cleaned', 'adjusted', 'overhauled', 'renewed', 'other work'] as const

/** Works special to each kind of equipment; the ones that suit anything are added to each. */
const special = {
  boat: [
    'hull cleaned',
    'antifouling renewed',
    'hull potential checked',
    'lifted out',
    'launched',
    'winterised',
    'recommissioned',
    'surveyed',
  ],
  engine: [
    'oil changed',
    'oil and filter changed',
    'oil sampled',
    'valve clearances set',
    'coolant changed',
    'injectors serviced',
    'air filter renewed',
    'exhaust elbow renewed',
    'exhaust elbow cleaned',
    'heat exchanger cleaned',
    'mountings checked',
    'winterised',
    'recommissioned',
  ],
  gearbox: ['oil changed'],
  saildrive: ['oil changed', 'seal renewed', 'anode renewed'],
  'stern gear': ['packing adjusted', 'packing renewed', 'seal renewed', 'cutless bearing renewed', 'greased', 'burped'],
  propeller: ['greased', 'anode renewed'],
  alternator: ['brushes renewed', 'diodes renewed', 'bearings renewed', 'regulator renewed', 'connections checked'],
  belt: ['belt tensioned', 'belt renewed', 'pulleys aligned'],
  'raw-water pump': ['impeller renewed', 'impeller inspected', 'seal renewed', 'impeller removed', 'impeller refitted'],
  'coolant pump': ['bearings renewed', 'seal renewed'],
  strainer: ['emptied'],
  thermostat: ['tested'],
  'fuel filter': ['element renewed', 'water drained', 'bled'],
  'fuel tank': ['sampled', 'water drained'],
  tank: ['sampled', 'sanitised'],
  'battery bank': ['connections checked', 'topped up', 'equalised', 'capacity tested', 'load tested'],
  'solar panel': ['connections checked'],
  charger: ['connections checked'],
  'starter motor': ['brushes renewed', 'connections checked'],
  windlass: ['oil changed', 'greased', 'strip and service', 'connections checked'],
  winch: ['strip and service'],
  'furling gear': ['greased', 'bearings renewed', 'strip and service'],
  mast: ['fittings checked'],
  stay: ['tensioned'],
  sail: ['valeted', 'repaired'],
  rudder: ['bearings checked', 'greased'],
  steering: ['cables tensioned', 'greased'],
  seacock: ['exercised', 'greased', 'strip and service'],
  hose: ['clamps renewed'],
  hatch: ['rebedded', 'seal renewed'],
  deck: ['rebedded', 'repaired'],
  'bilge pump': ['tested', 'diaphragm renewed', 'impeller renewed', 'float switch tested'],
  anode: ['anode renewed'],
  'earth and bonding': ['hull potential checked', 'connections checked'],
  'gas installation': ['leak tested', 'hose renewed', 'regulator renewed'],
  'shore power': ['tested', 'galvanic isolator tested', 'connections checked'],
  generator: ['oil changed', 'oil and filter changed', 'impeller renewed', 'belt tensioned', 'belt renewed'],
  watermaker: ['pickled', 'membrane renewed', 'filters renewed'],
  heater: ['burner cleaned', 'fuel filter renewed'],
  outboard: ['oil changed', 'impeller renewed', 'plug renewed', 'flushed'],
  toilet: ['strip and service', 'joker valve renewed'],
  'safety gear': ['serviced ashore', 'tested', 'date checked'],
  instrument: ['calibrated', 'connections checked'],
  other: [],
} as const satisfies Record<string, readonly string[]>

/** What kind of thing a piece of equipment is. */
export type EquipmentKind = keyof typeof special

/** All kinds of equipment, in the order in which one would list a boat. */
export const equipmentKinds = Object.keys(special) as [EquipmentKind, ...EquipmentKind[]]

/** One thing that can be done to equipment. */
export type Work = (typeof special)[EquipmentKind][number] | (typeof everywhere)[number]

/** The works that can be done to one kind of equipment, the special ones first. */
export const worksOf = (kind: EquipmentKind): readonly Work[] => [...special[kind], ...everywhere]

/** Every work there is, once, for the schema. */
export const works = [
  ...new Set<Work>([...equipmentKinds.flatMap((kind) => special[kind] as readonly Work[]), ...everywhere]),
] as [Work, ...Work[]]
