import { createRequire } from 'node:module'
import { fileURLToPath } from 'node:url'
import { serveStatic } from '@hono/node-server/serve-static'
import { type Context, Hono } from 'hono'
import { etag } from 'hono/etag'
import { HTTPException } from 'hono/http-exception'
import { settings } from '../projections/settings.ts'
import { fold } from '../projections/timeline.ts'
import type { Env, Page, View } from '../web/page.ts'
import type { Book } from './book.ts'
import { handOf, rememberSheet, sheetOf } from './device.ts'
import { bodies, guard, headers, hostsAllowed } from './guard.ts'
import { readPast } from './past.ts'

/** Where the app is reached; what it answers to follows from it. */
export interface AppOptions {
  /** The port that is listened on; default 80, at which a Host names no port. */
  port?: number
  /** The host that was asked for, beside localhost, 127.0.0.1 and [::1]. */
  host?: string
}

const { resolve } = createRequire(import.meta.url)

/** Files of other packages that the browser needs, by the name under which it asks for them. */
const packaged: Record<string, string> = {
  'htmx.js': 'htmx.org/dist/htmx.min.js',
  'uplot.js': 'uplot/dist/uPlot.esm.js',
  'uplot.css': 'uplot/dist/uPlot.min.css',
}

/**
 * The whole of what a browser gets: guard, static files, pages, and the pages for what went wrong.
 * @param pages mounted in this order under their paths
 */
export function createApp(book: Book, pages: readonly Page[], options: AppOptions = {}): Hono<Env> {
  const app = new Hono<Env>()

  app.use(headers)
  app.use(guard(hostsAllowed(options.port ?? 80, options.host)))
  app.use(...bodies)

  app.use('/static/*', etag(), async (c, next) => {
    await next()
    c.header('Cache-Control', 'no-cache')
  })
  for (const [name, file] of Object.entries(packaged)) app.get(`/static/${name}`, serveStatic({ path: resolve(file) }))
  app.get('/static/*', serveStatic({ root: fileURLToPath(new URL('../web', import.meta.url)) }))

  app.use(async (c, next) => {
    c.set('book', book)
    const asked = (name: string) => c.req.query(name) || undefined
    const past = readPast(asked('as-of'), asked('as-known'), book.timeline())
    c.set('view', viewOf(c, book, past.ok ? past : { past: {}, keep: '' }))
    if (!past.ok) return problemPage(c, 400, 'This moment cannot be read', past.problem)
    await next()
    c.header('Cache-Control', 'no-store')
  })

  app.post('/sheet', async (c) => {
    const { to, back } = await c.req.parseBody()
    if (to !== 'night' && to !== 'day')
      return problemPage(
        c,
        422,
        'No such sheet',
        `Got the sheet ${JSON.stringify(to ?? '')}, expected "night" or "day". Choose again on the page you came from.`,
      )
    rememberSheet(c, to)
    return c.redirect(localPath(back), 303)
  })

  for (const page of pages) app.route(page.path, page.routes)

  app.notFound((c) =>
    problemPage(
      c,
      404,
      'No such page',
      `Got the address ${c.req.path}, which this book does not have. Look at the address again, or begin from the first page.`,
    ),
  )

  app.onError((error, c) => {
    if (error instanceof HTTPException && error.status < 500)
      return problemPage(c, error.status as 400, 'This cannot be done', error.message || 'Expected another request.')
    console.error(error)
    return problemPage(
      c,
      500,
      'Something went wrong in Fettlebook',
      'This page could not be made, by a fault of the program and not by yours. What is in the log stays as it was; "fettlebook verify" proves it. The window in which Fettlebook runs shows what happened.',
    )
  })

  return app
}

function viewOf(c: Context, book: Book, { past, keep }: Pick<View, 'past' | 'keep'>): View {
  const timeline = book.timeline(past)
  return {
    past,
    now: past.asOf ?? past.asKnown ?? book.now(),
    timeline,
    settings: fold(settings, timeline),
    sheet: sheetOf(c),
    hand: handOf(c),
    keep,
    unread: book.read().unreadable.length,
  }
}

/** The address if it is one of this book's own, else the first page: a redirect must not lead elsewhere. */
export function localPath(address: unknown): string {
  const here = 'http://localhost'
  if (typeof address !== 'string' || !address.startsWith('/')) return '/'
  const url = URL.canParse(address, here) ? new URL(address, here) : undefined
  return url?.origin === here ? `${url.pathname}${url.search}${url.hash}` : '/'
}

function problemPage(
  c: Context,
  status: 400 | 404 | 422 | 500,
  title: string,
  sentence: string,
): Response | Promise<Response> {
  c.header('Cache-Control', 'no-store')
  return c.html(
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <title>{title}</title>
      </head>
      <body>
        <h1>{title}</h1>
        <p>{sentence}</p>
        <p>
          <a href="/">First page</a>
        </p>
      </body>
    </html>,
    status,
  )
}
