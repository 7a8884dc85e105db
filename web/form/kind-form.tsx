import type { Context } from 'hono'
import type { Child } from 'hono/jsx'
import type { Kind } from '../../events/define.ts'
import { equipmentKinds, worksOf } from '../../events/works.ts'
import { cautionFor } from '../../projections/cautions.ts'
import { equipmentTree, nameOf } from '../../projections/register.ts'
import { TradeCaution } from '../components/cautions.tsx'
import { Field } from '../components/field.tsx'
import { Boxes, type Form, FormSheet, FormStyle, Hidden } from '../form.tsx'
import { Sheet } from '../layout.tsx'
import type { Env, View } from '../page.ts'
import { fieldsOf } from './fields.ts'

/** The field that must be known before a form can be drawn: what the equipment is decides which fields make sense. */
export function askedFirst(kind: Kind): 'equipment' | 'kind' | null {
  if (kind.type === 'equipment-fitted') return 'kind'
  if (kind.type === 'upkeep-set' || kind.type === 'service-done') return 'equipment'
  const specs = fieldsOf(kind)
  return specs.some((spec) => spec.meta.only) && specs.some((spec) => spec.name === 'equipment') ? 'equipment' : null
}

/** The kind of equipment that a form is about; undefined while it is not known. */
export function equipmentKindIn(kind: Kind, form: Form): string | undefined {
  if (kind.type === 'equipment-fitted') return form.typed.get('kind') || undefined
  return form.register.equipment.get(form.typed.get('equipment'))?.kind
}

/**
 * The schema-made form of one entry.
 * @param amending the same form mends an entry: it asks why, and changes the version that it names
 */
export const KindForm = (props: {
  form: Form
  kind: Kind
  action: string
  first: string
  title?: string
  page?: string
  amending?: boolean
  above?: Child
  beside?: Child
}) => {
  const { form, kind, action, first, title = kind.label, page, amending = false, above, beside } = props
  const asked = askedFirst(kind)
  const equipmentKind = equipmentKindIn(kind, form)
  const aboard = form.register.equipment.get(form.typed.get('equipment'))
  const caution = asked === 'equipment' && kind.type !== 'upkeep-set' && aboard ? cautionFor(aboard.kind) : undefined
  return (
    <FormSheet
      form={form}
      title={amending ? `Amend: ${title.toLowerCase()}` : title}
      action={action}
      first={first}
      {...(page === undefined ? {} : { page })}
      beside={
        <>
          {beside}
          {asked === null ? (
            ''
          ) : (
            <a class="button" href={`${action}?${asked}=`}>
              {asked === 'kind' ? 'Another kind' : 'Other equipment'}
            </a>
          )}
        </>
      }
      stand={
        asked === null
          ? []
          : [
              {
                label: asked === 'kind' ? 'Kind' : 'Equipment',
                value:
                  asked === 'kind'
                    ? form.typed.get('kind')
                    : nameOf(form.register, 'equipment', form.typed.get('equipment')),
              },
            ]
      }
      above={above}
    >
      <p class="help">{kind.about} What you do not know stays empty.</p>
      {asked === null ? '' : <Hidden form={form} names={[asked]} />}
      {caution ? <TradeCaution of={caution} /> : ''}
      <Boxes
        form={form}
        kind={kind}
        equipmentKind={equipmentKind}
        without={asked === null ? [] : [asked]}
        {...('work' in kind.schema.shape && aboard ? { offer: { work: worksOf(aboard.kind) } } : {})}
      />
      {amending ? (
        <Field name="why" label="Why amended" value={form.typed.get('why')} help="Welcome, not needed." />
      ) : (
        ''
      )}
    </FormSheet>
  )
}

/** A page that asks for the one thing that must be known first, as a list of links. */
export const Picker = (props: {
  view: View
  title: string
  question: string
  rows: readonly { href: string; word: string; aside?: string | undefined; depth?: number }[]
  empty: Child
}) => {
  const { view, title, question, rows, empty } = props
  return (
    <Sheet view={view} title={title} page="/write" head={<FormStyle />}>
      <section class="part">
        <h2>{question}</h2>
        {rows.length === 0 ? (
          <p class="body">{empty}</p>
        ) : (
          <ul class="picks">
            {rows.map(({ href, word, aside, depth = 0 }) => (
              <li>
                <a class={`pick depth-${Math.min(depth, 3)}`} href={href}>
                  <span>{word}</span>
                  {aside === undefined ? '' : <small>{aside}</small>}
                </a>
              </li>
            ))}
          </ul>
        )}
      </section>
    </Sheet>
  )
}

/** The address with one box filled in, the rest of its query as it is. */
export function addressWith(c: Context, name: string, value: string): string {
  const url = new URL(c.req.url)
  url.searchParams.set(name, value)
  return `${url.pathname}${url.search}`
}

/** The page that asks which equipment it is about. */
export const EquipmentPicker = ({ c, form, title }: { c: Context<Env>; form: Form; title: string }) => (
  <Picker
    view={form.view}
    title={title}
    question="Which equipment?"
    rows={equipmentTree(form.register)
      .filter(({ equipment }) => !equipment.removed)
      .map(({ equipment, depth }) => ({
        href: addressWith(c, 'equipment', equipment.handle),
        word: equipment.name,
        aside: equipment.data.place,
        depth,
      }))}
    empty={
      <>
        No equipment is in the book yet. <a href="/write/equipment-fitted">Write some as fitted</a> first.
      </>
    }
  />
)

/** The page that asks what kind of equipment it is. */
export const KindPicker = ({ c, form, title }: { c: Context<Env>; form: Form; title: string }) => (
  <Picker
    view={form.view}
    title={title}
    question="What kind of equipment?"
    rows={equipmentKinds.map((kind) => ({ href: addressWith(c, 'kind', kind), word: kind }))}
    empty=""
  />
)

/** Asks for what must be known first, if it is not known yet; else null. */
export function pickerFor(c: Context<Env>, kind: Kind, form: Form): ReturnType<typeof Picker> | null {
  const asked = askedFirst(kind)
  if (asked === null) return null
  if (asked === 'kind')
    return (equipmentKinds as readonly string[]).includes(form.typed.get('kind')) ? null : (
      <KindPicker c={c} form={form} title={kind.label} />
    )
  return form.register.equipment.has(form.typed.get('equipment')) ? null : (
    <EquipmentPicker c={c} form={form} title={kind.label} />
  )
}
