import { describe, expect, test } from 'vitest'
import { countAt, curveOf, meterRows } from '../../projections/meter-hours.ts'
import type { Timeline } from '../../projections/timeline.ts'
import { at, type Given, given, h, nm, read, withEngine } from './entries.ts'
import { mistype, sequence } from './made-up-boats.ts'

const curve = (from: Timeline, meter = 'engine-hours') => curveOf(from, meter)
const total = (from: Timeline, meter = 'engine-hours') =>
  meterRows(from).find((row) => row.meter.handle === meter)!.total?.value
const doubted = (from: Timeline) => curve(from).doubted.map((one) => one.reading)

/** A book with a reading each day from 2 May 2026 on, noon UTC. */
function readDaily(readings: readonly number[], book: Given = withEngine(100)): Given {
  readings.forEach((reading, index) => {
    read(book, new Date(at('2026-05-02T12:00:00Z') + index * 86_400_000).toISOString(), reading)
  })
  return book
}

describe('a meter that is read', () => {
  test('counts what it shows', () => {
    const book = readDaily([103, 107.5])
    expect(total(book.told())).toBe(107.5)
    expect(curve(book.told()).points.map((point) => point.count)).toEqual([100, 103, 107.5])
  })

  test('adds what had run before it was fitted', () => {
    expect(total(readDaily([103], withEngine(100, { alreadyRun: 2400 })).told())).toBe(2503)
  })

  test('has counted nothing that can be told while the book does not know it', () => {
    expect(curve(given().told())).toMatchObject({ points: [], doubted: [], unwritten: [] })
    expect(countAt(curve(given().told()), 0)).toBeNull()
    expect(meterRows(given().told())).toEqual([])
  })

  test('keeps readings that are older than the day on which the meter was described', () => {
    const book = withEngine(100)
    read(book, '2026-03-01T12:00:00Z', 80, { recordedAt: '2026-05-03T12:00:00Z' })
    expect(curve(book.told()).points.map((point) => point.count)).toEqual([80, 100])
    expect(countAt(curve(book.told()), at('2026-03-31T22:00:00Z'))).toBeCloseTo(90, 1)
  })

  test('takes the hours that stand in starts, stops, readings and services', () => {
    const book = withEngine(100)
    book.write('engine-started', '2026-05-02T08:00:00Z', { equipment: 'engine', hours: h(100) })
    book.write('engine-stopped', '2026-05-02T11:00:00Z', { equipment: 'engine', hours: h(103) })
    book.write('readings-taken', '2026-05-03T11:00:00Z', { equipment: 'engine', hours: h(104) })
    book.write('service-done', '2026-05-04T11:00:00Z', {
      equipment: 'engine',
      work: 'oil changed',
      hours: { value: 105 * 60, unit: 'min' },
    })
    expect(curve(book.told()).points.map((point) => point.count)).toEqual([100, 100, 103, 104, 105])
  })

  test('takes the hours in a service on a part of the engine for the hours of the engine', () => {
    const book = withEngine(100)
    book.write('equipment-fitted', '2026-05-01T09:00:00Z', {
      equipment: 'belt',
      name: 'Belt',
      kind: 'belt',
      partOf: 'engine',
    })
    book.write('service-done', '2026-05-04T11:00:00Z', { equipment: 'belt', work: 'belt tensioned', hours: h(106) })
    expect(total(book.told())).toBe(106)
  })

  test('is told with the reading, the moment and the entry last believed', () => {
    const book = withEngine(100)
    const root = read(book, '2026-05-04T12:00:00Z', 107.5)
    expect(meterRows(book.told())[0]).toMatchObject({
      total: { value: 107.5, unit: 'h', from: { meter: 'engine-hours' }, decimals: 1 },
      last: { reading: 107.5, at: at('2026-05-04T12:00:00Z'), root },
      doubted: [],
      unwritten: [],
    })
  })

  test('does not doubt whole hours read off after tenths, nor count backwards for them', () => {
    const told = readDaily([103.6, 103, 104, 104.4]).told()
    expect(doubted(told)).toEqual([])
    expect(curve(told).points.map((point) => point.count)).toEqual([100, 103.6, 103.6, 104, 104.4])
  })

  test('does not doubt whole hours rounded at both ends of a run as long as the clock', () => {
    const book = withEngine(100)
    read(book, '2026-05-02T12:00:00Z', 100)
    read(book, '2026-05-02T13:12:00Z', 102)
    expect(doubted(book.told())).toEqual([])
    expect(total(book.told())).toBe(102)
  })
})

describe('a meter that is replaced', () => {
  test('goes on from its last reading', () => {
    const book = readDaily([103])
    book.write('meter-replaced', '2026-06-01T12:00:00Z', { meter: 'engine-hours', last: 110, first: 0 })
    read(book, '2026-06-02T12:00:00Z', 4)
    expect(curve(book.told()).points.map((point) => point.count)).toEqual([100, 103, 110, 110, 114])
    expect(doubted(book.told())).toEqual([])
  })

  test('goes on from the reading before, if its last one could not be read', () => {
    const book = readDaily([103])
    book.write('meter-replaced', '2026-06-01T12:00:00Z', { meter: 'engine-hours', first: 12.5 })
    read(book, '2026-06-02T12:00:00Z', 16.5)
    expect(total(book.told())).toBe(107)
    expect(countAt(curve(book.told()), at('2026-05-20T12:00:00Z'))).toBe(103)
  })

  test('goes on with the runs written since the reading before, if its last one could not be read', () => {
    const book = readDaily([103])
    book.write('engine-started', '2026-05-20T10:00:00Z', { equipment: 'engine' })
    book.write('engine-stopped', '2026-05-20T12:30:00Z', { equipment: 'engine' })
    book.write('meter-replaced', '2026-06-01T12:00:00Z', { meter: 'engine-hours', first: 0 })
    read(book, '2026-06-02T12:00:00Z', 4)
    expect(total(book.told())).toBe(109.5)
  })

  test('may be replaced several times, by one that has run before too', () => {
    const book = withEngine(100)
    book.write('meter-replaced', '2026-06-01T12:00:00Z', { meter: 'engine-hours', last: 110, first: 0 })
    read(book, '2026-06-20T12:00:00Z', 30)
    book.write('meter-replaced', '2026-07-01T12:00:00Z', { meter: 'engine-hours', last: 31, first: 812.3 })
    read(book, '2026-07-20T12:00:00Z', 822.3)
    book.write('meter-replaced', '2026-08-01T12:00:00Z', { meter: 'engine-hours', first: 0 })
    read(book, '2026-08-20T12:00:00Z', 5)
    expect(total(book.told())).toBeCloseTo(156, 9)
    expect(doubted(book.told())).toEqual([])
    expect(curve(book.told()).points.map((point) => point.fitting)).toEqual([0, 0, 1, 1, 1, 2, 2, 3, 3])
  })

  test('takes a reading on the day of the change for the meter that can have shown it, whatever is known of the hour', () => {
    for (const changed of ['2026-06-01', '2026-06-01T12:00:00Z'])
      for (const [old, fresh] of [
        ['2026-06-01', '2026-06-01'],
        ['2026-06-01T09:00:00Z', '2026-06-01'],
        ['2026-06-01', '2026-06-01T18:00:00Z'],
        ['2026-06-01T09:00:00Z', '2026-06-01T18:00:00Z'],
        ['2026-06-01T12:00:00Z', '2026-06-01T18:00:00Z'],
      ] as const) {
        const book = withEngine(100)
        read(book, fresh, 1.5)
        book.write('meter-replaced', changed, { meter: 'engine-hours', last: 110, first: 0 })
        read(book, old, 109)
        expect(doubted(book.told()), `${changed} ${old} ${fresh}`).toEqual([])
        expect(curve(book.told()).points.map((point) => point.count)).toEqual([100, 109, 110, 110, 111.5])
      }
  })

  test('forgives a last reading that was mistyped', () => {
    const book = readDaily([103, 107, 112])
    book.write('meter-replaced', '2026-06-01T12:00:00Z', { meter: 'engine-hours', last: 12, first: 0 })
    read(book, '2026-06-02T12:00:00Z', 4)
    expect(total(book.told())).toBe(116)
    expect(doubted(book.told())).toEqual([12])
  })

  test('described anew is the same meter', () => {
    const book = readDaily([103])
    book.write('meter-fitted', '2026-06-01T12:00:00Z', {
      meter: 'engine-hours',
      name: 'Hour counter',
      equipment: 'engine',
      counts: 'hours',
      kind: 'ignition on',
      reading: 104,
    })
    expect(meterRows(book.told())[0]).toMatchObject({
      meter: { name: 'Hour counter', kind: 'ignition on' },
      total: { value: 104 },
    })
  })
})

describe('a meter that rolls over', () => {
  test('counts on', () => {
    const told = readDaily([9998, 3, 8], withEngine(9990, { rollsOverAt: 10_000 })).told()
    expect(curve(told).points.map((point) => point.count)).toEqual([9990, 9998, 10_003, 10_008])
    expect(doubted(told)).toEqual([])
  })

  test('counts on through several turns', () => {
    const book = withEngine(990, { rollsOverAt: 1000 })
    for (let year = 0; year < 3; year++)
      for (let month = 0; month < 10; month++)
        read(
          book,
          `${2027 + year}-${String(month + 1).padStart(2, '0')}-01T12:00:00Z`,
          (990 + (year * 10 + month + 1) * 90) % 1000,
        )
    expect(total(book.told())).toBe(990 + 2700)
    expect(doubted(book.told())).toEqual([])
  })

  test('is not taken to have rolled over for a dropped figure', () => {
    const told = readDaily([9850, 985, 9860], withEngine(9845, { rollsOverAt: 10_000 })).told()
    expect(total(told)).toBe(9860)
    expect(doubted(told)).toEqual([985])
  })

  test('does so on a day of which only the day is known', () => {
    const book = withEngine(9990, { rollsOverAt: 10_000 })
    read(book, '2026-05-04', 9998)
    read(book, '2026-05-04T10:00:00Z', 9995)
    read(book, '2026-05-04T20:00:00Z', 2)
    expect(doubted(book.told())).toEqual([])
    expect(total(book.told())).toBe(10_002)
  })

  test('and one that does not roll over runs backwards instead', () => {
    expect(doubted(readDaily([9998, 3, 9999], withEngine(9990)).told())).toEqual([3])
  })
})

describe('a mistyped reading', () => {
  const right = [1241.6, 1243.2, 1246.8, 1250.1, 1254.5, 1257.3, 1261.9]

  test('leaves no trace in the curve, whichever figures changed places and wherever it stands', () => {
    for (let place = 0; place < right.length; place++)
      for (const wrong of [2141.6, 1421.6, 1214.6, 124.6, 12.4, 12_416, 9241.6]) {
        const typed = right.map((reading, index) => (index === place ? wrong : reading))
        const told = readDaily(typed, withEngine(1240)).told()
        const last = place === right.length - 1 ? right[place - 1]! : right[right.length - 1]!
        expect(doubted(told), `${wrong} in place ${place}`).toEqual([wrong])
        expect(total(told)).toBeCloseTo(last, 9)
      }
  })

  test('leaves no trace either if the next one is mistyped too', () => {
    for (let place = 0; place < right.length - 1; place++) {
      const typed = right.map((reading, index) => (index === place ? 1426.1 : index === place + 1 ? 1432.1 : reading))
      const told = readDaily(typed, withEngine(1240)).told()
      expect(doubted(told), `from place ${place}`).toEqual([1426.1, 1432.1])
      expect(total(told)).toBeCloseTo(place === right.length - 2 ? right[place - 1]! : 1261.9, 9)
    }
  })

  test('that the clock would allow after a winter is found by the next reading', () => {
    const book = withEngine(1240)
    read(book, '2026-10-01T12:00:00Z', 1342)
    read(book, '2027-05-01T12:00:00Z', 1432)
    expect(total(book.told())).toBe(1432)
    read(book, '2027-05-08T12:00:00Z', 1346)
    expect(total(book.told())).toBe(1346)
    expect(doubted(book.told())).toEqual([1432])
  })

  test('out of all proportion to her use waits for a second reading that bears it out', () => {
    const book = readDaily(Array.from({ length: 30 }, (_, index) => 101 + index))
    read(book, '2026-06-04T12:00:00Z', 203)
    expect(total(book.told())).toBe(130)
    read(book, '2026-06-05T12:00:00Z', 204)
    expect(total(book.told())).toBe(204)
    expect(doubted(book.told())).toEqual([])
  })

  test('says what it shows and what the readings around it show', () => {
    const told = readDaily([1241.6, 1421.6, 1246.8], withEngine(1240)).told()
    expect(curve(told).doubted[0]!.problem).toBe(
      'It shows 1421.6 h, but the readings before and after it show 1241.6 h and 1246.8 h. It is kept and not counted; if it was mistyped, amend it.',
    )
    const last = readDaily([1241.6, 1421.6], withEngine(1240)).told()
    expect(curve(last).doubted[0]!.problem).toContain('the reading before it shows 1241.6 h')
  })

  test('leaves no doubt once it is amended or struck', () => {
    const book = withEngine(1240)
    const amended = read(book, '2026-05-02T12:00:00Z', 1421.6)
    const struck = read(book, '2026-05-03T12:00:00Z', 14)
    read(book, '2026-05-04T12:00:00Z', 1246.8)
    expect(doubted(book.told())).toEqual([1421.6, 14])
    book.amend(
      amended,
      'hours-read',
      '2026-05-02T12:00:00Z',
      { meter: 'engine-hours', reading: h(1241.6) },
      '2026-05-05T12:00:00Z',
    )
    book.strike(struck, '2026-05-05T12:01:00Z')
    expect(curve(book.told())).toMatchObject({ doubted: [], unwritten: [] })
    expect(curve(book.told()).points.map((point) => point.count)).toEqual([1240, 1241.6, 1246.8])
  })

  test('is doubted even where it was typed at the fitting, once three readings speak against it', () => {
    const told = readDaily([1245, 1248, 1250], withEngine(2140)).told()
    expect(doubted(told)).toEqual([2140])
    expect(total(told)).toBe(1250)
  })

  test('that somebody confirmed outweighs three others', () => {
    const book = withEngine(100)
    for (const day of ['02', '03', '04']) read(book, `2026-05-${day}T12:00:00Z`, 100 + Number(day))
    book.write('hours-read', '2026-05-05T12:00:00Z', { meter: 'engine-hours', reading: h(41), confirmed: true })
    expect(doubted(book.told())).toEqual([])
    expect(curve(book.told()).unwritten).toHaveLength(1)
    expect(total(book.told())).toBe(104)
  })

  test('never makes the curve run backwards or turn into no number, however many there are', () => {
    for (let start = 1; start <= 60; start++) {
      const random = sequence(start)
      const readings = Array.from({ length: 60 }, (_, index) => {
        const right = 950 + index * 1.7
        const reading = Number(right.toFixed(1))
        return random() < 0.3 ? mistype(reading, random) : reading
      })
      const { points, line } = curve(readDaily(readings, withEngine(949, { rollsOverAt: 1000 })).told())
      for (const some of [points, line])
        some.forEach((point, index) => {
          expect(Number.isFinite(point.count)).toBe(true)
          expect(point.count).toBeGreaterThanOrEqual(some[index - 1]?.count ?? 0)
          expect(point.at).toBeGreaterThanOrEqual(some[index - 1]?.at ?? 0)
        })
    }
  })
})

describe('a meter changed without a word', () => {
  test('is believed once three readings agree, and the count goes on', () => {
    const book = readDaily([103, 107, 1, 4])
    expect(total(book.told())).toBe(107)
    expect(doubted(book.told())).toEqual([1, 4])
    read(book, '2026-05-20T12:00:00Z', 9)
    expect(total(book.told())).toBe(115)
    expect(doubted(book.told())).toEqual([])
  })

  test('is told as such, with what to write', () => {
    const { unwritten } = curve(readDaily([103, 107, 1, 4, 9]).told())
    expect(unwritten).toMatchObject([{ reading: 1, at: at('2026-05-04T12:00:00Z') }])
    expect(unwritten[0]!.problem).toBe(
      'It went from 107.0 h to 1.0 h, and three readings agree on it: the meter must have been changed or set. Write "Meter replaced" for when that was.',
    )
  })

  test('to a higher reading counts no hours that the clock does not allow', () => {
    expect(total(readDaily([103, 107, 901, 904, 909]).told())).toBe(115)
  })
})

describe('a reading of which only the day is known', () => {
  test('stands among the timed ones of that day where its own figure puts it, in whichever order they were written', () => {
    const day = [
      ['2026-05-04T08:00:00Z', 110],
      ['2026-05-04', 113],
      ['2026-05-04T15:00:00Z', 115],
      ['2026-05-04', 116],
      ['2026-05-04T20:00:00Z', 118],
    ] as const
    for (const order of [
      [0, 1, 2, 3, 4],
      [4, 3, 2, 1, 0],
      [1, 3, 0, 4, 2],
      [3, 1, 4, 2, 0],
      [2, 0, 3, 4, 1],
    ]) {
      const book = withEngine(100)
      for (const [when, reading] of order.map((index) => day[index]!)) read(book, when, reading)
      expect(doubted(book.told())).toEqual([])
      expect(curve(book.told()).points.map((point) => point.count)).toEqual([100, 110, 113, 115, 116, 118])
    }
  })

  test('allows for the whole of its day by the clock', () => {
    const book = withEngine(100)
    read(book, '2026-05-04T00:00:00Z', 110)
    read(book, '2026-05-04', 128)
    expect(doubted(book.told())).toEqual([])
    read(book, '2026-05-05', 180)
    expect(doubted(book.told())).toEqual([180])
  })

  test('stands behind the passage of that day: meters are read after running', () => {
    const book = withEngine(100)
    book.write('passage-begun', '2026-05-10T08:00:00Z', { from: 'here' })
    book.write('passage-ended', '2026-05-10T18:00:00Z', { at: 'there' })
    read(book, '2026-05-10', 106)
    expect(countAt(curve(book.told()), at('2026-05-10T07:00:00Z'))).toBe(100)
    expect(countAt(curve(book.told()), at('2026-05-10T18:00:00Z'))).toBe(106)
  })
})

describe('a late entry', () => {
  test('gives the same curve as if it had been on time', () => {
    const onTime = readDaily([103, 107, 112])
    const late = withEngine(100)
    read(late, '2026-05-02T12:00:00Z', 103)
    read(late, '2026-05-04T12:00:00Z', 112)
    read(late, '2026-05-03T12:00:00Z', 107, { recordedAt: '2026-07-01T12:00:00Z' })
    const counts = (book: Given) => curve(book.told()).points.map(({ at, count, reading }) => ({ at, count, reading }))
    expect(counts(late)).toEqual(counts(onTime))
  })

  test('settles which of two readings was mistyped', () => {
    const book = withEngine(100)
    read(book, '2026-06-01T12:00:00Z', 132)
    read(book, '2026-06-02T12:00:00Z', 124)
    read(book, '2026-05-20T12:00:00Z', 121, { recordedAt: '2026-07-01T12:00:00Z' })
    read(book, '2026-06-03T12:00:00Z', 126, { recordedAt: '2026-07-01T12:00:00Z' })
    expect(doubted(book.told())).toEqual([132])
    expect(doubted(book.told({ asKnown: at('2026-06-10T12:00:00Z') }))).toHaveLength(1)
  })
})

describe('other meters', () => {
  test('an ignition-on meter counts what it shows: that is what the tasks on it go by', () => {
    const book = withEngine(100, { kind: 'ignition on' })
    book.write('engine-started', '2026-05-02T10:00:00Z', { equipment: 'engine' })
    book.write('engine-stopped', '2026-05-02T11:00:00Z', { equipment: 'engine' })
    read(book, '2026-05-02T14:00:00Z', 103.5)
    expect(total(book.told())).toBe(103.5)
    expect(doubted(book.told())).toEqual([])
  })

  test('a revolution-counting meter may run a little ahead of the clock, a true-running one may not', () => {
    for (const [kind, ahead] of [
      ['revolution counting', []],
      ['true running', [112.5]],
    ] as const) {
      const book = withEngine(100, { kind })
      read(book, '2026-05-02T10:00:00Z', 100.1)
      read(book, '2026-05-02T20:00:00Z', 112.5)
      expect(doubted(book.told())).toEqual(ahead)
    }
  })

  test('two engines have two curves, each from its own entries', () => {
    const book = given()
    for (const side of ['port', 'starboard']) {
      const equipment = `${side}-engine`
      book.write('equipment-fitted', '2026-05-01T08:00:00Z', { equipment, name: side, kind: 'engine' })
      book.write('meter-fitted', '2026-05-01T08:00:00Z', {
        meter: `${side}-hours`,
        name: `${side} hours`,
        equipment,
        counts: 'hours',
        kind: 'true running',
        reading: side === 'port' ? 100 : 700,
      })
      book.write('engine-stopped', '2026-05-02T12:00:00Z', { equipment, hours: h(side === 'port' ? 104 : 703) })
    }
    book.write('hours-read', '2026-05-03T12:00:00Z', { meter: 'starboard-hours', reading: h(705) })
    expect(total(book.told(), 'port-hours')).toBe(104)
    expect(total(book.told(), 'starboard-hours')).toBe(705)
    expect(meterRows(book.told()).map((row) => row.meter.handle)).toEqual(['port-hours', 'starboard-hours'])
  })

  const distanceLog = (): Given => {
    const book = given()
    book.write('equipment-fitted', '2026-05-01T08:00:00Z', { equipment: 'boat', name: 'She', kind: 'boat' })
    book.write('meter-fitted', '2026-05-01T08:00:00Z', {
      meter: 'log',
      name: 'Distance log',
      equipment: 'boat',
      counts: 'miles',
      kind: 'distance log',
      reading: 6386,
    })
    return book
  }

  test('a distance log counts nautical miles from the passages, in whatever unit they were written', () => {
    const book = distanceLog()
    book.write('passage-begun', '2026-05-02T08:00:00Z', { from: 'here', distanceLog: nm(6386) })
    book.write('passage-ended', '2026-05-02T18:00:00Z', {
      at: 'there',
      distanceLog: { value: 6436 * 1.852, unit: 'km' },
    })
    book.write('passage-ended', '2026-05-04T18:00:00Z', {
      at: 'on',
      distanceLog: { value: (6486 * 1852) / 1609.344, unit: '[mi_i]' },
    })
    expect(total(book.told(), 'log')).toBeCloseTo(6486, 9)
    expect(meterRows(book.told())[0]!.total).toMatchObject({ unit: '[nmi_i]', decimals: 0 })
    expect(countAt(curve(book.told(), 'log'), at('2026-05-02T13:00:00Z'))).toBeCloseTo(6411, 9)
  })

  test('a distance log forgives a mistyped figure and rolls over', () => {
    const book = distanceLog()
    book.amend(
      book.entries[1]!.id,
      'meter-fitted',
      '2026-05-01T08:00:00Z',
      {
        meter: 'log',
        name: 'Distance log',
        equipment: 'boat',
        counts: 'miles',
        kind: 'distance log',
        reading: 9950,
        rollsOverAt: 10_000,
      },
      '2026-05-01T09:00:00Z',
    )
    for (const [day, log] of [
      ['02', 9980],
      ['03', 30],
      ['04', 800],
      ['05', 82],
    ] as const)
      book.write('passage-ended', `2026-05-${day}T18:00:00Z`, { at: 'there', distanceLog: nm(log) })
    expect(total(book.told(), 'log')).toBe(10_082)
    expect(curve(book.told(), 'log').doubted.map((one) => one.reading)).toEqual([800])
  })

  test('hours written by mistake for a distance log are no miles', () => {
    const book = distanceLog()
    book.write('hours-read', '2026-05-02T08:00:00Z', { meter: 'log', reading: h(7000) })
    expect(total(book.told(), 'log')).toBe(6386)
  })

  test("a pump's counter counts its cycles", () => {
    const book = given()
    book.write('equipment-fitted', '2026-05-01T08:00:00Z', { equipment: 'pump', name: 'Pump', kind: 'bilge pump' })
    book.write('meter-fitted', '2026-05-01T08:00:00Z', {
      meter: 'pump-cycles',
      name: 'Pump counter',
      equipment: 'pump',
      counts: 'cycles',
      kind: 'pump cycles',
      reading: 40,
      rollsOverAt: 1000,
    })
    book.write('check-made', '2026-05-01T08:00:00Z', { equipment: 'pump', bilgeCount: 40 })
    book.write('check-made', '2026-06-01T08:00:00Z', { equipment: 'pump', bilgeCount: 990 })
    book.write('check-made', '2026-07-01T08:00:00Z', { equipment: 'pump', bilgeCount: 15 })
    expect(total(book.told(), 'pump-cycles')).toBe(1015)
    expect(meterRows(book.told())[0]!.total).toMatchObject({ unit: '1', decimals: 0 })
  })
})

describe('the count at a moment', () => {
  const book = withEngine(100)
  const root = read(book, '2026-05-11T08:00:00Z', 110)
  const mistyped = read(book, '2026-05-12T08:00:00Z', 1011)
  read(book, '2026-05-21T08:00:00Z', 130)
  const made = curve(book.told())

  test('lies on the line between two readings', () => {
    expect(countAt(made, at('2026-05-06T08:00:00Z'))).toBeCloseTo(105, 9)
    expect(countAt(made, at('2026-05-16T08:00:00Z'))).toBeCloseTo(120, 9)
  })

  test('is the first before the first and the last after the last', () => {
    expect(countAt(made, at('2020-01-01T08:00:00Z'))).toBe(100)
    expect(countAt(made, at('2030-01-01T08:00:00Z'))).toBe(130)
  })

  test("of an entry is that entry's own reading, unless it is doubted", () => {
    expect(countAt(made, at('2026-05-01T08:00:00Z'), root)).toBe(110)
    expect(countAt(made, at('2026-05-12T08:00:00Z'), mistyped)).toBeCloseTo(112, 9)
  })

  test('rises in the runs between two readings, if they are long enough for it', () => {
    const ran = withEngine(100)
    for (const [from, until] of [
      ['2026-05-03T08:00:00Z', '2026-05-03T10:00:00Z'],
      ['2026-05-05T08:00:00Z', '2026-05-05T10:00:00Z'],
    ] as const) {
      ran.write('engine-started', from, { equipment: 'engine' })
      ran.write('engine-stopped', until, { equipment: 'engine' })
    }
    read(ran, '2026-05-06T08:00:00Z', 104)
    const told = curve(ran.told())
    expect(countAt(told, at('2026-05-02T08:00:00Z'))).toBe(100)
    expect(countAt(told, at('2026-05-03T09:00:00Z'))).toBeCloseTo(101, 9)
    expect(countAt(told, at('2026-05-04T08:00:00Z'))).toBeCloseTo(102, 9)
    expect(countAt(told, at('2026-05-06T07:00:00Z'))).toBeCloseTo(104, 9)
  })

  test('rises in the passages between two readings where the runs are not written, or too short', () => {
    const sailed = withEngine(100)
    sailed.write('engine-started', '2026-05-03T09:00:00Z', { equipment: 'engine' })
    sailed.write('engine-stopped', '2026-05-03T10:00:00Z', { equipment: 'engine' })
    sailed.write('passage-begun', '2026-09-01T08:00:00Z', { from: 'here' })
    sailed.write('passage-ended', '2026-09-01T18:00:00Z', { at: 'there' })
    read(sailed, '2026-09-01T20:00:00Z', 104)
    expect(countAt(curve(sailed.told()), at('2026-08-01T08:00:00Z'))).toBe(100)
    expect(countAt(curve(sailed.told()), at('2026-09-01T13:00:00Z'))).toBeCloseTo(102, 9)
  })

  test('does not rise in the winter between two seasons', () => {
    const wintered = readDaily([103])
    wintered.write('passage-begun', '2027-05-01T08:00:00Z', { from: 'here' })
    wintered.write('passage-ended', '2027-05-01T18:00:00Z', { at: 'there' })
    read(wintered, '2027-05-01T19:00:00Z', 108)
    expect(countAt(curve(wintered.told()), at('2027-03-01T12:00:00Z'))).toBe(103)
  })
})

test('twenty thousand readings of ten years, one in fifty mistyped, come to an end with the right total', () => {
  const book = withEngine(100)
  const random = sequence(20_000)
  for (let index = 1; index <= 20_000; index++) {
    const right = Number((100 + index * 0.3).toFixed(1))
    const wrong = index < 20_000 && random() < 0.02
    read(
      book,
      new Date(at('2026-05-01T08:00:00Z') + index * 4 * 3_600_000).toISOString(),
      wrong ? mistype(right, random) : right,
    )
  }
  expect(total(book.told())).toBeCloseTo(6100, 6)
})

test("goes on counting when a pump's counter was set back", () => {
  const book = given()
  book.write('equipment-fitted', '2026-05-01T08:00:00Z', {
    equipment: 'bilge-pump',
    name: 'Bilge pump',
    kind: 'bilge pump',
  })
  book.write('meter-fitted', '2026-05-01T08:00:00Z', {
    meter: 'bilge-counter',
    name: 'Bilge counter',
    equipment: 'bilge-pump',
    counts: 'cycles',
    kind: 'pump cycles',
    reading: 940,
    rollsOverAt: 1000,
  })
  book.write('check-made', '2026-05-10T08:00:00Z', { equipment: 'bilge-pump', bilgeCount: 980 })
  // Rolled over: 40 more.
  book.write('check-made', '2026-05-20T08:00:00Z', { equipment: 'bilge-pump', bilgeCount: 20 })
  book.write('check-made', '2026-05-21T08:00:00Z', { equipment: 'bilge-pump', counterReset: true })
  book.write('check-made', '2026-05-30T08:00:00Z', { equipment: 'bilge-pump', bilgeCount: 7 })
  const { points } = curveOf(book.told(), 'bilge-counter')
  expect(points[points.length - 1]!.count).toBe(940 + 40 + 40 + 7)
})
