import { execFileSync, spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { verbs } from '../server/command-line.ts'
import { fettlebook, serving } from './server/fettlebook.ts'

vi.setConfig({ testTimeout: 120_000 })

const root = fileURLToPath(new URL('..', import.meta.url))

/** Runs npm in the project; what it printed, or an error that tells it. */
function npm(...args: string[]): string {
  const { status, stdout, stderr } = spawnSync('npm', args, { cwd: root, encoding: 'utf8', maxBuffer: 2 ** 26 })
  if (status !== 0) throw new Error(`npm ${args.join(' ')} ended with ${status}:\n${stdout}${stderr}`)
  return stdout
}

/**
 * The tarball as `npm pack` makes it, unpacked where `npm install` would put it, beside the packages that it depends on and no others.
 * These are links to those of the project: fetching them and compiling SQLite once more would take minutes.
 */
let folder = ''
const installed = () => join(folder, 'node_modules/fettlebook')
const bin = () => join(folder, 'node_modules/.bin/fettlebook')

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'fettlebook-package-'))
  npm('pack', '--silent', '--pack-destination', folder)
  mkdirSync(installed(), { recursive: true })
  const [tarball] = readdirSync(folder).filter((name) => name.endsWith('.tgz'))
  execFileSync('tar', ['-xzf', join(folder, tarball!), '-C', installed(), '--strip-components=1'])
  for (const path of npm('ls', '--omit=dev', '--all', '--parseable').trim().split('\n').slice(1)) {
    const link = join(folder, relative(root, path))
    if (existsSync(link)) continue
    mkdirSync(dirname(link), { recursive: true })
    symlinkSync(path, link)
  }
  const { bin: bins } = JSON.parse(readFileSync(join(installed(), 'package.json'), 'utf8')) as {
    bin: Record<string, string>
  }
  mkdirSync(dirname(bin()))
  symlinkSync(join(installed(), bins.fettlebook!), bin())
}, 300_000)
afterAll(() => rmSync(folder, { recursive: true }))

const files = (below: string): string[] =>
  readdirSync(below, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(below, join(entry.parentPath, entry.name)))

test('the tarball holds JavaScript, what the browser needs and the licence, and neither sources nor tests', () => {
  const all = files(installed())
  expect(all).toEqual(
    expect.arrayContaining([
      'package.json',
      'LICENSE',
      'README.md',
      'dist/server/main.js',
      'dist/web/static/site.css',
      'dist/web/static/fonts/ink.woff2',
    ]),
  )
  expect(all.filter((name) => /\.tsx?$|(^|\/)tests\/|node_modules|\.sqlite/.test(name))).toEqual([])
  expect(statSync(join(installed(), 'dist/server/main.js')).mode & 0o111).toBe(0o111)
})

test('no packed module imports TypeScript, or a package that is only for developers', () => {
  const { dependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as {
    dependencies: Record<string, string>
  }
  const foreign = files(join(installed(), 'dist'))
    .filter((name) => name.endsWith('.js') && !name.startsWith('web/static/'))
    .flatMap((name) => {
      const source = readFileSync(join(installed(), 'dist', name), 'utf8')
      const imported = [
        ...source.matchAll(
          /^(?:import|import [^'"=]+ from|export [^'"=]+ from) ['"]([^'"]+)['"]|\bimport\(['"]([^'"]+)['"]\)/gm,
        ),
      ]
      return imported
        .map(([, first, second]) => `${first ?? second}`)
        .filter((from) => {
          if (from.startsWith('.')) return !existsSync(join(installed(), 'dist', dirname(name), from))
          return (
            !from.startsWith('node:') &&
            !Object.keys(dependencies).some((one) => from === one || from.startsWith(`${one}/`))
          )
        })
        .map((from) => `${name}: ${from}`)
    })
  expect(foreign).toEqual([])
})

describe('the program that the package installs', () => {
  const run = (args: string[]) =>
    fettlebook(args, { by: [bin()], cwd: folder, env: { XDG_DATA_HOME: join(folder, 'data') } })

  test('runs by its name and lists its verbs', async () => {
    const { code, out, err } = await run(['--help'])
    expect({ code, err }).toEqual({ code: 0, err: '' })
    for (const { name } of verbs) expect(out).toContain(`  ${name} `)
  })

  test('writes the sample, proves it and reads it', async () => {
    expect(await run(['sample'])).toMatchObject({ code: 0, err: '' })
    expect(existsSync(join(folder, 'data/fettlebook/book.sqlite'))).toBe(true)
    expect(await run(['verify'])).toMatchObject({ code: 0, err: '' })
    expect(JSON.parse((await run(['due', '--json'])).out)).not.toEqual([])
  })

  test('serves pages, their style, their fonts and their scripts', async () => {
    const server = await serving(['serve', '--port', '0'], {
      by: [bin()],
      cwd: folder,
      env: { XDG_DATA_HOME: join(folder, 'data') },
    })
    const page = await (await fetch(server.address)).text()
    const linked = [...page.matchAll(/(?:src|href)="(\/static\/[^"]+)"/g)].map(([, path]) => path!)
    expect(linked.length).toBeGreaterThan(2)
    for (const path of [
      ...linked,
      '/static/htmx.js',
      '/static/uplot.js',
      '/static/uplot.css',
      '/static/fonts/ink.woff2',
    ]) {
      const answer = await fetch(new URL(path, server.address))
      expect([path, answer.status]).toEqual([path, 200])
    }
    expect(await server.stop('SIGTERM')).toMatchObject({ code: 0, err: '' })
  })
})
