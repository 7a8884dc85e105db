import { type Context, Hono } from 'hono'
import { checkMade } from '../../events/check-made.ts'
import type { Refusal } from '../../events/define.ts'
import { roundsMade, roundsSets } from '../../events/rounds-made.ts'
import { type Runs, runs } from '../../projections/runs.ts'
import { fold } from '../../projections/timeline.ts'
import { Caution } from '../components/caution.tsx'
import { Choice } from '../components/field.tsx'
import { formatNumber } from '../components/figure.tsx'
import { type Check, checksOf, gradeWords, type RoundsSet } from '../form/checks.ts'
import { fieldsOf, parseForm, readData, unitBox } from '../form/fields.ts'
import { formBoxes, keyOf, send } from '../form/send.ts'
import { type Typed, typedIn } from '../form/typed.ts'
import {
  Boxes,
  type Form,
  FormStyle,
  formOf,
  freshForm,
  Hidden,
  optionsOf,
  Refused,
  readingOf,
  WhenAndHand,
} from '../form.tsx'
import { Sheet } from '../layout.tsx'
import type { Env, Page } from '../page.ts'
import { enginesOf } from './write-engine.tsx'

const routes = new Hono<Env>()

const addressOf = (set: RoundsSet): string => `/rounds/${set.replace(' ', '-')}`
const setAt = (slug: string): RoundsSet | undefined => roundsSets.find((set) => set.replace(' ', '-') === slug)

/** The box that says which check is open next; a form that is posted with it is drawn again and writes nothing. */
const openBox = 'open'

const prefixOf = (check: Check): string => `${check.key}/`
const anchorOf = (check: Check): string => check.key.replaceAll('/', '-')

const specs = new Map(fieldsOf(checkMade).map((spec) => [spec.name, spec]))

/** Whether anything was said at a check. */
const isAnswered = (typed: Typed, check: Check): boolean =>
  [...check.fields, 'note'].some((name) => typed.get(prefixOf(check) + name).trim() !== '')

/** What was said at a check, short, for its line. */
function saidAt(typed: Typed, check: Check): string {
  const prefix = prefixOf(check)
  const parts = check.fields.flatMap((name): string[] => {
    const value = typed.get(prefix + name).trim()
    if (value === '') return []
    const { meta, input } = specs.get(name)!
    if (input === 'quantity') return [`${value}\u00a0${typed.get(unitBox(prefix + name)) || ''}`.trim()]
    if (input === 'flag') return value === 'yes' ? [meta.title.toLowerCase()] : []
    return [meta.words?.[value] ?? value]
  })
  return parts.length > 0 ? parts.slice(0, 2).join(', ') : isAnswered(typed, check) ? 'noted' : ''
}

/** The set that suits: running while she runs, after stopping within two hours of a stop, else before starting. */
function setNow(state: Runs, now: number): RoundsSet {
  if (state.open.size > 0) return 'running'
  const stopped = state.runs.at(-1)?.stopped
  return stopped && now - stopped.at < 2 * 3_600_000 ? 'after stopping' : 'before starting'
}

const show = (c: Context<Env>, set: RoundsSet, form: Form, status: 200 | 409 | 422 = 200) => {
  const { register, typed, view } = form
  const checks = checksOf(register, set)
  const engines = enginesOf(register)
  const done = checks.filter((check) => isAnswered(typed, check)).length
  const refused = new Set(
    checks
      .filter((check) => form.refusals.some(({ field }) => field.startsWith(prefixOf(check))))
      .map(({ key }) => key),
  )
  const open = typed.get(openBox) || (refused.size > 0 ? '' : (checks[0]?.key ?? ''))
  const openAt = checks.findIndex((check) => check.key === open)
  const nextKey = (index: number) => (index < 0 ? undefined : checks[index + 1]?.key) ?? 'end'
  return c.html(
    <Sheet
      view={view}
      title="Rounds"
      page="/rounds"
      head={<FormStyle />}
      stand={[
        ...(engines.length === 1 ? [{ label: 'Of', value: engines[0]!.name }] : []),
        { label: 'Done', value: `${formatNumber(done)} of ${formatNumber(checks.length)}` },
      ]}
    >
      <nav class="within" aria-label="Sets of rounds">
        {roundsSets.map((one) => (
          <a href={addressOf(one)} {...(one === set ? { 'aria-current': 'page' as const } : {})}>
            {one}
          </a>
        ))}
      </nav>
      <Refused form={form} />
      {checks.length === 0 ? (
        <p class="body">
          Nothing to look at is in the book yet. <a href="/write/equipment-fitted">Write what is fitted</a> first.
        </p>
      ) : (
        <form method="post" action={addressOf(set)} novalidate class="rounds">
          {/* Enter in a box goes on to the next check; it does not write the rounds. */}
          <button class="away" tabindex={-1} aria-hidden="true" name={openBox} value={nextKey(openAt)}>
            Next check
          </button>
          <Hidden form={form} names={[formBoxes.key, formBoxes.from]} />
          {checks.map((check, index) => (
            <CheckPart
              form={form}
              check={check}
              index={index}
              open={check.key === open || refused.has(check.key)}
              next={nextKey(index)}
              action={`${addressOf(set)}#${checks[index + 1] ? anchorOf(checks[index + 1]!) : 'end'}`}
            />
          ))}
          <section class="body entry-form" id="end">
            <Boxes form={form} kind={roundsMade} only={['asUsual', 'note']} />
            {set === 'running' ? (
              <p>
                The gauges have a form of their own: <a href="/write/readings">Readings</a>
              </p>
            ) : (
              ''
            )}
            <WhenAndHand form={form} />
            <div class="buttons">
              <button class="first" type="submit">
                Write the rounds
              </button>
            </div>
          </section>
        </form>
      )}
    </Sheet>,
    status,
  )
}

const CheckPart = (props: { form: Form; check: Check; index: number; open: boolean; next: string; action: string }) => {
  const { form, check, index, open, next, action } = props
  const prefix = prefixOf(check)
  const said = saidAt(form.typed, check)
  const [first, ...rest] = check.fields
  const words = gradeWords[first!]
  const spec = specs.get(first!)!
  return (
    <details class={said === '' ? 'check' : 'check answered'} id={anchorOf(check)} open={open}>
      <summary>
        <span class="no">{index + 1}</span>
        <span class="what">{check.title}</span>
        <span class="got">{said}</span>
      </summary>
      <div class="at-it">
        {check.caution ? <Caution first={check.caution.first} then={check.caution.also} /> : ''}
        {check.how === undefined ? '' : <p>{check.how}</p>}
        {words ? (
          <Choice
            name={prefix + first}
            label={spec.meta.title}
            value={form.typed.get(prefix + first)}
            grades
            {...(first === 'dust' ? { swatch: (value: string) => (value === '' ? undefined : value) } : {})}
            options={[
              ...optionsOf(spec).map((option) => ({ ...option, says: words[option.value] ?? '' })),
              { value: '', word: 'not looked at' },
            ]}
            refusal={form.refusals.find(({ field }) => field === prefix + first)?.problem}
          />
        ) : (
          ''
        )}
        <Boxes form={form} kind={checkMade} only={[...(words ? rest : check.fields), 'note']} prefix={prefix} />
        <div class="buttons">
          <button
            class="first"
            name={openBox}
            value={next}
            formaction={action}
            hx-post={action}
            hx-target="#sheet"
            hx-select="#sheet"
            hx-swap="outerHTML"
          >
            {next === 'end' ? 'That was the last' : 'Next check'}
          </button>
        </div>
      </div>
    </details>
  )
}

routes.get('/', (c) => {
  const { timeline, now } = readingOf(c)
  return show(c, setNow(fold(runs, timeline), now), freshForm(c))
})

routes.get('/:set', (c) => {
  const set = setAt(c.req.param('set'))
  return set ? show(c, set, freshForm(c)) : c.notFound()
})

routes.post('/:set', async (c) => {
  const set = setAt(c.req.param('set'))
  if (!set) return c.notFound()
  const posted = await typedIn(c)
  const key = keyOf(posted)
  const typed = posted.with({ [formBoxes.key]: key })
  if (typed.get(openBox) !== '') return show(c, set, formOf(c, typed))

  const reading = readingOf(c)
  const checks = checksOf(reading.register, set)
  const answered = checks.filter((check) => isAnswered(typed, check))
  const asUsual = typed.get('asUsual')
  const engines = enginesOf(reading.register)
  const parsed = parseForm(
    roundsMade,
    typed.with({
      set,
      looked: String(asUsual === 'all as usual' ? checks.length : answered.length),
      ...(engines.length === 1 ? { equipment: engines[0]!.handle } : {}),
    }),
    reading,
  )
  const made = answered.map((check) => ({
    prefix: prefixOf(check),
    ...readData(
      checkMade,
      typed.with({
        [`${prefixOf(check)}equipment`]: check.equipment,
        [`${prefixOf(check)}rounds`]: key,
        [`${prefixOf(check)}part`]: check.part ?? '',
      }),
      reading,
      prefixOf(check),
    ),
  }))
  const nothing: Refusal[] =
    answered.length === 0 && asUsual === ''
      ? [
          {
            field: 'asUsual',
            problem:
              'Rounds: got no check and nothing about the rest; grade at least one, or say that all is as usual.',
          },
        ]
      : []
  const refusals = [...nothing, ...made.flatMap((one) => one.refusals), ...(parsed.ok ? [] : parsed.refusals)]
  if (!parsed.ok || refusals.length > 0)
    return show(c, set, formOf(c, typed, { refusals, turns: parsed.ok ? undefined : parsed.turns }), 422)
  const { occurredAt } = parsed
  const sent = send(c, typed, parsed.hand, [
    { type: roundsMade.type, occurredAt, data: parsed.data },
    ...made.map(({ data, prefix }) => ({ type: checkMade.type, occurredAt, data, prefix })),
  ])
  return sent.ok
    ? sent.response
    : show(c, set, formOf(c, typed.with({ [formBoxes.key]: sent.key }), { refusals: sent.refusals }), sent.status)
})

/** Rounds: what to look at, in which order, and how it was found. */
export const rounds: Page = { path: '/rounds', title: 'Rounds', tab: true, routes }
