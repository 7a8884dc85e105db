import { defineEvent, field } from './define.ts'

/** Hours read off a meter, as it showed them. */
export const hoursRead = defineEvent({
  type: 'hours-read',
  label: 'Hours read',
  about: 'What an hours meter shows.',
  fields: {
    meter: field.handle('Meter', 'meter', { says: '' }),
    reading: field.quantity('Reading', 'time', { min: 0, max: 1e6 }, { says: '{}' }),
    confirmed: field
      .flag('Looked at twice', {
        says: 'looked at twice',
        help: 'Set when the reading was questioned and is right all the same.',
      })
      .optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [{ version: 1, data: { meter: 'engine-hours', reading: { value: 1243.6, unit: 'h' } } }],
})
