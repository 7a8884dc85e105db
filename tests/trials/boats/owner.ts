import type { Random } from '../../../sample-logs/random.ts'
import { mistype } from '../../projections/made-up-boats.ts'

/** How an owner keeps the log: shares of the occasions on which a thing is done, and how well it is seen. */
export interface Owner {
  /** Readings in a run; the whole of them lie somewhere in it, often after the bank has filled. */
  reads: number
  writesRuns: boolean
  /** Chance that each thing is written with the readings. */
  has: {
    speed: number
    amps: number
    volts: number
    stage: number
    sinceStart: number
    others: number
    hours: number
    ampsReadAt: number
  }
  stageWrong: number
  /** Spread of what is read off the gauges: amps as a share, volts, engine speed. */
  ampsSpread: number
  voltsSpread: number
  /** The engine speed is read to the nearest so many. */
  speedStep: number
  /** Share of figures mistyped; of entries written days later. */
  mistypes: number
  late: number
  /** Looks at the belt on a day of use; grades wrong by one; wipes what is there; says whether it was wiped. */
  looks: number
  gradeWrong: number
  wipes: number
  saysWiped: number
  /** Engine hours between checks of the slip torque, and their spread as a share; infinity: never. */
  torqueEvery: number
  torqueSpread: number
  /** Engine hours between tensionings. */
  tensionsEvery: number
  /** Answers what the book asks for, where it asks. */
  answers: number
}

/** Draws an owner who keeps the log casually. */
export function drawOwner(random: Random): Owner {
  return {
    reads: random.between(0.35, 0.75),
    writesRuns: random.chance(0.55),
    has: {
      speed: random.between(0.75, 0.98),
      amps: random.between(0.8, 0.98),
      volts: random.between(0.7, 0.98),
      stage: random.between(0.1, 0.8),
      sinceStart: random.between(0.1, 0.7),
      others: random.between(0.2, 0.9),
      hours: random.between(0.4, 0.9),
      ampsReadAt: random.chance(0.5) ? 0.9 : 0,
    },
    stageWrong: random.between(0.02, 0.1),
    ampsSpread: random.between(0.015, 0.05),
    voltsSpread: random.between(0.02, 0.07),
    speedStep: random.pick([20, 50, 100]),
    mistypes: random.between(0.003, 0.015),
    late: random.between(0.02, 0.15),
    looks: random.between(0.1, 0.4),
    gradeWrong: random.between(0.05, 0.15),
    wipes: random.between(0.2, 0.7),
    saysWiped: random.between(0.5, 0.95),
    torqueEvery: random.chance(0.4) ? random.between(25, 70) : Number.POSITIVE_INFINITY,
    torqueSpread: random.between(0.05, 0.11),
    tensionsEvery: random.between(60, 160),
    answers: random.between(0.75, 0.95),
  }
}

const grades = ['none', 'trace', 'film', 'heavy'] as const

/** The grade that an owner gives so much dust. */
export function gradeOf(dust: number, owner: Owner, random: Random): (typeof grades)[number] {
  const right = dust < 0.25 ? 0 : dust < 0.8 ? 1 : dust < 1.8 ? 2 : 3
  const given = random.chance(owner.gradeWrong) ? right + random.pick([-1, 1]) : right
  return grades[Math.max(0, Math.min(3, given))]!
}

/** A figure as it is written down: now and then mistyped. */
export const typed = (value: number, owner: Owner, random: Random): number =>
  random.chance(owner.mistypes) ? mistype(value, () => random.between(0, 1)) : value
