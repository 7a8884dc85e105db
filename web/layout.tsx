import type { Child } from 'hono/jsx'
import { raw } from 'hono/utils/html'
import { momentIso, momentText } from './components/dates.ts'
import { Field } from './components/field.tsx'
import { formatNumber } from './components/figure.tsx'
import { withKeep } from './components/log-link.ts'
import type { View } from './page.ts'
import { tabs as allTabs, indexTab, type Tab } from './tabs.ts'

/** One cell of the form line at the head of a sheet: a printed label and what was filled in. */
export interface Stand {
  readonly label: string
  readonly value: Child
  /** Said after the value in small print: an offset, "of 1 386". */
  readonly small?: string
}

/**
 * A whole page.
 * @param title the word at its head
 * @param page path of the tab that is open; any other leaves the Index marked
 * @param stand the form line; absent or empty: the rule alone
 * @param tools more tools beside "As of now" and "Night sheet"
 * @param head more for the document's head, such as the scripts of charts
 */
export const Sheet = (props: {
  view: View
  title: string
  page: string
  stand?: readonly Stand[]
  tools?: Child
  head?: Child
  tabs?: readonly Tab[]
  children?: Child
}) => {
  const { view, title, page, stand = [], tools, head, tabs = allTabs, children } = props
  const { settings, sheet } = view
  const past = view.past.asOf !== undefined || view.past.asKnown !== undefined
  return (
    <>
      {raw('<!doctype html>')}
      <html lang="en" data-sheet={sheet}>
        <head>
          <meta charset="utf-8" />
          <meta name="viewport" content="width=device-width, initial-scale=1" />
          <meta
            name="theme-color"
            content={sheetColours[sheet]}
            data-day={sheetColours.day}
            data-night={sheetColours.night}
          />
          {/* htmx would add a style sheet of its own for things that are not used here. */}
          <meta name="htmx-config" content='{"includeIndicatorCSS":false}' />
          <title>{`${title}: ${settings.boat === undefined ? '' : `${settings.boat}, `}Fettlebook`}</title>
          <link rel="preload" href="/static/fonts/ink.woff2" as="font" type="font/woff2" crossorigin="" />
          <link rel="stylesheet" href="/static/site.css" />
          <link rel="icon" href="/static/icon.svg" type="image/svg+xml" />
          <script src="/static/htmx.js" defer />
          <script src="/static/site.js" type="module" />
          {head}
        </head>
        <body>
          <a class="skip" href="#sheet">
            To the sheet
          </a>
          <Patterns />
          <div class="desk">
            <main class="sheet" id="sheet">
              <header class="head">
                <p class="ship">
                  <b>{settings.boat ?? 'No name yet'}</b>
                  <small>{settings.rig}</small>
                </p>
                <div class="title">
                  <h1>{title}</h1>
                  <div class="tools">
                    {tools}
                    <a href="#as-of">{past ? 'As of then' : 'As of now'}</a>
                    <NightSheet view={view} />
                  </div>
                </div>
                <dl class="stand">
                  {stand.map(({ label, value, small }) => (
                    <div>
                      <dt>{label}</dt>
                      <dd>
                        <b>{value}</b>
                        {small === undefined ? '' : <small> {small}</small>}
                      </dd>
                    </div>
                  ))}
                </dl>
                <Standing view={view} />
              </header>
              <AsOfForm view={view} />
              {children}
            </main>
            <Tabs tabs={tabs} page={page} keep={view.keep} />
          </div>
        </body>
      </html>
    </>
  )
}

/** The paper of each sheet, for the browser's own frame. */
const sheetColours = { day: '#fbfaf4', night: '#000000' } as const

/** Hatching for tapes and spreads, once a page; its strokes take their colour from the sheet. */
const Patterns = () => (
  <svg class="defs" aria-hidden="true">
    <defs>
      <pattern id="ink-hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <path class="ink-hatch" d="M1 0V5" />
      </pattern>
      <pattern id="pencil-hatch" width="4.5" height="4.5" patternUnits="userSpaceOnUse" patternTransform="rotate(25)">
        <path class="pencil-hatch" d="M1 0V4.5" />
      </pattern>
    </defs>
  </svg>
)

const NightSheet = ({ view }: { view: View }) => (
  <form class="night" method="post" action="/sheet">
    <input type="hidden" name="to" value={view.sheet === 'night' ? 'day' : 'night'} />
    <input type="hidden" name="back" value={withKeep(view.here, view.keep)} />
    <button class="plain" type="submit">
      {view.sheet === 'night' ? 'Day sheet' : 'Night sheet'}
    </button>
  </form>
)

/** What a reader must know of the whole page before its first word: which past, which book, what is missing from it. */
const Standing = ({ view }: { view: View }) => {
  const { asOf, asKnown } = view.past
  const moment = (at: number) => <span class="n">{momentText(at, view.timeline.zoneAt(at))}</span>
  return (
    <>
      {asOf === undefined && asKnown === undefined ? (
        ''
      ) : (
        <p class="standing">
          <b>
            {asOf === undefined ? 'As ' : <>As it was on {moment(asOf)}, as </>}
            {asKnown === undefined ? 'we know it now' : <>we knew it on {moment(asKnown)}</>}.
          </b>{' '}
          Nothing later is on this page. <a href={view.here}>Back to now</a>
        </p>
      )}
      {view.pinned ? (
        <p class="standing quiet">
          Sample boat: a scratch copy
          {asOf === undefined && asKnown === undefined ? <>, its clock stands at {moment(view.now)}</> : ''}. What is
          written here is gone with it.
        </p>
      ) : (
        ''
      )}
      {view.unread === 0 ? (
        ''
      ) : (
        <p class="standing">
          <b>
            {formatNumber(view.unread)} {view.unread === 1 ? 'entry' : 'entries'} could not be read
          </b>{' '}
          and {view.unread === 1 ? 'is' : 'are'} missing from this page. <a href="/log/unread">Which, and why</a>
        </p>
      )}
    </>
  )
}

const AsOfForm = ({ view }: { view: View }) => {
  const [path = '/', query = ''] = view.here.split('?')
  const { asOf, asKnown } = view.past
  const written = (at: number | undefined) => (at === undefined ? '' : momentIso(at, view.timeline.zoneAt(at)))
  return (
    <form class="as-of body" id="as-of" method="get" action={path} tabindex={-1} aria-label="The book as it was">
      {[...new URLSearchParams(query)].map(([name, value]) => (
        <input type="hidden" name={name} value={value} />
      ))}
      <h2>The book as it was</h2>
      <div class="fields">
        <Field name="as-of" label="As it was on" value={written(asOf)} help="Only what had happened by then." />
        <Field
          name="as-known"
          label="As we knew it on"
          value={written(asKnown)}
          help="Only what had been written by then."
        />
      </div>
      <p class="quiet">
        A day, such as 2026-06-14, or a time with its offset, such as 2026-06-14T16:31:00+02:00. Either may stay empty.
      </p>
      <div class="buttons">
        <button class="first" type="submit">
          Show that past
        </button>
        <a class="button" href={view.here}>
          Back to now
        </a>
      </div>
    </form>
  )
}

const Tabs = ({ tabs, page, keep }: { tabs: readonly Tab[]; page: string; keep: string }) => {
  const open = tabs.find((tab) => tab.path === page)
  const row = ({ path, title, foot }: Tab, cls: string) => (
    <li class={foot ? cls : `${cls} wide-only`.trim()}>
      <a
        href={withKeep(path, keep)}
        {...(page === path ? { 'aria-current': 'page' as const } : {})}
        {...(path === indexTab.path && page !== path && !open?.foot ? { class: 'holds-open' } : {})}
      >
        {title}
      </a>
    </li>
  )
  return (
    <nav class="tabs" aria-label="Pages">
      <ul>
        {tabs.map((tab) => row(tab, ''))}
        {row(indexTab, 'gap')}
      </ul>
    </nav>
  )
}
