/** The longest line that is read, bytes: a thousand times what an entry needs. */
export const longestLine = 1024 * 1024

/** One line of JSON Lines: its number from 1, and what it holds or why it could not be read. */
export type JsonLine = { number: number } & ({ ok: true; value: unknown } | { ok: false; problem: string })

/**
 * Reads JSON Lines from a stream. A line that is too long is passed over without being held in memory; blank lines are left out;
 * a byte order mark at the start is read past.
 * @param input chunks of UTF-8; none: no lines
 */
export async function* jsonLines(input: AsyncIterable<Buffer>): AsyncGenerator<JsonLine> {
  let number = 1
  let held: Buffer[] = []
  let length = 0
  const take = (part: Buffer) => {
    length += part.length
    if (length > longestLine) held = []
    else held.push(part)
  }
  const end = (): JsonLine | undefined => {
    const line = length > longestLine ? tooLong(number, length) : parse(number, Buffer.concat(held))
    number += 1
    held = []
    length = 0
    return line
  }
  for await (const chunk of input) {
    let from = 0
    for (let at = chunk.indexOf(0x0a); at !== -1; at = chunk.indexOf(0x0a, from)) {
      take(chunk.subarray(from, at))
      from = at + 1
      const line = end()
      if (line) yield line
    }
    take(chunk.subarray(from))
  }
  const line = end()
  if (line) yield line
}

const tooLong = (number: number, length: number): JsonLine => ({
  number,
  ok: false,
  problem: `Got a line of ${length} bytes, expected one entry of at most ${longestLine}. Split the file at its line ends, or shorten the entry.`,
})

function parse(number: number, bytes: Buffer): JsonLine | undefined {
  let text: string
  try {
    text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: number !== 1 }).decode(bytes)
  } catch {
    return {
      number,
      ok: false,
      problem: 'Got bytes that are no UTF-8, expected JSON in UTF-8. Save the file as UTF-8.',
    }
  }
  if (text.trim() === '') return undefined
  try {
    return { number, ok: true, value: JSON.parse(text) }
  } catch {
    const begins = text.trim().slice(0, 40)
    return {
      number,
      ok: false,
      problem: `Got ${JSON.stringify(begins)}, which is no JSON; expected one entry as a JSON object on one line. Write one with "fettlebook schema" beside you.`,
    }
  }
}
