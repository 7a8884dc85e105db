import { describe, expect, test } from 'vitest'
import { type PlanTexts, readPlan } from '../../web/form/plan.ts'
import { aboard, boat, draft } from './form-pages.ts'

const text = (html: string) =>
  html
    .replace(/<[^>]+>/g, ' ')
    .replaceAll('&#39;', "'")
    .replaceAll('&quot;', '"')
    .replace(/[\s\u00a0\u202f]+/g, ' ')
    .replace(/ ([.,:;)])/g, '$1')

/** The Passage ahead part of a page. */
const part = (html: string) => /<section class="part" id="ahead">[\s\S]*?<\/section>\s*<section/.exec(html)?.[0] ?? ''

describe('Passage ahead', () => {
  test('is a sentence with blanks that asks by its address, and says nothing before it is asked', async () => {
    const { open } = aboard()
    const page = await open('/due')
    expect(page.status).toBe(200)
    const form = part(page.html)
    expect(form).toMatch(/<form class="plan" method="get" action="\/due#ahead"/)
    for (const name of ['hours', 'days', 'miles', 'leaving', 'speed', 'reserve'])
      expect(form).toContain(`name="${name}"`)
    expect(form).not.toContain('Do before leaving')
  })

  test('answers in columns, keeps what was typed, and opens recorded figures to their entries', async () => {
    const { open } = aboard([
      ...boat,
      draft('left-as', { equipment: 'engine-seacock', state: 'shut' }, '2026-06-13'),
      draft(
        'repair-made',
        { equipment: 'heater-hose', kind: 'temporary', what: 'wire over the clamp', waitsFor: 'a clamp of 19 mm' },
        '2026-06-12T21:00:00+02:00',
      ),
      draft('check-made', { equipment: 'fuel-tank', level: { value: 120, unit: 'L' } }, '2026-06-12T21:00:00+02:00'),
    ])
    const page = await open('/due?hours=60&days=5&miles=420&leaving=16+June')
    expect(page.status).toBe(200)
    const answer = part(page.html)
    for (const [name, value] of [
      ['hours', '60'],
      ['days', '5'],
      ['miles', '420'],
      ['leaving', '16 June'],
    ])
      expect(answer).toMatch(new RegExp(`name="${name}" value="${value}"`))
    const words = text(answer)
    for (const head of [
      'Do before leaving',
      'Falls due under way',
      'Fuel, water, oil',
      'Would be relied on',
      'Have aboard',
    ])
      expect(words).toContain(head)
    expect(words).toContain('Restore: engine seacock, left shut 13 Jun')
    expect(words).toContain('Engine oil and filter: falls due, almost certain, after 14 h')
    expect(words).toContain('Heater return hose')
    expect(words).toContain('a clamp of 19 mm')
    expect(words).toContain('The log does not know what is aboard')
    expect(words).toContain('120 L by sounding yesterday')
    expect(words).toContain('Not enough yet to say how much she takes: 0 of 3')
    expect(words).toContain('assumed while the log has too few passages')
    expect(words).toContain('yours to judge')
    expect(answer).toMatch(/<a class="n" href="\/log\?[^"]*">120/)
    expect(answer).toContain('<span class="pencil">almost certain</span>')
    expect(answer.match(/class="under"/g)).toHaveLength(1)
  })

  test('refuses blanks that cannot be read with 422, the sentence at the blank, and what was typed kept', async () => {
    const { open } = aboard()
    const page = await open('/due?hours=sixty&days=')
    expect(page.status).toBe(422)
    const form = part(page.html)
    expect(text(form)).toContain('Engine hours: got "sixty"')
    expect(text(form)).toContain('Days: got nothing, expected 0.1 to 120 days, such as 5.')
    expect(form).toMatch(/name="hours" value="sixty"[^>]*aria-invalid="true"/)
    expect(form).not.toContain('Do before leaving')
    expect(page.html).toContain('What is due')
  })

  test('keeps the past that is looked at', async () => {
    const { open } = aboard()
    const page = await open('/due?hours=60&days=5&as-of=2026-06-13')
    expect(part(page.html)).toContain('<input type="hidden" name="as-of" value="2026-06-13"/>')
  })
})

describe('the blanks of a planned passage', () => {
  const today = '2026-06-14'

  test.each<[string, string | null]>([
    ['', null],
    ['today', null],
    ['tomorrow', '2026-06-15'],
    ['Tue 16 June', '2026-06-16'],
    ['13 Jun', '2027-06-13'],
    ['2026-07-01', '2026-07-01'],
  ])('leaving "%s" is %s', (leaving, day) => {
    expect(readPlan({ hours: '60', days: '5', leaving }, today)).toMatchObject({ ok: true, plan: { leaving: day } })
  })

  test('are read as people type them, and what is empty is left to the log', () => {
    expect(readPlan({ hours: '60,5', days: '5', miles: '1 200', reserve: '25' }, today)).toEqual({
      ok: true,
      plan: { hours: 60.5, days: 5, miles: 1200, speed: null, reserve: 0.25, leaving: null },
    })
  })

  test.each<[PlanTexts, string]>([
    [{ hours: '200', days: '5' }, 'Engine hours: got 200 in 5 days, expected at most 120'],
    [{ hours: '-6', days: '5' }, 'Engine hours: got "-6", expected 0.1 to 2000'],
    [{ hours: '6', days: '5', leaving: '2020-01-01' }, 'Leaving: got "2020-01-01", expected today or a day'],
    [{ hours: '6', days: '5', leaving: '16/6' }, 'Leaving: got "16/6", which can be read in two ways'],
    [{ hours: '6', days: '5', reserve: '1.234' }, 'Reserve: got "1.234", which can be read in two ways'],
  ])('%j is refused with a sentence', (texts, sentence) => {
    const read = readPlan(texts, today)
    expect(read.ok).toBe(false)
    if (!read.ok) expect(read.refusals.map((one) => one.problem).join(' ')).toContain(sentence)
  })
})

/** The cutter with three oil changes, each after more hours than the one before, and the fourth on its way. */
const late = [
  ...boat,
  ...(
    [
      ['2025-06-20', 1250.4],
      ['2025-08-20', 1413.4],
      ['2026-05-20', 1623.4],
    ] as const
  ).map(([day, hours]) =>
    draft(
      'service-done',
      { equipment: 'engine', work: 'oil and filter changed', hours: { value: hours, unit: 'h' } },
      `${day}T12:00:00+02:00`,
    ),
  ),
  draft('hours-read', { meter: 'engine-hours', reading: { value: 1763.4, unit: 'h' } }, '2026-07-20T12:00:00+02:00'),
].map((one) =>
  // The meter was fitted before all that, and the boat's own reading of June is left out.
  one.type === 'hours-read' && one.occurredAt.startsWith('2026-06')
    ? []
    : [{ ...one, ...(one.occurredAt === '2026-05-01' ? { occurredAt: '2025-05-01' } : {}) }],
)

const lateBoat = () => aboard(late.flat(), Date.parse('2026-07-21T12:00:00Z'))

describe('how a task is kept', () => {
  test('stands beside it on Due as a row of figures, with that they rise in plain words', async () => {
    const { open } = lateBoat()
    const page = await open('/due')
    expect(text(page.html)).toContain(
      'Kept at 148, 163, 210 h; this one is at 140. The hours between services rise, the last one past its 150 h.',
    )
  })

  test('is said on Today as a fact, without the red pencil, while the task is not overdue', async () => {
    const { open } = lateBoat()
    const today = (await open('/')).html
    expect(text(today)).toContain('Kept at 148, 163, 210 h; this one is at 140. The hours between services rise')
    expect(today).not.toContain('class="under"')
  })

  test('has a page of its own with the chart, its table, and how often a year this use asks for it', async () => {
    const { open } = lateBoat()
    const page = await open('/due/engine-oil')
    expect(page.status).toBe(200)
    const words = text(page.html)
    expect(words).toContain(
      'This use asks for 2.87 a year by the hours (430 h in the last year, one every 150); two a year leave each about 65 h late. In the last year there were two.',
    )
    expect(page.html).toContain('<graph-paper')
    expect(page.html).toContain('150 h as set')
    for (const share of ['99 %', '109 %', '140 %', '93 %']) expect(words).toContain(share)
    expect((await open('/due/no-such-task')).status).toBe(404)
  })

  test('says so while there is not enough', async () => {
    const { open } = aboard()
    expect(text((await open('/due/engine-oil')).html)).toContain('no interval between two services is in the log')
  })
})

test('the page of a pump says how long its impellers lasted, that it is not enough yet, and that no interval grows by itself', async () => {
  const { open } = aboard([
    ...boat,
    ...(
      [
        ['2026-05-10', 1150, 'good'],
        ['2026-06-01', 1200, 'failed'],
      ] as const
    ).map(([day, hours, condition]) =>
      draft(
        'service-done',
        { equipment: 'raw-pump', work: 'impeller renewed', hours: { value: hours, unit: 'h' }, condition },
        `${day}T12:00:00+02:00`,
      ),
    ),
    draft('defect-found', { equipment: 'raw-pump', what: 'weeps', matters: 'little' }, '2026-06-10T12:00:00+02:00'),
  ])
  const page = await open('/equipment/raw-pump')
  const words = text(page.html)
  expect(words).toContain(
    'How long it lasts Impeller Not enough yet to say how long one lasts: 1 of 3 came out worn out or failed',
  )
  expect(words).toContain('Mended: 1 time in')
  expect(words).toContain('No history lengthens an interval by itself')
  expect((await open('/equipment/heads-seacock')).html).not.toContain('How long it lasts')
})

describe('Forecasts', () => {
  test('are set beside what happened, by how far ahead they were, once their ranges have passed', async () => {
    const written = (type: string, data: Record<string, unknown>, occurredAt: string) => ({
      ...draft(type, data, occurredAt),
      recordedAt: occurredAt,
    })
    const runs = Array.from({ length: 50 }, (_, index) =>
      written(
        'hours-read',
        { meter: 'engine-hours', reading: { value: 1104.4 + 4 * index, unit: 'h' } },
        new Date(Date.parse('2025-05-02T12:00:00Z') + index * 3 * 86_400_000).toISOString(),
      ),
    )
    const { open } = aboard(
      [
        ...boat
          .filter((one) => one.type !== 'hours-read')
          .map((one) => ({ ...one, occurredAt: '2025-05-01', recordedAt: '2025-05-01T08:00:00Z' })),
        ...runs,
      ],
      Date.parse('2026-11-10T12:00:00Z'),
    )
    let page = await open('/forecasts')
    for (let again = 0; page.html.includes('Being reckoned') && again < 30; again++) page = await open('/forecasts')
    expect(page.status).toBe(200)
    const words = text(page.html)
    expect(words).toMatch(/\d+ of \d+ \(\d+ %\) fell due between their early and their late day; 80 % were promised/)
    expect(words).toMatch(/Not enough yet to say whether the ranges should be wider or narrower: 1 of 10/)
    expect(page.html).toContain('href="/due/engine-oil"')
    expect((await open('/due')).html).toContain('href="/forecasts"')
    expect((await open('/index')).html).toContain('href="/forecasts"')
  }, 60_000)

  test('are not judged before there is anything to judge', async () => {
    const { open } = aboard()
    expect(text((await open('/forecasts')).html)).toContain(
      'Not enough yet: 0 forecasts were made at the starts of 0 months',
    )
  })
})
