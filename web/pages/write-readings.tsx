import { type Context, Hono } from 'hono'
import { readingsTaken } from '../../events/readings-taken.ts'
import { fieldsOf, parseForm } from '../form/fields.ts'
import { questioned } from '../form/questions.ts'
import { formBoxes, send } from '../form/send.ts'
import { typedIn } from '../form/typed.ts'
import { Boxes, type Form, FormSheet, formOf, freshForm, Hidden, readingOf } from '../form.tsx'
import type { Env, Page } from '../page.ts'
import { enginesOf } from './write-engine.tsx'

const routes = new Hono<Env>()

/** What is read at every look at the gauges; the rest stands under "More". */
const common = ['hours', 'speed', 'amps', 'volts', 'stage', 'otherCharging', 'coolant', 'oilPressure']

const rest = fieldsOf(readingsTaken)
  .map((spec) => spec.name)
  .filter((name) => ![...common, 'equipment', 'confirmed', 'why', 'note'].includes(name))

const show = (c: Context<Env>, form: Form, status: 200 | 409 | 422 = 200) => {
  const engines = enginesOf(form.register)
  const single = engines.length === 1
  const open = form.refusals.some(({ field }) => rest.includes(field)) || form.typed.some((name) => rest.includes(name))
  return c.html(
    <FormSheet
      form={form}
      title="Readings"
      action="/write/readings"
      first="Write them down"
      stand={single ? [{ label: 'Engine', value: engines[0]!.name }] : []}
    >
      {engines.length === 0 ? (
        <p>
          No engine is in the book yet. <a href="/write/equipment-fitted?kind=engine">Write it as fitted</a> first.
        </p>
      ) : (
        ''
      )}
      {single ? (
        <Hidden form={form} names={['equipment']} />
      ) : (
        <Boxes form={form} kind={readingsTaken} only={['equipment']} />
      )}
      <Boxes form={form} kind={readingsTaken} only={common} />
      <details open={open}>
        <summary>More readings</summary>
        <Boxes form={form} kind={readingsTaken} only={rest} />
      </details>
      <Boxes form={form} kind={readingsTaken} only={['note']} />
    </FormSheet>,
    status,
  )
}

routes.get('/', (c) => {
  const engines = enginesOf(readingOf(c).register)
  return show(c, freshForm(c, engines[0] ? { equipment: engines[0].handle } : {}))
})

routes.post('/', async (c) => {
  const typed = await typedIn(c)
  const reading = readingOf(c)
  const parsed = parseForm(readingsTaken, typed, reading)
  if (!parsed.ok) return show(c, formOf(c, typed, parsed), 422)
  const { data, question } = questioned(
    reading.timeline,
    reading.register,
    readingsTaken,
    parsed.data,
    parsed.at,
    typed,
  )
  if (question) return show(c, formOf(c, typed, { questions: [question] }), 422)
  if (Object.keys(data).length < 2)
    return show(
      c,
      formOf(c, typed, {
        refusals: [{ field: 'hours', problem: 'Readings: got none, expected what at least one gauge shows.' }],
      }),
      422,
    )
  const sent = send(c, typed, parsed.hand, [{ type: readingsTaken.type, occurredAt: parsed.occurredAt, data }])
  return sent.ok
    ? sent.response
    : show(c, formOf(c, typed.with({ [formBoxes.key]: sent.key }), { refusals: sent.refusals }), sent.status)
})

/** Readings: what the gauges show, the common ones first. */
export const writeReadings: Page = { path: '/write/readings', title: 'Readings', tab: false, routes }
