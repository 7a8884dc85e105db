import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type JsonLine, jsonLines, longestLine } from '../../server/json-lines.ts'

async function* inChunks(bytes: Buffer, sizes: readonly number[]): AsyncGenerator<Buffer> {
  let from = 0
  for (let n = 0; from < bytes.length; n++) {
    const size = sizes[n % sizes.length]!
    yield bytes.subarray(from, from + size)
    from += size
  }
}

async function read(bytes: Buffer | string, sizes: readonly number[] = [64 * 1024]): Promise<JsonLine[]> {
  const lines: JsonLine[] = []
  for await (const line of jsonLines(inChunks(Buffer.from(bytes), sizes))) lines.push(line)
  return lines
}

test('no input gives no lines', async () => {
  expect(await read('')).toEqual([])
})

test('blank lines are passed over and keep their numbers', async () => {
  expect(await read('\n{"a":1}\n\n  \n{"a":2}')).toEqual([
    { number: 2, ok: true, value: { a: 1 } },
    { number: 5, ok: true, value: { a: 2 } },
  ])
})

test('line ends of other systems and a byte order mark at the start do no harm', async () => {
  expect(await read('\ufeff{"a":1}\r\n{"a":2}\r\n')).toEqual([
    { number: 1, ok: true, value: { a: 1 } },
    { number: 2, ok: true, value: { a: 2 } },
  ])
})

test('the same lines come out however the input is cut', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.jsonValue(), { maxLength: 12 }),
      fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 5 }),
      async (values, sizes) => {
        const lines = await read(values.map((value) => JSON.stringify(value)).join('\n'), sizes)
        expect(lines).toEqual(
          values.map((value, n) => ({ number: n + 1, ok: true, value: JSON.parse(JSON.stringify(value)) })),
        )
      },
    ),
  )
})

test('what is no JSON is told with its line number and its beginning', async () => {
  const [first, second] = await read('{"a":1}\n{"a": nothing of the kind, and a great deal of it}\n')
  expect(first).toMatchObject({ ok: true })
  expect(second).toMatchObject({ number: 2, ok: false })
  expect(second).toHaveProperty(
    'problem',
    expect.stringContaining('which is no JSON; expected one entry as a JSON object'),
  )
})

// RFC 8259, section 8.1: JSON that is exchanged must be encoded in UTF-8.
test('bytes that are no UTF-8 are refused, not replaced', async () => {
  const latin1 = Buffer.from('{"text":"d\u00e9faut"}\n{"a":1}', 'latin1')
  expect(await read(latin1)).toMatchObject([
    { number: 1, ok: false, problem: expect.stringContaining('no UTF-8') },
    { number: 2, ok: true },
  ])
})

test('a line of exactly the longest length is read, one byte more is refused and the next line is read', async () => {
  const ofLength = (n: number) => `"${'a'.repeat(n - 2)}"`
  expect(await read(`${ofLength(longestLine)}\n1`)).toMatchObject([{ ok: true }, { ok: true }])
  expect(await read(`${ofLength(longestLine + 1)}\n1`)).toMatchObject([
    { number: 1, ok: false, problem: expect.stringContaining(`Got a line of ${longestLine + 1} bytes`) },
    { number: 2, ok: true, value: 1 },
  ])
})

test('of a line that is far too long nothing is held', async () => {
  const chunk = Buffer.alloc(1024 * 1024, 'a')
  let most = 0
  async function* endless() {
    for (let n = 0; n < 600; n++) {
      yield Buffer.from(chunk)
      most = Math.max(most, process.memoryUsage().arrayBuffers)
    }
  }
  const before = process.memoryUsage().arrayBuffers
  const lines: JsonLine[] = []
  for await (const line of jsonLines(endless())) lines.push(line)
  expect(lines).toMatchObject([{ number: 1, ok: false }])
  // What the line weighs in all is 600 MiB; chunks that await collection are counted, so the bound is generous.
  expect(most - before).toBeLessThan(300 * 1024 * 1024)
})
