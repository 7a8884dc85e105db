import { parseArgs } from 'node:util'
import type { AsOf, Timeline } from '../projections/timeline.ts'
import { readPast } from './past.ts'

/** An option of a verb, as `node:util` parses it, and a line of help. */
export interface Option {
  readonly type: 'string' | 'boolean'
  readonly multiple?: true
  /** What stands for the value in the help, in capitals. */
  readonly value?: string
  readonly help: string
}

type Options = Readonly<Record<string, Option>>

type ValueOf<O extends Option> = O['type'] extends 'boolean'
  ? boolean
  : O extends { multiple: true }
    ? string[]
    : string

/** The options that were given, by name; absent ones are undefined. */
export type Values<O extends Options> = { readonly [name in keyof O]?: ValueOf<O[name]> }

/** One verb of the command line. */
export interface Verb {
  readonly name: string
  /** One line: what it does. */
  readonly about: string
  /** What may stand after the verb without a dash, as the help shows it: `[FILE]`; empty for nothing. */
  readonly operand: string
  readonly options: Options
  /**
   * Runs it.
   * @param args what stands after the verb
   * @returns the exit code: 0 good, 1 refused or wrong
   * @throws Misuse
   */
  run(args: readonly string[]): Promise<number>
}

/** A command line that cannot be understood; the message is a sentence, and the exit code 2. */
export class Misuse extends Error {}

const common = {
  help: { type: 'boolean', help: 'Says how this verb is used' },
} as const satisfies Options

/** Every verb that opens a book takes it. */
export const bookOption = {
  book: { type: 'string', value: 'FILE', help: "The book; default: the one in the user's data folder" },
} as const satisfies Options

/** What every view takes. */
export const viewOptions = {
  ...bookOption,
  json: { type: 'boolean', help: 'Prints JSON for other programs' },
  'as-of': { type: 'string', value: 'TIME', help: 'As it was: only what had happened by then (RFC 3339, or a day)' },
  'as-known': { type: 'string', value: 'TIME', help: 'As we knew it: only what had been written down by then' },
} as const satisfies Options

/** What serving verbs take. */
export const serveOptions = {
  port: { type: 'string', value: 'N', help: 'The port; 0: any that is free' },
  host: { type: 'string', value: 'HOST', help: 'localhost, 127.0.0.1 or ::1; nothing that other machines can reach' },
} as const satisfies Options

/** Makes a verb: parses what it was given, and answers `--help`. */
export function defineVerb<const O extends Options>(verb: {
  name: string
  about: string
  operand?: '[FILE]' | '[NAME]'
  options: O
  run(values: Values<O>, operand: string | undefined): Promise<number>
}): Verb {
  const options: Options = { ...verb.options, ...common }
  const made: Verb = {
    name: verb.name,
    about: verb.about,
    operand: verb.operand ?? '',
    options,
    async run(args) {
      let parsed: { values: Record<string, unknown>; positionals: string[] }
      try {
        parsed = parseArgs({ args: [...args], options, allowPositionals: true })
      } catch (error) {
        throw new Misuse(`${misuse((error as Error).message)} Expected: ${usageOf(made)}`)
      }
      if (parsed.values.help) {
        process.stdout.write(helpOf(made))
        return 0
      }
      const most = made.operand === '' ? 0 : 1
      if (parsed.positionals.length > most)
        throw new Misuse(
          `Got ${parsed.positionals
            .slice(most)
            .map((word) => `"${word}"`)
            .join(', ')} too much. Expected: ${usageOf(made)}`,
        )
      return verb.run(parsed.values as Values<O>, parsed.positionals[0])
    },
  }
  return made
}

function misuse(message: string): string {
  const unknown = /^Unknown option '([^']+)'/.exec(message)
  return unknown ? `Got the unknown option ${unknown[1]}.` : `${message.replace(/\.$/, '')}.`
}

/** How a verb is used, in one line. */
export function usageOf(verb: Verb): string {
  const words = Object.entries(verb.options).map(([name, { value }]) => `[--${name}${value ? ` ${value}` : ''}]`)
  return ['fettlebook', verb.name, verb.operand, ...words].filter((word) => word !== '').join(' ')
}

function helpOf(verb: Verb): string {
  const rows = Object.entries(verb.options).map(
    ([name, { value, help }]) => [`--${name}${value ? ` ${value}` : ''}`, help] as const,
  )
  const width = Math.max(...rows.map(([left]) => left.length))
  return `${verb.about}.\n\nfettlebook ${verb.name}${verb.operand ? ` ${verb.operand}` : ''} [options]\n${rows
    .map(([left, help]) => `  ${left.padEnd(width)}  ${help}\n`)
    .join('')}`
}

/**
 * The fair log at the past that `--as-of` and `--as-known` ask for, and the moment that it speaks of.
 * @throws Misuse when one of them is no moment
 */
export function pastOf(
  values: { readonly 'as-of'?: string | undefined; readonly 'as-known'?: string | undefined },
  book: { now(): number; timeline(past?: AsOf): Timeline },
): { past: AsOf; from: Timeline; now: number } {
  const asked = readPast(values['as-of'], values['as-known'], book.timeline())
  if (!asked.ok) throw new Misuse(asked.problem)
  const { past } = asked
  return { past, from: book.timeline(past), now: past.asOf ?? past.asKnown ?? book.now() }
}
