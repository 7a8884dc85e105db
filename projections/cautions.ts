import type { cautionWords } from '../events/upkeep-set.ts'
import type { EquipmentKind } from '../events/works.ts'

/**
 * A caution: what to do before a hand goes there, bold; what else to know. Usual precautions of the trade in our own words, after US OSHA 29 CFR
 * 1910.147 and 1910.219 (isolation, belts), US Army TM 55-1930-209-14&P-19 (hot coolant), UK HSE INDG139 (batteries), the UK MCA Code of Safe
 * Working Practices (aloft, stored energy, closed spaces); those on fuel, gas, shore power, lifting and flooding are common practice.
 */
export interface CautionText {
  readonly first: string
  readonly also: string
}

/** The name of a caution, as an upkeep task carries it. */
export type CautionWord = (typeof cautionWords)[number]

/** Stands after every caution that is shown alone: this book is not the last word. */
export const lastWord = "The maker's manual and local rules come before anything written here."

/** The words of each caution, for the place where the hand goes. */
export const cautions: Record<CautionWord, CautionText> = {
  'rotating machinery': {
    first: 'Engine stopped, key out, batteries isolated after stopping.',
    also: 'Fingers, sleeves and cloths stay out of the run of the belt until nothing turns and nothing can start it.',
  },
  'hot surfaces and fluids': {
    first: 'Let her cool: oil, coolant and exhaust burn long after stopping.',
    also: 'Open a coolant cap only cold, and stand to one side of it.',
  },
  'isolation of batteries': {
    first: 'Engine stopped first, then batteries isolated, before a spanner goes near a live stud.',
    also: 'Rings and watch off; a dropped spanner across a battery welds and burns.',
  },
  'battery acid and gas': {
    first: 'Eye protection and gloves, no flame and no sparks: charging batteries give off gas that explodes.',
    also: 'Acid on the skin or in the eye is rinsed at once with much water.',
  },
  'fuel vapour': {
    first: 'No flame, no sparks, vent the space first.',
    also: 'Catch what drips; rags soaked with fuel go ashore.',
  },
  'injection pressure': {
    first: 'Keep hands away from a leak under pressure: a jet of diesel goes through skin.',
    also: 'Such a wound is a hospital matter even when it looks small.',
  },
  gas: {
    first: 'Gas off at the bottle, no flame, vent low down: it lies in the bilge.',
    also: 'Work on the installation is for a licensed gas fitter.',
  },
  'shore power': {
    first: 'Shore cable unplugged at both ends, inverter off, before a cover is opened.',
    also: 'Work on mains wiring is for a licensed electrician.',
  },
  'working aloft': {
    first: 'Two lines, a second person who tails, nothing loose in the pockets.',
    also: 'Nobody stands beneath.',
  },
  'stored energy': {
    first: 'Take the load off first: springs, rams, tensioned wire and a raised keel or anchor keep their force.',
    also: 'Stand out of the line of pull.',
  },
  chemicals: {
    first: 'Gloves, eye protection, air, as the label says.',
    also: 'Catch dust and drips; what comes off a hull does not belong in the water.',
  },
  lifting: {
    first: 'Chock and support before anything is undone; nobody stays beneath a load.',
    also: 'Check the gear that lifts, and how much it is marked for.',
  },
  flooding: {
    first: 'Seacock shut, a plug of the right size at hand, the bilge pump tried, before a hose comes off.',
    also: 'Write down what is left shut or out, and restore it before the key is turned.',
  },
  'confined space': {
    first: 'Vent the space and keep somebody outside who can call help.',
    also: 'Tanks and closed lockers can hold air that does not keep one awake.',
  },
}

const byKind: { readonly [kind in EquipmentKind]?: CautionWord } = {
  engine: 'hot surfaces and fluids',
  gearbox: 'hot surfaces and fluids',
  generator: 'rotating machinery',
  belt: 'rotating machinery',
  alternator: 'isolation of batteries',
  'raw-water pump': 'flooding',
  strainer: 'flooding',
  seacock: 'flooding',
  hose: 'flooding',
  'stern gear': 'flooding',
  saildrive: 'flooding',
  'coolant pump': 'hot surfaces and fluids',
  thermostat: 'hot surfaces and fluids',
  'fuel filter': 'fuel vapour',
  'fuel tank': 'fuel vapour',
  heater: 'fuel vapour',
  outboard: 'fuel vapour',
  'battery bank': 'battery acid and gas',
  'starter motor': 'isolation of batteries',
  windlass: 'stored energy',
  charger: 'shore power',
  'shore power': 'shore power',
  'gas installation': 'gas',
  mast: 'working aloft',
  stay: 'stored energy',
  'furling gear': 'stored energy',
  boat: 'lifting',
}

/** The caution that goes with a kind of equipment; undefined where the trade has no usual one. */
export const cautionFor = (kind: EquipmentKind): CautionText | undefined => {
  const word = byKind[kind]
  return word && cautions[word]
}
