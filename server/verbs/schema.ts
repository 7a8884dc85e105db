import { exchangeSchema } from '../../events/index.ts'
import { printJson } from '../print.ts'
import { defineVerb } from '../verb.ts'

/** Prints the JSON Schema of the exchange format, every kind of entry in it. */
export const schema = defineVerb({
  name: 'schema',
  about: 'Prints the JSON Schema of every kind of entry, as "write" takes them and "read --json" prints them',
  options: {},
  async run() {
    await printJson(exchangeSchema())
    return 0
  },
})
