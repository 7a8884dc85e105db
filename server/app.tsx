import { createRequire } from 'node:module'
import { fileURLToPath } from 'node:url'
import { serveStatic } from '@hono/node-server/serve-static'
import { type Context, Hono } from 'hono'
import { etag } from 'hono/etag'
import { HTTPException } from 'hono/http-exception'
import { settings } from '../projections/settings.ts'
import { fold } from '../projections/timeline.ts'
import { Sheet } from '../web/layout.tsx'
import type { Env, Page, View } from '../web/page.ts'
import type { Book } from './book.ts'
import { handOf, rememberSheet, sheetOf } from './device.ts'
import { diskFault } from './disk-fault.ts'
import { bodies, guard, headers, hostsAllowed } from './guard.ts'
import { localPath } from './local-path.ts'
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
    const fault = diskFault(error)
    if (fault !== undefined) return problemPage(c, 500, 'The book cannot be reached', fault)
    return problemPage(
      c,
      500,
      'Something went wrong in Fettlebook',
      'This page could not be made, by a fault of the program and not by yours. What is in the log stays as it was; "fettlebook verify" proves it. The window in which Fettlebook runs shows what happened.',
    )
  })

  return app
}

function viewOf(c: Context<Env>, book: Book, { past, keep }: Pick<View, 'past' | 'keep'>): View {
  const timeline = book.timeline(past)
  return {
    past,
    now: past.asOf ?? past.asKnown ?? book.now(),
    timeline,
    settings: fold(settings, timeline),
    sheet: sheetOf(c),
    hand: handOf(c),
    keep,
    here: withoutPast(c.req.url),
    pinned: book.pinned,
    unread: book.read().unreadable.length,
  }
}

function withoutPast(address: string): string {
  const url = new URL(address)
  url.searchParams.delete('as-of')
  url.searchParams.delete('as-known')
  return `${url.pathname}${url.search}`
}

async function problemPage(
  c: Context<Env>,
  status: 400 | 404 | 422 | 500,
  title: string,
  sentence: string,
): Promise<Response> {
  c.header('Cache-Control', 'no-store')
  return c.html(await problemSheet(c, title, sentence), status)
}

/** The page for what went wrong, on the sheet if there is one to lay it on: what failed may be the very thing that a sheet needs. */
async function problemSheet(c: Context<Env>, title: string, sentence: string): Promise<string> {
  const view = c.get('view') as View | undefined
  const words = (
    <div class="body">
      <p>{sentence}</p>
      <p>
        <a href="/">To the first page</a>
      </p>
    </div>
  )
  try {
    if (view)
      return await (
        <Sheet view={view} title={title} page="">
          {words}
        </Sheet>
      ).toString()
  } catch (error) {
    console.error(error)
  }
  return `<!doctype html>${await (
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <title>{title}</title>
      </head>
      <body>
        <h1>{title}</h1>
        {words}
      </body>
    </html>
  ).toString()}`
}
