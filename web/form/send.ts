import { isDeepStrictEqual } from 'node:util'
import type { Context } from 'hono'
import type { Refusal } from '../../events/define.ts'
import { freshId, type Row } from '../../events/log.ts'
import { rememberHand } from '../../server/device.ts'
import { localPath } from '../../server/local-path.ts'
import type { Env } from '../page.ts'
import { handBox } from './fields.ts'
import { whenBoxes } from './moment.ts'
import type { Typed } from './typed.ts'

/**
 * Boxes of every form beside the fields. `key` is minted when the form is shown and becomes the id of the first entry that it writes: the same
 * form posted twice (a reload, two taps, a reply that got lost) writes once, whatever the server lived through in between.
 */
export const formBoxes = { key: 'entry.key', from: 'entry.from', replaces: 'entry.replaces' } as const

/** A fresh one-time key, for a form that is shown for the first time. */
export const freshKey = (): string => freshId()

/** The one-time key of a posted form; a post without a usable one gets a fresh one. */
export const keyOf = (typed: Typed): string => {
  const key = typed.get(formBoxes.key)
  return /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/.test(key) ? key : freshKey()
}

/** One entry that a form wants written. */
export interface FormDraft {
  readonly type: string
  readonly occurredAt: string
  readonly data: Record<string, unknown>
  readonly replaces?: string
  /** What its boxes begin with, for refusals. */
  readonly prefix?: string
}

/** What sending gives: the answer to the browser, or what is wrong, with the status that says so. */
export type Sent =
  | { ok: true; response: Response }
  | { ok: false; status: 409 | 422; refusals: Refusal[]; stale: boolean; key: string }

/**
 * Writes what a form holds, whole or not at all, and leads back to where the person came from. A form that was written already is not written
 * again: the answer is the same. If it says something else by now (gone back to and changed), it is refused with 409 and gets a new key.
 */
export function send(c: Context<Env>, typed: Typed, hand: string, drafts: readonly FormDraft[], back?: string): Sent {
  const book = c.get('book')
  const key = keyOf(typed)
  const done = (ids: readonly string[]): Sent => {
    rememberHand(c, hand)
    return { ok: true, response: c.redirect(withWritten(back ?? localPath(typed.get(formBoxes.from)), ids), 303) }
  }

  const first = book.log.row(key)
  if (first) {
    const rows = book
      .read()
      .entries.filter(({ position }) => position >= first.position && position < first.position + drafts.length)
    if (rows.length === drafts.length && drafts.every((draft, index) => isSame(rows[index]!, draft, hand)))
      return done(rows.map((row) => row.id))
    return {
      ok: false,
      status: 409,
      stale: false,
      key: freshKey(),
      refusals: [
        {
          field: '',
          problem:
            'This form has been written already, and what stands in it now is something else. Write once more to keep it as an entry of its own, or amend the first one in the Log.',
        },
      ],
    }
  }

  const written = book.write(
    drafts.map(({ type, occurredAt, data, replaces }, index) => ({
      ...(index === 0 ? { id: key } : {}),
      type,
      occurredAt,
      hand,
      source: 'form',
      data,
      ...(replaces === undefined ? {} : { replaces }),
    })),
  )
  if (written.ok) return done(written.written.map((row) => row.id))
  const stale = written.refused.some((refused) => refused.stale)
  return {
    ok: false,
    status: stale ? 409 : 422,
    stale,
    key,
    refusals: written.refused.flatMap(({ index, refusals }) =>
      refusals.map(({ field, problem }) => ({ field: boxOf(field, drafts[index]?.prefix ?? ''), problem })),
    ),
  }
}

const isSame = (
  row: Pick<Row, 'type' | 'occurredAt' | 'hand' | 'replaces' | 'data'>,
  draft: FormDraft,
  hand: string,
): boolean =>
  row.type === draft.type &&
  // Nobody types when a strike happened: it is the moment of writing, which differs from post to post.
  (row.type === 'entry-struck' || row.occurredAt === draft.occurredAt) &&
  row.hand === hand &&
  row.replaces === (draft.replaces ?? null) &&
  isDeepStrictEqual({ ...row.data }, draft.data)

const boxOf = (field: string, prefix: string): string => {
  if (field === '' || field === 'replaces' || field === 'recordedAt' || field === 'id') return ''
  if (field === 'occurredAt') return whenBoxes.date
  if (field === 'hand') return handBox
  return prefix + field
}

/** An address that says on arrival what has just been written, so that it can be taken back at once. */
export function withWritten(address: string, ids: readonly string[]): string {
  const url = new URL(address, 'http://localhost')
  url.searchParams.delete('written')
  if (ids.length > 0) url.searchParams.set('written', ids.join(','))
  return `${url.pathname}${url.search.replaceAll('%2C', ',')}${url.hash}`
}

/** Where a form leads back to: where it was asked to, else the page it was opened from, else the first page. */
export function cameFrom(c: Context): string {
  const asked = c.req.query('from')
  if (asked !== undefined) return localPath(asked)
  const referer = c.req.header('Referer')
  const host = c.req.header('Host')
  if (referer === undefined || !URL.canParse(referer)) return '/'
  const url = new URL(referer)
  // A form that led to this one is not where the person wants to end.
  if (url.host !== host || url.pathname.startsWith('/write')) return '/'
  url.searchParams.delete('written')
  return localPath(`${url.pathname}${url.search}`)
}
