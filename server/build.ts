import { spawnSync } from 'node:child_process'
import { chmodSync, cpSync, rmSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'

/**
 * Builds `dist`, which is what `npm pack` ships: Node strips no types inside node_modules, so JavaScript it must be.
 * The tree below `dist` is that of the sources, so that what is read at run time lies at the same place beside the module that reads it.
 *
 * node --import tsx server/build.ts [DIST] [--no-check]
 */

const { values, positionals } = parseArgs({ allowPositionals: true, options: { 'no-check': { type: 'boolean' } } })
const root = fileURLToPath(new URL('..', import.meta.url))
const dist = positionals[0] ?? join(root, 'dist')

rmSync(dist, { recursive: true, force: true })
const tsc = join(createRequire(import.meta.url).resolve('typescript/package.json'), '../bin/tsc')
const project = join(root, 'server/tsconfig.build.json')
const { status } = spawnSync(
  process.execPath,
  [tsc, '--project', project, '--outDir', dist, ...(values['no-check'] ? ['--noCheck'] : [])],
  { stdio: 'inherit' },
)
if (status !== 0) process.exit(1)

// What is no TypeScript: style, fonts, scripts of the page, data.
for (const folder of ['events', 'projections', 'server', 'web', 'sample-logs'])
  cpSync(join(root, folder), join(dist, folder), {
    recursive: true,
    filter: (from) => !/\.tsx?$|tsconfig[^/\\]*\.json$/.test(from),
  })

chmodSync(join(dist, 'server/main.js'), 0o755)
