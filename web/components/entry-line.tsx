import type { Child } from 'hono/jsx'
import { inner, metaOf } from '../../events/define.ts'
import { type Entry, kindOf } from '../../events/index.ts'
import type { Figure } from '../../projections/figure.ts'
import { lateFrom } from '../../projections/log-selection.ts'
import type { Settings } from '../../projections/settings.ts'
import { type FairEntry, isDay, momentOf } from '../../projections/timeline.ts'
import type { View } from '../page.ts'
import { clockText, lateText, momentIso, shipDay, shortDayText, shortMomentText } from './dates.ts'
import { type Change, changesOf, joinAfter, type Names, type Piece, piecesOf, stopAfter } from './entry-words.ts'
import { formatNumber } from './figure.tsx'
import { withKeep } from './log-link.ts'

/** What a line of the log needs to be told with. */
export type Telling = Pick<View, 'settings' | 'timeline' | 'keep' | 'now'>

/** An entry and what is shown beside it. */
export interface Line {
  readonly entry: FairEntry
  /** Engine hours at that moment, in the margin before the time. */
  readonly hours?: Figure | undefined
  /** The checks of a round, told in its line. */
  readonly checks?: readonly FairEntry[]
}

/**
 * One entry of the fair log as a ruled line: hours and time in the margin, kind and words, initials; beneath it what was
 * done to it. The kind opens the entry's own page.
 * @param by what the margin says: the time, or the day where a list spans months
 */
export const EntryLine = (props: Line & { view: Telling; names: Names; by?: 'time' | 'day' }) => {
  const { entry, hours, checks = [], view, names, by = 'time' } = props
  const { told, struck, versions, conflict, lateBy } = entry
  const zone = view.timeline.zoneAt(entry.at)
  const day = shipDay(entry.at, zone)
  const dayOnly = isDay(told.occurredAt)
  const late = lateBy >= lateFrom
  const own = withKeep(`/log/${entry.root}`, view.keep)
  const said = struck ? piecesOf(told, view.settings, names) : changesOf(versions, view.settings, names)
  const classes = ['entry', struck ? 'struck' : '', late ? 'late' : ''].filter((name) => name !== '').join(' ')
  const asides = [
    ...amendments(entry, view, zone),
    ...(struck ? [`Struck ${written(struck, view, day)}${reason(struck.data.reason)}`] : []),
    ...(late
      ? [`Written ${written(versions[0]!, view, day)}, ${lateText(day, writtenDay(versions[0]!, view), lateBy)}.`]
      : []),
    ...(told.withheld ? [`Left out of this copy: ${withheldNames(told)}.`] : []),
  ]
  return (
    <li class={classes} id={`e-${entry.root}`}>
      <time datetime={dayOnly ? day : momentIso(entry.at, zone)}>
        <span>{hours === undefined ? '' : formatNumber(hours.value, hours.decimals ?? 1)}</span>
        {by === 'day' ? (
          <b>{shortDayText(day, day)}</b>
        ) : dayOnly ? (
          <small>no time</small>
        ) : (
          <b>{clockText(entry.at, zone)}</b>
        )}
      </time>
      <div class="said">
        <a class="kind" href={own}>
          {kindOf(told.type)!.label}
        </a>{' '}
        {struck ? (
          <>
            <s>
              <Words pieces={said} keep={view.keep} />
            </s>
            <Initials hand={struck.hand} />
          </>
        ) : (
          <>
            <Words pieces={said} keep={view.keep} open={checks.length > 0} />
            <TimeChange versions={versions} view={view} />
            <Checks checks={checks} settings={view.settings} names={names} keep={view.keep} />
          </>
        )}
        {asides.map((aside) => (
          <span class="aside">{aside}</span>
        ))}
        {conflict.length > 0 ? (
          <span class="aside">
            <b>Copies of the book say different things here.</b> The one written last is shown.{' '}
            <a href={`${own}#settle`}>Settle it</a>
          </span>
        ) : (
          ''
        )}
      </div>
      <div class="hand">{versions[0]!.hand}</div>
    </li>
  )
}

/** The pieces of a line, with their joints; `open` leaves out the full stop at its end, for what follows. */
export const Words = ({
  pieces,
  keep,
  open,
}: {
  pieces: readonly (Piece | Change)[]
  keep: string
  open?: boolean
}) => {
  const parts: Child[] = []
  let text = ''
  for (const piece of pieces) {
    parts.push(joinAfter(text, piece.join))
    if ('was' in piece) {
      parts.push(<Changed change={piece} keep={keep} />)
      text += plain(piece.now ?? piece.was.at(-1)!.piece)
    } else {
      parts.push(<Said piece={piece} keep={keep} />)
      text += plain(piece)
    }
  }
  return (
    <>
      {parts}
      {open ? '' : stopAfter(text)}
    </>
  )
}

const plain = (piece: Piece | null): string => (piece === null ? '' : `${piece.before}${piece.value}${piece.after}`)

const Said = ({ piece, keep }: { piece: Piece; keep: string }) => (
  <>
    {piece.before}
    {inked(piece, keep)}
    {piece.after}
  </>
)

const inked = (piece: Piece, keep: string): Child => {
  if (piece.to !== undefined) return <a href={withKeep(`/log/${piece.to}`, keep)}>{piece.value}</a>
  if (piece.entered !== undefined)
    return (
      <span class="n" title={`Entered as ${piece.entered}`}>
        {piece.value}
      </span>
    )
  return piece.fact ? <b>{piece.value}</b> : piece.value
}

/** Old through with one line, who did it, new in bold. What frames the value is said once, unless there is only one side. */
const Changed = ({ change, keep }: { change: Change; keep: string }) => {
  const { was, now } = change
  const framed = now !== null && was.every(({ piece }) => piece?.before === now.before && piece.after === now.after)
  return (
    <>
      {framed ? now.before : ''}
      {was.map(({ piece, hand }) => (
        <>
          {piece === null ? '' : <del>{framed ? inked(piece, keep) : <Said piece={piece} keep={keep} />}</del>}
          <Initials hand={hand} />
        </>
      ))}
      {now === null ? '' : <ins>{framed ? inked(now, keep) : <Said piece={now} keep={keep} />}</ins>}
      {framed ? now.after : ''}
    </>
  )
}

const Initials = ({ hand }: { hand: string }) => <span class="initials">{hand}</span>

/** The time of an entry that was moved, as a change at the end of its line. */
const TimeChange = ({ versions, view }: { versions: readonly Entry[]; view: Telling }) => {
  const moved = versions.slice(0, -1).filter((entry, index) => entry.occurredAt !== versions[index + 1]!.occurredAt)
  if (moved.length === 0) return null
  const time = (entry: Entry) => {
    if (isDay(entry.occurredAt)) return shortDayText(entry.occurredAt)
    const at = momentOf(entry.occurredAt)
    return shortMomentText(at, view.timeline.zoneAt(at))
  }
  return (
    <>
      {' Time '}
      {moved.map((entry) => (
        <>
          <del class="n">{time(entry)}</del>
          <Initials hand={versions[versions.indexOf(entry) + 1]!.hand} />
        </>
      ))}
      <ins class="n">{time(versions[versions.length - 1]!)}</ins>.
    </>
  )
}

/** The checks of a round after its own words, each a part of the same line. */
const Checks = (props: { checks: readonly FairEntry[]; settings: Settings; names: Names; keep: string }) => {
  const { checks, settings, names, keep } = props
  if (checks.length === 0) return null
  return (
    <>
      {checks.map(({ struck, told, versions }) => (
        <>
          {'; '}
          {struck ? (
            <>
              <s>
                <Words pieces={piecesOf(told, settings, names)} keep={keep} open />
              </s>
              <Initials hand={struck.hand} />
            </>
          ) : (
            <Words pieces={changesOf(versions, settings, names)} keep={keep} open />
          )}
        </>
      ))}
      .
    </>
  )
}

const writtenAt = (entry: Entry, view: Telling) => {
  const at = momentOf(entry.recordedAt)
  return { at, zone: view.timeline.zoneAt(at) }
}
const written = (entry: Entry, view: Telling, beside: string): string => {
  const { at, zone } = writtenAt(entry, view)
  return shortMomentText(at, zone, beside)
}
const writtenDay = (entry: Entry, view: Telling): string => {
  const { at, zone } = writtenAt(entry, view)
  return shipDay(at, zone)
}

const reason = (why: string | undefined): string => (why === undefined ? '.' : `: ${why}${stopAfter(why)}`)

const amendments = ({ versions, at }: FairEntry, view: Telling, zone: string): string[] =>
  versions
    .slice(1)
    .map(
      (entry) =>
        `Amended ${written(entry, view, shipDay(at, zone))}${reason('why' in entry.data ? entry.data.why : undefined)}`,
    )

const withheldNames = ({ type, withheld = [] }: Pick<Entry, 'type' | 'withheld'>): string =>
  withheld
    .map((name) => {
      const schema = kindOf(type)!.schema.shape[name.replace(/^data\./, '')]
      return (schema === undefined ? name : metaOf(inner(schema as never), name).title).toLowerCase()
    })
    .join(', ')
