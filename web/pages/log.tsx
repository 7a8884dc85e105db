import { Hono } from 'hono'
import { kindOf, kinds } from '../../events/index.ts'
import { type Filter, lateFrom, select } from '../../projections/log-selection.ts'
import { nameOf, type Register, register } from '../../projections/register.ts'
import { type FairEntry, fold, isDay, startOfDay } from '../../projections/timeline.ts'
import { dayText, momentText, shipDay } from '../components/dates.ts'
import { EntryList } from '../components/entry-list.tsx'
import { Choice, Field } from '../components/field.tsx'
import { formatNumber } from '../components/figure.tsx'
import { linesOf, namesOf, placesOf } from '../components/lines.ts'
import { selectionOf, withKeep } from '../components/log-link.ts'
import { Written } from '../components/written.tsx'
import { Sheet, type Stand } from '../layout.tsx'
import type { Env, Page, View } from '../page.ts'

/** Entries on one page of the log: two screens or so. */
const perPage = 60

const routes = new Hono<Env>()

routes.get('/', (c) => {
  const view = c.get('view')
  const book = fold(register, view.timeline)
  const query = new URL(c.req.url).searchParams
  const asked = readFilter(query, book, view)
  const found = select(view.timeline, asked.filter).reverse()
  const skip = Math.max(0, Math.floor(Number(query.get('skip')) || 0))
  return c.html(
    <LogView
      view={view}
      book={book}
      query={query}
      asked={asked}
      found={found}
      skip={skip}
      head={c.get('book').log.head()}
    />,
  )
})

routes.get('/unread', (c) => {
  const { unreadable } = c.get('book').read()
  return c.html(
    <Sheet view={c.get('view')} title="Entries that could not be read" page="/log">
      <section class="part">
        <div class="body">
          <p>
            {unreadable.length === 0
              ? 'Every entry of this book can be read.'
              : 'They lie unharmed in the rough log and are missing from every page. A newer Fettlebook may be able to read them; “fettlebook verify” says whether the file was changed by something else.'}
          </p>
          {unreadable.length === 0 ? (
            ''
          ) : (
            <table class="stack-table">
              <thead>
                <tr>
                  <th class="num">Position</th>
                  <th>Kind</th>
                  <th>Why</th>
                </tr>
              </thead>
              <tbody>
                {unreadable.map((row) => (
                  <tr>
                    <td class="num" data-l="position">
                      {formatNumber(row.position)}
                    </td>
                    <td data-l="kind">{row.type}</td>
                    <td class="all">{row.problem}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          )}
        </div>
      </section>
    </Sheet>,
  )
})

interface Asked {
  readonly filter: Filter
  /** What was typed that names nothing, in sentences, by field. */
  readonly problems: Readonly<Record<string, string>>
}

/** The query of the Log as a filter. Kinds and equipment may be typed by their names; a day means the whole of it, in ship's time. */
function readFilter(query: URLSearchParams, book: Register, view: View): Asked {
  const { kinds: _, equipment: __, since: ___, until: ____, ...rest } = selectionOf(query)
  const problems: Record<string, string> = {}
  const filter: { -readonly [K in keyof Filter]: Filter[K] } = { ...rest }
  const text = query.get('find')?.trim()
  if (text) filter.text = text
  const only = query.get('only')
  if (only === 'struck' || only === 'amended' || only === 'late') filter.only = only

  const typedKinds = query
    .getAll('kind')
    .flatMap((value) => value.split(','))
    .map((value) => value.trim())
    .filter(Boolean)
  if (typedKinds.length > 0) {
    const named = typedKinds.map(
      (typed) => kinds.find((kind) => kind.type === typed || kind.label.toLowerCase() === typed.toLowerCase())?.type,
    )
    const unknown = typedKinds[named.indexOf(undefined)]
    if (unknown !== undefined)
      problems.kind = `Got “${unknown}”, expected a kind of entry, such as Readings or Service.`
    else filter.kinds = named as string[]
  }
  const typedEquipment = query.get('equipment')?.trim()
  if (typedEquipment) {
    const one = [...book.equipment.values()].find(
      (equipment) =>
        equipment.handle === typedEquipment || equipment.name.toLowerCase() === typedEquipment.toLowerCase(),
    )
    if (one) filter.equipment = one.handle
    else problems.equipment = `Got “${typedEquipment}”, expected equipment that this book knows, by its name.`
  }
  for (const [name, end] of [
    ['since', false],
    ['until', true],
  ] as const) {
    const typed = query.get(name)?.trim()
    if (!typed) continue
    const at = momentTyped(typed, end, view)
    if (at === null) problems[name] = `Got “${typed}”, expected a day such as 2026-06-14.`
    else filter[name] = at
  }
  return { filter, problems }
}

function momentTyped(typed: string, end: boolean, view: View): number | null {
  if (isDay(typed)) {
    if (Number.isNaN(Date.parse(typed))) return null
    const zone = view.timeline.zoneAt(Date.parse(typed))
    return startOfDay(typed, zone) + (end ? 24 * 3_600_000 - 1 : 0)
  }
  const at = Date.parse(typed)
  return Number.isNaN(at) ? null : at
}

const LogView = (props: {
  view: View
  book: Register
  query: URLSearchParams
  asked: Asked
  found: readonly FairEntry[]
  skip: number
  head: { position: number; link: string }
}) => {
  const { view, book, query, asked, found, skip, head } = props
  const { filter, problems } = asked
  const refused = Object.keys(problems).length > 0
  const shown = refused ? [] : found.slice(skip, skip + perPage)
  const rest = found.slice(skip + perPage)
  const all = view.timeline.all.length
  const count = (test: (entry: FairEntry) => boolean) => formatNumber(found.filter(test).length)
  const stand: Stand[] = [
    { label: 'Shown', value: shownText(filter, book, view) },
    {
      label: 'Entries',
      value: formatNumber(refused ? 0 : found.length),
      ...(found.length === all ? {} : { small: `of ${formatNumber(all)}` }),
    },
    { label: 'Struck', value: count((entry) => entry.struck !== null) },
    { label: 'Amended', value: count((entry) => entry.versions.length > 1) },
    { label: 'Late', value: count((entry) => entry.lateBy >= lateFrom) },
  ]
  const conflicts = view.timeline.all.filter((entry) => entry.conflict.length > 0)
  const further = (to: number) => {
    const next = new URLSearchParams(query)
    next.delete('as-of')
    next.delete('as-known')
    next.delete('written')
    if (to > 0) next.set('skip', String(to))
    else next.delete('skip')
    const text = next.toString()
    return withKeep(text === '' ? '/log' : `/log?${text}`, view.keep)
  }
  const dayOf = (entry: FairEntry) =>
    dayText(shipDay(entry.at, view.timeline.zoneAt(entry.at)), shipDay(view.now, view.timeline.zoneAt(view.now)))
  return (
    <Sheet view={view} title="Log" page="/log" stand={stand}>
      <Written view={view} written={query.get('written')} />
      <Finder view={view} book={book} query={query} problems={problems} filter={filter} />
      {view.timeline.problems.length > 0 || conflicts.length > 0 ? (
        <section class="part">
          <div class="body">
            {conflicts.map((entry) => (
              <p>
                <b>Copies of the book say different things</b> about one entry of {dayOf(entry)}.{' '}
                <a href={withKeep(`/log/${entry.root}#settle`, view.keep)}>Settle it</a>
              </p>
            ))}
            {view.timeline.problems.map(({ entry, problem }) => (
              <p>
                <b>{kindOf(entry.type)?.label ?? entry.type}</b> written by {entry.hand}: {problem}
              </p>
            ))}
          </div>
        </section>
      ) : (
        ''
      )}
      <section class="part">
        <h2 class="away">Entries</h2>
        {shown.length === 0 ? (
          <div class="body">
            <p>
              {refused
                ? 'Mend what is marked above to see entries.'
                : all === 0
                  ? 'Nothing is written yet.'
                  : 'No entry is like that. Leave something out, or look at a longer time.'}
            </p>
          </div>
        ) : (
          <EntryList lines={linesOf(view, shown)} view={view} names={namesOf(view)} placeOf={placesOf(view)} />
        )}
        <p class="body further">
          {skip > 0 ? <a href={further(Math.max(0, skip - perPage))}>Newer</a> : ''}
          {rest.length > 0 && !refused ? <a href={further(skip + perPage)}>Older: {dayOf(rest[0]!)} and before</a> : ''}
        </p>
      </section>
      <footer class="part">
        <div class="body proof">
          <p>
            <small>Head of the rough log</small> entry {formatNumber(head.position)},{' '}
            <span class="digest">{head.link}</span>
          </p>
          <p class="quiet">
            Keep it somewhere else too, on a backup or in a letter: whoever holds it can tell whether this book was
            written anew or its end cut off.
          </p>
        </div>
      </footer>
    </Sheet>
  )
}

/** What is shown, in words: "All kinds", "Hours read, Engine hours, since 12 Jun 2026". */
function shownText(filter: Filter, book: Register, view: View): string {
  const day = (at: number) => momentText(at, view.timeline.zoneAt(at)).replace(/, .*$/, '')
  const parts = [
    filter.kinds
      ? filter.kinds
          .map((type) => kindOf(type)?.label ?? type)
          .join(' and ')
          .toLowerCase()
      : '',
    filter.task ? `the task ${nameOf(book, 'task', filter.task)}` : '',
    filter.equipment ? nameOf(book, 'equipment', filter.equipment) : '',
    filter.meter ? `readings of ${nameOf(book, 'meter', filter.meter)}` : '',
    filter.text ? `“${filter.text}”` : '',
    filter.only ? `only ${filter.only}` : '',
    filter.since !== undefined ? `since ${day(filter.since)}` : '',
    filter.until !== undefined ? `until ${day(filter.until)}` : '',
  ].filter((part) => part !== '')
  if (parts.length === 0)
    return filter.entries ? (filter.entries.length === 1 ? 'One entry' : 'Chosen entries') : 'All kinds'
  const text = parts.join(', ')
  return text.charAt(0).toUpperCase() + text.slice(1)
}

const Finder = (props: {
  view: View
  book: Register
  query: URLSearchParams
  problems: Readonly<Record<string, string>>
  filter: Filter
}) => {
  const { view, book, query, problems, filter } = props
  const kindText = problems.kind
    ? query.getAll('kind').join(', ')
    : (filter.kinds ?? []).map((type) => kindOf(type)?.label ?? type).join(', ')
  const equipmentText = problems.equipment
    ? (query.get('equipment') ?? '')
    : filter.equipment
      ? nameOf(book, 'equipment', filter.equipment)
      : ''
  const typedDay = (name: 'since' | 'until') => {
    const at = filter[name]
    return problems[name] ? (query.get(name) ?? '') : at === undefined ? '' : shipDay(at, view.timeline.zoneAt(at))
  }
  const narrowed = [...query.keys()].some(
    (name) => !['as-of', 'as-known', 'written', 'skip'].includes(name) && query.get(name) !== '',
  )
  return (
    <form class="body find" method="get" action="/log" role="search">
      {[...new URLSearchParams(view.keep)].map(([name, value]) => (
        <input type="hidden" name={name} value={value} />
      ))}
      <div class="find-line">
        <Field name="find" label="Find in the log" value={filter.text ?? ''} />
        <button type="submit">Find</button>
      </div>
      <details open={narrowed && (filter.text === undefined || kindText !== '')}>
        <summary>Only some of it</summary>
        <div class="fields">
          <Field
            name="kind"
            label="Kind"
            value={kindText}
            refusal={problems.kind}
            list={kinds.map((kind) => kind.label)}
          />
          <Field
            name="equipment"
            label="Equipment"
            value={equipmentText}
            refusal={problems.equipment}
            list={[...book.equipment.values()].map((one) => one.name)}
          />
          <Field name="since" label="Since" value={typedDay('since')} refusal={problems.since} narrow />
          <Field name="until" label="Until" value={typedDay('until')} refusal={problems.until} narrow />
        </div>
        <Choice
          name="only"
          label="Of these"
          value={filter.only ?? ''}
          none="all"
          options={[
            { value: 'struck', word: 'struck' },
            { value: 'amended', word: 'amended' },
            { value: 'late', word: 'written late' },
          ]}
        />
      </details>
      {narrowed ? (
        <p>
          <a href={withKeep('/log', view.keep)}>The whole log</a>
        </p>
      ) : (
        ''
      )}
    </form>
  )
}

/** Log: what happened, in order, with what was struck or amended. */
export const log: Page = { path: '/log', title: 'Log', tab: true, routes }
