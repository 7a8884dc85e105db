import { join } from 'node:path'
import Database from 'better-sqlite3'
import { Hono } from 'hono'
import { expect, test, vi } from 'vitest'
import { openLog } from '../../events/log.ts'
import { createApp } from '../../server/app.tsx'
import { openBook } from '../../server/book.ts'
import { diskFault } from '../../server/disk-fault.ts'
import { localPath } from '../../server/local-path.ts'
import type { Env, Page, View } from '../../web/page.ts'
import { scratchFolder } from '../events/lines.ts'

const now = Date.parse('2026-07-01T12:00:00Z')

/** A page that shows what it was handed, and one that fails. */
function probe(): { pages: Page[]; seen: View[] } {
  const seen: View[] = []
  const routes = new Hono<Env>()
  routes.get('/', (c) => {
    seen.push(c.get('view'))
    return c.html(
      <p>
        {c
          .get('view')
          .timeline.told.map(({ data }) => (data as { text?: string }).text)
          .join(', ')}
      </p>,
    )
  })
  routes.get('/broken', () => {
    throw new Error('a fault that no reader should see')
  })
  routes.get('/gone', (c) => c.notFound())
  return { pages: [{ path: '/probe', title: 'Probe', tab: false, routes }], seen }
}

function fresh(file = ':memory:') {
  const book = openBook(openLog(file), () => now)
  const { pages, seen } = probe()
  return { book, app: createApp(book, pages), seen }
}

const note = (text: string, occurredAt: string, recordedAt: string) => ({
  type: 'note-written',
  occurredAt,
  recordedAt,
  hand: 'K.S.',
  source: 'form',
  data: { text },
})

const zone = {
  type: 'book-set',
  occurredAt: '2026-01-01',
  hand: 'K.S.',
  source: 'form',
  data: { zone: 'Europe/Stockholm' },
}

test('a page is handed the book as it is now, unless a past is asked for', async () => {
  const { app, book, seen } = fresh()
  book.write([zone])
  expect((await app.request('/probe')).status).toBe(200)
  expect(seen[0]).toMatchObject({
    past: {},
    now,
    keep: '',
    here: '/probe',
    sheet: 'day',
    hand: '',
    pinned: true,
    unread: 0,
  })
  expect(seen[0]?.settings).toEqual({ zone: 'Europe/Stockholm' })
})

test('as-of hides what had not happened, as-known what had not been written down', async () => {
  const { app, book } = fresh()
  book.write([
    { ...zone, recordedAt: '2026-01-01T10:00:00Z' },
    note('early', '2026-06-01T10:00:00Z', '2026-06-01T10:00:00Z'),
    note('late entry', '2026-06-02T10:00:00Z', '2026-06-20T10:00:00Z'),
    note('last', '2026-06-10T10:00:00Z', '2026-06-10T10:00:00Z'),
  ])
  const words = async (query: string) => /<p>, (.*)<\/p>/.exec(await (await app.request(`/probe${query}`)).text())?.[1]
  expect(await words('')).toBe('early, late entry, last')
  expect(await words('?as-of=2026-06-05')).toBe('early, late entry')
  expect(await words('?as-known=2026-06-15')).toBe('early, last')
  expect(await words('?as-of=2026-06-05&as-known=2026-06-15T00:00:00%2B02:00')).toBe('early')
  expect(await words('?as-of=&as-known=')).toBe('early, late entry, last')
})

test('the view says which moment the page speaks of, and how to keep or leave it', async () => {
  const { app, seen } = fresh()
  await app.request('/probe?kind=hours-read&as-of=2026-06-05&as-known=2026-06-15')
  expect(seen[0]).toMatchObject({
    now: Date.parse('2026-06-05T23:59:59.999Z'),
    keep: 'as-of=2026-06-05&as-known=2026-06-15',
    here: '/probe?kind=hours-read',
  })
})

test('a moment that cannot be read is refused with a page that says what was got', async () => {
  const { app, seen } = fresh()
  const answer = await app.request('/probe?as-of=%3Cscript%3Ealert(1)%3C/script%3E')
  expect(answer.status).toBe(400)
  const text = await answer.text()
  expect(text).toContain('as-of: got &quot;&lt;script&gt;alert(1)')
  expect(text).not.toContain('<script>alert')
  expect(seen).toEqual([])
})

test('the sheet sticks to the device and leads back to where one was', async () => {
  const { app, seen } = fresh()
  const answer = await app.request('/sheet', {
    method: 'POST',
    body: new URLSearchParams({ to: 'night', back: '/due?as-of=2026-06-05' }),
  })
  expect(answer.status).toBe(303)
  expect(answer.headers.get('location')).toBe('/due?as-of=2026-06-05')
  const cookie = answer.headers.get('set-cookie') ?? ''
  expect(cookie).toMatch(/^sheet=night; .*Path=\/; HttpOnly; SameSite=Strict$/)
  await app.request('/probe', { headers: { cookie: 'sheet=night; hand=K.S.' } })
  expect(seen[0]).toMatchObject({ sheet: 'night', hand: 'K.S.' })
})

test('a sheet that there is not is refused', async () => {
  const { app } = fresh()
  const answer = await app.request('/sheet', { method: 'POST', body: new URLSearchParams({ to: 'dusk' }) })
  expect(answer.status).toBe(422)
  expect(answer.headers.get('set-cookie')).toBeNull()
  expect(await answer.text()).toContain('expected &quot;night&quot; or &quot;day&quot;')
})

test('cookies that hold something else are read past', async () => {
  const { app, seen } = fresh()
  await app.request('/probe', { headers: { cookie: `sheet=green; hand=${'a'.repeat(25)}` } })
  expect(seen[0]).toMatchObject({ sheet: 'day', hand: '' })
})

test.each([
  ['/due?a=1#e-2', '/due?a=1#e-2'],
  ['https://evil.example/', '/'],
  ['//evil.example/', '/'],
  ['/\\evil.example/', '/'],
  ['/\t/evil.example/', '/'],
  ['javascript:alert(1)', '/'],
  ['due', '/'],
  ['', '/'],
  [undefined, '/'],
  [['/due'], '/'],
])('a redirect to %j leads to %s', (address, to) => {
  expect(localPath(address)).toBe(to)
})

test('an address that there is not is told on the sheet, in words', async () => {
  const { app } = fresh()
  for (const path of [
    '/nowhere',
    '/probe/gone',
    '/probe/%E0%A4%A',
    '/static/../server/main.ts',
    '/static/%2e%2e/page.ts',
  ]) {
    const answer = await app.request(path)
    expect(answer.status).toBe(404)
    expect(await answer.text()).toContain('class="sheet"')
  }
})

test('what an address says is escaped where it is shown', async () => {
  const { app } = fresh()
  const text = await (await app.request('/<img src=x onerror=alert(1)>')).text()
  expect(text).toContain('Got the address')
  expect(text).not.toContain('<img')
})

test('a fault of a page is logged and told in a sentence, without its inside', async () => {
  const { app } = fresh()
  const logged = vi.spyOn(console, 'error').mockReturnValue()
  const answer = await app.request('/probe/broken')
  expect(logged).toHaveBeenCalledWith(expect.objectContaining({ message: 'a fault that no reader should see' }))
  logged.mockRestore()
  expect(answer.status).toBe(500)
  const text = await answer.text()
  expect(text).toContain('class="sheet"')
  expect(text).toContain('This page could not be made, by a fault of the program and not by yours.')
  expect(text).not.toMatch(/a fault that no reader|at .*\.tsx?:/)
})

test('a fault before there is a sheet to lay it on is told all the same', async () => {
  const { app, book } = fresh()
  const logged = vi.spyOn(console, 'error').mockReturnValue()
  book.log.close()
  const answer = await app.request('/probe')
  logged.mockRestore()
  expect(answer.status).toBe(500)
  expect(await answer.text()).toContain('This page could not be made')
})

test('a full disk and a damaged file are told as that, and what was under way was not written', () => {
  const fault = (code: string) => diskFault(new Database.SqliteError('what SQLite says', code))
  expect(fault('SQLITE_FULL')).toBe(
    'The disk is full. Make room, then write it again. SQLite says: what SQLite says. Nothing of what was under way was written.',
  )
  expect(fault('SQLITE_IOERR_FSYNC')).toContain('The disk could not be read or written.')
  expect(fault('SQLITE_CONSTRAINT_UNIQUE')).toBeUndefined()
  expect(diskFault(new Error('SQLITE_FULL'))).toBeUndefined()
})

test('rows that cannot be read are counted in the view and said on the sheet', async () => {
  const file = join(scratchFolder(), 'book.sqlite')
  const { book } = fresh(file)
  book.write([
    note('first', '2026-06-01', '2026-06-01T10:00:00Z'),
    note('second', '2026-06-02', '2026-06-02T10:00:00Z'),
  ])
  book.log.close()
  const raw = new Database(file)
  raw.exec('DROP TRIGGER log_is_never_updated')
  raw.prepare("UPDATE log SET type = 'kind-of-the-future' WHERE position = 1").run()
  raw.close()
  const again = fresh(file)
  await again.app.request('/probe')
  expect(again.seen[0]).toMatchObject({ unread: 1 })
  expect(await (await again.app.request('/nowhere')).text()).toContain('/log/unread')
  again.book.log.close()
})

test('style, fonts, and the two packages that the browser needs are served from this machine', async () => {
  const { app } = fresh()
  for (const [path, type] of [
    ['/static/site.css', 'text/css'],
    ['/static/fonts/ink.woff2', 'font/woff2'],
    ['/static/htmx.js', 'text/javascript'],
    ['/static/uplot.js', 'text/javascript'],
    ['/static/uplot.css', 'text/css'],
  ]) {
    const answer = await app.request(path!)
    expect([path, answer.status]).toEqual([path, 200])
    expect(answer.headers.get('content-type')).toContain(type)
    expect((await answer.arrayBuffer()).byteLength).toBeGreaterThan(500)
  }
})
