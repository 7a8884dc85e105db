import { defineEvent, field } from './define.ts'

/** An engine stopped: the end of a run. */
export const engineStopped = defineEvent({
  type: 'engine-stopped',
  label: 'Engine stopped',
  about: 'The end of a run, with the hours where they were read.',
  fields: {
    equipment: field.handle('Engine', 'equipment', { says: '' }),
    hours: field.quantity('Hours', 'time', { min: 0, max: 1e6 }, { says: 'at {}' }).optional(),
    confirmed: field.flag('Looked at twice', { says: 'looked at twice' }).optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [{ version: 1, data: { equipment: 'engine', hours: { value: 1243.6, unit: 'h' } } }],
})
