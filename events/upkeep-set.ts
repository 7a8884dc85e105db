import { defineEvent, field } from './define.ts'
import { works } from './works.ts'

/** The cautions that a task can carry; their words stand in projections/cautions.ts. */
export const cautionWords = [
  'rotating machinery',
  'hot surfaces and fluids',
  'isolation of batteries',
  'battery acid and gas',
  'fuel vapour',
  'injection pressure',
  'gas',
  'shore power',
  'working aloft',
  'stored energy',
  'chemicals',
  'lifting',
  'flooding',
  'confined space',
] as const

/** An upkeep task set, or set anew: the last one with the same handle holds. */
export const upkeepSet = defineEvent({
  type: 'upkeep-set',
  label: 'Upkeep set',
  about: 'What must be done, every so many hours, months, miles or starts, whichever comes first.',
  fields: {
    task: field.handle('Short name', 'task', { says: '' }),
    name: field.text('Task', { says: '{}' }),
    equipment: field.handle('Equipment', 'equipment', { says: 'on {}' }),
    work: field.choice('Work that fulfils it', works, { says: '' }),
    everyHours: field.number('Every ... hours', { min: 1, max: 100000 }, { says: 'every {} h' }).optional(),
    everyMonths: field.number('Every ... months', { min: 1, max: 600 }, { says: 'every {} months' }).optional(),
    everyMiles: field.number('Every ... miles', { min: 1, max: 1e6 }, { says: 'every {} M' }).optional(),
    everyStarts: field.number('Every ... starts', { min: 1, max: 1e6 }, { says: 'every {} starts' }).optional(),
    firstAtHours: field
      .number(
        'First after ... hours',
        { min: 1, max: 100000 },
        { says: 'first after {} h', help: 'Counted from when the equipment was fitted.' },
      )
      .optional(),
    when: field.text('When it suits', { says: '{}', help: 'At lay-up, afloat, with the mast down.' }).optional(),
    parts: field.text('Parts', { says: 'parts: {}' }, 400).optional(),
    skill: field.choice('Who', ['owner', 'handy owner', 'trade'], { says: '' }).optional(),
    caution: field.choice('Caution', cautionWords, { says: '' }).optional(),
    basis: field
      .choice(
        'Where the interval comes from',
        ["maker's manual", 'published guide', 'common practice', 'own experience'],
        {
          says: '{}',
          help: "Anything but the maker's manual: set it to your maker's manual.",
        },
      )
      .optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        task: 'engine-oil',
        name: 'Engine oil and filter',
        equipment: 'engine',
        work: 'oil and filter changed',
        everyHours: 150,
        everyMonths: 12,
        caution: 'hot surfaces and fluids',
        basis: 'published guide',
      },
    },
  ],
})
