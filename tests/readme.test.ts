import { readFileSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test, vi } from 'vitest'
import { isEntryType, kinds } from '../events/index.ts'
import { verbs } from '../server/command-line.ts'
import { pages } from '../web/pages/index.ts'
import { scratchFolder } from './events/lines.ts'
import { fettlebook, program } from './server/fettlebook.ts'

vi.setConfig({ testTimeout: 300_000 })

const root = fileURLToPath(new URL('..', import.meta.url))
const readme = readFileSync(join(root, 'README.md'), 'utf8')
const { scripts } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { scripts: Record<string, string> }

/** The first cells of the table whose head begins with a word. */
function firstCells(head: string): string[] {
  const lines = readme.split('\n')
  const begins = lines.findIndex((line) => line.startsWith(`| ${head} |`))
  if (begins < 0) throw new Error(`The README has no table whose head begins with "${head}".`)
  const rows = lines.slice(begins + 2)
  return rows
    .slice(
      0,
      rows.findIndex((line) => !line.startsWith('|')),
    )
    .map((line) => line.split('|')[1]!.trim())
}

const inCode = (cells: readonly string[]) =>
  cells.flatMap((cell) => [...cell.matchAll(/`([^`]+)`/g)].map(([, word]) => word!))

/** The commands of its shell blocks, one a line, without comments. */
const commands = [...readme.matchAll(/^```sh\n([\s\S]*?)^```/gm)]
  .flatMap(([, block]) => block!.split('\n'))
  .map((line) => line.replace(/\s+#.*$/, '').trim())
  .filter((line) => line !== '')

test('the README names every verb, and none that there is not', () => {
  expect(inCode(firstCells('verb')).sort()).toEqual(verbs.map(({ name }) => name).sort())
})

test('the README names every kind of entry, and none that there is not', () => {
  const named = inCode(firstCells('kind'))
  expect(named.filter((kind) => !isEntryType(kind))).toEqual([])
  expect(kinds.map(({ type }) => type).filter((type) => !named.includes(type))).toEqual([])
})

test('the README names every page; the forms stand there as one, and an entry with the Log', () => {
  const named = firstCells('page')
  const isForm = (path: string) => path === '/write' || path.startsWith('/write/')
  const titles = pages.map(({ path }) => (isForm(path) ? 'Write' : pages.find((page) => page.path === path)!.title))
  for (const title of titles) expect(named).toContain(title)
  expect(named.filter((name) => !titles.includes(name))).toEqual([])
})

test('every npm script that the README names is there', () => {
  const named = [...readme.matchAll(/\bnpm (?:run (?:-s )?)?(\w+)/g)]
    .map(([, script]) => script!)
    .filter((word) => word !== 'run')
  expect(named).toEqual(expect.arrayContaining(['demo', 'test', 'start', 'fettlebook']))
  const npmsOwn = ['install', 'ci', 'pack']
  expect(named.filter((script) => !npmsOwn.includes(script) && scripts[script] === undefined)).toEqual([])
})

test('every option that the README gives to a command is one that its verb takes', () => {
  const given = [...readme.matchAll(/\bnpm (start|run demo|run -s fettlebook) -- ([^`\n#|]+)/g)].map(
    ([, script, rest]) => {
      const words = rest!.trim().split(/\s+/)
      const verb = script === 'start' ? 'serve' : script === 'run demo' ? 'demo' : words[0]!
      return { verb, options: words.filter((word) => word.startsWith('--')).map((word) => word.slice(2)) }
    },
  )
  expect(given.length).toBeGreaterThan(3)
  for (const { verb, options } of given) {
    if (verb === 'VERB') continue
    const known = Object.keys(verbs.find(({ name }) => name === verb)?.options ?? {})
    expect([verb, options.filter((option) => !known.includes(option))]).toEqual([verb, []])
  }
})

test("the README's commands run, in their order, on a fresh book of one's own", async () => {
  const folder = scratchFolder()
  symlinkSync(program(), join(folder, 'fettlebook'))
  const runnable = commands.filter((line) => line.includes('npm run -s fettlebook --') && !line.includes('VERB'))
  expect(runnable.length).toBeGreaterThan(2)
  const script = join(folder, 'commands.sh')
  // As npm would run them, but in a folder of their own: npm runs a script in the folder of the package.
  writeFileSync(
    script,
    ['set -euxo pipefail', ...runnable.map((line) => line.replaceAll('npm run -s fettlebook --', './fettlebook'))].join(
      '\n',
    ),
  )
  const ran = await fettlebook([script], {
    by: ['bash'],
    cwd: folder,
    env: { HOME: folder, XDG_DATA_HOME: join(folder, 'data') },
  })
  expect(ran.err.split('\n').filter((line) => line !== '' && !line.startsWith('+'))).toEqual([])
  expect(ran.code).toBe(0)
})
