import { type Context, Hono } from 'hono'
import { hoursRead } from '../../events/hours-read.ts'
import { readHand } from '../form/fields.ts'
import { hoursMeters, hoursPrefix, MeterHours, readHours } from '../form/meters.tsx'
import { readWhen } from '../form/moment.ts'
import { questioned } from '../form/questions.ts'
import { formBoxes, send } from '../form/send.ts'
import { typedIn } from '../form/typed.ts'
import { Boxes, type Form, FormSheet, formOf, freshForm, readingOf } from '../form.tsx'
import type { Env, Page } from '../page.ts'

const routes = new Hono<Env>()

const show = (c: Context<Env>, form: Form, status: 200 | 409 | 422 = 200) => {
  const meters = hoursMeters(form.register)
  return c.html(
    <FormSheet form={form} title="Hours" action="/write/hours" first="Write it down">
      {meters.length === 0 ? (
        <p>
          No hours meter is in the book yet. <a href="/write/meter-fitted">Write it as fitted</a> first.
        </p>
      ) : (
        <>
          <MeterHours form={form} meters={meters} />
          <Boxes form={form} kind={hoursRead} only={['note']} />
        </>
      )}
    </FormSheet>,
    status,
  )
}

routes.get('/', (c) => show(c, freshForm(c)))

routes.post('/', async (c) => {
  const typed = await typedIn(c)
  const reading = readingOf(c)
  const meters = hoursMeters(reading.register)
  const when = readWhen(typed, reading)
  const hand = readHand(typed)
  const read = readHours(typed, reading, meters)
  const refusals = [
    ...read.refusals,
    ...(read.drafts.length > 0
      ? []
      : [
          {
            field: meters[0] ? `${hoursPrefix(meters[0])}reading` : '',
            problem: 'Hours: got nothing, expected what at least one meter shows, such as 1243.6.',
          },
        ]),
    ...(when.ok ? [] : when.refusals),
    ...(hand.ok ? [] : hand.refusals),
  ]
  if (!when.ok || !hand.ok || refusals.length > 0)
    return show(c, formOf(c, typed, { refusals, turns: when.ok ? undefined : when.turns }), 422)
  const note = typed.get('note').replace(/\r\n?/g, '\n').trim()
  const asked = read.drafts.map(({ data, prefix }, index) => ({
    prefix,
    ...questioned(
      reading.timeline,
      reading.register,
      hoursRead,
      // A note is kept once, with the first meter that was read.
      index === 0 && note !== '' ? { ...data, note } : data,
      when.at,
      typed,
      prefix,
    ),
  }))
  const questions = asked.flatMap(({ question }) => (question ? [question] : []))
  if (questions.length > 0) return show(c, formOf(c, typed, { questions }), 422)
  const sent = send(
    c,
    typed,
    hand.hand,
    asked.map(({ data, prefix }) => ({ type: hoursRead.type, occurredAt: when.occurredAt, data, prefix })),
  )
  return sent.ok
    ? sent.response
    : show(c, formOf(c, typed.with({ [formBoxes.key]: sent.key }), { refusals: sent.refusals }), sent.status)
})

/** Hours: what every hours meter shows, in one form. */
export const writeHours: Page = { path: '/write/hours', title: 'Hours', tab: false, routes }
