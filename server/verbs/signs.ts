import { nameOf, register } from '../../projections/register.ts'
import { signs as signsOf } from '../../projections/signs/signs.ts'
import { fold } from '../../projections/timeline.ts'
import { formatFigure } from '../../web/components/figure.tsx'
import { withBook } from '../own-book.ts'
import { printJson, printLine } from '../print.ts'
import { defineVerb, pastOf, viewOptions } from '../verb.ts'

/** Prints what is drifting, and which readings would decide most. */
export const signs = defineVerb({
  name: 'signs',
  about: 'Prints what is drifting, with its evidence and what to look at next, and the readings worth most now',
  options: viewOptions,
  run: (values) =>
    withBook(values.book, async (book) => {
      const { past, from, now } = pastOf(values, book)
      const found = signsOf(book.read().entries, from, now, past)
      if (values.json) {
        await printJson(found)
        return 0
      }
      const aboard = fold(register, from)
      const name = (handle: string) => nameOf(aboard, 'equipment', handle)
      const at = (hours: number | null) => (hours === null ? '' : ` at ${formatFigure(hours, 'h', 1)}`)
      for (const { kind, equipment, state, strength, onset, raised, cleared, says, next, evidence } of found.signs) {
        await printLine(`${name(equipment)}: ${kind}, ${state === 'past' ? 'past' : strength}`)
        await printLine(`  ${says}`)
        await printLine(
          `  since ${onset.occurredAt}${at(onset.engineHours)}, raised ${raised.occurredAt}${at(raised.engineHours)}${
            cleared === null ? '' : `, gone ${cleared.occurredAt}${at(cleared.engineHours)}`
          }; ${evidence.length} entries`,
        )
        if (state === 'standing') for (const [index, step] of next.entries()) await printLine(`  ${index + 1}. ${step}`)
      }
      if (found.signs.length === 0) await printLine('No signs.')
      for (const { what, equipment, why, when } of found.asks)
        await printLine(`Asked: ${what} of ${name(equipment)}. ${why} ${when}`)
      return 0
    }),
})
