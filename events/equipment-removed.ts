import { defineEvent, field } from './define.ts'

/** Equipment removed: it left its place, for good or until another is fitted under the same handle. */
export const equipmentRemoved = defineEvent({
  type: 'equipment-removed',
  label: 'Removed',
  about: 'A piece of equipment was taken out, with the condition it was found in.',
  fields: {
    equipment: field.handle('Equipment', 'equipment', { says: '{}' }),
    condition: field
      .choice('Condition', ['good', 'worn', 'worn out', 'failed'], {
        says: '{}',
        help: 'How it came out: a life of parts is learnt from this.',
      })
      .optional(),
    kept: field
      .choice(
        'What became of it',
        ['kept as a spare', 'kept for get-home', 'scrapped', 'sent for repair', 'given away'],
        { says: '{}' },
      )
      .optional(),
    reason: field.prose('Why', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        equipment: 'house-belt',
        condition: 'worn',
        kept: 'kept for get-home',
        reason: 'Glazed, a crack across.',
      },
    },
  ],
})
