import { createReadStream } from 'node:fs'
import { openBook, type RefusedLine } from '../book.ts'
import { jsonLines } from '../json-lines.ts'
import { openNamed } from '../own-book.ts'
import { complain, counted, print } from '../print.ts'
import { bookOption, defineVerb } from '../verb.ts'

/** Takes entries in: the whole input is one batch, written whole or not at all. */
export const write = defineVerb({
  name: 'write',
  about: 'Takes in entries as JSON Lines from a file or standard input, all of them or none',
  operand: '[FILE]',
  options: {
    ...bookOption,
    hand: { type: 'string', value: 'INITIALS', help: 'Whose hand wrote the lines that do not say' },
  },
  async run(values, file) {
    const lines: { number: number; value: unknown }[] = []
    const refused: { number: number; problem: string }[] = []
    try {
      for await (const line of jsonLines(file === undefined || file === '-' ? process.stdin : createReadStream(file)))
        if (line.ok) lines.push(line)
        else refused.push(line)
    } catch (error) {
      complain(
        `Got ${file ?? 'standard input'}, which cannot be read (${(error as Error).message}); expected a file of JSON Lines.`,
      )
      return 1
    }
    const read = lines.length + refused.length

    const log = openNamed(values.book, true)
    try {
      const book = openBook(log)
      const inputs = lines.map(({ value }) => value)
      const defaults = values.hand === undefined ? {} : { hand: values.hand }
      const refuse = (those: readonly RefusedLine[]) => {
        for (const { index, refusals } of those)
          refused.push({ number: lines[index]!.number, problem: refusals.map(({ problem }) => problem).join(' ') })
      }
      if (refused.length > 0) refuse(book.lookOver(inputs, defaults))
      else {
        const written = book.takeIn(inputs, defaults)
        if (written.ok) {
          const { position, link } = log.head()
          const there = written.already === 0 ? '' : ` ${counted(written.already, 'entry', 'entries')} already there.`
          await print(
            `Wrote ${counted(written.written.length, 'entry', 'entries')}.${there} The book ends at position ${position}, ${link}.\n`,
          )
          return 0
        }
        refuse(written.refused)
      }
      refused.sort((a, b) => a.number - b.number)
      for (const { number, problem } of refused) complain(`line ${number}: ${problem}`)
      complain(
        `Nothing was written: ${refused.length} of ${counted(read, 'line', 'lines')} refused. Mend what is named above and write the whole again.`,
      )
      return 1
    } finally {
      log.close()
    }
  },
})
