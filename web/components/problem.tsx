import type { Refusal } from '../../events/define.ts'

/**
 * What was refused, above a form or on a page of its own: a sentence, then each refusal, which leads to its field.
 * @param kept what became of what was typed
 */
export const Problem = (props: { title: string; problems?: readonly (Refusal | string)[]; kept?: string }) => {
  const { title, problems = [], kept } = props
  return (
    <section class="problem" role="alert" id="problem">
      <p>
        <b>{title}</b>
        {kept === undefined ? '' : ` ${kept}`}
      </p>
      {problems.length === 0 ? (
        ''
      ) : (
        <ul>
          {problems.map((one) => {
            const { field, problem } = typeof one === 'string' ? { field: '', problem: one } : one
            return <li>{field === '' ? problem : <a href={`#f-${field}`}>{problem}</a>}</li>
          })}
        </ul>
      )}
    </section>
  )
}
