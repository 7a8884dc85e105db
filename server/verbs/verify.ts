import { createReadStream } from 'node:fs'
import { commitments, proveRows, type Row, type Verified } from '../../events/log.ts'
import { jsonLines } from '../json-lines.ts'
import { openNamed } from '../own-book.ts'
import { complain, counted, print, printJson } from '../print.ts'
import { bookOption, defineVerb, Misuse } from '../verb.ts'

/** Proves a book, or an exported copy of one, against its links. */
export const verify = defineVerb({
  name: 'verify',
  about: 'Proves that nothing in a book was changed, dropped or moved, and prints where its chain ends',
  operand: '[FILE]',
  options: {
    ...bookOption,
    lines: { type: 'string', value: 'FILE', help: 'Proves a copy that "read --json" printed, from its first entry on' },
    json: { type: 'boolean', help: 'Prints JSON for other programs' },
  },
  async run(values, file) {
    if ([file, values.book, values.lines].filter((one) => one !== undefined).length > 1)
      throw new Misuse('Got more than one of FILE, --book and --lines, expected one. Verify one after the other.')
    const proved = values.lines === undefined ? verifyBook(file ?? values.book) : await verifyCopy(values.lines)
    if (typeof proved === 'string') {
      complain(proved)
      return 1
    }
    const { ok, entries, head, problems } = proved
    if (values.json) await printJson(proved)
    else {
      await print(`${counted(entries, 'entry', 'entries')}, the last at position ${head.position}\nhead ${head.link}\n`)
      for (const problem of problems) await print(`${problem}\n`)
      await print(
        ok
          ? 'Every entry gives its link. Compare the head with one that you kept elsewhere: only that shows whether the whole was rewritten or its end cut off.\n'
          : `${counted(problems.length, 'problem', 'problems')}. Keep this file as it is, and go back to a copy that verifies.\n`,
      )
    }
    return ok ? 0 : 1
  },
})

function verifyBook(file: string | undefined): Verified {
  const log = openNamed(file, false)
  try {
    return log.verify()
  } finally {
    log.close()
  }
}

async function verifyCopy(file: string): Promise<Verified | string> {
  const rows: Row[] = []
  const problems: string[] = []
  try {
    for await (const line of jsonLines(createReadStream(file))) {
      const problem = line.ok ? rowProblem(line.value) : line.problem
      if (problem === undefined && line.ok) rows.push(line.value as Row)
      else problems.push(`Line ${line.number}: ${problem}`)
    }
  } catch (error) {
    return `Got ${file}, which cannot be read (${(error as Error).message}); expected a file that "read --json" printed.`
  }
  const proved = proveRows(rows)
  const all = [...problems, ...proved.problems]
  return { ok: all.length === 0, entries: proved.entries, head: proved.head, problems: all }
}

/** Why a line cannot be proved at all; undefined if it can. */
function rowProblem(value: unknown): string | undefined {
  const { position, receivedAt, link, data } = (value ?? {}) as Partial<Row>
  if (
    typeof position !== 'number' ||
    typeof receivedAt !== 'string' ||
    typeof link !== 'string' ||
    typeof data !== 'object' ||
    data === null
  )
    return 'It lacks position, receivedAt, link or data; expected an entry as "read --json" prints it.'
  try {
    commitments(value as Row)
  } catch (error) {
    return `Its content cannot be digested (${(error as Error).message}).`
  }
  return undefined
}
