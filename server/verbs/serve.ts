import { openBook } from '../book.ts'
import { openNamed } from '../own-book.ts'
import { bookOption, defineVerb, serveOptions } from '../verb.ts'

/** The port of the owner's own book. */
const usualPort = 8417

/** Serves the owner's book; begins it if there is none. */
export const serve = defineVerb({
  name: 'serve',
  about: 'Opens your book to the browser of this machine',
  options: { ...serveOptions, ...bookOption },
  async run(values) {
    const { listen } = await import('../listen.ts')
    const log = openNamed(values.book, true)
    try {
      return await listen(openBook(log), values, usualPort, `The book ${log.file} is open at`)
    } finally {
      log.close()
    }
  },
})
