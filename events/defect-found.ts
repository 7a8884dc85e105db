import { defineEvent, field } from './define.ts'

/** A defect found: anyone aboard may write one. */
export const defectFound = defineEvent({
  type: 'defect-found',
  label: 'Defect found',
  about: 'Something wrong, how much it matters and what it stops.',
  fields: {
    equipment: field.handle('Equipment', 'equipment', { says: '{}' }),
    what: field.prose('What is wrong', { says: ': {}' }),
    matters: field.choice('Matters', ['little', 'some', 'much', 'stops her'], { says: '. Matters: {}' }),
    stops: field.text('Stops', { says: '. Stops {}' }).optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: { equipment: 'heater-hose', what: 'drip under the return, a spoonful in an hour', matters: 'some' },
    },
  ],
})
