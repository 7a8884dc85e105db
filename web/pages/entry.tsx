import { type Context, Hono } from 'hono'
import type { Child } from 'hono/jsx'
import type { Refusal } from '../../events/define.ts'
import { type Entry, kindOf } from '../../events/index.ts'
import { type FairEntry, isDay, momentOf, type Timeline, timeline as timelineOf } from '../../projections/timeline.ts'
import { dayText, momentIso, momentText, offsetText, shipDay } from '../components/dates.ts'
import { EntryList } from '../components/entry-list.tsx'
import { entryText, fieldText, type Names } from '../components/entry-words.ts'
import { Buttons, Field } from '../components/field.tsx'
import { formatNumber } from '../components/figure.tsx'
import { linesOf, namesOf } from '../components/lines.ts'
import { withKeep } from '../components/log-link.ts'
import { Written } from '../components/written.tsx'
import { boxesOf, handBox, parseForm, readHand } from '../form/fields.ts'
import { KindForm, pickerFor } from '../form/kind-form.tsx'
import { boxesOfMoment } from '../form/moment.ts'
import { confirmBoxes, questioned } from '../form/questions.ts'
import { formBoxes, freshKey, send } from '../form/send.ts'
import { type Typed, typedIn } from '../form/typed.ts'
import { type Form, FormStyle, formOf, freshForm, Hidden, Refused, readingOf } from '../form.tsx'
import { Sheet } from '../layout.tsx'
import type { Env, Page, View } from '../page.ts'

const routes = new Hono<Env>()

const uuid = '[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}'

routes.get(`/:root{${uuid}}`, (c) => {
  const view = c.get('view')
  const id = c.req.param('root')
  const root = view.timeline.rootOf(id)
  if (root !== undefined && root !== id) return c.redirect(withKeep(`/log/${root}`, view.keep))
  const fair = root === undefined ? undefined : view.timeline.find(root)
  if (!fair) return missing(c, view.timeline)
  return c.html(<EntryView view={view} fair={fair} origin={c.get('book').log.id} written={c.req.query('written')} />)
})

const missing = (c: Context<Env>, timeline: Timeline) => {
  const view = c.get('view')
  const past =
    view.keep !== '' &&
    c
      .get('book')
      .timeline()
      .rootOf(c.req.param('root') ?? '') !== undefined
  return c.html(
    <Sheet view={view} title="No such entry" page="/log">
      <section class="part body">
        <p>
          {past
            ? 'This entry was not in the book at the moment that you look at. Go back to now to see it.'
            : `The book has no entry under this address; it has ${formatNumber(timeline.all.length)} others.`}{' '}
          <a href={withKeep('/log', view.keep)}>The Log</a>
        </p>
      </section>
    </Sheet>,
    404,
  )
}

const EntryView = (props: { view: View; fair: FairEntry; origin: string; written: string | undefined }) => {
  const { view, fair, origin, written } = props
  const { told, struck, versions, conflict } = fair
  const kind = kindOf(told.type)!
  const names = namesOf(view)
  const zone = view.timeline.zoneAt(fair.at)
  const address = (act: string) => `/log/${fair.root}/${act}`
  const fields = Object.keys(kind.schema.shape).flatMap((name) => {
    const field = name === 'why' ? null : fieldText(told, name, view.settings, names)
    return field ? [field] : []
  })
  return (
    <Sheet
      view={view}
      title={kind.label}
      page="/log"
      head={<FormStyle />}
      stand={[
        isDay(told.occurredAt)
          ? { label: 'On', value: dayText(told.occurredAt), small: `${told.occurredAt.slice(0, 4)}, no time` }
          : {
              label: 'At',
              value: <span class="n">{momentText(fair.at, zone)}</span>,
              small: offsetText(fair.at, zone),
            },
        { label: 'Hand', value: told.hand },
      ]}
    >
      <Written view={view} written={written} alone />
      <section class="part">
        <h2 class="away">The entry</h2>
        <EntryList lines={linesOf(view, [fair])} view={view} names={names} by="day" />
        <div class="body buttons">
          {struck ? (
            <a class="button first" href={address('revive')}>
              Revive it
            </a>
          ) : (
            <>
              <a class="button first" href={address('amend')}>
                Amend it
              </a>
              <a class="button" href={address('strike')}>
                Strike it
              </a>
            </>
          )}
        </div>
      </section>
      {conflict.length > 0 ? <Settle view={view} fair={fair} names={names} /> : ''}
      {fields.length === 0 ? (
        ''
      ) : (
        <section class="part">
          <h2>As it holds</h2>
          <div class="body">
            <table>
              <tbody>
                {fields.map(({ title, value, entered }) => (
                  <tr>
                    <th scope="row">
                      <small>{title}</small>
                    </th>
                    <td>
                      {value}
                      {entered === undefined ? '' : <small> entered as {entered}</small>}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </section>
      )}
      <Versions view={view} fair={fair} names={names} />
      <section class="part">
        <h2>In the rough log</h2>
        <div class="body">
          {[...versions, ...(struck ? [struck] : [])].map((entry) => (
            <Provenance entry={entry} view={view} origin={origin} />
          ))}
        </div>
      </section>
    </Sheet>
  )
}

const written = (entry: Entry, view: View): string => {
  const at = momentOf(entry.recordedAt)
  return momentText(at, view.timeline.zoneAt(at))
}

const happened = (entry: Entry, view: View): string => {
  if (isDay(entry.occurredAt)) return dayText(entry.occurredAt, shipDay(view.now, view.timeline.zoneAt(view.now)))
  const at = momentOf(entry.occurredAt)
  return momentText(at, view.timeline.zoneAt(at))
}

const whyOf = (entry: Entry): string | undefined =>
  'why' in entry.data ? entry.data.why : 'reason' in entry.data ? entry.data.reason : undefined

/** Every version with who wrote it and when, as complete as it was written; nothing that was amended away is lost. */
const Versions = ({ view, fair, names }: { view: View; fair: FairEntry; names: Names }) => {
  const { versions, struck } = fair
  if (versions.length === 1 && struck === null) return null
  const rows = [...versions, ...(struck ? [struck] : [])]
  return (
    <section class="part">
      <h2>What was done to it</h2>
      <div class="body">
        <table class="stack-table">
          <thead>
            <tr>
              <th>Written</th>
              <th>Hand</th>
              <th>Happened</th>
              <th>It said</th>
              <th>Why</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((entry) => (
              <tr id={`v-${entry.id}`}>
                <td class="n">{written(entry, view)}</td>
                <td>{entry.hand}</td>
                <td class="n" data-l="happened">
                  {entry.type === 'entry-struck' ? '' : happened(entry, view)}
                </td>
                <td class="all">
                  {entry.type === 'entry-struck' ? <b>Struck</b> : entryText(entry, view.settings, names)}
                </td>
                <td class="all" data-l="why">
                  {whyOf(entry) ?? ''}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}

/** Where a version came from and where it stands in the book: what `verify` proves. */
const Provenance = ({ entry, view, origin }: { entry: Entry; view: View; origin: string }) => {
  const received = momentOf(entry.receivedAt)
  const rows: [string, Child][] = [
    ['Position', formatNumber(entry.position)],
    ['Written', <span class="n">{written(entry, view)}</span>],
    ['Taken in', <span class="n">{momentText(received, view.timeline.zoneAt(received))}</span>],
    ['By way of', entry.source],
    ['First taken in by', entry.origin === origin ? 'this book' : <>another book, {entry.origin}</>],
    ['Kind', `${entry.type}, version ${entry.version}`],
    ['Id', <span class="digest">{entry.id}</span>],
    ['Link', <span class="digest">{entry.link}</span>],
  ]
  return (
    <dl class="provenance">
      {rows.map(([label, value]) => (
        <div>
          <dt>{label}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  )
}

/** Two copies of the book said different things: the owner says which one holds, and the others are struck. */
const Settle = ({ view, fair, names }: { view: View; fair: FairEntry; names: Names }) => (
  <section class="part" id="settle">
    <h2>Copies of the book say different things</h2>
    <form class="body entry-form" method="post" action={`/log/${fair.root}/settle`} novalidate>
      <p class="help">
        The one written last is shown until you say which one holds. The others are struck, and stay readable.
      </p>
      <input type="hidden" name={formBoxes.key} value={freshKey()} />
      {fair.conflict.map((rival) => (
        <div class="rival">
          <p>
            <b>{rival.type === 'entry-struck' ? 'Struck' : happened(rival, view)}</b>{' '}
            {rival.type === 'entry-struck' ? whyOf(rival) : entryText(rival, view.settings, names)}
            <small>
              {' '}
              {rival.hand}, written {written(rival, view)}
            </small>
          </p>
          <div class="buttons">
            <button type="submit" name="holds" value={rival.id}>
              {rival.type === 'entry-struck' ? 'It stays struck' : 'This one holds'}
            </button>
          </div>
        </div>
      ))}
      <Field name={handBox} label="Hand" value={view.hand} required narrow />
    </form>
  </section>
)

routes.post(`/:root{${uuid}}/settle`, async (c) => {
  const root = c.req.param('root')
  const typed = await typedIn(c)
  const reading = readingOf(c)
  const fair = reading.timeline.find(root)
  if (!fair) return missing(c, reading.timeline)
  const holds = typed.get('holds')
  const rivals = fair.conflict
  const hand = readHand(typed)
  const refusals: Refusal[] = [...(hand.ok ? [] : hand.refusals)]
  if (!rivals.some((rival) => rival.id === holds))
    refusals.push({
      field: '',
      problem:
        rivals.length === 0
          ? 'This entry has been settled already; there is nothing to choose between.'
          : 'Got no version to hold, expected one of those that contradict each other.',
    })
  const occurredAt = momentIso(reading.now, reading.zoneAt(reading.now))
  const sent =
    hand.ok && refusals.length === 0
      ? send(
          c,
          typed,
          hand.hand,
          rivals
            .filter((rival) => rival.id !== holds)
            .map((rival) => ({
              type: 'entry-struck',
              occurredAt,
              data: { reason: 'Two copies of the book said different things; the other one holds.' },
              replaces: rival.id,
            })),
          `/log/${root}`,
        )
      : { ok: false as const, status: 422 as const, refusals }
  if (sent.ok) return sent.response
  return c.html(
    <Sheet view={c.get('view')} title="Not settled" page="/log" head={<FormStyle />}>
      <Refused form={formOf(c, typed, { refusals: sent.refusals })} />
      <p class="body">
        <a href={`/log/${root}#settle`}>Back to the entry</a>
      </p>
    </Sheet>,
    sent.status,
  )
})

/** The entry as it now stands, above a form that mends it. */
const AsItStands = ({ form, fair, head }: { form: Form; fair: FairEntry; head: string }) => (
  <section class="part">
    <h2>{head}</h2>
    <EntryList
      lines={linesOf({ ...form.view, timeline: form.timeline }, [fair])}
      view={{ ...form.view, timeline: form.timeline }}
      names={namesOf({ ...form.view, timeline: form.timeline })}
      by="day"
    />
  </section>
)

const tipOf = (fair: FairEntry): Entry => fair.versions[fair.versions.length - 1]!

const showAmend = (c: Context<Env>, form: Form, fair: FairEntry, status: 200 | 409 | 422 = 200) => {
  const kind = kindOf(fair.told.type)!
  const picker = pickerFor(c, kind, form)
  if (picker) return c.html(picker, status)
  const left = fair.told.withheld ?? []
  return c.html(
    <KindForm
      form={form}
      kind={kind}
      action={`/log/${fair.root}/amend`}
      first="Amend it"
      page="/log"
      amending
      above={
        <>
          <AsItStands form={form} fair={fair} head={status === 409 ? 'The entry as it now stands' : 'The entry'} />
          {left.length === 0 ? (
            ''
          ) : (
            <p class="body">
              <b>This copy of the book leaves something out of the entry.</b> What you write here holds in its place, so
              that it stays out for whoever reads the amendment.
            </p>
          )}
        </>
      }
      beside={
        <a class="button" href={`/log/${fair.root}`}>
          Leave it as it is
        </a>
      }
    />,
    status,
  )
}

routes.get(`/:root{${uuid}}/amend`, (c) => {
  const { timeline, zoneAt } = readingOf(c)
  const fair = timeline.find(timeline.rootOf(c.req.param('root')) ?? '')
  if (!fair) return missing(c, timeline)
  if (fair.struck) return c.redirect(`/log/${fair.root}`)
  const kind = kindOf(fair.told.type)!
  const { why: _, ...data } = fair.told.data as Record<string, unknown>
  const boxes = boxesOf(kind, data)
  const box = fair.told.type === 'hours-read' ? 'reading' : 'hours'
  const form = freshForm(c, {
    ...boxes,
    ...boxesOfMoment(fair.told.occurredAt, zoneAt),
    ...('confirmed' in data ? { [confirmBoxes('').asked]: boxes[box] ?? '' } : {}),
    [handBox]: c.get('view').hand,
    [formBoxes.replaces]: tipOf(fair).id,
    [formBoxes.from]: c.req.query('from') ?? `/log/${fair.root}`,
  })
  return showAmend(c, form, fair)
})

routes.post(`/:root{${uuid}}/amend`, async (c) => {
  const typed = await typedIn(c)
  const reading = readingOf(c)
  const { timeline } = reading
  const root = timeline.rootOf(c.req.param('root'))
  const fair = timeline.find(root ?? '')
  if (!fair) return missing(c, timeline)
  const kind = kindOf(fair.told.type)!
  const replaces = typed.get(formBoxes.replaces)
  const named = fair.versions.find((version) => version.id === replaces)
  const refuse = (wrong: Parameters<typeof formOf>[2]) => showAmend(c, formOf(c, typed, wrong), fair, 422)
  const parsed = parseForm(kind, typed, reading, named?.occurredAt)
  if (!parsed.ok) return refuse(parsed)
  const others = timelineOf(
    c
      .get('book')
      .read()
      .entries.filter((entry) => timeline.rootOf(entry.id) !== root),
  )
  const { data, question } = questioned(others, reading.register, kind, parsed.data, parsed.at, typed)
  if (question) return refuse({ questions: [question] })
  if (named && named.occurredAt === parsed.occurredAt && sameData(named.data, data))
    return refuse({
      refusals: [
        {
          field: '',
          problem: 'Nothing in the form differs from the entry; change what is wrong, or leave it as it is.',
        },
      ],
    })
  const sent = send(c, typed, parsed.hand, [
    { type: kind.type, occurredAt: parsed.occurredAt, data, replaces: replaces || tipOf(fair).id },
  ])
  if (sent.ok) return sent.response
  // The form now mends what stands: pressing the button again is a decision made with both in sight.
  const now = sent.stale ? { [formBoxes.replaces]: tipOf(fair).id } : {}
  return showAmend(
    c,
    formOf(c, typed.with({ ...now, [formBoxes.key]: sent.key }), { refusals: sent.refusals }),
    fair,
    sent.status,
  )
})

const sameData = (was: object, is: object): boolean => {
  const { why: _, ...before } = was as Record<string, unknown>
  const { why: __, ...after } = is as Record<string, unknown>
  const text = (data: Record<string, unknown>) =>
    JSON.stringify(Object.entries(data).sort(([a], [b]) => (a < b ? -1 : 1)))
  return text(before) === text(after)
}

/** Striking, and reviving, which is striking the strike: the same form, for what `replaces` names. */
const showStrike = (
  c: Context<Env>,
  form: Form,
  fair: FairEntry,
  act: 'strike' | 'revive',
  status: 200 | 409 | 422,
) => {
  const title = act === 'strike' ? 'Strike an entry' : 'Revive an entry'
  return c.html(
    <Sheet view={form.view} title={title} page="/log" head={<FormStyle />}>
      <AsItStands form={form} fair={fair} head={status === 409 ? 'The entry as it now stands' : 'The entry'} />
      <Refused form={form} />
      <form class="body entry-form" method="post" action={`/log/${fair.root}/${act}`} novalidate>
        <Hidden form={form} names={Object.values(formBoxes)} />
        <Field
          name="reason"
          label="Why"
          value={form.typed.get('reason')}
          help="Welcome, not needed. Whatever is struck stays readable."
          long
          refusal={form.refusals.find(({ field }) => field === 'reason')?.problem}
        />
        <Field
          name={handBox}
          label="Hand"
          value={form.typed.get(handBox)}
          required
          narrow
          refusal={form.refusals.find(({ field }) => field === handBox)?.problem}
        />
        <Buttons first={act === 'strike' ? 'Strike it' : 'Revive it'}>
          <a class="button" href={`/log/${fair.root}`}>
            Leave it as it is
          </a>
        </Buttons>
      </form>
    </Sheet>,
    status,
  )
}

/** What a strike of that sort has to name as things stand: the version that holds, or the strike; null when there is nothing to do. */
const targetOf = (fair: FairEntry, act: 'strike' | 'revive'): string | null =>
  act === 'strike' ? (fair.struck ? null : tipOf(fair).id) : (fair.struck?.id ?? null)

for (const act of ['strike', 'revive'] as const) {
  routes.get(`/:root{${uuid}}/${act}`, (c) => {
    const { timeline } = readingOf(c)
    const fair = timeline.find(timeline.rootOf(c.req.param('root') ?? '') ?? '')
    if (!fair) return missing(c, timeline)
    const replaces = targetOf(fair, act)
    if (replaces === null) return c.redirect(`/log/${fair.root}`)
    const form = freshForm(c, {
      [formBoxes.replaces]: replaces,
      [formBoxes.from]: c.req.query('from') ?? `/log/${fair.root}`,
    })
    return showStrike(c, form, fair, act, 200)
  })

  routes.post(`/:root{${uuid}}/${act}`, async (c) => {
    const typed = await typedIn(c)
    const reading = readingOf(c)
    const fair = reading.timeline.find(reading.timeline.rootOf(c.req.param('root') ?? '') ?? '')
    if (!fair) return missing(c, reading.timeline)
    const hand = readHand(typed)
    if (!hand.ok) return showStrike(c, formOf(c, typed, hand), fair, act, 422)
    const reason = typed.get('reason').replace(/\r\n?/g, '\n').trim()
    const sent = send(c, typed, hand.hand, [
      {
        type: 'entry-struck',
        occurredAt: momentIso(reading.now, reading.zoneAt(reading.now)),
        data: reason === '' ? {} : { reason },
        replaces: typed.get(formBoxes.replaces) || (targetOf(fair, act) ?? fair.root),
      },
    ])
    if (sent.ok) return sent.response
    const target = targetOf(fair, act)
    const again: Typed = typed.with({
      [formBoxes.key]: sent.key,
      ...(sent.stale && target !== null ? { [formBoxes.replaces]: target } : {}),
    })
    return showStrike(c, formOf(c, again, { refusals: sent.refusals }), fair, act, sent.status)
  })
}

/** One entry: what it says, what was done to it, where it came from; amending, striking, settling. */
export const entry: Page = { path: '/log', title: 'Entry', tab: false, routes }
