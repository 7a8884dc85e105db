import { z } from 'zod'
import { bookSet } from './book-set.ts'
import { checkMade } from './check-made.ts'
import { defectCleared } from './defect-cleared.ts'
import { defectFound } from './defect-found.ts'
import { type Envelope, envelope, explain, got, type Kind, metaOf, type Received, type Refusal } from './define.ts'
import { engineStarted } from './engine-started.ts'
import { engineStopped } from './engine-stopped.ts'
import { entryStruck } from './entry-struck.ts'
import { equipmentFitted } from './equipment-fitted.ts'
import { equipmentRemoved } from './equipment-removed.ts'
import { hoursRead } from './hours-read.ts'
import { leftAs } from './left-as.ts'
import { meterFitted } from './meter-fitted.ts'
import { meterReplaced } from './meter-replaced.ts'
import { noteWritten } from './note-written.ts'
import { passageBegun } from './passage-begun.ts'
import { passageEnded } from './passage-ended.ts'
import { readingsTaken } from './readings-taken.ts'
import { repairMade } from './repair-made.ts'
import { restored } from './restored.ts'
import { roundsMade } from './rounds-made.ts'
import { serviceDone } from './service-done.ts'
import { takenAboard } from './taken-aboard.ts'
import { upkeepRetired } from './upkeep-retired.ts'
import { upkeepSet } from './upkeep-set.ts'

/** Every kind of entry there is, in the order in which they are offered. */
export const kinds = [
  passageBegun,
  passageEnded,
  engineStarted,
  engineStopped,
  hoursRead,
  readingsTaken,
  roundsMade,
  checkMade,
  takenAboard,
  serviceDone,
  defectFound,
  repairMade,
  defectCleared,
  leftAs,
  restored,
  noteWritten,
  equipmentFitted,
  equipmentRemoved,
  meterFitted,
  meterReplaced,
  upkeepSet,
  upkeepRetired,
  bookSet,
  entryStruck,
] as const

type KindOf = (typeof kinds)[number]

/** The name of a kind of entry. */
export type EntryType = KindOf['type']

/** What an entry of kind T holds, by kind. */
export type Data<T extends EntryType> = z.infer<Extract<KindOf, { type: T }>['schema']>

/** An entry as its author wrote it, checked and upgraded to the present version of its kind. */
export type AuthoredOf<T extends EntryType> = { [K in T]: Envelope & { type: K; data: Data<K> } }[T]

/** An entry of the book: the author's part and what the book added. */
export type EntryOf<T extends EntryType> = {
  [K in T]: Envelope & Received & { type: K; data: Data<K>; withheld?: string[] }
}[T]

/** Any entry of the book. */
export type Entry = EntryOf<EntryType>

/** Any entry as its author wrote it. */
export type Authored = AuthoredOf<EntryType>

const byType = new Map<string, Kind>(kinds.map((kind) => [kind.type, kind]))

/** The kind of that name, or undefined. */
export const kindOf = (type: string): Kind | undefined => byType.get(type)

/** Whether a text names a kind of entry. */
export const isEntryType = (type: string): type is EntryType => byType.has(type)

/** What `decode` gives: the entry, or why it cannot be read, a refusal for each field. */
export type Decoded = { ok: true; entry: Authored } | { ok: false; problem: string; refusals: Refusal[] }

const refuse = (refusals: Refusal[]): Decoded => ({
  ok: false,
  problem: refusals.map((refusal) => refusal.problem).join(' '),
  refusals,
})

/**
 * Checks the author's part of an entry and upgrades its data to the present version of its kind.
 * @param input any value; of an entry, the envelope fields and `data`
 * @param withheld names of data fields that were left out of this copy on purpose: they may be missing
 */
export function decode(input: Record<string, unknown>, withheld: readonly string[] = []): Decoded {
  const { data, ...rest } = input
  const head = envelope.safeParse(rest)
  if (!head.success) return refuse(explain(head.error, envelope, rest))
  const { type, version } = head.data
  const kind = byType.get(type)
  if (!kind)
    return refuse([
      {
        field: 'type',
        problem: `Got the unknown kind ${got(type)}, expected one of ${[...byType.keys()].join(', ')}. A newer Fettlebook may know it.`,
      },
    ])
  if (version > kind.version)
    return refuse([
      {
        field: 'version',
        problem: `Got version ${version} of "${type}", expected at most ${kind.version}. A newer Fettlebook wrote it; read it with that one.`,
      },
    ])
  if (typeof data !== 'object' || data === null || Array.isArray(data))
    return refuse([
      {
        field: 'data',
        problem: `Data: got ${got(data)}, expected an object with the fields of "${type}".`,
      },
    ])
  let upgraded = data as Record<string, unknown>
  for (let from = version; from < kind.version; from++) {
    const upgrade = kind.upgrades[from]
    if (!upgrade) throw new Error(`${type} has no upgrade from version ${from}`)
    upgraded = upgrade(upgraded)
  }
  const schema = withheld.length === 0 ? kind.schema : without(kind.schema, withheld)
  const body = schema.safeParse(upgraded)
  if (!body.success) return refuse(explain(body.error, kind.schema, upgraded))
  if (type === 'entry-struck' && head.data.replaces === null)
    return refuse([
      { field: 'replaces', problem: 'Replaces: got nothing, expected the id of the entry that is struck.' },
    ])
  const broken = [
    ...Object.entries(head.data).map(([name, value]) => [name, value, envelope.shape] as const),
    ...Object.entries(body.data).map(([name, value]) => [name, value, kind.schema.shape] as const),
  ].filter(([, value]) => typeof value === 'string' && loneSurrogate.test(value))
  if (broken.length > 0)
    return refuse(
      broken.map(([field, , shape]) => ({
        field,
        problem: `${metaOf((shape as Record<string, z.ZodType>)[field]!, field).title}: got half of a character, expected text in Unicode. Type it again.`,
      })),
    )
  return { ok: true, entry: { ...head.data, data: body.data } as Authored }
}

/** Half of a UTF-16 pair: it has no canonical JSON (RFC 8785, section 3.2.2.2) and no UTF-8. */
const loneSurrogate = /\p{Surrogate}/u

function without(schema: z.ZodObject, names: readonly string[]): z.ZodObject {
  const mask = Object.fromEntries(names.filter((name) => name in schema.shape).map((name) => [name, true as const]))
  return schema.partial(mask as Record<string, true>)
}

/** The exchange format as JSON Schema (draft 2020-12): one entry a line, one branch for each kind. */
export function exchangeSchema(): Record<string, unknown> {
  const author = z.toJSONSchema(envelope, { io: 'input' }) as { properties: Record<string, unknown> }
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'Fettlebook exchange format: JSON Lines, one entry a line',
    description:
      'Required: type, occurredAt, hand, data. What is left out of id, origin, version, recordedAt, source, salt, replaces is filled in by the book. ' +
      'position, receivedAt and link are what another book added; they are read past.',
    oneOf: kinds.map((kind) => {
      const { $schema: _, ...data } = z.toJSONSchema(kind.schema, { io: 'input' })
      return {
        title: kind.label,
        description: kind.about,
        type: 'object',
        properties: {
          ...author.properties,
          type: { const: kind.type },
          version: { type: 'integer', minimum: 1, maximum: kind.version },
          data,
          position: { type: 'integer' },
          receivedAt: { type: 'string' },
          link: { type: 'string' },
          salts: { type: 'object', additionalProperties: { type: 'string' } },
          withheld: { type: 'object', additionalProperties: { type: 'string' } },
        },
        required: [
          'type',
          'occurredAt',
          'hand',
          'data',
          ...(kind.type === ('entry-struck' as string) ? ['replaces'] : []),
        ],
        additionalProperties: false,
        examples: kind.examples.map(({ version, data: example }) => ({
          type: kind.type,
          version,
          occurredAt: '2026-06-14T16:31:00+02:00',
          hand: 'K.S.',
          ...(kind.type === ('entry-struck' as string) ? { replaces: '0190c5a0-0000-7000-8000-000000000001' } : {}),
          data: example,
        })),
      }
    }),
  }
}
