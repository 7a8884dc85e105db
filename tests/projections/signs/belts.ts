import type { Data } from '../../../events/index.ts'
import { type Signs, signs } from '../../../projections/signs/signs.ts'
import { type AsOf, timeline } from '../../../projections/timeline.ts'
import { type Given, given, h, type Over } from '../entries.ts'

/** A boat with one alternator of 100 A on one belt, a bank of AGM, and an hours meter; the days of her log are counted from 1 May 2026. */
export interface BeltBoat {
  readonly book: Given
  /** RFC 3339 of an hour on a day. */
  on(day: number, hour?: number): string
  /** A reading in the first steady stretch, with the hours: four for each day of the log. */
  reads(day: number, share: number, more?: Partial<Data<'readings-taken'>>, over?: Over): string
  looks(day: number, dust: Data<'check-made'>['dust'], wiped: boolean, over?: Over): string
  torque(day: number, newtonMetres: number): string
  serves(day: number, equipment: 'belt' | 'alternator', work: Data<'service-done'>['work'], over?: Over): string
  /** What is found at an hour of a day, by what had been written by then. */
  found(day: number, hour?: number, past?: AsOf): Signs
}

/** Amps of a healthy alternator of the made-up drive at an engine speed: half of it at 1,000, most of it at 2,000. */
const healthy = (rpm: number): number => 92 * (1 - Math.exp(-(rpm - 520) / 680))

/** Engine hours that the log counts for each of its days. */
const hoursADay = 4

/** @param fitted what is said of the equipment beyond the usual */
export function beltBoat(
  fitted: {
    belt?: Partial<Data<'equipment-fitted'>>
    alternator?: Partial<Data<'equipment-fitted'>>
    bank?: Partial<Data<'equipment-fitted'>>
  } = {},
): BeltBoat {
  const book = given()
  const on = (day: number, hour = 10): string => new Date(Date.UTC(2026, 4, 1 + day, hour)).toISOString()
  const aboard = (data: Data<'equipment-fitted'>) => book.write('equipment-fitted', on(0, 6), data)
  book.write('book-set', on(0, 5), { boat: 'Made-up', zone: 'UTC' })
  aboard({ equipment: 'engine', name: 'Engine', kind: 'engine' })
  aboard({ equipment: 'bank', name: 'House bank', kind: 'battery bank', batteryKind: 'AGM', ...fitted.bank })
  aboard({
    equipment: 'alternator',
    name: 'Alternator',
    kind: 'alternator',
    partOf: 'engine',
    charges: 'bank',
    ratedAmps: { value: 100, unit: 'A' },
    ampsReadAt: 'alternator',
    ...fitted.alternator,
  })
  aboard({
    equipment: 'belt',
    name: 'Alternator belt',
    kind: 'belt',
    partOf: 'engine',
    drives: 'alternator',
    slipTorqueAsSet: { value: 22, unit: 'N.m' },
    ...fitted.belt,
  })
  book.write('meter-fitted', on(0, 6), {
    meter: 'engine-hours',
    name: 'Engine hours',
    equipment: 'engine',
    counts: 'hours',
    kind: 'true running',
    reading: 1000,
  })
  const hours = (day: number) => h(1000 + day * hoursADay)
  return {
    book,
    on,
    reads(day, share, more = {}, over) {
      const rpm = more.speed?.value ?? 1300 + 150 * (day % 3)
      return book.write(
        'readings-taken',
        on(day),
        {
          equipment: 'engine',
          hours: hours(day),
          speed: { value: rpm, unit: '/min' },
          amps: { value: Math.round(healthy(rpm) * share), unit: 'A' },
          volts: { value: 13.5, unit: 'V' },
          sinceStart: { value: 12, unit: 'min' },
          stage: 'bulk',
          otherCharging: 'none',
          ...more,
        },
        over,
      )
    },
    looks: (day, dust, wiped, over) =>
      book.write(
        'check-made',
        on(day, 9),
        { equipment: 'belt', ...(dust ? { dust } : {}), wiped: wiped ? 'wiped' : 'not wiped' },
        over,
      ),
    torque: (day, newtonMetres) =>
      book.write('check-made', on(day, 8), { equipment: 'belt', slipTorque: { value: newtonMetres, unit: 'N.m' } }),
    serves: (day, equipment, work, over) => book.write('service-done', on(day, 12), { equipment, work }, over),
    found: (day, hour = 15, past = {}) =>
      signs([...book.entries], timeline(book.entries, past), Date.parse(on(day, hour)), past),
  }
}

/** The same boat with ten healthy days behind her: readings and looks as they should be. */
export function wellKept(fitted: Parameters<typeof beltBoat>[0] = {}): BeltBoat {
  const boat = beltBoat(fitted)
  for (let day = 1; day <= 10; day++) {
    boat.reads(day, 1)
    if (day % 3 === 0) boat.looks(day, 'none', false)
  }
  return boat
}
