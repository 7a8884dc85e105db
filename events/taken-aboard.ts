import { defineEvent, field } from './define.ts'

/** What is taken aboard or topped up. */
export const stores = [
  'diesel',
  'petrol',
  'water',
  'engine oil',
  'gearbox oil',
  'coolant',
  'cooking gas',
  'distilled water',
  'other',
] as const

/** Taken aboard or topped up; every top-up of oil and coolant counts. */
export const takenAboard = defineEvent({
  type: 'taken-aboard',
  label: 'Taken aboard',
  about: 'Fuel, water, oil or coolant taken aboard or topped up, and into what.',
  fields: {
    what: field.choice('What', stores, { says: '{}' }),
    amount: field.quantity('Amount', 'volume', { min: 0, max: 1e5 }, { says: '{}' }).optional(),
    equipment: field.handle('Into', 'equipment', { says: 'into {}' }),
    full: field.flag('Filled to the neck', { says: 'full to the neck' }).optional(),
    cost: field.money('Cost', { says: '; {}' }).optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        what: 'diesel',
        amount: { value: 140, unit: 'L' },
        equipment: 'fuel-tank',
        full: true,
        cost: { value: 214.2, unit: 'EUR' },
      },
    },
  ],
})
