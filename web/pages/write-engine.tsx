import { type Context, Hono } from 'hono'
import { engineStarted } from '../../events/engine-started.ts'
import { engineStopped } from '../../events/engine-stopped.ts'
import type { Register } from '../../projections/register.ts'
import { type Runs, runs } from '../../projections/runs.ts'
import { fold } from '../../projections/timeline.ts'
import { Caution } from '../components/caution.tsx'
import { clockText, momentText } from '../components/dates.ts'
import { parseForm } from '../form/fields.ts'
import { questioned } from '../form/questions.ts'
import { formBoxes, send } from '../form/send.ts'
import { typedIn } from '../form/typed.ts'
import { Boxes, type Form, FormSheet, FormStyle, formOf, freshForm, Hidden, readingOf } from '../form.tsx'
import { Sheet } from '../layout.tsx'
import type { Env, Page } from '../page.ts'

const routes = new Hono<Env>()

const actBox = 'act'

/** What is started and stopped: engines, generators, outboards. */
export const enginesOf = (register: Register) =>
  [...register.equipment.values()].filter(
    (one) => !one.removed && (one.kind === 'engine' || one.kind === 'generator' || one.kind === 'outboard'),
  )

/** The engines, those that run first. */
function enginesInOrder(register: Register, state: Runs) {
  const all = enginesOf(register)
  return [...all.filter((one) => state.open.has(one.handle)), ...all.filter((one) => !state.open.has(one.handle))]
}

const show = (c: Context<Env>, form: Form, status: 200 | 409 | 422 = 200) => {
  const { register, timeline, typed } = form
  const state = fold(runs, timeline)
  const engines = enginesInOrder(register, state)
  const engine = engines.find((one) => one.handle === typed.get('equipment'))
  if (!engine)
    return c.html(
      <Sheet view={form.view} title="Engine start and stop" page="/write" head={<FormStyle />}>
        <section class="part body">
          <p>
            No engine is in the book yet. <a href="/write/equipment-fitted?kind=engine">Write it as fitted</a> first.
          </p>
        </section>
      </Sheet>,
      status,
    )
  const run = state.open.get(engine.handle)
  const stopping = typed.get(actBox) === 'stop'
  const address = (handle: string, act?: string) =>
    `/write/engine?equipment=${handle}${act === undefined ? '' : `&act=${act}`}`
  const others = engines.filter((one) => one !== engine)
  return c.html(
    <FormSheet
      form={form}
      title={`${engine.name}: ${stopping ? 'stop' : 'start'}`}
      action="/write/engine"
      first={stopping ? 'Stop' : 'Start'}
      stand={[
        run
          ? {
              label: 'Running',
              value: `since ${clockText(run.started.at, timeline.zoneAt(run.started.at))}`,
              small: run.purpose ?? '',
            }
          : { label: 'Engine', value: 'stopped' },
      ]}
      above={
        others.length === 0 ? (
          ''
        ) : (
          <nav class="within" aria-label="Engines">
            {engines.map((one) => (
              <a href={address(one.handle)} {...(one === engine ? { 'aria-current': 'page' as const } : {})}>
                {one.name}
                {state.open.has(one.handle) ? ', running' : ''}
              </a>
            ))}
          </nav>
        )
      }
      beside={
        <a class="button" href={address(engine.handle, stopping ? 'start' : 'stop')}>
          {stopping ? 'Write a start' : 'Write a stop'}
        </a>
      }
    >
      <Hidden form={form} names={[actBox, 'equipment']} />
      {stopping ? (
        <Boxes form={form} kind={engineStopped} only={['hours', 'note']} />
      ) : (
        <>
          {run ? (
            <p>
              <b>She is written down as running since {momentText(run.started.at, timeline.zoneAt(run.started.at))}.</b>{' '}
              A start now leaves that run without its stop.
            </p>
          ) : (
            <Caution
              first="Hands, sleeves and hair clear of belts and shaft, lines out of the water, before the key is turned."
              then="Whoever is at the engine door knows that she is about to turn."
            />
          )}
          <Boxes form={form} kind={engineStarted} only={['purpose', 'hours', 'rawWaterSeen']} />
          <details open={form.refusals.some(({ field }) => field.startsWith('cranking') || field === 'note')}>
            <summary>How she cranked, and a note</summary>
            <Boxes form={form} kind={engineStarted} only={['crankingTime', 'crankingVolts', 'note']} />
          </details>
        </>
      )}
    </FormSheet>,
    status,
  )
}

routes.get('/', (c) => {
  const { timeline, register } = readingOf(c)
  const state = fold(runs, timeline)
  const engines = enginesInOrder(register, state)
  const engine = engines.find((one) => one.handle === c.req.query('equipment')) ?? engines[0]
  return show(
    c,
    freshForm(c, {
      ...(engine ? { equipment: engine.handle, [actBox]: state.open.has(engine.handle) ? 'stop' : 'start' } : {}),
    }),
  )
})

routes.post('/', async (c) => {
  const typed = await typedIn(c)
  const reading = readingOf(c)
  const kind = typed.get(actBox) === 'stop' ? engineStopped : engineStarted
  const parsed = parseForm(kind, typed, reading)
  if (!parsed.ok) return show(c, formOf(c, typed, parsed), 422)
  const { data, question } = questioned(reading.timeline, reading.register, kind, parsed.data, parsed.at, typed)
  if (question) return show(c, formOf(c, typed, { questions: [question] }), 422)
  const sent = send(c, typed, parsed.hand, [{ type: kind.type, occurredAt: parsed.occurredAt, data }])
  return sent.ok
    ? sent.response
    : show(c, formOf(c, typed.with({ [formBoxes.key]: sent.key }), { refusals: sent.refusals }), sent.status)
})

/** Engine start and stop; an engine that runs shows its stop first. */
export const writeEngine: Page = { path: '/write/engine', title: 'Engine', tab: false, routes }
