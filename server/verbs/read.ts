import { isEntryType, kindOf, kinds } from '../../events/index.ts'
import { withhold } from '../../events/log.ts'
import { type Filter, lateFrom, select } from '../../projections/log-selection.ts'
import { nameOf, register } from '../../projections/register.ts'
import { settings } from '../../projections/settings.ts'
import { type FairEntry, fold, isDay, type Timeline } from '../../projections/timeline.ts'
import { clockText, lateText, shipDay } from '../../web/components/dates.ts'
import { entryText, type Names } from '../../web/components/entry-words.ts'
import type { Book } from '../book.ts'
import { withBook } from '../own-book.ts'
import { momentAsked } from '../past.ts'
import { complain, counted, print, printLine } from '../print.ts'
import { defineVerb, Misuse, pastOf, viewOptions } from '../verb.ts'

/** Prints the log: the fair log in words, or the rough log as JSON Lines, ready for `write`. */
export const read = defineVerb({
  name: 'read',
  about: 'Prints the log in words, or with --json as JSON Lines that "write" takes in again',
  options: {
    ...viewOptions,
    kind: {
      type: 'string',
      multiple: true,
      value: 'KIND',
      help: 'Only entries of this kind; may be given several times',
    },
    equipment: { type: 'string', value: 'NAME', help: 'Only entries about this equipment, by its short name' },
    since: {
      type: 'string',
      value: 'TIME',
      help: 'Only what happened from then on (RFC 3339, or a day from its beginning)',
    },
    until: { type: 'string', value: 'TIME', help: 'Only what happened up to then (RFC 3339, or a day to its end)' },
    struck: { type: 'boolean', help: 'Only entries that were struck' },
    without: {
      type: 'string',
      value: 'FIELDS',
      help: 'With --json: leaves fields out, such as data.cost,hand; the copy still verifies',
    },
  },
  async run(values) {
    const without = values.without?.split(',').map((name) => name.trim())
    const odd = without?.find((name) => !/^(hand|data\.[A-Za-z0-9]+)$/.test(name))
    if (odd !== undefined)
      throw new Misuse(
        `Got --without "${odd}", expected "hand" or fields of data such as data.cost, separated by commas.`,
      )
    if (without && !values.json) throw new Misuse('Got --without alone, expected it with --json.')
    for (const kind of values.kind ?? [])
      if (!isEntryType(kind))
        throw new Misuse(`Got --kind ${kind}, expected one of ${kinds.map(({ type }) => type).join(', ')}.`)

    return withBook(values.book, async (book) => {
      const { from, past } = pastOf(values, book)
      const { equipment } = values
      if (equipment !== undefined && !fold(register, from).equipment.has(equipment)) {
        const known = [...fold(register, from).equipment.keys()].sort()
        complain(
          `Got --equipment ${equipment}, which this book does not know; it knows ${known.join(', ') || 'none yet'}.`,
        )
        return 1
      }
      const asked: Filter = {
        ...(equipment === undefined ? {} : { equipment }),
        ...momentFilter('since', values.since, from, 'first'),
        ...momentFilter('until', values.until, from, 'last'),
        ...(values.struck ? { only: 'struck' } : {}),
      }
      const whole =
        Object.keys(asked).length === 0 &&
        values.kind === undefined &&
        past.asOf === undefined &&
        past.asKnown === undefined
      const chosen = choose(from, asked, values.kind)
      if (values.json) await printRows(book, from, whole ? null : chosen, values.kind, without ?? [])
      else await printFair(from, chosen)
      return tellUnread(book)
    })
  },
})

function momentFilter(
  name: 'since' | 'until',
  text: string | undefined,
  from: Timeline,
  end: 'first' | 'last',
): Filter {
  if (text === undefined) return {}
  const at = momentAsked(text, from, end)
  if (at === undefined)
    throw new Misuse(
      `Got --${name} ${text}, expected a time with its offset, such as 2026-06-14T16:31:00+02:00, or a day, such as 2026-06-14.`,
    )
  return { [name]: at }
}

const strike = 'entry-struck'

/** The fair entries that are asked for; a strike is no entry of its own, but stands for what it struck. */
function choose(from: Timeline, asked: Filter, only: readonly string[] | undefined): FairEntry[] {
  if (only === undefined) return select(from, asked)
  const plain = new Set(select(from, { ...asked, kinds: only.filter((kind) => kind !== strike) }))
  const struck = new Set(only.includes(strike) ? select(from, { ...asked, only: 'struck' }) : [])
  return from.all.filter((fair) => plain.has(fair) || struck.has(fair))
}

/** Rows as they are stored, in the order in which they were taken in; of a choice, all versions and strikes of what was chosen. */
async function printRows(
  book: Book,
  from: Timeline,
  chosen: readonly FairEntry[] | null,
  only: readonly string[] | undefined,
  without: readonly string[],
): Promise<void> {
  const { entries, unreadable } = book.read()
  const roots = chosen && new Set(chosen.map(({ root }) => root))
  const ids = roots
    ? entries.filter(
        ({ id, type }) =>
          roots.has(from.rootOf(id) ?? '') && (only === undefined || only.includes(type) || type === strike),
      )
    : [...entries, ...unreadable].sort((a, b) => a.position - b.position)
  for (const { id } of ids) {
    const row = rowOf(book, id)
    if (row) await print(`${JSON.stringify(withhold(row, without))}\n`)
  }
}

function rowOf(book: Book, id: string) {
  try {
    return book.log.row(id)
  } catch {
    // Its data is no JSON any more: it is named with the other rows that cannot be read.
    return undefined
  }
}

/** Prints fair entries in words, each day under its date, with what was done to them. */
export async function printFair(from: Timeline, chosen: readonly FairEntry[]): Promise<void> {
  const set = fold(settings, from)
  const names = namesOf(from)
  let head = ''
  for (const fair of chosen) {
    const { told, struck, versions, lateBy, at } = fair
    const zone = from.zoneAt(at)
    const day = shipDay(at, zone)
    if (day !== head) await printLine(`${head === '' ? '' : '\n'}${day}`)
    head = day
    const written = (entry: { recordedAt: string }) => {
      const then = Date.parse(entry.recordedAt)
      return `${shipDay(then, from.zoneAt(then))} ${clockText(then, from.zoneAt(then))}`
    }
    const time = isDay(told.occurredAt) ? 'no time' : clockText(at, zone)
    const text = entryText(told, set, names)
    await printLine(
      `  ${time.padEnd(7)}  ${kindOf(told.type)!.label}${text === '' ? '' : `  ${text}`}  ${told.hand}${struck ? '  STRUCK' : ''}`,
    )
    const aside = (words: string) => printLine(`           ${words}`)
    const reason = (why: string | undefined) => (why === undefined ? '.' : `: ${why}`)
    for (const version of versions.slice(1))
      await aside(`Amended ${written(version)}, ${version.hand}${reason((version.data as { why?: string }).why)}`)
    if (versions.length > 1) await aside(`Was: ${entryText(versions[0]!, set, names)}`)
    if (struck) await aside(`Struck ${written(struck)}, ${struck.hand}${reason(struck.data.reason)}`)
    if (lateBy >= lateFrom) {
      const then = Date.parse(versions[0]!.recordedAt)
      await aside(`Written ${written(versions[0]!)}, ${lateText(day, shipDay(then, from.zoneAt(then)), lateBy)}.`)
    }
    if (fair.conflict.length > 0) await aside('Two amendments contradict each other; settle it on its page in the Log.')
  }
  await printLine(chosen.length === 0 ? 'No entries.' : `\n${counted(chosen.length, 'entry', 'entries')}`)
}

/** Names for people; another entry is called by its kind and its day. */
function namesOf(from: Timeline): Names {
  const book = fold(register, from)
  return (refers, handle) => {
    if (refers !== 'entry') return nameOf(book, refers, handle)
    const fair = from.find(from.rootOf(handle) ?? '')
    if (!fair) return 'an entry that is not in this book'
    return `${kindOf(fair.told.type)!.label.toLowerCase()} of ${shipDay(fair.at, from.zoneAt(fair.at))}`
  }
}

/** Rows that cannot be read are never passed over in silence: each is named, and the exit code says so. */
function tellUnread(book: Book): number {
  const { unreadable } = book.read()
  for (const { position, type, problem } of unreadable) complain(`position ${position} (${type}): ${problem}`)
  if (unreadable.length === 0) return 0
  complain(`${counted(unreadable.length, 'entry', 'entries')} could not be read.`)
  return 1
}
