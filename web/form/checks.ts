import type { Data } from '../../events/index.ts'
import type { roundsSets } from '../../events/rounds-made.ts'
import type { EquipmentKind } from '../../events/works.ts'
import { type CautionText, cautions } from '../../projections/cautions.ts'
import { type Equipment, lineage, type Register } from '../../projections/register.ts'

/** When rounds are made. */
export type RoundsSet = (typeof roundsSets)[number]

type CheckField = keyof Data<'check-made'>

/** One check of a set of rounds, of one piece of equipment. */
export interface Check {
  /** Tells it from the others of its set; also the beginning of its boxes. */
  readonly key: string
  readonly title: string
  readonly equipment: string
  /** What of the equipment is looked at, where a check is about one part of it. */
  readonly part?: string
  /** The fields of the check that are asked, the grade first. */
  readonly fields: readonly CheckField[]
  readonly caution?: CautionText
  /** One sentence: where and how to look. */
  readonly how?: string
}

interface Template extends Omit<Check, 'key' | 'equipment' | 'title'> {
  readonly id: string
  readonly kind: EquipmentKind
  /** What is looked at, `{}` being the name of the equipment. */
  readonly title: string
  /** Only what belongs to an engine, where the boat has others too. */
  readonly ofEngine?: true
}

const still = cautions['rotating machinery']
const running: CautionText = {
  first: 'She runs: look only, from outside the door, with a torch.',
  also: 'Fingers, sleeves, hair and cloths stay clear of belts, shaft and exhaust.',
}
const cold: CautionText = {
  first: 'Cap off only when she is cold; hot coolant comes out as steam.',
  also: 'Where there is a bottle, read the level there and leave the cap on.',
}
const hot: CautionText = { first: 'The exhaust burns long after stopping.', also: 'Look first, touch later.' }

const underIt: Template = {
  id: 'under',
  kind: 'engine',
  title: 'Under the {}',
  part: 'under it',
  fields: ['found'],
  how: 'A light and a clean rag: water, oil, coolant, fuel, a nut.',
}
const strainer: Template = {
  id: 'strainer',
  kind: 'strainer',
  title: '{}',
  fields: ['found'],
  ofEngine: true,
  caution: cautions.flooding,
  how: 'Clear, and the lid tight.',
}
const coolant: Template = {
  id: 'coolant',
  kind: 'engine',
  title: '{}: coolant',
  fields: ['coolantLevel'],
  caution: cold,
}
const oil: Template = {
  id: 'oil',
  kind: 'engine',
  title: '{}: oil, dipstick',
  fields: ['dipstick', 'dipstickAfter', 'oilLook', 'attitude'],
  how: 'Cold, or after the wait that the maker names; upright.',
}
const beltDust: Template = {
  id: 'dust',
  kind: 'belt',
  title: '{}: dust',
  fields: ['dust', 'wiped'],
  caution: {
    first: still.first,
    also: 'Look and wipe with a cloth on a stick; fingers stay out of the run of the belt. An alternator burns long after stopping.',
  },
}
const beltTension: Template = {
  id: 'tension',
  kind: 'belt',
  title: '{}: tension',
  fields: ['slipTorque', 'deflection', 'deflectionForce'],
  caution: still,
  how: 'One way or the other, as it is set aboard: torque at the pulley nut, or deflection with its force.',
}
const hose: Template = { id: 'hose', kind: 'hose', title: '{}', fields: ['found'], how: 'Clamps, chafe, softness.' }
const bowl: Template = { id: 'bowl', kind: 'fuel filter', title: '{}: bowl', fields: ['waterInBowl'] }
const sternGear: Template = { id: 'stern', kind: 'stern gear', title: '{}', fields: ['found'], caution: still }
const saildrive: Template = {
  id: 'saildrive',
  kind: 'saildrive',
  title: '{}: oil',
  fields: ['dipstick', 'oilLook'],
}
const bilge: Template = {
  id: 'bilge',
  kind: 'bilge pump',
  title: 'Bilge: {}',
  fields: ['bilgeCount', 'counterReset', 'rain'],
}
const batteries: Template = {
  id: 'rest',
  kind: 'battery bank',
  title: '{}: rest volts',
  fields: ['restVolts', 'restedFor', 'shorePower'],
  how: 'Before anything is switched on.',
}

/**
 * The three sets, each in the order in which one moves: from the outside of the door inwards and aft, clean hands before oily ones.
 * Common practice, no source.
 */
const sets: Readonly<Record<RoundsSet, readonly Template[]>> = {
  'before starting': [
    batteries,
    bilge,
    underIt,
    {
      id: 'seacock',
      kind: 'seacock',
      title: '{}: open',
      fields: ['found'],
      ofEngine: true,
      how: 'Open, and it turns.',
    },
    strainer,
    coolant,
    oil,
    { id: 'gearbox', kind: 'gearbox', title: '{}: oil', fields: ['dipstick', 'dipstickAfter', 'oilLook'] },
    saildrive,
    beltDust,
    bowl,
    { ...sternGear, how: 'Dry, or as wet as it always is.' },
  ],
  running: [
    {
      id: 'outlet',
      kind: 'engine',
      title: '{}: raw water at the exhaust',
      part: 'raw water at the exhaust',
      fields: ['found'],
      how: 'As much as always, and as little smoke.',
    },
    {
      id: 'sound',
      kind: 'engine',
      title: '{}: sound and smell',
      part: 'sound and smell',
      fields: ['found'],
      caution: running,
    },
    {
      id: 'leaks',
      kind: 'engine',
      title: '{}: leaks',
      part: 'leaks',
      fields: ['found'],
      caution: cautions['injection pressure'],
    },
    { id: 'run', kind: 'belt', title: '{}: runs true', fields: ['found'], caution: running },
    { ...bowl, fields: ['waterInBowl', 'filterVacuum'] },
    {
      id: 'stern',
      kind: 'stern gear',
      title: '{}',
      fields: ['found'],
      caution: running,
      how: 'Drip and warmth as always.',
    },
    bilge,
  ],
  'after stopping': [
    underIt,
    strainer,
    coolant,
    oil,
    beltDust,
    beltTension,
    hose,
    {
      id: 'elbow',
      kind: 'engine',
      title: '{}: exhaust elbow and hose',
      part: 'exhaust elbow and hose',
      fields: ['found'],
      caution: hot,
    },
    bowl,
    sternGear,
    {
      id: 'seacock',
      kind: 'seacock',
      title: '{}',
      fields: ['found'],
      ofEngine: true,
      how: 'If you leave it shut, write that down as left too.',
    },
    bilge,
  ],
}

/** The checks of a set on this boat, in order: each for every piece of equipment of its kind that is aboard. */
export function checksOf(register: Register, set: RoundsSet): Check[] {
  const aboard = [...register.equipment.values()].filter((one) => !one.removed)
  return sets[set].flatMap((template) => {
    const { id, kind, title, ofEngine, ...check } = template
    const all = aboard.filter((one) => one.kind === kind)
    const near = all.filter((one) => runsWithEngine(register, one))
    return (ofEngine && near.length > 0 ? near : all).map(
      (one): Check => ({
        ...check,
        key: `check/${id}/${one.handle}`,
        equipment: one.handle,
        title: sentence(title.replace('{}', title.startsWith('{}') ? one.name : lower(one.name))),
      }),
    )
  })
}

const runsWithEngine = (register: Register, one: Equipment): boolean =>
  lineage(register, one.handle).some((handle) => {
    const kind = register.equipment.get(handle)?.kind
    return kind === 'engine' || kind === 'generator'
  })

const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
const lower = (name: string): string =>
  /^\p{Lu}\p{Ll}/u.test(name) ? name.charAt(0).toLowerCase() + name.slice(1) : name

/** What each grade means, in words that two people would choose alike. Common practice, no source. */
export const gradeWords: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  dust: {
    none: 'A clean rag along guard and bracket stays clean.',
    trace: 'The rag comes away grey; nothing to see without it.',
    film: 'Seen as a dark coat; a finger leaves a line.',
    heavy: 'Lies in heaps or threads, or is thrown on the hull.',
  },
  found: {
    normal: 'As it always is.',
    'look again': 'Not as it was; look again before long.',
    wrong: 'Something must be done; write the defect too.',
  },
  coolantLevel: {
    'at the mark': 'Where it always stands.',
    low: 'Under the mark, but to be seen.',
    empty: 'None to be seen.',
    high: 'Over the mark.',
  },
  waterInBowl: {
    none: 'One colour down to the bottom.',
    drops: 'Beads at the bottom.',
    some: 'A layer that can be seen.',
    much: 'A third of the bowl or more.',
  },
}
