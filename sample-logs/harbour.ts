import { day, hour, type Keeper, minute } from './keeper.ts'
import type { Entered } from './pen.ts'
import { places } from './places.ts'
import { rounded, type TankHandle, tankHolds } from './ship.ts'
import { gravityTask } from './upkeep.ts'
import { doTask, taskOf } from './upkeep-work.ts'
import { gaugesRead } from './voyage.ts'

const five = (at: number): number => Math.round(at / (5 * minute)) * 5 * minute

const remarks = [
  'Bread, gas lighter, 2 L of distilled water for the locker.',
  'Wind gone round in the night, fenders moved.',
  'Cockpit drains rodded through.',
  'Bilge dry under the engine, wiped all the same.',
  'Spare V-belt 10 x 1025 is in the port locker, behind the oil.',
  'Deck washed. Foredeck hatch dry under the hose.',
  'Nothing done and glad of it.',
  'Ordered elements for the separator: two.',
  'Rudder stock: no play by hand.',
  'Neighbour has the same alternator and the same complaint about belts.',
  'Alternator bracket bolts: all tight.',
  'Steering cables greased where they can be reached.',
] as const

/**
 * Takes diesel aboard where it can be had and is wanted.
 * @param below both tanks together, litres: only then
 */
export function bunker(keeper: Keeper, at: number, below: number): Entered[] {
  const { ship, pen, random } = keeper
  if (!places[keeper.place].fuel || ship.fuelAboard > below) return []
  const written: Entered[] = []
  const price = random.between(1.72, 2.04)
  for (const [index, tank] of (['fuel-tank-port', 'fuel-tank-starboard'] as const).entries()) {
    if (tankHolds - ship.fuel[tank] < 12) continue
    const litres = ship.fill(tank)
    written.push(
      pen.write('taken-aboard', five(at) + index * 5 * minute, {
        what: 'diesel',
        amount: { value: litres, unit: 'L' },
        equipment: tank,
        full: true,
        cost: { value: rounded(litres * price, 2), unit: 'EUR' },
      }),
    )
  }
  return written
}

/** Takes water aboard where it can be had and is wanted. */
function waterAboard(keeper: Keeper, at: number): void {
  const { ship, pen, random } = keeper
  if (!places[keeper.place].water || ship.water > 130) return
  const litres = Math.floor((340 - ship.water) / 10) * 10
  ship.water += litres
  pen.write('taken-aboard', five(at), {
    what: 'water',
    amount: { value: litres, unit: 'L' },
    equipment: 'water-tank',
    ...(random.chance(0.6) ? { full: true } : {}),
  })
}

/** Soundings of both tanks, to the nearest five litres as the stick allows. */
export function soundTanks(keeper: Keeper, at: number): Entered[] {
  const { ship, pen, random } = keeper
  return (['fuel-tank-port', 'fuel-tank-starboard'] as const).map((tank: TankHandle) => {
    const level = Math.min(tankHolds, Math.max(0, Math.round((ship.fuel[tank] + random.normal(0, 2)) / 5) * 5))
    return pen.write('check-made', five(at), { equipment: tank, level: { value: level, unit: 'L' } })
  })
}

/** An hour or so of charging at anchor, or of warming water. @returns when it was over */
export function runAtRest(keeper: Keeper, at: number, purpose: 'charging' | 'hot water', minutes: number): number {
  const { ship, pen, random } = keeper
  const begin = five(at)
  const rpm = purpose === 'charging' ? 1500 : 1200
  ship.start(keeper.seaAt(at))
  pen.write('engine-started', begin, {
    equipment: 'engine',
    purpose,
    ...(random.chance(0.7) ? { hours: keeper.hoursShown() } : {}),
  })
  const look = Math.round(minutes * random.between(0.3, 0.6))
  ship.run(look, rpm, 0)
  if (purpose === 'charging' && random.chance(0.6)) gaugesRead(keeper, begin + look * minute, rpm, look, null)
  ship.run(minutes - look, rpm, look)
  const end = begin + minutes * minute
  pen.write('engine-stopped', end, {
    equipment: 'engine',
    ...(random.chance(0.75) ? { hours: keeper.hoursShown() } : {}),
  })
  keeper.mark(end)
  return end
}

/** Tasks that need batteries at rest: done in the morning, before anything runs. */
const atRest: ReadonlySet<string> = new Set(['house-bank-rest', gravityTask])

/** How she lies between two legs. */
export interface Stay {
  readonly arrived: number
  readonly leaves: number
  /** Nobody lives aboard: she lies at home between week-ends. */
  readonly left: boolean
  /** Stories of a day, by date: called at ten in the morning of every full day, and of the day of arrival once she lies. */
  readonly story: (date: string, at: number) => void
  /** Tasks that a story holds back. */
  readonly heldBack: ReadonlySet<string>
}

/** Writes a stay in harbour or at anchor: stores, charging, rest volts, upkeep, whatever the day's story asks. */
export function stay(keeper: Keeper, { arrived, leaves, left, story, heldBack }: Stay): void {
  const { ship, pen, random } = keeper
  const place = places[keeper.place]
  const alongside = place.lying === 'alongside'
  keeper.shorePower = alongside && (left || random.chance(0.55))
  const how = { aboard: !left, shorePower: keeper.shorePower, afloat: true }
  const evening = arrived + hour
  ship.advance(evening, { ...how, aboard: true })
  // Nobody bunkers in the night: in the morning, where there is time before leaving.
  const byDay = keeper.hourOf(evening) >= 7 && keeper.hourOf(evening) < 21
  const stores = byDay ? evening : keeper.moment(keeper.dateOf(arrived + 9 * hour), '09:10')
  const takeStores = () => {
    bunker(keeper, stores, place.lying === 'alongside' ? 175 : 110)
    waterAboard(keeper, stores + 25 * minute)
  }
  if (byDay) takeStores()
  story(keeper.dateOf(arrived), evening + 40 * minute)

  const works = (at: number, most: number, rested: boolean) => {
    let when = at
    const wanted = keeper.wantsDoing(at).filter(({ set }) => !heldBack.has(set.task) && atRest.has(set.task) === rested)
    for (const task of wanted.slice(0, most)) {
      doTask(keeper, task, five(when))
      when += random.whole(25, 60) * minute
    }
  }
  let fullDays = 0
  const noon = keeper.moment(keeper.dateOf(arrived), '12:00')
  for (let date = noon + day; keeper.dateOf(date) < keeper.dateOf(leaves); date += day) {
    fullDays++
    const today = keeper.dateOf(date)
    const clock = (time: string) => keeper.moment(today, time)
    ship.advance(clock('08:30'), how)
    const alone = !keeper.shorePower
    if (!byDay && today === keeper.dateOf(stores)) takeStores()
    if (!left) {
      works(clock('08:35'), 1, true)
      const readAlready = (keeper.done.get('house-bank-rest')?.at ?? 0) >= clock('08:00')
      if (alone && !readAlready && random.chance(0.3))
        pen.write('check-made', five(clock('08:30')), {
          equipment: 'house-bank',
          restVolts: { value: ship.restVolts(), unit: 'V' },
          restedFor: { value: random.whole(7, 10), unit: 'h' },
          shorePower: false,
        })
      if (alone && ship.charge < 0.72) runAtRest(keeper, clock('10:30'), 'charging', random.whole(55, 95))
      if (random.chance(0.75)) works(clock('12:30'), 3, false)
    }
    story(today, clock('16:00'))
    if (left) continue
    if (alone && random.chance(0.08)) runAtRest(keeper, clock('17:30'), 'hot water', random.whole(35, 50))
    if (alongside && clock('18:30') - keeper.bottleSince > 36 * day && random.chance(0.4))
      swapBottle(keeper, clock('18:30'))
    if (random.chance(0.1))
      pen.write('hours-read', five(clock('18:50')), { meter: 'engine-hours', reading: keeper.hoursShown() })
    if (random.chance(0.07)) soundTanks(keeper, clock('19:10'))
    if (random.chance(0.14)) keeper.note(five(clock('19:40')), random.pick(remarks))
  }
  if (left && fullDays > 0) {
    const before = keeper.moment(keeper.dateOf(leaves - day), '17:30')
    ship.advance(before, how)
    if (random.chance(0.4)) ship.rain(random.whole(1, 4))
    works(before - 30 * minute, 1, true)
    works(before, 3, false)
    waterAboard(keeper, before + 3 * hour)
  } else if (fullDays === 0 && keeper.hourOf(arrived) < 18 && random.chance(0.35)) works(arrived + 2 * hour, 2, false)
}

/** A new bottle of gas, and the leak test that goes with it. */
function swapBottle(keeper: Keeper, at: number): void {
  const { pen, random } = keeper
  keeper.bottleSince = at
  pen.write('taken-aboard', five(at), {
    what: 'cooking gas',
    equipment: 'gas-installation',
    cost: { value: rounded(random.between(24, 31), 1), unit: 'EUR' },
    note: '6 kg bottle.',
  })
  doTask(keeper, taskOf('gas-leak'), five(at) + 10 * minute)
}
