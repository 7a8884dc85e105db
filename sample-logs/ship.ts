import { atBeginning } from './boat.ts'
import type { Random } from './random.ts'

/**
 * The boat behind the log: what is true of her from hour to hour, from which entries are written as a person would read them.
 * Just enough for hours, miles, fuel, charge and temperatures to agree with each other. Where no source is named the figure is common
 * practice, or chosen so that the sample tells its story.
 */

const hour = 3600_000
const day = 24 * hour

/** Rated power, kW, and speed, 1/min: those of her equipment entry. */
const rated = { power: 40, speed: 3000 } as const
/** Specific consumption g/kWh and density kg/L, middling diesel; the idle share is what the cube law leaves out. */
const diesel = { specific: 240, density: 0.84, idle: 0.5 } as const

/** A rounded figure, as a person writes it. */
export const rounded = (value: number, decimals = 0): number => Number(value.toFixed(decimals))

/** Share of the rated power that the propeller takes at an engine speed: the cube law. */
export const loadAt = (rpm: number): number => Math.min(1, (rpm / rated.speed) ** 3)

/** Litres an hour at an engine speed. */
export const litresPerHour = (rpm: number): number =>
  diesel.idle + (rated.power * loadAt(rpm) * diesel.specific) / 1000 / diesel.density

/** Boat speed through flat water under engine, knots: 6 at 2000 rpm, flattening toward her hull speed. */
export const knotsAt = (rpm: number): number => 7.6 * (1 - Math.exp(-((rpm / 1515) ** 1.6)))

/** A belt between one tensioning and the next. */
export interface Belt {
  /** Slip torque when it was last tensioned, N.m. */
  set: number
  /** Engine hours since. */
  hours: number
  /** Engine hours of the belt itself. */
  age: number
  /** Dust about it, in the units of the grades below. */
  dust: number
  /** Share of its grip lost to glazed flanks. */
  glaze: number
}

/** Slip torque now: a quick loss while it beds in, more of it on a new belt, then a slow one; a glazed belt grips less. */
export function slipTorque(belt: Belt): number {
  const fresh = belt.age - belt.hours < 8
  const bedding = (fresh ? 0.26 : 0.09) * (1 - Math.exp(-belt.hours / 6))
  return belt.set * (1 - bedding - 0.0013 * belt.hours) * (1 - belt.glaze)
}

/** The grade that a person gives the dust. */
export const dustGrade = (belt: Belt): 'none' | 'trace' | 'film' | 'heavy' =>
  belt.dust < 0.25 ? 'none' : belt.dust < 0.8 ? 'trace' : belt.dust < 1.8 ? 'film' : 'heavy'

/** What an alternator gives at most at an engine speed, amps: a saturating curve of its own speed, less when hot. */
const outputAt = (rpm: number, minutes: number): number => {
  const own = rpm * 2.2
  const cold = 118 * (1 - Math.exp(-Math.max(0, own - 1150) / 1500))
  return cold * (minutes > 20 ? 0.86 : 1 - (0.14 * minutes) / 20)
}

/** What the house bank takes at its absorption voltage, amps, by state of charge. */
const acceptance = (charge: number): number => 420 * 1.9 * Math.max(0.004, 1 - charge) ** 1.15

/** How things stand about her while time passes. */
export interface Circumstance {
  /** Somebody lives aboard. */
  aboard: boolean
  shorePower: boolean
  afloat: boolean
  sailing?: boolean
}

/** The tanks, by handle. */
export type TankHandle = 'fuel-tank-port' | 'fuel-tank-starboard'

/** What both tanks hold, litres each: those of their equipment entries. */
export const tankHolds = 170

/** Below this she is changed over to the other tank, litres. */
const changeOverAt = 45

/** The state of the boat. Public fields: the writers of the log read and mend it as the crew would. */
export class Ship {
  /** Hours that the engine has truly run. */
  hours: number = atBeginning.engineHours
  /** Hours already run when the present meter stood at nought. */
  meterBase = 0
  starts = 0
  /** Miles, as the distance log counts them. */
  miles: number = atBeginning.miles
  readonly fuel: Record<TankHandle, number> = { 'fuel-tank-port': 92, 'fuel-tank-starboard': 128 }
  openTank: TankHandle = 'fuel-tank-port'
  /** Set when the tanks were changed over, until somebody has written it down. */
  changedOver = false
  water = 0
  /** Litres of oil below the full mark. */
  oilMissing = 0.35
  /** Litres of coolant below the mark. */
  coolantMissing = 0.1
  /** A hose that weeps: litres of coolant lost an hour of running. */
  coolantLoss = 0.004
  readonly houseBelt: Belt = { set: 21, hours: 0, age: 132, dust: 0.1, glaze: 0.02 }
  readonly engineBelt: Belt = { set: 14, hours: 0, age: 252, dust: 0.1, glaze: 0.04 }
  separatorHours = 0
  bowlWater = 0
  weed = 0
  /** State of charge of the house bank, 0 to 1. */
  charge = 1
  /** What is left of the starting battery's vigour, 0 to 1. */
  startVigour = 0.96
  pumpCount: number = atBeginning.bilgeCount
  /** Shares left, per cent. */
  readonly anodes = { hull: 80, engine: 55 }
  /** The isolator in the shore lead passes current when it should not. */
  isolatorFailed = false
  readonly #random: Random
  #clock: number

  constructor(random: Random, since: number) {
    this.#random = random
    this.#clock = since
  }

  /** What the hours meter shows: tenths, the rest cut off. */
  get meter(): number {
    return Math.floor((this.hours - this.meterBase) * 10 + 1e-6) / 10
  }

  /** What the distance log shows, tenths. */
  get log(): number {
    return rounded(this.miles, 1)
  }

  /** What the pump's counter of three digits shows. */
  get counter(): number {
    return Math.floor(this.pumpCount) % 1000
  }

  get fuelAboard(): number {
    return this.fuel['fuel-tank-port'] + this.fuel['fuel-tank-starboard']
  }

  /** Lets time pass up to a moment: battery, bilge, water, heater, anodes. */
  advance(to: number, { aboard, shorePower, afloat, sailing }: Circumstance): void {
    const elapsed = Math.max(0, to - this.#clock) / hour
    this.#clock = Math.max(this.#clock, to)
    if (elapsed === 0) return
    const days = elapsed / 24
    const dayOfYear = Math.floor((to % (365.25 * day)) / day)
    const summer = Math.max(0, Math.cos((2 * Math.PI * (dayOfYear - 172)) / 365))
    const draw = aboard ? (sailing ? 6.5 : 3.2) : 0.15
    const sun = 1.4 * summer
    // Isolated ashore an AGM bank loses some two per cent a month.
    const net = shorePower ? 25 : afloat ? sun - draw : -0.012
    this.charge = Math.min(1, Math.max(0.45, this.charge + (net * elapsed) / 420))
    this.startVigour = Math.max(0.62, this.startVigour - days * 0.00042)
    if (!afloat) return
    this.pumpCount += days * 0.5
    this.anodes.hull = Math.max(20, this.anodes.hull - days * (this.isolatorFailed && shorePower ? 0.5 : 0.11))
    this.weed = Math.min(1, this.weed + days * 0.004)
    if (!aboard) return
    this.water = Math.max(15, this.water - days * 27)
    const cold = seaIsCold(dayOfYear)
    if (cold && !sailing) this.#burn('fuel-tank-starboard', days * 0.5)
  }

  /** Rain that finds its way down the keel-stepped mast: strokes of the pump. */
  rain(strokes: number): void {
    this.pumpCount += strokes
  }

  /** One start. @returns seconds of cranking and the lowest volts. */
  start(airCelsius: number): { seconds: number; volts: number } {
    this.starts++
    const tired = 1 - this.startVigour
    const cold = Math.max(0, 15 - airCelsius) / 15
    return {
      seconds: rounded(Math.max(0.8, 1 + 1.6 * tired + 0.5 * cold + this.#random.normal(0, 0.12)), 1),
      volts: rounded(10.9 - 2.6 * tired - 0.4 * cold + this.#random.normal(0, 0.08), 1),
    }
  }

  /**
   * Runs the engine.
   * @param minutes whole minutes
   * @param before minutes that it had been running already
   * @returns litres burnt
   */
  run(minutes: number, rpm: number, before = 0): number {
    const hours = minutes / 60
    for (let gone = 0; gone < minutes; gone += 3) {
      const step = Math.min(3, minutes - gone)
      const amps = Math.min(outputAt(rpm, before + gone), acceptance(this.charge))
      this.charge = Math.min(1, this.charge + (Math.max(0, amps - 6) * 0.92 * (step / 60)) / 420)
    }
    this.hours += hours
    this.#clock += minutes * 60_000
    const litres = hours * litresPerHour(rpm)
    this.#burn(this.openTank, litres)
    this.oilMissing += hours * 0.0105
    this.coolantMissing += hours * this.coolantLoss
    this.anodes.engine = Math.max(8, this.anodes.engine - hours * 0.3)
    this.separatorHours += hours
    this.bowlWater += hours * 0.9
    this.weed = Math.min(1, this.weed + hours * 0.012)
    this.pumpCount += hours * 0.12
    for (const belt of [this.houseBelt, this.engineBelt]) {
      belt.hours += hours
      belt.age += hours
      const enough = belt === this.houseBelt ? 16 : 9.5
      const slipping = Math.max(0, 1 - slipTorque(belt) / enough)
      belt.dust += hours * (0.005 + 0.35 * slipping + (belt.age < 10 ? 0.03 : 0))
    }
    return litres
  }

  /** What the gauges show while she runs: figures as a person reads them, each a little off. */
  gauges(rpm: number, minutes: number, seaCelsius: number) {
    const most = outputAt(rpm, minutes)
    const takes = acceptance(this.charge)
    const bulk = takes >= most
    const float = !bulk && takes < 9
    const load = loadAt(rpm)
    const warm = 1 - Math.exp(-minutes / 9)
    const noise = (spread: number) => this.#random.normal(0, spread)
    const amps = float ? takes * 0.7 : Math.min(most, takes)
    const bulkVolts = Math.min(14.25, 12.75 + 1.15 * this.charge + amps / 420 + noise(0.04))
    return {
      stage: bulk ? ('bulk' as const) : float ? ('float' as const) : ('absorption' as const),
      amps: rounded(amps * (1 + noise(0.02))),
      volts: rounded(bulk ? bulkVolts : float ? 13.6 + noise(0.03) : 14.4 + noise(0.03), 1),
      coolant: rounded(seaCelsius + (76 + 8 * load + 0.12 * seaCelsius - seaCelsius + noise(0.8)) * warm),
      oilPressure: rounded(1.3 + 2.5 * Math.min(1, rpm / 2200) + 0.5 * (1 - warm) + noise(0.06), 1),
      outlet: rounded(seaCelsius + (10 + 20 * load) * (1 + 0.25 * this.weed) * warm + noise(0.8)),
      sea: rounded(seaCelsius + noise(0.3)),
      vacuum: rounded(this.vacuum(rpm), 1),
    }
  }

  /** Vacuum at the fuel separator, inches of mercury as its gauge reads. */
  vacuum(rpm: number): number {
    const loaded = 1 + 3 * Math.min(1.3, this.separatorHours / 200) ** 1.4
    return Math.max(0.5, loaded * (0.6 + rpm / 5000) + this.#random.normal(0, 0.12))
  }

  /** Rest volts of the house bank: AGM, a straight line through the usual tables. */
  restVolts(): number {
    return rounded(11.58 + 1.27 * this.charge + this.#random.normal(0, 0.015), 2)
  }

  /** Rest volts of the starting battery. */
  startRestVolts(): number {
    return rounded(12.74 - 0.5 * (1 - this.startVigour) + this.#random.normal(0, 0.015), 2)
  }

  /** The dipstick as a share of the marks, read to the nearest twentieth. */
  dipstick(): number {
    return Math.round((100 - (this.oilMissing / 1.5) * 100 + this.#random.normal(0, 3)) / 5) * 5
  }

  /** Hull potential against the silver/silver-chloride cell, volts. */
  hullPotential(onShorePower: boolean, latitude: number): number {
    const usual = -0.955 + 0.0006 * (100 - this.anodes.hull) + 0.006 * (latitude - 55)
    const stray = this.isolatorFailed && onShorePower ? 0.15 : 0
    return rounded(usual + stray + this.#random.normal(0, 0.004), 3)
  }

  /** Fills a tank to the neck. @returns whole litres */
  fill(tank: TankHandle): number {
    const litres = Math.floor(tankHolds - this.fuel[tank])
    this.fuel[tank] += litres
    return litres
  }

  #burn(tank: TankHandle, litres: number): void {
    this.fuel[tank] -= litres
    if (tank !== this.openTank || this.fuel[tank] > changeOverAt) return
    const other = tank === 'fuel-tank-port' ? 'fuel-tank-starboard' : 'fuel-tank-port'
    if (this.fuel[other] <= this.fuel[tank]) return
    this.openTank = other
    this.changedOver = true
  }
}

/** Months in which the heater is lit of an evening. */
const seaIsCold = (dayOfYear: number): boolean => dayOfYear < 150 || dayOfYear > 255
