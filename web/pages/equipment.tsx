import { Hono } from 'hono'
import type { Quantity } from '../../events/define.ts'
import { kindOf } from '../../events/index.ts'
import { carried, openDefects, temporaryRepairs } from '../../projections/carried.ts'
import { cautionFor } from '../../projections/cautions.ts'
import { countedBetween } from '../../projections/counts.ts'
import { type DueRow, dueRows } from '../../projections/due.ts'
import { left } from '../../projections/left.ts'
import { livesOf, repairsOf } from '../../projections/life.ts'
import { concerns } from '../../projections/log-selection.ts'
import { type MeterRow, meterRows } from '../../projections/meter-hours.ts'
import { type Equipment, equipmentTree, meterOf, type Register, register } from '../../projections/register.ts'
import { type SettingKept, services, settingsOf } from '../../projections/services.ts'
import { fold } from '../../projections/timeline.ts'
import { TradeCaution } from '../components/cautions.tsx'
import { shipDay, shortDayText } from '../components/dates.ts'
import { EntryList } from '../components/entry-list.tsx'
import { fieldText } from '../components/entry-words.ts'
import { Figure, formatNumber, quantityText } from '../components/figure.tsx'
import { HowLongItLasts } from '../components/life.tsx'
import { linesOf, namesOf } from '../components/lines.ts'
import { logLink, withKeep } from '../components/log-link.ts'
import { Written } from '../components/written.tsx'
import { Sheet, type Stand } from '../layout.tsx'
import type { Env, Page, View } from '../page.ts'
import { everyText, forecastText, Standing, serviceLink } from './due.tsx'

const routes = new Hono<Env>()

routes.get('/', (c) => c.html(<EquipmentList view={c.get('view')} />))

routes.get('/:handle', (c) => {
  const view = c.get('view')
  const one = fold(register, view.timeline).equipment.get(c.req.param('handle'))
  return one ? c.html(<EquipmentView view={view} one={one} written={c.req.query('written')} />) : c.notFound()
})

/** What is aboard, each with its parts, and the meters. */
const EquipmentList = ({ view }: { view: View }) => {
  const book = fold(register, view.timeline)
  const rows = equipmentTree(book)
  const due = dueRows(view.timeline, view.now)
  const aboard = rows.filter(({ equipment }) => !equipment.removed)
  const gone = rows.filter(({ equipment }) => equipment.removed)
  const stand: Stand[] = [
    { label: 'Aboard', value: formatNumber(aboard.length) },
    { label: 'Meters', value: formatNumber(book.meters.size) },
    { label: 'Upkeep tasks', value: formatNumber(due.length) },
  ]
  return (
    <Sheet view={view} title="Equipment" page="/equipment" stand={stand}>
      <section class="part">
        <h2>What is aboard</h2>
        <div class="body">
          {aboard.length === 0 ? (
            <p>
              Nothing is written down yet. <a href="/write/equipment-fitted">Begin with the boat and her engine</a>.
            </p>
          ) : (
            <table class="stack-table register">
              <thead>
                <tr>
                  <th>Equipment</th>
                  <th>Where it is</th>
                  <th>Fitted</th>
                  <th class="num">Run since</th>
                  <th>Wants</th>
                </tr>
              </thead>
              <tbody>
                {aboard.map(({ equipment, depth }) => (
                  <EquipmentRow one={equipment} depth={depth} due={due} view={view} />
                ))}
              </tbody>
            </table>
          )}
          <p class="further">
            <a href="/write/equipment-fitted">Write down what is fitted</a>
          </p>
        </div>
      </section>
      {gone.length === 0 ? (
        ''
      ) : (
        <section class="part">
          <h2>No longer aboard</h2>
          <div class="body">
            <ul>
              {gone.map(({ equipment }) => (
                <li>
                  <a href={equipmentLink(equipment.handle, view)}>{equipment.name}</a>
                </li>
              ))}
            </ul>
          </div>
        </section>
      )}
      <Meters rows={meterRows(view.timeline)} book={book} view={view} />
    </Sheet>
  )
}

const equipmentLink = (handle: string, view: View): string => withKeep(`/equipment/${handle}`, view.keep)

const dayIn = (at: number, view: View): string =>
  shortDayText(shipDay(at, view.timeline.zoneAt(at)), shipDay(view.now, view.timeline.zoneAt(view.now)))

const lifeOf = (one: Equipment) => one.lives[one.lives.length - 1]!

/** Hours that the present thing has run since it was fitted; null without a meter. */
function runSince(one: Equipment, view: View) {
  const { fitted, removed } = lifeOf(one)
  const counted = countedBetween(
    view.timeline,
    one.handle,
    { at: fitted.at, root: fitted.root },
    removed?.at ?? view.now,
  )
  const meter = meterOf(fold(register, view.timeline), one.handle)
  if (counted.hours === null || !meter) return null
  return {
    value: counted.hours,
    unit: 'h',
    decimals: 0,
    from: { meter: meter.handle, since: fitted.at, until: removed?.at ?? view.now, entries: [fitted.root] },
  }
}

const EquipmentRow = ({
  one,
  depth,
  due,
  view,
}: {
  one: Equipment
  depth: number
  due: readonly DueRow[]
  view: View
}) => {
  const run = runSince(one, view)
  const state = fold(carried, view.timeline)
  const wants = [
    ...(fold(left, view.timeline).get(one.handle) ?? []).map((entry) => `left ${entry.data.state}`),
    ...due
      .filter((row) => row.task.data.equipment === one.handle && row.state === 'overdue')
      .map((row) => `${row.task.data.name}: overdue`),
    ...temporaryRepairs(state)
      .filter(({ made }) => made.data.equipment === one.handle)
      .map(() => 'temporary repair'),
    ...openDefects(state)
      .filter(({ found }) => found.data.equipment === one.handle)
      .map(() => 'defect'),
  ]
  return (
    <tr>
      <th scope="row" class={`all depth-${Math.min(3, depth)}`}>
        <a href={equipmentLink(one.handle, view)}>{one.name}</a>
      </th>
      <td data-l="where">{one.data.place}</td>
      <td data-l="fitted" class="n">
        {dayIn(lifeOf(one).fitted.at, view)}
      </td>
      <td class="num" data-l="run since">
        {run ? <Figure of={run} view={view} /> : ''}
      </td>
      <td class="all">{wants.join('; ')}</td>
    </tr>
  )
}

/** Hours: what each meter has counted, how it counts, and the readings that are kept but not believed. */
const Meters = ({ rows, book, view }: { rows: readonly MeterRow[]; book: Register; view: View }) => (
  <section class="part" id="meters">
    <h2>Meters</h2>
    <div class="body">
      {rows.length === 0 ? (
        <p>
          No meter is written down yet. <a href="/write/meter-fitted">Write down the hours meter</a>, with what it shows
          today.
        </p>
      ) : (
        <>
          <table class="stack-table">
            <thead>
              <tr>
                <th>Meter</th>
                <th>On</th>
                <th>Counts</th>
                <th class="num">In all</th>
                <th class="num">Last showed</th>
                <th class="num">Doubted</th>
              </tr>
            </thead>
            <tbody>
              {rows.map(({ meter, total, last, doubted }) => (
                <tr>
                  <th scope="row" class="all">
                    <a href={logLink({ meter: meter.handle }, view.keep)}>{meter.name}</a>
                  </th>
                  <td data-l="on">{book.equipment.get(meter.equipment)?.name ?? meter.equipment}</td>
                  <td data-l="counts">{meter.kind}</td>
                  <td class="num" data-l="in all">
                    {total ? <Figure of={total} view={view} bold /> : 'not read yet'}
                  </td>
                  <td class="num" data-l="last showed">
                    {last ? (
                      <Figure
                        of={{
                          value: last.reading,
                          unit: total?.unit ?? '1',
                          from: { entries: [last.root] },
                          ...(total?.decimals === undefined ? {} : { decimals: total.decimals }),
                        }}
                        view={view}
                      />
                    ) : (
                      ''
                    )}
                  </td>
                  <td class="num" data-l="doubted">
                    {doubted.length === 0 ? (
                      ''
                    ) : (
                      <Figure
                        of={{
                          value: doubted.length,
                          unit: '{readings}',
                          from: { entries: doubted.slice(-40).map((one) => one.root) },
                          decimals: 0,
                        }}
                        view={view}
                      />
                    )}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
          <p class="quiet">
            Doubted readings are kept in the log and left out of the count: they run backwards, or faster than the
            clock. An ignition-on meter also runs while the engine does not.
          </p>
        </>
      )}
      <p class="further">
        <a href="/write/hours">Write down hours</a> <a href="/write/meter-replaced">A meter was replaced</a>
      </p>
    </div>
  </section>
)

/** Everything about one thing. */
const EquipmentView = ({ view, one, written }: { view: View; one: Equipment; written: string | undefined }) => {
  const { timeline } = view
  const book = fold(register, timeline)
  const life = lifeOf(one)
  const run = runSince(one, view)
  const parent = one.data.partOf === undefined ? undefined : book.equipment.get(one.data.partOf)
  const parts = [...book.equipment.values()].filter((other) => other.data.partOf === one.handle && !other.removed)
  const due = dueRows(timeline, view.now).filter((row) => row.task.data.equipment === one.handle)
  const kept = settingsOf(fold(services, timeline), one.handle)
  const history = timeline.all
    .filter((entry) => concerns(book, entry.told.data as Record<string, unknown>, one.handle))
    .reverse()
  const leave = fold(left, timeline).get(one.handle) ?? []
  const stand: Stand[] = [
    ...(parent ? [{ label: 'Part of', value: <a href={equipmentLink(parent.handle, view)}>{parent.name}</a> }] : []),
    ...(one.data.place ? [{ label: 'Where', value: one.data.place }] : []),
    { label: one.lives.length > 1 ? 'Fitted anew' : 'Fitted', value: dayIn(life.fitted.at, view) },
    ...(life.removed ? [{ label: 'Removed', value: dayIn(life.removed.at, view) }] : []),
    ...(run ? [{ label: 'Run since', value: <Figure of={run} view={view} /> }] : []),
    ...(leave.length > 0 ? [{ label: 'Left', value: leave.map((entry) => entry.data.state).join(', ') }] : []),
  ]
  return (
    <Sheet view={view} title={one.name} page="/equipment" stand={stand}>
      <Written view={view} written={written ?? null} />
      <section class="part">
        <h2>How to put it back</h2>
        <div class="body">
          <TradeCaution of={cautionFor(one.kind)} />
          {kept.length === 0 ? (
            <p class="quiet">No service says yet how it was set. The next one may: as found, and as left.</p>
          ) : (
            <SettingsTable kept={kept} view={view} />
          )}
          <div class="buttons">
            <a class="button first" href={`/write/service?equipment=${one.handle}`}>
              Service
            </a>
            <a class="button" href={`/write/check-made?equipment=${one.handle}`}>
              Check
            </a>
            <a class="button" href={`/write/defect-found?equipment=${one.handle}`}>
              Defect
            </a>
            {leave.length > 0 ? (
              <a class="button" href={`/write/restored?equipment=${one.handle}`}>
                Restored
              </a>
            ) : (
              <a class="button" href={`/write/left-as?equipment=${one.handle}`}>
                Left shut, out or off
              </a>
            )}
          </div>
        </div>
      </section>
      {due.length === 0 ? (
        ''
      ) : (
        <section class="part">
          <h2>Upkeep</h2>
          <div class="body">
            <ul class="upkeep">
              {due.map((row) => (
                <li>
                  <b>{row.task.data.name}</b> <small>{everyText(row.task.data)}</small>
                  <br />
                  <Standing row={row} view={view} />. <span class="pencil">{forecastText(row, view)}</span>.{' '}
                  <a class="why" href={serviceLink(row, view)}>
                    Write it done
                  </a>
                </li>
              ))}
            </ul>
          </div>
        </section>
      )}
      <HowLongItLasts
        parts={livesOf(timeline, one.handle, view.now)}
        repairs={repairsOf(timeline, one.handle, view.now)}
        name={one.name}
        view={view}
      />
      <Described one={one} view={view} />
      {parts.length === 0 ? (
        ''
      ) : (
        <section class="part">
          <h2>Its parts</h2>
          <div class="body">
            <ul>
              {parts.map((part) => (
                <li>
                  <a href={equipmentLink(part.handle, view)}>{part.name}</a>
                  {part.data.place ? <span class="quiet"> {part.data.place}</span> : ''}
                </li>
              ))}
            </ul>
          </div>
        </section>
      )}
      <section class="part">
        <h2>What is known</h2>
        <EntryList lines={linesOf(view, history.slice(0, 40))} view={view} names={namesOf(view)} by="day" />
        {history.length > 40 ? (
          <p class="body further">
            <a href={logLink({ equipment: one.handle }, view.keep)}>
              All {formatNumber(history.length)} entries about it
            </a>
          </p>
        ) : (
          ''
        )}
      </section>
    </Sheet>
  )
}

/** Settings as found and as left at the service that last said so. */
const SettingsTable = ({ kept, view }: { kept: readonly SettingKept[]; view: View }) => {
  const text = (side: SettingKept['found']) => {
    if (side === null) return <span class="quiet">not written</span>
    return typeof side.text === 'string' ? side.text : quantityText(side.text as Quantity, view.settings).text
  }
  return (
    <table class="settings stack-table">
      <thead>
        <tr>
          <th>Setting</th>
          <th class="num">As found</th>
          <th class="num">As left</th>
          <th>Service</th>
        </tr>
      </thead>
      <tbody>
        {kept.map((setting) => (
          <tr>
            <th scope="row" class="all">
              {setting.name}
            </th>
            <td class="num" data-l="as found">
              {text(setting.found)}
            </td>
            <td class="num" data-l="as left">
              {text(setting.left)}
            </td>
            <td data-l="service">
              <a href={withKeep(`/log/${setting.entry.root}`, view.keep)}>
                {setting.entry.data.work}, {dayIn(setting.entry.at, view)}
              </a>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** What was written of it when it was last fitted, field by field, and the way to write it anew. */
const Described = ({ one, view }: { one: Equipment; view: View }) => {
  const life = lifeOf(one)
  const names = namesOf(view)
  const fields = Object.keys(kindOf('equipment-fitted')!.schema.shape)
    .filter((name) => !['equipment', 'name', 'partOf', 'place', 'why'].includes(name))
    .flatMap((name) => fieldText(life.fitted, name, view.settings, names) ?? [])
  return (
    <section class="part">
      <h2>As fitted</h2>
      <div class="body">
        <dl class="described">
          {fields.map((field) => (
            <div>
              <dt>{field.title}</dt>
              <dd>{field.value}</dd>
            </div>
          ))}
        </dl>
        <p class="further">
          <a href={`/log/${life.fitted.root}/amend`}>Amend what is written of it</a>{' '}
          <a
            href={`/write/equipment-fitted?equipment=${one.handle}&name=${encodeURIComponent(one.name)}&kind=${encodeURIComponent(one.kind)}`}
          >
            It was replaced by another
          </a>{' '}
          <a href={`/write/equipment-removed?equipment=${one.handle}`}>It was removed</a>
        </p>
      </div>
    </section>
  )
}

/** Equipment: everything about one thing; where it is; how to put it back. */
export const equipment: Page = { path: '/equipment', title: 'Equipment', tab: true, routes }
