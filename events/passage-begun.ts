import { defineEvent, field } from './define.ts'

/** A passage begun, from berth or anchorage. */
export const passageBegun = defineEvent({
  type: 'passage-begun',
  label: 'Passage begun',
  about: 'Leaving a berth or an anchorage.',
  fields: {
    from: field.text('From', { says: 'from {}' }),
    to: field.text('Bound for', { says: 'bound for {}' }).optional(),
    distanceLog: field.quantity('Distance log', 'distance', { min: 0, max: 1e6 }, { says: '. Log {}' }).optional(),
    weather: field.text('Weather and sea', { says: '. {}' }).optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        from: 'Kuressaare',
        to: 'Visby',
        distanceLog: { value: 6386, unit: '[nmi_i]' },
        weather: 'SW 4, sea slight, 1016 hPa',
      },
    },
  ],
})
