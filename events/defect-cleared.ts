import { defineEvent, field } from './define.ts'

/** A defect cleared: the owner says that it is no more. */
export const defectCleared = defineEvent({
  type: 'defect-cleared',
  label: 'Defect cleared',
  about: 'A defect, or a temporary repair, that needs no more attention.',
  fields: {
    defect: field.entry('Defect', { says: '{}', help: 'The entry that found it.' }),
    how: field.prose('How', { says: '. {}' }).optional(),
  },
  examples: [{ version: 1, data: { defect: '0190c5a0-0000-7000-8000-000000000001', how: 'New hose and two clamps.' } }],
})
