import { existsSync, mkdirSync, readdirSync } from 'node:fs'
import type { AddressInfo } from 'node:net'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { expect, test, vi } from 'vitest'
import { pages } from '../../web/pages/index.ts'
import { note, scratchFolder } from '../events/lines.ts'
import { fettlebook, serving } from './fettlebook.ts'

vi.setConfig({ testTimeout: 120_000 })

const get = (address: string) => fetch(address, { redirect: 'manual' })

/** A port that nobody uses; it may be taken by the time it is used, but that is unlikely. */
async function freePort(): Promise<number> {
  const server = createServer()
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  await new Promise((resolve) => server.close(resolve))
  return port
}

test('serve begins a book, answers at the address that it prints, and sees what another process writes', async () => {
  const book = join(scratchFolder(), 'book.sqlite')
  const server = await serving(['serve', '--book', book, '--port', '0'])
  expect(server.said).toContain(`The book ${book} is open at`)
  const due = await get(`${server.address}due`)
  expect(due.status).toBe(200)
  expect(due.headers.get('content-security-policy')).toContain("default-src 'none'")
  expect(await (await get(`${server.address}log`)).text()).not.toContain('Alternator whines')
  const written = await fettlebook(['write', '--book', book], { input: JSON.stringify(note(1, 'Alternator whines')) })
  expect(written.code).toBe(0)
  expect(await (await get(`${server.address}log`)).text()).toContain('Alternator whines')
  expect(await server.stop('SIGTERM')).toMatchObject({ code: 0, signal: null, err: '' })
  expect(existsSync(`${book}-wal`)).toBe(false)
  expect((await fettlebook(['verify', book])).code).toBe(0)
})

test.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
  '%s ends a server cleanly while a browser holds its connection',
  async (signal) => {
    const server = await serving(['serve', '--book', join(scratchFolder(), 'book.sqlite'), '--port', '0'])
    await (await get(server.address)).text()
    expect(await server.stop(signal)).toMatchObject({ code: 0, signal: null, err: '' })
  },
)

test('a port that is taken is told in a sentence', async () => {
  const first = await serving(['serve', '--book', join(scratchFolder(), 'one.sqlite'), '--port', '0'])
  const { port } = new URL(first.address)
  const second = await fettlebook(['serve', '--book', join(scratchFolder(), 'two.sqlite'), '--port', port])
  expect(second).toMatchObject({ code: 1, out: '' })
  expect(second.err).toBe(
    `Port ${port} is taken, perhaps by another Fettlebook: look at http://127.0.0.1:${port}/, or choose another port with --port.\n`,
  )
})

test.each(['0.0.0.0', '::', '192.168.1.20', 'boat.example'])(
  'the host %s, which others could reach, is refused',
  async (host) => {
    const ran = await fettlebook(['serve', '--book', join(scratchFolder(), 'book.sqlite'), '--host', host])
    expect(ran).toMatchObject({ code: 2, out: '' })
    expect(ran.err).toContain(`Got --host ${host}, expected localhost, 127.0.0.1 or ::1.`)
  },
)

test('a loopback address that is asked for is listened on and answered', async () => {
  const server = await serving([
    'serve',
    '--book',
    join(scratchFolder(), 'book.sqlite'),
    '--port',
    '0',
    '--host',
    '127.0.0.2',
  ])
  expect(server.address).toMatch(/^http:\/\/127\.0\.0\.2:\d+\/$/)
  expect((await get(server.address)).status).toBe(200)
})

test('sample fills an empty book, and no other', async () => {
  const book = join(scratchFolder(), 'book.sqlite')
  const filled = await fettlebook(['sample', '--book', book])
  expect(filled).toMatchObject({ code: 0, err: '' })
  const entries = Number(/, (\d+) entries, into/.exec(filled.out)?.[1])
  expect(entries).toBeGreaterThan(1000)
  const again = await fettlebook(['sample', '--book', book])
  expect(again).toMatchObject({ code: 1, out: '' })
  expect(again.err).toContain(`which holds ${entries} entries already; expected an empty one`)
  expect((await fettlebook(['verify', book])).out).toContain(`${entries} entries, the last at position ${entries}`)
})

test('the sample read as JSON and written into an empty book gives the same entries and views, and twice changes nothing', async () => {
  const folder = scratchFolder()
  const [first, second] = [join(folder, 'first.sqlite'), join(folder, 'second.sqlite')]
  await fettlebook(['sample', '--book', first])
  const copy = await fettlebook(['read', '--json', '--book', first])
  expect((await fettlebook(['write', '--book', second], { input: copy.out })).code).toBe(0)
  const before = await fettlebook(['read', '--json', '--book', second])
  const author = (text: string) => text.replace(/"receivedAt":"[^"]*","link":"[0-9a-f]*"/g, '')
  expect(author(before.out)).toBe(author(copy.out))
  expect((await fettlebook(['write', '--book', second], { input: copy.out })).out).toContain('Wrote 0 entries.')
  expect((await fettlebook(['read', '--json', '--book', second])).out).toBe(before.out)
  for (const view of ['read', 'due', 'hours', 'equipment']) {
    const json = view === 'read' ? [] : ['--json']
    const args = [view, ...json, '--as-of', '2026-08-22', '--as-known', '2026-08-22']
    const one = await fettlebook([...args, '--book', first])
    expect(one.code).toBe(0)
    expect(one.out.length).toBeGreaterThan(100)
    expect(await fettlebook([...args, '--book', second])).toEqual(one)
  }
})

test('the demonstration shows the sample in a scratch copy, says so, and takes it away', async () => {
  const temp = scratchFolder()
  const demo = await serving(['demo', '--port', '0'], { env: { TMPDIR: temp } })
  expect(demo.said).toMatch(/^The sample boat \S+, \d+ entries, in a scratch copy that is gone when you stop\./)
  expect(readdirSync(temp)).toHaveLength(1)
  for (const { path, tab } of pages) {
    const answer = await get(`${demo.address.slice(0, -1)}${path}`)
    if (!tab) continue
    expect([path, answer.status]).toEqual([path, 200])
    expect(await answer.text()).toContain('Sample boat: a scratch copy')
  }
  expect(await demo.stop('SIGINT')).toMatchObject({ code: 0, signal: null, err: '' })
  expect(readdirSync(temp)).toEqual([])
})

test('npm passes the port on, and runs both commands from the sources', async () => {
  const temp = scratchFolder()
  const data = join(scratchFolder(), 'data')
  mkdirSync(data)
  for (const [script, env] of [
    ['demo', { TMPDIR: temp }],
    ['start', { XDG_DATA_HOME: data }],
  ] as const) {
    const port = await freePort()
    const server = await serving(['run', script, '--', '--port', String(port)], { by: ['npm'], env })
    expect(server.address).toBe(`http://127.0.0.1:${port}/`)
    expect((await get(server.address)).status).toBe(200)
    await server.stop('SIGTERM')
    await expect(get(server.address)).rejects.toThrow()
  }
  expect(existsSync(join(data, 'fettlebook/book.sqlite'))).toBe(true)
})
