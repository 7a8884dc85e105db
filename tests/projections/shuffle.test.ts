import { readdirSync, readFileSync } from 'node:fs'
import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Entry } from '../../events/index.ts'
import { entryOf, firstLink, type Line } from '../../events/log.ts'
import { ahead, usualReserve } from '../../projections/ahead.ts'
import { cadences } from '../../projections/cadence.ts'
import { carried, openDefects, temporaryRepairs } from '../../projections/carried.ts'
import { countedBetween, engineOf } from '../../projections/counts.ts'
import { dueRows } from '../../projections/due.ts'
import { predictedUse, useRecord } from '../../projections/forecast.ts'
import { forecastsKept, type MadeForecast, monthStarts } from '../../projections/forecasts-kept.ts'
import { left, leftNow } from '../../projections/left.ts'
import { livesOf, repairsOf } from '../../projections/life.ts'
import { concerns, select } from '../../projections/log-selection.ts'
import { countAt, curveOf, meterRows, questionReading } from '../../projections/meter-hours.ts'
import { milesBetween, milesOf, passages } from '../../projections/passages.ts'
import { distanceLog, equipmentTree, lineage, meterOf, nameOf, register } from '../../projections/register.ts'
import { runs, startsBetween } from '../../projections/runs.ts'
import { fallsIn, sailingYear } from '../../projections/sailing-season.ts'
import { services, settingsOf } from '../../projections/services.ts'
import { settings, shownUnit } from '../../projections/settings.ts'
import { fuelTanks, tankEvents, waterTanks } from '../../projections/tanks.ts'
import { fold, type Timeline, timeline } from '../../projections/timeline.ts'
import { sampleBoat } from '../../sample-logs/generate.ts'
import { idOf } from './entries.ts'
import { sequence } from './made-up-boats.ts'

const sample = sampleBoat()
const now = Date.parse(sample.now)
const dayMs = 86_400_000

/** What an export makes of the fair log. */
type View = (told: Timeline) => unknown

/** An export that is handed no log, nor what was folded from one. */
const noLog = null

const equipment = (told: Timeline) => [...fold(register, told).equipment.keys()]
const moments = Array.from({ length: 12 }, (_, index) => now - index * 97 * dayMs)

/** A forecast for every task, all of one day. */
const made = (told: Timeline): MadeForecast[] =>
  [...fold(register, told).tasks.values()].map(({ handle, data, since }) => ({
    made: '2025-06-01',
    task: handle,
    equipment: data.equipment,
    kind: data.everyMiles !== undefined ? 'miles' : data.everyStarts !== undefined ? 'starts' : 'hours',
    anchor: { root: since.root, at: since.at },
    every: data.everyMiles ?? data.everyStarts ?? data.everyHours ?? 50,
    early: '2025-07-01',
    likely: '2025-08-01',
    late: '2025-10-01',
  }))

/** For every file in projections/ that reads the fair log, every export with the view that it gives. */
const views: Record<string, Record<string, View | typeof noLog>> = {
  'ahead.ts': {
    ahead: (told) =>
      ahead(told, now, { hours: 60, days: 5, miles: 420, speed: 1600, reserve: usualReserve, leaving: null }),
    chanceOfMore: noLog,
    rateSelection: noLog,
    assumedSpread: noLog,
    usualReserve: noLog,
  },
  'cadence.ts': {
    cadences: (told) => cadences(told, now),
    cadenceOf: noLog,
  },
  'carried.ts': {
    carried: (told) => fold(carried, told),
    temporaryRepairs: (told) => temporaryRepairs(fold(carried, told)),
    openDefects: (told) => openDefects(fold(carried, told)),
  },
  'counts.ts': {
    countedBetween: (told) =>
      equipment(told).map((one) => moments.map((since) => countedBetween(told, one, { at: since }, now))),
    engineOf: (told) => equipment(told).map((one) => engineOf(told, one)),
  },
  'due.ts': {
    dueRows: (told) => dueRows(told, now),
    daysUntilDue: noLog,
    limitFigure: noLog,
    limitUnit: noLog,
  },
  'forecast.ts': {
    forecastOf: noLog,
    predictedUse: (told) => {
      const use = predictedUse(told, 'engine', 'hours', now)
      return use && { ...use, prediction: use.prediction?.quantile(365, 0.5) }
    },
    useRecord: (told) => useRecord(told, 'engine', 'hours', now),
  },
  'forecasts-kept.ts': {
    monthStarts: (told) => monthStarts(told, now, 24),
    forecastsKept: (told) => forecastsKept(told, [], made(told), now),
    // These read entries as they lie in the book; what they give does not hang on its order, which their own test asks.
    forecastEntries: noLog,
    forecastsMadeAt: noLog,
  },
  'left.ts': {
    left: (told) => fold(left, told),
    leftNow: (told) => leftNow(fold(left, told)),
  },
  'life.ts': {
    livesOf: (told) => equipment(told).map((one) => livesOf(told, one, now)),
    repairsOf: (told) => equipment(told).map((one) => repairsOf(told, one, now)),
    lifeLevel: noLog,
  },
  'log-selection.ts': {
    select: (told) => [
      select(told, {}).map((fair) => fair.root),
      select(told, { equipment: 'engine', until: now - 400 * dayMs }).map((fair) => fair.root),
      select(told, { meter: 'engine-hours', text: 'e', only: 'late' }).map((fair) => fair.root),
      select(told, { task: 'engine-oil' }).map((fair) => fair.root),
      select(told, { only: 'struck' }),
      select(told, { only: 'amended' }),
    ],
    concerns: (told) => told.told.map((entry) => concerns(fold(register, told), entry.data, 'engine')),
    lateFrom: noLog,
  },
  'meter-hours.ts': {
    curveOf: (told) => [...fold(register, told).meters.keys()].map((meter) => curveOf(told, meter)),
    countAt: (told) => moments.map((moment) => countAt(curveOf(told, 'engine-hours'), moment)),
    meterRows: (told) => meterRows(told),
    questionReading: (told) =>
      [...fold(register, told).meters.keys()].flatMap((meter) =>
        moments.flatMap((moment) => [0, 300, 1300].map((reading) => questionReading(told, meter, moment, reading))),
      ),
  },
  'passages.ts': {
    passages: (told) => fold(passages, told),
    milesOf: (told) => fold(passages, told).passages.map(milesOf),
    milesBetween: (told) => moments.map((since) => milesBetween(fold(passages, told), since, now)),
  },
  'register.ts': {
    register: (told) => fold(register, told),
    nameOf: (told) => equipment(told).map((one) => nameOf(fold(register, told), 'equipment', one)),
    lineage: (told) => equipment(told).map((one) => lineage(fold(register, told), one)),
    meterOf: (told) => equipment(told).map((one) => meterOf(fold(register, told), one)),
    distanceLog: (told) => distanceLog(fold(register, told)),
    equipmentTree: (told) => equipmentTree(fold(register, told)),
  },
  'runs.ts': {
    runs: (told) => fold(runs, told),
    startsBetween: (told) => moments.map((since) => startsBetween(fold(runs, told), 'engine', since, now)),
  },
  'sailing-season.ts': {
    sailingYear: (told) => sailingYear(told, now),
    fallsIn: (told) => ['2026-01-10', '2026-05-01', '2026-08-01'].map((day) => fallsIn(sailingYear(told, now), day)),
  },
  'services.ts': {
    services: (told) => fold(services, told),
    settingsOf: (told) => equipment(told).map((one) => settingsOf(fold(services, told), one)),
    fulfils: noLog,
  },
  'settings.ts': {
    settings: (told) => fold(settings, told),
    shownUnit: (told) => shownUnit(fold(settings, told), 'temperature'),
  },
  'tanks.ts': {
    tankEvents: (told) => fold(tankEvents, told),
    fuelTanks: (told) => fuelTanks(told),
    waterTanks: (told) => waterTanks(told),
    filledAfter: noLog,
    drawnBetween: noLog,
    stretchesOf: noLog,
  },
  // They go by the order of recording, and are handed entries: replay.test.ts holds them to every prefix of it, in any order of arrival.
  'signs/observation.ts': { observe: noLog, dustGrades: noLog },
  'signs/recording.ts': { recording: noLog },
  'signs/drive-record.ts': { driveRecords: noLog },
  'signs/signs.ts': { signs: noLog, inOrderOfRecording: noLog, recordingOf: noLog, hoursOf: noLog },
  'timeline.ts': {
    timeline: ({ told, all, problems }) => ({ told, all, problems }),
    fold: noLog,
    isDay: noLog,
    isZone: noLog,
    momentOf: noLog,
    startOfDay: noLog,
  },
}

/** Files in projections/ that read the fair log, by their own words. */
const readers = readdirSync(new URL('../../projections/', import.meta.url), { recursive: true, encoding: 'utf8' })
  .filter((file) => file.endsWith('.ts'))
  .filter(
    (file) =>
      file === 'timeline.ts' ||
      /from '(\.\.?\/)+timeline\.ts'/.test(readFileSync(new URL(`../../projections/${file}`, import.meta.url), 'utf8')),
  )
  .sort()

/** What the book adds on taking an entry in is all that may differ. */
const text = (view: unknown): string =>
  JSON.stringify(view, (name, value) =>
    name === 'position' || name === 'receivedAt' || name === 'link'
      ? undefined
      : value instanceof Map
        ? [...value]
        : value instanceof Set
          ? [...value]
          : value,
  ) ?? 'nothing'

/** Lines as a book has them that took them in in this order. */
const taken = (lines: readonly Entry[]): Entry[] =>
  lines.map((entry, index) => ({
    ...entry,
    position: index + 1,
    receivedAt: new Date(now + index * 1000).toISOString(),
  }))

const read = (line: Line): Entry => {
  const entry = entryOf({ ...line, position: 1, receivedAt: '2030-01-01T00:00:00.000Z', link: firstLink })
  if (!entry.ok) throw new Error(entry.problem)
  return entry.entry
}

/** Every view of every projection, as text, by file and export. */
function seen(entries: readonly Entry[]): Record<string, string> {
  const told = timeline(taken(entries))
  return Object.fromEntries(
    Object.entries(views).flatMap(([file, exports]) =>
      Object.entries(exports).flatMap(([name, view]) =>
        view === noLog ? [] : [[`${file} ${name}`, text(view(told))] as const],
      ),
    ),
  )
}

/** Where the sequence begins that gives an order. */
const order = fc.integer({ min: 1, max: 1_000_000_000 })

/** The same things in the order that a sequence gives. */
function inOrder<T>(things: readonly T[], start: number): T[] {
  const random = sequence(start)
  return things
    .map((thing) => ({ thing, by: random() }))
    .sort((a, b) => a.by - b.by)
    .map(({ thing }) => thing)
}

describe('every projection', () => {
  test('that reads the fair log is here, and every export of it', async () => {
    expect(Object.keys(views).sort()).toEqual(readers)
    for (const file of readers) {
      const exports = (await import(
        /* @vite-ignore */ new URL(`../../projections/${file}`, import.meta.url).href
      )) as object
      expect(Object.keys(views[file]!).sort(), file).toEqual(Object.keys(exports).sort())
    }
  })
})

describe("the sample boat's log", () => {
  const entries = sample.lines.map(read)
  let expected: Record<string, string> = {}
  beforeAll(() => {
    expected = seen(entries)
  })

  test('has amended, struck and late entries, conflicts aside, and gives every view something to tell', () => {
    const { all } = timeline(entries)
    expect(all.filter((fair) => fair.versions.length > 1).length).toBeGreaterThan(0)
    expect(all.filter((fair) => fair.struck !== null).length).toBeGreaterThan(0)
    expect(all.filter((fair) => fair.lateBy > dayMs).length).toBeGreaterThan(0)
    for (const [name, view] of Object.entries(expected)) expect(view.length, name).toBeGreaterThan(2)
  })

  test('gives the same views backwards', () => {
    expect(seen([...entries].reverse())).toEqual(expected)
  })

  test('gives the same views in any order of arrival', () => {
    fc.assert(
      fc.property(order, (by) => {
        expect(seen(inOrder(entries, by))).toEqual(expected)
      }),
      { numRuns: 8, endOnFailure: true },
    )
  }, 300_000)
})

describe('a part of it, amended and struck at random in copies of the book', () => {
  const entries = sample.lines.map(read)
  const mending = fc.record({
    target: fc.nat(),
    /** 0 strikes, else amends by so many minutes. */
    minutes: fc.integer({ min: 0, max: 3000 }),
    /** Ties are wanted. */
    recordedAt: fc.integer({ min: 0, max: 3 }),
  })

  test('gives the same views in any order of arrival', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: entries.length - 200 }),
        fc.array(mending, { maxLength: 60 }),
        order,
        (from, mendings, by) => {
          const some = entries.filter((_, index) => index < 60 || (index >= from && index < from + 200))
          const mended: Entry[] = [...some]
          mendings.forEach(({ target, minutes, recordedAt }, index) => {
            const of = mended[target % mended.length]!
            const head = {
              ...of,
              id: idOf(index + 1),
              replaces: of.id,
              recordedAt: new Date(now + recordedAt * 60_000).toISOString(),
            }
            const moved = new Date(Date.parse(of.occurredAt) + minutes * 60_000).toISOString()
            mended.push(
              minutes === 0 || of.type === 'entry-struck'
                ? { ...head, type: 'entry-struck', version: 1, data: {} }
                : ({ ...head, occurredAt: minutes % 7 === 0 ? moved.slice(0, 10) : moved } as Entry),
            )
          })
          expect(seen(inOrder(mended, by))).toEqual(seen(mended))
        },
      ),
      { numRuns: 25, endOnFailure: true },
    )
  }, 300_000)
})
