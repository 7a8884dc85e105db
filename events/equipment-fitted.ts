import { defineEvent, field } from './define.ts'
import { equipmentKinds } from './works.ts'

const electrical = [
  'alternator',
  'battery bank',
  'solar panel',
  'charger',
  'starter motor',
  'windlass',
  'generator',
  'boat',
]
const drive = ['belt']

/** Equipment fitted: anything aboard that is looked after. Fitting the same handle again means that it was replaced. */
export const equipmentFitted = defineEvent({
  type: 'equipment-fitted',
  label: 'Fitted',
  about: 'A piece of equipment came aboard or was renewed, with what is known of it.',
  fields: {
    equipment: field.handle('Short name', 'equipment', {
      says: '',
      help: 'How other entries refer to it; keep it when the thing is replaced by another of its kind.',
    }),
    name: field.text('Name', { says: '{}' }),
    kind: field.choice('Kind', equipmentKinds, { says: '' }),
    partOf: field.handle('Part of', 'equipment', { says: 'part of {}' }).optional(),
    drives: field.handle('Drives', 'equipment', { only: drive, says: 'drives {}' }).optional(),
    drivenBy: field
      .handle('Runs with', 'equipment', {
        says: 'runs with {}',
        help: 'Whose hours it runs on, where it is not part of it.',
      })
      .optional(),
    place: field.text('Where it is', { says: '{}' }).optional(),
    made: field.text('Make and model', { says: '{}' }).optional(),
    serial: field.text('Serial number', { says: 'serial {}' }).optional(),
    partNumbers: field.text('Part numbers', { help: 'With equivalents, separated by commas.' }, 400).optional(),
    newOrUsed: field.choice('New or used', ['new', 'used', 'used, get-home only'], { says: '{}' }).optional(),
    power: field
      .quantity('Rated power', 'power', { min: 0, max: 5000 }, { only: ['engine', 'generator', 'outboard'] })
      .optional(),
    ratedSpeed: field
      .quantity('Rated speed', 'rotation', { min: 0, max: 10000 }, { only: ['engine', 'generator'] })
      .optional(),
    systemVolts: field.quantity('System voltage', 'voltage', { min: 1, max: 1000 }, { only: electrical }).optional(),
    ratedAmps: field
      .quantity('Rated output', 'current', { min: 0, max: 2000 }, { only: ['alternator', 'solar panel', 'charger'] })
      .optional(),
    pulleyDiameter: field
      .quantity('Pulley, pitch diameter', 'length', { min: 5, max: 1000 }, { only: ['alternator', ...drive] })
      .optional(),
    drivingPulleyDiameter: field
      .quantity('Driving pulley, pitch diameter', 'length', { min: 5, max: 1000 }, { only: drive })
      .optional(),
    speedRatio: field
      .number('Speed ratio to the engine', { min: 0.05, max: 20 }, { only: ['alternator', ...drive] })
      .optional(),
    beltKind: field
      .choice('Belt', ['classical V-belt', 'narrow V-belt', 'cogged V-belt', 'multi-ribbed belt', 'toothed belt'], {
        only: drive,
      })
      .optional(),
    beltCount: field.number('Belts side by side', { min: 1, max: 8, whole: true }, { only: drive }).optional(),
    automaticTensioner: field.flag('Automatic tensioner', { only: drive, says: 'automatic tensioner' }).optional(),
    overrunningPulley: field
      .flag('Overrunning pulley', { only: ['alternator', ...drive], says: 'overrunning pulley' })
      .optional(),
    wrap: field.quantity('Wrap on the small pulley', 'angle', { min: 1, max: 360 }, { only: drive }).optional(),
    longestSpan: field.quantity('Longest span', 'length', { min: 10, max: 5000 }, { only: drive }).optional(),
    slipTorqueAsSet: field.quantity('Slip torque as set', 'torque', { min: 0, max: 500 }, { only: drive }).optional(),
    deflectionAsSet: field.quantity('Deflection as set', 'length', { min: 0, max: 200 }, { only: drive }).optional(),
    deflectionForceAsSet: field
      .quantity('Force for that deflection', 'force', { min: 0, max: 1000 }, { only: drive })
      .optional(),
    batteryKind: field
      .choice(
        'Battery kind',
        ['flooded lead', 'AGM', 'gel', 'lead-carbon', 'lithium iron phosphate', 'other lithium'],
        { only: ['battery bank'] },
      )
      .optional(),
    capacity: field.quantity('Capacity', 'charge', { min: 0, max: 100000 }, { only: ['battery bank'] }).optional(),
    ampsReadAt: field
      .choice('Amps are read at', ['alternator', 'battery', 'both', 'nowhere'], {
        only: ['alternator', 'battery bank'],
        says: 'amps read at {}',
      })
      .optional(),
    charges: field
      .handle('Charges', 'equipment', {
        only: ['alternator', 'solar panel', 'charger', 'generator'],
        says: 'charges {}',
      })
      .optional(),
    dipstickRange: field
      .quantity(
        'Low to full mark',
        'volume',
        { min: 0, max: 100 },
        { only: ['engine', 'gearbox', 'saildrive', 'generator'], says: 'low to full mark {}' },
      )
      .optional(),
    volume: field
      .quantity(
        'Holds',
        'volume',
        { min: 0, max: 1e5 },
        { only: ['fuel tank', 'tank', 'engine', 'gearbox', 'saildrive'], says: 'holds {}' },
      )
      .optional(),
    material: field
      .text('Material', { only: ['boat', 'tank', 'fuel tank', 'seacock', 'stay', 'propeller', 'anode'], says: '{}' })
      .optional(),
    note: field.prose('Note', { says: '. {}' }).optional(),
  },
  examples: [
    {
      version: 1,
      data: {
        equipment: 'house-belt',
        name: 'House alternator belt',
        kind: 'belt',
        partOf: 'engine',
        drives: 'house-alternator',
        pulleyDiameter: { value: 68, unit: 'mm' },
        drivingPulleyDiameter: { value: 150, unit: 'mm' },
        speedRatio: 2.2,
        beltKind: 'narrow V-belt',
        beltCount: 1,
        automaticTensioner: false,
        wrap: { value: 148, unit: 'deg' },
        longestSpan: { value: 384, unit: 'mm' },
        slipTorqueAsSet: { value: 24, unit: 'N.m' },
      },
    },
  ],
})
