import type { Figure } from '../../projections/figure.ts'
import { countAt, curveOf } from '../../projections/meter-hours.ts'
import { passages } from '../../projections/passages.ts'
import { nameOf, register } from '../../projections/register.ts'
import { type FairEntry, fold } from '../../projections/timeline.ts'
import type { View } from '../page.ts'
import { shipDay, shortDayText } from './dates.ts'
import type { Line } from './entry-line.tsx'
import type { Names } from './entry-words.ts'

/** Names of what entries refer to, from the register; another entry is named by what it says was wrong or done, else by its day. */
export function namesOf(view: View): Names {
  const { timeline } = view
  const book = fold(register, timeline)
  return (refers, handle) => {
    if (refers !== 'entry') return nameOf(book, refers, handle)
    const told = timeline.find(timeline.rootOf(handle) ?? handle)?.told
    if (!told) return 'an entry that is not here'
    if (told.type === 'defect-found' || told.type === 'repair-made')
      return `${nameOf(book, 'equipment', told.data.equipment)}: ${told.data.what}`
    return `the entry of ${shortDayText(shipDay(told.at, timeline.zoneAt(told.at)))}`
  }
}

/**
 * Fair entries as lines: engine hours in the margin, the checks of a round in its line rather than in lines of their own.
 * A check whose round is not among the entries keeps its own line.
 */
export function linesOf(view: View, entries: readonly FairEntry[]): Line[] {
  const { timeline } = view
  const meter = [...fold(register, timeline).meters.values()].find((one) => one.counts === 'hours')
  const curve = meter && curveOf(timeline, meter.handle)
  const hoursOf = (entry: FairEntry): Figure | undefined => {
    const count =
      curve && entry.at >= (curve.points[0]?.at ?? Number.POSITIVE_INFINITY)
        ? countAt(curve, entry.at, entry.root)
        : null
    return meter && count !== null && count !== undefined
      ? { value: count, unit: 'h', from: { meter: meter.handle }, decimals: 1 }
      : undefined
  }
  const rounds = new Set(entries.filter((entry) => entry.told.type === 'rounds-made').map((entry) => entry.root))
  const checks = new Map<string, FairEntry[]>()
  const roundsOf = (entry: FairEntry): string | undefined =>
    entry.told.type === 'check-made' && entry.told.data.rounds !== undefined && rounds.has(entry.told.data.rounds)
      ? entry.told.data.rounds
      : undefined
  for (const entry of entries) {
    const round = roundsOf(entry)
    if (round !== undefined) checks.set(round, [...(checks.get(round) ?? []), entry])
  }
  return entries
    .filter((entry) => roundsOf(entry) === undefined)
    .map((entry) => {
      const hours = hoursOf(entry)
      return { entry, ...(hours ? { hours } : {}), checks: checks.get(entry.root) ?? [] }
    })
}

/** What is said beside the head of a day: from where to where she went, or where she came to lie; days are those of ship's time. */
export function placesOf(view: View): (day: string) => string | undefined {
  const { timeline } = view
  const byDay = new Map<string, string>()
  const add = (at: number, text: string) => {
    const day = shipDay(at, timeline.zoneAt(at))
    const there = byDay.get(day)
    if (there === undefined) byDay.set(day, text)
    else if (!there.includes(text)) byDay.set(day, `${there}, ${text}`)
  }
  for (const { begun, ended } of fold(passages, timeline).passages) {
    if (begun && ended) {
      const text = `${begun.data.from} to ${ended.data.at}`
      add(begun.at, text)
      add(ended.at, text)
    } else if (begun) add(begun.at, `from ${begun.data.from}`)
    else if (ended) add(ended.at, ended.data.at)
  }
  return (day) => byDay.get(day)
}
