import type { Data } from '../../events/index.ts'
import { type Given, given, h, nm } from './entries.ts'

/** A boat that never was: what her owner wrote down, and what her engine really did. */
export interface MadeUpBoat {
  readonly book: Given
  /** Engine hours truly run since the log began, at a moment in milliseconds. */
  trueHours(at: number): number
  /** Services with their entry, the moment at which they were really done, and whether the hours stand in them. */
  readonly services: readonly { readonly id: string; readonly at: number }[]
  /** When the meter was last read, rightly or wrongly. */
  readonly lastRead: number
  /** What is hard about her records. */
  readonly has: {
    readonly mistyped: number
    readonly late: number
    readonly dayOnly: number
    readonly replaced: number
    readonly replacedUnread: number
    readonly rolledOver: number
    readonly wholeHours: boolean
    readonly years: number
    readonly readings: number
  }
}

/** Whole numbers of 32 bits in a fixed sequence (mulberry32, Tommy Ettinger, 2017, public domain), as reals from 0 to 1. */
export function sequence(start: number): () => number {
  let state = start >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296
  }
}

const hour = 3_600_000
const day = 24 * hour

/** The keys beside each digit, on a telephone's or a keyboard's block and on the row of figures. */
const neighbours: Record<string, string> = {
  '0': '89',
  '1': '24',
  '2': '135',
  '3': '246',
  '4': '1357',
  '5': '2468',
  '6': '3579',
  '7': '468',
  '8': '5790',
  '9': '680',
}

/** A reading as slipping fingers type it: two figures exchanged, one dropped, or a neighbour's key; always another value. */
export function mistype(reading: number, random: () => number): number {
  const text = reading.toFixed(Number.isInteger(reading) ? 0 : 1)
  for (let tries = 0; tries < 40; tries++) {
    const places = [...text].map((_, place) => place).filter((place) => text[place] !== '.')
    const pick = Math.floor(random() * places.length)
    const place = places[pick]!
    const kind = random()
    let typed = text
    if (kind < 0.5) {
      const other = places[pick + 1]
      if (other === undefined) continue
      const figures = [...text]
      ;[figures[place], figures[other]] = [text[other]!, text[place]!]
      typed = figures.join('')
    } else if (kind < 0.7) typed = text.slice(0, place) + text.slice(place + 1)
    else {
      const keys = neighbours[text[place]!]!
      typed = text.slice(0, place) + keys[Math.floor(random() * keys.length)]! + text.slice(place + 1)
    }
    const value = Number(typed)
    if (typed !== '' && Number.isFinite(value) && value !== reading && value < 1e6) return value
  }
  return reading + 1
}

/**
 * A boat used in the season over one to six years. Her owner reads the meter after most passages, sometimes knows the day alone, mistypes
 * one to three readings in a hundred, writes some things down late and replaces the meter up to twice.
 * @param start where the sequence of chances begins; the same number gives the same boat
 */
export function madeUpBoat(start: number): MadeUpBoat {
  const random = sequence(start)
  const chance = (share: number) => random() < share
  const between = (low: number, high: number) => low + (high - low) * random()
  const whole = (low: number, high: number) => Math.floor(between(low, high + 1))

  const book = given()
  const begin = Date.parse('2018-04-20T08:00:00Z') + whole(0, 20) * day
  const years = whole(1, 6)
  const step = chance(0.3) ? 1 : 0.1
  const floors = chance(0.5)
  const mistypes = between(0.01, 0.03)
  const dayOnlyShare = between(0, 0.3)
  const lateShare = between(0, 0.2)
  const readShare = between(0.7, 0.95)
  const writesRuns = chance(0.4)
  const writesPassages = chance(0.85)
  const servesEvery = between(60, 180)
  const rollsOverAt = chance(0.25) ? (chance(0.3) ? 1000 : 10000) : undefined
  const firstReading =
    rollsOverAt === undefined ? between(0, 6000) : rollsOverAt - between(20, Math.min(rollsOverAt - 10, 150 * years))

  const moment = (at: number) => new Date(at).toISOString()
  const dayOf = (at: number) => moment(at).slice(0, 10)
  const has = { mistyped: 0, late: 0, dayOnly: 0, replaced: 0, replacedUnread: 0, rolledOver: 0, readings: 0 }

  // The truth: when the engine ran.
  const spans: { from: number; to: number; before: number }[] = []
  let run = 0
  let lastRead = begin
  const trueHours = (at: number): number => {
    let low = 0
    let high = spans.length
    while (low < high) {
      const middle = (low + high) >> 1
      if (spans[middle]!.from <= at) low = middle + 1
      else high = middle
    }
    const span = spans[low - 1]
    return span ? span.before + Math.min(at, span.to) / hour - span.from / hour : 0
  }
  const runs = (from: number, hours: number) => {
    spans.push({ from, to: from + hours * hour, before: run })
    run += hours
  }

  // What the meter shows.
  let zero = firstReading
  let sinceReplaced = 0
  let rolls = rollsOverAt
  const shown = (at: number): number => {
    let reading = zero + trueHours(at) - sinceReplaced
    if (rolls !== undefined && reading >= rolls) {
      reading -= rolls
      has.rolledOver = 1
    }
    const figures = (floors ? Math.floor(reading / step + 1e-9) : Math.round(reading / step)) * step
    return Number(figures.toFixed(1))
  }
  const written = (at: number): number => {
    has.readings++
    lastRead = at
    const reading = shown(at)
    if (!chance(mistypes)) return reading
    has.mistyped++
    return mistype(reading, random)
  }
  const recorded = (at: number) => {
    if (!chance(lateShare)) return { recordedAt: moment(at + between(0, 6) * hour) }
    has.late++
    return { recordedAt: moment(at + between(1, 40) * day) }
  }
  const dated = (at: number): string => {
    if (!chance(dayOnlyShare)) return moment(at)
    has.dayOnly++
    return dayOf(at)
  }

  book.write('equipment-fitted', moment(begin), { equipment: 'engine', name: 'Engine', kind: 'engine' })
  book.write('meter-fitted', moment(begin), {
    meter: 'engine-hours',
    name: 'Engine hours',
    equipment: 'engine',
    counts: 'hours',
    kind: 'true running',
    reading: shown(begin),
    ...(rollsOverAt === undefined ? {} : { rollsOverAt }),
  })

  const readMeter = (at: number, stopped: boolean) => {
    const hours = h(written(at))
    if (stopped) book.write('engine-stopped', dated(at), { equipment: 'engine', hours }, recorded(at))
    else if (chance(0.75)) book.write('hours-read', dated(at), { meter: 'engine-hours', reading: hours }, recorded(at))
    else book.write('readings-taken', dated(at), { equipment: 'engine', hours }, recorded(at))
  }

  const services: { id: string; at: number }[] = []
  let servedAt = 0
  const serve = (at: number) => {
    const data: Data<'service-done'> = { equipment: 'engine', work: 'oil and filter changed' }
    if (chance(0.75)) data.hours = h(written(at))
    services.push({ id: book.write('service-done', dated(at), data, recorded(at)), at })
    servedAt = trueHours(at)
  }

  const replacements = [...Array(chance(0.6) ? 0 : whole(1, 2))].map(() => between(0.1, 0.95)).sort()
  let distance = 4000
  let at = begin + whole(1, 15) * day
  const finish = begin + (years - 1) * 365 * day + 150 * day
  for (let year = 0; year < years; year++) {
    const seasonEnd = begin + year * 365 * day + between(120, 165) * day
    at = Math.max(at, begin + year * 365 * day + between(3, 30) * day)
    const pause = between(1, 7)
    const typicalRun = between(0.5, 4)
    while (at < seasonEnd) {
      // A passage, or a morning's charging at anchor.
      const departs = at + between(0, 10) * hour
      const lasts = chance(0.1) ? between(24, 90) : between(2, 14)
      const arrives = departs + lasts * hour
      const hours = Math.max(0.1, Math.min(lasts * 0.95, typicalRun * between(0.2, 1.6) * (lasts > 24 ? 3 : 1)))
      const leaving = hours * between(0.1, 0.6)
      runs(departs, leaving)
      runs(arrives - (hours - leaving) * hour, hours - leaving)
      distance += lasts * between(3, 6)
      if (writesPassages)
        book.write('passage-begun', moment(departs), { from: 'here', to: 'there' }, { recordedAt: moment(departs) })
      if (writesRuns) {
        const purpose = 'leaving or entering harbour'
        book.write('engine-started', moment(departs), { equipment: 'engine', purpose })
        book.write('engine-stopped', moment(departs + leaving * hour), { equipment: 'engine' })
        book.write('engine-started', moment(arrives - (hours - leaving) * hour), { equipment: 'engine', purpose })
        book.write('engine-stopped', moment(arrives), { equipment: 'engine' })
      }
      if (writesPassages)
        book.write(
          'passage-ended',
          moment(arrives),
          { at: 'there', distanceLog: nm(Math.round(distance)) },
          recorded(arrives),
        )
      if (chance(readShare)) readMeter(arrives + between(0, 1) * hour, !writesRuns && chance(0.4))
      at = arrives + hour
      if (trueHours(at) - servedAt > servesEvery * between(0.9, 1.3)) {
        at += between(1, 30) * hour
        serve(at)
      }
      const due = replacements[0]
      if (due !== undefined && at > begin + due * (finish - begin)) {
        replacements.shift()
        at += between(1, 20) * hour
        has.replaced++
        const first = chance(0.8) ? 0 : Number(between(10, 900).toFixed(1))
        const data: Data<'meter-replaced'> = { meter: 'engine-hours', first }
        if (chance(0.7)) {
          data.last = shown(at)
          lastRead = at
        } else has.replacedUnread++
        book.write('meter-replaced', dated(at), data, recorded(at))
        zero = first
        sinceReplaced = trueHours(at)
        rolls = rollsOverAt === undefined ? undefined : rollsOverAt
      }
      at += pause * between(0.2, 2) * day
    }
    // Laying up: most change the oil.
    if (chance(0.7)) {
      at += between(1, 20) * day
      serve(at)
    }
  }
  return { book, trueHours, services, lastRead, has: { ...has, wholeHours: step === 1, years } }
}
