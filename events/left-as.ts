import { defineEvent, field } from './define.ts'

/** The states that must not be forgotten before the key is turned. */
export const leftStates = ['shut', 'open', 'drained', 'removed', 'isolated', 'off', 'disconnected', 'undone'] as const

/** Left as: the state that something was left in and must not be forgotten. */
export const leftAs = defineEvent({
  type: 'left-as',
  label: 'Left',
  about: 'Something left shut, out, drained or isolated, until it is restored.',
  fields: {
    equipment: field.handle('Equipment', 'equipment', { says: '{}' }),
    state: field.choice('Left', leftStates, { says: '{}' }),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [{ version: 1, data: { equipment: 'engine-seacock', state: 'shut' } }],
})
