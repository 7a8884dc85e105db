import { defineEvent, field } from './define.ts'

/** What a meter really counts: it matters, for an ignition-on meter runs while the engine does not. */
export const meterKinds = ['true running', 'ignition on', 'revolution counting', 'distance log', 'pump cycles'] as const

/** A meter fitted: a counter that equipment runs on. */
export const meterFitted = defineEvent({
  type: 'meter-fitted',
  label: 'Meter fitted',
  about: 'A counter that equipment runs on, with its reading when fitted.',
  fields: {
    meter: field.handle('Short name', 'meter', { says: '' }),
    name: field.text('Name', { says: '{}' }),
    equipment: field.handle('On', 'equipment', { says: 'on {}' }),
    counts: field.choice('Counts', ['hours', 'miles', 'cycles'], { says: 'counts {}' }),
    kind: field.choice('Kind', meterKinds, { says: '{}' }),
    reading: field.number(
      'Reading when fitted',
      { min: 0, max: 1e7 },
      { says: 'at {}', help: 'In hours, nautical miles or cycles.' },
    ),
    rollsOverAt: field
      .number(
        'Rolls over at',
        { min: 10, max: 1e8 },
        { says: 'rolls over at {}', help: 'A meter of four digits goes from 9999 to 0: 10000.' },
      )
      .optional(),
    alreadyRun: field
      .number(
        'Run before this meter',
        { min: 0, max: 1e6 },
        {
          says: '{} run before it',
          help: 'What the equipment had run before this meter was fitted, beyond what the meter shows.',
        },
      )
      .optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        meter: 'engine-hours',
        name: 'Engine hours',
        equipment: 'engine',
        counts: 'hours',
        kind: 'true running',
        reading: 1102.4,
        rollsOverAt: 10000,
      },
    },
  ],
})
