import type { Quantity } from '../../events/define.ts'
import type { Data } from '../../events/index.ts'
import { convert } from '../../events/units.ts'
import type { Work } from '../../events/works.ts'
import type { Told } from '../timeline.ts'
import type { Drive } from './drives.ts'

/** What an entry says of one drive, in one set of units; null where it does not say. */
export interface Observation {
  readonly root: string
  readonly at: number
  readonly occurredAt: string
  /** What the engine's hours meter showed. */
  readonly meter: number | null
  readonly what:
    | { readonly kind: 'hours' }
    | { readonly kind: 'started' }
    | {
        readonly kind: 'output'
        readonly amps: number | null
        /** As of a 12-volt bank: those of 24 and 48 volts are divided down. */
        readonly volts: number | null
        readonly rpm: number | null
        readonly minutes: number | null
        readonly stage: 'bulk' | 'absorption' | 'float' | 'off' | null
        readonly others: boolean | null
        readonly readAt: 'alternator' | 'battery' | null
        readonly coolantCelsius: number | null
      }
    | {
        readonly kind: 'look'
        readonly dust: Dust | null
        readonly wiped: boolean | null
        readonly found: 'normal' | 'look again' | 'wrong' | null
        readonly tension: Tension | null
      }
    | { readonly kind: 'work'; readonly on: 'belt' | 'alternator'; readonly work: Work; readonly left: Tension | null }
    | { readonly kind: 'fitted'; readonly on: 'belt' | 'alternator'; readonly asSet: readonly Tension[] }
}

/** Grades of belt dust, least first. */
export const dustGrades = ['none', 'trace', 'film', 'heavy'] as const

/** One of them. */
export type Dust = (typeof dustGrades)[number]

/** A check of tension: a figure that grows in proportion to tension, comparable with others made the same way. */
export interface Tension {
  readonly by: 'slip torque' | 'deflection' | 'pluck'
  readonly value: number
}

const inUnit = (quantity: Quantity | undefined, unit: string): number | null =>
  quantity === undefined ? null : convert(quantity.value, quantity.unit, unit)

/** Newtons for each millimetre: tension in proportion, the span being what it is. A deflection without its force says nothing. */
function stiffness(force: Quantity | undefined, deflection: Quantity | undefined): Tension[] {
  const newtons = inUnit(force, 'N')
  const millimetres = inUnit(deflection, 'mm')
  return newtons === null || millimetres === null || newtons <= 0 || millimetres <= 0
    ? []
    : [{ by: 'deflection', value: newtons / millimetres }]
}

const torque = (quantity: Quantity | undefined): Tension[] => {
  const value = inUnit(quantity, 'N.m')
  return value === null || value <= 0 ? [] : [{ by: 'slip torque', value }]
}

/** Tension goes with the square of the frequency. */
const pluck = (quantity: Quantity | undefined): Tension[] => {
  const value = inUnit(quantity, 'Hz')
  return value === null || value <= 0 ? [] : [{ by: 'pluck', value: value ** 2 }]
}

/** What an entry says of a drive; null if it says nothing of it. `meterOfEngine` tells whether a meter is that of an engine. */
export function observe(
  entry: Told,
  drive: Drive,
  meterOfEngine: (meter: string, engine: string | null) => boolean,
): Observation | null {
  const of = (what: Observation['what'], meter: number | null = null): Observation => ({
    root: entry.root,
    at: entry.at,
    occurredAt: entry.occurredAt,
    meter,
    what,
  })
  switch (entry.type) {
    case 'engine-started':
    case 'engine-stopped':
      return entry.data.equipment === drive.engine
        ? of({ kind: entry.type === 'engine-started' ? 'started' : 'hours' }, inUnit(entry.data.hours, 'h'))
        : null
    case 'hours-read':
      return meterOfEngine(entry.data.meter, drive.engine)
        ? of({ kind: 'hours' }, inUnit(entry.data.reading, 'h'))
        : null
    case 'readings-taken': {
      const { data } = entry
      if (!isOf(data.equipment, drive)) return null
      const meter = inUnit(data.hours, 'h')
      const ours = data.alternator === undefined ? drive.main : data.alternator === drive.alternator
      return of(ours ? outputOf(data, drive) : { kind: 'hours' }, meter)
    }
    case 'check-made': {
      const { data } = entry
      if (drive.belt === null || data.equipment !== drive.belt) return null
      const tensions = [
        ...torque(data.slipTorque),
        ...stiffness(data.deflectionForce, data.deflection),
        ...pluck(data.pluckFrequency),
      ]
      return of({
        kind: 'look',
        dust: data.dust ?? null,
        wiped: data.wiped === undefined ? null : data.wiped === 'wiped',
        found: data.found ?? null,
        tension: tensions[0] ?? null,
      })
    }
    case 'service-done': {
      const { data } = entry
      const on = partOf(drive, data.equipment)
      if (on === null) return null
      const left = [...torque(data.slipTorqueLeft), ...stiffness(data.deflectionForce, data.deflectionLeft)]
      return of({ kind: 'work', on, work: data.work, left: left[0] ?? null }, inUnit(data.hours, 'h'))
    }
    case 'equipment-fitted': {
      const { data } = entry
      const on = partOf(drive, data.equipment)
      if (on === null) return null
      const asSet = [...torque(data.slipTorqueAsSet), ...stiffness(data.deflectionForceAsSet, data.deflectionAsSet)]
      return of({ kind: 'fitted', on, asSet })
    }
    default:
      return null
  }
}

/** Readings belong to the engine; some write them of the alternator, and where no engine is known they can be of no other. */
const isOf = (equipment: string, { engine, alternator, main }: Drive): boolean =>
  equipment === engine || equipment === alternator || (engine === null && main)

const partOf = (drive: Drive, handle: string): 'belt' | 'alternator' | null =>
  handle === drive.belt ? 'belt' : handle === drive.alternator ? 'alternator' : null

function outputOf(data: Data<'readings-taken'>, drive: Drive): Observation['what'] {
  const volts = inUnit(data.volts, 'V')
  return {
    kind: 'output',
    amps: inUnit(data.amps, 'A'),
    // A nominal 12 V is charged at 12 to 15, 24 V at twice that, 48 V at four times.
    volts: volts === null ? null : volts > 36 ? volts / 4 : volts > 18 ? volts / 2 : volts,
    rpm: inUnit(data.speed, '/min'),
    minutes: inUnit(data.sinceStart, 'min'),
    stage: data.stage ?? null,
    others: data.otherCharging === undefined ? null : data.otherCharging !== 'none',
    readAt: data.ampsReadAt ?? drive.ampsReadAt,
    coolantCelsius: inUnit(data.coolant, 'Cel'),
  }
}
