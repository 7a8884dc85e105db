import { defineEvent, field } from './define.ts'

/** The sets of rounds, by when they are made. */
export const roundsSets = ['before starting', 'running', 'after stopping'] as const

/** Rounds made: the look round. What was graded or measured follows as checks that name this entry. */
export const roundsMade = defineEvent({
  type: 'rounds-made',
  label: 'Rounds',
  about: 'A look round; each check that was graded or measured is an entry of its own beside it.',
  fields: {
    set: field.choice('Set', roundsSets, { says: '{}' }),
    equipment: field.handle('Of', 'equipment', { says: '{}' }).optional(),
    looked: field.number('Checks looked at', { min: 0, max: 200, whole: true }, { says: '{} looked at' }).optional(),
    asUsual: field
      .choice('The rest', ['all as usual', 'not looked at'], {
        says: '{}',
        help: 'Weaker evidence than a graded look, and kept apart from it.',
      })
      .optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [{ version: 1, data: { set: 'after stopping', equipment: 'engine', looked: 14, asUsual: 'all as usual' } }],
})
