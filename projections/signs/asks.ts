import { causes } from './causes.ts'
import { type DriveState, raisedAt } from './drive-state.ts'
import type { Drive } from './drives.ts'

/** A reading that would be worth most now. */
export interface Ask {
  readonly what: 'output' | 'dust' | 'torque'
  /** The belt or the alternator. */
  readonly equipment: string
  readonly why: string
  readonly when: string
}

/** An ask with what it is worth: roughly the weight that it is expected to bring, in logarithms. */
interface Worth extends Ask {
  readonly worth: number
}

/** Hours after which a look or a reading has grown old: by then a fault could have begun and shown. Chosen on made-up boats. */
const ageing = { output: 4, dust: 9, torque: 30 } as const

/** What a fresh one is expected to say if something were wrong. A torque check is work: it is worth asking for a third as often. */
const tells = { output: 1.6, dust: 1.5, torque: 0.9 } as const

/** Less than this is not worth asking for. */
const least = 0.8

/** At most so many at a time. */
const mostAsked = 2

/** With as many readings, and none that can be judged or none for so many engine hours, it is said what would make one. */
const fewJudged = 8
const longUnjudged = 15

/** The readings worth most for one drive, with their worth; none is asked for where it could not be judged. */
export function worths(drive: Drive, state: DriveState): Worth[] {
  const { hours } = state.run
  const suspicion = Math.max(...state.sums.map(({ value }, i) => value / raisedAt[causes[i]!.kind]))
  const stale = (what: keyof typeof ageing, last: { hours: number } | null): number =>
    last === null ? 1 : 1 - Math.exp(-(hours - last.hours) / ageing[what])
  const worthOf = (what: keyof typeof ageing, last: { hours: number } | null) =>
    tells[what] * stale(what, last) * (1 + 2 * suspicion)
  const list: Worth[] = []
  if (drive.alternator !== null && state.standing?.limit !== true) {
    const unjudged =
      state.readings >= fewJudged && (state.last.output === null || hours - state.last.output.hours > longUnjudged)
    list.push({
      what: 'output',
      equipment: drive.alternator,
      worth: worthOf('output', state.last.output),
      why: unjudged
        ? 'No reading of the charging can be judged: each was taken when the battery, not the alternator, set the amps, as with lithium or with a bank that solar or shore power keeps full. One taken with a load switched on, or charging from low, would tell.'
        : state.curve.n < 4
          ? 'What she gives when all is well is not known yet: each early reading at another speed teaches it.'
          : suspicion > 0.4
            ? 'The output is in doubt: one more reading at its limit would decide most.'
            : 'It is a while since a reading of the charging could be judged.',
      when: `In the first steady stretch after starting, 8 to 20 minutes on and by day: engine speed, amps and volts together, at 1,200 to 1,500 rpm if it suits${
        unjudged ? ', with a load switched on or the bank low' : ''
      }.`,
    })
  }
  if (drive.belt !== null) {
    list.push({
      what: 'dust',
      equipment: drive.belt,
      worth: worthOf('dust', state.last.dust),
      why:
        suspicion > 0.4
          ? 'Dust, or none, would tell a slipping belt from an ailing alternator.'
          : 'It is a while since anybody wrote how much dust lies about the belt.',
      when: 'Before starting, engine stopped and started by nobody: grade the dust, and write whether you wiped it.',
    })
    if (!drive.tensionUnjudged)
      list.push({
        what: 'torque',
        equipment: drive.belt,
        worth: worthOf('torque', state.last.tension),
        why: 'A check of the slip torque is the only warning before a belt slips.',
        when: 'When the engine is cold and stopped, batteries isolated: slip torque at the pulley nut, or the deflection with its force.',
      })
  }
  return list
}

/** What to ask for now, the reading worth most first: two at most, none at night. `night`: it is between nine in the evening and seven by ship's time. */
export function asksOf(drives: readonly { drive: Drive; state: DriveState }[], night: boolean): Ask[] {
  if (night) return []
  return drives
    .flatMap(({ drive, state }) => worths(drive, state))
    .filter(({ worth }) => worth >= least)
    .sort((a, b) => b.worth - a.worth || (a.equipment < b.equipment ? -1 : 1))
    .slice(0, mostAsked)
    .map(({ what, equipment, why, when }) => ({ what, equipment, why, when }))
}
