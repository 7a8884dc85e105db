import type { Child } from 'hono/jsx'
import type { ChartSpec, Mark } from '../chart.ts'

/** For the head of a page with charts. */
export const ChartHead = () => (
  <>
    <link rel="stylesheet" href="/static/uplot.css" />
    <script src="/static/chart.js" type="module" />
  </>
)

/** The numbers of a chart for print and for those who cannot see it. */
export interface ChartTable {
  readonly head: readonly string[]
  readonly rows: readonly (readonly Child[])[]
}

/**
 * A chart on graph paper: its sentence above, the drawing, a key in words, its numbers as a table beneath. Without script the
 * table is the chart.
 * @param title what it shows, in bold
 * @param axes what is on both axes, with their units: "per cent of healthy, by engine hours"
 * @param label the finding in a sentence, for those who hear the page
 * @param words the key's words where the usual ones do not say enough; '' leaves a word out
 * @param keyed false where the key stands under a later chart that shares this one's axis
 * @param table absent only where a table nearby holds the same numbers
 */
export const Chart = (props: {
  spec: ChartSpec
  title?: Child
  axes: string
  label: string
  words?: Partial<Record<KeyWord, string>>
  keyed?: boolean
  table?: ChartTable
}) => {
  const { spec, title, axes, label, words = {}, keyed = true, table } = props
  const explained = keyed ? keyOf(spec.marks).filter((mark) => words[mark] !== '') : []
  return (
    <figure class="chart">
      <figcaption>
        {title === undefined ? '' : <b>{title}</b>}
        <small>{axes}</small>
      </figcaption>
      <graph-paper class={`plot ${spec.size}`} role="img" aria-label={label} data-spec={JSON.stringify(spec)} />
      {explained.length === 0 ? (
        ''
      ) : (
        <p class="key">
          {explained.map((mark) => (
            <span class={mark === 'fan' ? 'pencil' : ''}>
              <i class={`k-${mark}`} />
              {words[mark] ?? usualWords[mark]}
            </span>
          ))}
        </p>
      )}
      {table === undefined ? (
        ''
      ) : (
        <details>
          <summary>The numbers</summary>
          <div class="wide">
            <table>
              <thead>
                <tr>
                  {table.head.map((word, column) => (
                    <th scope="col" class={column === 0 ? '' : 'num'}>
                      {word}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {table.rows.map((row) => (
                  <tr>
                    {row.map((cell, column) =>
                      column === 0 ? <th scope="row">{cell}</th> : <td class="num">{cell}</td>,
                    )}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </details>
      )}
    </figure>
  )
}

/** What the key of a chart explains. */
export type KeyWord = 'band' | 'point' | 'hollow' | 'service' | 'fan' | 'ring' | 'limit'

const usualWords: Record<KeyWord, string> = {
  point: 'as read',
  hollow: 'seen, not judged',
  band: 'healthy',
  service: 'service',
  ring: 'a sign was raised',
  fan: 'how it may go on, 10 to 90 chances in 100',
  limit: 'limit, as set',
}

/** What there is to explain, in the order of the key. */
function keyOf(marks: readonly Mark[]): KeyWord[] {
  const points = marks.flatMap((mark) => (mark.kind === 'points' ? mark.at : []))
  const has = (kind: Mark['kind']) => marks.some((mark) => mark.kind === kind)
  const there: Record<KeyWord, boolean> = {
    point: points.some((point) => !point.hollow && point.y !== null),
    hollow: points.some((point) => point.hollow),
    band: has('band'),
    service: has('services'),
    ring: points.some((point) => point.ring),
    fan: has('fan'),
    limit: has('limit'),
  }
  return (Object.keys(there) as KeyWord[]).filter((word) => there[word])
}

declare module 'hono/jsx' {
  namespace JSX {
    interface IntrinsicElements {
      'graph-paper': { class: string; role: string; 'aria-label': string; 'data-spec': string }
    }
  }
}
