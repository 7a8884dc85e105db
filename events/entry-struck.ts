import { defineEvent, field } from './define.ts'

/** An entry struck through: `replaces` names it. The original stays readable; striking the strike revives it. */
export const entryStruck = defineEvent({
  type: 'entry-struck',
  label: 'Struck',
  about: 'A wrong entry struck through; a reason is welcome.',
  fields: { reason: field.prose('Why', { says: '{}' }).optional() },
  examples: [{ version: 1, data: { reason: "Read off the cabin heater's gauge, not the engine's." } }],
})
