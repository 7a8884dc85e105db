import { writeSync } from 'node:fs'
import { freshId, openLog } from '../../events/log.ts'
import { openBook } from '../../server/book.ts'

/**
 * A program that writes into a book until it is killed. Each batch is acknowledged on standard output only when the book has taken it: one
 * line of JSON, the ids and texts of its entries.
 * Arguments: the file, the name of the writer.
 */

const [file, name] = process.argv.slice(2) as [string, string]
const log = openLog(file)
const book = openBook(log)

/** The whole line, or nothing: a pipe may be full for a moment. */
function acknowledge(line: string): void {
  let left = Buffer.from(`${line}\n`)
  while (left.length > 0) {
    try {
      left = left.subarray(writeSync(1, left))
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error
    }
  }
}

for (let batch = 0; ; batch++) {
  const size = 1 + (batch % 5)
  const texts = Array.from({ length: size }, (_, index) => `${name} batch ${batch} entry ${index} of ${size}`)
  const drafts = texts.map((text) => ({
    type: 'note-written',
    occurredAt: new Date().toISOString(),
    hand: name,
    source: 'fault',
    data: { text },
  }))
  // A person's form, a program's line with an id of its own, and one without.
  const written =
    batch % 3 === 0
      ? book.write(drafts)
      : book.takeIn(drafts.map((draft) => (batch % 3 === 1 ? { ...draft, id: freshId() } : draft)))
  if (!written.ok) throw new Error(JSON.stringify(written.refused))
  acknowledge(JSON.stringify(written.written.map((row) => [row.id, (row.data as { text: string }).text])))
}
