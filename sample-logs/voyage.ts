import type { Data } from '../events/index.ts'
import { type Keeper, minute } from './keeper.ts'
import type { Entered, Manner, Written } from './pen.ts'
import { miles, type Place, places } from './places.ts'
import type { Leg } from './seasons.ts'
import { dustGrade, knotsAt, rounded } from './ship.ts'

/** What a story does to a leg. */
export interface LegTwist {
  /** Written down so many days after arriving, and what of it is known by the day alone. */
  late?: { days: number; at: string; dayOnly: readonly ('passage-begun' | 'passage-ended')[] }
  /** Two digits of the hours at the last stop are exchanged; amended after so many minutes. */
  mistyped?: { after: number }
  /** The share of the way that is made under engine. */
  motoring?: number
  /** The passage needs no chance entries: a story has it to itself. */
  bare?: true
  /** The gauges are read for certain, where the engine runs long enough. */
  read?: true
  /** The wind that blows, and how it is written. */
  wind?: Wind
  note?: string
}

/** What was written of a leg. */
export interface Sailed {
  readonly begun: Written<'passage-begun'>
  readonly ended: Written<'passage-ended'>
  readonly starts: readonly Written<'engine-started'>[]
  readonly stops: readonly Written<'engine-stopped'>[]
  readonly all: readonly Entered[]
  /** The amendment of the mistyped reading. */
  readonly amended?: Written<'engine-stopped'>
  /** Milliseconds. */
  readonly arrived: number
}

interface Stretch {
  readonly motor: boolean
  readonly harbour: boolean
  readonly minutes: number
  readonly miles: number
  readonly rpm: number
}

/** Wind and sea on a leg. */
export interface Wind {
  readonly force: number
  readonly ahead: boolean
  readonly text: string
}

const points = ['N', 'NE', 'E', 'SE', 'S', 'SW', 'W', 'NW'] as const
const seas = ['calm', 'smooth', 'smooth', 'slight', 'slight', 'moderate', 'rough', 'rough'] as const

/** The way she heads, as the number of a compass point; on a flat chart, which is near enough for a wind's name. */
function heads(from: Place, to: Place): number {
  const east = (to.longitude - from.longitude) * Math.cos((from.latitude * Math.PI) / 180)
  const north = to.latitude - from.latitude
  return Math.round((Math.atan2(east, north) * 4) / Math.PI)
}

function blows(keeper: Keeper, from: Place, to: Place, calm: number): Wind {
  const { random } = keeper
  const force = random.chance(calm) ? random.whole(1, 2) : random.pick([3, 3, 3, 4, 4, 4, 4, 5, 5, 6])
  const ahead = random.chance(0.33)
  const off = ahead ? random.whole(-1, 1) : random.pick([2, 2, 3, 3, 4, -2, -2, -3, -3])
  const point = points[(heads(from, to) + off + 16) % 8]
  const pressure = Math.round(1020 - force * 2.2 + random.normal(0, 4))
  const look = random.chance(0.25) ? random.pick([', hazy', ', showers', ', bright', ', drizzle', ', fog patches']) : ''
  return {
    force,
    ahead,
    text: `${force === 1 ? 'light airs' : `${point} ${force}`}, sea ${seas[force]}, ${pressure} hPa${look}`,
  }
}

/** The share of the way under engine that a wind asks for. */
function motoringShare(keeper: Keeper, wind: Wind): number {
  const { random } = keeper
  if (wind.force <= 1) return random.between(0.93, 1)
  if (wind.force === 2) return random.between(0.55, 0.95)
  if (wind.force === 3) return wind.ahead ? random.between(0.35, 0.75) : random.between(0, 0.2)
  if (wind.ahead) return random.between(0.05, 0.4)
  return 0
}

const sailingKnots = (wind: Wind): number =>
  ([0, 2, 3.7, 5, 6, 6.6, 6.7, 6.2][wind.force] as number) * (wind.ahead ? 0.9 : 1)

/** The leg cut into stretches under engine and under sail. */
function stretches(keeper: Keeper, distance: number, wind: Wind, share: number): Stretch[] {
  const { random } = keeper
  const motorStretch = (way: number, rpm: number, slower: number, harbour: boolean): Stretch => ({
    motor: true,
    harbour,
    miles: way,
    rpm,
    minutes: Math.max(2, Math.round((way / (knotsAt(rpm) * slower)) * 60)),
  })
  const inside = Math.min(distance / 4, random.between(1.2, 2.4))
  const outside = Math.min(distance / 4, random.between(1, 2))
  const out = motorStretch(inside, random.pick([1300, 1400, 1500]), 0.95, true)
  const home = motorStretch(outside, random.pick([1200, 1300, 1400]), 0.95, true)
  const open = distance - inside - outside
  const rpm = random.pick(wind.ahead && wind.force > 3 ? [2200, 2300, 2400] : [1800, 1900, 2000, 2000, 2100, 2200])
  const slower = wind.ahead ? 1 - 0.045 * wind.force : 1.01
  const under = share * open > 1 ? share * open : 0
  const motor = under > 0 ? [motorStretch(under, rpm, slower, false)] : []
  const sailed = open - under
  const sail = (way: number): Stretch => ({
    motor: false,
    harbour: false,
    miles: way,
    rpm: 0,
    minutes: Math.round((way / (sailingKnots(wind) * random.between(0.94, 1.05))) * 60),
  })
  if (sailed < 1) return [out, ...motor, home]
  const order = random.whole(1, 3)
  if (order === 1) return [out, ...motor, sail(sailed), home]
  if (order === 2) return [out, sail(sailed), ...motor, home]
  const first = sailed * random.between(0.3, 0.7)
  return [out, sail(first), ...motor, sail(sailed - first), home]
}

/** A figure with two of its digits exchanged: the tens and the units, else the next pair that differs. */
export function exchanged(reading: number): number {
  const digits = [...reading.toFixed(1)]
  const point = digits.indexOf('.')
  for (const [a, b] of [
    [point - 2, point - 1],
    [point - 3, point - 2],
    [point - 1, point + 1],
  ] as const) {
    const [one, two] = [digits[a], digits[b]]
    if (one === undefined || two === undefined || one === two) continue
    digits[a] = two
    digits[b] = one
    return Number(digits.join(''))
  }
  return reading + 9
}

/** Dust as found at a belt, and sometimes wiped off. */
export function dustFound(
  keeper: Keeper,
  which: 'house' | 'engine',
): { dust: 'none' | 'trace' | 'film' | 'heavy'; wiped?: 'wiped' | 'not wiped' } {
  const belt = which === 'house' ? keeper.ship.houseBelt : keeper.ship.engineBelt
  const dust = dustGrade(belt)
  if (dust === 'none') return { dust }
  const wiped = keeper.random.chance(0.5)
  if (wiped) belt.dust = 0
  return { dust, wiped: wiped ? 'wiped' : 'not wiped' }
}

const remarks = [
  'Porpoises off the point.',
  'One reef all day.',
  'Dodged two ferries.',
  'Autopilot hunts with the sea on the quarter.',
  'Genoa only.',
  'Staysail drew all the way.',
  'Shipping lane crossed at right angles.',
  'Soup under way.',
  'Handed the main at the pier heads.',
  'Counter-current all morning.',
  'Pots everywhere.',
  'Sun awning up, wind gone.',
  'Good slant.',
  'Swell from yesterday.',
  'Lightning far inland.',
  'Motor off at last.',
] as const

const remarksLying = {
  alongside: [
    'Tied up between two piles in a cross-wind, no harm done.',
    'Last berth but one.',
    'Bow to, stern anchor.',
  ],
  'at anchor': ['Anchor held at the first try.', 'Twenty metres of chain in five of water.', 'Second try, weed.'],
  'on a mooring': ['Buoy picked up with the boathook, third pass.'],
} as const

/**
 * Sails a leg and writes it: rounds, passage, runs, readings. Where the boat is and what she holds follow.
 * @param calm how likely little wind is
 */
export function sail(keeper: Keeper, leg: Leg, calm: number, twist: LegTwist = {}): Sailed {
  const { pen, ship, random } = keeper
  const from = places[keeper.place]
  const to = places[leg.to]
  const starts: Written<'engine-started'>[] = []
  const stops: Written<'engine-stopped'>[] = []
  const all: Entered[] = []
  const kept = <W extends Entered>(entry: W): W => {
    all.push(entry)
    return entry
  }

  const leaves = keeper.moment(leg.on, leg.at) + random.whole(-2, 5) * 5 * minute
  ship.advance(leaves - 45 * minute, { aboard: true, shorePower: keeper.shorePower, afloat: true })
  if (twist.late) {
    const sat = Date.parse(`${leg.on}T00:00:00Z`) + twist.late.days * 86_400_000
    pen.catchUp = keeper.moment(new Date(sat).toISOString().slice(0, 10), twist.late.at)
  }
  const plain = twist.bare === undefined && twist.late === undefined
  if (plain && random.chance(0.28)) all.push(...beforeStarting(keeper, leaves - 30 * minute))

  const wind = twist.wind ?? blows(keeper, from, to, calm)
  const share = twist.motoring ?? motoringShare(keeper, wind)
  const beating = wind.ahead && share < 0.6 && wind.force >= 3 ? random.between(1.06, 1.2) : random.between(1, 1.05)
  const distance = rounded(miles(keeper.place, leg.to) * beating, 1)
  const plan = stretches(keeper, distance, wind, share)
  const logThen = ship.log

  let at = leaves - random.whole(4, 9) * minute
  const engine = { startedAt: null as number | null }
  let litres = 0
  let underEngine = 0
  let enginesMinutes = 0

  const startEngine = (purpose: Data<'engine-started'>['purpose']) => {
    const cranked = ship.start(keeper.seaAt(at) + 2)
    const noticed = random.chance(0.18)
    const data: Data<'engine-started'> = {
      equipment: 'engine',
      ...(purpose ? { purpose } : {}),
      ...(random.chance(0.62) ? { hours: keeper.hoursShown() } : {}),
      ...(noticed
        ? {
            crankingTime: { value: cranked.seconds, unit: 's' as const },
            crankingVolts: { value: cranked.volts, unit: 'V' as const },
          }
        : {}),
      ...(random.chance(0.5) ? { rawWaterSeen: 'seen' as const } : {}),
    }
    starts.push(kept(pen.write('engine-started', at, data)))
    engine.startedAt = at
  }
  const stopEngine = (last: boolean) => {
    const shown = ship.meter
    const hours = last && twist.mistyped ? exchanged(shown) : shown
    const data: Data<'engine-stopped'> = {
      equipment: 'engine',
      ...(random.chance(0.7) || (last && twist.mistyped) ? { hours: { value: hours, unit: 'h' as const } } : {}),
    }
    stops.push(kept(pen.write('engine-stopped', at, data)))
    keeper.mark(at)
    engine.startedAt = null
  }
  const turns = (minutes: number, rpm: number, before: number) => {
    const burnt = ship.run(minutes, rpm, before)
    litres += burnt
    enginesMinutes += minutes
    at += minutes * minute
  }

  const open = plan.some((stretch) => stretch.motor && !stretch.harbour)
  const purposeOf = (index: number): Data<'engine-started'>['purpose'] => {
    for (let next = index; next < plan.length && plan[next]!.motor; next++) if (!plan[next]!.harbour) return 'passage'
    return 'leaving or entering harbour'
  }
  startEngine(purposeOf(0))
  turns(Math.round((leaves - at) / minute), 900, 0)
  const dated = <T extends 'passage-begun' | 'passage-ended'>(type: T, moment: number): number | string =>
    twist.late?.dayOnly.includes(type) ? keeper.dateOf(moment) : moment
  const remark =
    twist.note ?? (plain && random.chance(0.18) ? random.pick([...remarks, ...remarksLying[to.lying]]) : undefined)
  const begun = kept(
    pen.write('passage-begun', dated('passage-begun', leaves), {
      from: from.name,
      to: to.name,
      distanceLog: { value: ship.log, unit: '[nmi_i]' },
      weather: wind.text,
    }),
  )

  let gone = 0
  for (const [index, stretch] of plan.entries()) {
    if (stretch.motor) {
      if (engine.startedAt === null) startEngine(purposeOf(index))
      const since = Math.round((at - (engine.startedAt ?? at)) / minute)
      const looks: number[] = []
      if (!stretch.harbour && plain) {
        const first = random.whole(18, 42)
        if (stretch.minutes > first + 10 && (random.chance(0.8) || twist.read)) looks.push(first)
        if (stretch.minutes > 260 && random.chance(0.6)) looks.push(first + random.whole(120, 200))
      }
      let ran = 0
      for (const look of looks) {
        turns(look - ran, stretch.rpm, since + ran)
        ran = look
        const knots = (stretch.miles / stretch.minutes) * 60
        kept(gaugesRead(keeper, at, stretch.rpm, since + ran, knots))
        if (random.chance(0.16)) all.push(...whileRunning(keeper, at + 6 * minute))
      }
      turns(stretch.minutes - ran, stretch.rpm, since + ran)
      underEngine += stretch.miles
    } else {
      if (engine.startedAt !== null) stopEngine(false)
      at += stretch.minutes * minute
      ship.advance(at, { aboard: true, shorePower: false, afloat: true, sailing: true })
    }
    ship.miles += stretch.miles
    gone += stretch.miles
    if (gone >= distance / 2 && to.zone !== pen.zone) {
      pen.zone = to.zone
      kept(pen.write('book-set', at, { zone: to.zone, ...zoneNote(from.zone, to.zone) }, { after: 1 }))
    }
  }
  ship.miles = rounded(ship.miles, 1)
  keeper.place = leg.to

  const arrived = at
  const made = rounded(ship.log - logThen, 1)
  turns(random.whole(2, 5), 900, 60)
  const used = Math.round(litres)
  const ended = kept(
    pen.write('passage-ended', dated('passage-ended', arrived), {
      at: to.name,
      lying: to.lying,
      distanceLog: { value: ship.log, unit: '[nmi_i]' },
      distance: { value: made, unit: '[nmi_i]' },
      ...(enginesMinutes >= 50 && (open || random.chance(0.5))
        ? { underEngine: { value: Math.min(rounded(underEngine), Math.floor(made)), unit: '[nmi_i]' as const } }
        : {}),
      ...(used >= 2 && (enginesMinutes >= 90 || random.chance(0.4))
        ? { fuelUsed: { value: used, unit: 'L' as const } }
        : {}),
      ...(remark === undefined ? {} : { note: remark }),
    }),
  )
  stopEngine(true)
  const stopped = at
  pen.catchUp = null

  if (ship.changedOver) {
    ship.changedOver = false
    kept(
      keeper.note(
        stopped + 10 * minute,
        `Changed over to the ${ship.openTank === 'fuel-tank-port' ? 'port' : 'starboard'} tank under way.`,
        ship.openTank,
      ),
    )
  }
  const last = stops[stops.length - 1]!
  const amended = twist.mistyped
    ? kept(pen.amend(last, { hours: keeper.hoursShown() }, { after: twist.mistyped.after, hand: 'H.B.' }))
    : undefined
  if (plain && random.chance(0.16)) all.push(...afterStopping(keeper, stopped + 20 * minute))
  return { begun, ended, starts, stops, all, arrived: stopped, ...(amended ? { amended } : {}) }
}

function zoneNote(from: string, to: string): { note?: string } {
  if (to === 'Europe/Mariehamn') return { note: 'Clocks on one hour.' }
  if (from === 'Europe/Mariehamn') return { note: 'Clocks back one hour.' }
  return {}
}

/** Litres, degrees and pressures as the guest reads them out. */
export const fahrenheit = (celsius: number): number => Math.round(celsius * 1.8 + 32)

/** The gauges read and written down, some of them as usual left out. */
export function gaugesRead(
  keeper: Keeper,
  at: number,
  rpm: number,
  sinceStart: number,
  knots: number | null,
  manner: Manner = {},
): Written<'readings-taken'> {
  const { ship, pen, random, guestAboard: guest } = keeper
  const read = ship.gauges(rpm, sinceStart, keeper.seaAt(at))
  const sunny = keeper.hourOf(at) > 9 && keeper.hourOf(at) < 18 && random.chance(0.55)
  const temperature = (celsius: number) =>
    guest ? { value: fahrenheit(celsius), unit: '[degF]' as const } : { value: celsius, unit: 'Cel' as const }
  const cautious = random.chance(0.75)
  const data: Data<'readings-taken'> = {
    equipment: 'engine',
    ...(random.chance(0.75) ? { hours: keeper.hoursShown() } : {}),
    speed: { value: rpm, unit: '/min' },
    ...(random.chance(0.7) ? { sinceStart: { value: sinceStart, unit: 'min' as const } } : {}),
    amps: { value: read.amps, unit: 'A' },
    volts: { value: read.volts, unit: 'V' },
    ...(cautious
      ? {
          ampsReadAt: 'alternator' as const,
          stage: read.stage,
          otherCharging: sunny ? ('solar' as const) : ('none' as const),
        }
      : {}),
    coolant: temperature(read.coolant),
    oilPressure: guest
      ? { value: Math.round(read.oilPressure * 14.5038), unit: '[psi]' }
      : { value: read.oilPressure, unit: 'bar' },
    ...(random.chance(0.6) ? { exhaust: temperature(read.outlet) } : {}),
    ...(random.chance(0.6) ? { sea: temperature(read.sea) } : {}),
    ...(knots !== null && random.chance(0.55)
      ? { boatSpeed: { value: rounded(knots, 1), unit: '[kn_i]' as const } }
      : {}),
    ...(random.chance(0.3) ? { filterVacuum: { value: read.vacuum, unit: "[in_i'Hg]" as const } } : {}),
  }
  return pen.write('readings-taken', at, data, guest ? { hand: 'E.N.', ...manner } : manner)
}

/** The look round before starting: what was measured follows as checks, and what was low is topped up. */
function beforeStarting(keeper: Keeper, at: number): Entered[] {
  const { ship, pen, random } = keeper
  const hand = random.chance(0.65) ? 'H.B.' : 'E.N.'
  const manner = { hand, after: random.between(1, 12) }
  const rounds = pen.write(
    'rounds-made',
    at,
    { set: 'before starting', equipment: 'engine', looked: random.whole(6, 11), asUsual: 'all as usual' },
    manner,
  )
  const written: Entered[] = [rounds]
  const check = (data: Data<'check-made'>) =>
    written.push(pen.write('check-made', at, { ...data, rounds: rounds.id }, manner))
  const low = ship.oilMissing > 0.6
  if (low || random.chance(0.45)) {
    const dipstick = ship.dipstick()
    check({
      equipment: 'engine',
      dipstick: { value: dipstick, unit: '%' },
      dipstickAfter: 'cold',
      attitude: random.chance(0.9) ? 'upright' : 'heeled',
      ...(ship.coolantMissing > 0.35
        ? { coolantLevel: 'low' as const }
        : random.chance(0.4)
          ? { coolantLevel: 'at the mark' as const }
          : {}),
    })
    if (dipstick < 55) {
      const amount = ship.oilMissing > 0.85 ? 0.7 : 0.5
      ship.oilMissing -= amount
      written.push(
        pen.write(
          'taken-aboard',
          at + 6 * minute,
          { what: 'engine oil', amount: { value: amount, unit: 'L' }, equipment: 'engine' },
          { hand },
        ),
      )
    }
    if (ship.coolantMissing > 0.35) {
      const amount = rounded(ship.coolantMissing, 1)
      ship.coolantMissing = Math.max(0, ship.coolantMissing - amount)
      written.push(
        pen.write(
          'taken-aboard',
          at + 8 * minute,
          { what: 'coolant', amount: { value: amount, unit: 'L' }, equipment: 'engine', note: 'Cap off cold.' },
          { hand },
        ),
      )
    }
  }
  if (random.chance(0.45)) check({ equipment: 'house-belt', ...dustFound(keeper, 'house') })
  if (random.chance(0.2))
    check({
      equipment: 'fuel-separator',
      waterInBowl: ship.bowlWater < 8 ? 'none' : ship.bowlWater < 22 ? 'drops' : 'some',
    })
  return written
}

/** The look round while she runs. */
function whileRunning(keeper: Keeper, at: number): Entered[] {
  const { pen, random } = keeper
  const manner = { hand: random.chance(0.5) ? 'H.B.' : 'E.N.', after: random.between(2, 9) }
  const rounds = pen.write(
    'rounds-made',
    at,
    { set: 'running', equipment: 'engine', looked: random.whole(4, 8), asUsual: 'all as usual' },
    manner,
  )
  const equipment = random.pick(['stern-gear', 'exhaust-hose', 'raw-water-pump', 'house-alternator'])
  const found = random.chance(0.9) ? 'normal' : 'look again'
  return [rounds, pen.write('check-made', at, { equipment, found, rounds: rounds.id }, manner)]
}

/** The look round after stopping. */
function afterStopping(keeper: Keeper, at: number): Entered[] {
  const { ship, pen, random } = keeper
  const manner = { after: random.between(1, 12), hand: random.chance(0.6) ? 'H.B.' : 'E.N.' }
  const rain = random.pick(['none', 'none', 'none', 'some', 'much'] as const)
  ship.rain(rain === 'much' ? 2 : 0)
  const rounds = pen.write(
    'rounds-made',
    at,
    { set: 'after stopping', equipment: 'engine', looked: random.whole(5, 9), asUsual: 'all as usual' },
    manner,
  )
  return [
    rounds,
    pen.write('check-made', at, { equipment: 'bilge-pump', bilgeCount: ship.counter, rain, rounds: rounds.id }, manner),
  ]
}
