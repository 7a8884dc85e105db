import { defineEvent, field } from './define.ts'

/** Restored: what had been left shut, out, drained or isolated is as it should be again. */
export const restored = defineEvent({
  type: 'restored',
  label: 'Restored',
  about: 'Equipment put back into its working state.',
  fields: {
    equipment: field.handle('Equipment', 'equipment', { says: '{}' }),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [{ version: 1, data: { equipment: 'engine-seacock' } }],
})
