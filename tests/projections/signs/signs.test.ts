import { describe, expect, test } from 'vitest'
import { signs } from '../../../projections/signs/signs.ts'
import { timeline } from '../../../projections/timeline.ts'
import { given } from '../entries.ts'
import { type BeltBoat, beltBoat, wellKept } from './belts.ts'

const kinds = (boat: BeltBoat, day: number) => boat.found(day).signs.map(({ kind, state }) => `${kind} ${state}`)

/** Output that falls with the dust of a slipping belt. */
function slipping(boat: BeltBoat): void {
  boat.reads(11, 0.9)
  boat.looks(12, 'film', true)
  boat.reads(12, 0.84, { speed: { value: 1250, unit: '/min' } })
  boat.looks(13, 'film', true)
  boat.reads(14, 0.75, { speed: { value: 1300, unit: '/min' } })
}

/** A third gone from one day to the next, the belt clean. */
function diodeGone(boat: BeltBoat): void {
  for (let day = 11; day <= 14; day++) {
    boat.reads(day, 0.66, { speed: { value: 1300 + 250 * (day - 11), unit: '/min' } })
    boat.looks(day, 'none', false)
  }
}

describe('a boat that is well', () => {
  test('gives no sign', () => {
    expect(wellKept().found(11).signs).toEqual([])
  })

  test('gives none when falling amps are those of a bank that is filling', () => {
    const boat = wellKept()
    for (let day = 11; day <= 18; day++)
      boat.reads(day, 0.9 - 0.1 * (day - 11), { stage: 'absorption', volts: { value: 14.4, unit: 'V' } })
    expect(boat.found(19).signs).toEqual([])
  })

  test('gives none when the volts are at the set-point and nobody wrote the stage', () => {
    const boat = wellKept()
    for (let day = 11; day <= 16; day++)
      boat.book.write('readings-taken', boat.on(day), {
        equipment: 'engine',
        speed: { value: 1500, unit: '/min' },
        amps: { value: 25, unit: 'A' },
        volts: { value: 14.4, unit: 'V' },
      })
    expect(boat.found(17).signs).toEqual([])
  })

  test('gives none for one low reading, nor for one mistyped', () => {
    const boat = wellKept()
    boat.reads(11, 0.5)
    boat.reads(12, 1)
    boat.reads(13, 0.1)
    boat.reads(14, 1)
    expect(boat.found(15).signs).toEqual([])
  })

  test('gives none for the dust of a new belt', () => {
    const boat = wellKept()
    boat.serves(10, 'belt', 'belt renewed')
    boat.reads(11, 1)
    boat.looks(11, 'trace', true)
    boat.reads(12, 1)
    boat.looks(12, 'trace', true)
    boat.reads(13, 1)
    expect(boat.found(14).signs).toEqual([])
  })
})

describe('a belt that slips', () => {
  test('is a sign of the belt, with its evidence, what to do and since when', () => {
    const boat = wellKept()
    slipping(boat)
    const [sign, ...others] = boat.found(15).signs
    expect(others).toEqual([])
    expect(sign).toMatchObject({ kind: 'belt-slip', equipment: 'belt', state: 'standing', cleared: null })
    expect(Date.parse(sign!.onset.occurredAt)).toBeGreaterThan(Date.parse(boat.on(7)))
    expect(sign!.onset.engineHours).toBeLessThan(sign!.raised.engineHours!)
    expect(sign!.evidence.map(({ of }) => of)).toContain('dust')
    expect(sign!.evidence.map(({ of }) => of)).toContain('output')
    for (const { entry } of sign!.evidence) expect(boat.book.entries.map(({ id }) => id)).toContain(entry)
    expect(sign!.says).toMatch(/belt/)
    expect(sign!.next[0]).toMatch(/isolate the batteries/)
    expect(sign!.next[0]).toMatch(/hot/)
    expect(sign!.next.findIndex((step) => /misaligned/.test(step))).toBeLessThan(
      sign!.next.findIndex((step) => /Only then tension/.test(step)),
    )
  })

  test('was raised by what had been written by then: as it was known before, there is no sign', () => {
    const boat = wellKept()
    slipping(boat)
    const [sign] = boat.found(15).signs
    const before = boat.found(15, 15, { asKnown: Date.parse(sign!.raised.recordedAt) - 1 })
    expect(before.signs).toEqual([])
    const then = boat.found(15, 15, { asKnown: Date.parse(sign!.raised.recordedAt) })
    expect(then.signs.map(({ raised: { entry, recordedAt } }) => [entry, recordedAt])).toEqual([
      [sign!.raised.entry, sign!.raised.recordedAt],
    ])
  })

  test('is past with the service that put it right, and nothing is held against the belt afterwards', () => {
    const boat = wellKept()
    slipping(boat)
    const service = boat.serves(15, 'belt', 'belt tensioned')
    for (let day = 16; day < 20; day++) boat.reads(day, 1)
    const found = boat.found(20).signs
    expect(found.map(({ kind, state }) => [kind, state])).toEqual([['belt-slip', 'past']])
    expect(found[0]!.cleared).toMatchObject({ entry: service })
  })

  test('is not put right by an inspection, nor by one good check of the tension, nor by one clean look', () => {
    const boat = wellKept()
    slipping(boat)
    boat.serves(15, 'belt', 'inspected')
    boat.torque(16, 22)
    expect(kinds(boat, 17)).toEqual(['belt-slip standing'])
    boat.looks(17, 'none', false)
    expect(kinds(boat, 18)).toEqual(['belt-slip standing'])
  })

  test('goes by itself only with many good readings', () => {
    const boat = wellKept()
    slipping(boat)
    for (let day = 16; day < 20; day++) boat.reads(day, 1)
    expect(kinds(boat, 20)).toEqual(['belt-slip standing'])
    for (let day = 20; day < 45; day++) {
      boat.reads(day, 1)
      if (day % 3 === 0) boat.looks(day, 'none', false)
    }
    expect(kinds(boat, 46)).toEqual(['belt-slip past'])
  })

  test('is felt by the wrench before it shows: two low checks of slip torque raise it while the output is whole', () => {
    const boat = wellKept()
    boat.torque(11, 12)
    boat.reads(11, 1)
    boat.torque(13, 11)
    expect(kinds(boat, 14)).toEqual(['belt-slip standing'])
  })

  test('is not judged by tension where a tensioner sets it', () => {
    const boat = wellKept({ belt: { automaticTensioner: true } })
    boat.torque(11, 12)
    boat.torque(13, 11)
    boat.torque(15, 9)
    const { signs: found, asks } = boat.found(16)
    expect(found).toEqual([])
    expect(asks.map(({ what }) => what)).not.toContain('torque')
  })

  test('is not judged by a deflection without its force', () => {
    const boat = wellKept()
    for (let day = 11; day < 20; day++)
      boat.book.write('check-made', boat.on(day), { equipment: 'belt', deflection: { value: 30, unit: 'mm' } })
    expect(boat.found(20).signs).toEqual([])
  })
})

describe('an alternator that fails', () => {
  test('by a third at every speed over a clean belt is a sign of the charging, and not of the belt', () => {
    const boat = wellKept()
    diodeGone(boat)
    const found = boat.found(15).signs
    expect(found.map(({ kind, equipment, state }) => [kind, equipment, state])).toEqual([
      ['charging-low', 'alternator', 'standing'],
    ])
    expect(found[0]!.next.join(' ')).toMatch(/diode/)
    expect(found[0]!.next[0]).toMatch(/belt/)
  })

  test('is past when its diodes are renewed', () => {
    const boat = wellKept()
    diodeGone(boat)
    boat.serves(15, 'alternator', 'diodes renewed')
    boat.reads(16, 1)
    expect(kinds(boat, 17)).toEqual(['charging-low past'])
  })

  test('is learnt anew when it was renewed: another output is no sign', () => {
    const boat = wellKept()
    boat.serves(10, 'alternator', 'renewed')
    for (let day = 11; day < 25; day++) boat.reads(day, 0.85)
    expect(boat.found(25).signs).toEqual([])
  })
})

describe('no output at all', () => {
  const gone = { amps: { value: 0, unit: 'A' as const }, volts: { value: 12.3, unit: 'V' as const } }

  test('is a limit at once, by one reading', () => {
    const boat = wellKept()
    const id = boat.reads(11, 0, gone)
    const [sign] = boat.found(11).signs
    expect(sign).toMatchObject({ kind: 'belt-slip', strength: 'limit', state: 'standing', raised: { entry: id } })
    expect(sign!.says).toMatch(/Stop/)
  })

  test('is laid to the alternator where the belt has just been found sound', () => {
    const boat = wellKept()
    boat.looks(11, 'none', false)
    boat.reads(11, 0, gone)
    expect(boat.found(11).signs[0]).toMatchObject({ kind: 'charging-low', strength: 'limit' })
  })

  test('is not taken from a full bank, from a charger that is off or from an engine that idles', () => {
    const boat = wellKept()
    boat.reads(11, 0, { amps: { value: 0, unit: 'A' }, volts: { value: 13.6, unit: 'V' }, stage: 'float' })
    boat.reads(12, 0, { ...gone, stage: 'off' })
    boat.reads(13, 0, { ...gone, speed: { value: 750, unit: '/min' } })
    expect(boat.found(14).signs).toEqual([])
  })

  test('goes with the next good reading', () => {
    const boat = wellKept()
    boat.reads(11, 0, gone)
    boat.reads(12, 1)
    expect(kinds(boat, 12)).toEqual(['belt-slip past'])
  })
})

describe('what was written late or mended', () => {
  test('an amendment of what raised it judges anew: the sign is past with the amendment', () => {
    const boat = wellKept()
    const id = boat.reads(11, 0, { amps: { value: 0, unit: 'A' }, volts: { value: 12.3, unit: 'V' } })
    const right = { value: 70, unit: 'A' as const }
    boat.book.amend(
      id,
      'readings-taken',
      boat.on(11),
      {
        equipment: 'engine',
        hours: { value: 1044, unit: 'h' },
        speed: { value: 1600, unit: '/min' },
        amps: right,
        volts: { value: 13.5, unit: 'V' },
      },
      boat.on(12, 8),
    )
    const [sign] = boat.found(13).signs
    expect(sign).toMatchObject({ state: 'past', cleared: { entry: id, recordedAt: boat.on(12, 8) } })
  })

  test('a struck reading is not evidence', () => {
    const boat = wellKept()
    slipping(boat)
    const { evidence } = boat.found(15).signs[0]!
    for (const { entry } of evidence) boat.book.strike(entry, boat.on(16))
    expect(kinds(boat, 17)).toEqual(['belt-slip past'])
  })

  test('a look written days later counts from then on, and in its place', () => {
    const boat = wellKept()
    boat.reads(11, 0.82, { speed: { value: 1250, unit: '/min' } })
    const id = boat.looks(12, 'film', true, { recordedAt: boat.on(20) })
    boat.reads(13, 0.97)
    expect(boat.found(22, 15, { asKnown: Date.parse(boat.on(19)) }).signs).toEqual([])
    const [sign] = boat.found(22).signs
    expect(sign).toMatchObject({ kind: 'belt-slip', state: 'standing' })
    expect(sign!.raised).toMatchObject({ entry: id, occurredAt: boat.on(12, 9), recordedAt: boat.on(20) })
  })

  test('the order of arrival does not matter, the order of recording does', () => {
    const boat = wellKept()
    slipping(boat)
    boat.serves(15, 'belt', 'belt tensioned')
    const now = Date.parse(boat.on(16))
    const backwards = [...boat.book.entries].reverse()
    expect(signs(backwards, timeline(backwards), now)).toEqual(
      signs([...boat.book.entries], timeline(boat.book.entries), now),
    )
  })
})

describe('what is asked for', () => {
  test('is at most two readings, the reading worth most first, with why and when', () => {
    const { asks } = wellKept().found(20)
    expect(asks.length).toBeGreaterThan(0)
    expect(asks.length).toBeLessThanOrEqual(2)
    for (const { why, when } of asks) {
      expect(why).toMatch(/\.$/)
      expect(when).toMatch(/\.$/)
    }
  })

  test('is nothing at night, by the clock aboard', () => {
    const boat = wellKept()
    for (const hour of [0, 3, 6, 21, 23]) expect(boat.found(20, hour).asks, `${hour} h`).toEqual([])
    expect(boat.found(20, 7).asks).not.toEqual([])
  })

  test('is the dust where the output is low and nobody has looked', () => {
    const boat = wellKept()
    boat.reads(13, 0.7)
    boat.reads(14, 0.68)
    const { asks } = boat.found(15)
    expect(asks.map(({ what }) => what)).toContain('dust')
    expect(asks.find(({ what }) => what === 'dust')!.why).toMatch(/tell a slipping belt from an ailing alternator/)
  })

  test('is not what has just been read', () => {
    const boat = wellKept()
    boat.looks(11, 'none', false)
    boat.reads(11, 1)
    expect(boat.found(11).asks.map(({ what }) => what)).not.toContain('output')
    expect(boat.found(11).asks.map(({ what }) => what)).not.toContain('dust')
  })

  test('says where no reading can be judged, and what would make one', () => {
    const boat = wellKept()
    const kept = given()
    for (const entry of boat.book.entries.filter(({ type }) => type !== 'readings-taken')) kept.entries.push(entry)
    for (let day = 1; day < 20; day++)
      kept.write('readings-taken', boat.on(day), {
        equipment: 'engine',
        speed: { value: 1500, unit: '/min' },
        amps: { value: 6, unit: 'A' },
        volts: { value: 14.3, unit: 'V' },
        stage: 'absorption',
      })
    const output = signs([...kept.entries], kept.told(), Date.parse(boat.on(20, 12))).asks.find(
      ({ what }) => what === 'output',
    )
    expect(output!.why).toMatch(/No reading of the charging can be judged/)
    expect(output!.why).toMatch(/load switched on/)
  })
})

test('a log in which no meter was ever read is judged by its runs', () => {
  const boat = beltBoat()
  for (let day = 1; day <= 10; day++) boat.reads(day, 1)
  for (let day = 11; day <= 14; day++) boat.reads(day, 0.66)
  const unread = boat.book.entries
    .filter(({ type }) => type !== 'meter-fitted')
    .map((entry) => {
      if (entry.type !== 'readings-taken') return entry
      const { hours: _, ...data } = entry.data
      return { ...entry, data }
    })
  const found = signs(unread, timeline(unread), Date.parse(boat.on(30)))
  expect(found.signs.map(({ kind, onset }) => [kind, onset.engineHours])).toEqual([['charging-low', null]])
  expect(found.asks.map(({ what }) => what)).toContain('dust')
})

test('a boat without belt or alternator has neither signs nor asks', () => {
  const book = given()
  book.write('equipment-fitted', '2026-05-01T08:00:00Z', { equipment: 'engine', name: 'Engine', kind: 'engine' })
  expect(signs(book.entries, book.told(), Date.parse('2026-05-02T12:00:00Z'))).toEqual({ signs: [], asks: [] })
  expect(signs([], timeline([]), Date.parse('2026-05-02T12:00:00Z'))).toEqual({ signs: [], asks: [] })
})
