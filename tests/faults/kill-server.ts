import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { expect } from 'vitest'
import { freshId, openLog } from '../../events/log.ts'
import type { Random } from '../../sample-logs/random.ts'
import { scratchFolder } from '../events/lines.ts'
import { serving } from '../server/fettlebook.ts'

/**
 * Kills the server again and again while five hands post forms to it, then posts every form once more to one that lives.
 * @returns how many forms had been answered before that, and how many had not
 */
export async function killServer(rounds: number, moments: Random): Promise<{ answered: number; unanswered: number }> {
  const file = join(scratchFolder(), 'book.fettlebook')
  const seen = { answered: 0, unanswered: 0 }
  const posted = new Map<string, { body: URLSearchParams; answered: boolean }>()
  const post = (address: string, body: URLSearchParams) =>
    fetch(new URL('/write/note-written', address), {
      method: 'POST',
      body,
      redirect: 'manual',
      headers: { Origin: new URL(address).origin, 'Sec-Fetch-Site': 'same-origin' },
    })
  const textsOf = () => {
    const log = openLog(file)
    try {
      expect(log.verify().problems).toEqual([])
      return log.read().entries.map((entry) => (entry.data as { text: string }).text)
    } finally {
      log.close()
    }
  }

  for (let round = 0; round < rounds; round++) {
    const server = await serving(['serve', '--book', file, '--port', '0'])
    let going = true
    let heard = () => {}
    const firstAnswer = new Promise<void>((resolve) => {
      heard = resolve
    })
    const poster = async (n: number) => {
      for (let form = 0; going; form++) {
        const text = `round ${round} hand ${n} form ${form}`
        const body = new URLSearchParams({
          'entry.key': freshId(),
          'entry.hand': `h${n}`,
          'when.date': 'today',
          'when.time': '',
          text,
        })
        const entry = { body, answered: false }
        posted.set(text, entry)
        const answer = await post(server.address, body)
        if (answer.status !== 303) throw new Error(`${answer.status}: ${await answer.text()}`)
        entry.answered = true
        heard()
      }
    }
    const posters = [0, 1, 2, 3, 4].map((n) =>
      poster(n).catch((error: unknown) => {
        // The connection breaks when the kill comes; were it broken before, the server would not have been there to be killed.
        if (!(error instanceof TypeError)) throw error
      }),
    )
    await Promise.race([firstAnswer, Promise.all(posters)])
    await pause(moments.whole(0, 500))
    const stopped = server.stop('SIGKILL')
    going = false
    expect(await stopped).toMatchObject({ signal: 'SIGKILL', err: '' })
    await Promise.all(posters)

    const texts = textsOf()
    expect(new Set(texts).size).toBe(texts.length)
    for (const [text, { answered }] of posted) if (answered) expect(texts, text).toContain(text)
  }

  // A browser that got no answer posts the same form again, and so does one that did.
  const server = await serving(['serve', '--book', file, '--port', '0'])
  for (const { body, answered } of posted.values()) {
    expect((await post(server.address, body)).status).toBe(303)
    if (answered) seen.answered++
    else seen.unanswered++
  }
  await server.stop('SIGTERM')
  expect(textsOf().sort()).toEqual([...posted.keys()].sort())
  return seen
}
