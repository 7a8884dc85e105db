import { Hono } from 'hono'
import { Temporal } from 'temporal-polyfill'
import { type Cadence, cadenceOf, type ServiceInterval } from '../../projections/cadence.ts'
import { cautions, lastWord } from '../../projections/cautions.ts'
import { type DueRow, dueRows } from '../../projections/due.ts'
import { register, type Task } from '../../projections/register.ts'
import { fallsIn, type SailingYear, sailingYear } from '../../projections/sailing-season.ts'
import { fold } from '../../projections/timeline.ts'
import type { ChartSpec, Mark } from '../chart.ts'
import { intervalFigure, KeptRow, YearlyWords } from '../components/cadence.tsx'
import { Caution } from '../components/caution.tsx'
import { Chart, ChartHead } from '../components/chart.tsx'
import { monthText, shipDay, shortDayText } from '../components/dates.ts'
import { Figure, formatNumber } from '../components/figure.tsx'
import { logLink, withKeep } from '../components/log-link.ts'
import { Sheet, type Stand } from '../layout.tsx'
import type { Env, Page, View } from '../page.ts'
import { beforeLayUpText, everyText, forecastText, Standing, serviceLink } from './due.tsx'

const routes = new Hono<Env>()

routes.get('/:task', (c) => {
  const view = c.get('view')
  const one = fold(register, view.timeline).tasks.get(c.req.param('task'))
  return one ? c.html(<TaskView view={view} task={one} />) : c.notFound()
})

/** One upkeep task: how it stands, when it falls due, and how it has been kept. */
const TaskView = ({ view, task }: { view: View; task: Task }) => {
  const { timeline, now } = view
  const row = dueRows(timeline, now).find((one) => one.task.handle === task.handle)
  const cadence = cadenceOf(timeline, task, now)
  const { data } = task
  const equipment = fold(register, timeline).equipment.get(data.equipment)
  const stand: Stand[] = [
    {
      label: 'On',
      value: <a href={withKeep(`/equipment/${data.equipment}`, view.keep)}>{equipment?.name ?? data.equipment}</a>,
    },
    { label: 'Set', value: everyText(data), ...(data.basis ? { small: `(${data.basis})` } : {}) },
    { label: 'Work', value: data.work },
    ...(data.skill ? [{ label: 'Who', value: data.skill }] : []),
  ]
  const caution = data.caution && cautions[data.caution]
  return (
    <Sheet view={view} title={data.name} page="/due" stand={stand} head={<ChartHead />}>
      <section class="part">
        <h2>How it stands</h2>
        <div class="body">
          {caution ? <Caution first={caution.first} then={caution.also} tail={lastWord} /> : ''}
          {row ? (
            <Stands row={row} view={view} />
          ) : (
            <p>It does not fall due: it was retired, or its equipment removed.</p>
          )}
          {data.parts ? <p>Parts: {data.parts}. Whether they are aboard the log does not know.</p> : ''}
          {data.note ? <p class="quiet">{data.note}</p> : ''}
          <div class="buttons">
            {row ? (
              <a class="button first" href={serviceLink(row, view)}>
                Write it done
              </a>
            ) : (
              ''
            )}
            <a class="button" href={logLink({ task: task.handle }, view.keep)}>
              All that was written of it
            </a>
          </div>
          {row?.forecast.kind === 'estimate' && row.state !== 'overdue' ? <ByMonth of={row.forecast.byMonth} /> : ''}
        </div>
      </section>
      <Kept cadence={cadence} view={view} />
    </Sheet>
  )
}

const Stands = ({ row, view }: { row: DueRow; view: View }) => (
  <>
    <p>
      <Standing row={row} view={view} />.
    </p>
    <p>
      <span class="pencil">
        {row.state === 'overdue' ? '' : 'Falls due: '}
        {forecastText(row, view)}
        {beforeLayUpText(row, view)}
      </span>
      . <FallsIn row={row} view={view} year={sailingYear(view.timeline, view.now)} />
    </p>
  </>
)

/** The chance that it has fallen due by the end of each month, for those who plan by months. */
const ByMonth = ({ of }: { of: readonly { readonly date: string; readonly chance: number }[] }) => {
  const told = of.filter(({ chance }) => chance >= 0.005)
  return told.length < 2 ? null : (
    <details>
      <summary>Chance by month</summary>
      <div class="wide">
        <table class="by-month">
          <thead>
            <tr>
              <th scope="col">Due by the end of</th>
              <th scope="col" class="num">
                Chance
              </th>
            </tr>
          </thead>
          <tbody>
            {told.map(({ date, chance }) => (
              <tr>
                <th scope="row">
                  {monthText(date)} {date.slice(0, 4)}
                </th>
                <td class="num pencil">{`${formatNumber(Math.min(99, chance * 100), 0)}\u00a0%`}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  )
}

/** Whether the likely day falls in the lay-up or while she sails, and how often she is then under way. */
const FallsIn = ({ row, view, year }: { row: DueRow; view: View; year: SailingYear }) => {
  const { forecast } = row
  if (forecast.kind !== 'estimate' || row.state === 'overdue') return null
  const where = fallsIn(year, forecast.likely)
  const ended = year.seasons.filter((season) => season.ended)
  const month = year.months[Number(forecast.likely.slice(5, 7)) - 1]!
  const seen = (
    <Figure
      of={{
        value: ended.length,
        unit: '{seasons}',
        decimals: 0,
        from: { entries: ended.flatMap((season) => season.entries) },
      }}
      view={view}
    />
  )
  const share = month.known === 0 ? null : month.underWay / month.known
  return (
    <span class="pencil">
      {where === null ? (
        ''
      ) : where === 'lay-up' ? (
        <>That day lies in her lay-up, by {seen} in the log. </>
      ) : where === 'season' ? (
        <>That day lies in her season, by {seen} in the log. </>
      ) : (
        <>By that day she has been laid up in some years and not in others, by {seen} in the log. </>
      )}
      {share === null || where === 'lay-up'
        ? ''
        : `In ${monthText(forecast.likely)} she has been under way on ${formatNumber(share * 30, 0)} days of 30, and in port on the others.`}
    </span>
  )
}

const Kept = ({ cadence, view }: { cadence: Cadence; view: View }) => {
  const { kept, running, every, task: of } = cadence
  const byMiles = of.data.everyMiles !== undefined
  const byStarts = of.data.everyStarts !== undefined
  if (kept.length === 0)
    return (
      <section class="part">
        <h2>How it has been kept</h2>
        <div class="body">
          <p>
            <span class="pencil">Not enough yet</span>: no interval between two services is in the log.
          </p>
        </div>
      </section>
    )
  return (
    <section class="part" id="kept">
      <h2>How it has been kept</h2>
      <div class="body">
        <p>
          <KeptRow cadence={cadence} view={view} />
        </p>
        <p>
          <YearlyWords cadence={cadence} />
        </p>
        {every === null ? '' : <KeptChart cadence={cadence} view={view} />}
        <table class="stack-table">
          <thead>
            <tr>
              <th>From</th>
              <th>To</th>
              <th class="num">Hours</th>
              {byMiles ? <th class="num">Miles</th> : ''}
              {byStarts ? <th class="num">Starts</th> : ''}
              <th class="num">Months</th>
              <th class="num">Of the interval</th>
            </tr>
          </thead>
          <tbody>
            {[...kept, ...(running ? [running] : [])].reverse().map((one) => (
              <IntervalRow one={one} cadence={cadence} view={view} />
            ))}
          </tbody>
        </table>
        <p class="quiet">
          Hours, miles and months between one service and the next, as they were run; how much of the interval that was,
          by the limit that came first (in words behind it). What is set here is yours to change, after the maker's
          manual: how it was kept is no reason by itself.
        </p>
        <p class="further">
          <a href={`/log/${cadence.task.set.root}/amend`}>Set the interval anew</a>
        </p>
      </div>
    </section>
  )
}

const limitWords = { hours: 'hours', months: 'calendar', miles: 'miles', starts: 'starts' } as const

const IntervalRow = ({ one, cadence, view }: { one: ServiceInterval; cadence: Cadence; view: View }) => {
  const today = shipDay(view.now, view.timeline.zoneAt(view.now))
  const on = (at: number) => shortDayText(shipDay(at, view.timeline.zoneAt(at)), today)
  const cell = (measure: Cadence['measure']) => {
    const figure = intervalFigure(one, measure)
    return figure ? <Figure of={{ ...figure, unit: '1' }} view={view} /> : ''
  }
  const past = one.share !== null && one.share > 1
  const share = one.share === null ? '' : `${formatNumber(one.share * 100, 0)}\u00a0%`
  return (
    <tr>
      <th scope="row" data-l="from">
        <a class="n" href={withKeep(`/log/${one.from.root}`, view.keep)}>
          {on(one.from.at)}
        </a>
        {one.from.type === 'equipment-fitted' ? <small> fitted</small> : ''}
      </th>
      <td data-l="to">
        {one.to ? (
          <a class="n" href={withKeep(`/log/${one.to.root}`, view.keep)}>
            {on(one.to.at)}
          </a>
        ) : (
          <span class="quiet">still running</span>
        )}
      </td>
      <td class="num" data-l="hours">
        {cell('hours')}
      </td>
      {cadence.task.data.everyMiles === undefined ? (
        ''
      ) : (
        <td class="num" data-l="miles">
          {cell('miles')}
        </td>
      )}
      {cadence.task.data.everyStarts === undefined ? (
        ''
      ) : (
        <td class="num" data-l="starts">
          {cell('starts')}
        </td>
      )}
      <td class="num" data-l="months">
        {cell('months')}
      </td>
      <td class="num" data-l="of the interval">
        {past ? <b>{share}</b> : share} {one.governs ? <small>{limitWords[one.governs]}</small> : ''}
      </td>
    </tr>
  )
}

const dayMs = 86_400_000

/** The hours (or miles, starts, months) run between services by the day of the service, against what was set. */
const KeptChart = ({ cadence, view }: { cadence: Cadence; view: View }) => {
  const { kept, running, measure, every } = cadence
  const all = [...kept, ...(running ? [running] : [])].flatMap((one) => {
    const value = one[measure]
    return value === null ? [] : [{ x: (one.to?.at ?? view.now) / dayMs, y: value, one }]
  })
  const first = all[0]
  if (!first || all.length < 2 || every === null) return null
  const unit = { hours: 'h', miles: 'miles', starts: 'starts', months: 'months' }[measure]
  const last = all[all.length - 1]!
  const room = Math.max(20, (last.x - first.x) * 0.06)
  const top = Math.max(every, ...all.map(({ y }) => y)) * 1.25
  const through = all.filter(({ one }) => one.to !== null)
  const marks: Mark[] = [
    { kind: 'limit', y: every, name: `${formatNumber(every)} ${unit} as set` },
    { kind: 'line', through: through.map(({ x, y }) => [x, y] as const), width: 1 },
    {
      kind: 'points',
      at: all.map(({ x, y, one }) => ({
        x,
        y,
        ...(one.to ? { to: withKeep(`/log/${one.to.root}`, view.keep) } : { hollow: true }),
      })),
    },
  ]
  const spec: ChartSpec = {
    size: 'small',
    x: { from: first.x - room, to: last.x + room, ticks: yearsBetween(first.x - room, last.x + room) },
    y: { from: 0, to: top },
    marks,
  }
  const list = through.map(({ y }) => formatNumber(y, 0)).join(', ')
  return (
    <Chart
      spec={spec}
      title={`${{ hours: 'Hours', miles: 'Miles', starts: 'Starts', months: 'Months' }[measure]} run between services`}
      axes={`${unit} at each service, by date`}
      label={`Between services ${list} ${unit}, against ${formatNumber(every)} as set${running ? `; the running one is at ${formatNumber(running[measure] ?? 0, 0)}` : ''}.`}
      words={{ point: 'at a service', hollow: 'still running', limit: 'as set' }}
    />
  )
}

/** The first days of the years between two days (counted from 1970), or of their quarters where that is less than two years. */
function yearsBetween(from: number, to: number): (readonly [number, string])[] {
  const dayAt = (day: number) => Temporal.PlainDate.from('1970-01-01').add({ days: Math.floor(day) })
  const months = to - from > 730 ? 12 : to - from > 240 ? 3 : 1
  const ticks: (readonly [number, string])[] = []
  let day = dayAt(from).with({ day: 1 })
  if (months > 1) day = day.with({ month: months === 12 ? 1 : Math.floor((day.month - 1) / 3) * 3 + 1 })
  for (; ; day = day.add({ months })) {
    const at = Temporal.PlainDate.from('1970-01-01').until(day, { largestUnit: 'days' }).days
    if (at > to) return ticks
    if (at >= from) ticks.push([at, day.month === 1 ? String(day.year) : monthText(day.toString())])
  }
}

/** One task of Due on a page of its own. */
export const task: Page = { path: '/due', title: 'Task', tab: false, routes }
