import { type DueRow, dueRows, type Limit, limitUnit } from '../../projections/due.ts'
import type { Forecast } from '../../projections/forecast.ts'
import { formatFigure } from '../../web/components/figure.tsx'
import { withBook } from '../own-book.ts'
import { counted, printJson, printTable } from '../print.ts'
import { defineVerb, pastOf, viewOptions } from '../verb.ts'

/** Prints every upkeep task that holds, overdue first. */
export const due = defineVerb({
  name: 'due',
  about: 'Prints what is due: overdue first, then by the share used',
  options: viewOptions,
  run: (values) =>
    withBook(values.book, async (book) => {
      const { from, now } = pastOf(values, book)
      const rows = dueRows(from, now)
      if (values.json) await printJson(rows.map(dueJson))
      else
        await printTable(
          ['State', 'Task', 'Equipment', 'Used', 'Hours left', 'Days left', 'Falls due'],
          rows.map((row) => [
            row.state,
            row.task.data.name,
            row.task.data.equipment,
            row.governing ? `${Math.round(row.governing.share * 100)} % of ${everyText(row.governing)}` : 'not counted',
            row.hoursLeft === null ? '' : formatFigure(row.hoursLeft, 'h', 1),
            row.daysLeft === null ? '' : row.daysLeft,
            forecastText(row.forecast),
          ]),
          'No upkeep tasks yet: write one with upkeep-set.',
        )
      return 0
    }),
})

/** A row of `due --json`; `left` and `usedShare` are null where nothing counts them, `last` where no service was ever written. */
export const dueJson = (row: DueRow) => {
  const { name, equipment, everyHours, everyMonths, everyMiles, everyStarts } = row.task.data
  return {
    task: row.task.handle,
    equipment,
    name,
    every: { hours: everyHours, months: everyMonths, miles: everyMiles, starts: everyStarts },
    last: row.last && { occurredAt: row.last.occurredAt, entry: row.last.root },
    usedShare: rounded(row.usedShare),
    left: { hours: rounded(row.hoursLeft), days: row.daysLeft },
    state: row.state,
    forecast: row.forecast,
  }
}

/** Without the noise of binary fractions: no meter and no calendar knows the sixth decimal. */
const rounded = (value: number | null): number | null => (value === null ? null : Math.round(value * 1e6) / 1e6)

const everyText = ({ kind, every }: Limit): string =>
  kind === 'starts' ? counted(every, 'start', 'starts') : formatFigure(every, limitUnit[kind])

function forecastText(forecast: Forecast): string {
  if (forecast.kind === 'not-enough') return `not enough yet, ${forecast.n} of ${forecast.needed} days`
  const { likely, early, late } = forecast
  return early === null || late === null ? `about ${likely}` : `about ${likely}, ${early} to ${late}`
}
