import { defineEvent, field } from './define.ts'

/** An upkeep task retired: it no longer falls due. Setting it again revives it. */
export const upkeepRetired = defineEvent({
  type: 'upkeep-retired',
  label: 'Upkeep retired',
  about: 'A task that no longer applies.',
  fields: {
    task: field.handle('Task', 'task', { says: '{}' }),
    reason: field.prose('Why', { says: '. {}' }).optional(),
  },
  examples: [{ version: 1, data: { task: 'heater-burner', reason: 'The heater was taken out.' } }],
})
