import { defineEvent, field } from './define.ts'

/** One check of one piece of equipment, in rounds or by itself: what was found, and the conditions it was found in. */
export const checkMade = defineEvent({
  type: 'check-made',
  label: 'Check',
  about: 'One thing looked at or measured by hand, with its conditions.',
  fields: {
    equipment: field.handle('Equipment', 'equipment', { says: '{}' }),
    rounds: field.entry('Rounds', { says: '' }).optional(),
    part: field
      .text('What of it', {
        says: ', {}',
        help: 'Under it, its hoses, its exhaust elbow: where a check looks at one part.',
      })
      .optional(),
    found: field.choice('Found', ['normal', 'look again', 'wrong'], { says: '{}' }).optional(),
    dust: field.choice('Belt dust', ['none', 'trace', 'film', 'heavy'], { only: ['belt'], says: 'dust {}' }).optional(),
    wiped: field.choice('Wiped', ['wiped', 'not wiped'], { only: ['belt'], says: '{}' }).optional(),
    slipTorque: field
      .quantity(
        'Slip torque at the pulley nut',
        'torque',
        { min: 0, max: 500 },
        { only: ['belt'], says: 'slip torque {}' },
      )
      .optional(),
    deflection: field
      .quantity('Deflection', 'length', { min: 0, max: 200 }, { only: ['belt'], says: 'deflection {}' })
      .optional(),
    deflectionForce: field
      .quantity(
        'Force for it',
        'force',
        { min: 0, max: 1000 },
        { only: ['belt'], says: 'at {}', help: 'A deflection without its force is kept, but cannot be judged.' },
      )
      .optional(),
    pluckFrequency: field
      .quantity('Pluck frequency', 'frequency', { min: 1, max: 1000 }, { only: ['belt'], says: 'plucked {}' })
      .optional(),
    impeller: field
      .choice('Impeller', ['sound', 'set blades', 'cracked', 'blades missing'], {
        only: ['raw-water pump', 'generator'],
        says: 'impeller {}',
      })
      .optional(),
    dipstick: field
      .quantity(
        'Dipstick, share of the marks',
        'share',
        { min: -100, max: 250 },
        {
          only: ['engine', 'gearbox', 'saildrive', 'generator'],
          says: 'dipstick {} of the marks',
          help: '0 % is the low mark, 100 % the full mark.',
        },
      )
      .optional(),
    dipstickAfter: field
      .choice('Dipped', ['cold', 'waited', 'just stopped'], {
        only: ['engine', 'gearbox', 'saildrive', 'generator'],
        says: '{}',
      })
      .optional(),
    attitude: field.choice('She lay', ['upright', 'heeled'], { says: '{}' }).optional(),
    oilLook: field
      .choice('Oil looks', ['clean', 'dark', 'thin', 'milky'], {
        only: ['engine', 'gearbox', 'saildrive', 'generator'],
        says: 'oil {}',
      })
      .optional(),
    coolantLevel: field
      .choice('Coolant', ['at the mark', 'low', 'empty', 'high'], {
        only: ['engine', 'generator'],
        says: 'coolant {}',
        help: 'Cap off only when cold.',
      })
      .optional(),
    waterInBowl: field
      .choice('Water in the bowl', ['none', 'drops', 'some', 'much'], {
        only: ['fuel filter'],
        says: 'water in the bowl: {}',
      })
      .optional(),
    filterVacuum: field
      .quantity('Vacuum', 'pressure', { min: 0, max: 1 }, { only: ['fuel filter'], unit: 'mbar', says: 'vacuum {}' })
      .optional(),
    restVolts: field
      .quantity('Rest volts', 'voltage', { min: 0, max: 100 }, { only: ['battery bank'], says: 'rest volts {}' })
      .optional(),
    restedFor: field
      .quantity('Rested for', 'time', { min: 0, max: 10000 }, { only: ['battery bank'], says: 'rested {}' })
      .optional(),
    shorePower: field.flag('On shore power', { only: ['battery bank'], says: 'on shore power' }).optional(),
    bilgeCount: field
      .number('Pump counter', { min: 0, max: 1e8, whole: true }, { only: ['bilge pump'], says: 'counter {}' })
      .optional(),
    counterReset: field
      .flag('Counter set back', {
        only: ['bilge pump'],
        says: 'counter set back',
        help: 'It counts anew from the figure above, from nought if none is written.',
      })
      .optional(),
    rain: field
      .choice('Rain since the last look', ['none', 'some', 'much'], { only: ['bilge pump'], says: 'rain: {}' })
      .optional(),
    anodeLeft: field
      .quantity(
        'Anode left',
        'share',
        { min: 0, max: 100 },
        { only: ['anode', 'saildrive', 'propeller'], says: '{} left' },
      )
      .optional(),
    hullPotential: field
      .quantity(
        'Hull potential',
        'voltage',
        { min: -3, max: 1 },
        {
          only: ['earth and bonding', 'boat'],
          unit: 'mV',
          says: 'hull potential {}',
          help: 'Against a silver/silver-chloride reference cell in the water.',
        },
      )
      .optional(),
    level: field
      .quantity(
        'Level by sounding',
        'volume',
        { min: 0, max: 1e5 },
        { only: ['fuel tank', 'tank'], says: 'sounded {}' },
      )
      .optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    { version: 1, data: { equipment: 'house-belt', dust: 'film', wiped: 'not wiped' } },
    {
      version: 1,
      data: {
        equipment: 'house-bank',
        restVolts: { value: 12.62, unit: 'V' },
        restedFor: { value: 9, unit: 'h' },
        shorePower: false,
      },
    },
  ],
})
