import { NotABook } from '../events/log.ts'
import { diskFault } from './disk-fault.ts'
import { complain } from './print.ts'
import { Misuse, type Verb } from './verb.ts'
import { ahead } from './verbs/ahead.ts'
import { demo } from './verbs/demo.ts'
import { due } from './verbs/due.ts'
import { equipment } from './verbs/equipment.ts'
import { forecasts } from './verbs/forecasts.ts'
import { hours } from './verbs/hours.ts'
import { read } from './verbs/read.ts'
import { sample } from './verbs/sample.ts'
import { schema } from './verbs/schema.ts'
import { serve } from './verbs/serve.ts'
import { signs } from './verbs/signs.ts'
import { verify } from './verbs/verify.ts'
import { write } from './verbs/write.ts'

/** Every verb there is, in the order in which the help lists them. */
export const verbs: readonly Verb[] = [
  serve,
  demo,
  sample,
  write,
  read,
  due,
  ahead,
  forecasts,
  signs,
  equipment,
  hours,
  schema,
  verify,
]

const width = Math.max(...verbs.map(({ name }) => name.length))

const overview = `Fettlebook keeps the log of a yacht's engine and systems.

fettlebook VERB [options]
${verbs.map(({ name, about }) => `  ${name.padEnd(width)}  ${about}\n`).join('')}
fettlebook VERB --help says how a verb is used. Exit codes: 0 good, 1 refused or wrong, 2 misuse.
`

/**
 * Runs a command line.
 * @param args what stands after the program's name
 * @returns the exit code: 0 good, 1 refused or wrong, 2 misuse
 */
export async function commandLine(args: readonly string[]): Promise<number> {
  const [name, ...rest] = args
  if (name === '--help' || name === 'help') {
    process.stdout.write(overview)
    return 0
  }
  const verb = verbs.find((one) => one.name === name)
  if (!verb) {
    complain(
      `Got ${name === undefined ? 'no verb' : `"${name}"`}, expected one of ${verbs.map((one) => one.name).join(', ')}. See fettlebook --help.`,
    )
    return 2
  }
  try {
    return await verb.run(rest)
  } catch (error) {
    if (error instanceof Misuse) {
      complain(error.message)
      return 2
    }
    if (error instanceof NotABook) {
      complain(error.message)
      return 1
    }
    const fault = diskFault(error)
    if (fault === undefined) throw error
    complain(fault)
    return 1
  }
}
