import type { Context, MiddlewareHandler } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import { secureHeaders } from 'hono/secure-headers'

/**
 * What stands between the book and everything else that runs in the owner's browser. "Local" does not mean safe: any page of any
 * site can send requests to a port of this machine, and a name that an attacker controls can be made to point here (DNS rebinding).
 */

/** Names of this machine that only this machine can reach: what a server may listen on. */
export const isLoopback = (host: string): boolean =>
  host === 'localhost' || host === '::1' || host === '[::1]' || /^127(\.(25[0-5]|2[0-4]\d|1?\d?\d)){3}$/.test(host)

/** The values of Host that are answered, lower case: the names of this machine with the port; without it on port 80. */
export function hostsAllowed(port: number, host?: string): ReadonlySet<string> {
  const names = new Set(['localhost', '127.0.0.1', '[::1]'])
  if (host !== undefined) names.add(host === '::1' ? '[::1]' : host.toLowerCase())
  return new Set([...names].flatMap((name) => (port === 80 ? [name, `${name}:80`] : [`${name}:${port}`])))
}

/** The most that is read of a request's body: an entry is a few hundred bytes, its longest note 4000 characters. */
export const mostBytes = 1024 * 1024

/** The headers of every answer, refusals included. Pages are never kept by a cache; static files are asked after each time. */
export const headers: MiddlewareHandler = secureHeaders({
  contentSecurityPolicy: {
    defaultSrc: ["'none'"],
    scriptSrc: ["'self'"],
    styleSrc: ["'self'"],
    fontSrc: ["'self'"],
    imgSrc: ["'self'", 'data:'],
    connectSrc: ["'self'"],
    formAction: ["'self'"],
    baseUri: ["'none'"],
    frameAncestors: ["'none'"],
  },
  xFrameOptions: 'DENY',
  // With no-referrer Chromium sends "Origin: null" on our own forms, and the check below would refuse them.
  referrerPolicy: 'same-origin',
  crossOriginOpenerPolicy: 'same-origin',
  crossOriginResourcePolicy: 'same-origin',
  // The address is http on this machine; the header would have no effect, or a lasting wrong one behind a proxy.
  strictTransportSecurity: false,
  permissionsPolicy: {
    accelerometer: [],
    camera: [],
    displayCapture: [],
    geolocation: [],
    gyroscope: [],
    hid: [],
    magnetometer: [],
    microphone: [],
    midi: [],
    payment: [],
    serial: [],
    usb: [],
  },
})

/**
 * Refuses with 403, before anything is read or written:
 * a Host that is not one of `allowed` (DNS rebinding); anything but a GET that does not come from our own pages; and from other sites
 * everything but a link that is followed (so that no other page can show, measure or embed ours).
 *
 * The check of writes follows the reasoning of OWASP's Cross-Site Request Forgery Prevention Cheat Sheet (Fetch Metadata, with
 * Origin and Referer for older browsers), but for one thing: "same-site" counts as foreign, since every port of this machine is the same site.
 * A program that is no browser sends none of these headers and may write: it could open the book's file as well.
 */
export function guard(allowed: ReadonlySet<string>): MiddlewareHandler {
  return async (c, next) => {
    const problem = hostProblem(c, allowed) ?? (isRead(c) ? readProblem(c) : writeProblem(c))
    if (problem !== undefined) return c.text(`${problem} Nothing was read or written.\n`, 403)
    await next()
  }
}

/** Refuses a body that is too large (413) or not a form (415), before it is read. */
export const bodies: readonly MiddlewareHandler[] = [
  async (c, next) => {
    const type = c.req.header('content-type')
    if (type !== undefined && !isRead(c) && !/^application\/x-www-form-urlencoded\s*(;|$)/i.test(type))
      return c.text(
        `Got a body of the type "${type.slice(0, 60)}", expected a form (application/x-www-form-urlencoded). Entries in JSON go in with "fettlebook write". Nothing was written.\n`,
        415,
      )
    await next()
  },
  bodyLimit({
    maxSize: mostBytes,
    onError: (c) =>
      c.text(
        `Got more than ${mostBytes / 1024} KiB in one form, expected less. Shorten the text, or split it into several entries. Nothing was written.\n`,
        413,
      ),
  }),
]

const isRead = (c: Context): boolean => c.req.method === 'GET' || c.req.method === 'HEAD'

function hostProblem(c: Context, allowed: ReadonlySet<string>): string | undefined {
  // Both are asked: a request line may carry a whole address of its own, beside the Host header.
  const named = c.req.header('host')?.toLowerCase()
  const addressed = new URL(c.req.url).host
  for (const host of named === undefined ? [addressed] : [named, addressed])
    if (!allowed.has(host))
      return `Got a request for "${host.slice(0, 80)}", expected one of ${[...allowed].join(', ')}. Open the address that Fettlebook printed when it began.`
  return undefined
}

function readProblem(c: Context): string | undefined {
  const site = c.req.header('sec-fetch-site')
  if (site === undefined || site === 'same-origin' || site === 'none') return undefined
  if (c.req.header('sec-fetch-mode') === 'navigate' && c.req.header('sec-fetch-dest') === 'document') return undefined
  return 'Got a request from a page of another site, expected one from this book or a link that was followed.'
}

function writeProblem(c: Context): string | undefined {
  const own = `http://${c.req.header('host')?.toLowerCase() ?? new URL(c.req.url).host}`
  const foreign = (what: string) =>
    `Got something to write that came from ${what}, expected a form of this book (${own}). Write it on the book's own page.`
  const site = c.req.header('sec-fetch-site')
  if (site !== undefined && site !== 'same-origin' && site !== 'none') return foreign('a page of another site')
  const origin = c.req.header('origin')
  if (origin !== undefined && origin.toLowerCase() !== own) return foreign(`"${origin.slice(0, 80)}"`)
  const referer = c.req.header('referer')
  if (site === undefined && origin === undefined && referer !== undefined && originOf(referer) !== own)
    return foreign(`"${referer.slice(0, 80)}"`)
  return undefined
}

function originOf(address: string): string | undefined {
  try {
    return new URL(address).origin
  } catch {
    return undefined
  }
}
