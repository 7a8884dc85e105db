import type { Entry } from '../events/index.ts'
import {
  type ForecastsKept,
  forecastEntries,
  forecastsKept,
  forecastsMadeAt,
  type MadeForecast,
  monthStarts,
} from '../projections/forecasts-kept.ts'
import { momentOf, type Timeline } from '../projections/timeline.ts'
import type { Book } from '../server/book.ts'

/** How many months back forecasts are replayed where nobody asks for more. */
export const usualMonths = 24

/** A replay that is on its way or done. */
export interface Replay {
  /** Months done, and of how many. */
  progress(): { readonly done: number; readonly of: number }
  readonly kept: Promise<ForecastsKept>
}

interface Known {
  /** How many of the entries had been written down by then: what was known cannot change but by entries that claim an older date. */
  readonly known: number
  readonly made: readonly MadeForecast[]
}

const months = new WeakMap<Book, Map<number, Known>>()
const replays = new WeakMap<readonly Entry[], Map<string, Replay>>()

/**
 * Replays the forecasts of a book, a month at a time, letting others be served in between. What was made at the start of a month is kept in memory
 * for as long as what was known then is the same; a replay of the same book and past is made once.
 * @param from the fair log by which they are judged
 * @param now the moment that is spoken of, milliseconds
 */
export function replayForecasts(book: Book, from: Timeline, now: number, most = usualMonths): Replay {
  const { entries } = book.read()
  let ofBook = replays.get(entries)
  if (!ofBook) {
    ofBook = new Map()
    replays.set(entries, ofBook)
  }
  // A running clock does not make another replay of every minute.
  const key = `${monthStarts(from, now, most).join(' ')} ${from.told.length} ${Math.floor(now / 86_400_000)}`
  const there = ofBook.get(key)
  if (there) return there
  const starts = monthStarts(from, now, most)
  let done = 0
  const replay: Replay = {
    progress: () => ({ done, of: starts.length }),
    kept: (async () => {
      const some = forecastEntries(entries)
      const written = some.map((entry) => momentOf(entry.recordedAt)).sort((a, b) => a - b)
      const made: MadeForecast[] = []
      let known = 0
      for (const at of starts) {
        while (known < written.length && written[known]! <= at) known++
        made.push(...madeAt(book, some, at, known))
        done++
        await new Promise((resolve) => setImmediate(resolve))
      }
      return forecastsKept(from, starts, made, now)
    })(),
  }
  ofBook.set(key, replay)
  return replay
}

function madeAt(book: Book, entries: readonly Entry[], at: number, known: number): readonly MadeForecast[] {
  let ofBook = months.get(book)
  if (!ofBook) {
    ofBook = new Map()
    months.set(book, ofBook)
  }
  const there = ofBook.get(at)
  if (there?.known === known) return there.made
  const made = forecastsMadeAt(entries, at)
  ofBook.set(at, { known, made })
  return made
}
