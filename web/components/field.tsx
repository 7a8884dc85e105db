import type { Child } from 'hono/jsx'

/** A word to choose, and what is stored for it. */
export interface Option {
  readonly value: string
  readonly word: string
  /** A sentence beneath the word, for grades. */
  readonly says?: string
}

/** What every field shares. */
interface Common {
  readonly name: string
  /** Printed above the ink. */
  readonly label: string
  /** What the field holds, as it was typed. */
  readonly value?: string
  readonly help?: string
  /** Why it was refused, a sentence; the value stays as typed. */
  readonly refusal?: string | undefined
}

const ids = (name: string, help: unknown, refusal: unknown) => ({
  id: `f-${name}`,
  described: [refusal ? `f-${name}-refusal` : '', help ? `f-${name}-help` : ''].filter((id) => id !== '').join(' '),
})

const Beneath = ({
  name,
  help,
  refusal,
}: {
  name: string
  help?: string | undefined
  refusal?: string | undefined
}) => (
  <>
    {refusal ? (
      <p class="refusal" id={`f-${name}-refusal`}>
        {refusal}
      </p>
    ) : (
      ''
    )}
    {help ? (
      <p class="help" id={`f-${name}-help`}>
        {help}
      </p>
    ) : (
      ''
    )}
  </>
)

/**
 * A line to write on: printed label above, an ink line under the words, beneath it why it was refused and one line of help.
 * @param unit what stands behind the value: one symbol in print, or several to choose from, as radios under the name `unit.name`
 * @param list values that are offered while typing
 * @param long several lines
 */
export const Field = (
  props: Common & {
    readonly unit?: string | { readonly name: string; readonly chosen: string; readonly options: readonly Option[] }
    readonly inputmode?: 'text' | 'decimal' | 'numeric'
    readonly list?: readonly string[]
    readonly long?: boolean
    readonly required?: boolean
    readonly autocomplete?: string
    readonly narrow?: boolean
  },
) => {
  const {
    name,
    label,
    value = '',
    help,
    refusal,
    unit,
    inputmode,
    list,
    long,
    required,
    autocomplete = 'off',
    narrow,
  } = props
  const { id, described } = ids(name, help, refusal)
  const attributes = {
    id,
    name,
    autocomplete,
    ...(described === '' ? {} : { 'aria-describedby': described }),
    ...(refusal ? { 'aria-invalid': 'true' as const } : {}),
    ...(required ? { required: true } : {}),
    ...(inputmode ? { inputmode } : {}),
  }
  return (
    <div class={narrow ? 'field narrow' : 'field'}>
      <label for={id}>{label}</label>
      <div class="ink-line">
        {long ? (
          <textarea {...attributes} rows={1}>
            {value}
          </textarea>
        ) : (
          <input type="text" value={value} {...(list ? { list: `${id}-list` } : {})} {...attributes} />
        )}
        {typeof unit === 'string' ? <span class="unit">{unit}</span> : ''}
        {typeof unit === 'object' ? (
          <Words name={unit.name} legend={`Unit: ${label}`} chosen={unit.chosen} options={unit.options} />
        ) : (
          ''
        )}
      </div>
      {list ? (
        <datalist id={`${id}-list`}>
          {list.map((one) => (
            <option value={one} />
          ))}
        </datalist>
      ) : (
        ''
      )}
      <Beneath name={name} help={help} refusal={refusal} />
    </div>
  )
}

/** A row of radios whose legend is only heard. */
const Words = ({
  name,
  legend,
  chosen,
  options,
}: {
  name: string
  legend: string
  chosen: string
  options: readonly Option[]
}) => (
  <fieldset class="choose">
    <legend class="away">{legend}</legend>
    <div class="inline">
      {options.map((option) => (
        <label>
          <input type="radio" name={name} value={option.value} checked={option.value === chosen} />
          {option.word}
        </label>
      ))}
    </div>
  </fieldset>
)

/**
 * One of several words: radios, never a list that drops down (its native list is white at night).
 * @param none the word for "not said", offered first with the empty value; absent: there is no way back from a choice
 * @param grades options in lines of their own, each with its sentence; `swatch` gives the class of a stipple swatch
 * @param unseen the label is only heard: what stands above says it already
 * @param several ticks instead of radios; `value` is then the chosen values, separated by commas
 */
export const Choice = (
  props: Common & {
    readonly options: readonly Option[]
    readonly none?: string
    readonly grades?: boolean
    readonly swatch?: (value: string) => string | undefined
    readonly unseen?: boolean
    readonly several?: boolean
  },
) => {
  const { name, label, value = '', help, refusal, options, none, grades, swatch, unseen, several } = props
  const { id, described } = ids(name, help, refusal)
  const chosen = several ? value.split(',') : [value]
  const offered = none === undefined ? options : [{ value: '', word: none }, ...options]
  const box = (option: Option) => (
    <input
      type={several ? 'checkbox' : 'radio'}
      name={name}
      value={option.value}
      checked={chosen.includes(option.value)}
      {...(refusal ? { 'aria-invalid': 'true' as const } : {})}
    />
  )
  return (
    <fieldset
      id={id}
      class={grades ? 'choose grades' : 'choose'}
      {...(described === '' ? {} : { 'aria-describedby': described })}
    >
      <legend {...(unseen ? { class: 'away' } : {})}>{label}</legend>
      {grades ? (
        offered.map((option) => (
          <label>
            {box(option)}
            {swatch?.(option.value) === undefined ? '' : <i class={`stipple ${swatch(option.value)}`} />}
            <span class="said">
              <b>{option.word}</b>
              {option.says === undefined ? '' : <span> {option.says}</span>}
            </span>
          </label>
        ))
      ) : (
        <div class="inline">
          {offered.map((option) => (
            <label>
              {box(option)}
              {option.word}
            </label>
          ))}
        </div>
      )}
      <Beneath name={name} help={help} refusal={refusal} />
    </fieldset>
  )
}

/** The row of buttons that ends a form: the first has the heavy foot. `children` for links and further buttons beside it. */
export const Buttons = ({
  first,
  name,
  value,
  children,
}: {
  first: string
  name?: string
  value?: string
  children?: Child
}) => (
  <div class="buttons">
    <button class="first" type="submit" {...(name === undefined ? {} : { name, value: value ?? '' })}>
      {first}
    </button>
    {children}
  </div>
)
