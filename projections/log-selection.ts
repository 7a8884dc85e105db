import type { EntryType } from '../events/index.ts'
import type { Selection } from './figure.ts'
import { meterOf, type Register, register } from './register.ts'
import { fulfils } from './services.ts'
import { type FairEntry, fold, type Timeline } from './timeline.ts'

/** What the Log can be asked for: a figure's selection, or what a person typed. */
export interface Filter extends Selection {
  /** Every word must occur somewhere in the entry, capitals aside. */
  readonly text?: string
  readonly only?: 'struck' | 'amended' | 'late'
}

/** From this on an entry was written late: half a day is a passage's evening, more is from memory. Milliseconds. */
export const lateFrom = 12 * 3_600_000

/** The entries of the fair log that a filter selects, in order, struck ones included. An empty filter selects all. */
export function select(from: Timeline, filter: Filter): FairEntry[] {
  const book = fold(register, from)
  const words = (filter.text ?? '').toLowerCase().split(/\s+/).filter(Boolean)
  const roots = filter.entries ? new Set(filter.entries) : null
  const byContent =
    filter.kinds !== undefined ||
    filter.equipment !== undefined ||
    filter.meter !== undefined ||
    filter.task !== undefined
  return from.all.filter((fair) => {
    // Single entries are added to what the rest of a selection gives, or are all of it.
    if (roots?.has(fair.root)) return true
    if (roots && !byContent) return false
    if (filter.since !== undefined && fair.at < filter.since) return false
    if (filter.until !== undefined && fair.at > filter.until) return false
    if (filter.kinds && !filter.kinds.includes(fair.told.type)) return false
    if (filter.only === 'struck' && fair.struck === null) return false
    if (filter.only === 'amended' && fair.versions.length < 2) return false
    if (filter.only === 'late' && fair.lateBy < lateFrom) return false
    const data = fair.told.data as Record<string, unknown>
    if (filter.task !== undefined) {
      if (!concernsTask(book, fair, filter.task)) return false
    } else {
      if (filter.equipment !== undefined && !concerns(book, data, filter.equipment)) return false
      if (filter.meter !== undefined && !readsMeter(book, fair, filter.meter)) return false
    }
    if (words.length > 0) {
      const text = searchText(book, fair)
      if (!words.every((word) => text.includes(word))) return false
    }
    return true
  })
}

/** Whether the data of an entry are about a piece of equipment: by its handle, by a meter on it, by a task for it. */
export function concerns(book: Register, data: Record<string, unknown>, equipment: string): boolean {
  if (data.equipment === equipment || data.alternator === equipment || data.tank === equipment) return true
  if (typeof data.meter === 'string' && book.meters.get(data.meter)?.equipment === equipment) return true
  return typeof data.task === 'string' && book.tasks.get(data.task)?.data.equipment === equipment
}

function concernsTask(book: Register, fair: FairEntry, task: string): boolean {
  const set = book.tasks.get(task)?.data
  const { told } = fair
  if (told.type === 'service-done')
    return set !== undefined && told.data.equipment === set.equipment && fulfils(told.data.work, set.work)
  return (told.type === 'upkeep-set' || told.type === 'upkeep-retired') && told.data.task === task
}

const logKinds: readonly EntryType[] = ['passage-begun', 'passage-ended']

function readsMeter(book: Register, fair: FairEntry, meter: string): boolean {
  const { told } = fair
  const data = told.data as Record<string, unknown>
  if (data.meter === meter) return true
  const { counts, equipment } = book.meters.get(meter) ?? {}
  if (counts === 'miles') return logKinds.includes(told.type) && data.distanceLog !== undefined
  if (counts === 'cycles') return data.bilgeCount !== undefined && data.equipment === equipment
  return (
    data.hours !== undefined && typeof data.equipment === 'string' && meterOf(book, data.equipment)?.handle === meter
  )
}

function searchText(book: Register, fair: FairEntry): string {
  const parts: string[] = [fair.told.type.replaceAll('-', ' '), fair.told.hand]
  for (const version of fair.versions)
    for (const [name, value] of Object.entries(version.data as Record<string, unknown>)) {
      if (typeof value === 'string') {
        parts.push(value)
        if (name === 'equipment') parts.push(book.equipment.get(value)?.name ?? '')
      } else if (typeof value === 'object' && value !== null) parts.push(`${(value as { value: number }).value}`)
    }
  if (fair.struck?.data.reason) parts.push(fair.struck.data.reason)
  return parts.join(' ').toLowerCase()
}
