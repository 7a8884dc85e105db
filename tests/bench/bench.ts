import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { freshId, type Line, openLog } from '../../events/log.ts'
import { dueRows } from '../../projections/due.ts'
import { select } from '../../projections/log-selection.ts'
import { meterRows } from '../../projections/meter-hours.ts'
import { timeline } from '../../projections/timeline.ts'
import { sampleBoat } from '../../sample-logs/generate.ts'
import { createApp } from '../../server/app.tsx'
import { openBook } from '../../server/book.ts'
import { pages } from '../../web/pages/index.ts'

/**
 * What the simplicity of the design rests on: a whole log read, ordered and folded anew costs little. Prints a table; run by `npm run bench`.
 * `npm run bench -- 100000` takes a quarter of an hour, most of it hashing. Sizes beyond the sample boat are her log again and again, with new ids, each copy earlier than the last by her three years.
 */
const sizes = process.argv
  .slice(2)
  .map(Number)
  .filter((n) => n > 0)
const { lines, now } = sampleBoat()

/** The sample's log repeated up to `size` entries; ids and times are shifted together, so that amendments still find their entries. */
function grown(size: number): Line[] {
  const grown: Line[] = [...lines]
  const span = 3 * 365 * 86_400_000
  for (let copy = 1; grown.length < size; copy++) {
    const ids = new Map(lines.map((line) => [line.id, freshId()]))
    const earlier = (text: string) => {
      const at = Date.parse(text) - copy * span
      return text.length === 10 ? new Date(at).toISOString().slice(0, 10) : new Date(at).toISOString()
    }
    const renamed = (value: unknown): unknown => (typeof value === 'string' ? (ids.get(value) ?? value) : value)
    for (const line of lines) {
      if (grown.length >= size) break
      grown.push({
        ...line,
        id: ids.get(line.id)!,
        occurredAt: earlier(line.occurredAt),
        recordedAt: earlier(line.recordedAt),
        replaces: line.replaces === null ? null : (ids.get(line.replaces) ?? null),
        data: Object.fromEntries(Object.entries(line.data).map(([name, value]) => [name, renamed(value)])),
      })
    }
  }
  return grown
}

const time = async <T>(work: () => T | Promise<T>): Promise<[T, number]> => {
  const from = performance.now()
  const result = await work()
  return [result, performance.now() - from]
}

const rows: Record<string, string | number>[] = []
for (const size of sizes.length > 0 ? sizes : [lines.length, 10_000]) {
  const folder = mkdtempSync(join(tmpdir(), 'fettlebook-bench-'))
  const file = join(folder, 'bench.book')
  const clock = Date.parse(now)
  {
    const log = openLog(file)
    const batch = grown(size)
    const [result, appended] = await time(() => log.append(batch, now))
    if (!result.ok) throw new Error(result.refused[0]?.problem)
    log.close()
    rows.push({
      entries: size,
      what: 'append as one batch',
      ms: Math.round(appended),
      note: `${(statSync(file).size / 1e6).toFixed(1)} MB`,
    })
  }
  const log = openLog(file)
  const [{ entries }, read] = await time(() => log.read())
  rows.push({ entries: size, what: 'read, upgrade and check', ms: Math.round(read), note: `${entries.length} entries` })
  const [fair, ordered] = await time(() => timeline(entries))
  rows.push({ entries: size, what: 'order, amendments applied', ms: Math.round(ordered), note: '' })
  const [, hours] = await time(() => meterRows(fair))
  rows.push({ entries: size, what: 'hours of every meter', ms: Math.round(hours), note: '' })
  const [due, dueMs] = await time(() => dueRows(fair, clock))
  rows.push({ entries: size, what: 'what is due', ms: Math.round(dueMs), note: `${due.length} tasks` })
  const [found, findMs] = await time(() => select(fair, { text: 'belt dust' }))
  rows.push({ entries: size, what: 'find in the log', ms: Math.round(findMs), note: `${found.length} found` })
  const book = openBook(log, () => clock)
  const app = createApp(book, pages)
  for (const path of ['/', '/log', '/due', '/equipment']) {
    const get = () => app.request(path, { headers: { host: 'localhost' } })
    await (await get()).text()
    const [body, again] = await time(async () => (await get()).text())
    rows.push({
      entries: size,
      what: `page ${path}, nothing new`,
      ms: Math.round(again),
      note: `${(body.length / 1000).toFixed(0)} kB`,
    })
  }
  const [, write] = await time(async () => {
    book.write([
      { type: 'note-written', occurredAt: now, hand: 'B.B.', source: 'bench', data: { text: 'one more line' } },
    ])
    return (await app.request('/', { headers: { host: 'localhost' } })).text()
  })
  rows.push({ entries: size, what: 'write a line, and Today with it', ms: Math.round(write), note: 'on the disk' })
  const [proved, verifyMs] = await time(() => log.verify())
  rows.push({ entries: size, what: 'verify', ms: Math.round(verifyMs), note: proved.ok ? 'good' : 'PROBLEMS' })
  log.close()
  rmSync(folder, { recursive: true })
}
console.table(rows)
