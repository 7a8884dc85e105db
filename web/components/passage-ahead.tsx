import type { Child } from 'hono/jsx'
import type { Refusal } from '../../events/define.ts'
import {
  type Ahead,
  type BeforeLeaving,
  type OilAhead,
  type ReliedOn,
  rateSelection,
  type Store,
  type TankNow,
  type UnderWay,
} from '../../projections/ahead.ts'
import { type LimitKind, limitFigure } from '../../projections/due.ts'
import type { Estimate, Selection } from '../../projections/figure.ts'
import type { PlanTexts } from '../form/plan.ts'
import type { View } from '../page.ts'
import { chanceText } from './chance.ts'
import { shipDay, shortDayText } from './dates.ts'
import { Figure, figureText, formatNumber } from './figure.tsx'
import { withKeep } from './log-link.ts'
import { Problem } from './problem.tsx'
import { Under } from './want.tsx'

/**
 * Passage ahead, at the head of Due: a sentence with blanks, which is a form that asks by its address, and under it what the log says of it.
 * @param texts the blanks as typed
 * @param refusals what is wrong with them; the answer is then not there
 * @param answer what the log says; null while nothing was asked
 */
export const PassageAhead = (props: {
  view: View
  texts: PlanTexts
  refusals: readonly Refusal[]
  answer: Ahead | null
}) => {
  const { view, texts, refusals, answer } = props
  return (
    <section class="part" id="ahead">
      <h2>Passage ahead</h2>
      <div class="body">
        <PlanForm view={view} texts={texts} refusals={refusals} />
        {answer === null ? '' : <Answer view={view} answer={answer} />}
      </div>
    </section>
  )
}

const PlanForm = ({ view, texts, refusals }: { view: View; texts: PlanTexts; refusals: readonly Refusal[] }) => {
  const blank = (name: keyof PlanTexts, more: { required?: true; inputmode?: 'decimal' } = {}) => {
    const wrong = refusals.some((one) => one.field === name)
    return (
      <input
        type="text"
        id={`f-${name}`}
        name={name}
        value={texts[name] ?? ''}
        autocomplete="off"
        {...more}
        {...(wrong ? { 'aria-invalid': 'true' as const, 'aria-describedby': 'problem' } : {})}
      />
    )
  }
  const figure = { inputmode: 'decimal' } as const
  return (
    <form class="plan" method="get" action="/due#ahead" novalidate>
      {[...new URLSearchParams(view.keep)].map(([name, value]) => (
        <input type="hidden" name={name} value={value} />
      ))}
      {refusals.length === 0 ? '' : <Problem title="The log cannot be asked this yet." problems={refusals} />}
      <p class="plan-line">
        <label>I plan {blank('hours', { ...figure, required: true })} engine hours</label> and{' '}
        <label>{blank('days', { ...figure, required: true })} days</label>,{' '}
        <label>{blank('miles', figure)} miles</label>, <label>leaving {blank('leaving')}</label>,{' '}
        <label>at {blank('speed', figure)} rpm</label>, <label>keeping {blank('reserve', figure)} %</label> in reserve.{' '}
        <button type="submit">Ask the log</button>
      </p>
      <p class="quiet">
        All but hours and days may stay empty: then she leaves today, runs as she usually does, and keeps a third of
        what the tanks hold.
      </p>
    </form>
  )
}

const Answer = ({ view, answer }: { view: View; answer: Ahead }) => {
  const { before, underWay, relied, parts, plan } = answer
  const earlier = new Set(before.flatMap((one) => (one.why === 'under way' ? [one.item] : [])))
  const later = underWay.filter((item) => !earlier.has(item))
  const today = shipDay(view.now, view.timeline.zoneAt(view.now))
  return (
    <>
      <div class="answer">
        <div>
          <h3>Do before leaving</h3>
          {before.length === 0 ? (
            <p>Nothing that the log knows of.</p>
          ) : (
            <ul>
              {before.map((one, index) => (
                <li>
                  <Doing one={one} first={index === 0} view={view} />
                </li>
              ))}
            </ul>
          )}
        </div>
        <div>
          <h3>Falls due under way</h3>
          {later.length === 0 ? (
            <p>{earlier.size === 0 ? 'Nothing that is counted.' : 'Nothing else.'}</p>
          ) : (
            <ul>
              {later.map((item) => (
                <li>
                  <TaskName item={item} view={view} />, <When item={item} view={view} today={today} />
                  {item.thoughDone >= 0.5 ? <span class="pencil">, even if it is done before leaving</span> : ''}
                </li>
              ))}
            </ul>
          )}
        </div>
        <div>
          <h3>Fuel, water, oil</h3>
          <ul>
            <Fuel answer={answer} view={view} />
            <Water answer={answer} view={view} />
            <Oil oil={answer.oil} plan={plan.hours} view={view} />
          </ul>
        </div>
        <div>
          <h3>Would be relied on</h3>
          {relied.length === 0 ? (
            <p>No temporary repair and no open defect.</p>
          ) : (
            <ul>
              {relied.map((one) => (
                <li>
                  <Relied one={one} view={view} />
                </li>
              ))}
            </ul>
          )}
        </div>
        <div>
          <h3>Have aboard</h3>
          {parts.length === 0 ? (
            <p>No part is named by what is due.</p>
          ) : (
            <ul>
              {parts.map(({ parts: words, by, root }) => (
                <li>
                  <a href={withKeep(`/log/${root}`, view.keep)}>{words}</a> <span class="quiet">for: {lower(by)}</span>
                </li>
              ))}
            </ul>
          )}
          <p class="quiet">The log does not know what is aboard: look, and count.</p>
        </div>
      </div>
      <p class="quiet">
        <Spread answer={answer} view={view} /> This is what the log knows. Weather, crew, and whatever was not written
        down it does not; whether she is fit to go is yours to judge, after the maker's manual and with your own eyes.
      </p>
    </>
  )
}

const lower = (name: string): string => name.charAt(0).toLowerCase() + name.slice(1)

const TaskName = ({ item, view }: { item: UnderWay; view: View }) => (
  <a href={withKeep(`/due/${item.row.task.handle}`, view.keep)}>{item.row.task.data.name}</a>
)

const words: Record<LimitKind, string> = { hours: 'h', months: 'days', miles: 'M', starts: '{starts}' }

/** With what chance and after what: "9 chances in 10, after 41 h", "24 Aug, by the calendar". */
const When = ({ item, view, today }: { item: UnderWay; view: View; today: string }) => {
  const { limit, chance, on } = item
  if (on !== null) return <span class="pencil">{shortDayText(on, today)}, by the calendar</span>
  const left = Math.max(0, limit.left)
  const figure = { ...limitFigure(limit, left), decimals: limit.kind === 'hours' && left < 10 ? 1 : 0 }
  return (
    <>
      <span class="pencil">{chanceText(chance)}</span>, after{' '}
      <Figure of={limit.kind === 'starts' ? { ...figure, unit: words.starts } : figure} view={view} />
    </>
  )
}

const Doing = ({ one, first, view }: { one: BeforeLeaving; first: boolean; view: View }) => {
  const today = shipDay(view.now, view.timeline.zoneAt(view.now))
  const since = (at: number) => shortDayText(shipDay(at, view.timeline.zoneAt(at)), today)
  const mark = (text: Child) => (first ? <Under>{text}</Under> : text)
  const to = (root: string, text: Child) => <a href={withKeep(`/log/${root}`, view.keep)}>{text}</a>
  switch (one.why) {
    case 'left':
      return (
        <>
          {mark(<>Restore: {lower(one.name)}</>)}, left {one.entry.data.state} {to(one.entry.root, since(one.entry.at))}
        </>
      )
    case 'overdue':
      return (
        <>{mark(<a href={withKeep(`/due/${one.row.task.handle}`, view.keep)}>{one.row.task.data.name}</a>)}: overdue</>
      )
    case 'under way':
      return (
        <>
          {mark(<TaskName item={one.item} view={view} />)}: falls due,{' '}
          <When item={one.item} view={view} today={today} />
          {one.item.thoughDone >= 0.5 ? <span class="pencil">, and again under way</span> : ''}
        </>
      )
    case 'repair':
      return (
        <>
          {mark(<>Mend for good: {lower(one.name)}</>)}
          {one.entry.data.waitsFor ? <>, waits for {one.entry.data.waitsFor}</> : ''};{' '}
          {to(one.entry.root, <>temporary since {since(one.entry.at)}</>)}
        </>
      )
    case 'defect':
      return (
        <>
          {mark(<>Mend: {lower(one.name)}</>)}, matters: {one.entry.data.matters};{' '}
          {to(one.entry.root, <>found {since(one.entry.at)}</>)}
        </>
      )
  }
}

const Relied = ({ one, view }: { one: ReliedOn; view: View }) => {
  const { entry, name, carried, byArrival } = one
  const from = { since: entry.at, until: view.now, entries: [entry.root] }
  const what = entry.type === 'repair-made' ? 'temporary repair' : `defect, matters: ${entry.data.matters}`
  return (
    <>
      {name} <a href={withKeep(`/log/${entry.root}`, view.keep)}>({what})</a>: carried{' '}
      <Figure of={{ value: carried.days, unit: 'd', from: { entries: [entry.root] }, decimals: 0 }} view={view} />
      {carried.hours === null ? (
        ''
      ) : (
        <>
          ,{' '}
          <Figure
            of={{
              value: carried.hours,
              unit: 'h',
              from: { ...from, kinds: ['engine-started', 'engine-stopped', 'hours-read'] },
              decimals: 0,
            }}
            view={view}
          />
        </>
      )}
      {carried.miles === null ? (
        ''
      ) : (
        <>
          ,{' '}
          <Figure
            of={{ value: carried.miles, unit: '[nmi_i]', from: { ...from, kinds: ['passage-ended'] }, decimals: 0 }}
            view={view}
          />
        </>
      )}
      ;{' '}
      <span class="pencil">
        {[
          ...(byArrival.hours === null
            ? []
            : [figureText({ value: byArrival.hours, unit: 'h', decimals: 0 }, view.settings)]),
          ...(byArrival.miles === null
            ? []
            : [figureText({ value: byArrival.miles, unit: '[nmi_i]', decimals: 0 }, view.settings)]),
          `${formatNumber(byArrival.days)} days`,
        ].join(', ')}{' '}
        by arrival
      </span>
    </>
  )
}

/** "about 198 L (175 to 221)", in pencil; it opens to the entries that it was learnt from. */
const About = ({
  of,
  unit,
  from,
  view,
  decimals = 0,
}: {
  of: Extract<Estimate, { kind: 'estimate' }>
  unit: string
  from: Selection
  view: View
  decimals?: number
}) => {
  const end = (value: number) => figureText({ value, unit, decimals }, view.settings).replace(/\u00a0.*$/, '')
  return (
    <span class="pencil">
      about <Figure of={{ value: of.value, unit, from, decimals }} view={view} /> ({end(of.low)} to {end(of.high)})
    </span>
  )
}

const TankKnown = ({ tank, view, alone }: { tank: TankNow; view: View; alone: boolean }) => {
  const { equipment, last } = tank
  const name = alone ? '' : `${equipment.name.replace(/^[^,]+, /, '')}: `
  if (last === null) return <>{name}never sounded nor filled to the neck</>
  const litres = (value: number, entries: readonly string[]) => (
    <Figure of={{ value, unit: 'L', from: { entries }, decimals: 0 }} view={view} />
  )
  return (
    <>
      {name}
      {last.full ? 'full, ' : ''}
      {litres(last.litres, [last.root])}
      {last.full ? '' : ' by sounding'} {ago(last.days)}
      {last.filled > 0 ? <>, {litres(last.filled, last.entries)} filled since</> : ''}
    </>
  )
}

const ago = (days: number): string =>
  days === 0 ? 'today' : days === 1 ? 'yesterday' : `${formatNumber(days)} days ago`

const join = (parts: Child[]): Child[] => parts.flatMap((part, index) => (index === 0 ? [part] : ['; ', part]))

/** What both fuel and water have: the tanks as last known, the rate, what is left on arrival, how long until the reserve. */
const StoreLines = ({
  store,
  name,
  planned,
  per,
  since,
  view,
}: {
  store: Store
  name: string
  planned: string
  per: string
  since: Child
  view: View
}) => {
  const { tanks, rate, aboard, needed, onArrival, reserve } = store
  const from = rateSelection(rate)
  const known: Selection = { entries: tanks.flatMap((tank) => tank.last?.entries ?? []) }
  return (
    <>
      <li>
        <b>{name}</b> {join(tanks.map((tank) => <TankKnown tank={tank} view={view} alone={tanks.length === 1} />))}
        {since}.
      </li>
      <li>
        {store.planned.kind === 'estimate' && rate.kind === 'estimate' ? (
          <>
            <About of={store.planned} unit="L" from={from} view={view} decimals={1} /> {per}, learnt from {rate.n}{' '}
            {store.by === 'passages' ? 'passages' : 'stretches from tank to tank'}
          </>
        ) : (
          <span class="pencil">
            Not enough yet to say how much she takes: {formatNumber(rate.n)} of{' '}
            {formatNumber(rate.kind === 'not-enough' ? rate.needed : rate.n)} stretches from full to full, or between
            soundings
          </span>
        )}
        .
      </li>
      {needed.kind === 'estimate' ? (
        <li>
          {planned} take <About of={needed} unit="L" from={from} view={view} />
          {aboard.kind === 'estimate' ? (
            <>
              ; in the tanks now <About of={atLeastNothing(aboard)} unit="L" from={known} view={view} />
            </>
          ) : (
            ''
          )}
          .
        </li>
      ) : (
        ''
      )}
      {onArrival.kind === 'estimate' ? (
        <li>
          <OnArrival left={onArrival} reserve={reserve} from={known} view={view} />
        </li>
      ) : (
        ''
      )}
    </>
  )
}

const atLeastNothing = (of: Extract<Estimate, { kind: 'estimate' }>) => ({
  ...of,
  value: Math.max(0, of.value),
  low: Math.max(0, of.low),
  high: Math.max(0, of.high),
})

const OnArrival = ({
  left,
  reserve,
  from,
  view,
}: {
  left: Extract<Estimate, { kind: 'estimate' }>
  reserve: number | null
  from: Selection
  view: View
}) => {
  const litres = (value: number) => figureText({ value, unit: 'L', decimals: 0 }, view.settings)
  const below = reserve !== null && left.value < reserve
  return (
    <>
      {left.value < 0 ? (
        <b>
          <span class="pencil">
            about <Figure of={{ value: -left.value, unit: 'L', from, decimals: 0 }} view={view} /> too little
          </span>
        </b>
      ) : (
        <>
          On arrival <About of={atLeastNothing(left)} unit="L" from={from} view={view} />
        </>
      )}
      {reserve === null ? (
        ', no reserve can be told: nobody wrote what the tanks hold.'
      ) : (
        <>
          ; {litres(reserve)} were to be left
          {below && left.value >= 0 ? (
            <>
              : <b>the reserve would be begun</b>
            </>
          ) : (
            ''
          )}
          .
        </>
      )}
    </>
  )
}

const Fuel = ({ answer, view }: { answer: Ahead; view: View }) => {
  const { fuel, plan, speed } = answer
  if (fuel === null)
    return (
      <li>
        <b>Fuel</b> <span class="pencil">cannot be told: the log has no diesel tank, or no hours meter.</span>
      </li>
    )
  const hours = (value: number) => figureText({ value, unit: 'h', decimals: 0 }, view.settings)
  return (
    <>
      <StoreLines
        store={fuel}
        name="Fuel"
        planned={`${formatNumber(plan.hours)} h`}
        per="an hour"
        since={
          fuel.since === null ? (
            ''
          ) : (
            <>; {figureText({ value: fuel.since, unit: 'h', decimals: 1 }, view.settings)} run since</>
          )
        }
        view={view}
      />
      {fuel.lasts === null ? (
        ''
      ) : (
        <li>
          <span class="pencil">
            The reserve is begun after about {hours(fuel.lasts.likely)}
            {fuel.miles === null
              ? ''
              : `, ${figureText({ value: fuel.miles, unit: '[nmi_i]', decimals: 0 }, view.settings)} under engine`}
            ; 9 chances in 10 that not before {hours(fuel.lasts.least)}
          </span>
          .
        </li>
      )}
      {speed === null ? (
        ''
      ) : speed.factor === null ? (
        <li class="pencil">
          Nothing is known of {formatNumber(speed.asked)} rpm: {formatNumber(speed.n)} of {formatNumber(speed.needed)}{' '}
          readings of engine speed under way.
        </li>
      ) : (
        <li>
          {formatNumber(speed.asked)} rpm against the usual {formatNumber(speed.usual!)}:{' '}
          <span class="pencil">
            {formatNumber(speed.factor.smallCraft, 2)} to {formatNumber(speed.factor.cube, 2)} times the fuel an hour,
            by the propeller law
          </span>
          {speed.rated !== null && speed.asked > speed.rated ? (
            <b>; her rated speed is {formatNumber(speed.rated)} rpm</b>
          ) : (
            ''
          )}
          .
        </li>
      )}
    </>
  )
}

const Water = ({ answer, view }: { answer: Ahead; view: View }) => {
  const { water, plan } = answer
  if (water === null)
    return (
      <li>
        <b>Water</b> <span class="pencil">cannot be told: no filling is written down.</span>
      </li>
    )
  return (
    <StoreLines
      store={water}
      name="Water"
      planned={`${formatNumber(plan.days)} days`}
      per="a day, with as many aboard as then"
      since=""
      view={view}
    />
  )
}

const Oil = ({ oil, plan, view }: { oil: OilAhead | null; plan: number; view: View }) => {
  if (oil === null) return null
  const { rate, needed, dipstick } = oil
  return (
    <li>
      <b>Engine oil</b>{' '}
      {dipstick === null ? (
        'dipstick never written'
      ) : (
        <>
          dipstick at{' '}
          <Figure
            of={{ value: dipstick.share, unit: '%', from: { entries: [dipstick.root] }, decimals: 0 }}
            view={view}
          />{' '}
          of the marks {ago(dipstick.days)}
        </>
      )}
      ;{' '}
      {needed.kind === 'estimate' ? (
        <>
          {formatNumber(plan)} h take <About of={needed} unit="L" from={rateSelection(rate)} view={view} decimals={1} />
        </>
      ) : (
        <span class="pencil">
          not enough yet to say how much she takes: {formatNumber(needed.n)} of {formatNumber(needed.needed)} spans
          between oil changes
        </span>
      )}
      .
    </li>
  )
}

/** How far the hours may go from the plan, and where that is from. */
const Spread = ({ answer, view }: { answer: Ahead; view: View }) => {
  const { spread, plan } = answer
  const share = `${formatNumber(spread.share * 100, 0)}\u00a0%`
  return (
    <>
      Chances allow for {formatNumber(plan.hours)} h coming out {share} more or less (one standard deviation),{' '}
      {spread.n === 0 ? (
        'assumed while the log has too few passages to learn it from'
      ) : (
        <>
          as the hours of{' '}
          <Figure
            of={{ value: spread.n, unit: '{passages}', from: { entries: spread.entries }, decimals: 0 }}
            view={view}
          />{' '}
          differ for their miles
        </>
      )}
      .{answer.plan.miles === null ? ' No miles are planned, so limits by miles are not asked.' : ''}
    </>
  )
}
