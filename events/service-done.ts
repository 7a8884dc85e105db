import { defineEvent, field } from './define.ts'
import { works } from './works.ts'

/** A service done: one work on one piece of equipment; it fulfils the upkeep tasks that name both. */
export const serviceDone = defineEvent({
  type: 'service-done',
  label: 'Service',
  about: 'One work done on one piece of equipment, with hours, parts, cost and how things were found and left.',
  fields: {
    equipment: field.handle('Equipment', 'equipment', { says: '{}' }),
    work: field.choice('Work', works, { says: '{}' }),
    hours: field.quantity('Hours', 'time', { min: 0, max: 1e6 }, { says: 'at {}' }).optional(),
    by: field.choice('Done by', ['own hands', 'trade'], { says: '' }).optional(),
    condition: field
      .choice('Old part came out', ['good', 'worn', 'worn out', 'failed'], { says: 'old part {}' })
      .optional(),
    slipTorqueFound: field
      .quantity(
        'Slip torque as found',
        'torque',
        { min: 0, max: 500 },
        { only: ['belt'], says: 'slip torque found {}' },
      )
      .optional(),
    slipTorqueLeft: field
      .quantity('Slip torque as left', 'torque', { min: 0, max: 500 }, { only: ['belt'], says: 'slip torque left {}' })
      .optional(),
    deflectionFound: field
      .quantity('Deflection as found', 'length', { min: 0, max: 200 }, { only: ['belt'], says: 'deflection found {}' })
      .optional(),
    deflectionLeft: field
      .quantity('Deflection as left', 'length', { min: 0, max: 200 }, { only: ['belt'], says: 'deflection left {}' })
      .optional(),
    deflectionForce: field
      .quantity('Force for the deflection', 'force', { min: 0, max: 1000 }, { only: ['belt'], says: 'at {}' })
      .optional(),
    settingFound: field
      .text('Setting as found', { says: 'found: {}', help: 'Turns, a mark, a torque, a position.' })
      .optional(),
    settingLeft: field.text('Setting as left', { says: 'left: {}' }).optional(),
    anodeLeft: field
      .quantity(
        'Old anode left',
        'share',
        { min: 0, max: 100 },
        { only: ['anode', 'saildrive', 'propeller'], says: '{} left of the old one' },
      )
      .optional(),
    parts: field.text('Parts', { says: 'parts: {}' }, 400).optional(),
    cost: field.money('Cost', { says: '; {}' }).optional(),
    confirmed: field.flag('Looked at twice', { says: 'looked at twice' }).optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        equipment: 'engine',
        work: 'oil and filter changed',
        hours: { value: 1102.4, unit: 'h' },
        by: 'own hands',
        parts: 'oil 6.5 L, filter',
        cost: { value: 84.5, unit: 'EUR' },
      },
    },
  ],
})
