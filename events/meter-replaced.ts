import { defineEvent, field } from './define.ts'
import { meterKinds } from './meter-fitted.ts'

/** A meter replaced: the count goes on across the change. */
export const meterReplaced = defineEvent({
  type: 'meter-replaced',
  label: 'Meter replaced',
  about: 'A meter was renewed or reset: what the old one last showed, what the new one began with.',
  fields: {
    meter: field.handle('Meter', 'meter', { says: '{}' }),
    last: field
      .number(
        'Old one showed',
        { min: 0, max: 1e8 },
        { says: 'the old one showed {}', help: 'Leave out if it could not be read.' },
      )
      .optional(),
    first: field.number('New one begins at', { min: 0, max: 1e8 }, { says: 'the new one begins at {}' }),
    kind: field.choice('Kind', meterKinds, { says: '{}' }).optional(),
    rollsOverAt: field.number('Rolls over at', { min: 10, max: 1e8 }, { says: 'rolls over at {}' }).optional(),
    reason: field.prose('Why', { says: '. {}' }).optional(),
  },
  examples: [
    { version: 1, data: { meter: 'engine-hours', last: 1388.2, first: 0, reason: 'Display faded to nothing.' } },
  ],
})
