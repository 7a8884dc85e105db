import { Hono } from 'hono'
import type { ForecastsKept, JudgedForecast, KeptBy } from '../../projections/forecasts-kept.ts'
import { nameOf, register } from '../../projections/register.ts'
import { fold } from '../../projections/timeline.ts'
import { shipDay, shortDayText } from '../components/dates.ts'
import { Figure, formatNumber } from '../components/figure.tsx'
import { withKeep } from '../components/log-link.ts'
import { replayForecasts } from '../forecast-replay.ts'
import { Sheet } from '../layout.tsx'
import type { Env, Page, View } from '../page.ts'

const routes = new Hono<Env>()

/** So long a page is waited for; then it says how far the reckoning is. Milliseconds. */
const patience = 2500

/** So many of the forecasts are listed, the latest first. */
const listed = 30

routes.get('/', async (c) => {
  const view = c.get('view')
  const replay = replayForecasts(c.get('book'), view.timeline, view.now)
  let waiting: ReturnType<typeof setTimeout> | undefined
  const kept = await Promise.race([
    replay.kept,
    new Promise<null>((resolve) => {
      waiting = setTimeout(() => resolve(null), patience)
    }),
  ])
  clearTimeout(waiting)
  return c.html(
    <Sheet view={view} title="Forecasts" page="/forecasts" stand={[]}>
      <section class="part">
        <h2>How good they were</h2>
        <div class="body">
          <p>
            What Due said at the start of each month, by what was known then, beside what happened. Limits by hours,
            miles and starts; the calendar is no forecast.
          </p>
          {kept === null ? <Underway {...replay.progress()} view={view} /> : <Kept kept={kept} />}
        </div>
      </section>
      {kept === null || kept.judged.length === 0 ? '' : <Judged kept={kept} view={view} />}
    </Sheet>,
  )
})

const Underway = ({ done, of, view }: { done: number; of: number; view: View }) => (
  <p role="status">
    <b>Being reckoned:</b> {formatNumber(done)} of {formatNumber(of)} months.{' '}
    <a href={withKeep('/forecasts', view.keep)}>Look again</a>
  </p>
)

const percent = (share: number): string => `${formatNumber(share * 100, 0)}\u00a0%`

const Kept = ({ kept }: { kept: ForecastsKept }) => {
  const { overall, byHorizon, made, open, level, widen, months } = kept
  if (overall === null)
    return (
      <p>
        <span class="pencil">Not enough yet</span>: {formatNumber(made)} forecasts were made at the starts of{' '}
        {formatNumber(months.length)} months, and the range of none of them has passed.
      </p>
    )
  return (
    <>
      <p>
        <b>
          {formatNumber(overall.within)} of {formatNumber(overall.n)} ({percent(overall.within / overall.n)})
        </b>{' '}
        fell due between their early and their late day; {percent(level)} were promised. {formatNumber(open)} of{' '}
        {formatNumber(made)} are still open and not judged: a forecast is judged once its late day has passed, whatever
        happened.
      </p>
      <table class="stack-table">
        <thead>
          <tr>
            <th>Ahead</th>
            <th class="num">Judged</th>
            <th class="num">Limits</th>
            <th class="num">Held</th>
            <th class="num">Days off, middle</th>
          </tr>
        </thead>
        <tbody>
          {byHorizon.map((row) => (
            <HorizonRow row={row} />
          ))}
        </tbody>
      </table>
      <p>
        {widen.kind === 'estimate' ? (
          <span class="pencil">
            Ranges {formatNumber(widen.value, 2)} times as wide ({formatNumber(widen.low, 2)} to{' '}
            {formatNumber(widen.high, 2)}) would have held what they promise, by {formatNumber(widen.n)} limits that
            fell due.
          </span>
        ) : (
          <span class="pencil">
            Not enough yet to say whether the ranges should be wider or narrower: {formatNumber(widen.n)} of{' '}
            {formatNumber(widen.needed)} limits that fell due.
          </span>
        )}
      </p>
      <p class="quiet">
        One limit is forecast again each month until it falls due, and what hangs on one engine falls due together: many
        rows say less than as many boats would.
      </p>
    </>
  )
}

const HorizonRow = ({ row }: { row: KeptBy }) => (
  <tr>
    <th scope="row" class="all">
      {row.horizon}
    </th>
    <td class="num" data-l="judged">
      {formatNumber(row.n)}
    </td>
    <td class="num" data-l="limits">
      {formatNumber(row.falls)}
    </td>
    <td class="num" data-l="held">
      {percent(row.within / row.n)}
    </td>
    <td class="num" data-l="days off">
      {formatNumber(row.medianOff, 0)}
    </td>
  </tr>
)

const Judged = ({ kept, view }: { kept: ForecastsKept; view: View }) => (
  <section class="part">
    <h2>Forecast by forecast</h2>
    <details class="body">
      <summary>The last {formatNumber(Math.min(listed, kept.judged.length))}</summary>
      <table class="stack-table">
        <thead>
          <tr>
            <th>Made</th>
            <th>Task</th>
            <th>Likely</th>
            <th>Early to late</th>
            <th>Fell due</th>
            <th class="num">Off by</th>
          </tr>
        </thead>
        <tbody>
          {[...kept.judged]
            .reverse()
            .slice(0, listed)
            .map((one) => (
              <JudgedRow one={one} view={view} />
            ))}
        </tbody>
      </table>
      {kept.judged.length > listed ? (
        <p class="quiet">
          The last {formatNumber(listed)} of {formatNumber(kept.judged.length)}; all of them with{' '}
          <span class="n">fettlebook forecasts --json</span>.
        </p>
      ) : (
        ''
      )}
    </details>
  </section>
)

const JudgedRow = ({ one, view }: { one: JudgedForecast; view: View }) => {
  const today = shipDay(view.now, view.timeline.zoneAt(view.now))
  const day = (date: string) => shortDayText(date, today)
  const name = nameOf(fold(register, view.timeline), 'task', one.task)
  return (
    <tr>
      <th scope="row" data-l="made">
        {day(one.made)}
      </th>
      <td>
        <a href={withKeep(`/due/${one.task}`, view.keep)}>{name}</a> <small>by {one.kind}</small>
      </td>
      <td data-l="likely" class="pencil">
        {day(one.likely)}
      </td>
      <td data-l="range" class="pencil">
        {day(one.early)} to {day(one.late)}
      </td>
      <td data-l="fell due">
        {one.fellDue === null ? 'not yet' : one.within ? day(one.fellDue) : <b>{day(one.fellDue)}</b>}
      </td>
      <td class="num" data-l="off by">
        <Figure
          of={{ value: one.offBy, unit: 'd', decimals: 0, from: { entries: [one.anchor.root], task: one.task } }}
          view={view}
        />
      </td>
    </tr>
  )
}

/** Forecasts: how good we were. It has no tab: it is out of the daily way. */
export const forecasts: Page = { path: '/forecasts', title: 'Forecasts', tab: false, routes }
