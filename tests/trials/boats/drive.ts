/**
 * An alternator on its belt, as it is: what it gives, what it asks of the belt, and what happens when the belt cannot give it. Physics with
 * figures from common practice (no source), kept apart from what any judgement assumes.
 */

/** What does not change from day to day. */
export interface Drive {
  ratedAmps: number
  /** Alternator turns for one of the engine. */
  ratio: number
  /** Alternator speed at which it begins to give, and over which output rises to 63 % of the whole, 1/min. */
  cutIn: number
  scale: number
  /** Share of output lost when hot, and minutes that warming takes. */
  hotLoss: number
  warmMinutes: number
  efficiency: number
  /** Slip torque at the pulley nut as the owner sets it, N.m. */
  asSet: number
  /** Grip in running for each N.m of slip torque at rest: shock, heat and speed take much of it. */
  running: number
}

/** What does. */
export interface DriveState {
  /** Slip torque at rest right after tensioning, N.m; hours run since; hours run by the belt. */
  tensioned: number
  sinceTensioned: number
  beltHours: number
  /** Factors on tension and on friction that a fault brings, 1 when well. */
  tension: number
  friction: number
  /** 0 cold to 1: the pulley heated by slip. */
  heat: number
  /** Work of slip done on the belt, kWh; and what of it shows as dust. */
  wear: number
  dust: number
  /** Factor on the alternator's output that a fault brings. */
  health: number
  broken: boolean
}

/** A belt just tensioned. */
export const freshDrive = (drive: Drive): DriveState => ({
  tensioned: drive.asSet,
  sinceTensioned: 0,
  beltHours: 60,
  tension: 1,
  friction: 1,
  heat: 0,
  wear: 0,
  dust: 0.05,
  health: 1,
  broken: false,
})

/** Amps that the alternator could give at its own speed, the battery willing. */
export const fullOutput = (drive: Drive, alternatorRpm: number, minutes: number): number =>
  drive.ratedAmps *
  (1 - Math.exp(-Math.max(0, alternatorRpm - drive.cutIn) / drive.scale)) *
  (1 - drive.hotLoss * (1 - Math.exp(-minutes / drive.warmMinutes)))

/** Torque asked of the belt at the alternator's pulley, N.m. */
export const asked = (drive: Drive, amps: number, volts: number, alternatorRpm: number): number =>
  (volts * amps) / drive.efficiency / ((2 * Math.PI * alternatorRpm) / 60)

/** The most that the alternator asks at any engine speed, hot, N.m. */
export function mostAsked(drive: Drive): number {
  let most = 0
  for (let rpm = 900; rpm <= 2800; rpm += 50)
    most = Math.max(most, asked(drive, fullOutput(drive, rpm * drive.ratio, 20), 13.8, rpm * drive.ratio))
  return most
}

/** Slip torque at rest now: a quick loss while it beds in, more on a new belt, then a slow one. */
export function slipTorque({ tensioned, sinceTensioned, beltHours, tension, friction }: DriveState): number {
  const isNew = beltHours - sinceTensioned < 8
  const bedding = (isNew ? 0.26 : 0.08) * (1 - Math.exp(-sinceTensioned / 5))
  return tensioned * (1 - bedding) * Math.exp(-sinceTensioned / 900) * tension * friction
}

/** What the drive gives at an engine speed, with how much the belt slips, 0 to 1. `wanted`: what battery and regulator take, amps. */
export function running(
  drive: Drive,
  state: DriveState,
  rpm: number,
  minutes: number,
  volts: number,
  wanted: number,
): { amps: number; slip: number; slipWatts: number } {
  if (state.broken) return { amps: 0, slip: 1, slipWatts: 0 }
  const grip = slipTorque(state) * drive.running * (1 - 0.12 * state.heat)
  for (let slip = 0; slip < 0.95; slip += 0.01) {
    const own = rpm * drive.ratio * (1 - slip)
    const amps = Math.min(fullOutput(drive, own, minutes) * state.health, wanted)
    const torque = asked(drive, amps, volts, own)
    // Rubber holds more the faster it slides: slip sets in by degrees, until heat and glaze take over.
    if (torque <= grip * (1 + 3 * slip))
      return { amps, slip, slipWatts: (torque * slip * rpm * drive.ratio * 2 * Math.PI) / 60 }
  }
  return { amps: 0, slip: 1, slipWatts: (grip * rpm * drive.ratio * 2 * Math.PI) / 60 }
}

/** Lets the belt run for some hours under a slip: dust, wear, glaze, heat. */
export function wearOn(state: DriveState, hours: number, slipWatts: number, strengthKWh: number): void {
  state.sinceTensioned += hours
  state.beltHours += hours
  const kWh = (slipWatts * hours) / 1000
  state.dust += hours * (0.005 + (state.beltHours < 10 ? 0.05 : 0)) + kWh * 1.6
  state.wear += kWh
  // What slip polishes holds less: the glaze feeds on itself.
  state.friction *= 1 - Math.min(0.5, (0.2 * kWh) / strengthKWh)
  const settles = Math.exp(-hours / 0.2)
  state.heat = Math.min(1, slipWatts / 500) * (1 - settles) + state.heat * settles
  if (state.wear > strengthKWh) state.broken = true
}
