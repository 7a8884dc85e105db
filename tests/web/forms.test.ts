import { expect, test } from 'vitest'
import { kinds } from '../../events/index.ts'
import { openLog } from '../../events/log.ts'
import { createApp } from '../../server/app.tsx'
import { openBook } from '../../server/book.ts'
import { boxesOf, fieldsOf, parseForm, type Reading } from '../../web/form/fields.ts'
import { readNumber } from '../../web/form/number.ts'
import { Typed } from '../../web/form/typed.ts'
import { pages } from '../../web/pages/index.ts'
import { aboard, boat, boxesIn, draft, refusalAt } from './form-pages.ts'

const moment = '2026-06-14T19:42:00+02:00'

test.each([
  ['1243.6', 1243.6],
  ['1243,6', 1243.6],
  ['1 243,6', 1243.6],
  ['1\u202f243.6', 1243.6],
  ['2 200', 2200],
  ['0,125', 0.125],
  ['12.6250', 12.625],
  ['-0.9', -0.9],
  ['\u22120,9', -0.9],
  ['.5', 0.5],
  ['12.', 12],
])('the figure %s is read as %d', (typed, value) => {
  expect(readNumber(typed, 'Hours')).toEqual({ ok: true, value })
})

test.each([
  ['1.234,5', 'one decimal sign'],
  ['1,234.5', 'one decimal sign'],
  ['1.234.567', 'one decimal sign'],
  ['2,200', 'write 2200, or 2.2000'],
  ['2.200', 'write 2200, or 2.2000'],
  ['12 34', 'a number alone'],
  ['about 12', 'a number alone'],
  ['1e3', 'a number alone'],
  ['NaN', 'a number alone'],
  ['Infinity', 'a number alone'],
  ['0x10', 'a number alone'],
  ['-', 'a number alone'],
])('the figure %s is questioned, never guessed', (typed, expected) => {
  const read = readNumber(typed, 'Hours')
  expect(read.ok).toBe(false)
  expect(read.ok ? '' : read.problem).toContain(`Hours: got "${typed}"`)
  expect(read.ok ? '' : read.problem).toContain(expected)
})

const reading = (): Reading => ({
  zoneAt: () => 'Europe/Stockholm',
  now: Date.parse('2026-06-14T17:42:00Z'),
  settings: {},
  register: { equipment: new Map(), meters: new Map(), tasks: new Map() },
})

const formKinds = kinds.filter((kind) => kind.type !== 'entry-struck')

test.each(
  formKinds.flatMap((kind) => kind.examples.map((example, index) => [kind.type, index, kind, example.data] as const)),
)('the boxes of %s, example %d, filled in and read back give the same data', (_type, _index, kind, data) => {
  const typed = new Typed(
    Object.entries({
      ...boxesOf(kind, data as Record<string, unknown>),
      'when.date': '14 Jun 2026',
      'when.time': '19.42',
      'entry.hand': 'K.S.',
    }),
  )
  expect(parseForm(kind, typed, reading())).toEqual({
    ok: true,
    occurredAt: moment,
    at: Date.parse(moment),
    hand: 'K.S.',
    data,
  })
})

test('every field of every kind has a box on its form', async () => {
  const ship = aboard()
  for (const kind of formKinds) {
    const specs = fieldsOf(kind)
    const needed = kind.type === 'equipment-fitted' ? '?kind=' : '?equipment='
    const asks = specs.filter((spec) => !['confirmed', 'why', 'rounds'].includes(spec.name))
    const drawn = new Set<string>()
    // A field that makes sense for some equipment only is on the form of that equipment.
    const about =
      kind.type === 'equipment-fitted'
        ? [...new Set(asks.flatMap((spec) => spec.meta.only ?? ['boat']))]
        : ['engine', 'house-belt', 'raw-pump', 'house-bank', 'bilge-pump', 'pre-filter', 'fuel-tank', 'boat']
    const defect = kind.type === 'defect-cleared' ? '&defect=0190c5a0-0000-7000-8000-000000000001' : ''
    for (const one of about) {
      const { html, status } = await ship.open(`/write/${kind.type}${needed}${encodeURIComponent(one)}${defect}`)
      expect(status).toBe(200)
      for (const [, name] of html.matchAll(/\sname="([^"]+)"/g)) drawn.add(name!)
      for (const [, id] of html.matchAll(/\sid="f-([^"]+)"/g)) drawn.add(id!)
    }
    // Anodes and saildrives are not aboard this boat.
    const missing = asks.map((spec) => spec.name).filter((name) => !drawn.has(name) && name !== 'anodeLeft')
    expect({ kind: kind.type, missing }).toEqual({ kind: kind.type, missing: [] })
  }
})

test('what is typed into a schema-made form is written, and the page that follows offers to strike it', async () => {
  const ship = aboard()
  const answer = await ship.fill('/write/defect-found?equipment=heater-hose', {
    what: 'drip under the return',
    matters: 'some',
  })
  expect(answer.status).toBe(303)
  const [entry] = ship.written()
  expect(entry).toMatchObject({
    type: 'defect-found',
    occurredAt: moment,
    hand: 'K.S.',
    source: 'form',
    replaces: null,
    data: { equipment: 'heater-hose', what: 'drip under the return', matters: 'some' },
  })
  expect(answer.to).toBe(`/?written=${entry!.id}`)
  const after = await ship.open(answer.to)
  expect(after.html).toContain('drip under the return')
  const undone = await ship.post('/write/back', after.boxes)
  expect(undone.status).toBe(303)
  expect(ship.book.timeline().find(entry!.id)?.struck).not.toBeNull()
  const revived = await ship.post('/write/back', (await ship.open(undone.to)).boxes)
  expect(revived.status).toBe(303)
  expect(ship.book.timeline().find(entry!.id)?.struck).toBeNull()
})

test('a form leads back to the page it was opened from, and never to another site', async () => {
  const ship = aboard()
  const from = async (path: string, headers?: Record<string, string>) =>
    (await ship.open(path, headers)).boxes['entry.from']
  expect(
    await from('/write/note-written', { Referer: 'http://localhost/due?as-of=2026-06-01', Host: 'localhost' }),
  ).toBe('/due?as-of=2026-06-01')
  expect(await from('/write/note-written?from=/equipment')).toBe('/equipment')
  expect(await from('/write/note-written?from=//evil.example/x')).toBe('/')
  const form = await ship.open('/write/note-written')
  const answer = await ship.post('/write/note-written', {
    ...form.boxes,
    'entry.hand': 'K.S.',
    'entry.from': 'https://evil.example/',
    text: 'x',
  })
  expect(answer.to).toMatch(/^\/\?written=/)
})

test('a refused form keeps everything that was typed, says what was got and expected beneath the box, and writes nothing', async () => {
  const ship = aboard()
  const typed = {
    hours: '1.234,5',
    speed: 'fast',
    coolant: '82',
    'coolant.unit': 'K',
    volts: '14,1',
    stage: 'bulk',
    note: 'two\r\nlines <b>',
    'when.date': '31.2.2026',
    'when.time': '25.10',
    'entry.hand': '',
  }
  const answer = await ship.fill('/write/readings', typed)
  expect(answer.status).toBe(422)
  expect(ship.written()).toEqual([])
  expect(refusalAt(answer.html, 'hours')).toContain('got "1.234,5", expected one decimal sign')
  expect(refusalAt(answer.html, 'speed')).toContain('got "fast"')
  expect(refusalAt(answer.html, 'coolant')).toContain('got the unit "K", expected °C, °F')
  expect(refusalAt(answer.html, 'when.date')).toContain('got "31.2.2026", which is no day of the calendar')
  expect(refusalAt(answer.html, 'entry.hand')).toContain('initials')
  expect(refusalAt(answer.html, 'volts')).toBeUndefined()
  const { 'entry.hand': hand, ...kept } = boxesIn(answer.html)
  expect(hand).toBe('')
  expect(kept).toMatchObject({
    hours: '1.234,5',
    speed: 'fast',
    coolant: '82',
    'coolant.unit': 'K',
    volts: '14,1',
    stage: 'bulk',
    note: 'two\r\nlines <b>',
  })
  expect(answer.html).toMatch(/aria-invalid="true"[^>]*name="hours"|name="hours"[^>]*aria-invalid="true"/)
  const mended = await ship.post('/write/readings', {
    ...kept,
    hours: '1240.1',
    speed: '2200',
    'coolant.unit': 'F',
    coolant: '178',
    'when.date': 'yesterday',
    'when.time': '1810',
    'entry.hand': 'I.B.',
  })
  expect(mended.status).toBe(303)
  expect(ship.written()[0]).toMatchObject({
    occurredAt: '2026-06-13T18:10:00+02:00',
    hand: 'I.B.',
    data: {
      equipment: 'engine',
      hours: { value: 1240.1, unit: 'h' },
      speed: { value: 2200, unit: '/min' },
      volts: { value: 14.1, unit: 'V' },
      coolant: { value: 178, unit: '[degF]' },
      stage: 'bulk',
      note: 'two\nlines <b>',
    },
  })
})

test('everything typed is escaped, in the form that is refused and on the pages that follow', async () => {
  const ship = aboard()
  const evil = '"><script>alert(1)</script>'
  const refused = await ship.fill('/write/note-written', {
    text: evil,
    equipment: evil,
    'when.time': evil,
    'entry.hand': evil,
  })
  expect(refused.status).toBe(422)
  expect(refused.html).not.toContain('<script>alert')
  expect(boxesIn(refused.html)).toMatchObject({ text: evil, equipment: evil, 'when.time': evil, 'entry.hand': evil })
  const asked = await ship.open(`/write/note-written?text=${encodeURIComponent(evil)}`)
  expect(asked.html).not.toContain('<script>alert')
  const answer = await ship.fill('/write/note-written', { text: evil, 'entry.hand': '<i>K' })
  for (const path of [answer.to, `/log/${ship.written()[0]!.id}`]) {
    const { html } = await ship.open(path)
    expect(html).not.toContain('<script>alert')
    expect(html).not.toContain('<i>K')
    expect(html).toContain('&lt;script&gt;alert(1)')
  }
})

test('the same form posted twice writes once; gone back to and changed it is refused and keeps what was typed', async () => {
  const ship = aboard()
  const form = await ship.open('/write/note-written')
  const boxes = { ...form.boxes, 'entry.hand': 'K.S.', text: 'Whines above 2000 rpm.' }
  const first = await ship.post('/write/note-written', boxes)
  const second = await ship.post('/write/note-written', boxes)
  expect(second).toMatchObject({ status: 303, to: first.to })
  expect(ship.written()).toHaveLength(1)
  const changed = await ship.post('/write/note-written', { ...boxes, text: 'Another thing.' })
  expect(changed.status).toBe(409)
  expect(changed.html).toContain('written already')
  expect(ship.written()).toHaveLength(1)
  const again = boxesIn(changed.html)
  expect(again.text).toBe('Another thing.')
  expect((await ship.post('/write/note-written', again)).status).toBe(303)
  expect(ship.written().map(({ data }) => (data as { text: string }).text)).toEqual([
    'Whines above 2000 rpm.',
    'Another thing.',
  ])
})

test('a double post is written once though the server was started anew in between', async () => {
  const ship = aboard()
  const form = await ship.open('/write/hours')
  const boxes = { ...form.boxes, 'entry.hand': 'K.S.', 'hours/engine-hours/reading': '1243,6' }
  await ship.post('/write/hours', boxes)
  const { file } = ship.book.log
  ship.book.log.close()
  const book = openBook(openLog(file), ship.book.now)
  const answer = await createApp(book, pages).request('/write/hours', {
    method: 'POST',
    body: new URLSearchParams(boxes),
  })
  expect(answer.status).toBe(303)
  expect(book.read().entries).toHaveLength(boat.length + 1)
})

test('the initials stick to the device', async () => {
  const ship = aboard()
  expect((await ship.open('/write/hours')).boxes['entry.hand']).toBe('')
  await ship.fill('/write/note-written', { text: 'x', 'entry.hand': 'I.B.' })
  expect((await ship.open('/write/hours')).boxes['entry.hand']).toBe('I.B.')
})

test('an empty time means that only the day is known', async () => {
  const ship = aboard()
  await ship.fill('/write/note-written', { text: 'x', 'when.time': '', 'when.date': '2026-06-01' })
  expect(ship.written()[0]!.occurredAt).toBe('2026-06-01')
})

test.each([
  ['14/6/2026', 'the month as a word'],
  ['14 Foo 2026', 'expected a day'],
  ['', 'expected a day'],
  ['2026-02-30', 'no day of the calendar'],
  ['2030-01-01', 'ahead'],
])('the day "%s" is refused', async (day, expected) => {
  const ship = aboard()
  const answer = await ship.fill('/write/note-written', { text: 'x', 'when.date': day })
  expect(answer.status).toBe(422)
  expect(refusalAt(answer.html, 'when.date')).toContain(expected)
  expect(ship.written()).toEqual([])
})

test('an hour that the clock skipped in spring is questioned', async () => {
  const ship = aboard()
  const answer = await ship.fill('/write/note-written', { text: 'x', 'when.date': '29 Mar 2026', 'when.time': '2.30' })
  expect(answer.status).toBe(422)
  expect(refusalAt(answer.html, 'when.time')).toContain('the clock skipped')
  expect(ship.written()).toEqual([])
})

test('an hour that the clock showed twice in autumn is asked about, and the answer is kept', async () => {
  for (const [turn, occurredAt] of [
    ['first', '2025-10-26T02:30:00+02:00'],
    ['second', '2025-10-26T02:30:00+01:00'],
  ] as const) {
    const ship = aboard()
    const asked = await ship.fill('/write/note-written', {
      text: 'x',
      'when.date': '26 Oct 2025',
      'when.time': '02:30',
    })
    expect(asked.status).toBe(422)
    expect(refusalAt(asked.html, 'when.turn')).toContain('twice')
    const answer = await ship.post('/write/note-written', { ...boxesIn(asked.html), 'when.turn': turn })
    expect(answer.status).toBe(303)
    expect(ship.written()[0]!.occurredAt).toBe(occurredAt)
  }
})

test("a time is read in the ship's time of that day, not of now", async () => {
  const ship = aboard([...boat, draft('book-set', { zone: 'Europe/Helsinki' }, '2026-06-10T12:00:00+03:00')])
  await ship.fill('/write/note-written', { text: 'before', 'when.date': '9 Jun 2026', 'when.time': '12.00' })
  await ship.fill('/write/note-written', { text: 'after', 'when.date': '11 Jun 2026', 'when.time': '12.00' })
  expect(ship.written().map((entry) => entry.occurredAt)).toEqual([
    '2026-06-09T12:00:00+02:00',
    '2026-06-11T12:00:00+03:00',
  ])
})

test('equipment that is typed by its name is found by its handle; an unknown one is refused with what there is', async () => {
  const ship = aboard()
  await ship.fill('/write/note-written', { text: 'x', equipment: 'house alternator BELT' })
  expect(ship.written()[0]!.data).toEqual({ text: 'x', equipment: 'house-belt' })
  const answer = await ship.fill('/write/note-written', { text: 'x', equipment: 'windlass' })
  expect(answer.status).toBe(422)
  expect(refusalAt(answer.html, 'equipment')).toContain('which this book does not know')
  expect(boxesIn(answer.html).equipment).toBe('windlass')
})

test('hours that run backwards are questioned in place, and kept as looked at twice when they are confirmed', async () => {
  const ship = aboard()
  const box = 'hours/engine-hours/reading'
  const asked = await ship.fill('/write/hours', { [box]: '1218.2' })
  expect(asked.status).toBe(422)
  expect(refusalAt(asked.html, box)).toContain('backwards')
  expect(ship.written()).toEqual([])
  // A tick that was about another figure does not confirm this one.
  const ticked = { ...boxesIn(asked.html), 'hours/engine-hours/confirmed': 'yes' }
  const other = await ship.post('/write/hours', { ...ticked, [box]: '1208.2' })
  expect(other.status).toBe(422)
  const kept = await ship.post('/write/hours', ticked)
  expect(kept.status).toBe(303)
  expect(ship.written()).toHaveLength(1)
  expect(ship.written()[0]!.data).toEqual({
    meter: 'engine-hours',
    reading: { value: 1218.2, unit: 'h' },
    confirmed: true,
  })
})

test('400 h in two days are questioned on every form that takes hours', async () => {
  const ship = aboard()
  for (const [path, box, more] of [
    ['/write/hours', 'hours/engine-hours/reading', {}],
    ['/write/engine', 'hours', {}],
    ['/write/readings', 'hours', {}],
    ['/write/service?equipment=engine', 'hours', { work: 'oil changed' }],
    ['/write/passage?act=end', 'hours/engine-hours/reading', { at: 'Visby' }],
    ['/write/engine-stopped?equipment=engine', 'hours', {}],
  ] as const) {
    const asked = await ship.fill(path, { ...more, [box]: '1638.2' })
    expect([path, asked.status]).toEqual([path, 422])
    expect(refusalAt(asked.html, box)).toContain('by the clock')
    expect(ship.written()).toEqual([])
  }
})

test('a confirmed figure stays confirmed while something else in the form is mended', async () => {
  const ship = aboard()
  const asked = await ship.fill('/write/readings', { hours: '1638.2' })
  const wrong = await ship.post('/write/readings', { ...boxesIn(asked.html), confirmed: 'yes', 'when.date': 'never' })
  expect(wrong.status).toBe(422)
  const kept = await ship.post('/write/readings', { ...boxesIn(wrong.html), 'when.date': '14 Jun 2026' })
  expect(kept.status).toBe(303)
  expect(ship.written()[0]!.data).toMatchObject({ confirmed: true })
})

test('a passage begins where she lay and ends with the hours of every engine in one batch', async () => {
  const ship = aboard([
    ...boat,
    draft('meter-fitted', {
      meter: 'other-hours',
      name: 'Generator hours',
      equipment: 'fuel-tank',
      counts: 'hours',
      kind: 'ignition on',
      reading: 10,
    }),
    draft('passage-ended', { at: 'Kuressaare' }, '2026-06-10T12:00:00+02:00'),
  ])
  const begin = await ship.open('/write/passage')
  expect(begin.boxes).toMatchObject({ act: 'begin', from: 'Kuressaare' })
  await ship.fill('/write/passage', { to: 'Visby', distanceLog: '6 386', 'when.time': '11.02' })
  const end = await ship.open('/write/passage')
  expect(end.boxes).toMatchObject({ act: 'end', at: 'Visby' })
  const boxes = {
    ...end.boxes,
    lying: 'alongside',
    distanceLog: '6418',
    fuelUsed: '11',
    'hours/engine-hours/reading': '1243.6',
    'hours/other-hours/reading': '11,5',
  }
  const half = await ship.post('/write/passage', { ...boxes, 'hours/other-hours/reading': 'eleven' })
  expect(half.status).toBe(422)
  expect(ship.written()).toHaveLength(1)
  const answer = await ship.post('/write/passage', boxes)
  expect(answer.status).toBe(303)
  const [begun, ended, first, second] = ship.written()
  expect(begun).toMatchObject({ type: 'passage-begun', data: { from: 'Kuressaare', to: 'Visby' } })
  expect(ended).toMatchObject({
    type: 'passage-ended',
    data: {
      at: 'Visby',
      lying: 'alongside',
      distanceLog: { value: 6418, unit: '[nmi_i]' },
      fuelUsed: { value: 11, unit: 'L' },
    },
  })
  expect([first!.data, second!.data]).toEqual([
    { meter: 'engine-hours', reading: { value: 1243.6, unit: 'h' } },
    { meter: 'other-hours', reading: { value: 11.5, unit: 'h' } },
  ])
  expect(answer.to).toBe(`/?written=${[ended, first, second].map((entry) => entry!.id).join(',')}`)
  await ship.post('/write/passage', boxes)
  expect(ship.written()).toHaveLength(4)
})

test('an engine that runs shows its stop first; start and stop are two entries with purpose and hours', async () => {
  const ship = aboard()
  expect((await ship.open('/write/engine')).boxes.act).toBe('start')
  await ship.fill('/write/engine', { purpose: 'charging', hours: '1238.3', crankingTime: '1,5', 'when.time': '18.00' })
  const running = await ship.open('/write/engine')
  expect(running.boxes.act).toBe('stop')
  expect(running.html).toContain('since 18.00')
  await ship.fill('/write/engine', { hours: '1240' })
  expect(ship.written().map(({ type, data }) => [type, data])).toEqual([
    [
      'engine-started',
      {
        equipment: 'engine',
        purpose: 'charging',
        hours: { value: 1238.3, unit: 'h' },
        crankingTime: { value: 1.5, unit: 's' },
      },
    ],
    ['engine-stopped', { equipment: 'engine', hours: { value: 1240, unit: 'h' } }],
  ])
  expect((await ship.open('/write/engine')).boxes.act).toBe('start')
})

test('several works of one service are as many entries; parts and cost are kept once, the old part with the work that took it out', async () => {
  const ship = aboard()
  const form = await ship.open('/write/service?equipment=engine&task=engine-oil')
  expect(form.boxes.work).toBe('oil and filter changed')
  expect(form.html).toContain('Let her cool')
  const answer = await ship.post('/write/service', {
    ...form.boxes,
    'entry.hand': 'K.S.',
    work: ['inspected', 'oil and filter changed', 'air filter renewed'],
    hours: '1238.2',
    by: 'own hands',
    condition: 'worn',
    parts: 'oil 6.5 L, filter',
    cost: '84,50',
  })
  expect(answer.status).toBe(303)
  const common = { equipment: 'engine', hours: { value: 1238.2, unit: 'h' }, by: 'own hands' }
  expect(ship.written().map(({ data }) => data)).toEqual([
    { ...common, work: 'inspected', parts: 'oil 6.5 L, filter', cost: { value: 84.5, unit: 'EUR' } },
    { ...common, work: 'oil and filter changed', condition: 'worn' },
    { ...common, work: 'air filter renewed', condition: 'worn' },
  ])
})

test('a service without a work, or with one that is not done to such equipment, is refused', async () => {
  const ship = aboard()
  const none = await ship.fill('/write/service?equipment=house-belt', { slipTorqueLeft: '24' })
  expect(none.status).toBe(422)
  expect(refusalAt(none.html, 'work')).toContain('got none')
  expect(boxesIn(none.html).slipTorqueLeft).toBe('24')
  const foreign = await ship.fill('/write/service?equipment=house-belt', { work: 'impeller renewed' })
  expect(refusalAt(foreign.html, 'work')).toContain('got "impeller renewed", expected works of a belt')
  expect(ship.written()).toEqual([])
})

test('hours without a single reading are refused, and readings without one too', async () => {
  const ship = aboard()
  expect((await ship.fill('/write/hours', {})).status).toBe(422)
  expect((await ship.fill('/write/readings', {})).status).toBe(422)
  expect(ship.written()).toEqual([])
})

test('rounds list the checks of what is aboard, in order, each with its caution', async () => {
  const ship = aboard()
  const { html } = await ship.open('/rounds/after-stopping')
  const titles = [...html.matchAll(/class="what">([^<]*)</g)].map(([, title]) => title)
  expect(titles).toEqual([
    'Under the main engine',
    'Raw-water strainer',
    'Main engine: coolant',
    'Main engine: oil, dipstick',
    'House alternator belt: dust',
    'House alternator belt: tension',
    'Heater return hose',
    'Main engine: exhaust elbow and hose',
    'Fuel pre-filter: bowl',
    'Stern gland',
    'Engine seacock',
    'Bilge: bilge pump',
  ])
  expect(html).toContain('Cap off only when she is cold')
  expect(html).toContain('fingers stay out of the run of the belt')
  expect((await ship.open('/rounds/before-starting')).html).toContain('House bank: rest volts')
  expect((await ship.open('/rounds/running')).html).toContain('raw water at the exhaust')
  expect((await ship.open('/rounds/never')).status).toBe(404)
})

test('rounds write themselves and every check that was graded, and the checks name them', async () => {
  const ship = aboard()
  const form = await ship.open('/rounds/after-stopping')
  const next = await ship.post('/rounds/after-stopping', {
    ...form.boxes,
    'entry.hand': 'K.S.',
    'check/under/engine/found': 'normal',
    open: 'check/strainer/raw-strainer',
  })
  expect(next.status).toBe(200)
  expect(ship.written()).toEqual([])
  expect(next.html).toContain('1 of 12')
  const boxes: Record<string, string> = {
    ...boxesIn(next.html),
    'check/dust/house-belt/dust': 'film',
    'check/dust/house-belt/wiped': 'not wiped',
    'check/oil/engine/dipstick': '80',
    'check/oil/engine/dipstickAfter': 'waited',
    'check/hose/heater-hose/note': 'wire holds',
    asUsual: 'all as usual',
  }
  expect(boxes['check/under/engine/found']).toBe('normal')
  const refused = await ship.post('/rounds/after-stopping', { ...boxes, 'check/oil/engine/dipstick': 'half' })
  expect(refused.status).toBe(422)
  expect(refusalAt(refused.html, 'check/oil/engine/dipstick')).toContain('got "half"')
  expect(ship.written()).toEqual([])
  const answer = await ship.post('/rounds/after-stopping', boxes)
  expect(answer.status).toBe(303)
  const [rounds, ...checks] = ship.written()
  expect(rounds).toMatchObject({
    type: 'rounds-made',
    data: { set: 'after stopping', equipment: 'engine', looked: 12, asUsual: 'all as usual' },
  })
  expect(checks.map(({ data }) => data)).toEqual([
    { equipment: 'engine', rounds: rounds!.id, part: 'under it', found: 'normal' },
    {
      equipment: 'engine',
      rounds: rounds!.id,
      dipstick: { value: 80, unit: '%' },
      dipstickAfter: 'waited',
    },
    { equipment: 'house-belt', rounds: rounds!.id, dust: 'film', wiped: 'not wiped' },
    { equipment: 'heater-hose', rounds: rounds!.id, note: 'wire holds' },
  ])
  await ship.post('/rounds/after-stopping', boxes)
  expect(ship.written()).toHaveLength(5)
  const undone = await ship.post('/write/back', (await ship.open(answer.to)).boxes)
  expect(undone.status).toBe(303)
  expect(
    ship
      .written()
      .slice(0, 5)
      .every(({ id }) => ship.book.timeline().find(id)?.struck),
  ).toBe(true)
})

test('rounds in which nothing was looked at and nothing said are refused', async () => {
  const ship = aboard()
  const answer = await ship.fill('/rounds/running', {})
  expect(answer.status).toBe(422)
  expect(ship.written()).toEqual([])
})

test('an entry is amended with the same form, its reason kept; a time left alone keeps its seconds', async () => {
  const ship = aboard([...boat, draft('note-written', { text: 'Whines above 2000 rpm.' }, '2026-06-13T16:31:27+02:00')])
  const { id } = ship.book.read().entries.at(-1)!
  const form = await ship.open(`/log/${id}/amend`)
  expect(form.boxes).toMatchObject({ text: 'Whines above 2000 rpm.', 'when.date': '13 Jun 2026', 'when.time': '16.31' })
  const nothing = await ship.post(`/log/${id}/amend`, { ...form.boxes, 'entry.hand': 'K.S.' })
  expect(nothing.status).toBe(422)
  const answer = await ship.post(`/log/${id}/amend`, {
    ...form.boxes,
    'entry.hand': 'I.B.',
    text: 'Whines above 2200 rpm.',
    why: 'Read again.',
  })
  expect(answer.status).toBe(303)
  expect(answer.to).toMatch(new RegExp(`^/log/${id}\\?written=`))
  expect(ship.written()).toHaveLength(1)
  expect(ship.written()[0]).toMatchObject({
    type: 'note-written',
    replaces: id,
    hand: 'I.B.',
    occurredAt: '2026-06-13T16:31:27+02:00',
    data: { text: 'Whines above 2200 rpm.', why: 'Read again.' },
  })
  const page = await ship.open(answer.to)
  expect(page.html).toContain('As it was before')
  expect(page.html).toContain('Read again.')
  // The reason of one amendment is not the reason of the next.
  expect((await ship.open(`/log/${id}/amend`)).boxes.why).toBe('')
  await ship.post('/write/back', page.boxes)
  const fair = ship.book.timeline().find(id)!
  expect(fair.struck).toBeNull()
  expect(fair.versions).toHaveLength(3)
  expect(fair.told.data).toMatchObject({ text: 'Whines above 2000 rpm.' })
})

test('a mistyped reading is amended without being questioned against itself', async () => {
  const ship = aboard([
    ...boat,
    draft(
      'hours-read',
      { meter: 'engine-hours', reading: { value: 1283.2, unit: 'h' }, confirmed: true },
      '2026-06-13T20:15:00+02:00',
    ),
  ])
  const { id } = ship.book.read().entries.at(-1)!
  const form = await ship.open(`/log/${id}/amend`)
  const answer = await ship.post(`/log/${id}/amend`, { ...form.boxes, 'entry.hand': 'K.S.', reading: '1238.9' })
  expect(answer.status).toBe(303)
  expect(ship.written()[0]!.data).toEqual({ meter: 'engine-hours', reading: { value: 1238.9, unit: 'h' } })
})

test('an entry about the wrong equipment is amended to the right one', async () => {
  const ship = aboard()
  await ship.fill('/write/service?equipment=engine', { work: 'oil changed', note: 'Dark.' })
  const { id } = ship.written()[0]!
  const form = await ship.open(`/log/${id}/amend`)
  expect(form.html).toContain(`/log/${id}/amend?equipment=`)
  const list = await ship.open(`/log/${id}/amend?equipment=`)
  expect(list.html).toContain(`/log/${id}/amend?equipment=raw-pump`)
  const other = await ship.open(`/log/${id}/amend?equipment=raw-pump`)
  expect(other.boxes.note).toBe('Dark.')
  const answer = await ship.post(`/log/${id}/amend`, { ...other.boxes, work: 'impeller renewed' })
  expect(answer.status).toBe(303)
  expect(ship.book.timeline().find(id)!.told.data).toEqual({
    equipment: 'raw-pump',
    work: 'impeller renewed',
    note: 'Dark.',
  })
})

test('an amendment of a version that no longer holds gets 409, the form as typed and the entry as it stands', async () => {
  const ship = aboard()
  await ship.fill('/write/note-written', { text: 'one' })
  const { id } = ship.written()[0]!
  const mine = await ship.open(`/log/${id}/amend`)
  const theirs = await ship.open(`/log/${id}/amend`)
  await ship.post(`/log/${id}/amend`, { ...theirs.boxes, text: 'theirs', 'entry.hand': 'I.B.' })
  const stale = await ship.post(`/log/${id}/amend`, { ...mine.boxes, text: 'mine' })
  expect(stale.status).toBe(409)
  expect(stale.html).toContain('The entry as it now stands')
  expect(stale.html).toContain('theirs')
  expect(boxesIn(stale.html).text).toBe('mine')
  expect(ship.written()).toHaveLength(2)
  const again = await ship.post(`/log/${id}/amend`, boxesIn(stale.html))
  expect(again.status).toBe(303)
  const fair = ship.book.timeline().find(id)!
  expect(fair.told.data).toEqual({ text: 'mine' })
  expect(fair.conflict).toEqual([])
})

test('an entry is struck with a reason, shown as struck, and revived', async () => {
  const ship = aboard()
  await ship.fill('/write/note-written', { text: 'wrong boat' })
  const { id } = ship.written()[0]!
  const form = await ship.open(`/log/${id}/strike`)
  const answer = await ship.post(`/log/${id}/strike`, { ...form.boxes, reason: 'Not ours.' })
  expect(answer.status).toBe(303)
  expect(ship.book.timeline().find(id)!.struck?.data.reason).toBe('Not ours.')
  const twice = await ship.post(`/log/${id}/strike`, { ...form.boxes, reason: 'Not ours.' })
  expect(twice.status).toBe(303)
  expect(ship.written()).toHaveLength(2)
  const page = await ship.open(`/log/${id}`)
  expect(page.html).toContain('Not ours.')
  expect(page.html).toContain(`/log/${id}/revive`)
  await ship.fill(`/log/${id}/revive`, {})
  expect(ship.book.timeline().find(id)!.struck).toBeNull()
})

test('a strike of an entry that was amended meanwhile gets 409 and strikes nothing', async () => {
  const ship = aboard()
  await ship.fill('/write/note-written', { text: 'one' })
  const { id } = ship.written()[0]!
  const form = await ship.open(`/log/${id}/strike`)
  await ship.fill(`/log/${id}/amend`, { text: 'two' })
  const stale = await ship.post(`/log/${id}/strike`, form.boxes)
  expect(stale.status).toBe(409)
  expect(stale.html).toContain('two')
  expect(ship.book.timeline().find(id)!.struck).toBeNull()
})

test('the page of an entry says who, when, where from, and where it stands in the rough log', async () => {
  const ship = aboard()
  await ship.fill('/write/taken-aboard', {
    what: 'diesel',
    amount: '37',
    'amount.unit': 'US gal',
    equipment: 'Fuel tank',
  })
  const entry = ship.written()[0]!
  const { html } = await ship.open(`/log/${entry.id}`)
  for (const part of [entry.id, entry.link, 'this book', 'K.S.', 'form', '19.42', 'entered as 37\u00a0US gal'])
    expect(html).toContain(part)
  expect((await ship.open('/log/0190c5a0-0000-7000-8000-00000000abcd')).status).toBe(404)
})

test('two copies that contradict each other are settled: one version holds, the others are struck', async () => {
  for (const chosen of [0, 1]) {
    const ship = aboard()
    await ship.fill('/write/note-written', { text: 'one' })
    const { id } = ship.written()[0]!
    const taken = ship.book.takeIn(
      ['from the phone', 'from the laptop'].map((text, index) => ({
        type: 'note-written',
        occurredAt: '2026-06-14',
        recordedAt: `2026-06-14T17:4${index}:00Z`,
        hand: 'K.S.',
        replaces: id,
        data: { text },
      })),
    )
    expect(taken.ok).toBe(true)
    const page = await ship.open(`/log/${id}`)
    expect(page.html).toContain('id="settle"')
    const rival = ship.written()[1 + chosen]!
    const answer = await ship.post(`/log/${id}/settle`, { ...page.boxes, holds: rival.id })
    expect(answer.status).toBe(303)
    const fair = ship.book.timeline().find(id)!
    expect(fair.conflict).toEqual([])
    expect(fair.struck).toBeNull()
    expect(fair.told.data).toEqual(rival.data)
    const again = await ship.post(`/log/${id}/settle`, { ...page.boxes, 'entry.key': '', holds: rival.id })
    expect(again.status).toBe(422)
  }
})

test('what can be written is listed, own forms first, and every link leads to a form', async () => {
  const ship = aboard()
  const { html } = await ship.open('/write')
  const links = [...html.matchAll(/class="pick" href="([^"]+)"/g)].map(([, href]) => href!)
  expect(links.slice(0, 6)).toEqual([
    '/write/engine',
    '/write/passage',
    '/write/hours',
    '/write/readings',
    '/rounds',
    '/write/service',
  ])
  expect(links).toContain('/write/book-set')
  expect(links).not.toContain('/write/entry-struck')
  for (const link of links) expect([link, (await ship.open(link)).status]).toEqual([link, 200])
})

test('an empty book shows every form, and says what to write first', async () => {
  const ship = aboard([])
  for (const path of [
    '/write/engine',
    '/write/hours',
    '/write/readings',
    '/write/service',
    '/rounds',
    '/write/check-made',
  ]) {
    const { status, html } = await ship.open(path)
    expect([path, status]).toEqual([path, 200])
    expect(html).toMatch(/\/write\/(equipment|meter)-fitted/)
  }
})

test('a body that is no form of ours is refused with the form, and writes nothing', async () => {
  const ship = aboard()
  for (const body of ['', 'x=1&x=2', 'equipment=%00', `text=${'x'.repeat(5000)}`]) {
    const answer = await ship.app.request('/write/note-written', {
      method: 'POST',
      body,
      headers: { 'Content-Type': 'application/x-www-form-urlencoded' },
    })
    expect(answer.status).toBe(422)
  }
  for (const path of [
    '/write/hours',
    '/write/engine',
    '/write/passage',
    '/write/readings',
    '/write/service',
    '/write/back',
    '/rounds/running',
  ])
    expect([path, (await ship.post(path, {})).status]).toEqual([path, 422])
  expect((await ship.post('/write/entry-struck', {})).status).toBe(404)
  expect((await ship.post('/write/nothing-of-the-kind', {})).status).toBe(404)
  expect(ship.written()).toEqual([])
})
