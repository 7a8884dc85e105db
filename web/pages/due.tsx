import { Hono } from 'hono'
import type { Child } from 'hono/jsx'
import type { Data } from '../../events/index.ts'
import { ahead } from '../../projections/ahead.ts'
import { type Cadence, cadenceOf } from '../../projections/cadence.ts'
import { type DueRow, dueRows, type Limit, type LimitKind, limitFigure, limitUnit } from '../../projections/due.ts'
import { fallsIn, type SailingYear, sailingYear } from '../../projections/sailing-season.ts'
import { isKept, KeptRow } from '../components/cadence.tsx'
import { chanceText } from '../components/chance.ts'
import { shipDay, shortDayText } from '../components/dates.ts'
import { Figure, formatNumber } from '../components/figure.tsx'
import { withKeep } from '../components/log-link.ts'
import { PassageAhead } from '../components/passage-ahead.tsx'
import { shipStand } from '../components/ship-stand.tsx'
import { type MonthScale, monthScale, Spread, SpreadScale } from '../components/spread.tsx'
import { Tape, TapeScale } from '../components/tape.tsx'
import { Under } from '../components/want.tsx'
import { Written } from '../components/written.tsx'
import { type PlanTexts, planBlanks, readPlan } from '../form/plan.ts'
import { Sheet } from '../layout.tsx'
import type { Env, Page, View } from '../page.ts'

const routes = new Hono<Env>()

routes.get('/', (c) => {
  const view = c.get('view')
  const texts = Object.fromEntries(planBlanks.map((blank) => [blank, c.req.query(blank)])) as PlanTexts
  const asked = planBlanks.some((blank) => texts[blank] !== undefined)
  const read = asked ? readPlan(texts, shipDay(view.now, view.timeline.zoneAt(view.now))) : null
  return c.html(
    <DueView
      view={view}
      rows={dueRows(view.timeline, view.now)}
      written={c.req.query('written')}
      passage={
        <PassageAhead
          view={view}
          texts={texts}
          refusals={read === null || read.ok ? [] : read.refusals}
          answer={read?.ok ? ahead(view.timeline, view.now, read.plan) : null}
        />
      }
    />,
    read === null || read.ok ? 200 : 422,
  )
})

/** The page of Due. */
export const DueView = ({
  view,
  rows,
  written,
  passage,
}: {
  view: View
  rows: readonly DueRow[]
  written?: string | undefined
  /** What stands at its head. */
  passage?: Child
}) => {
  const scale = monthScale(shipDay(view.now, view.timeline.zoneAt(view.now)))
  const year = sailingYear(view.timeline, view.now)
  return (
    <Sheet view={view} title="Due" page="/due" stand={shipStand(view)}>
      <Written view={view} written={written ?? null} />
      {passage}
      <section class="part">
        <h2>What is due</h2>
        {rows.length === 0 ? (
          <div class="body">
            <p>No upkeep task is set yet.</p>
            <p>
              <a href={withKeep('/write/upkeep-set', view.keep)}>Set the first one</a>: what must be done, every so many
              hours, months, miles or starts.
            </p>
          </div>
        ) : (
          <div class="due-list">
            <div class="due-scale">
              <span />
              <TapeScale />
              <SpreadScale scale={scale} />
            </div>
            <ol>
              {rows.map((row) => (
                <DueLine
                  row={row}
                  cadence={cadenceOf(view.timeline, row.task, view.now)}
                  year={year}
                  view={view}
                  scale={scale}
                />
              ))}
            </ol>
            <p class="key">
              <span>ink: used; hatched: beyond the interval</span>
              <span>upright: today</span>
              <span class="pencil">pencil: when it falls due</span>
            </p>
            <p class="quiet">
              Intervals that do not come from your maker's manual are marked; set them to it. A task is fulfilled by the
              work that it names, on the equipment that it names.{' '}
              <a href={withKeep('/forecasts', view.keep)}>How good these forecasts have been</a>
            </p>
          </div>
        )}
      </section>
    </Sheet>
  )
}

const DueLine = ({
  row,
  cadence,
  year,
  view,
  scale,
}: {
  row: DueRow
  cadence: Cadence
  year: SailingYear
  view: View
  scale: MonthScale
}) => {
  const { task, governing } = row
  return (
    <li class="due-row" id={task.handle}>
      <div>
        <h3>
          <a href={withKeep(`/due/${task.handle}`, view.keep)}>{task.data.name}</a>
        </h3>
        <small>
          {everyText(task.data)}
          {task.data.basis && task.data.basis !== "maker's manual" ? `; ${task.data.basis}` : ''}
        </small>
      </div>
      <div>
        {governing ? <Tape share={governing.share} every={governing.every} unit={limitUnit[governing.kind]} /> : ''}
        <Standing row={row} view={view} />
        {isKept(cadence) ? (
          <p class="quiet">
            <KeptRow cadence={cadence} view={view} />
          </p>
        ) : (
          ''
        )}
      </div>
      <div>
        <Spread
          scale={scale}
          {...(row.forecast.kind === 'estimate'
            ? { likely: row.forecast.likely, early: row.forecast.early, late: row.forecast.late }
            : {})}
        />
        <span class="pencil">
          {forecastText(row, view)}
          {beforeLayUpText(row, view)}
          {row.state !== 'overdue' &&
          row.forecast.kind === 'estimate' &&
          fallsIn(year, row.forecast.likely) === 'lay-up'
            ? ', in the lay-up'
            : ''}
        </span>
        <a class="do-it" href={serviceLink(row, view)}>
          Write it done
        </a>
      </div>
    </li>
  )
}

/**
 * How a task stands, in ink: what is used of what, or by how much it is over; when it was last done.
 * @param plain without the red pencil, where one thing on the page has it already
 */
export const Standing = ({ row, view, plain }: { row: DueRow; view: View; plain?: boolean }) => {
  const { governing, last, limits, from } = row
  const today = shipDay(view.now, view.timeline.zoneAt(view.now))
  const dayOf = (at: number) => shortDayText(shipDay(at, view.timeline.zoneAt(at)), today)
  const lastText = last
    ? `last ${dayOf(last.at)}`
    : `never written; counted from ${from.type === 'equipment-fitted' ? 'fitting' : 'when it was set'}, ${dayOf(from.at)}`
  if (!governing)
    return (
      <span>
        No meter counts what it is measured by. <span class="quiet">{lastText}</span>
      </span>
    )
  const others = limits.filter((limit) => limit !== governing && limit.share >= 1)
  return (
    <>
      {governing.left <= 0 ? (
        <b class="n">
          {plain ? (
            <OverBy limit={governing} row={row} view={view} />
          ) : (
            <Under>
              <OverBy limit={governing} row={row} view={view} />
            </Under>
          )}
        </b>
      ) : (
        <>
          <b class="n">
            <Used limit={governing} view={view} />
          </b>{' '}
          <span class="quiet n">
            <Left limit={governing} row={row} view={view} /> left
          </span>
        </>
      )}{' '}
      {others.map((limit) => (
        <span class="quiet n">
          and by <Over limit={limit} row={row} view={view} />{' '}
        </span>
      ))}
      <span class="quiet">{lastText}</span>
    </>
  )
}

const OverBy = (props: { limit: Limit; row: DueRow; view: View }) => (
  <>
    over by <Over {...props} />
  </>
)

/** A calendar limit of up to two months is told in days. */
const inDays = (limit: Limit): boolean => limit.days !== undefined && limit.every <= 2

/** "94 of 100 h": what was used opens to the readings since, the interval is said once with the unit. */
const Used = ({ limit, view }: { limit: Limit; view: View }) => {
  const [used, every, word] =
    limit.days && inDays(limit)
      ? [limit.days.used, limit.days.whole, 'days']
      : [limit.used, limit.every, words[limit.kind]]
  const decimals = limit.kind === 'months' && !inDays(limit) && (limit.every <= 6 || limit.share > 0.9) ? 1 : 0
  return (
    <>
      <Figure
        of={{ ...limitFigure(limit, Math.floor(used * 10 ** decimals) / 10 ** decimals), unit: '1', decimals }}
        view={view}
      />{' '}
      of {formatNumber(every)} {word}
    </>
  )
}

const words: Record<LimitKind, string> = { hours: 'h', months: 'months', miles: 'M', starts: 'starts' }

/** What is left or over, days for the calendar: nobody counts in tenths of months. */
const Left = ({ limit, row, view }: { limit: Limit; row: DueRow; view: View }) =>
  limit.kind === 'months' ? (
    <Figure of={calendarFigure(limit, Math.max(0, row.daysLeft ?? 0))} view={view} />
  ) : (
    <Amount limit={limit} value={limit.left} view={view} />
  )

const Over = ({ limit, row, view }: { limit: Limit; row: DueRow; view: View }) =>
  limit.kind === 'months' ? (
    <Figure of={calendarFigure(limit, Math.max(0, -(row.daysLeft ?? 0)))} view={view} />
  ) : (
    <Amount limit={limit} value={-limit.left} view={view} />
  )

const Amount = ({ limit, value, view }: { limit: Limit; value: number; view: View }) =>
  limit.kind === 'starts' ? (
    <Figure of={{ ...limitFigure(limit, value), unit: '{starts}', decimals: 0 }} view={view} />
  ) : (
    <Figure of={limitFigure(limit, value)} view={view} />
  )

/** Beyond two months a calendar limit is told in months. */
const calendarFigure = (limit: Limit, days: number) =>
  days > 61
    ? { value: Math.floor(days / 30.44), unit: 'mo', from: limit.from, decimals: 0 }
    : { value: days, unit: 'd', from: limit.from, decimals: 0 }

/** "every 100 h or 12 months, at lay-up" */
export function everyText(data: Data<'upkeep-set'>): string {
  const parts: string[] = []
  if (data.everyHours !== undefined) parts.push(`${formatNumber(data.everyHours)} h`)
  if (data.everyMonths !== undefined)
    parts.push(data.everyMonths === 1 ? 'month' : `${formatNumber(data.everyMonths)} months`)
  if (data.everyMiles !== undefined) parts.push(`${formatNumber(data.everyMiles)} M`)
  if (data.everyStarts !== undefined) parts.push(`${formatNumber(data.everyStarts)} starts`)
  const every = parts.length === 0 ? 'when it suits' : `every ${parts.join(' or ')}`
  return data.when === undefined ? every : `${every}, ${data.when}`
}

/** When it falls due, in pencil: "about 3 Jul, 24 Jun to 22 Jul", "10 Oct 2027, by the calendar". */
export function forecastText(row: DueRow, view: View): string {
  const { forecast } = row
  const today = shipDay(view.now, view.timeline.zoneAt(view.now))
  if (forecast.kind === 'not-enough')
    return `not enough yet to say when: ${formatNumber(forecast.n)} of ${formatNumber(forecast.needed)} days of hours`
  if (row.state === 'overdue')
    return forecast.governs === 'months' ? `was due ${shortDayText(forecast.likely, today)}` : 'due now'
  const likely = shortDayText(forecast.likely, today)
  if (forecast.governs === 'months') return `${likely}, by the calendar`
  if (forecast.late === null) return `about ${likely}, ${shortDayText(forecast.early, today)} or later`
  return `about ${likely}, ${shortDayText(forecast.early, today)} to ${shortDayText(forecast.late, today)}`
}

/** The chance that it falls due before she is laid up, where that is neither sure nor out of the question: beside a date that may be this autumn's or next spring's. */
export function beforeLayUpText({ forecast, state }: DueRow, view: View): string {
  const chance = forecast.kind === 'estimate' && state !== 'overdue' ? forecast.beforeLayUp : null
  if (chance === null || chance.chance < 0.025 || chance.chance >= 0.975) return ''
  const today = shipDay(view.now, view.timeline.zoneAt(view.now))
  return `; ${chanceText(chance.chance)} before lay-up, about ${shortDayText(chance.date, today)}`
}

/** The form that writes a task done. */
export const serviceLink = (row: DueRow, view: View): string =>
  withKeep(`/write/service?equipment=${row.task.data.equipment}&task=${row.task.handle}`, view.keep)

/** Due: what is due, when, and how sure. */
export const due: Page = { path: '/due', title: 'Due', tab: true, routes }
