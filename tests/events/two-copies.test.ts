import { createHmac } from 'node:crypto'
import { copyFileSync } from 'node:fs'
import { join } from 'node:path'
import canonicalize from 'canonicalize'
import { describe, expect, test } from 'vitest'
import { commitments, digestOf, type Log, openLog, proveRows, type Row, withhold } from '../../events/log.ts'
import type { Timeline } from '../../projections/timeline.ts'
import { type Book, openBook, type Written } from '../../server/book.ts'
import { scratchFolder } from './lines.ts'

/**
 * The trial of the envelope, made before anything else stood on it: two copies of one book are amended apart, brought together, and
 * parts are left out of one; both must go on proving themselves.
 */

const must = (written: Written): Row[] => {
  if (!written.ok) throw new Error(JSON.stringify(written.refused))
  return written.written
}

/** A clock that moves on by a minute whenever it is read. */
const clockFrom = (start: string) => {
  let now = Date.parse(start)
  return () => {
    now += 60_000
    return now
  }
}

/** The whole book as another one gets it: through text, one entry a line. */
const asJsonLines = (rows: Iterable<Row>): string => [...rows].map((row) => JSON.stringify(row)).join('\n')
const fromJsonLines = (text: string): Record<string, unknown>[] =>
  text.split('\n').map((one) => JSON.parse(one) as Record<string, unknown>)

const bringOver = (from: Log, to: Book): Written => {
  const written = to.takeIn(fromJsonLines(asJsonLines(from.rows())))
  must(written)
  return written
}

/** What the fair log says, without what each book adds for itself. */
const told = (timeline: Timeline) =>
  timeline.all.map((fair) => ({
    root: fair.root,
    at: fair.at,
    data: fair.told.data,
    hand: fair.told.hand,
    versions: fair.versions.map((version) => version.id),
    struck: fair.struck?.id ?? null,
    conflict: fair.conflict.map((rival) => rival.id),
    lateBy: fair.lateBy,
  }))

function twoCopies() {
  const folder = scratchFolder()
  const fileOf = (name: string) => join(folder, `${name}.fettlebook`)
  const first = openLog(fileOf('aboard'))
  const start = openBook(first, clockFrom('2026-06-14T10:00:00Z'))
  must(
    start.write([
      {
        type: 'equipment-fitted',
        occurredAt: '2026-05-01',
        hand: 'K.S.',
        source: 'form',
        data: { equipment: 'engine', name: 'Engine', kind: 'engine' },
      },
    ]),
  )
  const [service] = must(
    start.write([
      {
        type: 'service-done',
        occurredAt: '2026-06-14T09:30:00+02:00',
        hand: 'K.S.',
        source: 'form',
        data: {
          equipment: 'engine',
          work: 'oil changed',
          hours: { value: 1234, unit: 'h' },
          cost: { value: 84.5, unit: 'EUR' },
        },
      },
    ]),
  )
  first.close()
  copyFileSync(fileOf('aboard'), fileOf('ashore'))
  const aboard = openBook(openLog(fileOf('aboard')), clockFrom('2026-06-16T08:00:00Z'))
  const ashore = openBook(openLog(fileOf('ashore')), clockFrom('2026-06-16T10:00:00Z'))
  const serviceDraft = {
    type: 'service-done',
    occurredAt: '2026-06-14T09:30:00+02:00',
    source: 'form',
    replaces: service!.id,
  }
  const [byAboard] = must(
    aboard.write([
      {
        ...serviceDraft,
        hand: 'K.S.',
        data: {
          equipment: 'engine',
          work: 'oil changed',
          hours: { value: 1243, unit: 'h' },
          cost: { value: 84.5, unit: 'EUR' },
        },
      },
    ]),
  )
  const [byAshore] = must(
    ashore.write([
      {
        ...serviceDraft,
        hand: 'M.B.',
        data: {
          equipment: 'engine',
          work: 'oil and filter changed',
          hours: { value: 1234, unit: 'h' },
          cost: { value: 97, unit: 'EUR' },
        },
      },
    ]),
  )
  must(
    aboard.write([
      {
        type: 'note-written',
        occurredAt: '2026-06-15T08:00:00+02:00',
        hand: 'K.S.',
        source: 'form',
        data: { text: 'Aboard: oil a shade low at the morning look.' },
      },
    ]),
  )
  must(
    ashore.write([
      {
        type: 'note-written',
        occurredAt: '2026-06-15T07:00:00+02:00',
        hand: 'M.B.',
        source: 'form',
        data: { text: 'Ashore: receipt found.' },
      },
    ]),
  )
  return { fileOf, aboard, ashore, service: service!, byAboard: byAboard!, byAshore: byAshore! }
}

describe('two copies of one book', () => {
  test('amended apart and brought together in both directions, both tell the same, and show the same conflict', () => {
    const { aboard, ashore, service, byAboard, byAshore } = twoCopies()
    expect(told(aboard.timeline())).not.toEqual(told(ashore.timeline()))

    const toAshore = bringOver(aboard.log, ashore)
    expect(toAshore.ok && [toAshore.written.length, toAshore.already]).toEqual([2, 2])
    const toAboard = bringOver(ashore.log, aboard)
    expect(toAboard.ok && [toAboard.written.length, toAboard.already]).toEqual([2, 4])

    expect(told(aboard.timeline())).toEqual(told(ashore.timeline()))
    const fair = aboard.timeline().find(service.id)!
    // The one written last holds: ashore's clock stood two hours later.
    expect(fair.told.id).toBe(byAshore.id)
    expect(fair.conflict.map((rival) => rival.id)).toEqual([byAshore.id, byAboard.id])
    expect(
      aboard
        .timeline()
        .told.map((entry) => entry.data)
        .filter((data) => 'text' in data),
    ).toEqual([{ text: 'Ashore: receipt found.' }, { text: 'Aboard: oil a shade low at the morning look.' }])

    for (const book of [aboard, ashore]) expect(book.log.verify()).toMatchObject({ ok: true, entries: 6, problems: [] })
    // The chains differ, for each book took the entries in in its own order and at its own time ...
    expect(aboard.log.head().link).not.toBe(ashore.log.head().link)
    // ... while every entry is the same one.
    const digests = (log: Log) => new Map([...log.rows()].map((row) => [row.id, digestOf(row)]))
    expect([...digests(aboard.log)].sort()).toEqual([...digests(ashore.log)].sort())
  })

  test('bringing them together again changes nothing', () => {
    const { aboard, ashore } = twoCopies()
    bringOver(aboard.log, ashore)
    bringOver(ashore.log, aboard)
    const heads = [aboard.log.head(), ashore.log.head()]
    expect(bringOver(aboard.log, ashore)).toEqual({ ok: true, written: [], already: 6 })
    expect(bringOver(ashore.log, aboard)).toEqual({ ok: true, written: [], already: 6 })
    expect([aboard.log.head(), ashore.log.head()]).toEqual(heads)
  })

  test('the owner settles the conflict in one copy by striking the amendment that is wrong, and the other copy follows', () => {
    const { aboard, ashore, service, byAboard, byAshore } = twoCopies()
    bringOver(aboard.log, ashore)
    bringOver(ashore.log, aboard)
    must(
      aboard.write([
        {
          type: 'entry-struck',
          occurredAt: '2026-06-15T20:00:00+02:00',
          hand: 'K.S.',
          source: 'form',
          replaces: byAshore.id,
          data: { reason: 'The meter was read aboard.' },
        },
      ]),
    )
    bringOver(aboard.log, ashore)
    for (const book of [aboard, ashore]) {
      const fair = book.timeline().find(service.id)!
      expect(fair.conflict).toEqual([])
      expect(fair.struck).toBeNull()
      expect(fair.told.id).toBe(byAboard.id)
      expect(book.log.verify().ok).toBe(true)
    }
    expect(told(aboard.timeline())).toEqual(told(ashore.timeline()))
  })

  test('the owner settles it in favour of the amendment that holds by striking the other one', () => {
    const { aboard, ashore, service, byAboard, byAshore } = twoCopies()
    bringOver(ashore.log, aboard)
    must(
      aboard.write([
        {
          type: 'entry-struck',
          occurredAt: '2026-06-15T20:00:00+02:00',
          hand: 'K.S.',
          source: 'form',
          replaces: byAboard.id,
          data: {},
        },
      ]),
    )
    bringOver(aboard.log, ashore)
    for (const book of [aboard, ashore]) {
      expect(book.timeline().find(service.id)).toMatchObject({ struck: null, conflict: [], told: { id: byAshore.id } })
    }
    expect(told(aboard.timeline())).toEqual(told(ashore.timeline()))
  })

  test('a strike made ashore and an amendment made aboard conflict, and are settled either way', () => {
    for (const keep of ['amendment', 'strike'] as const) {
      const { aboard, ashore, service, byAboard, byAshore } = twoCopies()
      const strikeDraft = { type: 'entry-struck', occurredAt: '2026-06-16', hand: 'M.B.', source: 'form', data: {} }
      const [struckAshore] = must(ashore.write([{ ...strikeDraft, replaces: byAshore.id }]))
      bringOver(ashore.log, aboard)
      bringOver(aboard.log, ashore)
      expect(told(aboard.timeline())).toEqual(told(ashore.timeline()))
      // Ashore struck its own amendment only: the one from aboard stands, and nothing is left to settle.
      expect(aboard.timeline().find(service.id)).toMatchObject({
        told: { id: byAboard.id },
        struck: null,
        conflict: [],
      })

      const [direct] = must(
        ashore.takeIn([
          {
            ...strikeDraft,
            occurredAt: '2026-06-16',
            recordedAt: '2026-06-16T18:00:00Z',
            replaces: service.id,
            data: { reason: 'Never done.' },
          },
        ]),
      )
      bringOver(ashore.log, aboard)
      for (const book of [aboard, ashore]) {
        const fair = book.timeline().find(service.id)!
        expect(fair.conflict.map((rival) => rival.id)).toEqual([direct!.id, byAboard.id])
        expect(fair.struck?.id).toBe(direct!.id)
      }
      must(aboard.write([{ ...strikeDraft, replaces: keep === 'strike' ? byAboard.id : direct!.id }]))
      bringOver(aboard.log, ashore)
      for (const book of [aboard, ashore]) {
        const fair = book.timeline().find(service.id)!
        expect(fair.conflict).toEqual([])
        expect(fair.struck === null).toBe(keep === 'amendment')
        expect(book.log.verify().ok).toBe(true)
      }
      expect(told(aboard.timeline())).toEqual(told(ashore.timeline()))
      expect(struckAshore!.id).not.toBe(direct!.id)
    }
  })
})

describe('a copy that leaves out a cost and a hand', () => {
  const leave = ['data.cost', 'hand']

  const together = () => {
    const made = twoCopies()
    bringOver(made.aboard.log, made.ashore)
    bringOver(made.ashore.log, made.aboard)
    const full = [...made.aboard.log.rows()]
    const left = fromJsonLines(asJsonLines(full.map((row) => withhold(row, leave)))) as unknown as Row[]
    return { ...made, full, left }
  }

  test('holds neither the cost nor the hand nor the secret, and has the same digests and the same head', () => {
    const { aboard, full, left, service } = together()
    expect(left.map(digestOf)).toEqual(full.map(digestOf))
    const served = left.find((row) => row.id === service.id)!
    expect(Object.keys(served.withheld ?? {}).sort()).toEqual(['data.cost', 'hand'])
    expect(served.data).toEqual({ equipment: 'engine', work: 'oil changed', hours: { value: 1234, unit: 'h' } })
    const text = asJsonLines(left)
    for (const secret of ['K.S.', 'M.B.', '84.5', '97', ...full.map((row) => row.salt!)]) {
      expect(asJsonLines(full)).toContain(secret)
      expect(text).not.toContain(`"${secret}"`)
      expect(text).not.toContain(`:${secret},`)
    }
    expect(proveRows(left)).toEqual({ problems: [], entries: full.length, head: aboard.log.head() })
  })

  test('does not let the cost be guessed: no salt that is given away opens a commitment that is withheld', () => {
    const { full, left, service } = together()
    const whole = full.find((row) => row.id === service.id)!
    const served = left.find((row) => row.id === service.id)!
    const hidden = served.withheld!['data.cost']!
    const opens = (key: string, name: string, value: unknown) =>
      createHmac('sha256', Buffer.from(key, 'hex'))
        .update(canonicalize([name, value]) as string)
        .digest('hex') === hidden
    const keys = Object.values(served.salts!)
    expect(keys.length).toBeGreaterThan(8)
    for (const key of keys) expect(opens(key, 'data.cost', whole.data.cost)).toBe(false)
    // With the secret of the entry the same guess does open it: the check above could have failed.
    const key = createHmac('sha256', Buffer.from(whole.salt!, 'hex')).update('data.cost').digest('hex')
    expect(opens(key, 'data.cost', whole.data.cost)).toBe(true)
    expect(commitments(whole)['data.cost']).toBe(hidden)
  })

  test('taken into the full book changes nothing, and the full book taken into the copy changes nothing either', () => {
    const { fileOf, aboard, full, left } = together()
    const head = aboard.log.head()
    expect(aboard.takeIn(left as unknown as Record<string, unknown>[])).toEqual({
      ok: true,
      written: [],
      already: full.length,
    })
    expect(aboard.log.head()).toEqual(head)
    expect([...aboard.log.rows()]).toEqual(full)

    const survey = openBook(openLog(fileOf('surveyor')), clockFrom('2026-07-01T10:00:00Z'))
    expect(must(survey.takeIn(left as unknown as Record<string, unknown>[]))).toHaveLength(full.length)
    const kept = [...survey.log.rows()]
    expect(bringOver(aboard.log, survey)).toEqual({ ok: true, written: [], already: full.length })
    expect([...survey.log.rows()]).toEqual(kept)
    expect(asJsonLines(kept)).not.toContain('K.S.')
    expect(kept.map(digestOf)).toEqual(full.map(digestOf))
    expect(aboard.log.verify()).toMatchObject({ ok: true, problems: [] })
    expect(survey.log.verify()).toMatchObject({ ok: true, problems: [], entries: full.length })
    expect(survey.read().unreadable).toEqual([])
  })

  test('tells the same fair log but for what was left out, and says of each entry what that was', () => {
    const { fileOf, aboard, left, service } = together()
    const survey = openBook(openLog(fileOf('surveyor')), clockFrom('2026-07-01T10:00:00Z'))
    must(survey.takeIn(left as unknown as Record<string, unknown>[]))
    const without = (timeline: Timeline) =>
      told(timeline).map(({ data, hand: _, ...rest }) => ({ ...rest, data: { ...data, cost: undefined } }))
    expect(without(survey.timeline())).toEqual(without(aboard.timeline()))
    const [original] = survey.timeline().find(service.id)!.versions
    expect(original).toMatchObject({ hand: '-', withheld: expect.arrayContaining(['data.cost', 'hand']) })
  })

  test('can leave out more of what was left out of already, and still proves', () => {
    const { aboard, left } = together()
    const less = left.map((row) => withhold(row, ['data.hours', 'data.text']))
    expect(less.some((row) => row.withheld?.['data.text'] !== undefined)).toBe(true)
    expect(less.map((row) => row.data.text).filter((text) => text !== undefined)).toEqual([])
    expect(proveRows(less)).toEqual({ problems: [], entries: left.length, head: aboard.log.head() })
  })

  test('a name that is not there, or that may not be left out, is passed over', () => {
    const { full } = together()
    const row = full[1]!
    expect(withhold(row, ['data.nonsense', 'type', 'occurredAt', 'id'])).toEqual(row)
  })

  test('what remains cannot be changed, nor what was left out put back as something else', () => {
    const { left, service } = together()
    const changed = (change: (row: Row) => Row) =>
      proveRows(left.map((row) => (row.id === service.id ? change(structuredClone(row)) : row))).problems
    expect(changed((row) => row)).toEqual([])
    const forgeries: Record<string, (row: Row) => Row> = {
      'another reading': (row) => ({ ...row, data: { ...row.data, hours: { value: 1243, unit: 'h' } } }),
      'a cost beside the commitment': (row) => ({ ...row, data: { ...row.data, cost: { value: 1, unit: 'EUR' } } }),
      'a hand beside the commitment': (row) => ({ ...row, hand: 'X.Y.' }),
      'a kind of entry said to be withheld': (row) => ({
        ...row,
        type: 'note-written',
        withheld: { ...row.withheld, type: commitments(row).type! },
      }),
      'a field said never to have been': (row) => {
        const { 'data.cost': _, ...withheld } = row.withheld!
        return { ...row, withheld }
      },
      'a salt too many': (row) => ({ ...row, salts: { ...row.salts, 'data.cost': 'ab'.repeat(32) } }),
      'the secret beside the salts': (row) => ({ ...row, salt: 'ab'.repeat(16) }),
    }
    for (const [name, forge] of Object.entries(forgeries)) expect(changed(forge), name).not.toEqual([])
  })

  test('a forged copy is refused with a sentence, and nothing of it is written', () => {
    const { fileOf, left, service } = together()
    const survey = openBook(openLog(fileOf('surveyor')), clockFrom('2026-07-01T10:00:00Z'))
    const forge = (row: Row): Row =>
      row.id === service.id ? { ...row, data: { ...row.data, cost: { value: 1, unit: 'EUR' } } } : row
    const answer = survey.takeIn(left.map(forge) as unknown as Record<string, unknown>[])
    expect(answer.ok).toBe(false)
    expect(!answer.ok && answer.refused.map(({ index }) => index)).toEqual([1])
    expect(!answer.ok && answer.refused[0]!.refusals[0]!.problem).toMatch(/data\.cost.*expected/i)
    expect(survey.log.head().position).toBe(0)
  })
})

test('a copy that leaves out what an entry cannot be told without is kept, proves, and is counted as not read', () => {
  const folder = scratchFolder()
  const full = openBook(openLog(join(folder, 'full.book')), clockFrom('2026-06-14T12:00:00Z'))
  must(
    full.takeIn([
      {
        type: 'note-written',
        occurredAt: '2026-06-14T10:00:00Z',
        hand: 'K.S.',
        data: { text: 'Lay off the naval yard.' },
      },
      { type: 'book-set', occurredAt: '2026-06-14T10:01:00Z', hand: 'K.S.', data: { boat: 'Havtorn' } },
    ]),
  )
  const copied = [...full.log.rows()].map((row) => withhold(row, ['data.text']))
  expect(proveRows(copied).problems).toEqual([])
  const copy = openBook(openLog(join(folder, 'copy.book')), clockFrom('2026-06-15T12:00:00Z'))
  must(copy.takeIn(copied.map((row) => ({ ...row }))))
  expect(copy.timeline().told.map((entry) => entry.type)).toEqual(['book-set'])
  expect(copy.read().unreadable).toMatchObject([
    { position: 1, type: 'note-written', problem: expect.stringMatching(/leaves out note.*says nothing/s) },
  ])
  expect(copy.log.verify()).toMatchObject({ ok: true, entries: 2 })
  for (const { log } of [full, copy]) log.close()
})
