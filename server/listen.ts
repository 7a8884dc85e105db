import { once } from 'node:events'
import type { Server } from 'node:http'
import { createAdaptorServer } from '@hono/node-server'
import type { Hono } from 'hono'
import type { Env } from '../web/page.ts'
import { pages } from '../web/pages/index.ts'
import { createApp } from './app.tsx'
import type { Book } from './book.ts'
import { isLoopback } from './guard.ts'
import { complain, print } from './print.ts'
import { Misuse } from './verb.ts'

/**
 * Serves a book to the browsers of this machine until it is told to stop (SIGINT, SIGTERM, SIGHUP).
 * @param asked what `--port` and `--host` say
 * @param usual the port where none is asked for
 * @param says printed before the address, once the port is open
 * @returns the exit code: 0 when it was told to stop, 1 when the port could not be opened
 * @throws Misuse when port or host make no sense
 */
export async function listen(
  book: Book,
  asked: { readonly port?: string; readonly host?: string },
  usual: number,
  says: string,
): Promise<number> {
  const host = asked.host?.toLowerCase().replace(/^\[(.*)\]$/, '$1') ?? '127.0.0.1'
  if (!isLoopback(host))
    throw new Misuse(
      `Got --host ${asked.host}, expected localhost, 127.0.0.1 or ::1. Fettlebook does not ask who is there, so it opens to this machine alone.`,
    )
  const port = asked.port === undefined ? usual : /^\d{1,5}$/.test(asked.port) ? Number(asked.port) : Number.NaN
  if (!(port <= 65535)) throw new Misuse(`Got --port ${asked.port}, expected a number from 0 to 65535.`)

  let app: Hono<Env> | undefined
  const server = createAdaptorServer({ fetch: (request, env) => app!.fetch(request, env) }) as Server
  const stopped = untilTold()
  try {
    server.listen(port, host)
    await once(server, 'listening')
  } catch (error) {
    complain(unopened(error as NodeJS.ErrnoException, port, host))
    return 1
  }
  const address = server.address()
  const open = typeof address === 'object' && address !== null ? address.port : port
  // The app is made once the port is known: its guard answers to that port alone.
  app = createApp(book, pages, { port: open, host })
  await print(`${says}\nhttp://${host.includes(':') ? `[${host}]` : host}:${open}/\nStop with Ctrl-C.\n`)
  await stopped
  server.close()
  server.closeAllConnections()
  return 0
}

/** Resolves at the first signal to stop. Later ones find the listeners still there: a terminal sends one to every process of the group. */
function untilTold(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => resolve())
    // npm runs a program through a shell. A signal to npm ends that shell and never arrives here, but then the parent is another.
    if (process.env.npm_lifecycle_event === undefined) return
    const parent = process.ppid
    setInterval(() => {
      if (process.ppid !== parent) resolve()
    }, 500).unref()
  })
}

function unopened(error: NodeJS.ErrnoException, port: number, host: string): string {
  switch (error.code) {
    case 'EADDRINUSE':
      return `Port ${port} is taken, perhaps by another Fettlebook: look at http://${host}:${port}/, or choose another port with --port.`
    case 'EACCES':
      return `Port ${port} is not for ordinary users on this machine. Choose one above 1023 with --port.`
    default:
      return `Could not listen on ${host}, port ${port} (${error.message}). Choose others with --host and --port.`
  }
}
