import { readdirSync, readFileSync } from 'node:fs'
import { builtinModules } from 'node:module'
import { dirname, extname, join, normalize, relative, sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'

/** How the house is built: which folder may import what, what is pure, what lies where. */

const root = fileURLToPath(new URL('..', import.meta.url))
const folders = ['events', 'projections', 'server', 'web', 'sample-logs', 'tests'] as const
type Folder = (typeof folders)[number]

const under = (folder: string): string[] =>
  readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(root, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort()

const isCode = (file: string): boolean => ['.ts', '.tsx'].includes(extname(file))
const codeIn = (folder: Folder): string[] => under(folder).filter(isCode)
const sourceOf = (file: string): string => readFileSync(join(root, file), 'utf8')
const folderOf = (file: string): string => file.split('/')[0]!

/** What a source imports, by whatever form of import. */
function importsOf(source: string): string[] {
  const forms = [
    /^\s*(?:import|export)\b[\w\s{},*$]*?\bfrom\s*['"]([^'"]+)['"]/gm,
    /^\s*import\s*['"]([^'"]+)['"]/gm,
    /\bimport\(\s*['"]([^'"]+)['"]/g,
    /\brequire\(\s*['"]([^'"]+)['"]/g,
  ]
  return forms.flatMap((form) => [...source.matchAll(form)].map((found) => found[1]!))
}

/** A file of the repository for a relative import, else the name of the package. */
function meantBy(file: string, imported: string): { file: string } | { name: string } {
  if (imported.startsWith('.'))
    return {
      file: normalize(join(dirname(file), imported))
        .split(sep)
        .join('/'),
    }
  if (imported.startsWith('node:')) return { name: imported }
  return {
    name: imported
      .split('/')
      .slice(0, imported.startsWith('@') ? 2 : 1)
      .join('/'),
  }
}

interface Rule {
  /** Folders whose files may be imported. */
  folders: readonly Folder[]
  /** Single files beyond those. */
  files?: readonly string[]
  /** Packages; "*" is any that the package names. */
  packages: readonly string[]
}

const rules: Record<Folder, Rule> = {
  events: { folders: ['events'], packages: ['zod'] },
  projections: {
    folders: ['events', 'projections'],
    // Pure ones: dates and zones, distances on the ellipsoid, numbers drawn from a start that is given.
    packages: ['temporal-polyfill', 'geographiclib-geodesic', 'pure-rand'],
  },
  web: {
    folders: ['events', 'projections', 'web'],
    files: [
      'server/book.ts',
      // What the device keeps in cookies, and where a form may lead back to.
      'server/device.ts',
      'server/local-path.ts',
    ],
    packages: ['hono', 'zod', 'temporal-polyfill', 'node:util'],
  },
  'sample-logs': {
    folders: ['events', 'projections', 'sample-logs'],
    packages: ['temporal-polyfill', 'pure-rand', 'uuid'],
  },
  server: { folders: ['events', 'projections', 'server', 'web', 'sample-logs'], packages: ['*'] },
  tests: { folders, packages: ['*'] },
}

/** The one file of events/ that touches the world. */
const roughLog = 'events/log.ts'
/** The script that prints the sample. */
const printsTheSample = 'sample-logs/write.ts'
const roughLogPackages = ['node:crypto', 'node:fs', 'better-sqlite3', 'canonicalize', 'uuid']

/** What of a file's imports its folder may not import. */
function forbiddenImports(file: string, source: string): string[] {
  const rule = rules[folderOf(file) as Folder]
  return importsOf(source).filter((imported) => {
    const meant = meantBy(file, imported)
    if ('name' in meant)
      return !(
        rule.packages.includes('*') ||
        rule.packages.includes(meant.name) ||
        (file === roughLog && roughLogPackages.includes(meant.name))
      )
    // A projection is handed its entries: where they are kept is none of its business.
    if (folderOf(file) === 'projections' && meant.file === roughLog) return true
    if (folderOf(file) === 'events' && meant.file === roughLog) return true
    return !(rule.folders.some((folder) => meant.file.startsWith(`${folder}/`)) || rule.files?.includes(meant.file))
  })
}

/** Clocks, randomness and the outside world, as they look in code. */
const impure: Record<string, RegExp> = {
  'the clock': /\bDate\.now\b|\bnew Date\(\s*\)|(?<!new )\bDate\(\s*\)|\bperformance\.\w|\bTemporal\.Now\b|\bhrtime\b/,
  chance: /\bMath\.random\b|\brandomUUID\b|\bgetRandomValues\b|\brandomBytes\b|\bcrypto\.\w/,
  'the machine': /['"]node:|\bprocess\.\w|\bglobalThis\b|\bfetch\(|\brequire\(|\bconsole\.\w/,
  'a later moment': /\bsetTimeout\b|\bsetInterval\b|\bsetImmediate\b|\bqueueMicrotask\b/,
  'the place of the reader': /\btoLocale\w+\(\s*\)|\bgetTimezoneOffset\b|\.get(Hours|Date|Day|Month|FullYear)\(/,
}
const impurities = (source: string): string[] =>
  Object.entries(impure)
    .filter(([, pattern]) => pattern.test(source))
    .map(([what]) => what)

describe('the check itself', () => {
  test('finds every form of import', () => {
    const source = [
      "import { a } from './a.ts'",
      "import type { B } from '../b.ts'",
      "import c, {\n  type D,\n  e,\n} from 'c/deep.js'",
      "import '@scope/f/side'",
      "export * from './g.ts'",
      "export { h } from './h.ts'",
      "const i = await import('node:fs')",
      "type J = typeof import('./j.ts')",
      "const k = require('k')",
    ].join('\n')
    expect(importsOf(source).sort()).toEqual(
      ['./a.ts', '../b.ts', 'c/deep.js', '@scope/f/side', './g.ts', './h.ts', 'node:fs', './j.ts', 'k'].sort(),
    )
    expect(meantBy('web/form/send.ts', '../../server/book.ts')).toEqual({ file: 'server/book.ts' })
    expect(meantBy('web/x.ts', '@scope/f/side')).toEqual({ name: '@scope/f' })
    expect(meantBy('web/x.ts', 'hono/jsx')).toEqual({ name: 'hono' })
  })

  test('refuses what it is to refuse', () => {
    const cases: [string, string, boolean][] = [
      ['events/note-written.ts', 'zod', true],
      ['events/note-written.ts', 'uuid', false],
      ['events/note-written.ts', './log.ts', false],
      ['events/log.ts', 'uuid', true],
      ['events/log.ts', 'hono', false],
      ['events/index.ts', '../projections/timeline.ts', false],
      ['projections/due.ts', '../events/index.ts', true],
      ['projections/due.ts', '../events/log.ts', false],
      ['projections/statistics/mean.ts', '../../server/book.ts', false],
      ['projections/due.ts', 'node:fs', false],
      ['projections/due.ts', 'zod', false],
      ['web/pages/log.tsx', '../../server/book.ts', true],
      ['web/pages/log.tsx', '../../server/listen.ts', false],
      ['web/pages/log.tsx', 'better-sqlite3', false],
      ['server/main.ts', '../tests/events/lines.ts', false],
      ['server/main.ts', 'anything', true],
      ['sample-logs/boat.ts', '../server/book.ts', false],
      ['tests/server/x.test.ts', '../../server/book.ts', true],
    ]
    for (const [file, imported, allowed] of cases)
      expect(forbiddenImports(file, `import { x } from '${imported}'`), `${file} ${imported}`).toEqual(
        allowed ? [] : [imported],
      )
  })

  test('finds clocks and chance', () => {
    for (const code of [
      'const now = Date.now()',
      'new Date()',
      'new Date( )',
      'performance.now()',
      'Temporal.Now.instant()',
      'Math.random()',
      'crypto.randomUUID()',
      "import { readFileSync } from 'node:fs'",
      'process.env.HOME',
      'value.toLocaleString()',
      'new Date(at).getHours()',
    ])
      expect(impurities(code), code).not.toEqual([])
    for (const code of [
      'new Date(at).toISOString()',
      'Date.parse(text)',
      'Date.UTC(2026, 1)',
      'the battery’s performance. Then',
    ])
      expect(impurities(code), code).toEqual([])
  })
})

describe('what may import what', () => {
  test.each(folders)('%s', (folder) => {
    const files = codeIn(folder)
    expect(files.length).toBeGreaterThan(0)
    const wrong = files.flatMap((file) =>
      forbiddenImports(file, sourceOf(file)).map((name) => `${file} imports ${name}`),
    )
    expect(wrong).toEqual([])
  })

  test('estimators and relations import each other only, and the units', () => {
    const wrong = codeIn('projections')
      .filter((file) => /^projections\/(statistics|mechanics)\//.test(file))
      .flatMap((file) =>
        importsOf(sourceOf(file))
          .map((imported) => meantBy(file, imported))
          .filter(
            (meant) =>
              'file' in meant &&
              !/^projections\/(statistics|mechanics)\//.test(meant.file) &&
              meant.file !== 'projections/figure.ts' &&
              meant.file !== 'events/units.ts',
          )
          .map((meant) => `${file} imports ${JSON.stringify(meant)}`),
      )
    expect(wrong).toEqual([])
  })

  test('every import of a file of ours says its extension and is there', () => {
    const all = new Set(folders.flatMap((folder) => under(folder)))
    const missing = folders
      .flatMap(codeIn)
      .flatMap((file) =>
        importsOf(sourceOf(file))
          .filter((imported) => imported.startsWith('.') && !/\$\{/.test(imported))
          .map((imported) => meantBy(file, imported) as { file: string })
          .filter((meant) => !all.has(meant.file) && !['package.json', 'biome.json'].includes(meant.file))
          .map((meant) => `${file} imports ${meant.file}`),
      )
      // The check of the check above holds imports that are not there.
      .filter((line) => !line.startsWith('tests/architecture.test.ts'))
    expect(missing).toEqual([])
  })
})

describe('purity', () => {
  test.each(['events', 'projections', 'sample-logs'] as const)(
    '%s knows no clock, no chance and no machine',
    (folder) => {
      const wrong = codeIn(folder)
        .filter((file) => ![roughLog, printsTheSample].includes(file))
        .flatMap((file) => impurities(sourceOf(file)).map((what) => `${file} uses ${what}`))
      expect(wrong).toEqual([])
    },
  )

  test('the rough log is handed the time: it has no clock of its own', () => {
    expect(impurities(sourceOf(roughLog))).not.toContain('the clock')
  })
})

describe('packages', () => {
  const { dependencies, devDependencies } = JSON.parse(sourceOf('package.json')) as Record<
    'dependencies' | 'devDependencies',
    Record<string, string>
  >
  const shipped: readonly Folder[] = ['events', 'projections', 'server', 'web', 'sample-logs']
  const importedBy = (some: readonly Folder[]) =>
    new Set(
      some.flatMap(codeIn).flatMap((file) =>
        importsOf(sourceOf(file))
          .map((imported) => meantBy(file, imported))
          .flatMap((meant) => ('name' in meant ? [meant.name] : [])),
      ),
    )

  test('are pinned exactly', () => {
    for (const [name, version] of Object.entries({ ...dependencies, ...devDependencies }))
      expect(version, name).toMatch(/^\d+\.\d+\.\d+$/)
  })

  test('that what is shipped imports are dependencies, and those of Node say so by their prefix', () => {
    for (const name of importedBy(shipped)) {
      expect(builtinModules, name).not.toContain(name)
      if (!name.startsWith('node:')) expect(Object.keys(dependencies), name).toContain(name)
    }
  })

  test('are all used by something', () => {
    const used = importedBy(folders)
    const text = folders.flatMap(codeIn).map(sourceOf).join('\n')
    // Tools are named in scripts and settings, files for the browser by their path.
    const tools = ['@biomejs/biome', 'typescript', 'tsx', 'vitest', '@types/node', '@types/better-sqlite3']
    for (const name of Object.keys({ ...dependencies, ...devDependencies }))
      expect(used.has(name) || tools.includes(name) || text.includes(`'${name}`), name).toBe(true)
  })
})

describe('the tree', () => {
  const asked = [
    'package.json',
    'tsconfig.json',
    'server',
    'web',
    'events',
    'projections',
    'tests',
    'sample-logs',
    'README.md',
    'DEVELOPERS.md',
  ]
  // Only what tools need: npm, the automated checks, git, the linter; and the licence.
  const forTools = ['package-lock.json', '.ci', '.gitignore', 'biome.json', 'LICENSE']

  test('has at its top exactly what was asked for and what tools need', () => {
    const ignored = sourceOf('.gitignore')
      .split('\n')
      .filter((line) => line !== '' && !line.startsWith('#'))
    const isIgnored = (name: string) =>
      ['.git', ...ignored.map((line) => line.replace(/\/$/, ''))].some((pattern) =>
        pattern.startsWith('*') ? name.endsWith(pattern.slice(1)) : name === pattern,
      )
    const there = readdirSync(root).filter((name) => !isIgnored(name))
    expect(there.sort()).toEqual([...asked, ...forTools].sort())
  })

  test('has no folder for odds and ends', () => {
    const odd = ['utils', 'util', 'core', 'shared', 'common', 'types', 'models', 'services', 'helpers', 'lib', 'misc']
    const wrong = folders.flatMap(under).filter((file) =>
      file
        .split('/')
        .slice(0, -1)
        .some((part) => odd.includes(part)),
    )
    expect(wrong).toEqual([])
  })

  test('names its files in kebab-case', () => {
    const wrong = folders
      .flatMap(codeIn)
      .filter(
        (file) => !/^[a-z0-9]+(-[a-z0-9]+)*(\.test|\.config|\.d|\.bench|\.build)?\.tsx?$/.test(file.split('/').pop()!),
      )
    expect(wrong).toEqual([])
  })

  test('has no barrel: nothing is passed on under another file’s name, and only the two lists are called index', () => {
    const files = folders.flatMap(codeIn).filter((file) => file !== 'tests/architecture.test.ts')
    expect(
      files.filter((file) => /^\s*export\s+(type\s+)?(\*|\{[^}]*\})\s*(as\s+\w+\s*)?from\b/m.test(sourceOf(file))),
    ).toEqual([])
    expect(files.filter((file) => /(^|\/)index\.tsx?$/.test(file))).toEqual(['events/index.ts', 'web/pages/index.ts'])
  })

  test('has for each folder of code its tests in a folder of the same name', () => {
    for (const folder of ['events', 'projections', 'server', 'web', 'sample-logs'])
      expect(
        under('tests').filter((file) => file.startsWith(`tests/${folder}/`) && /\.test\.tsx?$/.test(file)).length,
        folder,
      ).toBeGreaterThan(0)
  })
})

describe('every export', () => {
  test('of what is shipped has a doc comment', () => {
    const bare = ['events', 'projections', 'server', 'web', 'sample-logs']
      .flatMap((folder) => codeIn(folder as Folder))
      .flatMap((file) => {
        const lines = sourceOf(file).split('\n')
        return lines.flatMap((text, index) => {
          if (!/^export (async )?(function|const|interface|type|class|let|enum)\b/.test(text)) return []
          // An overload or a decorator-free export: the comment ends on the line before.
          const before = lines[index - 1]?.trim() ?? ''
          return before.endsWith('*/') || /^export (async )?function/.test(before)
            ? []
            : [`${file}:${index + 1} ${text.slice(0, 60)}`]
        })
      })
    expect(bare).toEqual([])
  })
})
