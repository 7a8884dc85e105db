import { meterRows } from '../../projections/meter-hours.ts'
import { momentIso, momentText } from '../../web/components/dates.ts'
import { formatFigure } from '../../web/components/figure.tsx'
import { withBook } from '../own-book.ts'
import { printJson, printLine, printTable } from '../print.ts'
import { defineVerb, pastOf, viewOptions } from '../verb.ts'

/** Prints what every meter has counted. */
export const hours = defineVerb({
  name: 'hours',
  about: 'Prints what every meter has counted, through replacements, roll-over and mistyped readings',
  options: viewOptions,
  run: (values) =>
    withBook(values.book, async (book) => {
      const { from } = pastOf(values, book)
      const rows = meterRows(from)
      if (values.json) {
        const moment = (at: number) => momentIso(at, from.zoneAt(at))
        await printJson(
          rows.map(({ meter, total, last, doubted }) => ({
            meter: meter.handle,
            name: meter.name,
            equipment: meter.equipment,
            counts: meter.counts,
            kind: meter.kind ?? null,
            total: total && { value: total.value, unit: total.unit },
            last: last && { reading: last.reading, at: moment(last.at), entry: last.root },
            doubted: doubted.map(({ root, at, reading, problem }) => ({
              reading,
              at: moment(at),
              entry: root,
              problem,
            })),
          })),
        )
        return 0
      }
      await printTable(
        ['Meter', 'Equipment', 'In all', 'Last read', 'On', 'Doubted'],
        rows.map(({ meter, total, last, doubted }) => [
          meter.name,
          meter.equipment,
          total ? formatFigure(total.value, total.unit, total.decimals) : 'not read yet',
          last ? String(last.reading) : '',
          last ? momentText(last.at, from.zoneAt(last.at)) : '',
          doubted.length || '',
        ]),
        'No meters yet: write one with meter-fitted.',
      )
      for (const { meter, doubted } of rows)
        for (const { at, problem } of doubted)
          await printLine(`${meter.name}, ${momentText(at, from.zoneAt(at))}: ${problem}`)
      return 0
    }),
})
