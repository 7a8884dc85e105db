import type { Context } from 'hono'
import { Hono } from 'hono'
import { kindOf, kinds } from '../../events/index.ts'
import { momentIso } from '../components/dates.ts'
import { Problem } from '../components/problem.tsx'
import { writtenIds } from '../components/written.tsx'
import { handBox, parseForm } from '../form/fields.ts'
import { KindForm, pickerFor } from '../form/kind-form.tsx'
import { questioned } from '../form/questions.ts'
import { type FormDraft, formBoxes, send } from '../form/send.ts'
import { typedIn } from '../form/typed.ts'
import { type Form, FormStyle, formOf, freshForm, readingOf } from '../form.tsx'
import { Sheet } from '../layout.tsx'
import type { Env, Page } from '../page.ts'

/** The kinds that are written daily have forms of their own: address, title, what it is for. */
const ownForms: readonly { path: string; title: string; about: string; writes: readonly string[] }[] = [
  {
    path: '/write/engine',
    title: 'Engine start and stop',
    about: 'One start or stop, with its purpose.',
    writes: ['engine-started', 'engine-stopped'],
  },
  {
    path: '/write/passage',
    title: 'Passage begin and end',
    about: 'Leaving and arriving; on arrival the log, the hours and the fuel in one go.',
    writes: ['passage-begun', 'passage-ended'],
  },
  { path: '/write/hours', title: 'Hours', about: 'What the hours meters show.', writes: ['hours-read'] },
  { path: '/write/readings', title: 'Readings', about: 'What the gauges show.', writes: ['readings-taken'] },
  {
    path: '/rounds',
    title: 'Rounds',
    about: 'The look round, in the order in which one moves.',
    writes: ['rounds-made'],
  },
  {
    path: '/write/service',
    title: 'Service',
    about: 'Upkeep and other work done, with what was found.',
    writes: ['service-done'],
  },
]

const routes = new Hono<Env>()

routes.get('/', (c) => {
  const view = c.get('view')
  const own = new Set(ownForms.flatMap((form) => form.writes))
  const rest = kinds.filter((kind) => !own.has(kind.type) && kind.type !== 'entry-struck')
  const rows = [
    ownForms.map(({ path, title, about }) => ({ path, title, about })),
    rest.map((kind) => ({ path: `/write/${kind.type}`, title: kind.label, about: kind.about })),
  ]
  return c.html(
    <Sheet view={view} title="Write it down" page="/write" head={<FormStyle />}>
      {['Daily', 'As it happens, and what she has'].map((head, index) => (
        <section class="part">
          <h2>{head}</h2>
          <ul class="picks">
            {rows[index]!.map(({ path, title, about }) => (
              <li>
                <a class="pick" href={path}>
                  <b>{title}</b>
                  <small>{about}</small>
                </a>
              </li>
            ))}
          </ul>
        </section>
      ))}
    </Sheet>,
  )
})

/**
 * Takes back what has just been written: an entry is struck, a strike is struck in its turn, an amended entry is amended to what it was.
 * All of it or nothing.
 */
routes.post('/back', async (c) => {
  const typed = await typedIn(c)
  const { timeline, now } = readingOf(c)
  const drafts: FormDraft[] = writtenIds(typed.get('ids')).flatMap((id): FormDraft[] => {
    const fair = timeline.find(timeline.rootOf(id) ?? '')
    if (!fair) return []
    const place = fair.versions.findIndex((version) => version.id === id)
    const before = fair.versions[place - 1]
    if (before) {
      const { why: _, ...data } = before.data as Record<string, unknown>
      return [
        {
          type: before.type,
          occurredAt: before.occurredAt,
          data: { ...data, why: 'The amendment was taken back' },
          replaces: id,
        },
      ]
    }
    return [{ type: 'entry-struck', occurredAt: momentIso(now, timeline.zoneAt(now)), data: {}, replaces: id }]
  })
  const hand = typed.get(handBox).trim()
  const sent =
    drafts.length === 0 || hand === ''
      ? {
          ok: false as const,
          status: 422 as const,
          refusals: [
            {
              field: '',
              problem:
                drafts.length === 0
                  ? 'Got no entry of this book to take back. Begin from the entry in the Log.'
                  : 'Hand: got nothing, expected the initials of who writes. Begin from the entry in the Log.',
            },
          ],
        }
      : send(c, typed, hand, drafts)
  if (sent.ok) return sent.response
  return c.html(
    <Sheet view={c.get('view')} title="Not taken back" page="/log" head={<FormStyle />}>
      <div class="body refused">
        <Problem title="Nothing has been written." problems={sent.refusals} />
        <p>
          <a href={`/log`}>To the Log</a>
        </p>
      </div>
    </Sheet>,
    sent.status,
  )
})

const show = (c: Context<Env>, type: string, form: Form, status: 200 | 409 | 422 = 200) => {
  const kind = kindOf(type)!
  const picker = pickerFor(c, kind, form)
  return c.html(picker ?? <KindForm form={form} kind={kind} action={`/write/${type}`} first="Write it down" />, status)
}

routes.get('/:kind', (c) => {
  const type = c.req.param('kind')
  return isWritten(type) ? show(c, type, freshForm(c)) : c.notFound()
})

routes.post('/:kind', async (c) => {
  const type = c.req.param('kind')
  if (!isWritten(type)) return c.notFound()
  const kind = kindOf(type)!
  const typed = await typedIn(c)
  const reading = readingOf(c)
  const parsed = parseForm(kind, typed, reading)
  if (!parsed.ok) return show(c, type, formOf(c, typed, parsed), 422)
  const { data, question } = questioned(reading.timeline, reading.register, kind, parsed.data, parsed.at, typed)
  if (question) return show(c, type, formOf(c, typed, { questions: [question] }), 422)
  const sent = send(c, typed, parsed.hand, [{ type, occurredAt: parsed.occurredAt, data }])
  return sent.ok
    ? sent.response
    : show(c, type, formOf(c, typed.with({ [formBoxes.key]: sent.key }), { refusals: sent.refusals }), sent.status)
})

/** A strike is written from the entry that it strikes. */
const isWritten = (type: string): boolean => kindOf(type) !== undefined && type !== 'entry-struck'

/** Everything that can be written, and the forms made from the schemas. */
export const writeKind: Page = { path: '/write', title: 'Write it down', tab: false, routes }
