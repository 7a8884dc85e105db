import { meterRows } from '../../projections/meter-hours.ts'
import { passages } from '../../projections/passages.ts'
import { runs } from '../../projections/runs.ts'
import { fold } from '../../projections/timeline.ts'
import type { Stand } from '../layout.tsx'
import type { View } from '../page.ts'
import { clockText, momentText, offsetText, shipDay, shortDayText } from './dates.ts'
import { Figure } from './figure.tsx'

/** The form line of Today and Due: the time aboard, what each meter has counted, where she lies or what she is on. */
export function shipStand(view: View): Stand[] {
  const { timeline, now } = view
  const zone = timeline.zoneAt(now)
  const rows: Stand[] = [
    { label: 'Time', value: <span class="n">{momentText(now, zone)}</span>, small: offsetText(now, zone) },
  ]
  for (const row of meterRows(timeline).filter(({ meter }) => meter.counts !== 'cycles'))
    rows.push({ label: row.meter.name, value: row.total ? <Figure of={row.total} view={view} /> : 'not read yet' })

  const running = [...fold(runs, timeline).open.values()].map((run) => run.started)
  for (const started of running)
    rows.push({ label: 'Running', value: `since ${clockText(started.at, timeline.zoneAt(started.at))}` })

  const { passages: all, under } = fold(passages, timeline)
  const last = all[all.length - 1]
  if (under?.begun)
    rows.push({
      label: 'Under way',
      value: `from ${under.begun.data.from}${under.begun.data.to ? ` to ${under.begun.data.to}` : ''}`,
    })
  else if (last?.ended)
    rows.push({ label: 'Lying', value: `${last.ended.data.at}, since ${sinceText(last.ended.at, view)}` })
  return rows
}

/** "16.31" today, "12 Jun" this year, else with the year. */
function sinceText(at: number, view: View): string {
  const zone = view.timeline.zoneAt(at)
  const today = shipDay(view.now, view.timeline.zoneAt(view.now))
  const day = shipDay(at, zone)
  return day === today ? clockText(at, zone) : shortDayText(day, today)
}
