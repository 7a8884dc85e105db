import type { KeptBy } from '../../projections/forecasts-kept.ts'
import { formatNumber } from '../../web/components/figure.tsx'
import { replayForecasts, usualMonths } from '../../web/forecast-replay.ts'
import { withBook } from '../own-book.ts'
import { printJson, printLine, printTable } from '../print.ts'
import { defineVerb, Misuse, pastOf, viewOptions } from '../verb.ts'

/** Prints how good the forecasts of Due have been. */
export const forecasts = defineVerb({
  name: 'forecasts',
  about: 'Prints how good the forecasts were: as known at the start of each month, against what then happened',
  options: {
    ...viewOptions,
    months: { type: 'string', value: 'N', help: `How many months back; default: ${usualMonths}` },
  },
  run: (values) =>
    withBook(values.book, async (book) => {
      const most = values.months === undefined ? usualMonths : Number(values.months)
      if (!(Number.isInteger(most) && most >= 1 && most <= 600))
        throw new Misuse(`Got --months ${values.months}, expected a whole number from 1 to 600, such as 24.`)
      const { from, now } = pastOf(values, book)
      const kept = await replayForecasts(book, from, now, most).kept
      if (values.json) {
        await printJson(kept)
        return 0
      }
      const { overall, byHorizon, made, open, widen, level } = kept
      await printTable(
        ['Ahead', 'Judged', 'Limits', 'Held', 'Days off, middle'],
        [...byHorizon, ...(overall ? [overall] : [])].map((row) => [
          row.horizon,
          row.n,
          row.falls,
          heldText(row),
          formatNumber(row.medianOff, 0),
        ]),
        `Not enough yet: ${made} forecasts made, and the range of none has passed.`,
      )
      await printLine(
        `\n${made} forecasts at the starts of ${kept.months.length} months, ${open} of them still open; their ranges promise ${formatNumber(level * 100)} %.`,
      )
      await printLine(
        widen.kind === 'not-enough'
          ? `Not enough yet to mend the ranges: ${widen.n} of ${widen.needed} limits that fell due.`
          : `Ranges ${formatNumber(widen.value, 2)} times as wide (${formatNumber(widen.low, 2)} to ${formatNumber(widen.high, 2)}) would have held what they promise.`,
      )
      return 0
    }),
})

const heldText = ({ within, n }: KeptBy): string => `${within} of ${n}, ${formatNumber((100 * within) / n, 0)} %`
