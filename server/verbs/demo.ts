import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { openLog } from '../../events/log.ts'
import { openBook } from '../book.ts'
import { takeInSample } from '../sample-book.ts'
import { defineVerb, serveOptions } from '../verb.ts'

/** Not the port of the owner's own book, so that both can be open. */
const usualPort = 8418

/** Serves the sample boat in a scratch copy, with the clock pinned to the end of her log. */
export const demo = defineVerb({
  name: 'demo',
  about: 'Opens the sample boat in a scratch copy, with the clock pinned to the end of her log',
  options: serveOptions,
  async run(values) {
    const [{ sampleBoat }, { listen }] = await Promise.all([
      import('../../sample-logs/generate.ts'),
      import('../listen.ts'),
    ])
    const folder = mkdtempSync(join(tmpdir(), 'fettlebook-demo-'))
    const remove = () => rmSync(folder, { recursive: true, force: true })
    // Where something throws outside of what is awaited here, the copy goes all the same.
    process.once('exit', remove)
    const log = openLog(join(folder, 'book.sqlite'))
    try {
      const sample = sampleBoat()
      const book = openBook(log, () => Date.parse(sample.now))
      const taken = takeInSample(book, sample)
      return await listen(
        book,
        values,
        usualPort,
        `The sample boat ${sample.boat}, ${taken} entries, in a scratch copy that is gone when you stop. Her clock is pinned to ${sample.now}. Open at`,
      )
    } finally {
      log.close()
      remove()
    }
  },
})
