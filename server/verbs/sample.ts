import { openBook } from '../book.ts'
import { openNamed } from '../own-book.ts'
import { complain, print } from '../print.ts'
import { takeInSample } from '../sample-book.ts'
import { bookOption, defineVerb } from '../verb.ts'

/** Writes the sample boat into an empty book. */
export const sample = defineVerb({
  name: 'sample',
  about: 'Writes the sample boat into an empty book',
  options: bookOption,
  async run(values) {
    const { sampleBoat } = await import('../../sample-logs/generate.ts')
    const log = openNamed(values.book, true)
    try {
      const { position } = log.head()
      if (position > 0) {
        complain(
          `Got the book ${log.file}, which holds ${position} entries already; expected an empty one, since nothing can be taken out of a book again. Name a new file with --book.`,
        )
        return 1
      }
      const boat = sampleBoat()
      const taken = takeInSample(openBook(log), boat)
      await print(`Wrote the sample boat ${boat.boat}, ${taken} entries, into ${log.file}.\n`)
      return 0
    } finally {
      log.close()
    }
  },
})
