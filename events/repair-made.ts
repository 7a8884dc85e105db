import { defineEvent, field } from './define.ts'

/** A repair made. A temporary one is carried, with hours, miles and days, until a permanent one or a clearance names it. */
export const repairMade = defineEvent({
  type: 'repair-made',
  label: 'Repair',
  about: 'A get-you-home mend, which still carries its defect, or a permanent repair, which ends it.',
  fields: {
    equipment: field.handle('Equipment', 'equipment', { says: '{}' }),
    kind: field.choice('Kind', ['temporary', 'permanent'], { says: '{}' }),
    what: field.prose('What was done', { says: ': {}' }),
    mends: field
      .entry('Mends', { says: '', help: 'The defect found, or the temporary repair that this one replaces.' })
      .optional(),
    waitsFor: field.text('Permanent repair waits for', { says: '. Permanent repair waits for {}' }).optional(),
    parts: field.text('Parts', { says: '. Parts: {}' }, 400).optional(),
    cost: field.money('Cost', { says: '; {}' }).optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        equipment: 'heater-hose',
        kind: 'temporary',
        what: 'two turns of locking wire over the old clamp',
        waitsFor: 'a 19 mm clamp',
      },
    },
  ],
})
