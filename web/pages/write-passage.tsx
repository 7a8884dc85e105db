import { type Context, Hono } from 'hono'
import { hoursRead } from '../../events/hours-read.ts'
import { passageBegun } from '../../events/passage-begun.ts'
import { passageEnded } from '../../events/passage-ended.ts'
import { passages } from '../../projections/passages.ts'
import { fold } from '../../projections/timeline.ts'
import { momentText } from '../components/dates.ts'
import { parseForm } from '../form/fields.ts'
import { hoursMeters, MeterHours, readHours } from '../form/meters.tsx'
import { questioned } from '../form/questions.ts'
import { formBoxes, send } from '../form/send.ts'
import { typedIn } from '../form/typed.ts'
import { Boxes, type Form, FormSheet, formOf, freshForm, Hidden, readingOf } from '../form.tsx'
import type { Env, Page } from '../page.ts'

const routes = new Hono<Env>()

/** Which end of a passage the form writes. */
const actBox = 'act'

const show = (c: Context<Env>, form: Form, status: 200 | 409 | 422 = 200) => {
  const { timeline, typed } = form
  const { under } = fold(passages, timeline)
  const ending = typed.get(actBox) === 'end'
  const other = (act: string, word: string) => (
    <a class="button" href={`/write/passage?act=${act}`}>
      {word}
    </a>
  )
  return c.html(
    <FormSheet
      form={form}
      title={ending ? 'Passage ended' : 'Passage begun'}
      action="/write/passage"
      first={ending ? 'End the passage' : 'Begin the passage'}
      stand={
        under?.begun
          ? [
              { label: 'Under way from', value: under.begun.data.from },
              { label: 'Since', value: momentText(under.begun.at, timeline.zoneAt(under.begun.at)) },
            ]
          : []
      }
      beside={ending ? other('begin', 'Begin one instead') : other('end', 'End one instead')}
    >
      <Hidden form={form} names={[actBox]} />
      {ending ? (
        <>
          <Boxes form={form} kind={passageEnded} only={['at', 'lying', 'distanceLog', 'distance']} />
          <MeterHours form={form} meters={hoursMeters(form.register)} />
          <Boxes form={form} kind={passageEnded} only={['underEngine', 'fuelUsed', 'note']} />
        </>
      ) : (
        <Boxes form={form} kind={passageBegun} />
      )}
    </FormSheet>,
    status,
  )
}

routes.get('/', (c) => {
  const { under, passages: all } = fold(passages, c.get('book').timeline())
  const act = c.req.query(actBox) ?? (under ? 'end' : 'begin')
  const lying = all[all.length - 1]?.ended?.data.at
  return show(
    c,
    freshForm(c, {
      [actBox]: act,
      ...(act === 'begin' && lying !== undefined ? { from: lying } : {}),
      ...(act === 'end' && under?.begun?.data.to !== undefined ? { at: under.begun.data.to } : {}),
    }),
  )
})

routes.post('/', async (c) => {
  const typed = await typedIn(c)
  const reading = readingOf(c)
  const ending = typed.get(actBox) === 'end'
  const kind = ending ? passageEnded : passageBegun
  const parsed = parseForm(kind, typed, reading)
  const hours = ending ? readHours(typed, reading, hoursMeters(reading.register)) : { drafts: [], refusals: [] }
  if (!parsed.ok || hours.refusals.length > 0)
    return show(
      c,
      formOf(c, typed, {
        refusals: [...hours.refusals, ...(parsed.ok ? [] : parsed.refusals)],
        turns: parsed.ok ? undefined : parsed.turns,
      }),
      422,
    )
  const asked = hours.drafts.map(({ data, prefix }) => ({
    prefix,
    ...questioned(reading.timeline, reading.register, hoursRead, data, parsed.at, typed, prefix),
  }))
  const questions = asked.flatMap(({ question }) => (question ? [question] : []))
  if (questions.length > 0) return show(c, formOf(c, typed, { questions }), 422)
  const { occurredAt } = parsed
  const sent = send(c, typed, parsed.hand, [
    { type: kind.type, occurredAt, data: parsed.data },
    ...asked.map(({ data, prefix }) => ({ type: hoursRead.type, occurredAt, data, prefix })),
  ])
  return sent.ok
    ? sent.response
    : show(c, formOf(c, typed.with({ [formBoxes.key]: sent.key }), { refusals: sent.refusals }), sent.status)
})

/** Passage: leaving a berth, and arriving with the log, the hours of every engine and the fuel in one go. */
export const writePassage: Page = { path: '/write/passage', title: 'Passage', tab: false, routes }
