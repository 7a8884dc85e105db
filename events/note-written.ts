import { defineEvent, field } from './define.ts'

/** A note: whatever should not be lost. */
export const noteWritten = defineEvent({
  type: 'note-written',
  label: 'Note',
  about: 'Anything else worth keeping.',
  fields: {
    text: field.prose('Note', { says: '{}' }),
    equipment: field.handle('About', 'equipment', { says: '. About {}' }).optional(),
  },
  examples: [
    { version: 1, data: { text: 'Alternator whines a little above 2000 rpm.', equipment: 'house-alternator' } },
  ],
})
