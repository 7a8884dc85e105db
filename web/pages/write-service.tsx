import { type Context, Hono } from 'hono'
import { serviceDone } from '../../events/service-done.ts'
import { worksOf } from '../../events/works.ts'
import { cautionFor, cautions } from '../../projections/cautions.ts'
import type { Register, Task } from '../../projections/register.ts'
import { TradeCaution } from '../components/cautions.tsx'
import { Choice } from '../components/field.tsx'
import { parseForm } from '../form/fields.ts'
import { EquipmentPicker } from '../form/kind-form.tsx'
import { questioned } from '../form/questions.ts'
import { formBoxes, send } from '../form/send.ts'
import { type Typed, typedIn } from '../form/typed.ts'
import { Boxes, type Form, FormSheet, formOf, freshForm, Hidden, readingOf } from '../form.tsx'
import type { Env, Page } from '../page.ts'

const routes = new Hono<Env>()

/** Works that take an old part out: what is said of the old part belongs to each of them. */
const takesPartOut = /renewed|removed|changed/

/** Fields that belong to every work that is ticked; the others are kept once, with the first. */
const ofEach = new Set(['equipment', 'work', 'hours', 'confirmed', 'by'])

const taskIn = (form: Pick<Form, 'typed' | 'register'>): Task | undefined =>
  form.register.tasks.get(form.typed.get('task'))

const show = (c: Context<Env>, form: Form, status: 200 | 409 | 422 = 200) => {
  const { register, typed } = form
  const task = taskIn(form)
  const equipment = register.equipment.get(typed.get('equipment'))
  if (!equipment) return c.html(<EquipmentPicker c={c} form={form} title="Service" />, status)
  const caution = task?.data.caution ? cautions[task.data.caution] : cautionFor(equipment.kind)
  const works = worksOf(equipment.kind)
  return c.html(
    <FormSheet
      form={form}
      title="Service"
      action="/write/service"
      first="Write it down"
      stand={[
        { label: 'Equipment', value: equipment.name },
        ...(equipment.data.place === undefined ? [] : [{ label: 'Where', value: equipment.data.place }]),
        ...(task ? [{ label: 'Upkeep', value: task.data.name }] : []),
        ...(task?.data.parts === undefined ? [] : [{ label: 'Parts', value: task.data.parts }]),
      ]}
      beside={
        <a class="button" href="/write/service">
          Other equipment
        </a>
      }
    >
      <Hidden form={form} names={['equipment', 'task']} />
      {caution ? <TradeCaution of={caution} /> : ''}
      <Choice
        name="work"
        label="Work done, one or several"
        several
        value={typed.all('work').join(',')}
        options={works.map((work) => ({ value: work, word: work }))}
        refusal={form.refusals.find(({ field }) => field === 'work')?.problem}
        help="Each becomes an entry of its own; each counts for the upkeep that asks for it."
      />
      <Boxes form={form} kind={serviceDone} only={['hours', 'by']} />
      <Boxes
        form={form}
        kind={serviceDone}
        equipmentKind={equipment.kind}
        without={[...ofEach]}
        labels={{ condition: 'Old part came out' }}
      />
      <p class="help">
        With several works, parts, cost, settings and note are kept once, with the first; how the old part came out is
        kept with each work that takes one out.
      </p>
    </FormSheet>,
    status,
  )
}

routes.get('/', (c) => {
  const { register } = readingOf(c)
  const task = register.tasks.get(c.req.query('task') ?? '')
  return show(c, freshForm(c, task ? { equipment: task.data.equipment, work: task.data.work } : {}))
})

routes.post('/', async (c) => {
  const typed = await typedIn(c)
  const reading = readingOf(c)
  const refuse = (wrong: Parameters<typeof formOf>[2]) => show(c, formOf(c, typed, wrong), 422)
  const works = typed.all('work').filter((work) => work !== '')
  // The form is read once, with the first work; the others share what belongs to each.
  const parsed = parseForm(serviceDone, works.length > 0 ? typed : without(typed, 'work'), reading)
  const foreign = foreignWork(works, typed, reading.register)
  if (!parsed.ok || foreign !== null) {
    const refusals = parsed.ok ? [] : parsed.refusals
    return refuse({
      refusals: [
        ...(works.length === 0
          ? [{ field: 'work', problem: 'Work done: got none, expected at least one to be ticked.' }]
          : foreign === null
            ? []
            : [{ field: 'work', problem: foreign }]),
        ...refusals.filter(({ field }) => field !== 'work'),
      ],
      turns: parsed.ok ? undefined : parsed.turns,
    })
  }
  const { data, question } = questioned(reading.timeline, reading.register, serviceDone, parsed.data, parsed.at, typed)
  if (question) return refuse({ questions: [question] })
  const { condition, ...rest } = data
  const each = Object.fromEntries(Object.entries(rest).filter(([name]) => ofEach.has(name)))
  const takers = works.filter((work) => takesPartOut.test(work))
  const sent = send(
    c,
    typed,
    parsed.hand,
    works.map((work, index) => ({
      type: serviceDone.type,
      occurredAt: parsed.occurredAt,
      data: {
        ...(index === 0 ? rest : each),
        work,
        ...(condition !== undefined && (takers.length === 0 ? index === 0 : takers.includes(work))
          ? { condition }
          : {}),
      },
    })),
  )
  return sent.ok
    ? sent.response
    : show(c, formOf(c, typed.with({ [formBoxes.key]: sent.key }), { refusals: sent.refusals }), sent.status)
})

const without = (typed: Typed, name: string): Typed => typed.with({ [name]: '' })

/** A work that is not done to this kind of equipment, in a sentence; null when all are. */
function foreignWork(works: readonly string[], typed: Typed, register: Register): string | null {
  const equipment = register.equipment.get(typed.get('equipment'))
  if (!equipment) return null
  const known: readonly string[] = worksOf(equipment.kind)
  const foreign = works.find((work) => !known.includes(work))
  return foreign === undefined
    ? null
    : `Work done: got "${foreign}", expected works of a ${equipment.kind}: ${known.join(', ')}.`
}

/** Service: one or several works on one piece of equipment, each an entry. */
export const writeService: Page = { path: '/write/service', title: 'Service', tab: false, routes }
