import type { sampleBoat } from '../sample-logs/generate.ts'
import type { Book } from './book.ts'

/**
 * Writes the sample boat into a book.
 * @returns how many entries were written
 * @throws when the book refuses one of them: the sample and the schemas disagree, which is a fault of the program
 */
export function takeInSample(book: Book, sample: ReturnType<typeof sampleBoat>): number {
  const taken = book.takeIn(sample.lines, { source: 'sample' })
  if (taken.ok) return taken.written.length
  const [first] = taken.refused
  throw new Error(
    `The sample boat has ${taken.refused.length} entries that the book refuses; the first, ${(first?.index ?? 0) + 1}: ${first?.refusals[0]?.problem}`,
  )
}
