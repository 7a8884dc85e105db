import type { Data } from '../events/index.ts'
import { clockTime, type Entered, momentOfLocal, type Pen, type Written } from './pen.ts'
import { type PlaceKey, places, seaCelsius } from './places.ts'
import type { Random } from './random.ts'
import type { Ship } from './ship.ts'
import { type KeptTask, tasks } from './upkeep.ts'

/** Milliseconds of a minute. */
export const minute = 60_000
/** Milliseconds of an hour. */
export const hour = 60 * minute
/** Milliseconds of a day of 24 hours. */
export const day = 24 * hour

/** When a task was last done. */
interface Done {
  at: number
  hours: number
  miles: number
  starts: number
}

/** Whoever keeps the log: the boat, the pen, where she lies, what was done when, and the stories that are told on the way. */
export class Keeper {
  readonly pen: Pen
  readonly ship: Ship
  readonly random: Random
  place: PlaceKey
  /** 0, 1, 2. */
  season: 0 | 1 | 2 = 0
  shorePower = false
  /** Ashore for the winter. */
  laidUp = false
  /** A guest reads the gauges out in the units of home. */
  guestAboard = false
  /** When the gas bottle was last changed, milliseconds. */
  bottleSince = 0
  readonly stories = new Map<string, string[]>()
  /** True hours by moment, for the tests. */
  readonly truth: { at: number; engineHours: number; miles: number }[] = []
  readonly done = new Map<string, Done>()
  readonly retired = new Set<string>()
  readonly #threshold = new Map<string, number>()

  constructor(pen: Pen, ship: Ship, random: Random, place: PlaceKey) {
    this.pen = pen
    this.ship = ship
    this.random = random
    this.place = place
  }

  get latitude(): number {
    return places[this.place].latitude
  }

  /** A local time on a day, by the clock aboard, milliseconds. */
  moment(on: string, time: string): number {
    return momentOfLocal(`${on}T${time}`, this.pen.zone)
  }

  /** The calendar day of a moment, by the clock aboard. */
  dateOf(at: number): string {
    return clockTime(at, this.pen.zone).slice(0, 10)
  }

  /** The hour of the day by the clock aboard, with its fraction. */
  hourOf(at: number): number {
    const text = clockTime(at, this.pen.zone)
    return Number(text.slice(11, 13)) + Number(text.slice(14, 16)) / 60
  }

  dayOfYear(at: number): number {
    return Math.floor((at - Date.UTC(new Date(at).getUTCFullYear(), 0, 1)) / day) + 1
  }

  seaAt(at: number): number {
    return seaCelsius(this.latitude, this.dayOfYear(at))
  }

  /** What the meter shows, as a quantity. */
  hoursShown(): { value: number; unit: 'h' } {
    return { value: this.ship.meter, unit: 'h' }
  }

  /** Adds entries to a story. */
  tell(title: string, ...entries: readonly (Entered | undefined)[]): void {
    const ids = this.stories.get(title) ?? []
    for (const entry of entries) if (entry) ids.push(entry.id)
    this.stories.set(title, ids)
  }

  /** Notes what is true now. */
  mark(at: number): void {
    this.truth.push({ at, engineHours: this.ship.hours, miles: this.ship.miles })
  }

  markDone(task: string, at: number, hours = this.ship.hours): void {
    this.done.set(task, { at, hours, miles: this.ship.miles, starts: this.ship.starts })
    this.#threshold.delete(task)
  }

  /** How much of a task's interval is used up, by whichever measure is furthest; 1 is due. */
  usedShare(task: KeptTask, at: number): number {
    const done = this.done.get(task.set.task)
    if (!done) return 0
    const { everyHours, everyMonths, everyMiles, everyStarts } = task.set
    const { ship } = this
    return Math.max(
      everyHours === undefined ? 0 : (ship.hours - done.hours) / everyHours,
      everyMonths === undefined ? 0 : (at - done.at) / (everyMonths * 30.44 * day),
      everyMiles === undefined ? 0 : (ship.miles - done.miles) / everyMiles,
      everyStarts === undefined ? 0 : (ship.starts - done.starts) / everyStarts,
    )
  }

  /** The tasks kept afloat that the owner would now do, the most overdue first. */
  wantsDoing(at: number): KeptTask[] {
    const over = (task: KeptTask) => {
      const handle = task.set.task
      let threshold = this.#threshold.get(handle)
      if (threshold === undefined) {
        threshold = task.doneAt[this.season] + this.random.normal(0, 0.12)
        this.#threshold.set(handle, threshold)
      }
      return this.usedShare(task, at) - threshold
    }
    return tasks
      .filter((task) => task.kept === 'afloat' && !this.retired.has(task.set.task))
      .map((task) => ({ task, over: over(task) }))
      .filter(({ over }) => over > 0)
      .sort((a, b) => b.over - a.over)
      .map(({ task }) => task)
  }

  /** A note, in a skipper's words. */
  note(at: number, text: string, equipment?: string): Written<'note-written'> {
    const data: Data<'note-written'> = { text, ...(equipment === undefined ? {} : { equipment }) }
    return this.pen.write('note-written', at, data)
  }
}
