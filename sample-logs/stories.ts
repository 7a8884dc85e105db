import { hour, type Keeper, minute } from './keeper.ts'
import type { Entered, Written } from './pen.ts'
import { rounded, slipTorque, tankHolds } from './ship.ts'
import { gravityTask } from './upkeep.ts'
import { doTask, taskOf, tension } from './upkeep-work.ts'
import { fahrenheit, type LegTwist, type Sailed } from './voyage.ts'

/**
 * The stories that the log tells beside the everyday, each hung on a date. What an entry of a later date refers to is kept in `Told`.
 * The README beside this file says where to find each.
 */

/** Titles of the stories, as `sampleBoat` lists them. */
export const titles = {
  paper: 'The last known state, copied in from the old paper log, with the day alone',
  mistyped: 'A mistyped meter reading, amended within the half hour',
  mistypedLater: 'A mistyped meter reading, seen and amended the next day',
  meter: 'The engine hours meter replaced: the count goes on',
  temporary: 'A temporary repair carried for more than 400 miles, then made permanent',
  carried: 'A temporary repair still carried at the end',
  late: 'Late entries: passages written down days afterwards',
  drift: 'Services that drift beyond their interval as use rises',
  struck: 'A reading struck: it was read off the wrong gauge',
  revived: 'An entry struck by mistake, and revived',
  units: 'Mixed units: a guest reads the gauges out in the units of home',
  seacock: 'The engine seacock left shut, and the engine started on it',
  leftAtEnd: 'Left shut and off on the last evening',
  outlier: 'A reading a hundred hours out, never amended',
  defect: 'A defect still open at the end',
  clock: 'A night passage through the end of summer time',
  isolator: 'Hull potential gives away a failed galvanic isolator',
  belt: 'The house alternator belt glazes and dusts, and is renewed',
  battery: 'The starting battery fades and is replaced; its upkeep task is retired',
  counter: 'The bilge counter of three digits rolls over, and is set back to nought a later spring',
  zone: "Ship's time changes on passage",
  settings: 'A setting of the book changed: pressures shown in bar',
} as const

/** What later dates refer back to. */
interface Told {
  isolator?: Written<'defect-found'>
  hose?: Written<'defect-found'>
  hoseMend?: Written<'repair-made'>
  lid?: Written<'defect-found'>
  hatch?: Written<'defect-found'>
  heater?: Written<'defect-found'>
  cans?: Written<'taken-aboard'>
  strike?: Written<'entry-struck'>
}

/** What stories do to legs, by the day on which she leaves. */
export const twists: Readonly<Record<string, LegTwist>> = {
  '2024-06-26': { mistyped: { after: 22 } },
  '2024-07-08': { motoring: 0.6 },
  '2024-07-28': {
    late: { days: 2, at: '21:10', dayOnly: ['passage-begun'] },
    wind: { force: 6, ahead: false, text: 'NW 6, sea rough, 1004 hPa' },
    motoring: 0.1,
    note: 'Wet. Nobody wrote anything.',
  },
  '2025-06-28': { mistyped: { after: 23 * 60 }, motoring: 0.5 },
  '2025-07-16': { read: true, motoring: 0.7 },
  '2025-07-18': {
    read: true,
    motoring: 0.6,
    wind: { force: 2, ahead: false, text: 'E 2, sea smooth, 1019 hPa' },
  },
  '2025-08-04': {
    late: { days: 2, at: '17:40', dayOnly: ['passage-begun'] },
    wind: { force: 6, ahead: false, text: 'N 6, sea rough, 1001 hPa' },
    motoring: 0.08,
    note: 'Two reefs and the staysail.',
  },
  '2025-10-25': {
    bare: true,
    motoring: 0.45,
    wind: { force: 3, ahead: false, text: 'E 3, sea slight, 1013 hPa, clear' },
    note: 'Clocks back on the way: the night had an hour more than the watch.',
  },
  '2026-07-15': {
    late: { days: 3, at: '10:20', dayOnly: ['passage-begun'] },
    motoring: 0.5,
    wind: { force: 3, ahead: true, text: 'S 3, sea slight, 1012 hPa' },
    note: 'Tired. Slept first, wrote on Saturday.',
  },
}

/** Tasks that the owner puts off, from a day on: what is overdue at the end is overdue for a reason. */
export const putOff: readonly { task: string; from: string; until: string }[] = [
  { task: 'house-belt-check', from: '2025-07-06', until: '2025-08-01' },
  { task: 'house-belt-check', from: '2026-07-21', until: '2026-12-31' },
  { task: 'seacocks-worked', from: '2026-08-15', until: '2026-12-31' },
  { task: 'gas-leak', from: '2026-08-15', until: '2026-12-31' },
  { task: 'exhaust-hose', from: '2026-07-16', until: '2026-12-31' },
]

/** Whether a task is put off on a day. */
export const putOffOn = (date: string): ReadonlySet<string> =>
  new Set(putOff.filter(({ from, until }) => date >= from && date <= until).map(({ task }) => task))

/** The stories, as functions of the day; each of the dates in them comes to pass exactly once. */
export function storyTeller(keeper: Keeper) {
  const { pen, ship } = keeper
  const told: Told = {}
  const euro = (value: number) => ({ value, unit: 'EUR' })

  const days: Record<string, (at: number) => void> = {
    '2024-06-28'(at) {
      const found = pen.write('defect-found', at, {
        equipment: 'navigation-lights',
        what: 'stern light dead',
        matters: 'some',
        stops: 'night passages',
      })
      pen.write('defect-cleared', at + 70 * minute, { defect: found.id, how: 'Green contact, cleaned and greased.' })
    },
    '2024-07-11'(at) {
      pen.write('service-done', at, {
        equipment: 'winches',
        work: 'strip and service',
        by: 'own hands',
        note: 'Two of six. One pawl spring broken, renewed.',
        parts: 'pawl spring',
      })
    },
    '2024-07-26'(at) {
      ship.isolatorFailed = true
      const onShore = pen.write('check-made', at, {
        equipment: 'hull-bonding',
        hullPotential: { value: ship.hullPotential(true, keeper.latitude), unit: 'V' },
        found: 'wrong',
        note: 'On shore power.',
      })
      const off = pen.write('check-made', at + 6 * minute, {
        equipment: 'hull-bonding',
        hullPotential: { value: ship.hullPotential(false, keeper.latitude), unit: 'V' },
        found: 'normal',
        note: 'Shore lead pulled.',
      })
      told.isolator = pen.write('defect-found', at + 15 * minute, {
        equipment: 'shore-power',
        what: 'galvanic isolator passes current: hull potential 0.15 V up while the lead is in',
        matters: 'much',
        stops: 'lying on shore power',
      })
      const left = pen.write('left-as', at + 20 * minute, {
        equipment: 'shore-power',
        state: 'disconnected',
        note: 'Lead stays in the locker until there is a new isolator.',
      })
      keeper.shorePower = false
      keeper.markDone('hull-potential', at)
      const service = pen.write('service-done', at + 21 * minute, {
        equipment: 'hull-bonding',
        work: 'hull potential checked',
        by: 'own hands',
      })
      keeper.tell(titles.isolator, onShore, off, told.isolator, left, service)
    },
    '2024-08-17'(at) {
      ship.isolatorFailed = false
      const repair = pen.write('repair-made', at, {
        equipment: 'shore-power',
        kind: 'permanent',
        what: 'galvanic isolator renewed, fail-safe type',
        ...(told.isolator ? { mends: told.isolator.id } : {}),
        cost: euro(189),
      })
      const restored = pen.write('restored', at + 10 * minute, { equipment: 'shore-power' })
      const check = pen.write('check-made', at + 25 * minute, {
        equipment: 'hull-bonding',
        hullPotential: { value: ship.hullPotential(true, keeper.latitude), unit: 'V' },
        found: 'normal',
        note: 'On shore power, new isolator.',
      })
      keeper.tell(titles.isolator, repair, restored, check)
    },
    '2024-09-14'(at) {
      told.heater = pen.write('defect-found', at, {
        equipment: 'heater',
        what: 'does not light: clicks, white smoke, gives up',
        matters: 'some',
      })
    },
    '2024-10-19'(at) {
      pen.write('repair-made', at, {
        equipment: 'heater',
        kind: 'permanent',
        what: 'glow pin and its screen renewed, burner scraped',
        ...(told.heater ? { mends: told.heater.id } : {}),
        parts: 'glow pin, screen',
        cost: euro(96.5),
      })
      pen.write('service-done', at + 30 * minute, { equipment: 'heater', work: 'burner cleaned', by: 'own hands' })
    },
    '2025-01-18'(at) {
      pen.write(
        'service-done',
        at,
        {
          equipment: 'winches',
          work: 'strip and service',
          by: 'own hands',
          note: 'All six this time.',
          parts: 'pawls and springs',
        },
        { dayOnly: true, after: 600, hand: 'E.N.' },
      )
    },
    '2025-02-15'(at) {
      pen.write(
        'service-done',
        at,
        {
          equipment: 'foredeck-hatch',
          work: 'rebedded',
          by: 'own hands',
          note: 'Old sealant out with a plastic blade. Aluminium bright, primed.',
        },
        { dayOnly: true, after: 900, hand: 'H.B.' },
      )
    },
    '2025-04-12'(at) {
      const set = pen.write('book-set', at, {
        pressureUnit: 'bar',
        note: 'The gauges aboard read bar; nobody thinks in kilopascals.',
      })
      keeper.tell(titles.settings, set)
    },
    '2025-06-22'(at) {
      const tank =
        ship.fuel['fuel-tank-port'] < ship.fuel['fuel-tank-starboard'] ? 'fuel-tank-port' : 'fuel-tank-starboard'
      const litres = Math.min(20, Math.floor((tankHolds - ship.fuel[tank]) / 5) * 5)
      ship.fuel[tank] += litres
      told.cans = pen.write(
        'taken-aboard',
        at,
        { what: 'diesel', amount: { value: litres, unit: 'L' }, equipment: tank, note: 'From the can in the locker.' },
        { hand: 'H.B.', after: 9 },
      )
      told.strike = pen.strike(told.cans, 'The can is still full: never poured in.', { after: 4 * 60, hand: 'E.N.' })
      const revived = pen.strike(told.strike, 'It was poured in; the full one is the other can. It stands.', {
        after: 14 * 60,
        hand: 'H.B.',
      })
      keeper.tell(titles.revived, told.cans, told.strike, revived)
    },
    '2025-07-04'(at) {
      ship.coolantLoss = 0.008
      told.hose = pen.write('defect-found', at, {
        equipment: 'calorifier-hose',
        what: 'return hose split at the clip, coolant in the bilge',
        matters: 'much',
      })
      const amount = 1.4
      const topped = pen.write('taken-aboard', at + 50 * minute, {
        what: 'coolant',
        amount: { value: amount, unit: 'L' },
        equipment: 'engine',
        note: 'Cap off cold.',
      })
      ship.coolantMissing = 0
      told.hoseMend = pen.write('repair-made', at + 45 * minute, {
        equipment: 'calorifier-hose',
        kind: 'temporary',
        what: 'split end cut off, hose pulled to its last centimetre, two clips; silicone tape over it',
        mends: told.hose.id,
        waitsFor: 'coolant hose 16 mm, 3.1 m',
        parts: 'two clips, tape',
      })
      keeper.tell(titles.temporary, told.hose, told.hoseMend, topped)
    },
    '2025-07-13'(at) {
      const shown = ship.meter
      ship.meterBase = ship.hours
      const replaced = pen.write('meter-replaced', at, {
        meter: 'engine-hours',
        last: shown,
        first: 0,
        kind: 'true running',
        rollsOverAt: 10000,
        reason: 'Display fading since spring, readable by torch only.',
      })
      const read = pen.write('hours-read', at + 20 * minute, { meter: 'engine-hours', reading: keeper.hoursShown() })
      keeper.tell(titles.meter, replaced, read)
    },
    '2025-07-14'(at) {
      keeper.guestAboard = true
      // An oily rag left on the belt guard: from here on the flanks glaze.
      ship.houseBelt.glaze = 0.16
      const note = keeper.note(
        at,
        'Guest from the other side of the ocean until Gotland, with two cans of five gallons. Reads the gauges out in gallons and Fahrenheit; written as read.',
      )
      const tank =
        ship.fuel['fuel-tank-port'] < ship.fuel['fuel-tank-starboard'] ? 'fuel-tank-port' : 'fuel-tank-starboard'
      const gallons = Math.max(1, Math.min(10, Math.floor((tankHolds - ship.fuel[tank]) / 3.785411784)))
      ship.fuel[tank] += gallons * 3.785411784
      const fuel = pen.write(
        'taken-aboard',
        at + 30 * minute,
        {
          what: 'diesel',
          amount: { value: gallons, unit: '[gal_us]' },
          equipment: tank,
          note: 'Out of the guest cans.',
        },
        { hand: 'E.N.' },
      )
      keeper.tell(titles.units, note, fuel)
    },
    '2025-07-20'(at) {
      const torque = slipTorque(ship.houseBelt)
      const belt = pen.write(
        'check-made',
        at,
        {
          equipment: 'house-belt',
          slipTorque: { value: rounded(torque / 1.3558179483), unit: '[lbf_av].[ft_i]' },
          note: "With the guest's torque wrench.",
        },
        { hand: 'E.N.' },
      )
      const own = pen.write(
        'check-made',
        at + 6 * minute,
        {
          equipment: 'house-belt',
          deflection: { value: 0.25, unit: '[in_i]' },
          deflectionForce: { value: rounded(6.1 * (torque / 22), 1), unit: '[lbf_av]' },
        },
        { hand: 'E.N.' },
      )
      const sea = Math.round(keeper.seaAt(at))
      const swim = keeper.note(at + 40 * minute, `Swam. Sea ${fahrenheit(sea)} °F says the guest, ${sea} °C say we.`)
      keeper.tell(titles.units, belt, own, swim)
    },
    '2025-07-21'(at) {
      keeper.guestAboard = false
      keeper.tell(titles.units, keeper.note(at, 'Guest ashore with the ferry. Litres again.'))
    },
    '2025-07-29'(at) {
      const removed = pen.write('equipment-removed', at, {
        equipment: 'calorifier-hose',
        condition: 'worn out',
        kept: 'scrapped',
        reason: 'Hard as wood, ten years old.',
      })
      const fitted = pen.write('equipment-fitted', at + 40 * minute, {
        equipment: 'calorifier-hose',
        name: 'Calorifier hoses',
        kind: 'hose',
        partOf: 'engine',
        drivenBy: 'engine',
        place: 'engine to calorifier, under the sole',
        partNumbers: 'coolant hose 16 mm, 2 x 3.1 m',
        newOrUsed: 'new',
      })
      ship.coolantLoss = 0.003
      const repair = pen.write('repair-made', at + 45 * minute, {
        equipment: 'calorifier-hose',
        kind: 'permanent',
        what: 'both hoses renewed, new clips, bled at the header',
        ...(told.hoseMend ? { mends: told.hoseMend.id } : {}),
        parts: 'coolant hose 16 mm 6.2 m, 4 clips',
        cost: euro(58.4),
      })
      ship.start(keeper.seaAt(at))
      pen.write('engine-started', at + 50 * minute, {
        equipment: 'engine',
        purpose: 'testing',
        hours: keeper.hoursShown(),
      })
      ship.run(20, 1400)
      pen.write('engine-stopped', at + 70 * minute, { equipment: 'engine', hours: keeper.hoursShown() })
      keeper.mark(at + 70 * minute)
      const cleared =
        told.hose &&
        pen.write('defect-cleared', at + 75 * minute, {
          defect: told.hose.id,
          how: 'New hoses. Dry after twenty minutes at temperature.',
        })
      keeper.tell(titles.temporary, removed, fitted, repair, cleared)
    },
    '2025-08-02'(at) {
      const found = rounded(slipTorque(ship.houseBelt))
      const check = pen.write('check-made', at, {
        equipment: 'house-belt',
        dust: 'heavy',
        wiped: 'wiped',
        slipTorque: { value: found, unit: 'N.m' },
        found: 'wrong',
        note: 'Flanks glazed, a crack across the back.',
      })
      const out = pen.write('equipment-removed', at + 20 * minute, {
        equipment: 'house-belt',
        condition: 'worn',
        kept: 'kept for get-home',
        reason: 'Glazed, cracked. Belongs renewed, not tensioned.',
      })
      const fitted = pen.write('equipment-fitted', at + 35 * minute, {
        equipment: 'house-belt',
        name: 'House alternator belt',
        kind: 'belt',
        partOf: 'engine',
        drivenBy: 'engine',
        drives: 'house-alternator',
        pulleyDiameter: { value: 68, unit: 'mm' },
        drivingPulleyDiameter: { value: 150, unit: 'mm' },
        speedRatio: 2.2,
        beltKind: 'cogged V-belt',
        beltCount: 1,
        automaticTensioner: false,
        wrap: { value: 166, unit: 'deg' },
        longestSpan: { value: 337, unit: 'mm' },
        slipTorqueAsSet: { value: 24, unit: 'N.m' },
        deflectionAsSet: { value: 5, unit: 'mm' },
        deflectionForceAsSet: { value: 24, unit: 'N' },
        partNumbers: 'V-belt 10 x 1025, cogged',
        newOrUsed: 'new',
      })
      Object.assign(ship.houseBelt, { set: 24, hours: 0, age: 0, dust: 0, glaze: 0 })
      const service = pen.write('service-done', at + 40 * minute, {
        equipment: 'house-belt',
        work: 'belt renewed',
        hours: keeper.hoursShown(),
        by: 'own hands',
        condition: 'worn',
        slipTorqueFound: { value: found, unit: 'N.m' },
        slipTorqueLeft: { value: 24, unit: 'N.m' },
        parts: 'V-belt 10 x 1025, cogged',
        cost: euro(19.9),
        note: 'Batteries isolated. Straight-edge touches. Again after the first hours.',
      })
      keeper.markDone('house-belt-renewal', at)
      keeper.markDone('house-belt-check', at)
      keeper.tell(titles.belt, check, out, fitted, service)
    },
    '2025-08-05'(at) {
      const found = { value: rounded(slipTorque(ship.houseBelt)), unit: 'N.m' as const }
      keeper.tell(titles.belt, tension(keeper, 'house', at, found, { hand: 'H.B.' }))
    },
    '2025-08-23'(at) {
      const emptied = doTask(keeper, taskOf('strainer'), at, { hand: 'E.N.' }, 'Nearly clean.')
      const left = pen.write(
        'left-as',
        at + 10 * minute,
        { equipment: 'engine-seacock', state: 'shut', note: 'For the strainer; dinner was ready.' },
        { hand: 'E.N.' },
      )
      keeper.tell(titles.seacock, ...emptied, left)
    },
    '2026-01-24'(at) {
      pen.write(
        'service-done',
        at,
        { equipment: 'toilet', work: 'joker valve renewed', by: 'own hands', parts: 'joker valve', cost: euro(18) },
        { dayOnly: true, after: 1100, hand: 'H.B.' },
      )
    },
    '2026-03-29'(at) {
      const rest = pen.write('check-made', at, {
        equipment: 'start-bank',
        restVolts: { value: 12.31, unit: 'V' },
        restedFor: { value: 30, unit: 'h' },
        shorePower: false,
        found: 'wrong',
        note: 'Charged full the day before.',
      })
      const load = pen.write('service-done', at + 30 * minute, {
        equipment: 'start-bank',
        work: 'load tested',
        by: 'own hands',
        note: '9.1 V after fifteen seconds, cell four gassing. Seven years old: enough.',
      })
      keeper.tell(titles.battery, rest, load)
    },
    '2026-04-04'(at) {
      const out = pen.write('equipment-removed', at, {
        equipment: 'start-bank',
        condition: 'worn out',
        kept: 'scrapped',
      })
      const fitted = pen.write('equipment-fitted', at + 45 * minute, {
        equipment: 'start-bank',
        name: 'Starting battery',
        kind: 'battery bank',
        place: 'engine space, starboard',
        systemVolts: { value: 12, unit: 'V' },
        batteryKind: 'AGM',
        capacity: { value: 90, unit: 'A.h' },
        ampsReadAt: 'nowhere',
        partNumbers: '90 Ah, 12 V, AGM',
        newOrUsed: 'new',
      })
      const retired = pen.write('upkeep-retired', at + 50 * minute, {
        task: gravityTask,
        reason: 'The new one is AGM: no caps, no hydrometer.',
      })
      keeper.retired.add(gravityTask)
      ship.startVigour = 1
      keeper.tell(titles.battery, out, fitted, retired)
    },
    '2026-04-18'(at) {
      ship.pumpCount = 0
      const reset = pen.write('check-made', at, {
        equipment: 'bilge-pump',
        bilgeCount: 0,
        counterReset: true,
        note: 'Panel off to dry it; counter came back at nought.',
      })
      keeper.tell(titles.counter, reset)
    },
    '2026-06-13'(at) {
      told.hatch = pen.write('defect-found', at, {
        equipment: 'foredeck-hatch',
        what: 'weeps at the after corner under the hose',
        matters: 'little',
      })
    },
    '2026-06-16'(at) {
      pen.write('repair-made', at, {
        equipment: 'foredeck-hatch',
        kind: 'permanent',
        what: 'seal renewed, corner joint glued',
        ...(told.hatch ? { mends: told.hatch.id } : {}),
        parts: 'seal 12 x 8, 1.9 m',
        cost: euro(22),
      })
    },
    '2026-06-21'(at) {
      const shown = ship.meter
      const read = pen.write('hours-read', at, {
        meter: 'engine-hours',
        reading: { value: rounded(shown + 100, 1), unit: 'h' },
        note: 'Before supper.',
      })
      keeper.tell(titles.outlier, read)
    },
    '2026-07-31'(at) {
      told.lid = pen.write('defect-found', at, {
        equipment: 'strainer',
        what: 'hairline crack across the lid, sucks a little air',
        matters: 'some',
      })
      const repair = pen.write('repair-made', at + 50 * minute, {
        equipment: 'strainer',
        kind: 'temporary',
        what: 'crack filled with epoxy, second O-ring under the lid, a strap over it',
        mends: told.lid.id,
        waitsFor: 'a lid 118 mm, ordered',
        parts: 'epoxy, O-ring',
      })
      keeper.tell(titles.carried, told.lid, repair)
    },
    '2026-08-04'(at) {
      const onOil = Math.round(ship.hours - (keeper.done.get('engine-oil')?.hours ?? ship.hours))
      const written = doTask(keeper, taskOf('engine-oil'), at, { hand: 'H.B.' })
      doTask(keeper, taskOf('separator-element'), at + 60 * minute, { hand: 'H.B.' })
      written.push(
        keeper.note(
          at + 80 * minute,
          `Oil could not wait for lay-up this year: ${onOil} hours on it, and the season not over.`,
          'engine',
        ),
      )
      keeper.tell(titles.drift, ...written)
    },
    '2026-08-18'(at) {
      const defect = pen.write('defect-found', at, {
        equipment: 'windlass',
        what: 'up button answers at the third push only; relay clicks, motor does not',
        matters: 'some',
        stops: 'anchoring in a hurry',
      })
      keeper.tell(titles.defect, defect)
    },
  }

  /** What happens before a leg, by the day on which she leaves. */
  const before: Record<string, (leaves: number) => void> = {
    '2025-08-24'(leaves) {
      const start = leaves - 100 * minute
      ship.start(keeper.seaAt(start))
      const began = pen.write(
        'engine-started',
        start,
        {
          equipment: 'engine',
          purpose: 'leaving or entering harbour',
          hours: keeper.hoursShown(),
          rawWaterSeen: 'none',
        },
        { hand: 'H.B.', after: 9 },
      )
      ship.run(3, 900)
      const stopped = pen.write(
        'engine-stopped',
        start + 3 * minute,
        { equipment: 'engine', hours: keeper.hoursShown(), note: 'No water at the exhaust: stopped at once.' },
        { hand: 'H.B.', after: 7 },
      )
      keeper.mark(start + 3 * minute)
      const restored = pen.write(
        'restored',
        start + 5 * minute,
        { equipment: 'engine-seacock', note: 'It was shut. Nobody had looked.' },
        { hand: 'H.B.' },
      )
      const look = pen.write(
        'service-done',
        start + 40 * minute,
        {
          equipment: 'raw-water-pump',
          work: 'impeller inspected',
          hours: keeper.hoursShown(),
          by: 'own hands',
          note: 'Two blades with a set, none missing, cover not blued.',
        },
        { hand: 'H.B.' },
      )
      const fresh = pen.write(
        'service-done',
        start + 60 * minute,
        {
          equipment: 'raw-water-pump',
          work: 'impeller renewed',
          hours: keeper.hoursShown(),
          by: 'own hands',
          condition: 'worn',
          parts: 'impeller 57 x 49, cover gasket',
          cost: euro(52),
        },
        { hand: 'H.B.' },
      )
      keeper.markDone('impeller', start + 60 * minute)
      const note = keeper.note(
        start + 70 * minute,
        'From now on the key hangs on the seacock when it is shut.',
        'engine-seacock',
      )
      keeper.tell(titles.seacock, began, stopped, restored, look, fresh, note)
    },
  }

  /** What is written about a leg once she lies, by the day on which she left. */
  const after: Record<string, (sailed: Sailed) => void> = {
    '2024-06-26': (sailed) => keeper.tell(titles.mistyped, sailed.stops[sailed.stops.length - 1], sailed.amended),
    '2025-06-28': (sailed) => keeper.tell(titles.mistypedLater, sailed.stops[sailed.stops.length - 1], sailed.amended),
    '2024-07-08'(sailed) {
      const run = sailed.stops[sailed.stops.length - 1]
      if (!run) return
      const read = pen.write(
        'readings-taken',
        run.at - 6 * minute,
        {
          equipment: 'engine',
          speed: { value: 1300, unit: '/min' },
          coolant: { value: 104, unit: 'Cel' },
          oilPressure: { value: 2.9, unit: 'bar' },
        },
        { hand: 'E.N.', after: 7 },
      )
      const strike = pen.strike(read, "Read off the calorifier's dial, not the engine's. Engine was at 81.", {
        after: 35,
        hand: 'H.B.',
      })
      keeper.tell(titles.struck, read, strike)
    },
    '2024-07-28': (sailed) => keeper.tell(titles.late, ...sailed.all),
    '2025-08-04': (sailed) => keeper.tell(titles.late, ...sailed.all),
    '2026-07-15': (sailed) => keeper.tell(titles.late, ...sailed.all),
    '2025-10-25': (sailed) => keeper.tell(titles.clock, ...sailed.all),
    '2025-07-16': (sailed) => tellReadings(sailed),
    '2025-07-18': (sailed) => tellReadings(sailed),
  }
  const tellReadings = (sailed: Sailed) =>
    keeper.tell(titles.units, ...sailed.all.filter((entry: Entered) => entry.type === 'readings-taken'))

  const once = <A extends unknown[]>(table: Record<string, (...args: A) => void>) => {
    const left = new Set(Object.keys(table))
    return {
      left,
      call(date: string, ...args: A) {
        const story = table[date]
        if (!story || !left.delete(date)) return
        story(...args)
      },
    }
  }
  const [day, leaving, arriving] = [once(days), once(before), once(after)]

  return {
    day: (date: string, at: number) => day.call(date, Math.round(at / (5 * minute)) * 5 * minute),
    leaving: (date: string, leaves: number) => leaving.call(date, leaves),
    arriving: (date: string, sailed: Sailed) => arriving.call(date, sailed),
    /** Dates whose story was never reached; none when scenario and itinerary agree. */
    untold: () => [...day.left, ...leaving.left, ...arriving.left],
    /** The last evening. */
    lastEvening(evening: number) {
      const at = evening - 4 * hour
      doTask(keeper, taskOf('gas-leak'), at - 50 * minute, { hand: 'E.N.', after: 6 })
      doTask(keeper, taskOf('seacocks-worked'), at - 30 * minute, { hand: 'H.B.', after: 8 })
      const emptied = doTask(
        keeper,
        taskOf('strainer'),
        at,
        { hand: 'H.B.', after: 4 },
        'A handful of weed. The crack in the lid no longer.',
      )
      const seacock = pen.write(
        'left-as',
        at + 10 * minute,
        { equipment: 'engine-seacock', state: 'shut', note: 'Ten days away. The key hangs on it.' },
        { hand: 'H.B.', after: 3 },
      )
      const gas = pen.write(
        'left-as',
        at + 35 * minute,
        { equipment: 'gas-installation', state: 'off', note: 'At the bottle.' },
        { hand: 'E.N.', after: 5 },
      )
      const read = pen.write(
        'hours-read',
        at + 60 * minute,
        { meter: 'engine-hours', reading: keeper.hoursShown() },
        { hand: 'H.B.', after: 2 },
      )
      const note = pen.write(
        'note-written',
        evening - 50 * minute,
        { text: 'Train home in the morning, back on 1 September. Lines doubled, shore power on, pump on automatic.' },
        { hand: 'H.B.', after: 12 },
      )
      keeper.tell(titles.leftAtEnd, ...emptied, seacock, gas, read, note)
    },
  }
}
