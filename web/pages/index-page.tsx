import { Hono } from 'hono'
import { settings } from '../../projections/settings.ts'
import { fold } from '../../projections/timeline.ts'
import { formatNumber } from '../components/figure.tsx'
import { withKeep } from '../components/log-link.ts'
import { Sheet } from '../layout.tsx'
import type { Env, Page } from '../page.ts'
import { tabs } from '../tabs.ts'

const routes = new Hono<Env>()

routes.get('/', (c) => {
  const view = c.get('view')
  const { log } = c.get('book')
  const set = fold(settings, view.timeline)
  return c.html(
    <Sheet
      view={view}
      title="Index"
      page="/index"
      stand={[{ label: 'Entries', value: formatNumber(view.timeline.all.length) }]}
    >
      <section class="part">
        <h2>Pages</h2>
        <div class="body">
          <ul class="index">
            {[
              ...tabs,
              { path: '/write', title: 'Write' },
              { path: '/forecasts', title: 'Forecasts: how good they were' },
            ].map(({ path, title }) => (
              <li>
                <a href={withKeep(path, view.keep)}>{title}</a>
              </li>
            ))}
          </ul>
        </div>
      </section>
      <section class="part">
        <h2>This book</h2>
        <div class="body">
          <dl class="described">
            <div>
              <dt>Ship's time</dt>
              <dd>{set.zone ?? 'UTC, not set yet'}</dd>
            </div>
            <div>
              <dt>Id of the book</dt>
              <dd class="digest">{log.id}</dd>
            </div>
            <div>
              <dt>Head of the rough log</dt>
              <dd class="digest">{log.head().link}</dd>
            </div>
          </dl>
          <p class="further">
            <a href="/write/book-set">Set the book: name, ship's time, units</a>
          </p>
        </div>
      </section>
    </Sheet>,
  )
})

/** Index: what there is, for the phone whose foot has room for six words. */
export const indexPage: Page = { path: '/index', title: 'Index', tab: false, routes }
