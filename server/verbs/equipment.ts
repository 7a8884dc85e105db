import type { Quantity } from '../../events/define.ts'
import { countedBetween } from '../../projections/counts.ts'
import { type LifeOfPart, lifeLevel, livesOf, type RepairRecord, repairsOf } from '../../projections/life.ts'
import { select } from '../../projections/log-selection.ts'
import { curveOf } from '../../projections/meter-hours.ts'
import { type Equipment, equipmentTree, meterOf, register } from '../../projections/register.ts'
import { services, settingsOf } from '../../projections/services.ts'
import { settings } from '../../projections/settings.ts'
import { fold, type Timeline } from '../../projections/timeline.ts'
import { momentIso, shipDay } from '../../web/components/dates.ts'
import { formatFigure, quantityText } from '../../web/components/figure.tsx'
import { withBook } from '../own-book.ts'
import { complain, printJson, printLine, printTable } from '../print.ts'
import { defineVerb, pastOf, viewOptions } from '../verb.ts'
import { printFair } from './read.ts'

/** Prints what is aboard, or one piece of equipment with its settings and its history. */
export const equipment = defineVerb({
  name: 'equipment',
  about: 'Prints what is aboard, or one piece of equipment with its settings as left and its history',
  operand: '[NAME]',
  options: viewOptions,
  run: (values, handle) =>
    withBook(values.book, async (book) => {
      const { from, now } = pastOf(values, book)
      const tree = equipmentTree(fold(register, from))
      const rows = handle === undefined ? tree : tree.filter(({ equipment: one }) => one.handle === handle)
      if (handle !== undefined && rows.length === 0) {
        const known = tree.map(({ equipment: one }) => one.handle).sort()
        complain(`Got "${handle}", which this book does not know; it knows ${known.join(', ') || 'none yet'}.`)
        return 1
      }
      if (values.json) await printJson(rows.map((row) => equipmentJson(from, row.equipment, now)))
      else if (handle === undefined)
        await printTable(
          ['Equipment', 'Short name', 'Kind', 'Where', 'Fitted', 'Hours since', ''],
          rows.map(({ equipment: one, depth }) => {
            return [
              `${'  '.repeat(depth)}${one.name}`,
              one.handle,
              one.kind,
              one.data.place ?? '',
              fittedOn(from, one),
              ranText(from, one, now),
              one.removed ? 'removed' : '',
            ]
          }),
          'No equipment yet: write some with equipment-fitted.',
        )
      else await printOne(from, rows[0]!.equipment, now)
      return 0
    }),
})

const lifeOf = (one: Equipment) => one.lives[one.lives.length - 1]!

const fittedOn = (from: Timeline, one: Equipment): string => {
  const { at } = lifeOf(one).fitted
  return shipDay(at, from.zoneAt(at))
}

/**
 * Hours that it ran since it was fitted, or until it was removed, and the moment from which they are counted: later than the fitting where
 * the log of its meter begins later. Null where no meter counts them.
 */
function ranSince(from: Timeline, one: Equipment, now: number): { hours: number; countedFrom: number } | null {
  const { fitted, removed } = lifeOf(one)
  const { hours } = countedBetween(from, one.handle, { at: fitted.at, root: fitted.root }, removed?.at ?? now)
  const meter = meterOf(fold(register, from), one.handle)
  const first = meter && curveOf(from, meter.handle).points[0]
  return hours === null || !first ? null : { hours, countedFrom: Math.max(fitted.at, first.at) }
}

/** "707.7 h", or "at least 707.7 h" where the first of its hours went uncounted; empty where no meter counts them. */
function ranText(from: Timeline, one: Equipment, now: number): string {
  const ran = ranSince(from, one, now)
  if (ran === null) return ''
  return `${ran.countedFrom > lifeOf(one).fitted.at ? 'at least ' : ''}${formatFigure(ran.hours, 'h', 1)}`
}

function equipmentJson(from: Timeline, one: Equipment, now: number) {
  const { fitted, removed } = lifeOf(one)
  const ran = ranSince(from, one, now)
  return {
    equipment: one.handle,
    name: one.name,
    kind: one.kind,
    partOf: one.data.partOf ?? null,
    place: one.data.place ?? null,
    removed: one.removed,
    fitted: { occurredAt: fitted.occurredAt, entry: fitted.root },
    removal: removed && { occurredAt: removed.occurredAt, entry: removed.root },
    renewals: one.lives.length - 1,
    hoursSinceFitted: ran && Math.round(ran.hours * 1e6) / 1e6,
    hoursCountedFrom: ran && momentIso(ran.countedFrom, from.zoneAt(ran.countedFrom)),
    data: one.data,
    settings: settingsOf(fold(services, from), one.handle).map(({ name, found, left, entry }) => ({
      name,
      found: found?.text ?? null,
      left: left?.text ?? null,
      entry: entry.root,
    })),
    life: livesOf(from, one.handle, now).map(lifeJson),
    repairs: repairsJson(repairsOf(from, one.handle, now)),
    history: select(from, { equipment: one.handle }).map(({ root }) => root),
  }
}

/** Ages in `unit`: engine hours, or months. What came out good or worn lasted at least so long; nothing here lengthens an interval. */
const lifeJson = ({ part, unit, lives, failures, curve, median, weibull, set }: LifeOfPart) => ({
  part,
  unit,
  lives: lives.map(({ begun, ended, condition, age, failed, ageUnknown }) => ({
    from: begun.root,
    to: ended?.root ?? null,
    age: Math.round(age * 1e6) / 1e6,
    condition,
    failed,
    ageUnknown,
  })),
  failures,
  level: lifeLevel,
  survival:
    curve.kind === 'not-enough'
      ? curve
      : {
          kind: curve.kind,
          n: curve.n,
          failures: curve.events,
          points: curve.points.map(({ time, atRisk, survival, low, high }) => ({
            age: time,
            atRisk,
            survival,
            low,
            high,
          })),
        },
  median,
  weibull,
  set,
})

const repairsJson = (record: RepairRecord | null) =>
  record && {
    unit: record.unit,
    watched: Math.round(record.watched * 1e6) / 1e6,
    repairs: record.repairs.map(({ age, entry }) => ({ age: Math.round(age * 1e6) / 1e6, entry: entry.root })),
    trend: record.trend,
    mean: record.mean,
  }

async function printOne(from: Timeline, one: Equipment, now: number): Promise<void> {
  const set = fold(settings, from)
  const say = (text: string | Quantity | undefined): string =>
    text === undefined ? 'not written' : typeof text === 'string' ? text : quantityText(text, set).text
  const ran = ranText(from, one, now)
  await printLine(`${one.name} (${one.handle}), ${one.kind}${one.data.place ? `, ${one.data.place}` : ''}`)
  await printLine(
    `fitted ${fittedOn(from, one)}${one.removed ? ', removed since' : ''}${ran === '' ? '' : `, ${ran} since`}`,
  )
  for (const { name, found, left, entry } of settingsOf(fold(services, from), one.handle))
    await printLine(
      `${name}: found ${say(found?.text)}, left ${say(left?.text)}, ${shipDay(entry.at, from.zoneAt(entry.at))}`,
    )
  await printLine('')
  await printFair(from, select(from, { equipment: one.handle }))
}
