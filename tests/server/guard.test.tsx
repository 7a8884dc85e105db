import { mkdtempSync, rmSync } from 'node:fs'
import { request as httpRequest } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createAdaptorServer } from '@hono/node-server'
import { Hono } from 'hono'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { openLog } from '../../events/log.ts'
import { createApp } from '../../server/app.tsx'
import { openBook } from '../../server/book.ts'
import { hostsAllowed, isLoopback, mostBytes } from '../../server/guard.ts'
import type { Env, Page } from '../../web/page.ts'

/** A page that shows and writes notes: the smallest thing by which a refused request would leave a trace. */
const notes = (): Page => {
  const routes = new Hono<Env>()
  routes.get('/', (c) => c.html(<p>{c.get('view').timeline.told.length} notes</p>))
  routes.post('/', async (c) => {
    const { text } = await c.req.parseBody()
    const written = c
      .get('book')
      .write([
        { type: 'note-written', occurredAt: '2026-06-14', hand: 'K.S.', source: 'form', data: { text: String(text) } },
      ])
    return written.ok ? c.redirect('/notes', 303) : c.text(JSON.stringify(written.refused), 422)
  })
  return { path: '/notes', title: 'Notes', tab: false, routes }
}

const fresh = () => {
  const log = openLog(':memory:')
  const book = openBook(log, () => Date.parse('2026-07-01T12:00:00Z'))
  return { log, app: createApp(book, [notes()], { port: 8417 }) }
}

const own = 'http://localhost:8417'
const post = (headers: Record<string, string>, body = 'text=seacock%20shut') => ({
  method: 'POST',
  headers: { 'content-type': 'application/x-www-form-urlencoded', ...headers },
  body,
})

describe('the Host of a request', () => {
  test.each(['localhost:8417', '127.0.0.1:8417', '[::1]:8417', 'LOCALHOST:8417'])('%s is answered', async (host) => {
    const { app } = fresh()
    expect((await app.request(`http://${host}/notes`, { headers: { host } })).status).toBe(200)
  })

  test.each([
    ['a name that was made to point here', 'rebound.example:8417'],
    ['a name that ends like ours', 'evil-localhost:8417'],
    ['our name below another', 'localhost.evil.example:8417'],
    ['our name without the port', 'localhost'],
    ['another port of this machine', 'localhost:9999'],
    ['the address that means every interface', '0.0.0.0:8417'],
    ['our name with a dot at its end', 'localhost.:8417'],
    ['an address of the local network', '192.168.1.20:8417'],
  ])('%s is refused, for reading and for writing', async (_, host) => {
    const { app, log } = fresh()
    const read = await app.request(`${own}/notes`, { headers: { host } })
    expect(read.status).toBe(403)
    expect(await read.text()).toContain(`Got a request for "${host}"`)
    const written = await app.request(`${own}/notes`, post({ host, origin: `http://${host}` }))
    expect(written.status).toBe(403)
    expect(log.head().position).toBe(0)
  })

  test('a request line that carries a foreign address is refused though its Host is ours', async () => {
    const { app } = fresh()
    expect(
      (await app.request('http://rebound.example:8417/notes', { headers: { host: 'localhost:8417' } })).status,
    ).toBe(403)
  })

  test('static files and the addresses of no page are refused to a foreign Host too', async () => {
    const { app } = fresh()
    for (const path of ['/static/site.css', '/static/htmx.js', '/nowhere', '/sheet'])
      expect((await app.request(`${own}${path}`, { headers: { host: 'rebound.example:8417' } })).status).toBe(403)
  })

  test('the host that was asked for is answered beside the usual ones', () => {
    expect([...hostsAllowed(8417, '127.0.0.2')]).toEqual([
      'localhost:8417',
      '127.0.0.1:8417',
      '[::1]:8417',
      '127.0.0.2:8417',
    ])
    expect(hostsAllowed(80).has('localhost')).toBe(true)
    expect(hostsAllowed(8417, '::1').has('[::1]:8417')).toBe(true)
  })

  // RFC 1122, section 3.2.1.3 (g): 127.0.0.0/8 is loopback; RFC 4291, section 2.5.3: ::1 is; RFC 6761, section 6.3: localhost.
  test('only names that RFC 1122, 4291 and 6761 give to loopback count as this machine alone', () => {
    for (const name of ['localhost', '127.0.0.1', '127.255.255.254', '::1', '[::1]'])
      expect(isLoopback(name)).toBe(true)
    for (const name of ['0.0.0.0', '::', '192.168.0.1', '128.0.0.1', '127.0.0.256', '127.0.0', 'localhost.example', ''])
      expect(isLoopback(name)).toBe(false)
  })
})

describe('a write', () => {
  test.each<[string, Record<string, string>]>([
    ['our own form', { origin: own, 'sec-fetch-site': 'same-origin' }],
    ['our own form in a browser without Fetch Metadata', { origin: own }],
    ['our own form in a browser that says only where it comes from', { referer: `${own}/notes` }],
    ['a program that is no browser', {}],
  ])('from %s is written', async (_, headers) => {
    const { app, log } = fresh()
    const written = await app.request(`${own}/notes`, post(headers))
    expect(written.status).toBe(303)
    expect(log.head().position).toBe(1)
  })

  test.each<[string, Record<string, string>]>([
    ['another site', { origin: 'https://evil.example', 'sec-fetch-site': 'cross-site' }],
    ['another site, by an older browser', { origin: 'https://evil.example' }],
    ['another site, by a browser without Origin', { referer: 'https://evil.example/page' }],
    ['a page without an origin of its own', { origin: 'null' }],
    ['a sandboxed frame', { origin: 'null', 'sec-fetch-site': 'cross-site' }],
    [
      'another port of this machine, which browsers call the same site',
      { 'sec-fetch-site': 'same-site', origin: 'http://localhost:9999' },
    ],
    ['the same port by another name', { origin: 'http://127.0.0.1:8417' }],
    ['the same host by another protocol', { origin: 'https://localhost:8417' }],
    ['a site that only claims our origin', { origin: own, 'sec-fetch-site': 'cross-site' }],
    ['a site whose name begins like our address', { origin: `${own}.evil.example` }],
    ['an origin that is no address', { origin: 'localhost:8417' }],
    ['a referer that is no address', { referer: 'localhost' }],
    ['a Fetch Metadata word that nobody knows', { 'sec-fetch-site': 'sideways', origin: own }],
  ])('from %s is refused, and nothing is written', async (_, headers) => {
    const { app, log } = fresh()
    for (const method of ['POST', 'PUT', 'PATCH', 'DELETE']) {
      const answer = await app.request(`${own}/notes`, { ...post(headers), method })
      expect(answer.status).toBe(403)
      expect(await answer.text()).toContain('Nothing was read or written.')
    }
    expect((await app.request(`${own}/sheet`, post(headers, 'to=night&back=/'))).status).toBe(403)
    expect(log.head().position).toBe(0)
  })

  test('asked about beforehand by another site (CORS preflight) gets no leave', async () => {
    const { app } = fresh()
    const answer = await app.request(`${own}/notes`, {
      method: 'OPTIONS',
      headers: { origin: 'https://evil.example', 'access-control-request-method': 'POST' },
    })
    expect(answer.status).toBe(403)
    expect(answer.headers.get('access-control-allow-origin')).toBeNull()
  })

  test('that is no form is refused with a sentence', async () => {
    const { app, log } = fresh()
    for (const type of [
      'application/json',
      'text/plain',
      'multipart/form-data; boundary=x',
      'application/x-www-form-urlencodedx',
    ]) {
      const answer = await app.request(`${own}/notes`, post({ 'content-type': type }))
      expect(answer.status).toBe(415)
      expect(await answer.text()).toContain(`Got a body of the type "${type}"`)
    }
    expect(log.head().position).toBe(0)
  })
})

describe('a read', () => {
  test.each<[string, Record<string, string>]>([
    [
      'typed, or opened from a bookmark',
      { 'sec-fetch-site': 'none', 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'document' },
    ],
    ['from our own page', { 'sec-fetch-site': 'same-origin', 'sec-fetch-mode': 'cors', 'sec-fetch-dest': 'empty' }],
    [
      'by a link on another site',
      { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'document' },
    ],
    ['by a program', {}],
  ])('%s is answered', async (_, headers) => {
    const { app } = fresh()
    expect((await app.request(`${own}/notes`, { headers })).status).toBe(200)
  })

  test.each<[string, Record<string, string>]>([
    [
      'as a picture on another site',
      { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'no-cors', 'sec-fetch-dest': 'image' },
    ],
    [
      'as a script on another port',
      { 'sec-fetch-site': 'same-site', 'sec-fetch-mode': 'no-cors', 'sec-fetch-dest': 'script' },
    ],
    [
      'by a script of another site',
      { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'cors', 'sec-fetch-dest': 'empty' },
    ],
    [
      'in a frame of another site',
      { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'iframe' },
    ],
    [
      'as an object on another site',
      { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'object' },
    ],
  ])('%s is refused', async (_, headers) => {
    const { app } = fresh()
    for (const path of ['/notes', '/static/site.css'])
      expect((await app.request(`${own}${path}`, { headers })).status).toBe(403)
  })
})

describe('a body', () => {
  test('beyond a mebibyte is refused with 413 and a sentence, whether or not it says its length', async () => {
    const { app, log } = fresh()
    const body = `text=${'a'.repeat(mostBytes)}`
    const told = await app.request(`${own}/notes`, post({ 'content-length': String(body.length) }, body))
    const untold = await app.request(`${own}/notes`, post({}, body))
    for (const answer of [told, untold]) {
      expect(answer.status).toBe(413)
      expect(await answer.text()).toContain('Got more than 1024 KiB in one form')
    }
    expect(log.head().position).toBe(0)
  })
})

describe('every answer', () => {
  test('carries the headers that keep other sites, caches and inline code out', async () => {
    const { app } = fresh()
    const answers = [
      await app.request(`${own}/notes`),
      await app.request(`${own}/nowhere`),
      await app.request(`${own}/static/site.css`),
      await app.request(`${own}/notes`, { headers: { host: 'rebound.example' } }),
      await app.request(`${own}/notes`, post({ origin: 'null' })),
    ]
    expect(answers.map(({ status }) => status)).toEqual([200, 404, 200, 403, 403])
    for (const { headers } of answers) {
      const policy = headers.get('content-security-policy') ?? ''
      expect(policy.split('; ').sort()).toEqual([
        "base-uri 'none'",
        "connect-src 'self'",
        "default-src 'none'",
        "font-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "img-src 'self' data:",
        "script-src 'self'",
        "style-src 'self'",
      ])
      expect(headers.get('x-content-type-options')).toBe('nosniff')
      expect(headers.get('referrer-policy')).toBe('same-origin')
      expect(headers.get('cross-origin-opener-policy')).toBe('same-origin')
      expect(headers.get('cross-origin-resource-policy')).toBe('same-origin')
      expect(headers.get('permissions-policy')).toContain('camera=()')
      expect(headers.get('access-control-allow-origin')).toBeNull()
    }
  })

  test('that is a page is kept by no cache, and a static file is asked after each time', async () => {
    const { app } = fresh()
    expect((await app.request(`${own}/notes`)).headers.get('cache-control')).toBe('no-store')
    expect((await app.request(`${own}/nowhere`)).headers.get('cache-control')).toBe('no-store')
    const css = await app.request(`${own}/static/site.css`)
    expect(css.headers.get('cache-control')).toBe('no-cache')
    const again = await app.request(`${own}/static/site.css`, {
      headers: { 'if-none-match': css.headers.get('etag')! },
    })
    expect(again.status).toBe(304)
  })
})

describe('over a real socket', () => {
  const folder = mkdtempSync(join(tmpdir(), 'fettlebook-test-'))
  const log = openLog(join(folder, 'book.sqlite'))
  let app: ReturnType<typeof createApp>
  const server = createAdaptorServer({ fetch: (request) => app.fetch(request) })
  let port = 0

  beforeAll(async () => {
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    port = (server.address() as AddressInfo).port
    app = createApp(openBook(log), [notes()], { port })
  })
  afterAll(() => {
    server.close()
    log.close()
    rmSync(folder, { recursive: true })
  })

  const ask = (path: string, headers: Record<string, string>, method = 'GET', body = '') =>
    new Promise<{ status: number; text: string }>((resolve, reject) => {
      const asked = httpRequest({ host: '127.0.0.1', port, path, method, headers, setHost: false }, (answer) => {
        let text = ''
        answer.on('data', (chunk) => {
          text += chunk
        })
        answer.on('end', () => resolve({ status: answer.statusCode ?? 0, text }))
      })
      asked.on('error', reject)
      asked.end(body)
    })

  test('a rebound name, a foreign request line and a missing Host get nothing', async () => {
    expect((await ask('/notes', { host: `127.0.0.1:${port}` })).status).toBe(200)
    expect((await ask('/notes', { host: `rebound.example:${port}` })).status).toBe(403)
    expect((await ask(`http://rebound.example:${port}/notes`, { host: `127.0.0.1:${port}` })).status).toBe(403)
    expect((await ask('/notes', {})).status).toBe(400)
    const form = { 'content-type': 'application/x-www-form-urlencoded' }
    const foreign = { ...form, host: `127.0.0.1:${port}`, origin: 'https://evil.example' }
    expect((await ask('/notes', foreign, 'POST', 'text=x')).status).toBe(403)
    expect(log.head().position).toBe(0)
    expect((await ask('/notes', { ...foreign, origin: `http://127.0.0.1:${port}` }, 'POST', 'text=x')).status).toBe(303)
    expect(log.head().position).toBe(1)
  })
})
