import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { Data, EntryType } from '../../events/index.ts'
import { kinds } from '../../events/index.ts'
import { type Line, openLog } from '../../events/log.ts'
import { convert } from '../../events/units.ts'
import { type EquipmentKind, worksOf } from '../../events/works.ts'
import { wrap } from '../../projections/mechanics/belt-geometry.ts'
import { geodesicDistance } from '../../projections/mechanics/geodesic.ts'
import { momentOf, type Told } from '../../projections/timeline.ts'
import { sampleBoat } from '../../sample-logs/generate.ts'
import { measuredRoutes, type Place, places } from '../../sample-logs/places.ts'
import { titles } from '../../sample-logs/stories.ts'
import { usualIntervals } from '../../sample-logs/upkeep-intervals.ts'
import { openBook } from '../../server/book.ts'

const sample = sampleBoat()
const now = Date.parse(sample.now)

function bookOf(lines: readonly Line[]) {
  const book = openBook(openLog(':memory:'), () => now)
  const taken = book.takeIn(lines as unknown as Record<string, unknown>[])
  return { book, taken }
}

const { book, taken } = bookOf(sample.lines)
const fair = book.timeline()
const told = <T extends EntryType>(type: T): Told<T>[] =>
  fair.told.filter((entry) => entry.type === type) as unknown as Told<T>[]
const lineOf = (id: string | undefined): Line => {
  const line = sample.lines.find((one) => one.id === id)
  if (!line) throw new Error(`No line ${id}`)
  return line
}
const story = (title: string): Line[] =>
  (sample.stories.find((one) => one.title === title)?.entries ?? []).map((id) => lineOf(id))
const ofType = (lines: readonly Line[], type: EntryType): Line[] => lines.filter((line) => line.type === type)
const year = (entry: { occurredAt: string }): number => Number(entry.occurredAt.slice(0, 4))
const value = (quantity: unknown): number => (quantity as { value: number }).value
const inUnit = (quantity: { value: number; unit: string } | undefined, unit: string): number | undefined =>
  quantity && convert(quantity.value, quantity.unit, unit)
const placeOf = (name: string): Place => {
  const found = Object.values(places).find((place) => place.name === name)
  if (!found) throw new Error(`No place ${name}`)
  return found
}
const nauticalMiles = (a: Place, b: Place): number => {
  const result = geodesicDistance(
    { latitudeDegrees: a.latitude, longitudeDegrees: a.longitude },
    { latitudeDegrees: b.latitude, longitudeDegrees: b.longitude },
  )
  if (!result.ok) throw new Error(result.problem)
  return result.nauticalMiles
}
const truthAt = (at: number) => {
  let last = sample.truth[0]!
  for (const mark of sample.truth) if (mark.at <= at) last = mark
  return last
}

describe('the sample boat as a book', () => {
  test('the book takes her whole log in one batch, and a second time nothing changes', () => {
    expect(taken).toMatchObject({ ok: true, already: 0 })
    expect(fair.problems).toEqual([])
    expect(book.read().unreadable).toEqual([])
    const before = book.log.head()
    const again = book.takeIn(sample.lines as unknown as Record<string, unknown>[])
    expect(again).toEqual({ ok: true, written: [], already: sample.lines.length })
    expect(book.log.head()).toEqual(before)
    expect(book.log.verify().problems).toEqual([])
  })

  test('the same seed gives the same lines to the byte, another seed other ones that the book takes just as well', () => {
    expect(JSON.stringify(sampleBoat())).toBe(JSON.stringify(sample))
    for (const seed of [1, -3]) {
      const other = sampleBoat(seed)
      expect(JSON.stringify(other.lines)).not.toBe(JSON.stringify(sample.lines))
      expect(bookOf(other.lines).taken).toMatchObject({ ok: true })
      expect(other.stories.map(({ title }) => title)).toEqual(sample.stories.map(({ title }) => title))
      expect(other.stories.filter(({ entries }) => entries.length === 0)).toEqual([])
    }
  })

  test('the script prints the same lines as JSON Lines', () => {
    const printed = execFileSync(process.execPath, ['--import', 'tsx', 'sample-logs/write.ts'], {
      encoding: 'utf8',
      maxBuffer: 1e8,
    })
    expect(printed).toBe(sample.lines.map((line) => `${JSON.stringify(line)}\n`).join(''))
  })

  test('she has over a thousand entries, of every kind there is', () => {
    expect(sample.lines.length).toBeGreaterThan(1000)
    const written = new Set(sample.lines.map((line) => line.type))
    expect(kinds.map((kind) => kind.type).filter((type) => !written.has(type))).toEqual([])
  })

  test('nothing is written down before it happened or after the pinned now, and lines stand in the order of writing', () => {
    let before = 0
    for (const line of sample.lines) {
      const recorded = momentOf(line.recordedAt)
      if (line.occurredAt.length === 10) expect(line.occurredAt <= line.recordedAt.slice(0, 10)).toBe(true)
      else expect(momentOf(line.occurredAt)).toBeLessThanOrEqual(recorded)
      expect(recorded).toBeLessThanOrEqual(now)
      expect(recorded).toBeGreaterThanOrEqual(before)
      // RFC 9562, section 5.7: the first 48 bits of a version 7 UUID are milliseconds since 1970.
      expect(Number.parseInt(line.id.replace('-', '').slice(0, 12), 16)).toBe(recorded)
      expect(line.id[14]).toBe('7')
      before = recorded
    }
    expect(new Set(sample.lines.map((line) => line.id)).size).toBe(sample.lines.length)
    expect(new Set(sample.lines.map((line) => line.hand))).toEqual(new Set(['H.B.', 'E.N.']))
  })

  test('every figure has as many decimals as a person writes', () => {
    const figures: [string, number][] = []
    for (const { data } of sample.lines)
      for (const [name, field] of Object.entries(data)) {
        if (typeof field === 'number') figures.push([name, field])
        else if (typeof field === 'object' && field !== null && 'value' in field) figures.push([name, value(field)])
      }
    const decimals = (figure: number) => String(figure).split('.')[1]?.length ?? 0
    expect(figures.length).toBeGreaterThan(1000)
    expect(figures.filter(([name, figure]) => decimals(figure) > (name === 'hullPotential' ? 3 : 2))).toEqual([])
  })

  test('every service is a work of its kind of equipment, and every check has only the fields of its kind', () => {
    const kindOfEquipment = new Map(
      ofType(sample.lines, 'equipment-fitted').map((line) => [line.data.equipment, line.data.kind as EquipmentKind]),
    )
    const check = kinds.find((kind) => kind.type === 'check-made')!
    for (const line of sample.lines) {
      const kind = kindOfEquipment.get(line.data.equipment as string)
      if (line.type === 'service-done' || line.type === 'upkeep-set')
        expect(worksOf(kind!), `${line.data.equipment}: ${line.data.work}`).toContain(line.data.work)
      if (line.type !== 'check-made') continue
      for (const name of Object.keys(line.data)) {
        const field = check.schema.shape[name as keyof typeof check.schema.shape]
        const only = (field.meta() ?? (field as { unwrap?: () => { meta(): unknown } }).unwrap?.().meta()) as
          | { only?: readonly string[] }
          | undefined
        if (only?.only) expect(only.only, `${line.data.equipment}: ${name}`).toContain(kind)
      }
    }
  })

  test('whatever an entry refers to was written down no later than the entry itself', () => {
    const position = new Map(sample.lines.map((line, index) => [line.id, index]))
    for (const [index, line] of sample.lines.entries())
      for (const id of [line.replaces, line.data.rounds, line.data.defect, line.data.mends])
        if (typeof id === 'string') expect(position.get(id)!).toBeLessThan(index)
  })
})

describe('the ledger of the sample boat', () => {
  const begun = told('passage-begun')
  const ended = told('passage-ended')
  const passages = begun.map((begin, index) => ({ begin, end: ended[index]! }))

  test('passages follow one another from place to place, and the distance log runs on without a gap', () => {
    expect(ended.length).toBe(begun.length)
    expect(begun.length).toBeGreaterThan(100)
    for (const [index, { begin, end }] of passages.entries()) {
      expect(begin.at).toBeLessThan(end.at)
      const next = passages[index + 1]
      if (next) {
        // A day alone counts from its first moment, so that a passage known by its day may seem to begin before breakfast.
        const starts = next.begin.occurredAt.length === 10 ? next.begin.at + 86_400_000 : next.begin.at
        expect(end.at).toBeLessThan(starts)
        expect(next.begin.data.from).toBe(end.data.at)
        expect(next.begin.data.distanceLog).toEqual(end.data.distanceLog)
      }
      expect(begin.data.to).toBe(end.data.at)
      const made = value(end.data.distanceLog) - value(begin.data.distanceLog)
      expect(made).toBeGreaterThan(0)
      expect(made).toBeCloseTo(value(end.data.distance), 6)
      expect(value(end.data.underEngine ?? { value: 0 })).toBeLessThanOrEqual(made)
    }
  })

  test('no passage is shorter than the geodesic between its places (WGS 84), nor sailed at a speed that she does not have', () => {
    for (const { begin, end } of passages) {
      const made = value(end.data.distance)
      expect(made).toBeGreaterThanOrEqual(nauticalMiles(placeOf(begin.data.from), placeOf(end.data.at)) * 0.995)
      if (begin.occurredAt.length === 10) continue
      const knots = made / ((end.at - begin.at) / 3_600_000)
      expect(knots, `${begin.occurredAt} ${begin.data.from} to ${end.data.at}`).toBeGreaterThan(2.5)
      expect(knots).toBeLessThan(7.5)
    }
  })

  test('the table of legs is no shorter than the geodesic, and longer by half only where land lies between', () => {
    const round: string[] = []
    for (const { from, to, miles } of measuredRoutes()) {
      const straight = nauticalMiles(places[from], places[to])
      expect(miles, `${from} to ${to}`).toBeGreaterThanOrEqual(straight * 0.995)
      if (miles > 1.5 * straight) round.push(`${from} ${to}`)
    }
    expect(round).toEqual(['karingsund mariehamn', 'mariehamn kastelholm'])
  })

  const runs = (() => {
    const found: { start: Told<'engine-started'>; stop: Told<'engine-stopped'> }[] = []
    let open: Told<'engine-started'> | null = null
    for (const entry of fair.told) {
      if (entry.type === 'engine-started') {
        expect(open).toBeNull()
        open = entry as Told<'engine-started'>
      }
      if (entry.type === 'engine-stopped' && open) {
        found.push({ start: open, stop: entry as Told<'engine-stopped'> })
        open = null
      }
    }
    expect(open).toBeNull()
    return found
  })()

  test('each start has its stop, and the hours of the runs add up to what the engine has truly run', () => {
    const byClock = runs.reduce((sum, { start, stop }) => sum + (stop.at - start.at) / 3_600_000, 0)
    const truly = sample.truth[sample.truth.length - 1]!.engineHours - sample.truth[0]!.engineHours
    expect(runs.length).toBeGreaterThan(250)
    expect(byClock).toBeCloseTo(truly, 6)
  })

  test('the meter agrees with the clock within a tenth over each run, whatever it was read for', () => {
    let compared = 0
    for (const { start, stop } of runs) {
      if (!start.data.hours || !stop.data.hours) continue
      compared++
      const byMeter = value(stop.data.hours) - value(start.data.hours)
      const byClock = (stop.at - start.at) / 3_600_000
      // Each reading is cut off to a tenth.
      expect(Math.abs(byMeter - byClock)).toBeLessThan(0.1 + 1e-9)
    }
    expect(compared).toBeGreaterThan(100)
  })

  test('hours read anywhere are those truly run since the meter stood at nought, but for the reading that nobody amended', () => {
    const outlier = story(titles.outlier)[0]!.id
    const replaced = told('meter-replaced')[0]!
    const atChange = truthAt(replaced.at).engineHours
    expect(replaced.data.last).toBe(Math.floor(atChange * 10 + 1e-6) / 10)
    let read = 0
    for (const entry of fair.told) {
      const data = entry.data as { hours?: { value: number }; reading?: { value: number } | number; meter?: string }
      const shown =
        data.hours?.value ?? (entry.type === 'hours-read' ? (data.reading as { value: number }).value : undefined)
      if (shown === undefined || entry.id === outlier || entry.at < momentOf('2024-04-07T00:00:00Z')) continue
      if (entry.occurredAt.length === 10) continue
      read++
      const base = entry.at >= replaced.at ? atChange : 0
      // Inside a run the truth lies between its ends.
      const low = truthAt(entry.at).engineHours - base
      const high = (sample.truth.find((mark) => mark.at >= entry.at) ?? truthAt(entry.at)).engineHours - base
      expect(shown, `${entry.occurredAt} ${entry.type}`).toBeGreaterThan(low - 0.11)
      expect(shown, `${entry.occurredAt} ${entry.type}`).toBeLessThan(high + 0.01)
    }
    expect(read).toBeGreaterThan(300)
  })

  test('use rises from season to season', () => {
    const hours = [2024, 2025, 2026].map(
      (season) =>
        truthAt(Date.UTC(season + 1, 0, 1)).engineHours - Math.max(1064.7, truthAt(Date.UTC(season, 0, 1)).engineHours),
    )
    expect(hours[0]).toBeGreaterThan(95)
    expect(hours[0]).toBeLessThan(125)
    expect(hours[1]).toBeGreaterThan(140)
    expect(hours[1]).toBeLessThan(170)
    expect(hours[2]).toBeGreaterThan(190)
    expect(hours[2]).toBeLessThan(230)
  })

  test('no engine runs in winter, but she is looked at, laid up and launched again', () => {
    for (const [from, until] of [
      ['2024-10-14', '2025-04-25'],
      ['2025-11-02', '2026-04-17'],
    ] as const) {
      const inside = fair.told.filter((entry) => entry.occurredAt >= from && entry.occurredAt <= until)
      expect(inside.filter((entry) => entry.type === 'engine-started' || entry.type === 'passage-begun')).toEqual([])
      expect(inside.filter((entry) => entry.type === 'service-done').length).toBeGreaterThan(10)
      expect(inside.filter((entry) => entry.type === 'check-made').length).toBeGreaterThan(8)
    }
    const boat = told('service-done').filter((entry) => entry.data.equipment === 'boat')
    const years = (work: string) => boat.filter((entry) => entry.data.work === work && year(entry) > 2023).map(year)
    expect(years('lifted out')).toEqual([2024, 2025])
    expect(years('launched')).toEqual([2024, 2025, 2026])
    expect(years('winterised')).toEqual([2024, 2025])
  })

  const fuelled = told('taken-aboard').filter((entry) => entry.data.what === 'diesel')
  const litres = (entry: Told<'taken-aboard'>) => inUnit(entry.data.amount, 'L')!
  const soundings = told('check-made').filter((entry) => entry.data.level !== undefined)

  test('a tank holds what it held at the last look, less what the engine can have burnt since, and never more than its volume', () => {
    for (const tank of ['fuel-tank-port', 'fuel-tank-starboard']) {
      const events = [...fuelled, ...soundings]
        .filter((entry) => entry.data.equipment === tank)
        .sort((a, b) => a.at - b.at)
      expect(events.length).toBeGreaterThan(8)
      let look = { at: events[0]!.at, held: 170 }
      for (const [index, entry] of events.entries()) {
        const hours = truthAt(entry.at).engineHours - truthAt(look.at).engineHours
        // At full speed she would burn 6.4 L/h, all of it from this tank; the heater half a litre a day. Since the first look
        // nothing is known of what went before.
        const least = index === 0 ? 0 : Math.max(0, look.held - 6.4 * hours - (0.5 * (entry.at - look.at)) / 86_400_000)
        // A stick reads to the nearest five litres, and a little off.
        const stick = 9
        if (entry.type === 'taken-aboard') {
          const { full } = (entry as Told<'taken-aboard'>).data
          const amount = litres(entry as Told<'taken-aboard'>)
          expect(amount, entry.occurredAt).toBeLessThanOrEqual(170 - least + stick)
          if (full) expect(amount, entry.occurredAt).toBeGreaterThan(170 - look.held - stick)
          look = { at: entry.at, held: full ? 170 : Math.min(170, look.held + amount) }
        } else {
          const level = value((entry as Told<'check-made'>).data.level)
          expect(level, entry.occurredAt).toBeGreaterThan(Math.max(0, least - stick))
          expect(level, entry.occurredAt).toBeLessThanOrEqual(Math.min(170, look.held + stick))
          look = { at: entry.at, held: level }
        }
      }
    }
    const water = told('taken-aboard').filter((entry) => entry.data.what === 'water')
    for (const entry of water) expect(litres(entry)).toBeLessThanOrEqual(340)
  })

  test('what was bunkered is what was used: passages, charging and the heater, from the first sounding to the last', () => {
    const first = soundings.filter((entry) => year(entry) === 2024).slice(0, 2)
    const last = soundings.slice(-2)
    expect(new Set(first.map((entry) => entry.data.equipment)).size).toBe(2)
    expect(new Set(last.map((entry) => entry.data.equipment)).size).toBe(2)
    const [from, until] = [first[1]!.at, last[1]!.at]
    const level = (entries: typeof last) => entries.reduce((sum, entry) => sum + value(entry.data.level), 0)
    const bunkered = fuelled
      .filter((entry) => entry.at > from && entry.at < until)
      .reduce((sum, entry) => sum + litres(entry), 0)
    const gone = level(first) + bunkered - level(last)
    const hours = truthAt(until).engineHours - truthAt(from).engineHours
    // Two to four and a half litres an hour is what 40 kW engines burn at cruising speeds; the heater has its share.
    expect(gone / hours).toBeGreaterThan(2)
    expect(gone / hours).toBeLessThan(4.5)

    const stated = ended
      .filter((entry) => entry.at > from && entry.at < until)
      .reduce((sum, entry) => sum + value(entry.data.fuelUsed ?? { value: 0 }), 0)
    // Short passages have no figure of their own, nor has charging at anchor.
    expect(stated / gone).toBeLessThan(1)
    expect(stated / gone).toBeGreaterThan(0.8)
  })

  test('the fuel stated for a passage is what its engine hours burn', () => {
    let compared = 0
    for (const { begin, end } of passages) {
      if (!end.data.fuelUsed || begin.occurredAt.length === 10) continue
      const hours = runs
        .filter(({ start, stop }) => start.at >= begin.at - 20 * 60_000 && stop.at <= end.at + 20 * 60_000)
        .reduce((sum, { start, stop }) => sum + (stop.at - start.at) / 3_600_000, 0)
      compared++
      const used = value(end.data.fuelUsed)
      expect(used).toBeGreaterThan(1 * hours - 1)
      expect(used).toBeLessThan(6.4 * hours + 1)
    }
    expect(compared).toBeGreaterThan(60)
  })

  test('gauges read what a healthy engine of the kind shows', () => {
    const readings = told('readings-taken')
    expect(readings.length).toBeGreaterThan(80)
    for (const { data } of readings as { data: Data<'readings-taken'> }[]) {
      const coolant = inUnit(data.coolant, 'Cel')
      if (coolant !== undefined) expect(coolant).toBeGreaterThan(55)
      if (coolant !== undefined) expect(coolant).toBeLessThan(90)
      const oil = inUnit(data.oilPressure, 'bar')
      if (oil !== undefined) expect(oil).toBeGreaterThan(2)
      if (oil !== undefined) expect(oil).toBeLessThan(5)
      const sea = inUnit(data.sea, 'Cel')
      const outlet = inUnit(data.exhaust, 'Cel')
      if (sea !== undefined) expect(sea).toBeLessThan(22)
      if (sea !== undefined && outlet !== undefined) expect(outlet).toBeGreaterThan(sea + 4)
      expect(value(data.volts)).toBeGreaterThan(12.8)
      expect(value(data.volts)).toBeLessThan(14.6)
      expect(value(data.amps)).toBeLessThan(120)
    }
    const stages = new Set(readings.map((entry) => entry.data.stage))
    expect(stages).toEqual(new Set(['bulk', 'absorption', 'float', undefined]))
  })

  test('the house belt is described so that its figures agree with each other', () => {
    const belt = ofType(sample.lines, 'equipment-fitted').find((line) => line.data.equipment === 'house-belt')!.data
    const [small, large, span] = [belt.pulleyDiameter, belt.drivingPulleyDiameter, belt.longestSpan].map(value) as [
      number,
      number,
      number,
    ]
    const geometry = wrap({
      largeDiameterMillimetres: large,
      smallDiameterMillimetres: small,
      centresMillimetres: Math.hypot(span, (large - small) / 2),
    })
    if (!geometry.ok) throw new Error(geometry.problem)
    expect((geometry.smallWrapRadians * 180) / Math.PI).toBeCloseTo(value(belt.wrap), 0)
    expect(large / small).toBeCloseTo(belt.speedRatio as number, 1)
  })

  test('intervals are the usual ones, or say that they are her own', () => {
    const usual = Object.values(usualIntervals) as { everyHours?: number; everyMonths?: number; published: boolean }[]
    const set = told('upkeep-set')
    expect(set.length).toBeGreaterThanOrEqual(25)
    for (const { data } of set) {
      if (data.basis === 'own experience') continue
      const same = usual.filter(
        (one) =>
          one.everyHours === data.everyHours &&
          Math.max(1, one.everyMonths ?? 0) === (data.everyMonths ?? 1) &&
          one.published === (data.basis === 'published guide'),
      )
      expect(same.length, data.task).toBeGreaterThan(0)
    }
    for (const measure of ['everyHours', 'everyMonths', 'everyMiles', 'everyStarts'] as const)
      expect(
        set.some(({ data }) => data[measure] !== undefined),
        measure,
      ).toBe(true)
  })
})

describe('the stories of the sample boat', () => {
  test('every story has entries, all of them in the log, and the README names it with the day of each', () => {
    const readme = readFileSync('sample-logs/README.md', 'utf8')
    const months = 'January February March April May June July August September October November December'.split(' ')
    expect(sample.stories.length).toBe(Object.keys(titles).length)
    for (const { title, entries } of sample.stories) {
      expect(entries.length, title).toBeGreaterThan(0)
      expect(readme).toContain(`**${title}.**`)
      const paragraph = readme.slice(readme.indexOf(`**${title}.**`)).split('\n\n')[0]!
      for (const id of entries) {
        const [, month, day] = lineOf(id).occurredAt.slice(0, 10).split('-').map(Number) as [number, number, number]
        expect(paragraph.replaceAll('\n', ' '), title).toContain(`${day} ${months[month - 1]}`)
      }
    }
  })

  test('the README has the figures of the log: entries, hours and miles of each season', () => {
    const readme = readFileSync('sample-logs/README.md', 'utf8').replaceAll('\n', ' ')
    const seasons = [2024, 2025, 2026].map((season) => {
      const [from, until] = [truthAt(Date.UTC(season, 0, 1)), truthAt(Date.UTC(season + 1, 0, 1))]
      return { hours: until.engineHours - from.engineHours, miles: until.miles - from.miles }
    })
    const written = (figures: number[]) => {
      const [one, two, three] = figures.map((figure) => Math.round(figure).toLocaleString('en-GB'))
      return `${one}, ${two} and ${three}`
    }
    expect(readme).toContain(`${sample.lines.length.toLocaleString('en-GB')} entries`)
    expect(readme).toContain(`${written(seasons.map(({ hours }) => hours))} engine hours`)
    expect(readme).toContain(`${written(seasons.map(({ miles }) => miles))} miles`)
  })

  test('two readings are mistyped by two digits and amended, one at once, one the next day', () => {
    for (const [title, withinHours] of [
      [titles.mistyped, 1],
      [titles.mistypedLater, 30],
    ] as const) {
      const [wrong, right] = story(title) as [Line, Line]
      expect(right.replaces).toBe(wrong.id)
      const digits = (line: Line) => [...value(line.data.hours).toFixed(1)].sort().join('')
      expect(digits(wrong)).toBe(digits(right))
      expect(value(wrong.data.hours)).not.toBe(value(right.data.hours))
      const later = (momentOf(right.recordedAt) - momentOf(wrong.recordedAt)) / 3_600_000
      expect(later).toBeLessThan(withinHours)
      expect(later).toBeGreaterThan(withinHours === 1 ? 0 : 12)
    }
  })

  test('one temporary repair was carried for more than 400 miles, another is carried at the end', () => {
    const milesAt = (at: number) => {
      let miles = 0
      for (const entry of told('passage-ended')) if (entry.at <= at) miles = value(entry.data.distanceLog)
      return miles
    }
    const [temporary, permanent] = ofType(story(titles.temporary), 'repair-made') as [Line, Line]
    expect(permanent.data.mends).toBe(temporary.id)
    const carried = milesAt(momentOf(permanent.occurredAt)) - milesAt(momentOf(temporary.occurredAt))
    expect(carried).toBeGreaterThan(400)
    expect(carried).toBeLessThan(600)

    const [still] = ofType(story(titles.carried), 'repair-made') as [Line]
    expect(still.data.kind).toBe('temporary')
    expect(
      sample.lines.filter((line) => line.data.mends === still.id || line.data.defect === still.data.mends),
    ).toEqual([])
    expect(milesAt(now) - milesAt(momentOf(still.occurredAt))).toBeGreaterThan(200)
  })

  test('passages of three seasons were written down days late, some known by the day alone', () => {
    const late = story(titles.late)
    expect(new Set(late.map(year))).toEqual(new Set([2024, 2025, 2026]))
    for (const line of late)
      expect(momentOf(line.recordedAt) - momentOf(line.occurredAt)).toBeGreaterThan(1.5 * 86_400_000)
    expect(late.filter((line) => line.occurredAt.length === 10).length).toBe(3)
  })

  test('oil changes drift from within their interval to well beyond it', () => {
    const changes = told('service-done').filter((entry) => entry.data.work === 'oil and filter changed')
    const hours = changes.map((entry) => truthAt(entry.at).engineHours)
    const between = hours.slice(1).map((at, index) => at - hours[index]!)
    expect(between[0]).toBeLessThan(150)
    expect(between[1]).toBeGreaterThan(150)
    expect(between[2]).toBeGreaterThan(between[1]!)
    expect(between[2]).toBeGreaterThan(170)
  })

  test('one entry is struck for good, another struck and revived', () => {
    const [read] = story(titles.struck) as [Line]
    expect(fair.find(read.id)?.struck).not.toBeNull()
    const [cans, strike, revival] = story(titles.revived) as [Line, Line, Line]
    expect([strike.replaces, revival.replaces]).toEqual([cans.id, strike.id])
    expect(fair.find(cans.id)?.struck).toBeNull()
  })

  test('units are mixed where the guest or an imperial gauge was read, and stored as entered', () => {
    const units = new Set(
      sample.lines.flatMap((line) =>
        Object.values(line.data).flatMap((field) =>
          typeof field === 'object' && field !== null && 'unit' in field ? [(field as { unit: string }).unit] : [],
        ),
      ),
    )
    for (const unit of [
      '[psi]',
      '[degF]',
      '[gal_us]',
      '[lbf_av].[ft_i]',
      "[in_i'Hg]",
      '[in_i]',
      '[lbf_av]',
      'bar',
      'Cel',
    ])
      expect(units).toContain(unit)
  })

  test('the engine seacock was left shut twice: once until the engine was started on it, once until now', () => {
    const first = story(titles.seacock)
    const left = ofType(first, 'left-as')[0]!
    const start = ofType(first, 'engine-started')[0]!
    const restored = ofType(first, 'restored')[0]!
    expect(momentOf(left.occurredAt)).toBeLessThan(momentOf(start.occurredAt))
    expect(start.data.rawWaterSeen).toBe('none')
    expect(momentOf(restored.occurredAt)).toBeGreaterThan(momentOf(start.occurredAt))

    const open = new Map<string, string>()
    for (const entry of fair.told) {
      if (entry.type === 'left-as') open.set(entry.data.equipment as string, (entry as Told<'left-as'>).data.state)
      if (entry.type === 'restored') open.delete((entry as Told<'restored'>).data.equipment)
    }
    expect([...open]).toEqual([
      ['engine-seacock', 'shut'],
      ['gas-installation', 'off'],
    ])
  })

  test('one reading lies a hundred hours out and stands; one defect is open at the end', () => {
    const [read] = story(titles.outlier) as [Line]
    const before = truthAt(momentOf(read.occurredAt)).engineHours - truthAt(told('meter-replaced')[0]!.at).engineHours
    expect(value(read.data.reading) - before).toBeCloseTo(100, 0)
    expect(sample.lines.filter((line) => line.replaces === read.id)).toEqual([])

    const ended = new Set<unknown>()
    for (const entry of told('defect-cleared')) ended.add(entry.data.defect)
    const mended = new Map(told('repair-made').map((entry) => [entry.id, entry.data]))
    for (const { data } of told('repair-made')) if (data.kind === 'permanent') ended.add(data.mends)
    for (const { data } of told('repair-made'))
      if (data.kind === 'permanent') ended.add(mended.get(data.mends ?? '')?.mends)
    const open = told('defect-found').filter((entry) => !ended.has(entry.id))
    expect(open.map((entry) => entry.data.equipment)).toEqual(['strainer', 'windlass'])
  })

  test('the night of 25 October 2025 has an hour more than its clocks show, and is sailed at a plausible speed', () => {
    const [begin, end] = [
      ofType(story(titles.clock), 'passage-begun')[0]!,
      ofType(story(titles.clock), 'passage-ended')[0]!,
    ]
    expect([begin.occurredAt.slice(19), end.occurredAt.slice(19)]).toEqual(['+02:00', '+01:00'])
    const byClock = Date.parse(`${end.occurredAt.slice(0, 19)}Z`) - Date.parse(`${begin.occurredAt.slice(0, 19)}Z`)
    expect(momentOf(end.occurredAt) - momentOf(begin.occurredAt) - byClock).toBe(3_600_000)
  })

  test('ship time follows her: Danish, Swedish and Åland time, summer and winter', () => {
    const offsets = new Set(
      sample.lines.filter((line) => line.occurredAt.length > 10).map((line) => line.occurredAt.slice(19)),
    )
    expect(offsets).toEqual(new Set(['+01:00', '+02:00', '+03:00']))
    const zones = new Set(told('book-set').map((entry) => entry.data.zone))
    expect(zones).toContain('Europe/Mariehamn')
    for (const entry of fair.told) {
      if (entry.occurredAt.length === 10) continue
      const zone = fair.zoneAt(entry.at)
      const shown = new Date(entry.at).toLocaleString('sv-SE', { timeZone: zone })
      expect(entry.occurredAt.slice(0, 19).replace('T', ' '), `${entry.occurredAt} ${zone}`).toBe(shown)
    }
  })

  test('the bilge counter rolls over once and is set back once; in between it never runs backwards', () => {
    const counts = told('check-made').filter((entry) => entry.data.bilgeCount !== undefined)
    let rolled = 0
    let reset = 0
    for (const [index, entry] of counts.entries()) {
      const before = counts[index - 1]?.data.bilgeCount ?? 0
      if (entry.data.counterReset) reset++
      else if (entry.data.bilgeCount! < before) rolled++
      expect(entry.data.bilgeCount).toBeLessThan(1000)
    }
    expect([rolled, reset]).toEqual([1, 1])
  })

  test('at the end something is overdue, something nearly due, most of it neither', () => {
    const retired = new Set(told('upkeep-retired').map((entry) => entry.data.task))
    const shares = told('upkeep-set')
      .map((entry) => entry.data)
      .filter((data) => !retired.has(data.task) && data.task !== 'valve-clearances' && data.everyStarts === undefined)
      .map((data) => {
        const last = told('service-done')
          .filter((entry) => entry.data.equipment === data.equipment && entry.data.work === data.work)
          .at(-1)
        const at = last?.at ?? 0
        return Math.max(
          data.everyHours ? (truthAt(now).engineHours - truthAt(at).engineHours) / data.everyHours : 0,
          data.everyMonths ? (now - at) / (data.everyMonths * 30.44 * 86_400_000) : 0,
          data.everyMiles ? (truthAt(now).miles - truthAt(at).miles) / data.everyMiles : 0,
        )
      })
    expect(shares.filter((share) => share >= 1).length).toBeGreaterThanOrEqual(1)
    expect(shares.filter((share) => share >= 1).length).toBeLessThanOrEqual(6)
    expect(shares.filter((share) => share >= 0.85 && share < 1).length).toBeGreaterThanOrEqual(2)
    expect(shares.filter((share) => share < 0.85).length).toBeGreaterThan(shares.length / 2)
  })
})
