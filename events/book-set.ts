import { defineEvent, field } from './define.ts'
import { dimensions } from './units.ts'

const unit = (title: string, codes: readonly { code: string; symbol: string }[]) =>
  field
    .choice(title, codes.map((row) => row.code) as [string, ...string[]], {
      words: Object.fromEntries(codes.map((row) => [row.code, row.symbol])),
      says: `${title.toLowerCase()} {}`,
    })
    .optional()

/** Settings of the book. Each field holds from then on until it is set again. */
export const bookSet = defineEvent({
  type: 'book-set',
  label: 'Book set',
  about: "The boat's name, ship's time, the units in which figures are shown. Stored figures stay as entered.",
  fields: {
    boat: field.text('Name of the boat', { says: '{}' }).optional(),
    rig: field.text('What she is', { says: '{}', help: 'Cutter, ketch, motor yacht ...' }).optional(),
    zone: field
      .text("Ship's time", { says: "ship's time {}", help: 'IANA zone name, such as Europe/Stockholm.' })
      .regex(/^[A-Za-z_]+(\/[A-Za-z0-9_+-]+)*$/, 'expected an IANA zone name, such as Europe/Stockholm')
      .optional(),
    temperatureUnit: unit('Temperature', dimensions.temperature),
    pressureUnit: unit('Pressure', dimensions.pressure),
    volumeUnit: unit('Volume', dimensions.volume),
    distanceUnit: unit('Distance', dimensions.distance),
    lengthUnit: unit('Length', dimensions.length),
    torqueUnit: unit('Torque', dimensions.torque),
    forceUnit: unit('Force', dimensions.force),
    speedUnit: unit('Speed', dimensions.speed),
    massUnit: unit('Mass', dimensions.mass),
    powerUnit: unit('Power', dimensions.power),
    currency: field
      .text('Currency', { says: 'currency {}' }, 3)
      .regex(/^[A-Z]{3}$/, 'expected a currency code of three capitals, such as EUR')
      .optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        boat: 'Tirvane',
        rig: 'cutter',
        zone: 'Europe/Stockholm',
        temperatureUnit: 'Cel',
        pressureUnit: 'bar',
        currency: 'EUR',
      },
    },
  ],
})
