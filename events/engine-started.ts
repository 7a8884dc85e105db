import { defineEvent, field } from './define.ts'

/** Why the engine runs: the trade's reasons, each wearing it in its own way. */
export const purposes = ['leaving or entering harbour', 'passage', 'charging', 'hot water', 'testing'] as const

/** An engine started: the beginning of a run. */
export const engineStarted = defineEvent({
  type: 'engine-started',
  label: 'Engine started',
  about: 'One start, with its purpose; hours and how she cranked where they were read.',
  fields: {
    equipment: field.handle('Engine', 'equipment', { says: '' }),
    purpose: field.choice('Purpose', purposes, { says: '{}' }).optional(),
    hours: field.quantity('Hours', 'time', { min: 0, max: 1e6 }, { says: 'at {}' }).optional(),
    crankingTime: field
      .quantity('Cranked for', 'time', { min: 0, max: 0.1 }, { unit: 's', says: 'cranked {}' })
      .optional(),
    crankingVolts: field
      .quantity('Lowest volts while cranking', 'voltage', { min: 0, max: 60 }, { says: 'down to {}' })
      .optional(),
    rawWaterSeen: field
      .choice('Raw water at the exhaust', ['seen', 'weak', 'none'], { says: 'raw water {}' })
      .optional(),
    confirmed: field.flag('Looked at twice', { says: 'looked at twice' }).optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        equipment: 'engine',
        purpose: 'leaving or entering harbour',
        hours: { value: 1238.2, unit: 'h' },
        crankingTime: { value: 1.5, unit: 's' },
      },
    },
  ],
})
