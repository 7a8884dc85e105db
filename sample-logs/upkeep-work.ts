import type { Data } from '../events/index.ts'
import { type Keeper, minute } from './keeper.ts'
import type { Entered, Manner, Written } from './pen.ts'
import { rounded, slipTorque } from './ship.ts'
import { type KeptTask, tasks } from './upkeep.ts'
import { dustFound } from './voyage.ts'

type Service = Data<'service-done'>
type Found = Data<'check-made'>

const euro = (value: number) => ({ value, unit: 'EUR' })
const newtonMetres = (value: number) => ({ value: rounded(value), unit: 'N.m' as const })

/** The task of that handle. @throws when there is none: a slip of the pen in the scenario */
export function taskOf(handle: string): KeptTask {
  const found = tasks.find((task) => task.set.task === handle)
  if (!found) throw new Error(`No task ${handle}`)
  return found
}

/** Words for services that need nothing special, by task; one of them, or none, is written beside the service. */
const remarks: Record<string, readonly string[]> = {
  'exhaust-hose': [
    'Dry. Clamps at the waterlock nipped up.',
    'Dry all the way, hand-warm at full load.',
    'Outlet flap cleaned.',
  ],
  'shaft-seal': [
    'A drop in two minutes, as always.',
    'Dry. No play worth the name at the bearing.',
    'Two drops a minute under way.',
  ],
  'seacocks-worked': [
    'Galley one stiff, worked it twenty times.',
    'All four free.',
    'Heads outlet wants grease next time ashore.',
  ],
  'rig-from-deck': [
    'Tape renewed at the spreader roots.',
    'One split pin on the port lower straightened out: renewed.',
    'Nothing.',
  ],
  'gas-leak': [
    'No bubbles in three minutes.',
    'No bubbles. Locker drain rodded through.',
    'Two bubbles at first, none after the cooker tap was worked; tested again, none.',
  ],
  'bilge-pump-test': [
    'A bucket in 14 s. Float switch lifts.',
    'A bucket in 15 s.',
    'Strainer full of pencil shavings and one clothes peg.',
  ],
  windlass: ['Oil like honey, no water in it.', 'Cone greased.'],
  'heat-exchanger': ['Three tubes of 31 with shell grit, rodded with dowel.'],
  'exhaust-elbow': ['Carbon 2 mm, scraped. Wall sound.'],
  'seacocks-stripped': ['Ashore. New seals in the two heads ones.'],
  'rig-aloft': [
    'Every terminal, with the magnifier. Masthead sheave greased.',
    'Spreader boots renewed. Light over the deck lamp corroded, cleaned.',
    'Nothing moves that should not.',
  ],
  'starter-connections': ['Earth strap green, cleaned to bright.', 'Clean.'],
  'furling-line': ['Flat at the drum, turned end for end.', 'End for end. Next time new.'],
  antifouling: [
    'Two coats, three at the waterline. No bare plate.',
    'Two coats. Primer touched up at the skeg.',
    'Two coats in one dry day.',
  ],
  'air-filter': ['Foam crumbles at the edge.', 'Washed the housing.'],
  liferaft: ['Certificate in the chart table.'],
}

/** What parts cost, EUR, from and to, by task. */
const costs: Record<string, readonly [number, number]> = {
  'engine-oil': [62, 78],
  'gearbox-oil': [14, 18],
  'separator-element': [21, 27],
  'engine-fuel-filter': [17, 22],
  impeller: [46, 58],
  'air-filter': [24, 29],
  coolant: [38, 44],
  'heat-exchanger': [31, 36],
  antifouling: [168, 205],
  liferaft: [640, 720],
}

/**
 * Does an upkeep task as her owner would: the checks that belong to it, the service, and what it changes aboard.
 * @param words the note, where a story has its own
 * @returns the service and everything else that was written
 */
export function doTask(keeper: Keeper, task: KeptTask, at: number, manner: Manner = {}, words?: string): Entered[] {
  const { pen, ship, random } = keeper
  const handle = task.set.task
  const { equipment, work } = task.set
  const written: Entered[] = []
  const late = manner.after === undefined && manner.recordedAt === undefined ? { after: random.between(2, 50) } : {}
  const how: Manner = { hand: random.chance(0.85) ? 'H.B.' : 'E.N.', ...late, ...manner }
  const check = (found: Omit<Found, 'equipment'>, on = equipment) =>
    written.push(pen.write('check-made', at, { equipment: on, ...found }, how))
  const service = (more: Partial<Service> = {}, when = at) => {
    const [low, high] = costs[handle] ?? [0, 0]
    const remark = remarks[handle]
    const data: Service = {
      equipment,
      work,
      ...(task.withHours ? { hours: keeper.hoursShown() } : {}),
      by: task.set.skill === 'trade' ? 'trade' : 'own hands',
      ...(task.set.parts && high > 0 ? { parts: task.set.parts } : {}),
      ...(high > 0 ? { cost: euro(rounded(random.between(low, high), 1)) } : {}),
      ...(remark && random.chance(0.65) ? { note: random.pick(remark) } : {}),
      ...more,
      ...(words === undefined ? {} : { note: words }),
    }
    written.push(pen.write('service-done', when, data, how))
  }

  switch (handle) {
    case 'engine-oil':
      ship.oilMissing = 0.05
      service({
        note: random.pick([
          'Black, nothing metallic in the filter.',
          'Filter cut open: clean.',
          '6.2 L out, 6.5 L in. Dipped again after ten minutes.',
        ]),
      })
      break
    case 'gearbox-oil':
      service({ note: random.pick(['Clear, a grey film on the magnet.', 'Clear.']) })
      break
    case 'separator-drain': {
      const millilitres = Math.round(ship.bowlWater / 5) * 5
      service({ note: millilitres > 5 ? `${millilitres} mL of water, no dirt.` : 'Clean fuel.' })
      ship.bowlWater = 0
      break
    }
    case 'separator-element':
      service({ condition: 'worn' })
      ship.separatorHours = 0
      break
    case 'engine-fuel-filter':
      service({ condition: 'good', note: 'Bled at the filter head.' })
      break
    case 'house-belt-check': {
      const torque = newtonMetres(slipTorque(ship.houseBelt) * (1 + random.normal(0, 0.05)))
      check({ ...dustFound(keeper, 'house'), slipTorque: torque })
      service(ship.houseBelt.age < 12 ? { note: 'New belt still bedding in.' } : {})
      if (torque.value <= 16) tension(keeper, 'house', at + 15 * minute, torque, how, written)
      break
    }
    case 'engine-belt-check': {
      const torque = newtonMetres(slipTorque(ship.engineBelt) * (1 + random.normal(0, 0.05)))
      check({ ...dustFound(keeper, 'engine'), slipTorque: torque })
      service()
      if (torque.value <= 9) tension(keeper, 'engine', at + 12 * minute, torque, how, written)
      break
    }
    case 'strainer':
      service({
        note:
          ship.weed > 0.5
            ? random.pick(['Half full of eelgrass.', 'Eelgrass and one small crab, put back.'])
            : random.pick(['A handful of weed. Seacock shut first, open again after.', 'Nearly clean.']),
      })
      ship.weed = 0
      break
    case 'impeller':
      service({ condition: random.chance(0.5) ? 'good' : 'worn', note: 'All six vanes. Old one kept for get-home.' })
      break
    case 'engine-anode': {
      const left = Math.round(ship.anodes.engine / 5) * 5
      check({ anodeLeft: { value: left, unit: '%' } })
      service()
      if (left <= 55) {
        written.push(
          pen.write(
            'service-done',
            at + 10 * minute,
            {
              equipment,
              work: 'anode renewed',
              hours: keeper.hoursShown(),
              by: 'own hands',
              anodeLeft: { value: left, unit: '%' },
              parts: 'pencil anode 10 x 50',
              cost: euro(9.5),
            },
            how,
          ),
        )
        ship.anodes.engine = 100
      }
      break
    }
    case 'hull-anodes': {
      const left = Math.round(ship.anodes.hull / 5) * 5
      check({ anodeLeft: { value: left, unit: '%' } })
      service()
      if (left <= 50) {
        written.push(
          pen.write(
            'service-done',
            at + 60 * minute,
            {
              equipment,
              work: 'anode renewed',
              by: 'own hands',
              anodeLeft: { value: left, unit: '%' },
              parts: '4 x weld-on 2.2 kg, aluminium',
              cost: euro(212),
              note: 'Bonding to the plate measured: below 0.01 ohm, all four.',
            },
            how,
          ),
        )
        ship.anodes.hull = 100
      }
      break
    }
    case 'hull-potential':
      if (keeper.shorePower) {
        check({
          hullPotential: { value: ship.hullPotential(true, keeper.latitude), unit: 'V' },
          note: 'On shore power.',
        })
        check({
          hullPotential: { value: ship.hullPotential(false, keeper.latitude), unit: 'V' },
          note: 'Shore lead pulled.',
        })
      } else check({ hullPotential: { value: ship.hullPotential(false, keeper.latitude), unit: 'V' } })
      service()
      break
    case 'house-bank-rest':
      check({
        restVolts: { value: ship.restVolts(), unit: 'V' },
        ...(keeper.shorePower
          ? {}
          : {
              restedFor: { value: keeper.laidUp ? 24 * random.whole(9, 26) : random.whole(6, 11), unit: 'h' as const },
            }),
        shorePower: keeper.shorePower,
      })
      service()
      break
    case 'start-bank-gravity': {
      const top = 1.275 - 0.06 * (1 - ship.startVigour) * 2
      const cells = Array.from({ length: 6 }, (_, cell) =>
        (top - (cell === 3 ? 0.09 * (1 - ship.startVigour) : 0) + random.normal(0, 0.002)).toFixed(3),
      )
      check({
        restVolts: { value: ship.startRestVolts(), unit: 'V' },
        restedFor: { value: 12, unit: 'h' },
        shorePower: false,
      })
      service({ note: `Cells from the plus end: ${cells.join(', ')}.` })
      break
    }
    case 'alternator-output':
      written.push(...outputTest(keeper, at, how))
      service({}, at + 35 * minute)
      break
    case 'bilge-pump-test':
      ship.rain(2)
      service()
      check({ bilgeCount: ship.counter })
      break
    default:
      service()
  }
  const last = handle === 'alternator-output' ? at + 35 * minute : at
  keeper.markDone(handle, last)
  return written
}

/** Tensions a belt: found, left, the dust wiped off. */
export function tension(
  keeper: Keeper,
  which: 'house' | 'engine',
  at: number,
  found: { value: number; unit: 'N.m' },
  how: Manner,
  written: Entered[] = [],
): Written<'service-done'> {
  const { ship, pen, random } = keeper
  const belt = which === 'house' ? ship.houseBelt : ship.engineBelt
  const aim = which === 'engine' ? 14 : belt.age < 12 ? 24 : 22
  const left = rounded(aim + random.normal(0, 0.6))
  // The wrench sets what the belt grips with as it is, glaze and all.
  belt.set = left / (1 - belt.glaze)
  belt.hours = 0
  belt.dust = 0.05
  const done = pen.write(
    'service-done',
    at,
    {
      equipment: which === 'house' ? 'house-belt' : 'engine-belt',
      work: 'belt tensioned',
      hours: keeper.hoursShown(),
      by: 'own hands',
      slipTorqueFound: found,
      slipTorqueLeft: { value: left, unit: 'N.m' },
      note: random.pick([
        'Batteries isolated first. Pulleys in line.',
        'Lock nut was a flat loose.',
        'Straight-edge touches all round.',
      ]),
    },
    how,
  )
  written.push(done)
  return done
}

/** A run alongside to see what the house alternator gives, cold and hot, at a set speed. */
function outputTest(keeper: Keeper, at: number, how: Manner): Entered[] {
  const { ship, pen, random } = keeper
  const written: Entered[] = []
  const begin = Math.round(at / minute) * minute
  // Loads are switched on first, so that the bank takes all she gives.
  ship.charge = Math.min(ship.charge, random.between(0.72, 0.78))
  ship.start(keeper.seaAt(at))
  written.push(
    pen.write('engine-started', begin, { equipment: 'engine', purpose: 'testing', hours: keeper.hoursShown() }, how),
  )
  let gone = 0
  for (const until of [6, 25]) {
    ship.run(until - gone, 1600, gone)
    gone = until
    const { amps, volts, stage } = ship.gauges(1600, until, keeper.seaAt(at))
    written.push(
      pen.write(
        'readings-taken',
        begin + until * minute,
        {
          equipment: 'engine',
          hours: keeper.hoursShown(),
          speed: { value: 1600, unit: '/min' },
          sinceStart: { value: until, unit: 'min' },
          amps: { value: amps, unit: 'A' },
          volts: { value: volts, unit: 'V' },
          ampsReadAt: 'alternator',
          alternator: 'house-alternator',
          stage,
          otherCharging: 'none',
          note: until < 10 ? 'Cold, all lights and the kettle on.' : 'Hot.',
        },
        how,
      ),
    )
  }
  written.push(
    pen.write('engine-stopped', begin + 25 * minute, { equipment: 'engine', hours: keeper.hoursShown() }, how),
  )
  keeper.mark(begin + 25 * minute)
  return written
}
