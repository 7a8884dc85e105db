import { atBeginning, boatName, equipment, meters, oldHours } from './boat.ts'
import { bunker, soundTanks } from './harbour.ts'
import { hour, type Keeper, minute } from './keeper.ts'
import type { Entered, Manner } from './pen.ts'
import type { Season } from './seasons.ts'
import { titles } from './stories.ts'
import { tasks } from './upkeep.ts'
import { doTask, taskOf } from './upkeep-work.ts'
import { gaugesRead } from './voyage.ts'

/** The afternoon on which the book is begun. */
export const begunOn = '2024-04-06'

/** What a story adds to a day ashore. */
export type DayStory = (date: string, at: number) => void

/** The boat described, and the last known state copied in from the old paper log, much of it by the day alone. */
export function beginBook(keeper: Keeper): void {
  const { pen } = keeper
  const start = keeper.moment(begunOn, '13:30')
  pen.catchUp = start
  const written: Entered[] = []
  pen.write('book-set', start, {
    boat: boatName,
    rig: 'cutter',
    zone: pen.zone,
    temperatureUnit: 'Cel',
    pressureUnit: 'kPa',
    volumeUnit: 'L',
    distanceUnit: '[nmi_i]',
    lengthUnit: 'mm',
    torqueUnit: 'N.m',
    speedUnit: '[kn_i]',
    currency: 'EUR',
  })
  for (const { on, data } of equipment) pen.write('equipment-fitted', on, data)
  for (const { on, data } of meters) pen.write('meter-fitted', on, data)
  for (const { on, hours } of oldHours)
    written.push(pen.write('hours-read', on, { meter: 'engine-hours', reading: { value: hours, unit: 'h' } }))
  written.push(
    pen.write('left-as', '2023-10-15', {
      equipment: 'raw-water-pump',
      state: 'removed',
      note: 'Impeller out for the winter.',
    }),
  )
  for (const { set, last, withHours, kept } of tasks) {
    pen.write('upkeep-set', Math.floor((pen.catchUp ?? start) / minute) * minute, set)
    if (last) {
      const done = pen.write('service-done', last.on, {
        equipment: set.equipment,
        work: set.work,
        ...(withHours && last.hours !== undefined ? { hours: { value: last.hours, unit: 'h' as const } } : {}),
        note: 'From the old paper log.',
      })
      if (set.task === 'engine-oil') written.push(done)
      keeper.markDone(set.task, Date.parse(`${last.on}T12:00:00Z`), last.hours ?? atBeginning.engineHours)
    } else if (kept !== 'seldom') keeper.markDone(set.task, start)
  }
  written.push(
    pen.write('note-written', Math.floor((pen.catchUp ?? start) / minute) * minute, {
      text: 'Book begun. Everything before today is copied from the paper log; where it gave only the day, so does this.',
    }),
  )
  pen.catchUp = null
  keeper.tell(titles.paper, ...written)
}

/** Work ashore is often remembered by the day alone, and written down that night or the next day. */
function ashore(keeper: Keeper): Manner {
  const { random } = keeper
  return random.chance(0.4)
    ? { dayOnly: true, after: random.between(300, 1500), hand: 'H.B.' }
    : { after: random.between(5, 180), hand: 'H.B.' }
}

/** The tasks of some of these handles whose time has nearly come. */
const ripe = (keeper: Keeper, handles: readonly string[], at: number, share: number) =>
  handles.map(taskOf).filter((task) => keeper.usedShare(task, at) >= share)

/** Spring: work ashore, launching, the first run. */
export function spring(keeper: Keeper, season: Season, story: DayStory): void {
  const { pen, ship, random } = keeper
  const [first, second, launch] = season.spring as readonly [string, string, string]
  const away = { aboard: false, shorePower: false, afloat: false }

  const spell = (date: string, from: string, handles: readonly string[]) => {
    let at = keeper.moment(date, from)
    ship.advance(at, away)
    for (const task of ripe(keeper, handles, at, 0.72)) {
      doTask(keeper, task, at, ashore(keeper))
      at += random.whole(6, 15) * 5 * minute
    }
    return at
  }
  spell(first, '10:30', ['air-filter', 'engine-anode', 'starter-connections', 'windlass', 'liferaft', 'heat-exchanger'])
  story(first, keeper.moment(first, '15:00'))
  spell(second, '10:00', ['hull-anodes', 'seacocks-stripped', 'antifouling'])
  story(second, keeper.moment(second, '16:00'))

  const morning = spell(launch, '08:30', ['impeller'])
  pen.write('restored', morning, { equipment: 'raw-water-pump', note: 'Impeller in, cover tight.' })
  if (keeper.season > 0) {
    pen.write('restored', morning + 5 * minute, { equipment: 'house-bank' })
    pen.write('restored', morning + 10 * minute, { equipment: 'gas-installation' })
  }
  const splash = Math.max(morning + 40 * minute, keeper.moment(launch, '11:30'))
  pen.write('service-done', splash, {
    equipment: 'boat',
    work: 'launched',
    by: 'trade',
    cost: { value: 240 + 15 * keeper.season, unit: 'EUR' },
  })
  ship.advance(splash, away)

  const start = splash + 40 * minute
  const cranked = ship.start(8)
  pen.write('engine-started', start, {
    equipment: 'engine',
    purpose: 'testing',
    hours: keeper.hoursShown(),
    crankingTime: { value: cranked.seconds, unit: 's' },
    crankingVolts: { value: cranked.volts, unit: 'V' },
    rawWaterSeen: 'seen',
    note: 'First start of the year. All seacocks dry.',
  })
  ship.run(20, 1500)
  gaugesRead(keeper, start + 20 * minute, 1500, 20, null)
  ship.run(15, 2000, 20)
  pen.write('engine-stopped', start + 35 * minute, { equipment: 'engine', hours: keeper.hoursShown() })
  keeper.mark(start + 35 * minute)
  pen.write('service-done', start + 50 * minute, {
    equipment: 'engine',
    work: 'recommissioned',
    hours: keeper.hoursShown(),
    by: 'own hands',
  })
  if (keeper.season > 0)
    pen.write('restored', start + 70 * minute, { equipment: 'water-tank', note: 'Rinsed twice, filled.' })
  const filled = Math.floor((330 - ship.water) / 10) * 10
  ship.water += filled
  pen.write('taken-aboard', start + 75 * minute, {
    what: 'water',
    amount: { value: filled, unit: 'L' },
    equipment: 'water-tank',
    full: true,
  })
  soundTanks(keeper, start + 90 * minute)
  keeper.laidUp = false
  keeper.shorePower = true
  keeper.bottleSince = start
  ship.advance(start + 2 * hour, { aboard: true, shorePower: true, afloat: true })
  story(launch, start + 2 * hour)
  let at = start + 3 * hour
  for (const handle of [
    'seacocks-worked',
    'bilge-pump-test',
    'hull-potential',
    'gas-leak',
    'separator-drain',
    'shaft-seal',
  ]) {
    doTask(keeper, taskOf(handle), Math.round(at / (5 * minute)) * 5 * minute)
    at += 25 * minute
  }
  const next = keeper.moment(launch, '10:00') + 24 * hour
  ship.advance(next, { aboard: true, shorePower: true, afloat: true })
  at = next
  for (const handle of ['rig-aloft', 'rig-from-deck', 'house-belt-check', 'engine-belt-check', 'strainer']) {
    doTask(keeper, taskOf(handle), at)
    at += random.whole(8, 14) * 5 * minute
  }
}

/** Lay-up: lifted out, oils and filters, what is drained, taken out and isolated. */
export function layUp(keeper: Keeper, season: Season, story: DayStory): void {
  const { pen, ship, random } = keeper
  const [lift, work, rest] = season.layUp as readonly [string, string, string]
  const away = { aboard: false, shorePower: true, afloat: true }
  const early = keeper.moment(lift, '08:20')
  ship.advance(early, away)
  bunker(keeper, early, 330)
  const up = keeper.moment(lift, '11:10')
  ship.advance(up, away)
  keeper.shorePower = false
  pen.write('service-done', up, {
    equipment: 'boat',
    work: 'lifted out',
    by: 'trade',
    cost: { value: 245 + 15 * keeper.season, unit: 'EUR' },
  })
  pen.write('service-done', up + 90 * minute, {
    equipment: 'boat',
    work: 'hull cleaned',
    by: 'own hands',
    note: random.pick(['Slime, a few barnacles at the shaft.', 'Clean but for the rudder foot. No pitting.']),
  })
  pen.write('hours-read', up + 100 * minute, { meter: 'engine-hours', reading: keeper.hoursShown() })
  for (const [index, handle] of ['hull-anodes', 'engine-anode'].entries())
    doTask(keeper, taskOf(handle), up + (120 + 30 * index) * minute, ashore(keeper))
  story(lift, up + 3 * hour)

  const warm = keeper.moment(work, '08:50')
  ship.start(9)
  pen.write('engine-started', warm, {
    equipment: 'engine',
    purpose: 'testing',
    hours: keeper.hoursShown(),
    note: 'Ashore, drawing from a bucket, to warm the oil.',
  })
  ship.run(12, 1100)
  pen.write('engine-stopped', warm + 12 * minute, { equipment: 'engine', hours: keeper.hoursShown() })
  keeper.mark(warm + 12 * minute)
  let at = keeper.moment(work, '09:40')
  for (const task of [
    ...['engine-oil', 'gearbox-oil', 'separator-element', 'engine-fuel-filter'].map(taskOf),
    ...ripe(keeper, ['coolant', 'exhaust-elbow', 'starter-connections'], at, 0.85),
  ]) {
    doTask(keeper, task, at, ashore(keeper))
    at += random.whole(5, 12) * 5 * minute
  }
  pen.write('service-done', at, {
    equipment: 'engine',
    work: 'winterised',
    hours: keeper.hoursShown(),
    by: 'own hands',
    note: 'Raw water flushed with 15 L antifreeze, intake plugged.',
  })
  pen.write('service-done', at + 10 * minute, {
    equipment: 'raw-water-pump',
    work: 'impeller removed',
    by: 'own hands',
  })
  pen.write('left-as', at + 11 * minute, {
    equipment: 'raw-water-pump',
    state: 'removed',
    note: 'Impeller in a jar on the chart table.',
  })
  story(work, at + hour)

  keeper.laidUp = true
  const last = keeper.moment(rest, '10:30')
  ship.advance(last, { aboard: false, shorePower: false, afloat: false })
  ship.water = 0
  pen.write('left-as', last, { equipment: 'water-tank', state: 'drained' })
  doTask(keeper, taskOf('lay-up'), last + 2 * hour, ashore(keeper))
  pen.write('left-as', last + 3 * hour, { equipment: 'gas-installation', state: 'off', note: 'Bottle ashore.' })
  ship.charge = 1
  pen.write('left-as', last + 3 * hour + 10 * minute, {
    equipment: 'house-bank',
    state: 'isolated',
    note: 'Charged full first.',
  })
  story(rest, last + 4 * hour)
}

/** A look at her in winter: both banks at rest, and what else the day brings. */
export function winterVisit(keeper: Keeper, date: string, story: DayStory): void {
  const { pen, ship, random } = keeper
  const at = keeper.moment(date, '11:00') + random.whole(0, 12) * 5 * minute
  ship.advance(at, { aboard: false, shorePower: false, afloat: false })
  doTask(keeper, taskOf('house-bank-rest'), at, { hand: 'H.B.', after: random.between(20, 400) })
  pen.write(
    'check-made',
    at + 15 * minute,
    {
      equipment: 'start-bank',
      restVolts: { value: ship.startRestVolts(), unit: 'V' },
      restedFor: { value: 24 * random.whole(9, 26), unit: 'h' },
      shorePower: false,
    },
    { hand: 'H.B.', after: random.between(20, 400) },
  )
  ship.charge = 1
  keeper.note(
    at + 40 * minute,
    random.pick([
      'Covers tight. Dry below.',
      'Ice on deck, dry below.',
      'A litre of rain round the mast step, sponged.',
      'Charger on for the day, off again.',
    ]),
  )
  story(date, at + 2 * hour)
}
