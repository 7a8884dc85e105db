import { defineEvent, field } from './define.ts'

/** A passage ended: at a berth or at anchor. */
export const passageEnded = defineEvent({
  type: 'passage-ended',
  label: 'Passage ended',
  about: 'Arriving, with the miles made and the fuel used as far as they are known.',
  fields: {
    at: field.text('At', { says: '{}' }),
    lying: field.choice('Lying', ['alongside', 'at anchor', 'on a mooring', 'ashore'], { says: '{}' }).optional(),
    distanceLog: field.quantity('Distance log', 'distance', { min: 0, max: 1e6 }, { says: '. Log {}' }).optional(),
    distance: field.quantity('Distance made', 'distance', { min: 0, max: 30000 }, { says: '. {}' }).optional(),
    underEngine: field
      .quantity('Of which under engine', 'distance', { min: 0, max: 30000 }, { says: 'of which {} under engine' })
      .optional(),
    fuelUsed: field.quantity('Fuel used', 'volume', { min: 0, max: 1e5 }, { says: 'fuel {}' }).optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        at: 'Visby',
        lying: 'alongside',
        distanceLog: { value: 6418, unit: '[nmi_i]' },
        distance: { value: 32, unit: '[nmi_i]' },
        fuelUsed: { value: 11, unit: 'L' },
      },
    },
  ],
})
