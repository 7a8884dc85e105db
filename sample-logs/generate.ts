import type { Line } from '../events/log.ts'
import { boatName } from './boat.ts'
import { stay } from './harbour.ts'
import { day, hour, Keeper, minute } from './keeper.ts'
import { clockTime, momentOfLocal, Pen } from './pen.ts'
import { places } from './places.ts'
import { random } from './random.ts'
import { home, lastEvening, seasons } from './seasons.ts'
import { Ship } from './ship.ts'
import { putOffOn, storyTeller, titles, twists } from './stories.ts'
import { sail } from './voyage.ts'
import { beginBook, begunOn, layUp, spring, winterVisit } from './winter.ts'

/** The sample boat's log, ready to be written into an empty book. */
export interface SampleBoat {
  /** Her name. */
  readonly boat: string
  /** Every line, in the order in which it was written down; over a thousand. */
  readonly lines: Line[]
  /** The last day's evening, RFC 3339: the moment to which a demonstration pins its clock. */
  readonly now: string
  /** What there is to be found in it: a title, and the ids of the entries that tell it, in the order of the telling. */
  readonly stories: { title: string; entries: string[] }[]
  /**
   * What was true, at each stop of the engine: what no log knows, for the checks of what is worked out from it.
   * `at` in milliseconds, hours that the engine had truly run since new, miles by the log.
   */
  readonly truth: readonly { at: number; engineHours: number; miles: number }[]
}

/** The id of the book in which the sample was first written: always the same. */
const origin = 'b7a6c0de-5f1e-4c2a-9a53-0b8f4d2e6c17'

/**
 * Three seasons and two winters of an invented cutter in the Baltic, made from nothing but a seed: no clock, no file, no chance. The
 * same seed gives the same lines to the byte. Another seed gives other weather, other motoring, other readings, with the same voyages
 * and the same stories.
 */
export function sampleBoat(seed = 17): SampleBoat {
  const zone = places[home].zone
  const pen = new Pen(origin, random(seed, 'ids'), zone)
  const began = momentOfLocal(`${begunOn}T12:00`, zone)
  const ship = new Ship(random(seed, 'ship'), began)
  const keeper = new Keeper(pen, ship, random(seed, 'log'), home)
  const story = storyTeller(keeper)
  const now = momentOfLocal(lastEvening, 'Europe/Stockholm')

  beginBook(keeper)
  keeper.mark(began)
  for (const [index, season] of seasons.entries()) {
    keeper.season = index as 0 | 1 | 2
    spring(keeper, season, story.day)
    let lies = keeper.moment(season.spring[season.spring.length - 1] as string, '18:00') + day
    for (const leg of season.legs) {
      const leaves = keeper.moment(leg.on, leg.at)
      lie(lies, leaves - 2 * hour)
      story.leaving(leg.on, leaves)
      const sailed = sail(keeper, leg, season.calm, twists[leg.on] ?? {})
      story.arriving(leg.on, sailed)
      lies = sailed.arrived
    }
    const [lift] = season.layUp
    if (lift === undefined) {
      lie(lies, now)
      story.lastEvening(now)
      continue
    }
    lie(lies, keeper.moment(lift, '07:00'))
    layUp(keeper, season, story.day)
    for (const date of season.winter) winterVisit(keeper, date, story.day)
  }
  const untold = story.untold()
  if (untold.length > 0) throw new Error(`No day of the itinerary tells the story of ${untold.join(', ')}`)

  const lines = pen.lines()
  return { boat: boatName, lines, now: clockTime(now, pen.zone), stories: toldBy(lines), truth: keeper.truth }

  function lie(arrived: number, leaves: number): void {
    const left = keeper.place === home && leaves - arrived > 4 * day
    stay(keeper, {
      arrived,
      leaves: Math.max(leaves, arrived + minute),
      left,
      story: story.day,
      heldBack: putOffOn(keeper.dateOf(arrived)),
    })
  }

  function toldBy(written: readonly Line[]): SampleBoat['stories'] {
    for (const [title, ids] of foundIn(written)) {
      const told = keeper.stories.get(title) ?? []
      keeper.stories.set(title, [...new Set([...ids, ...told])])
    }
    return Object.values(titles).map((title) => ({ title, entries: keeper.stories.get(title) ?? [] }))
  }
}

/** Stories that are found in the log rather than written into it: the counter's roll-over, zones, drifting services. */
function foundIn(lines: readonly Line[]): [string, string[]][] {
  const happened = [...lines].sort((a, b) => Date.parse(a.occurredAt) - Date.parse(b.occurredAt))
  const counts = happened.filter((line) => typeof line.data.bilgeCount === 'number')
  const rolled = counts.findIndex(
    (line, index) =>
      index > 0 &&
      line.data.counterReset !== true &&
      Number(line.data.bilgeCount) < Number(counts[index - 1]?.data.bilgeCount),
  )
  const zones = happened.filter(
    (line) => line.type === 'book-set' && line.data.zone !== undefined && line.data.boat === undefined,
  )
  const drifting = happened.filter(
    (line) =>
      line.type === 'service-done' &&
      ((line.data.equipment === 'engine' && line.data.work === 'oil and filter changed') ||
        (line.data.equipment === 'house-belt' && line.data.work === 'inspected')),
  )
  return [
    [titles.counter, rolled < 0 ? [] : counts.slice(rolled - 1, rolled + 1).map((line) => line.id)],
    [titles.zone, zones.map((line) => line.id)],
    [titles.drift, drifting.map((line) => line.id)],
  ]
}
