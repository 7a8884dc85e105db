import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Line } from '../../events/log.ts'
import {
  type AsOf,
  fold,
  isZone,
  momentOf,
  type Projection,
  startOfDay,
  type Timeline,
  timeline,
} from '../../projections/timeline.ts'
import { frozen, idOf, line, note, type Over, strike, taken } from '../events/lines.ts'

const fair = (lines: readonly Line[], past?: AsOf): Timeline => timeline(frozen(taken(lines)), past)

/** The numbers of the entries that hold, in order; of an amended entry the number of the version that holds. */
const order = (of: Timeline): number[] => of.told.map((entry) => numberOf(entry.id))
const numberOf = (id: string): number => Number.parseInt(id.slice(-12), 16)

const hours = (n: number, value: number, over: Over = {}) =>
  line(n, 'hours-read', { meter: 'engine-hours', reading: { value, unit: 'h' } }, over)
const zoneSet = (n: number, zone: string, over: Over = {}) => line(n, 'book-set', { zone }, over)
const utc = (text: string) => Date.parse(text)

/** All that a timeline says, in plain values that can be compared. */
const said = (of: Timeline) => ({
  told: of.told.map((entry) => [entry.id, entry.root, entry.at]),
  all: of.all.map((one) => ({
    root: one.root,
    at: one.at,
    told: one.told.id,
    versions: one.versions.map((version) => version.id),
    struck: one.struck?.id ?? null,
    conflict: one.conflict.map((rival) => rival.id),
    lateBy: one.lateBy,
  })),
  problems: of.problems.map(({ entry, problem }) => [entry.id, problem]),
})

describe('the order of the fair log', () => {
  test('is the order in which things happened: a late entry lands where it belongs', () => {
    const lines = [
      note(1, 'first', { occurredAt: '2026-06-14T08:00:00+02:00' }),
      note(2, 'third', { occurredAt: '2026-06-14T20:00:00+02:00' }),
      note(3, 'second, written down a week later', {
        occurredAt: '2026-06-14T12:00:00+02:00',
        recordedAt: '2026-06-21T09:00:00+02:00',
      }),
    ]
    const all = fair(lines)
    expect(order(all)).toEqual([1, 3, 2])
    expect(all.find(idOf(3))!.lateBy).toBe(utc('2026-06-21T07:00:00Z') - utc('2026-06-14T10:00:00Z'))
    expect(all.find(idOf(1))!.lateBy).toBe(utc('2026-06-14T12:01:00Z') - utc('2026-06-14T06:00:00Z'))
  })

  test('goes by the moment, whatever offset it was written with', () => {
    const all = fair([
      note(1, 'Mariehamn', { occurredAt: '2026-06-14T12:30:00+03:00' }),
      note(2, 'Stockholm', { occurredAt: '2026-06-14T12:00:00+02:00' }),
      note(3, 'Greenwich', { occurredAt: '2026-06-14T09:45:00Z' }),
    ])
    expect(order(all)).toEqual([1, 3, 2])
    expect(all.told.map((entry) => entry.at)).toEqual(
      ['2026-06-14T09:30:00Z', '2026-06-14T09:45:00Z', '2026-06-14T10:00:00Z'].map(utc),
    )
  })

  test('at the same moment is the order of writing, then of ids, never of arrival', () => {
    const at = { occurredAt: '2026-06-14T16:31:00+02:00' }
    const lines = [
      note(1, 'written last', { ...at, recordedAt: '2026-06-14T17:00:00+02:00' }),
      note(2, 'written first', { ...at, recordedAt: '2026-06-14T16:40:00+02:00' }),
      note(4, 'same minute of writing, later id', { ...at, recordedAt: '2026-06-14T16:50:00+02:00' }),
      // The same minute again, said in another zone.
      note(3, 'same minute of writing', {
        occurredAt: '2026-06-14T17:31:00+03:00',
        recordedAt: '2026-06-14T14:50:00Z',
      }),
    ]
    expect(order(fair(lines))).toEqual([2, 3, 4, 1])
    expect(order(fair([...lines].reverse()))).toEqual([2, 3, 4, 1])
  })

  test('keeps an amended entry in its place among those of the same minute, and moves it when its time is amended', () => {
    const at = { occurredAt: '2026-06-14T16:31:00+02:00' }
    const lines = [note(1, 'one', at), note(2, 'two', at), note(3, 'three', at)]
    expect(order(fair([...lines, note(9, 'One.', { ...at, replaces: 1 })]))).toEqual([9, 2, 3])
    expect(order(fair([...lines, note(9, 'One.', { occurredAt: '2026-06-14T16:32:00+02:00', replaces: 1 })]))).toEqual([
      2, 3, 9,
    ])
    const moved = fair([...lines, note(9, 'Three.', { occurredAt: '2026-06-13T09:00:00+02:00', replaces: 3 })])
    expect(order(moved)).toEqual([9, 1, 2])
    expect(moved.find(idOf(3))!.at).toBe(utc('2026-06-13T07:00:00Z'))
  })

  test('of an empty book is empty', () => {
    expect(said(fair([]))).toEqual({ told: [], all: [], problems: [] })
    expect(fair([]).zoneAt(0)).toBe('UTC')
    expect(fair([]).find(idOf(1))).toBeUndefined()
    expect(fair([]).rootOf(idOf(1))).toBeUndefined()
  })
})

describe('an amendment', () => {
  test('holds in place of what it amends, under the id by which the entry is known', () => {
    const all = fair([hours(1, 1342), hours(2, 1324, { replaces: 1 })])
    expect(all.told).toHaveLength(1)
    expect(all.told[0]).toMatchObject({ id: idOf(2), root: idOf(1), data: { reading: { value: 1324, unit: 'h' } } })
    expect(all.find(idOf(1))!.versions.map((version) => numberOf(version.id))).toEqual([1, 2])
    expect(all.find(idOf(2))).toBeUndefined()
    expect(all.rootOf(idOf(2))).toBe(idOf(1))
    expect(all.rootOf(idOf(1))).toBe(idOf(1))
  })

  test('can be amended itself, as often as it takes', () => {
    const all = fair([
      hours(1, 1),
      hours(2, 2, { replaces: 1 }),
      hours(3, 3, { replaces: 2 }),
      hours(4, 4, { replaces: 3 }),
    ])
    expect(order(all)).toEqual([4])
    expect(all.find(idOf(1))!.versions.map((version) => numberOf(version.id))).toEqual([1, 2, 3, 4])
    expect(all.rootOf(idOf(4))).toBe(idOf(1))
    expect(all.find(idOf(1))!.conflict).toEqual([])
  })

  test('takes effect whatever its own date: it may say that something happened years before', () => {
    const all = fair([
      note(1, 'launched', { occurredAt: '2026-05-01' }),
      note(2, 'launched', { occurredAt: '2019-05-01', replaces: 1 }),
      note(3, 'between', { occurredAt: '2022-05-01' }),
    ])
    expect(order(all)).toEqual([2, 3])
  })

  test('a thousand times over is no trouble', () => {
    const chain = Array.from({ length: 3000 }, (_, index) =>
      hours(index + 1, index, index === 0 ? {} : { replaces: index }),
    )
    const all = fair([...chain].reverse())
    expect(order(all)).toEqual([3000])
    expect(all.find(idOf(1))!.versions).toHaveLength(3000)
    const strikes = Array.from({ length: 3001 }, (_, index) => (index === 0 ? note(1, 'x') : strike(index + 1, index)))
    expect(fair(strikes).find(idOf(1))!.struck).toBeNull()
    expect(fair(strikes.slice(0, -1)).find(idOf(1))!.struck?.id).toBe(idOf(2))
  })
})

describe('a strike', () => {
  test('takes an entry out of what holds and leaves it readable in its place', () => {
    const all = fair([note(1, 'one'), note(2, 'two'), strike(3, 1)])
    expect(order(all)).toEqual([2])
    expect(all.all.map((one) => numberOf(one.root))).toEqual([1, 2])
    expect(all.find(idOf(1))!.struck?.id).toBe(idOf(3))
    expect(all.rootOf(idOf(3))).toBe(idOf(1))
  })

  test('that is struck revives the entry, and struck once more strikes it again', () => {
    const lines = [note(1, 'one'), strike(2, 1), strike(3, 2), strike(4, 3), strike(5, 4)]
    const states = [1, 2, 3, 4, 5].map((length) => order(fair(lines.slice(0, length))))
    expect(states).toEqual([[1], [], [1], [], [1]])
    expect(fair(lines.slice(0, 4)).find(idOf(1))!.struck?.id).toBe(idOf(2))
    expect(fair(lines).rootOf(idOf(5))).toBe(idOf(1))
  })

  test('of an amended entry strikes the whole entry, and shows the version that held', () => {
    const all = fair([hours(1, 1342), hours(2, 1324, { replaces: 1 }), strike(3, 2)])
    expect(order(all)).toEqual([])
    expect(all.find(idOf(1))).toMatchObject({ told: { id: idOf(2) }, struck: { id: idOf(3) }, conflict: [] })
    const revived = fair([hours(1, 1342), hours(2, 1324, { replaces: 1 }), strike(3, 2), strike(4, 3)])
    expect(order(revived)).toEqual([2])
  })

  test('given twice is one strike, and no conflict; striking one of the two leaves the other', () => {
    const lines = [note(1, 'one'), strike(2, 1), strike(3, 1)]
    expect(fair(lines).find(idOf(1))).toMatchObject({ struck: { id: idOf(3) }, conflict: [] })
    expect(fair([...lines, strike(4, 3)]).find(idOf(1))).toMatchObject({ struck: { id: idOf(2) }, conflict: [] })
    expect(fair([...lines, strike(4, 3), strike(5, 2)]).find(idOf(1))).toMatchObject({ struck: null, conflict: [] })
  })
})

describe('a conflict', () => {
  const late = { recordedAt: '2026-06-20T08:00:00Z' }
  const early = { recordedAt: '2026-06-19T08:00:00Z' }

  test('of two amendments holds the one written last, and shows both', () => {
    const all = fair([
      hours(1, 1342),
      hours(2, 1324, { replaces: 1, ...late }),
      hours(3, 1432, { replaces: 1, ...early }),
    ])
    expect(order(all)).toEqual([2])
    expect(all.find(idOf(1))!.conflict.map((rival) => numberOf(rival.id))).toEqual([2, 3])
  })

  test('of two amendments written at the same moment holds the one with the later id, everywhere', () => {
    const two = hours(2, 1324, { replaces: 1, ...late })
    const three = hours(3, 1432, { replaces: 1, recordedAt: '2026-06-20T10:00:00+02:00' })
    for (const lines of [
      [hours(1, 1342), two, three],
      [three, two, hours(1, 1342)],
    ])
      expect(order(fair(lines))).toEqual([3])
  })

  test('of an amendment and a strike holds the one written last', () => {
    const amended = fair([hours(1, 1342), hours(2, 1324, { replaces: 1, ...late }), strike(3, 1, early)])
    expect(order(amended)).toEqual([2])
    expect(amended.find(idOf(1))!.conflict.map((rival) => numberOf(rival.id))).toEqual([2, 3])
    const struck = fair([hours(1, 1342), hours(2, 1324, { replaces: 1, ...early }), strike(3, 1, late)])
    expect(order(struck)).toEqual([])
    expect(struck.find(idOf(1))).toMatchObject({ struck: { id: idOf(3) } })
    expect(struck.find(idOf(1))!.conflict.map((rival) => numberOf(rival.id))).toEqual([3, 2])
  })

  test('is settled by striking one of the two, whichever', () => {
    const amendments = [
      hours(1, 1342),
      hours(2, 1324, { replaces: 1, ...late }),
      hours(3, 1432, { replaces: 1, ...early }),
    ]
    expect(fair([...amendments, strike(4, 2)]).find(idOf(1))).toMatchObject({
      told: { id: idOf(3) },
      struck: null,
      conflict: [],
    })
    expect(fair([...amendments, strike(4, 3)]).find(idOf(1))).toMatchObject({
      told: { id: idOf(2) },
      struck: null,
      conflict: [],
    })
    const mixed = [hours(1, 1342), hours(2, 1324, { replaces: 1, ...early }), strike(3, 1, late)]
    expect(fair([...mixed, strike(4, 2)]).find(idOf(1))).toMatchObject({ struck: { id: idOf(3) }, conflict: [] })
    expect(fair([...mixed, strike(4, 3)]).find(idOf(1))).toMatchObject({
      struck: null,
      told: { id: idOf(2) },
      conflict: [],
    })
  })

  test('further down a chain of amendments is shown as well', () => {
    const all = fair([
      hours(1, 1),
      hours(2, 2, { replaces: 1 }),
      hours(3, 3, { replaces: 2, ...early }),
      hours(4, 4, { replaces: 2, ...late }),
    ])
    expect(order(all)).toEqual([4])
    expect(all.find(idOf(1))!.conflict.map((rival) => numberOf(rival.id))).toEqual([4, 3])
    expect(all.find(idOf(1))!.versions.map((version) => numberOf(version.id))).toEqual([1, 2, 4])
  })

  test('of which every amendment was struck leaves the entry struck', () => {
    const all = fair([
      hours(1, 1342),
      hours(2, 1324, { replaces: 1, ...late }),
      hours(3, 1432, { replaces: 1, ...early }),
      strike(4, 2),
      strike(5, 3),
    ])
    expect(order(all)).toEqual([])
    expect(all.find(idOf(1))!.conflict).toEqual([])
  })

  test('of which every amendment was struck shows the one written last, in whatever order they arrived', () => {
    const first = hours(1, 1342)
    const rivals = [hours(2, 1324, { replaces: 1, ...late }), hours(3, 1432, { replaces: 1, ...early })]
    const strikes = [strike(4, 2), strike(5, 3)]
    for (const lines of [
      [first, ...rivals, ...strikes],
      [...strikes, ...[...rivals].reverse(), first],
    ])
      expect(fair(lines).find(idOf(1))).toMatchObject({ told: { id: idOf(2) }, struck: { id: idOf(4) } })
  })
})

describe('what cannot be right is shown, and nothing else suffers', () => {
  const one = note(50, 'as it should be')
  const problemsOf = (lines: readonly Line[]) => {
    const all = fair([one, ...lines])
    expect(order(all)).toContain(50)
    expect(order(fair([...lines, one].reverse()))).toEqual(order(all))
    return {
      order: order(all).filter((n) => n !== 50),
      problems: all.problems.map((p) => [numberOf(p.entry.id), p.problem]),
    }
  }

  test('an amendment of an entry that is not there still tells what happened', () => {
    expect(problemsOf([hours(1, 1342, { replaces: 99 })])).toEqual({
      order: [1],
      problems: [[1, expect.stringMatching(/amends an entry that this book does not have.*000063/)]],
    })
  })

  test('a strike of an entry that is not there strikes nothing', () => {
    expect(problemsOf([strike(1, 99)])).toEqual({
      order: [],
      problems: [[1, expect.stringMatching(/strikes an entry that this book does not have/)]],
    })
  })

  test('a strike of such a strike is no problem of its own', () => {
    const lines = [strike(1, 99), strike(2, 1)]
    expect(problemsOf(lines)).toEqual({ order: [], problems: [[1, expect.stringMatching(/does not have/)]] })
    expect(fair(lines).rootOf(idOf(2))).toBe(idOf(1))
  })

  test('an entry that replaces itself, and rings of two and three', () => {
    const ring = expect.stringMatching(/ring of entries that replace each other/)
    expect(problemsOf([hours(1, 1, { replaces: 1 })])).toEqual({ order: [], problems: [[1, ring]] })
    expect(problemsOf([strike(1, 1)])).toEqual({ order: [], problems: [[1, ring]] })
    expect(problemsOf([hours(1, 1, { replaces: 2 }), hours(2, 2, { replaces: 1 })]).problems).toEqual([
      [1, ring],
      [2, ring],
    ])
    expect(problemsOf([strike(1, 3), strike(2, 1), strike(3, 2)])).toEqual({
      order: [],
      problems: [
        [1, ring],
        [2, ring],
        [3, ring],
      ],
    })
  })

  test('what hangs on a ring is shown too', () => {
    const { order: held, problems } = problemsOf([
      hours(1, 1, { replaces: 2 }),
      hours(2, 2, { replaces: 1 }),
      hours(3, 3, { replaces: 2 }),
    ])
    expect(held).toEqual([])
    expect(problems.map(([n]) => n)).toEqual([1, 2, 3])
  })

  test('an amendment of another kind holds beside the entry, not in its place', () => {
    expect(problemsOf([hours(1, 1342), note(2, 'not hours', { replaces: 1 })])).toEqual({
      order: [1, 2],
      problems: [[2, expect.stringMatching(/amends a "hours-read" but is a "note-written"/)]],
    })
  })

  test('an amendment of a strike holds by itself', () => {
    expect(problemsOf([note(1, 'one'), strike(2, 1), note(3, 'three', { replaces: 2 })])).toEqual({
      order: [3],
      problems: [[3, expect.stringMatching(/a strike can only be struck/)]],
    })
  })
})

describe('a day alone', () => {
  test('counts from the first moment of the day in ship’s time, before whatever else happened on it', () => {
    const all = fair([
      zoneSet(1, 'Europe/Stockholm', { occurredAt: '2026-05-01' }),
      note(2, 'half past midnight', { occurredAt: '2026-06-14T00:30:00+02:00' }),
      note(3, 'some time that day', { occurredAt: '2026-06-14' }),
      note(4, 'the evening before', { occurredAt: '2026-06-13T23:59:59+02:00' }),
    ])
    expect(order(all)).toEqual([1, 4, 3, 2])
    expect(all.find(idOf(3))!.at).toBe(utc('2026-06-13T22:00:00Z'))
  })

  test('counts in UTC where no zone was ever set, and in the first zone that was set for what happened before', () => {
    expect(fair([note(2, 'x', { occurredAt: '2020-01-01' })]).find(idOf(2))!.at).toBe(utc('2020-01-01T00:00:00Z'))
    const all = fair([
      note(2, 'x', { occurredAt: '2020-01-01' }),
      zoneSet(1, 'Europe/Helsinki', { occurredAt: '2026-05-01' }),
    ])
    expect(all.find(idOf(2))!.at).toBe(utc('2019-12-31T22:00:00Z'))
  })

  test('is late only from the end of the day after', () => {
    const at = { occurredAt: '2026-06-14' }
    const lateBy = (recordedAt: string) => fair([note(1, 'x', { ...at, recordedAt })]).find(idOf(1))!.lateBy
    expect(lateBy('2026-06-14T20:00:00Z')).toBe(0)
    expect(lateBy('2026-06-15T23:59:00Z')).toBe(0)
    expect(lateBy('2026-06-16T01:00:00Z')).toBe(3600_000)
    expect(lateBy('2026-06-13T20:00:00Z')).toBe(0)
  })

  test('begins where a clock that goes forward at midnight lets it begin', () => {
    // Chile goes from 24:00 on 5 September 2026 to 01:00 on the 6th (IANA tz database, rule Chile).
    expect(startOfDay('2026-09-06', 'America/Santiago')).toBe(utc('2026-09-06T04:00:00Z'))
    // Cuba goes back from 01:00 to 00:00 on 1 November 2026: midnight comes twice, the day begins with the first.
    expect(startOfDay('2026-11-01', 'America/Havana')).toBe(utc('2026-11-01T04:00:00Z'))
    // Samoa left out 30 December 2011.
    expect(startOfDay('2011-12-30', 'Pacific/Apia')).toBe(utc('2011-12-30T10:00:00Z'))
    expect(startOfDay('2011-12-31', 'Pacific/Apia')).toBe(utc('2011-12-30T10:00:00Z'))
  })
})

describe('ship’s time', () => {
  const settings = [
    zoneSet(1, 'Europe/Stockholm', { occurredAt: '2026-05-01' }),
    zoneSet(2, 'Europe/Helsinki', { occurredAt: '2026-07-10T06:00:00+02:00' }),
    zoneSet(3, 'Europe/Stockholm', { occurredAt: '2026-07-20T18:00:00+03:00' }),
  ]

  test('changes on a passage: each day counts in the zone that was kept at its noon', () => {
    const all = fair([
      ...settings,
      note(10, 'before', { occurredAt: '2026-07-09' }),
      note(11, 'the day of the change', { occurredAt: '2026-07-10' }),
      note(12, 'in the islands', { occurredAt: '2026-07-15' }),
      note(13, 'after', { occurredAt: '2026-07-21' }),
    ])
    const at = (n: number) => new Date(all.find(idOf(n))!.at).toISOString()
    expect([10, 11, 12, 13].map(at)).toEqual([
      '2026-07-08T22:00:00.000Z',
      '2026-07-09T21:00:00.000Z',
      '2026-07-14T21:00:00.000Z',
      '2026-07-20T22:00:00.000Z',
    ])
    expect(all.zoneAt(utc('2026-07-10T03:59:59Z'))).toBe('Europe/Stockholm')
    expect(all.zoneAt(utc('2026-07-10T04:00:00Z'))).toBe('Europe/Helsinki')
    expect(all.zoneAt(utc('2027-01-01T00:00:00Z'))).toBe('Europe/Stockholm')
    expect(all.zoneAt(utc('1990-01-01T00:00:00Z'))).toBe('Europe/Stockholm')
  })

  test('entries written on both sides of the change stay in the order in which they happened', () => {
    const all = fair([
      ...settings,
      note(10, 'last before', { occurredAt: '2026-07-10T05:50:00+02:00' }),
      note(11, 'first after', { occurredAt: '2026-07-10T07:05:00+03:00' }),
      note(12, 'written by the old clock', { occurredAt: '2026-07-10T06:10:00+02:00' }),
    ])
    expect(order(all)).toEqual([1, 10, 2, 11, 12, 3])
  })

  test('a zone amended or struck moves the days that counted in it', () => {
    const day = note(10, 'in the islands', { occurredAt: '2026-07-15' })
    const at = (...more: Line[]) => new Date(fair([...settings, day, ...more]).find(idOf(10))!.at).toISOString()
    expect(at()).toBe('2026-07-14T21:00:00.000Z')
    expect(at(strike(20, 2))).toBe('2026-07-14T22:00:00.000Z')
    expect(at(zoneSet(20, 'Europe/London', { replaces: 2, occurredAt: '2026-07-10T06:00:00+02:00' }))).toBe(
      '2026-07-14T23:00:00.000Z',
    )
    expect(at(strike(20, 2), strike(21, 20))).toBe('2026-07-14T21:00:00.000Z')
  })

  test('a setting whose first version is missing from this copy counts as it is told', () => {
    const all = fair([zoneSet(2, 'Europe/Helsinki', { occurredAt: '2026-05-01', replaces: 99 })])
    expect(order(all)).toEqual([2])
    expect(all.zoneAt(utc('2026-06-01T00:00:00Z'))).toBe('Europe/Helsinki')
  })

  test('two settings dated with the same day: the one written last holds', () => {
    const first = zoneSet(2, 'Europe/Stockholm', { occurredAt: '2026-05-01', recordedAt: '2026-05-01T08:00:00Z' })
    const second = zoneSet(1, 'Europe/Copenhagen', { occurredAt: '2026-05-01', recordedAt: '2026-05-01T09:00:00Z' })
    for (const lines of [
      [first, second],
      [second, first],
    ])
      expect(fair(lines).zoneAt(utc('2026-06-01T00:00:00Z'))).toBe('Europe/Copenhagen')
  })

  test('a zone that does not exist is passed over, and the entry still stands', () => {
    const all = fair([zoneSet(1, 'Europe/Stockholm'), zoneSet(2, 'Baltic/Gotska_Sandon')])
    expect(all.zoneAt(utc('2027-01-01T00:00:00Z'))).toBe('Europe/Stockholm')
    expect(order(all)).toEqual([1, 2])
    expect([isZone('Europe/Mariehamn'), isZone('UTC'), isZone('Baltic/Gotska_Sandon'), isZone('')]).toEqual([
      true,
      true,
      false,
      false,
    ])
  })
})

describe('daylight saving in Europe/Stockholm, 2026', () => {
  // From 02:00 to 03:00 on 29 March and from 03:00 back to 02:00 on 25 October (Directive 2000/84/EC: at 01:00 UTC).
  const zone = zoneSet(1, 'Europe/Stockholm', { occurredAt: '2026-01-01' })

  test('in the hour that is left out, a clock that was not put forward is read right', () => {
    const all = fair([
      zone,
      note(2, 'by the cabin clock, still winter time', { occurredAt: '2026-03-29T02:30:00+01:00' }),
      note(3, 'by the telephone, the same moment', { occurredAt: '2026-03-29T03:30:00+02:00' }),
      note(4, 'before', { occurredAt: '2026-03-29T01:59:00+01:00' }),
      note(5, 'between', { occurredAt: '2026-03-29T03:10:00+02:00' }),
    ])
    expect(order(all)).toEqual([1, 4, 5, 2, 3])
    expect(all.find(idOf(2))!.at).toBe(all.find(idOf(3))!.at)
  })

  test('in the hour that comes twice, the first time comes before the second', () => {
    const all = fair([
      zone,
      note(2, 'the second time', { occurredAt: '2026-10-25T02:15:00+01:00' }),
      note(3, 'the first time', { occurredAt: '2026-10-25T02:45:00+02:00' }),
      note(4, 'after', { occurredAt: '2026-10-25T03:00:00+01:00' }),
    ])
    expect(order(all)).toEqual([1, 3, 2, 4])
  })

  test('the days of 23 and of 25 hours begin and end at midnight aboard', () => {
    const lengthHours = (a: string, b: string) =>
      (startOfDay(b, 'Europe/Stockholm') - startOfDay(a, 'Europe/Stockholm')) / 3600_000
    expect(lengthHours('2026-03-29', '2026-03-30')).toBe(23)
    expect(lengthHours('2026-10-25', '2026-10-26')).toBe(25)
    const all = fair([zone, note(2, 'x', { occurredAt: '2026-03-30' }), note(3, 'x', { occurredAt: '2026-10-26' })])
    expect(all.find(idOf(2))!.at).toBe(utc('2026-03-29T22:00:00Z'))
    expect(all.find(idOf(3))!.at).toBe(utc('2026-10-25T23:00:00Z'))
  })
})

describe('as of', () => {
  const lines = [
    hours(1, 1342, { occurredAt: '2026-06-10T10:00:00Z', recordedAt: '2026-06-10T10:05:00Z' }),
    hours(2, 1324, { occurredAt: '2026-06-10T10:00:00Z', recordedAt: '2026-06-12T08:00:00Z', replaces: 1 }),
    note(3, 'late', { occurredAt: '2026-06-09T08:00:00Z', recordedAt: '2026-06-13T08:00:00Z' }),
    note(4, 'struck later', { occurredAt: '2026-06-11T08:00:00Z', recordedAt: '2026-06-11T08:05:00Z' }),
    strike(5, 4, { occurredAt: '2026-06-14T08:00:00Z', recordedAt: '2026-06-14T08:00:00Z' }),
  ]
  const known = (text: string) => order(fair(lines, { asKnown: utc(text) }))
  const was = (text: string) => order(fair(lines, { asOf: utc(text) }))

  test('“as we knew it” hides what was written down later: late entries, amendments and strikes', () => {
    expect(known('2026-06-10T10:04:59Z')).toEqual([])
    expect(known('2026-06-10T10:05:00Z')).toEqual([1])
    expect(known('2026-06-11T12:00:00Z')).toEqual([1, 4])
    expect(known('2026-06-12T12:00:00Z')).toEqual([2, 4])
    expect(known('2026-06-13T12:00:00Z')).toEqual([3, 2, 4])
    expect(known('2026-06-14T12:00:00Z')).toEqual([3, 2])
  })

  test('“as it was” hides what had not happened, with all that is known about the past', () => {
    expect(was('2026-06-09T07:59:59Z')).toEqual([])
    expect(was('2026-06-09T08:00:00Z')).toEqual([3])
    expect(was('2026-06-10T12:00:00Z')).toEqual([3, 2])
    // Struck on the 14th: it never was, on the 11th neither.
    expect(was('2026-06-11T12:00:00Z')).toEqual([3, 2])
  })

  test('both together: what was known then of what had happened then', () => {
    const both = fair(lines, { asOf: utc('2026-06-10T12:00:00Z'), asKnown: utc('2026-06-11T12:00:00Z') })
    expect(order(both)).toEqual([1])
    expect(both.find(idOf(4))).toBeUndefined()
  })

  test('an amendment that moves an entry beyond the moment asked for takes it out of the past', () => {
    const moved = [note(1, 'x', { occurredAt: '2026-06-10' }), note(2, 'x', { occurredAt: '2026-06-20', replaces: 1 })]
    expect(order(fair(moved, { asOf: utc('2026-06-15T00:00:00Z') }))).toEqual([])
    expect(order(fair(moved, { asOf: utc('2026-06-20T00:00:00Z') }))).toEqual([2])
  })

  test('an amendment that was known before what it amends is a problem only for that past', () => {
    // The clock of one copy was wrong when the first version was written.
    const odd = [
      hours(1, 1342, { recordedAt: '2026-06-20T08:00:00Z' }),
      hours(2, 1324, { recordedAt: '2026-06-12T08:00:00Z', replaces: 1 }),
    ]
    expect(fair(odd, { asKnown: utc('2026-06-13T00:00:00Z') })).toMatchObject({
      told: [{ id: idOf(2) }],
      problems: [{ problem: expect.stringMatching(/does not have/) }],
    })
    expect(fair(odd).problems).toEqual([])
  })
})

/** Books of any kind, sense or none: amendments and strikes of anything, rings, missing entries, equal times. */
const anyBook = fc
  .array(
    fc.record({
      kind: fc.constantFrom('hours', 'hours', 'hours', 'hours', 'note', 'zone', 'strike', 'strike'),
      target: fc.nat(1000),
      // What is replaced: mostly one of the first entries or of the last few, seldom anything, itself and what is missing among it.
      reach: fc.constantFrom('first', 'first', 'last', 'none', 'any'),
      occurred: fc.constantFrom(
        '2026-03-28',
        '2026-03-29',
        '2026-03-29T02:30:00+01:00',
        '2026-03-29T03:30:00+02:00',
        '2026-03-30T09:00:00+03:00',
        '2026-03-30T06:00:00Z',
        '2026-04-01',
      ),
      written: fc.constantFrom(
        '2026-04-01T08:00:00Z',
        '2026-04-01T10:00:00+02:00',
        '2026-04-02T08:00:00Z',
        '2026-04-03T08:00:00Z',
      ),
      zone: fc.constantFrom('Europe/Stockholm', 'Europe/Helsinki', 'America/Santiago', 'Nowhere/At_All'),
    }),
    { maxLength: 24, size: 'max' },
  )
  .map((parts) =>
    parts.map(({ kind, target: drawn, reach, occurred, written, zone }, index): Line => {
      const n = index + 1
      const target = {
        first: n > 3 ? 1 + (drawn % 3) : null,
        last: n > 3 ? n - 1 - (drawn % 3) : null,
        none: null,
        any: drawn % 30,
      }[reach]
      const over: Over = { occurredAt: occurred, recordedAt: written, replaces: target }
      if (kind === 'strike') return strike(n, target ?? 1, { occurredAt: occurred, recordedAt: written })
      if (kind === 'zone') return zoneSet(n, zone, over)
      return kind === 'note' ? note(n, `note ${n}`, over) : hours(n, n, over)
    }),
  )

const shuffled = anyBook.chain((lines) =>
  fc.tuple(fc.constant(lines), fc.shuffledSubarray(lines, { minLength: lines.length })),
)
const anyPast = fc.record({
  asOf: fc.constantFrom(undefined, '2026-03-29T00:00:00Z', '2026-03-29T01:30:00Z', '2026-03-31T00:00:00Z'),
  asKnown: fc.constantFrom(undefined, '2026-04-01T08:00:00Z', '2026-04-02T12:00:00Z'),
})
const pastOf = ({ asOf, asKnown }: { asOf: string | undefined; asKnown: string | undefined }): AsOf => ({
  ...(asOf ? { asOf: utc(asOf) } : {}),
  ...(asKnown ? { asKnown: utc(asKnown) } : {}),
})

describe('any book at all', () => {
  test('tells the same in whatever order its entries arrived', () => {
    const seen = { conflicts: 0, struck: 0, rings: 0, missing: 0, amended: 0 }
    fc.assert(
      fc.property(shuffled, anyPast, ([lines, otherwise], when) => {
        const a = fair(lines, pastOf(when))
        const b = fair(otherwise, pastOf(when))
        expect(said(b)).toEqual(said(a))
        for (const each of lines) expect(b.rootOf(each.id)).toBe(a.rootOf(each.id))
        for (const at of ['2026-03-28T12:00:00Z', '2026-03-29T12:00:00Z', '2026-04-02T00:00:00Z'])
          expect(b.zoneAt(utc(at))).toBe(a.zoneAt(utc(at)))
        seen.conflicts += a.all.filter((one) => one.conflict.length > 0).length
        seen.struck += a.all.filter((one) => one.struck).length
        seen.amended += a.all.filter((one) => one.versions.length > 1).length
        seen.rings += a.problems.filter((p) => p.problem.includes('ring')).length
        seen.missing += a.problems.filter((p) => p.problem.includes('does not have')).length
      }),
      { numRuns: 1500, seed: 42 },
    )
    // The hard cases are among them.
    for (const [name, count] of Object.entries(seen)) expect(count, name).toBeGreaterThan(200)
  })

  test('accounts for every entry: in a version, as a strike, as a rival, or as a problem', () => {
    fc.assert(
      fc.property(anyBook, (lines) => {
        const all = fair(lines)
        const problems = new Set(all.problems.map((p) => p.entry.id))
        expect(problems.size).toBe(all.problems.length)
        for (const { id } of lines) expect(all.rootOf(id) !== undefined || problems.has(id), id).toBe(true)
        expect(all.told.map((entry) => entry.root)).toEqual(all.all.filter((one) => !one.struck).map((one) => one.root))
        expect(new Set(all.all.map((one) => one.root)).size).toBe(all.all.length)
        for (let i = 1; i < all.all.length; i++) expect(all.all[i]!.at).toBeGreaterThanOrEqual(all.all[i - 1]!.at)
        for (const one of all.all) {
          expect(one.versions[0]!.id).toBe(one.root)
          expect(one.versions.at(-1)!.id).toBe(one.told.id)
          expect(one.conflict.length).not.toBe(1)
          expect(one.lateBy).toBeGreaterThanOrEqual(0)
        }
      }),
      { numRuns: 1000, seed: 43 },
    )
  })

  test('has no conflict that cannot be settled in favour of any rival by striking the others', () => {
    let settled = 0
    fc.assert(
      fc.property(anyBook, fc.nat(5), (book, choice) => {
        const lines = [...book]
        let next = 1000
        const write = (target: string) =>
          lines.push(strike(next, target, { recordedAt: new Date(utc('2026-05-01T00:00:00Z') + next++).toISOString() }))
        for (let round = 0; round < 40; round++) {
          const open = fair(lines).all.find((one) => one.conflict.length > 0)
          if (!open) return
          const keep = open.conflict[choice % open.conflict.length]!
          for (const rival of open.conflict) if (rival !== keep) write(rival.id)
          const after = fair(lines).find(open.root)!
          if (keep.type === 'entry-struck') expect(after.struck?.id).toBe(keep.id)
          else {
            expect(after.struck).toBeNull()
            expect(after.versions.map((version) => version.id)).toContain(keep.id)
          }
          expect(after.conflict.map((rival) => rival.id)).not.toContain(keep.id)
          settled++
        }
        throw new Error('It was never settled.')
      }),
      { numRuns: 800, seed: 44 },
    )
    expect(settled).toBeGreaterThan(200)
  })

  test('as known at a moment is the book that stood then', () => {
    fc.assert(
      fc.property(anyBook, fc.constantFrom('2026-04-01T08:00:00Z', '2026-04-02T12:00:00Z'), (lines, at) => {
        const then = lines.filter((each) => momentOf(each.recordedAt) <= utc(at))
        expect(said(fair(lines, { asKnown: utc(at) }))).toEqual(said(fair(then)))
      }),
      { numRuns: 300, seed: 45 },
    )
  })
})

describe('a fold', () => {
  const texts: Projection<string[]> = {
    initial: () => [],
    on: { 'note-written': (state, { data }) => void state.push(data.text) },
  }

  test('goes over what holds, in order, kind by kind', () => {
    const all = fair([
      note(1, 'b', { occurredAt: '2026-06-15' }),
      note(2, 'a', { occurredAt: '2026-06-14' }),
      hours(3, 12),
      note(4, 'struck'),
      strike(5, 4),
      note(6, 'B', { occurredAt: '2026-06-15', replaces: 1 }),
    ])
    expect(fold(texts, all)).toEqual(['a', 'B'])
  })

  test('is made once for each timeline, and afresh for another', () => {
    const lines = [note(1, 'a')]
    const all = fair(lines)
    expect(fold(texts, all)).toBe(fold(texts, all))
    const other = fair(lines)
    expect(fold(texts, other)).not.toBe(fold(texts, all))
    expect(fold(texts, other)).toEqual(fold(texts, all))
    expect(fold({ ...texts }, all)).not.toBe(fold(texts, all))
  })
})
