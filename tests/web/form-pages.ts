import { join } from 'node:path'
import { openLog } from '../../events/log.ts'
import { createApp } from '../../server/app.tsx'
import { type Book, openBook } from '../../server/book.ts'
import { pages } from '../../web/pages/index.ts'
import { scratchFolder } from '../events/lines.ts'

/** What stands in a form: values by box, as a browser would post them. */
export type Boxes = Record<string, string | readonly string[]>

type Draft = Parameters<Book['write']>[0][number]

/** A draft as a test writes it into the book beforehand. */
export const draft = (type: string, data: Record<string, unknown>, occurredAt = '2026-05-01'): Draft => ({
  type,
  occurredAt,
  hand: 'K.S.',
  source: 'test',
  recordedAt: '2026-06-13T10:00:00Z',
  data,
})

/** An invented cutter: one engine with its hours meter, belts, filters, batteries; the clock aboard is Stockholm's. */
export const boat: readonly Draft[] = [
  draft('book-set', { boat: 'Tirvane', rig: 'cutter', zone: 'Europe/Stockholm', currency: 'EUR' }, '2026-01-01'),
  ...(
    [
      ['boat', 'Tirvane', 'boat', {}],
      ['engine', 'Main engine', 'engine', { partOf: 'boat' }],
      ['house-alternator', 'House alternator', 'alternator', { partOf: 'engine' }],
      ['house-belt', 'House alternator belt', 'belt', { partOf: 'engine', drives: 'house-alternator' }],
      ['raw-pump', 'Raw-water pump', 'raw-water pump', { partOf: 'engine' }],
      ['raw-strainer', 'Raw-water strainer', 'strainer', { partOf: 'engine' }],
      ['engine-seacock', 'Engine seacock', 'seacock', { partOf: 'engine' }],
      ['heads-seacock', 'Heads seacock', 'seacock', { partOf: 'boat' }],
      ['pre-filter', 'Fuel pre-filter', 'fuel filter', { partOf: 'engine' }],
      ['heater-hose', 'Heater return hose', 'hose', { partOf: 'engine' }],
      ['stern-gland', 'Stern gland', 'stern gear', { partOf: 'boat' }],
      ['house-bank', 'House bank', 'battery bank', { partOf: 'boat' }],
      ['bilge-pump', 'Bilge pump', 'bilge pump', { partOf: 'boat' }],
      ['fuel-tank', 'Fuel tank', 'fuel tank', { partOf: 'boat' }],
    ] as const
  ).map(([equipment, name, kind, more]) => draft('equipment-fitted', { equipment, name, kind, ...more })),
  draft('meter-fitted', {
    meter: 'engine-hours',
    name: 'Engine hours',
    equipment: 'engine',
    counts: 'hours',
    kind: 'true running',
    reading: 1102.4,
    rollsOverAt: 10000,
  }),
  draft('upkeep-set', {
    task: 'engine-oil',
    name: 'Engine oil and filter',
    equipment: 'engine',
    work: 'oil and filter changed',
    everyHours: 150,
    caution: 'hot surfaces and fluids',
  }),
  draft('hours-read', { meter: 'engine-hours', reading: { value: 1238.2, unit: 'h' } }, '2026-06-12T20:15:00+02:00'),
]

/** Sunday 14 June 2026, 19.42 aboard. */
export const boatsNow = Date.parse('2026-06-14T17:42:00Z')

/** The whole app over a book on a real file, and what a person does with its forms. */
export function aboard(drafts: readonly Draft[] = boat, now: number = boatsNow) {
  const book = openBook(openLog(join(scratchFolder(), 'boat.fettlebook')), () => now)
  if (drafts.length > 0) {
    const written = book.write(drafts)
    if (!written.ok) throw new Error(JSON.stringify(written.refused))
  }
  const app = createApp(book, pages)
  let cookie = ''
  const visit = async (path: string, body?: URLSearchParams, headers: Record<string, string> = {}) => {
    const answer = await app.request(path, {
      headers: { ...headers, ...(cookie === '' ? {} : { Cookie: cookie }) },
      ...(body ? { method: 'POST', body } : {}),
    })
    const set = answer.headers.get('Set-Cookie')
    if (set) cookie = set.split(';')[0]!
    return { status: answer.status, html: await answer.text(), to: answer.headers.get('Location') ?? '' }
  }
  const open = async (path: string, headers?: Record<string, string>) => {
    const answer = await visit(path, undefined, headers)
    return { ...answer, boxes: boxesIn(answer.html) }
  }
  const post = (path: string, boxes: Boxes) =>
    visit(
      path,
      new URLSearchParams(
        Object.entries(boxes).flatMap(([name, value]) =>
          (typeof value === 'string' ? [value] : value).map((one): [string, string] => [name, one]),
        ),
      ),
    )
  /** Opens a form, fills in some boxes, presses its button. */
  const fill = async (path: string, boxes: Boxes) => {
    const form = await open(path)
    return post(path.split('?')[0]!, { ...form.boxes, 'entry.hand': 'K.S.', ...boxes })
  }
  /** What was written after the boat herself, in the order in which it came in. */
  const written = () => book.read().entries.slice(drafts.length)
  return { book, app, open, post, fill, written }
}

const text = (html: string): string =>
  html
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&amp;', '&')

const attribute = (tag: string, name: string): string | undefined => {
  const found = new RegExp(`\\s${name}="([^"]*)"`).exec(tag)
  return found ? text(found[1]!) : undefined
}

/** What a browser would post from the last posting form of a page that is no other page's: its boxes as they stand. */
export function boxesIn(html: string): Record<string, string> {
  const boxes: Record<string, string> = {}
  const forms = html.match(/<form\b[^>]*>[\s\S]*?<\/form>/g) ?? []
  const form = forms.filter((one) => /entry-form|class="rounds"|action="\/write\/back"/.test(one)).at(-1) ?? ''
  for (const [tag] of form.matchAll(/<input\b[^>]*>/g)) {
    const name = attribute(tag, 'name')
    const type = attribute(tag, 'type') ?? 'text'
    if (name === undefined) continue
    if ((type === 'radio' || type === 'checkbox') && !/\schecked(=|\s|\/|>)/.test(tag)) continue
    boxes[name] = attribute(tag, 'value') ?? ''
  }
  for (const [tag, inside] of form.matchAll(/<textarea\b[^>]*>([\s\S]*?)<\/textarea>/g))
    boxes[attribute(tag!, 'name')!] = text(inside!)
  return boxes
}

/** The sentence beneath a box; undefined where there is none. */
export function refusalAt(html: string, box: string): string | undefined {
  const at = html.indexOf(`id="f-${box}-refusal"`)
  return at < 0 ? undefined : text(/>([^<]*)</.exec(html.slice(at))![1]!.trim())
}
