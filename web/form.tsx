import type { Context } from 'hono'
import type { Child } from 'hono/jsx'
import type { Kind, Refusal } from '../events/define.ts'
import { symbolOf, unitsOf } from '../events/units.ts'
import { carried } from '../projections/carried.ts'
import { type Register, register } from '../projections/register.ts'
import { settings } from '../projections/settings.ts'
import { fold, type Timeline } from '../projections/timeline.ts'
import { shipDay, shortDayText } from './components/dates.ts'
import { Buttons, Choice, Field, type Option } from './components/field.tsx'
import { Problem } from './components/problem.tsx'
import { askedApart, type FieldSpec, fieldsOf, handBox, offeredUnit, type Reading, unitBox } from './form/fields.ts'
import { boxesNow, type Turn, whenBoxes } from './form/moment.ts'
import { confirmBoxes, isConfirmed, type Question } from './form/questions.ts'
import { cameFrom, formBoxes, freshKey } from './form/send.ts'
import { Typed, typedOf } from './form/typed.ts'
import { Sheet, type Stand } from './layout.tsx'
import type { Env, View } from './page.ts'

/** Everything that a form is drawn from. */
export interface Form {
  readonly view: View
  /** The fair log as it stands now: one writes into the present, whatever past is looked at. */
  readonly timeline: Timeline
  readonly register: Register
  readonly reading: Reading
  readonly typed: Typed
  /** What is wrong, by box; the box '' is the whole form. */
  readonly refusals: readonly Refusal[]
  /** The two moments that a time may mean, when that was asked. */
  readonly turns?: readonly Turn[] | undefined
  /** A new reading that was questioned, by the prefix of its entry: the sentence stands at the box it names. */
  readonly questions: readonly Question[]
}

/** What reading and drawing a form takes from the book, as it stands now. */
export function readingOf(c: Context<Env>): Reading & { timeline: Timeline } {
  const book = c.get('book')
  const timeline = book.timeline()
  return {
    timeline,
    zoneAt: timeline.zoneAt,
    now: book.now(),
    settings: fold(settings, timeline),
    register: fold(register, timeline),
  }
}

/** A form that is shown for the first time: the present moment, the hand of the device, what the address says, over `preset`. */
export function freshForm(c: Context<Env>, preset: Readonly<Record<string, string>> = {}): Form {
  const reading = readingOf(c)
  const asked = typedOf(c)
  const boxes: Record<string, string> = {
    ...boxesNow(reading),
    [handBox]: c.get('view').hand,
    ...preset,
  }
  for (const name of Object.keys(c.req.queries()))
    if (!name.includes('.') && name !== 'from') boxes[name] = asked.get(name)
  boxes[formBoxes.key] = freshKey()
  boxes[formBoxes.from] ??= cameFrom(c)
  return formOf(c, new Typed(Object.entries(boxes)))
}

/** A form with what was typed and what is wrong with it. */
export function formOf(
  c: Context<Env>,
  typed: Typed,
  wrong: { refusals?: readonly Refusal[]; turns?: readonly Turn[] | undefined; questions?: readonly Question[] } = {},
): Form {
  const reading = readingOf(c)
  return {
    view: c.get('view'),
    timeline: reading.timeline,
    register: reading.register,
    reading,
    typed,
    refusals: wrong.refusals ?? [],
    questions: wrong.questions ?? [],
    turns: wrong.turns,
  }
}

const refusalAt = (form: Form, box: string): string | undefined =>
  form.refusals.find((refusal) => refusal.field === box)?.problem

/** The style sheet of the forms, for the head of their pages. */
export const FormStyle = () => <link rel="stylesheet" href="/static/forms.css" />

/**
 * A page that is a form.
 * @param page the tab that is open while it is filled in
 * @param above what stands above the form: a caution, the entry as it now stands
 * @param first the word on the button
 */
export const FormSheet = (props: {
  form: Form
  title: string
  page?: string
  action: string
  first: string
  stand?: readonly Stand[]
  above?: Child
  beside?: Child
  tools?: Child
  children?: Child
}) => {
  const { form, title, page = '/write', action, first, stand = [], above, beside, tools, children } = props
  return (
    <Sheet view={form.view} title={title} page={page} stand={stand} head={<FormStyle />} tools={tools}>
      {above}
      <Refused form={form} />
      <form class="body entry-form" method="post" action={action} novalidate>
        <Hidden form={form} names={Object.values(formBoxes)} />
        {children}
        <WhenAndHand form={form} />
        <Buttons first={first}>{beside}</Buttons>
      </form>
    </Sheet>
  )
}

/** Boxes that are carried along unseen; those that are empty are left out. */
export const Hidden = ({ form, names }: { form: Form; names: readonly string[] }) => (
  <>
    {names.map((name) => {
      const value = form.typed.get(name)
      return value === '' ? '' : <input type="hidden" name={name} value={value} />
    })}
  </>
)

/** Above a form that was not written: what is to be mended, each thing leading to its box. It takes the focus. */
export const Refused = ({ form }: { form: Form }) => {
  const problems = [
    ...form.refusals,
    ...form.questions.map(({ box, sentence }): Refusal => ({ field: box, problem: sentence })),
  ]
  if (problems.length === 0) return null
  return (
    <div class="body refused" tabindex={-1} autofocus>
      <Problem title="Nothing has been written yet." problems={problems} kept="What you typed is kept." />
    </div>
  )
}

/** When it happened, in ship's time, and whose hand writes. */
export const WhenAndHand = ({ form }: { form: Form }) => {
  const { typed, reading, turns } = form
  return (
    <>
      <div class="fields when">
        <Field
          name={whenBoxes.date}
          label="Day"
          value={typed.get(whenBoxes.date)}
          refusal={refusalAt(form, whenBoxes.date)}
          required
        />
        <Field
          name={whenBoxes.time}
          label="Time"
          value={typed.get(whenBoxes.time)}
          inputmode="decimal"
          refusal={refusalAt(form, whenBoxes.time)}
        />
        <Field
          name={handBox}
          label="Hand"
          value={typed.get(handBox)}
          refusal={refusalAt(form, handBox)}
          autocomplete="off"
          required
        />
      </div>
      {turns === undefined ? (
        <Hidden form={form} names={[whenBoxes.turn]} />
      ) : (
        <Choice
          name={whenBoxes.turn}
          label="Which one"
          value={typed.get(whenBoxes.turn)}
          options={turns.map(({ value, words }) => ({ value, word: words }))}
          refusal={refusalAt(form, whenBoxes.turn)}
        />
      )}
      <p class="help">Ship’s time, {reading.zoneAt(reading.now)}. Leave the time empty if only the day is known.</p>
    </>
  )
}

/** What a form asks of one kind beside its fields. */
interface BoxesProps {
  form: Form
  kind: Kind
  /** Only these fields, in this order; absent: all of the kind that make sense for the equipment. */
  only?: readonly string[]
  /** Fields that are not drawn. */
  without?: readonly string[]
  /** Kind of the equipment that it is about: fields that make no sense for it are left out. */
  equipmentKind?: string | undefined
  prefix?: string
  /** Labels that say more than the schema can, by field. */
  labels?: Readonly<Record<string, string>>
  /** The choices that make sense here, by field, where the schema allows more. */
  offer?: Readonly<Record<string, readonly string[]>>
}

/** The boxes of one kind's fields, made from its schema. */
export const Boxes = ({
  form,
  kind,
  only,
  without = [],
  equipmentKind,
  prefix = '',
  labels = {},
  offer = {},
}: BoxesProps) => {
  const all = fieldsOf(kind).map((spec) => ({
    ...spec,
    choices: offer[spec.name] ?? spec.choices,
    meta: { ...spec.meta, title: labels[spec.name] ?? spec.meta.title },
  }))
  const wanted = only
    ? only.map((name) => all.find((spec) => spec.name === name)!)
    : all.filter((spec) => !askedApart.has(spec.name) && !without.includes(spec.name))
  return (
    <>
      {groups(wanted.filter((spec) => makesSense(spec, equipmentKind, form.typed.get(prefix + spec.name)))).map(
        (group) =>
          group.length === 1 ? (
            <Box form={form} kind={kind} spec={group[0]!} prefix={prefix} />
          ) : (
            <div class="fields">
              {group.map((spec) => (
                <Box form={form} kind={kind} spec={spec} prefix={prefix} />
              ))}
            </div>
          ),
      )}
    </>
  )
}

const makesSense = (spec: FieldSpec, equipmentKind: string | undefined, value: string): boolean =>
  value !== '' || equipmentKind === undefined || !spec.meta.only || spec.meta.only.includes(equipmentKind)

const isFigure = (spec: FieldSpec): boolean => ['quantity', 'number', 'money', 'day'].includes(spec.input)

/** Figures that follow each other stand side by side where there is room. */
function groups(specs: readonly FieldSpec[]): FieldSpec[][] {
  const made: FieldSpec[][] = []
  for (const spec of specs) {
    const open = made[made.length - 1]
    if (open && isFigure(spec) && isFigure(open[0]!)) open.push(spec)
    else made.push([spec])
  }
  return made
}

/** The words of a field's choices. */
export const optionsOf = (spec: FieldSpec): Option[] =>
  spec.choices.map((value) => ({ value, word: spec.meta.words?.[value] ?? value }))

/** The word for the answer that is none. */
const notSaid = 'not said'

const Box = ({ form, kind, spec, prefix }: { form: Form; kind: Kind; spec: FieldSpec; prefix: string }) => {
  const { meta } = spec
  const name = prefix + spec.name
  const value = form.typed.get(name)
  const refusal = refusalAt(form, name)
  const common = {
    name,
    value,
    label: meta.title,
    refusal,
    ...(meta.help === undefined ? {} : { help: meta.help }),
  }
  switch (spec.input) {
    case 'quantity':
    case 'money':
      return <QuantityBox form={form} spec={spec} prefix={prefix} />
    case 'number':
      return <Field {...common} inputmode="decimal" required={spec.required} />
    case 'flag':
      return (
        <Choice
          {...common}
          options={[
            { value: 'yes', word: 'yes' },
            { value: 'no', word: 'no' },
          ]}
          {...(spec.required ? {} : { none: notSaid })}
        />
      )
    case 'choice':
      return spec.choices.length > 20 ? (
        <Field {...common} list={spec.choices} required={spec.required} />
      ) : (
        <Choice {...common} options={optionsOf(spec)} {...(spec.required ? {} : { none: notSaid })} />
      )
    case 'handle':
      return spec.introduces ? (
        <Field {...common} required />
      ) : (
        <HandleBox form={form} kind={kind} spec={spec} prefix={prefix} />
      )
    case 'entry':
      return <EntryBox form={form} spec={spec} prefix={prefix} />
    case 'prose':
      return <Field {...common} long required={spec.required} />
    default:
      return <Field {...common} required={spec.required} />
  }
}

/** A figure and its unit: the unit stands in a small box of its own, filled in with the one that is shown aboard. */
const QuantityBox = ({ form, spec, prefix }: { form: Form; spec: FieldSpec; prefix: string }) => {
  const { meta } = spec
  const name = prefix + spec.name
  const { typed, reading } = form
  const refusal = refusalAt(form, name)
  const question = form.questions.find((one) => one.box === name)
  const units = meta.dimension ? unitsOf(meta.dimension) : []
  const offered = meta.dimension
    ? symbolOf(offeredUnit({ ...meta, dimension: meta.dimension }, reading.settings))
    : (reading.settings.currency ?? '')
  const unit = typed.has(unitBox(name)) ? typed.get(unitBox(name)) : offered
  const described = [
    refusal || question ? `f-${name}-refusal` : '',
    meta.help === undefined ? '' : `f-${name}-help`,
  ].filter((id) => id !== '')
  return (
    <div class="field quantity">
      <label for={`f-${name}`}>{meta.title}</label>
      <div class="ink-line">
        <input
          type="text"
          inputmode="decimal"
          autocomplete="off"
          id={`f-${name}`}
          name={name}
          value={typed.get(name)}
          required={spec.required}
          {...(described.length === 0 ? {} : { 'aria-describedby': described.join(' ') })}
          {...(refusal || question ? { 'aria-invalid': 'true' as const } : {})}
        />
        {units.length === 1 ? (
          <span class="unit">{offered}</span>
        ) : (
          <input
            type="text"
            class="unit"
            autocomplete="off"
            autocapitalize="off"
            name={unitBox(name)}
            value={unit}
            aria-label={
              meta.money
                ? `Currency: ${meta.title}`
                : `Unit of ${meta.title}: ${units.map((row) => row.symbol).join(', ')}`
            }
          />
        )}
      </div>
      {refusal ? (
        <p class="refusal" id={`f-${name}-refusal`}>
          {refusal}
        </p>
      ) : (
        ''
      )}
      {question ? <Confirm form={form} question={question} /> : <Confirmed form={form} name={name} prefix={prefix} />}
      {meta.help === undefined ? (
        ''
      ) : (
        <p class="help" id={`f-${name}-help`}>
          {meta.help}
        </p>
      )}
    </div>
  )
}

const Confirm = ({ form, question }: { form: Form; question: Question }) => {
  const { right, asked } = confirmBoxes(question.prefix)
  return (
    <div class="questioned">
      <p class="refusal" id={`f-${question.box}-refusal`}>
        {question.sentence}
      </p>
      <input type="hidden" name={asked} value={form.typed.get(question.box).trim()} />
      <div class="choose">
        <label>
          <input type="checkbox" name={right} value="yes" /> It is right all the same
        </label>
      </div>
    </div>
  )
}

/** A figure that was confirmed stays so while something else in the form is mended. */
const Confirmed = ({ form, name, prefix }: { form: Form; name: string; prefix: string }) => {
  const { right, asked } = confirmBoxes(prefix)
  if (form.typed.get(name) === '' || !isConfirmed(form.typed, prefix, name)) return null
  return <Hidden form={form} names={[right, asked]} />
}

/** The kinds of equipment that a field means, where the field's own name says so. */
const meant: Readonly<Record<string, readonly string[]>> = {
  'engine-started.equipment': ['engine', 'generator', 'outboard'],
  'engine-stopped.equipment': ['engine', 'generator', 'outboard'],
  'readings-taken.equipment': ['engine', 'generator', 'outboard'],
  'readings-taken.alternator': ['alternator', 'generator'],
  'readings-taken.tank': ['fuel tank'],
  'equipment-fitted.charges': ['battery bank'],
}

/** How many things are offered as radios; more are typed, with their names listed. */
const mostRadios = 6

/** What a handle may be, handle and name, in the order of the register; what is no longer aboard is left out. */
export function offeredHandles(form: Form, kind: Kind, spec: FieldSpec): { handle: string; name: string }[] {
  const { equipment, meters, tasks } = form.register
  if (spec.meta.refers === 'meter') return [...meters.values()].map(({ handle, name }) => ({ handle, name }))
  if (spec.meta.refers === 'task')
    return [...tasks.values()].filter((task) => !task.retired).map(({ handle, data }) => ({ handle, name: data.name }))
  const kinds = meant[`${kind.type}.${spec.name}`]
  return [...equipment.values()]
    .filter((one) => !one.removed && (!kinds || kinds.includes(one.kind)))
    .map(({ handle, name }) => ({ handle, name }))
}

const HandleBox = ({ form, kind, spec, prefix }: { form: Form; kind: Kind; spec: FieldSpec; prefix: string }) => {
  const { meta } = spec
  const name = prefix + spec.name
  const value = form.typed.get(name)
  const refusal = refusalAt(form, name)
  const offered = offeredHandles(form, kind, spec)
  const help = meta.help === undefined ? {} : { help: meta.help }
  const known = value === '' || offered.some((one) => one.handle === value)
  if (offered.length > 0 && offered.length <= mostRadios && known)
    return (
      <Choice
        name={name}
        label={meta.title}
        value={offered.length === 1 && spec.required ? offered[0]!.handle : value}
        refusal={refusal}
        {...help}
        options={offered.map((one) => ({ value: one.handle, word: one.name }))}
        {...(spec.required ? {} : { none: notSaid })}
      />
    )
  const names = offered.map((one) =>
    offered.filter((other) => other.name === one.name).length > 1 ? one.handle : one.name,
  )
  const shown = offered.findIndex((one) => one.handle === value)
  return (
    <div class="by-name">
      <Field
        name={name}
        label={meta.title}
        value={shown < 0 ? value : names[shown]!}
        refusal={refusal}
        required={spec.required}
        {...help}
        // The native list is white at night: there the names stand on the page instead.
        {...(form.view.sheet === 'night' ? {} : { list: names })}
      />
      {names.length === 0 ? (
        <p class="help">{nothingThere[meta.refers ?? 'equipment']}</p>
      ) : (
        <details>
          <summary>Which there are</summary>
          <p class="help">{names.join(' · ')}</p>
        </details>
      )}
    </div>
  )
}

const nothingThere: Readonly<Record<string, string>> = {
  equipment: 'There is none in the book yet: write it as fitted first.',
  meter: 'There is none in the book yet: write the meter as fitted first.',
  task: 'There is none in the book yet: set the upkeep task first.',
  entry: 'There is none that is open.',
}

/** The entries that a field may name: what is open, the latest first. */
function offeredEntries(form: Form, spec: FieldSpec): Option[] {
  const state = fold(carried, form.timeline)
  const open = [
    ...[...state.repairs.values()].filter((one) => one.ended === null).map((one) => one.made),
    ...[...state.defects.values()].filter((one) => one.ended === null).map((one) => one.found),
  ].sort((a, b) => b.at - a.at)
  const chosen = form.typed.get(spec.name)
  const there = [state.repairs.get(chosen)?.made, state.defects.get(chosen)?.found].find((one) => one !== undefined)
  return (there && !open.includes(there) ? [there, ...open] : open).map((entry) => ({
    value: entry.root,
    word: `${form.register.equipment.get(entry.data.equipment)?.name ?? entry.data.equipment}: ${shortened(entry.data.what)} (${shortDayText(shipDay(entry.at, form.timeline.zoneAt(entry.at)))})`,
  }))
}

const shortened = (text: string): string => (text.length > 80 ? `${text.slice(0, 77)}...` : text)

const EntryBox = ({ form, spec, prefix }: { form: Form; spec: FieldSpec; prefix: string }) => {
  const name = prefix + spec.name
  // A check belongs to the rounds it was made in; that is not for typing.
  if (spec.name === 'rounds') return <Hidden form={form} names={[name]} />
  const options = offeredEntries(form, spec)
  const help = spec.meta.help === undefined ? {} : { help: spec.meta.help }
  if (options.length === 0)
    return (
      <div class="field">
        <p class="printed">{spec.meta.title}</p>
        <p id={`f-${name}`} class={refusalAt(form, name) ? 'refusal' : 'help'}>
          {nothingThere.entry}
        </p>
        <Hidden form={form} names={[name]} />
      </div>
    )
  return (
    <Choice
      name={name}
      label={spec.meta.title}
      value={form.typed.get(name)}
      refusal={refusalAt(form, name)}
      options={options}
      {...help}
      {...(spec.required ? {} : { none: notSaid })}
    />
  )
}
