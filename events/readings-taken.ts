import { defineEvent, field } from './define.ts'

/** Readings taken at one moment: what the gauges showed, with what they must be judged by. Any of them may be missing. */
export const readingsTaken = defineEvent({
  type: 'readings-taken',
  label: 'Readings',
  about: 'What the gauges showed, with engine speed, charging stage and the like, by which it is judged.',
  fields: {
    equipment: field.handle('Engine', 'equipment', {
      says: '',
      help: 'The engine (or generator) that the readings belong to.',
    }),
    hours: field.quantity('Hours', 'time', { min: 0, max: 1e6 }, { says: '{}' }).optional(),
    speed: field.quantity('Engine speed', 'rotation', { min: 0, max: 10000 }, { says: '{}' }).optional(),
    sinceStart: field
      .quantity('Since starting', 'time', { min: 0, max: 1000 }, { unit: 'min', says: '{} after starting' })
      .optional(),
    load: field.quantity('Load', 'share', { min: 0, max: 120 }, { says: 'load {}' }).optional(),
    amps: field.quantity('Amps', 'current', { min: -1000, max: 2000 }, { says: '{}' }).optional(),
    volts: field.quantity('Volts', 'voltage', { min: 0, max: 100 }, { says: '{}' }).optional(),
    ampsReadAt: field.choice('Amps read at', ['alternator', 'battery'], { says: 'at the {}' }).optional(),
    alternator: field.handle('Alternator', 'equipment', { says: '{}', help: 'Where there are several.' }).optional(),
    stage: field.choice('Charging stage', ['bulk', 'absorption', 'float', 'off'], { says: '{}' }).optional(),
    otherCharging: field
      .choice('Other sources charging', ['none', 'solar', 'shore charger', 'wind', 'several'], {
        says: 'other sources: {}',
      })
      .optional(),
    coolant: field.quantity('Coolant', 'temperature', { min: -40, max: 160 }, { says: 'coolant {}' }).optional(),
    oilPressure: field.quantity('Oil pressure', 'pressure', { min: 0, max: 12 }, { says: 'oil {}' }).optional(),
    exhaust: field
      .quantity('Exhaust or sea-water outlet', 'temperature', { min: -5, max: 200 }, { says: 'outlet {}' })
      .optional(),
    sea: field.quantity('Sea temperature', 'temperature', { min: -3, max: 40 }, { says: 'sea {}' }).optional(),
    engineRoom: field
      .quantity('Engine space', 'temperature', { min: -30, max: 110 }, { says: 'engine space {}' })
      .optional(),
    boatSpeed: field.quantity('Boat speed', 'speed', { min: 0, max: 60 }, { says: '{}' }).optional(),
    fuelLevel: field.quantity('Fuel by sounding', 'volume', { min: 0, max: 1e5 }, { says: 'fuel {}' }).optional(),
    tank: field.handle('Tank sounded', 'equipment', { says: 'in {}' }).optional(),
    filterVacuum: field
      .quantity('Fuel filter vacuum', 'pressure', { min: 0, max: 1 }, { unit: 'mbar', says: 'filter vacuum {}' })
      .optional(),
    crankingVolts: field
      .quantity('Lowest volts while cranking', 'voltage', { min: 0, max: 60 }, { says: 'cranking down to {}' })
      .optional(),
    crankingTime: field
      .quantity('Cranked for', 'time', { min: 0, max: 0.1 }, { unit: 's', says: 'cranked {}' })
      .optional(),
    confirmed: field.flag('Looked at twice', { says: 'looked at twice' }).optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        equipment: 'engine',
        hours: { value: 1240.1, unit: 'h' },
        speed: { value: 2000, unit: '/min' },
        amps: { value: 73, unit: 'A' },
        volts: { value: 13.6, unit: 'V' },
        stage: 'bulk',
        otherCharging: 'none',
        coolant: { value: 81, unit: 'Cel' },
        oilPressure: { value: 3.7, unit: 'bar' },
      },
    },
  ],
})
