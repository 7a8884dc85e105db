import { Hono } from 'hono'
import type { Child } from 'hono/jsx'
import { cadenceOf } from '../../projections/cadence.ts'
import { carried, openDefects, type TemporaryRepair, temporaryRepairs } from '../../projections/carried.ts'
import { countedBetween } from '../../projections/counts.ts'
import { type DueRow, dueRows } from '../../projections/due.ts'
import { left, leftNow } from '../../projections/left.ts'
import { meterRows } from '../../projections/meter-hours.ts'
import { nameOf, register } from '../../projections/register.ts'
import { runs } from '../../projections/runs.ts'
import { fold, type Told } from '../../projections/timeline.ts'
import { KeptRow } from '../components/cadence.tsx'
import { Caution } from '../components/caution.tsx'
import { clockText, shipDay, shortDayText } from '../components/dates.ts'
import { EntryList } from '../components/entry-list.tsx'
import { Figure, formatNumber } from '../components/figure.tsx'
import { linesOf, namesOf, placesOf } from '../components/lines.ts'
import { withKeep } from '../components/log-link.ts'
import { shipStand } from '../components/ship-stand.tsx'
import { Under, Want } from '../components/want.tsx'
import { Written } from '../components/written.tsx'
import { Sheet } from '../layout.tsx'
import type { Env, Page, View } from '../page.ts'
import { forecastText, Standing, serviceLink } from './due.tsx'

const routes = new Hono<Env>()

routes.get('/', (c) => {
  const view = c.get('view')
  return c.html(<TodayView view={view} written={c.req.query('written')} />)
})

/** The most tasks that Today names; the rest are on Due. */
const mostDue = 3

/** The most tasks of which Today says that their hours rise; Due says it beside each. */
const mostRising = 2

/** The page of Today, a function of the fair log and the time. */
export const TodayView = ({ view, written }: { view: View; written?: string | undefined }) => {
  const all = view.timeline.all
  const last = [...all].reverse().slice(0, all.length > 20 ? 14 : 20)
  return (
    <Sheet view={view} title="Today" page="/" stand={shipStand(view)}>
      <Written view={view} written={written ?? null} />
      <WriteDown view={view} />
      <section class="part">
        <h2>Before you turn the key</h2>
        <div class="wants">
          <Wants view={view} />
        </div>
      </section>
      <section class="part">
        <h2>Last entries</h2>
        <EntryList
          lines={linesOf(view, last)}
          view={view}
          names={namesOf(view)}
          placeOf={placesOf(view)}
          blank={Math.max(0, 4 - all.length)}
        />
        <p class="body further">
          <a href={withKeep('/log', view.keep)}>
            The whole log: {formatNumber(all.length)} {all.length === 1 ? 'entry' : 'entries'}
          </a>
        </p>
      </section>
    </Sheet>
  )
}

const writtenMost = [
  { to: '/write/passage', word: 'Passage' },
  { to: '/write/hours', word: 'Hours' },
  { to: '/write/readings', word: 'Readings' },
  { to: '/rounds', word: 'Rounds' },
  { to: '/write/service', word: 'Service' },
]

/** What is written most, one tap away. */
const WriteDown = ({ view }: { view: View }) => {
  const running = fold(runs, view.timeline).open.size > 0
  return (
    <section class="part write">
      <h2 class="away">Write it down</h2>
      <div class="row">
        <small class="in-margin">{clockText(view.now, view.timeline.zoneAt(view.now))}</small>
        <nav aria-label="Write it down" class="buttons write-down">
          <a class="button first" href="/write/engine">
            {running ? 'Engine stopped' : 'Engine started'}
          </a>
          {writtenMost.map(({ to, word }) => (
            <a class="button" href={to}>
              {word}
            </a>
          ))}
          <a class="more" href="/write">
            Anything else
          </a>
        </nav>
      </div>
    </section>
  )
}

interface Wanted {
  readonly word: string
  /** As the first thing on the page it reads in large print with one underline. */
  readonly lead: Child
  readonly name: Child
  readonly text: Child
}

/** What wants attention, the most urgent first: what was left shut, doubtful hours, what is overdue, what is carried, what is soon due. */
const Wants = ({ view }: { view: View }) => {
  const { timeline, now } = view
  const rows = dueRows(timeline, now)
  const overdue = rows.filter((row) => row.state === 'overdue')
  const soon = rows.filter((row) => row.state === 'soon')
  const state = fold(carried, timeline)
  const leave = leftNow(fold(left, timeline))
  // Said with the task itself where that is named; else for itself, as a fact and without red.
  const rising = rows
    .filter((row) => row.state === 'later' && cadenceOf(timeline, row.task, now).risingPast)
    .slice(0, mostRising)
  const wants: Wanted[] = [
    ...leave.map((entry) => leftWant(entry, view)),
    ...overdue.slice(0, mostDue).map((row) => dueWant(row, view)),
    ...(overdue.length > mostDue
      ? [moreDue(overdue.length - mostDue, ['more is overdue', 'more are overdue'], view)]
      : []),
    ...temporaryRepairs(state).map((repair) => carriedWant(repair, view)),
    ...openDefects(state).map(({ found }) => defectWant(found, view)),
    ...rising.map((row) => risingWant(row, view)),
    ...soon.slice(0, mostDue).map((row) => dueWant(row, view)),
    ...(soon.length > mostDue
      ? [moreDue(soon.length - mostDue, ['more falls due soon', 'more fall due soon'], view)]
      : []),
  ]
  const first = wants[0]
  return (
    <>
      {first ? (
        <Want word={first.word} lead={first.lead}>
          {first.text}
        </Want>
      ) : (
        <Nothing rows={rows} view={view} />
      )}
      {leave.some((entry) => isEngines(entry, view)) ? (
        <div class="body">
          <Caution
            first="Restore what was left before the key is turned."
            then="An engine started on a shut seacock, or drained of oil, is damaged within a minute."
          />
        </div>
      ) : (
        ''
      )}
      {wants.slice(1).map((want) => (
        <Want word={want.word}>
          <p>
            <b>{want.name}</b>
          </p>
          {want.text}
        </Want>
      ))}
      <Doubts view={view} />
    </>
  )
}

/** Kinds of equipment without which an engine must not be started. */
const engines: readonly string[] = [
  'engine',
  'gearbox',
  'saildrive',
  'seacock',
  'strainer',
  'raw-water pump',
  'coolant pump',
  'fuel filter',
  'fuel tank',
  'hose',
  'stern gear',
]

const isEngines = (entry: Told<'left-as'>, view: View): boolean =>
  engines.includes(fold(register, view.timeline).equipment.get(entry.data.equipment)?.kind ?? '')

/** Nothing wants attention: the next thing due, without red; in a young book what would make it more useful. */
const Nothing = ({ rows, view }: { rows: readonly DueRow[]; view: View }) => {
  const next = rows.find((row) => row.state === 'later')
  const { meters, tasks, equipment } = fold(register, view.timeline)
  if (next)
    return (
      <Want word="Due" lead={<>Next is {lower(next.task.data.name)}</>}>
        <p>
          <Standing row={next} view={view} />. <span class="pencil">{forecastText(next, view)}</span>.{' '}
          <a class="why" href={withKeep('/due', view.keep)}>
            Due
          </a>
        </p>
      </Want>
    )
  return (
    <Want
      word="Asked"
      lead={
        equipment.size === 0
          ? 'What is aboard?'
          : meters.size === 0
            ? 'What counts her hours?'
            : 'What must be done, and how often?'
      }
    >
      <p>
        {equipment.size === 0 ? (
          <>
            Begin with the boat and her engine: <a href="/write/equipment-fitted">write down what is fitted</a>, then{' '}
            <a href="/write/book-set">the boat's name and ship's time</a>.
          </>
        ) : meters.size === 0 ? (
          <>
            <a href="/write/meter-fitted">Write down the engine's hours meter</a>, with what it shows today.
          </>
        ) : tasks.size === 0 ? (
          <>
            <a href="/write/upkeep-set">Set the first upkeep task</a>, as your maker's manual has it.
          </>
        ) : (
          'Every task is counted by a meter that is not here.'
        )}
      </p>
    </Want>
  )
}

const lower = (name: string): string => name.charAt(0).toLowerCase() + name.slice(1)

const dayIn = (at: number, view: View): string =>
  shortDayText(shipDay(at, view.timeline.zoneAt(at)), shipDay(view.now, view.timeline.zoneAt(view.now)))

const entryLink = (root: string, view: View): string => withKeep(`/log/${root}`, view.keep)

function leftWant(entry: Told<'left-as'>, view: View): Wanted {
  const name = nameOf(fold(register, view.timeline), 'equipment', entry.data.equipment)
  return {
    word: 'Left',
    lead: (
      <>
        {name}: <Under>left {entry.data.state}</Under>
      </>
    ),
    name: `${name}: left ${entry.data.state}`,
    text: (
      <p>
        Since {dayIn(entry.at, view)}. {entry.data.note ? `${entry.data.note} ` : ''}
        <a class="why" href={entryLink(entry.root, view)}>
          Why
        </a>{' '}
        <a class="why" href={`/write/restored?equipment=${entry.data.equipment}`}>
          Restored
        </a>
      </p>
    ),
  }
}

function dueWant(row: DueRow, view: View): Wanted {
  const name = row.task.data.name
  const cadence = cadenceOf(view.timeline, row.task, view.now)
  return {
    word: 'Due',
    lead:
      row.state === 'overdue' ? (
        <>
          {name} <Under>is overdue</Under>
        </>
      ) : (
        <>{name} falls due soon</>
      ),
    name,
    text: (
      <p>
        <Standing row={row} view={view} plain />.{' '}
        {row.state === 'overdue' ? '' : <span class="pencil">{forecastText(row, view)}. </span>}
        {cadence.risingPast ? (
          <>
            <KeptRow cadence={cadence} view={view} />{' '}
          </>
        ) : (
          ''
        )}
        <a class="why" href={withKeep(`/due#${row.task.handle}`, view.keep)}>
          Due
        </a>{' '}
        <a class="why" href={serviceLink(row, view)}>
          Write it done
        </a>
      </p>
    ),
  }
}

/** A task that is not due yet, but whose hours between services rise towards or past what was set. */
function risingWant(row: DueRow, view: View): Wanted {
  const { name } = row.task.data
  return {
    word: 'Due',
    lead: <>{name}: the hours between services rise</>,
    name,
    text: (
      <p>
        <KeptRow cadence={cadenceOf(view.timeline, row.task, view.now)} view={view} />{' '}
        <span class="pencil">{forecastText(row, view)}. </span>
        <a class="why" href={withKeep(`/due/${row.task.handle}#kept`, view.keep)}>
          How it has been kept
        </a>
      </p>
    ),
  }
}

const moreDue = (n: number, [one, several]: readonly [string, string], view: View): Wanted => {
  const text = (
    <p>
      <a href={withKeep('/due', view.keep)}>All of it on Due</a>
    </p>
  )
  const name = `${formatNumber(n)} ${n === 1 ? one : several}`
  return { word: '', lead: name, name, text }
}

function carriedWant({ made }: TemporaryRepair, view: View): Wanted {
  const { timeline, now } = view
  const name = nameOf(fold(register, timeline), 'equipment', made.data.equipment)
  const counted = countedBetween(timeline, made.data.equipment, { at: made.at, root: made.root }, now)
  const from = { entries: [made.root] }
  const days = Math.floor((now - made.at) / 86_400_000)
  return {
    word: 'Carried',
    lead: (
      <>
        {name} hangs on <Under>a temporary repair</Under>
      </>
    ),
    name: `Temporary repair: ${lower(name)}`,
    text: (
      <p>
        {sentence(made.data.what)} Carried <Figure of={{ value: days, unit: 'd', from, decimals: 0 }} view={view} />
        {counted.hours === null ? (
          ''
        ) : (
          <>
            ,{' '}
            <Figure
              of={{
                value: counted.hours,
                unit: 'h',
                from: { kinds: ['engine-started', 'engine-stopped', 'hours-read'], since: made.at, until: now },
                decimals: 0,
              }}
              view={view}
            />
          </>
        )}
        {counted.miles === null ? (
          ''
        ) : (
          <>
            ,{' '}
            <Figure
              of={{
                value: counted.miles,
                unit: '[nmi_i]',
                from: { kinds: ['passage-ended'], since: made.at, until: now },
                decimals: 0,
              }}
              view={view}
            />
          </>
        )}
        . {made.data.waitsFor ? `Permanent repair waits for ${made.data.waitsFor}. ` : ''}
        <a class="why" href={entryLink(made.root, view)}>
          Why
        </a>{' '}
        <a class="why" href={`/write/repair-made?equipment=${made.data.equipment}&kind=permanent&mends=${made.root}`}>
          Permanent repair
        </a>
      </p>
    ),
  }
}

function defectWant(found: Told<'defect-found'>, view: View): Wanted {
  const name = nameOf(fold(register, view.timeline), 'equipment', found.data.equipment)
  return {
    word: 'Defect',
    lead: (
      <>
        {name} <Under>has a defect</Under>
      </>
    ),
    name: `Defect: ${lower(name)}`,
    text: (
      <p>
        {sentence(found.data.what)} Matters: {found.data.matters}.{' '}
        {found.data.stops ? `Stops ${found.data.stops}. ` : ''}Since {dayIn(found.at, view)}.{' '}
        <a class="why" href={entryLink(found.root, view)}>
          Why
        </a>{' '}
        <a class="why" href={`/write/repair-made?equipment=${found.data.equipment}&mends=${found.root}`}>
          Repair
        </a>
      </p>
    ),
  }
}

const sentence = (text: string): string => {
  const begun = text.charAt(0).toUpperCase() + text.slice(1)
  return /[.!?]$/.test(begun) ? begun : `${begun}.`
}

/** Readings of meters that are not believed: kept, and worth an amendment. */
const Doubts = ({ view }: { view: View }) => {
  const doubted = meterRows(view.timeline).flatMap((row) => row.doubted.map((one) => ({ ...one, meter: row.meter })))
  const recent = doubted.filter((one) => one.at > view.now - 30 * 86_400_000)
  const first = recent[0]
  if (!first) return null
  return (
    <Want word="Asked">
      <p>
        <b>
          {first.meter.name}: is{' '}
          <Figure
            of={{
              value: first.reading,
              unit: first.meter.counts === 'miles' ? '[nmi_i]' : 'h',
              from: { entries: [first.root] },
              decimals: 1,
            }}
            view={view}
          />{' '}
          right?
        </b>{' '}
        It does not agree with the readings before and after it, and is left out of the count.{' '}
        <a class="why" href={`/log/${first.root}/amend`}>
          Amend it
        </a>
      </p>
    </Want>
  )
}

/** Today: what wants attention before the key is turned, the way to write it down, the last entries. */
export const today: Page = { path: '/', title: 'Today', tab: true, routes }
