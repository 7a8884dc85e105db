import {
  type AgeUnit,
  type Ends,
  type LifeOfPart,
  lifeLevel,
  type PartLife,
  type RepairRecord,
} from '../../projections/life.ts'
import type { View } from '../page.ts'
import { shipDay, shortDayText } from './dates.ts'
import { Figure, formatNumber } from './figure.tsx'
import { withKeep } from './log-link.ts'

const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

const inUnit = (value: number, unit: AgeUnit): string =>
  unit === 'h' ? `${formatNumber(value, 0)}\u00a0h` : `${formatNumber(value, value < 10 ? 1 : 0)}\u00a0months`

const between = ({ low, high }: { low: number | null; high: number | null }, unit: AgeUnit): string =>
  `${low === null ? 'the first' : formatNumber(low, 0)} to ${high === null ? 'no end that can be told' : inUnit(high, unit)}`

/** How long the parts of a piece of equipment last, and how often it has wanted mending; nothing where the log has neither. */
export const HowLongItLasts = ({
  parts,
  repairs,
  name,
  view,
}: {
  parts: readonly LifeOfPart[]
  repairs: RepairRecord | null
  name: string
  view: View
}) => {
  const mended = repairs !== null && repairs.repairs.length > 0
  if (parts.length === 0 && !mended) return null
  return (
    <section class="part" id="life">
      <h2>How long it lasts</h2>
      <div class="body">
        {parts.map((part) => (
          <Part of={part} name={name} view={view} />
        ))}
        {mended ? <Repairs of={repairs} view={view} /> : ''}
        {parts.length === 0 ? (
          ''
        ) : (
          <p class="quiet">
            What came out good or worn lasted at least so long, and so did what still runs. No history lengthens an
            interval by itself: the maker's stands until you set another, and what keeps her afloat or puts out a fire
            is renewed by its date whatever its history.
          </p>
        )}
      </div>
    </section>
  )
}

const Part = ({ of, name, view }: { of: LifeOfPart; name: string; view: View }) => (
  <>
    <h3>{of.part === '' ? name : upper(of.part)}</h3>
    <p>
      <Judged of={of} />
    </p>
    <table class="stack-table">
      <thead>
        <tr>
          <th>In</th>
          <th>Out</th>
          <th class="num">{of.unit === 'h' ? 'Ran, h' : 'Months'}</th>
          <th>Came out</th>
        </tr>
      </thead>
      <tbody>
        {[...of.lives].reverse().map((life) => (
          <LifeRow life={life} unit={of.unit} view={view} />
        ))}
      </tbody>
    </table>
  </>
)

const LifeRow = ({ life, unit, view }: { life: PartLife; unit: AgeUnit; view: View }) => {
  const today = shipDay(view.now, view.timeline.zoneAt(view.now))
  const on = (entry: { at: number; root: string }) => (
    <a href={withKeep(`/log/${entry.root}`, view.keep)}>
      {shortDayText(shipDay(entry.at, view.timeline.zoneAt(entry.at)), today)}
    </a>
  )
  const from = { entries: [life.begun.root, ...(life.ended ? [life.ended.root] : [])] }
  return (
    <tr>
      <th scope="row" data-l="in">
        {on(life.begun)}
      </th>
      <td data-l="out">{life.ended ? on(life.ended) : <span class="quiet">still runs</span>}</td>
      <td class="num" data-l={unit === 'h' ? 'ran, h' : 'months'}>
        <Figure of={{ value: life.age, unit: '1', from, decimals: unit === 'h' ? 0 : 1 }} view={view} />
      </td>
      <td data-l="came out">
        {life.ended === null ? '' : life.failed ? <b>{life.condition}</b> : (life.condition ?? 'not written')}
        {life.ageUnknown ? <small> age before it not known</small> : ''}
      </td>
    </tr>
  )
}

/** What the lives say, with its ends; "not enough yet" where they say too little. */
const Judged = ({ of }: { of: LifeOfPart }) => {
  const { lives, failures, curve, median, weibull, unit, set } = of
  const known = lives.filter((life) => !life.ageUnknown)
  const before = known.filter((life) => life.ended !== null && !life.failed)
  const longest = Math.max(0, ...known.filter((life) => !life.failed).map((life) => life.age))
  const chances = `${formatNumber(lifeLevel * 10)} chances in 10`
  if (weibull.kind === 'estimate')
    return (
      <>
        <span class="pencil">
          Half fail before about {inUnit(weibull.half.value, unit)} ({between(weibull.half, unit)}), one in ten before
          about {inUnit(weibull.tenth.value, unit)} ({between(weibull.tenth, unit)}), {chances};{' '}
          {wearing(weibull.shape)}
        </span>
        , learnt from {formatNumber(weibull.n)} of which {formatNumber(failures)} failed.{' '}
        {set === null ? '' : <Against tenth={weibull.tenth} every={set.every} unit={unit} />}
      </>
    )
  if (curve.kind === 'estimate')
    return (
      <>
        <span class="pencil">
          {median === null
            ? `Fewer than half failed within ${inUnit(curve.lastTime, unit)}`
            : `Half failed by about ${inUnit(median.value, unit)} (${between(median, unit)}), ${chances}`}
        </span>
        , from {formatNumber(curve.n)} of which {formatNumber(curve.events)} failed.
      </>
    )
  return (
    <>
      <span class="pencil">Not enough yet to say how long one lasts</span>: {formatNumber(failures)} of{' '}
      {formatNumber(curve.needed)} came out worn out or failed
      {before.length === 0 ? '' : `; ${formatNumber(before.length)} came out before that`}
      {longest > 0 ? `; the longest so far has run ${inUnit(longest, unit)}` : ''}
      {set === null ? '' : `, of ${inUnit(set.every, unit)} set`}.
    </>
  )
}

const wearing = (shape: Ends): string =>
  shape.low > 1
    ? 'it wears out: the longer it has run the likelier it fails'
    : shape.high < 1
      ? 'it fails young'
      : 'whether it wears out or fails at random cannot be told yet'

/** What an early failure means for the interval that is set; a late one means nothing for it. */
const Against = ({ tenth, every, unit }: { tenth: Ends; every: number; unit: AgeUnit }) =>
  tenth.value < every ? (
    <>The interval set is {inUnit(every, unit)}: by this history more than one in ten does not last so long.</>
  ) : (
    <>The interval set is {inUnit(every, unit)}; this history by itself is no reason to lengthen it.</>
  )

const Repairs = ({ of, view }: { of: RepairRecord; view: View }) => {
  const { repairs, watched, unit, trend, mean } = of
  const from = { entries: repairs.slice(-40).map(({ entry }) => entry.root) }
  return (
    <p>
      <b>Mended:</b> <Figure of={{ value: repairs.length, unit: '{times}', from, decimals: 0 }} view={view} /> in{' '}
      {inUnit(watched, unit)} that the log has watched it.{' '}
      {mean.kind === 'estimate' && mean.units !== undefined && mean.age !== undefined ? (
        <span class="pencil">
          One of its kind aboard has wanted it {formatNumber(mean.value, 1)} times ({formatNumber(mean.low, 1)} to{' '}
          {formatNumber(mean.high, 1)}) by {inUnit(mean.age, unit)}, from {formatNumber(mean.units)} of them.{' '}
        </span>
      ) : (
        ''
      )}
      {trend.kind === 'test' && trend.p < 0.1 ? (
        <span class="pencil">
          They come ever {trend.z > 0 ? 'more' : 'less'} often: by chance alone so seen in{' '}
          {formatNumber(trend.p * 100, 0)} of 100.
        </span>
      ) : (
        ''
      )}
    </p>
  )
}
