import { describe, expect, test } from 'vitest'
import { type Entry, kinds } from '../../events/index.ts'
import { entryOf, firstLink } from '../../events/log.ts'
import { timeline } from '../../projections/timeline.ts'
import type { ChartSpec } from '../../web/chart.ts'
import { Caution } from '../../web/components/caution.tsx'
import { Chart } from '../../web/components/chart.tsx'
import { clockText, dayText, lateText, momentIso, momentText, offsetText, shipDay } from '../../web/components/dates.ts'
import { EntryLine } from '../../web/components/entry-line.tsx'
import { EntryList } from '../../web/components/entry-list.tsx'
import { entryText, fieldText, type Names } from '../../web/components/entry-words.ts'
import { Buttons, Choice, Field } from '../../web/components/field.tsx'
import { Figure, figureText, formatFigure, formatNumber, quantityText } from '../../web/components/figure.tsx'
import { logLink, selectionOf, selectionQuery, withKeep } from '../../web/components/log-link.ts'
import { Problem } from '../../web/components/problem.tsx'
import { monthScale, placeOn, Spread, SpreadScale } from '../../web/components/spread.tsx'
import { Tape, TapeScale, ticksOf } from '../../web/components/tape.tsx'
import { Want } from '../../web/components/want.tsx'
import { Sheet } from '../../web/layout.tsx'
import type { View } from '../../web/page.ts'

const idOf = (n: number): string => `0190c5a0-0000-7000-8000-${n.toString(16).padStart(12, '0')}`

/** The n-th entry; it happened on 14 June 2026 at 12:00 ship's time unless `over` says otherwise. */
function entry(n: number, type: string, data: object, over: Partial<Entry> = {}): Entry {
  const read = entryOf({
    id: idOf(n),
    origin: '5f0c1d2e-3b4a-4c5d-8e6f-708192a3b4c5',
    type,
    version: 1,
    occurredAt: '2026-06-14T12:00:00+02:00',
    recordedAt: over.occurredAt ?? '2026-06-14T12:00:00+02:00',
    hand: 'K.S.',
    source: 'form',
    salt: '0'.repeat(32),
    replaces: null,
    data: data as Record<string, unknown>,
    ...over,
    position: n,
    receivedAt: '2026-07-01T00:00:00.000Z',
    link: firstLink,
  } as never)
  if (!read.ok) throw new Error(read.problem)
  return read.entry
}

const zone = entry(1, 'book-set', { zone: 'Europe/Stockholm' }, { occurredAt: '2026-01-01T12:00:00+01:00' })
const view = (entries: Entry[] = [], over: Partial<View> = {}): View => ({
  past: {},
  now: Date.parse('2026-06-14T17:42:00Z'),
  timeline: timeline([zone, ...entries]),
  settings: { boat: 'Tirvane' },
  sheet: 'day',
  hand: '',
  keep: '',
  here: '/log',
  pinned: false,
  unread: 0,
  ...over,
})
const names: Names = (refers, handle) => (refers === 'entry' ? 'the drip' : `the ${handle.replaceAll('-', ' ')}`)
const us = {
  temperatureUnit: '[degF]',
  pressureUnit: '[psi]',
  volumeUnit: '[gal_us]',
  distanceUnit: '[mi_i]',
  torqueUnit: '[lbf_av].[ft_i]',
} as const

const line = (entries: Entry[], over: Partial<View> = {}, root = entries[0]!.id): string => {
  const told = view(entries, over)
  return String(<EntryLine entry={told.timeline.find(root)!} view={told} names={names} />)
}
/** What a reader hears: the tags gone, white space as it is shown. */
const heard = (html: unknown): string =>
  String(html)
    .replace(/<svg.*?<\/svg>/gs, ' ')
    .replace(/<[^>]+>/g, '')
    .replace(/&#39;/g, "'")
    .replace(/[ \n]+/g, ' ')
    .trim()

describe('Figures', () => {
  test('take a narrow no-break space for thousands and a no-break space before the unit', () => {
    expect(formatFigure(1243.6, 'h')).toBe('1\u202f243.6\u00a0h')
    expect(formatFigure(1234567, '[nmi_i]')).toBe('1\u202f234\u202f567\u00a0M')
    expect(formatFigure(999, '/min')).toBe('999\u00a0rpm')
    expect(formatFigure(148, 'deg')).toBe('148°')
  })
  test('have as many decimals as they are told, else as they need, two at most', () => {
    expect(formatNumber(24, 1)).toBe('24.0')
    expect(formatNumber(24)).toBe('24')
    expect(formatNumber(0.456)).toBe('0.46')
    expect(formatNumber(1999.999)).toBe('2\u202f000')
    expect(formatNumber(12345.5, 0)).toBe('12\u202f346')
  })
  test('have a true minus, and none before nought', () => {
    expect(formatNumber(-12.5)).toBe('\u221212.5')
    expect(formatNumber(-0.001)).toBe('0')
    expect(formatNumber(-0.4, 0)).toBe('0')
  })
  test('name days, months and whatever is counted in words, one of them in the singular', () => {
    expect(formatFigure(9, 'd')).toBe('9\u00a0days')
    expect(formatFigure(1, 'mo')).toBe('1\u00a0month')
    expect(formatFigure(14, '{entries}')).toBe('14\u00a0entries')
    expect(formatFigure(1, '{entries}')).toBe('1\u00a0entry')
    expect(formatFigure(2.2, '1')).toBe('2.2')
  })
  test('that are not finite are refused', () => {
    expect(() => formatNumber(Number.NaN)).toThrow(RangeError)
    expect(() => formatNumber(Number.POSITIVE_INFINITY)).toThrow(RangeError)
  })
  // Factors: NIST SP 811 (2008), appendix B.8 and B.9; the converted values were worked out by hand from them.
  test('are shown in the units that the book sets', () => {
    expect(figureText({ value: 81, unit: 'Cel' }, us)).toBe('177.8\u00a0°F')
    expect(figureText({ value: 81, unit: 'Cel' }, {})).toBe('81\u00a0°C')
    expect(figureText({ value: 24, unit: 'N.m', decimals: 1 }, us)).toBe('17.7\u00a0lbf·ft')
    expect(figureText({ value: 6418, unit: '[nmi_i]', decimals: 0 }, us)).toBe('7\u202f386\u00a0mi')
    expect(figureText({ value: 1243.6, unit: 'h', decimals: 1 }, us)).toBe('1\u202f243.6\u00a0h')
  })
  test('of an entry lose nothing by a conversion, claim no more than its last place, and keep what was written', () => {
    expect(quantityText({ value: 54, unit: '[psi]' }, {})).toEqual({ text: '3.72\u00a0bar', entered: '54\u00a0psi' })
    expect(quantityText({ value: 3.7, unit: 'bar' }, us)).toEqual({ text: '54\u00a0psi', entered: '3.7\u00a0bar' })
    expect(quantityText({ value: 140, unit: 'L' }, us)).toEqual({ text: '37.0\u00a0US gal', entered: '140\u00a0L' })
    expect(quantityText({ value: 24, unit: 'N.m' }, us)).toEqual({ text: '17.7\u00a0lbf·ft', entered: '24\u00a0N·m' })
    expect(quantityText({ value: 55, unit: 'mbar' }, {})).toEqual({ text: '0.055\u00a0bar', entered: '55\u00a0mbar' })
    expect(quantityText({ value: 12.125, unit: 'V' }, us)).toEqual({ text: '12.125\u00a0V' })
  })
  test('of time stay in the unit in which they were written', () => {
    expect(quantityText({ value: 1.5, unit: 's' }, us)).toEqual({ text: '1.5\u00a0s' })
  })
  test('open to the entries that they came from, in the past that is looked at', () => {
    const from = {
      kinds: ['hours-read', 'engine-stopped'],
      meter: 'engine-hours',
      until: Date.parse('2026-06-14T16:31:00Z'),
    }
    const html = String(
      <Figure of={{ value: 1243.6, unit: 'h', from }} view={{ settings: {}, keep: 'as-of=2026-06-14' }} bold />,
    )
    expect(html).toBe(
      '<a class="n" href="/log?kind=hours-read&amp;kind=engine-stopped&amp;meter=engine-hours&amp;until=2026-06-14T16%3A31%3A00.000Z&amp;as-of=2026-06-14"><b>1\u202f243.6\u00a0h</b></a>',
    )
  })
})

describe('Addresses', () => {
  test('of a selection read back as the same selection', () => {
    const selection = {
      kinds: ['service-done', 'upkeep-set'],
      equipment: 'house-belt',
      task: 'belt-tension',
      since: 1_780_000_000_123,
      until: 1_790_000_000_000,
      entries: [idOf(1), idOf(2)],
    }
    expect(selectionOf(new URLSearchParams(selectionQuery(selection)))).toEqual(selection)
    expect(selectionOf(new URLSearchParams('kind=&equipment=&since=yesterday'))).toEqual({})
  })
  test('of an empty selection are the whole Log', () => {
    expect(logLink({})).toBe('/log')
    expect(logLink({}, 'as-known=2026-06-01')).toBe('/log?as-known=2026-06-01')
  })
  test('keep the past before the fragment', () => {
    expect(withKeep('/log/1#settle', 'as-of=2026-06-01')).toBe('/log/1?as-of=2026-06-01#settle')
    expect(withKeep('/due?days=5', 'as-of=2026-06-01')).toBe('/due?days=5&as-of=2026-06-01')
  })
})

describe('Dates', () => {
  const at = Date.parse('2026-06-14T17:42:00Z')
  test("are in ship's time, whatever the machine's", () => {
    expect(momentText(at, 'Europe/Stockholm')).toBe('Sun 14 Jun 2026, 19.42')
    expect(offsetText(at, 'Europe/Stockholm')).toBe('+02:00')
    expect(momentText(at, 'Pacific/Auckland')).toBe('Mon 15 Jun 2026, 05.42')
    expect(momentIso(at, 'America/St_Johns')).toBe('2026-06-14T15:12:00-02:30')
    expect(shipDay(Date.parse('2026-06-14T22:30:00Z'), 'Europe/Stockholm')).toBe('2026-06-15')
  })
  test('follow daylight saving: 02.30 comes twice on the last Sunday of October', () => {
    const first = Date.parse('2026-10-25T00:30:00Z')
    expect([clockText(first, 'Europe/Stockholm'), offsetText(first, 'Europe/Stockholm')]).toEqual(['02.30', '+02:00'])
    const second = first + 3600_000
    expect([clockText(second, 'Europe/Stockholm'), offsetText(second, 'Europe/Stockholm')]).toEqual(['02.30', '+01:00'])
  })
  test('name the year only where it is another one', () => {
    expect(dayText('2026-06-14', '2026-08-01')).toBe('Sunday 14 June')
    expect(dayText('2025-06-14', '2026-08-01')).toBe('Saturday 14 June 2025')
  })
  test('say how late an entry was in words', () => {
    expect(lateText('2026-06-05', '2026-06-07', 43 * 3600_000)).toBe('two days late')
    expect(lateText('2026-06-05', '2026-06-06', 13 * 3600_000)).toBe('13 hours late')
    expect(lateText('2026-06-05', '2026-06-06', 30 * 3600_000)).toBe('a day late')
    expect(lateText('2026-06-05', '2026-07-05', 720 * 3600_000)).toBe('30 days late')
  })
})

describe('The words of an entry', () => {
  test('come from its schema, for every kind there is', () => {
    for (const kind of kinds) {
      const over = kind.type === 'entry-struck' ? { replaces: idOf(8) } : {}
      for (const { version, data } of kind.examples) {
        const text = entryText(entry(9, kind.type, data as object, { ...over, version }), {}, names)
        expect(text, kind.type).toMatch(/[.!?]$/)
        expect(text, kind.type).not.toMatch(/\{|\}|undefined|null|object|\.\.|,,|, \.|^[,.;: ]|[a-z]+-[a-z]+-hours/)
      }
    }
  })
  test('read as a sentence, with the joints that the schema names', () => {
    expect(
      entryText(
        entry(2, 'passage-ended', {
          at: 'Visby',
          lying: 'alongside',
          distanceLog: { value: 6418, unit: '[nmi_i]' },
          distance: { value: 32, unit: '[nmi_i]' },
          fuelUsed: { value: 11, unit: 'L' },
          note: 'Rain at last!',
        }),
        {},
        names,
      ),
    ).toBe('Visby, alongside. Log 6\u202f418\u00a0M. 32\u00a0M, fuel 11\u00a0L. Rain at last!')
  })
  test('do not double a full stop that was written', () => {
    const defect = entry(2, 'defect-found', { equipment: 'hose', what: 'It weeps.', matters: 'some' })
    expect(entryText(defect, {}, names)).toBe('the hose: It weeps. Matters: some.')
  })
  test('name equipment and say no of what was looked for and is not so', () => {
    const check = entry(2, 'check-made', {
      equipment: 'house-bank',
      restVolts: { value: 12.62, unit: 'V' },
      shorePower: false,
    })
    expect(entryText(check, {}, names)).toBe('the house bank, rest volts 12.62\u00a0V, on shore power: no.')
  })
  test('give a single field its title, for tables', () => {
    const read = entry(2, 'hours-read', {
      meter: 'engine-hours',
      reading: { value: 1238.2, unit: 'h' },
      confirmed: true,
    })
    expect(fieldText(read, 'meter', {}, names)).toEqual({ title: 'Meter', value: 'the engine hours' })
    expect(fieldText(read, 'confirmed', {}, names)).toEqual({ title: 'Looked at twice', value: 'yes' })
    expect(fieldText(read, 'note', {}, names)).toBeNull()
    expect(fieldText(read, 'no-such-field', {}, names)).toBeNull()
  })
})

describe('A line of the log', () => {
  const readings = (n: number, data: object, over: Partial<Entry> = {}) =>
    entry(n, 'readings-taken', { equipment: 'engine', ...data }, over)
  const coolant = (value: number, unit = 'Cel') => ({ coolant: { value, unit } })

  test('has its time in the margin, its kind as the way to its own page, its words and its hand', () => {
    const html = line([readings(2, { speed: { value: 2000, unit: '/min' }, ...coolant(81) })], {
      keep: 'as-of=2026-07-01',
    })
    expect(html).toContain('<time datetime="2026-06-14T12:00:00+02:00">')
    expect(html).toContain(`<a class="kind" href="/log/${idOf(2)}?as-of=2026-07-01">Readings</a>`)
    expect(heard(html)).toBe('12.00Readings 2\u202f000\u00a0rpm, coolant 81\u00a0°C.K.S.')
  })
  test('shows the unit that is set and keeps what was entered at hand', () => {
    expect(line([readings(2, coolant(180, '[degF]'))])).toContain(
      '<span class="n" title="Entered as 180\u00a0°F">82.2\u00a0°C</span>',
    )
    expect(line([readings(2, coolant(180, '[degF]'))], { settings: us })).toContain('coolant 180\u00a0°F.')
  })
  test('that is struck stays whole and readable, with initials, date and reason beneath', () => {
    const html = line([
      readings(2, coolant(104), { hand: 'I.B.' }),
      entry(
        3,
        'entry-struck',
        { reason: 'read off the heater' },
        {
          replaces: idOf(2),
          occurredAt: '2026-06-14T12:52:00+02:00',
        },
      ),
    ])
    expect(html).toContain('<li class="entry struck"')
    expect(html).toContain('<s>coolant 104\u00a0°C.</s><span class="initials">K.S.</span>')
    expect(html).toContain('<span class="aside">Struck 14 Jun 12.52: read off the heater.</span>')
    expect(html).toContain('<div class="hand">I.B.</div>')
  })
  test('that was amended shows only what differs, old and new, and why', () => {
    const hours = (value: number) => ({ meter: 'engine-hours', reading: { value, unit: 'h' } })
    const html = line([
      entry(2, 'hours-read', hours(1283.2)),
      entry(
        3,
        'hours-read',
        { ...hours(1238.2), why: 'two digits changed places' },
        {
          replaces: idOf(2),
          recordedAt: '2026-06-14T12:21:00+02:00',
          hand: 'I.B.',
        },
      ),
    ])
    expect(html).toContain(
      '<del>1\u202f283.2\u00a0h</del><span class="initials">I.B.</span><ins>1\u202f238.2\u00a0h</ins>.',
    )
    expect(html).toContain('<span class="aside">Amended 14 Jun 12.21: two digits changed places.</span>')
    expect(html).toContain('<div class="hand">K.S.</div>')
    expect(html).not.toContain('why amended')
  })
  test('that was amended twice keeps every value that stood there', () => {
    const html = heard(
      line([
        readings(2, { ...coolant(104), speed: { value: 2000, unit: '/min' } }),
        readings(3, { ...coolant(92), speed: { value: 2000, unit: '/min' } }, { replaces: idOf(2) }),
        readings(4, { ...coolant(82), speed: { value: 2000, unit: '/min' } }, { replaces: idOf(3) }),
      ]),
    )
    expect(html).toContain('2\u202f000\u00a0rpm, coolant 104\u00a0°CK.S.92\u00a0°CK.S.82\u00a0°C.')
  })
  test('shows a field that an amendment added or left out', () => {
    const html = line([
      readings(2, { ...coolant(81), load: { value: 60, unit: '%' } }),
      readings(3, { ...coolant(81), volts: { value: 13.6, unit: 'V' } }, { replaces: idOf(2) }),
    ])
    expect(html).toContain('<del>load 60\u00a0%</del>')
    expect(html).toContain('<ins>13.6\u00a0V</ins>')
    expect(html).not.toMatch(/<(del|ins)>[^<]*81/)
  })
  test('shows a field that is never said once it was amended', () => {
    const read = (n: number, meter: string, over: Partial<Entry> = {}) =>
      entry(n, 'hours-read', { meter, reading: { value: 12, unit: 'h' } }, over)
    expect(heard(line([read(2, 'engine-hours'), read(3, 'generator-hours', { replaces: idOf(2) })]))).toContain(
      'meter the engine hoursK.S.the generator hours',
    )
  })
  test('that was moved in time says from where to where', () => {
    const html = heard(
      line([
        readings(2, coolant(81)),
        readings(3, coolant(81), { replaces: idOf(2), occurredAt: '2026-06-14T13:05:00+02:00' }),
      ]),
    )
    expect(html).toContain('Time 14 Jun 12.00K.S.14 Jun 13.05.')
  })
  test('that was written late says when and how late, and is marked along its height', () => {
    const html = line([readings(2, coolant(81), { recordedAt: '2026-06-16T09:15:00+02:00' })])
    expect(html).toContain('<li class="entry late"')
    expect(html).toContain('<span class="aside">Written 16 Jun 09.15, two days late.</span>')
    expect(line([readings(2, coolant(81), { recordedAt: '2026-06-14T21:00:00+02:00' })])).not.toContain('late')
  })
  test('that knows only its day says so', () => {
    const html = line([readings(2, coolant(81), { occurredAt: '2026-06-14', recordedAt: '2026-06-14T20:00:00+02:00' })])
    expect(html).toContain('<time datetime="2026-06-14">')
    expect(heard(html)).toContain('no time')
  })
  test('that copies of the book tell differently leads to where it is settled', () => {
    const html = line([
      readings(2, coolant(104)),
      readings(3, coolant(84), { replaces: idOf(2), recordedAt: '2026-06-14T13:00:00+02:00' }),
      readings(4, coolant(94), { replaces: idOf(2), recordedAt: '2026-06-14T13:01:00+02:00' }),
    ])
    expect(html).toContain(`<a href="/log/${idOf(2)}#settle">Settle it</a>`)
    expect(html).toContain('<ins>94\u00a0°C</ins>')
  })
  test('of rounds carries its checks, what is amiss in bold, what was struck through', () => {
    const rounds = entry(2, 'rounds-made', { set: 'after stopping', looked: 14 })
    const check = entry(3, 'check-made', { equipment: 'house-belt', rounds: idOf(2), dust: 'film', wiped: 'not wiped' })
    const wrong = entry(4, 'check-made', { equipment: 'engine', rounds: idOf(2), oilLook: 'dark' })
    const told = view([rounds, check, wrong, entry(5, 'entry-struck', {}, { replaces: idOf(4) })])
    const find = (n: number) => told.timeline.find(idOf(n))!
    const html = String(<EntryLine entry={find(2)} checks={[find(3), find(4)]} view={told} names={names} />)
    expect(heard(html)).toContain(
      'Rounds after stopping, 14 looked at; the house belt, dust film, not wiped; the engine, oil darkK.S..',
    )
    expect(html).toContain('dust <b>film</b>')
    expect(html).toContain('<s>the engine, oil dark</s>')
  })
  test('names the entry that it answers as a way to it', () => {
    const cleared = entry(2, 'defect-cleared', { defect: idOf(7), how: 'New hose.' })
    expect(line([cleared])).toContain(`<a href="/log/${idOf(7)}">the drip</a>. New hose.`)
  })
  test('escapes whatever was typed', () => {
    const typed = `<script>alert("x")</script>' onload='x`
    const html = line([
      entry(2, 'note-written', { text: typed }, { hand: '<b>K</b>' }),
      entry(3, 'note-written', { text: `${typed}!`, why: typed }, { replaces: idOf(2) }),
    ])
    expect(html).not.toMatch(/<script|<b>K/)
    expect(html).toContain('&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt;&#39; onload=&#39;x')
  })
})

describe('A list of entries', () => {
  const note = (n: number, occurredAt: string) => entry(n, 'note-written', { text: `note ${n}` }, { occurredAt })
  const told = view([
    note(2, '2026-06-13T23:30:00+02:00'),
    note(3, '2026-06-13T22:30:00Z'),
    note(4, '2026-06-14T23:59:00+02:00'),
    note(5, '2025-12-31T12:00:00+01:00'),
  ])
  const lines = [4, 3, 2, 5].map((n) => ({ entry: told.timeline.find(idOf(n))! }))
  test("puts each of ship's days under one head, with its place and its year where that is another", () => {
    const html = String(
      <EntryList
        lines={lines}
        view={told}
        names={names}
        placeOf={(day) => (day === '2026-06-14' ? 'Visby' : undefined)}
      />,
    )
    expect([...html.matchAll(/<h3>(.*?)<\/h3>/g)].map((found) => found[1])).toEqual([
      'Sunday 14 June<small>Visby</small>',
      'Saturday 13 June',
      'Wednesday 31 December 2025',
    ])
  })
  test('over months says the day in the margin, and a year that is not this one at its head', () => {
    const html = String(<EntryList lines={lines} view={told} names={names} by="day" />)
    expect([...html.matchAll(/<h3>(.*?)<\/h3>/g)].map((found) => found[1])).toEqual(['2025'])
    expect([...html.matchAll(/<time[^>]*><span><\/span><b>(.*?)<\/b>/g)].map((found) => found[1])).toEqual([
      '14 Jun',
      '14 Jun',
      '13 Jun',
      '31 Dec',
    ])
  })
  test('without entries is the ruled lines that are left blank', () => {
    expect(String(<EntryList lines={[]} view={told} names={names} blank={3} />).match(/entry blank/g)).toHaveLength(3)
  })
})

describe('A tape', () => {
  test('is ruled at round numbers of its unit', () => {
    expect(ticksOf(100, 'h').major).toEqual([0.2, 0.4, 0.6, 0.8])
    expect(ticksOf(150, 'h').major).toEqual([1 / 3, 2 / 3])
    expect(ticksOf(12, 'mo')).toEqual({
      major: [0.25, 0.5, 0.75],
      minor: [1, 2, 4, 5, 7, 8, 10, 11].map((n) => n / 12),
    })
    expect(ticksOf(0, 'h')).toEqual({ major: [], minor: [] })
    for (const every of [1, 7, 50, 125, 250, 1000, 5000, 99999]) {
      const { major, minor } = ticksOf(every, 'h')
      expect(major.length).toBeLessThanOrEqual(8)
      expect(minor.every((share) => share > 0 && share < 1)).toBe(true)
    }
  })
  const used = (share: number) =>
    /class="used"[^>]* width="([\d.]+)%"/.exec(String(<Tape share={share} every={100} unit="h" />))![1]
  test('is inked up to what is used of the part that ends at 80 % of the column', () => {
    expect(used(0.5)).toBe('40')
    expect(used(-0.1)).toBe('0')
    expect(used(1.4)).toBe('80')
  })
  test('is hatched beyond its end, to the edge of the column at most', () => {
    const over = (share: number) =>
      /class="over"[^>]* width="([\d.]+)%"/.exec(String(<Tape share={share} every={100} unit="h" />))?.[1]
    expect(over(0.99)).toBeUndefined()
    expect(over(1.1)).toBe('8')
    expect(over(9)).toBe('20')
  })
})

describe('A spread', () => {
  const scale = monthScale('2026-06-14')
  test('places days by month, each of the same width', () => {
    expect(placeOn(scale, '2026-06-01')).toBe(0)
    expect(placeOn(scale, '2026-07-01')).toBeCloseTo(1 / 7, 12)
    expect(placeOn(scale, '2027-01-01')).toBeCloseTo(1, 12)
    expect(placeOn(scale, '2026-06-16')).toBeCloseTo(0.5 / 7, 12)
  })
  test('names its months across the turn of the year', () => {
    expect(
      [...String(<SpreadScale scale={monthScale('2026-11-30', 3)} />).matchAll(/>(\w{3})</g)].map((m) => m[1]),
    ).toEqual(['Nov', 'Dec', 'Jan'])
  })
  test('draws today always, and a forecast only where it lies in the months shown', () => {
    const drawn = (html: unknown) =>
      [...String(html).matchAll(/class="(today|range|end|likely)"/g)].map((found) => found[1])
    expect(drawn(<Spread scale={scale} />)).toEqual(['today'])
    expect(drawn(<Spread scale={scale} likely="2026-08-14" early="2026-07-22" late="2026-10-03" />)).toEqual([
      'today',
      'range',
      'end',
      'end',
      'likely',
    ])
    expect(drawn(<Spread scale={scale} likely="2026-08-14" early="2026-07-22" late="2027-10-03" />)).toEqual([
      'today',
      'range',
      'end',
      'likely',
    ])
    expect(drawn(<Spread scale={scale} likely="2028-08-14" early={null} late={null} />)).toEqual(['today'])
  })
})

const outputChart: ChartSpec = {
  size: 'medium',
  x: { from: 1100, to: 1280, step: 20 },
  y: { from: 80, to: 110, step: 10 },
  marks: [
    { kind: 'band', edges: [[1100, 95, 105]], name: `"healthy" <band> & 'all'` },
    { kind: 'services', at: [{ x: 1163.5, word: 'retensioned' }] },
    {
      kind: 'points',
      at: [
        { x: 1104, y: 101, to: '/log/1' },
        { x: 1109, y: null },
        { x: 1234, y: 93, ring: true },
      ],
    },
  ],
}

describe('A chart', () => {
  const spec = (html: string) =>
    JSON.parse(
      /data-spec="([^"]*)"/
        .exec(html)![1]!
        .replace(/&quot;/g, '"')
        .replace(/&lt;/g, '<')
        .replace(/&gt;/g, '>')
        .replace(/&#39;/g, "'")
        .replace(/&amp;/g, '&'),
    )
  const html = String(
    <Chart
      spec={outputChart}
      title="Output"
      axes="%, by engine hours"
      label="Output falls"
      table={{ head: ['Hours', 'Output'], rows: [['1 104 h', '101 %']] }}
    />,
  )
  test('carries the whole of what is to be drawn in an attribute', () => {
    expect(spec(html)).toEqual(outputChart)
    expect(html).not.toContain('<band>')
  })
  test('has its finding for those who hear it, and its numbers as a table', () => {
    expect(html).toContain('role="img" aria-label="Output falls"')
    expect(html).toContain('<th scope="row">1 104 h</th><td class="num">101 %</td>')
  })
  test('explains the marks that it has, and no others', () => {
    const keyed = (one: string) => [...one.matchAll(/<i class="k-(\w+)"/g)].map((found) => found[1])
    expect(keyed(html)).toEqual(['point', 'band', 'service', 'ring'])
    expect(keyed(String(<Chart spec={outputChart} axes="x" label="x" keyed={false} />))).toEqual([])
    expect(keyed(String(<Chart spec={outputChart} axes="x" label="x" words={{ service: '' }} />))).toEqual([
      'point',
      'band',
      'ring',
    ])
  })
})

describe('Fields', () => {
  test('keep what was typed, name why it was refused, and tie both to the box', () => {
    const html = String(
      <Field
        name="coolant"
        label="Coolant"
        value={'18"2'}
        unit="°C"
        refusal="Coolant: got 182."
        help="Off the gauge."
      />,
    )
    expect(html).toContain('<label for="f-coolant">Coolant</label>')
    expect(html).toContain('value="18&quot;2"')
    expect(html).toContain('aria-invalid="true"')
    expect(html).toContain('aria-describedby="f-coolant-refusal f-coolant-help"')
    expect(html).toContain('<p class="refusal" id="f-coolant-refusal">Coolant: got 182.</p>')
  })
  test('offer several units as radios with the chosen one checked', () => {
    const options = [
      { value: 'Cel', word: '°C' },
      { value: '[degF]', word: '°F' },
    ]
    const html = String(
      <Field name="coolant" label="Coolant" unit={{ name: 'coolant.unit', chosen: '[degF]', options }} />,
    )
    expect(html).toMatch(/<input type="radio" name="coolant.unit" value="\[degF\]" checked=""\/>/)
    expect(html).not.toMatch(/value="Cel" checked/)
  })
  test('of several lines hold their text without a leading break', () => {
    expect(String(<Field name="note" label="Note" long value={'a\n<b>'} />)).toContain('>a\n&lt;b&gt;</textarea>')
  })
  test('of choices are radios with the value chosen, and a way to say nothing where that is allowed', () => {
    const options = ['bulk', 'float'].map((value) => ({ value, word: value }))
    const html = String(<Choice name="stage" label="Stage" options={options} none="not said" />)
    expect(html).toContain('<input type="radio" name="stage" value="" checked=""/>')
    expect(String(<Choice name="stage" label="Stage" options={options} value="float" />)).not.toContain('value=""')
  })
  test('of several choices are ticks', () => {
    const options = ['a', 'b', 'c'].map((value) => ({ value, word: value }))
    const html = String(<Choice name="which" label="Which" options={options} value="a,c" several />)
    expect([...html.matchAll(/value="(\w)" checked/g)].map((found) => found[1])).toEqual(['a', 'c'])
  })
})

describe('A sheet', () => {
  const sheet = (over: Partial<View> = {}, page = '/log') => (
    <Sheet view={view([], over)} title="Log" page={page} stand={[{ label: 'Entries', value: '47', small: 'of 1 386' }]}>
      <p>body</p>
    </Sheet>
  )
  test('is a whole document with the ship, the title, the form line and the open tab', () => {
    const html = String(sheet())
    expect(html).toMatch(/^<!doctype html><html lang="en" data-sheet="day">/)
    expect(html).toContain('<title>Log: Tirvane, Fettlebook</title>')
    expect(html).toContain('<a href="/log" aria-current="page">Log</a>')
    expect(html.match(/aria-current/g)).toHaveLength(1)
    expect(heard(html)).toContain('Entries47 of 1 386')
  })
  test('of a boat without a name says so', () => {
    expect(String(sheet({ settings: {} }))).toContain('<b>No name yet</b>')
    expect(String(sheet({ settings: {} }))).toContain('<title>Log: Fettlebook</title>')
  })
  test('of a page without a tab marks the Index as where it is found', () => {
    expect(String(sheet({}, '/write'))).toContain('<a href="/index" class="holds-open">Index</a>')
    expect(String(sheet())).not.toContain('holds-open')
  })
  test('says plainly which past it shows, keeps it in its links and leads back to now', () => {
    const asOf = Date.parse('2026-06-01T10:00:00Z')
    const html = String(
      sheet({ past: { asOf, asKnown: asOf + 86_400_000 }, keep: 'as-of=2026-06-01', here: '/log?kind=note-written' }),
    )
    expect(heard(html)).toContain(
      'As it was on Mon 1 Jun 2026, 12.00, as we knew it on Tue 2 Jun 2026, 12.00. Nothing later is on this page. Back to now',
    )
    expect(html).toContain('<a href="/log?kind=note-written">Back to now</a>')
    expect(html).toContain('<a href="/due?as-of=2026-06-01">Due</a>')
    expect(html).toContain('<input type="hidden" name="kind" value="note-written"/>')
    expect(html).toContain('value="2026-06-01T12:00:00+02:00"')
    expect(heard(sheet({ past: { asKnown: asOf } }))).toContain('As we knew it on Mon 1 Jun 2026, 12.00.')
    expect(heard(sheet({ past: { asOf } }))).toContain('As it was on Mon 1 Jun 2026, 12.00, as we know it now.')
  })
  test('of the sample boat says that it is one, and where its clock stands', () => {
    expect(heard(sheet({ pinned: true }))).toContain(
      'Sample boat: a scratch copy, its clock stands at Sun 14 Jun 2026, 19.42.',
    )
    expect(heard(sheet())).not.toContain('Sample boat')
  })
  test('says how many entries could not be read', () => {
    expect(heard(sheet({ unread: 3 }))).toContain('3 entries could not be read and are missing from this page.')
    expect(heard(sheet({ unread: 1 }))).toContain('1 entry could not be read and is missing from this page.')
  })
  test('turns to the other sheet by a form that posts, and comes back to the page in its past', () => {
    const html = String(sheet({ sheet: 'night', keep: 'as-of=2026-06-01' }))
    expect(html).toContain('data-sheet="night"')
    expect(html).toMatch(
      /<form class="night" method="post" action="\/sheet">.*name="to" value="day".*name="back" value="\/log\?as-of=2026-06-01"/,
    )
  })
})

test('nothing that is made here carries a style or a script of its own', () => {
  const told = view([entry(2, 'note-written', { text: 'x' })], {
    pinned: true,
    unread: 2,
    past: { asOf: 1_780_000_000_000 },
  })
  const everything = (
    <Sheet view={told} title="All" page="/" stand={[{ label: 'a', value: 'b' }]}>
      <Want word="Sign" how="likely" mark lead="lead">
        x
      </Want>
      <Problem title="No" problems={[{ field: 'a', problem: 'b' }, 'c']} kept="kept" />
      <Caution first="First." then="Then." tail="See the maker's manual." />
      <TapeScale />
      <Tape share={1.1} every={100} unit="h" />
      <SpreadScale scale={monthScale('2026-06-14')} />
      <Spread scale={monthScale('2026-06-14')} likely="2026-08-14" early="2026-07-22" late="2026-10-03" />
      <Field name="a" label="a" list={['x']} long />
      <Choice
        name="b"
        label="b"
        options={[{ value: 'film', word: 'film', says: 'seen' }]}
        grades
        swatch={(value) => value}
      />
      <Buttons first="Write" />
      <Chart spec={outputChart} axes="x" label="x" />
      <EntryList lines={told.timeline.all.map((one) => ({ entry: one }))} view={told} names={names} />
    </Sheet>
  )
  const tags = [...String(everything).matchAll(/<[a-z][^>]*>/gi)].map((found) => found[0])
  expect(tags.length).toBeGreaterThan(100)
  expect(tags.filter((tag) => /\s(style|on[a-z]+|hx-on[^=]*)\s*=/i.test(tag))).toEqual([])
  expect(tags.filter((tag) => /^<script/.test(tag) && !/ src="\/static\//.test(tag))).toEqual([])
  expect(String(everything)).not.toMatch(/<style|javascript:|https?:/i)
})
