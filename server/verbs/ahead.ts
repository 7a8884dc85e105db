import { type Ahead, ahead as aheadOf, type BeforeLeaving, type Store, type UnderWay } from '../../projections/ahead.ts'
import { limitUnit } from '../../projections/due.ts'
import type { Estimate } from '../../projections/figure.ts'
import { type LearntRate, rateLevel } from '../../projections/learnt-rate.ts'
import { chanceText } from '../../web/components/chance.ts'
import { shipDay } from '../../web/components/dates.ts'
import { formatFigure, formatNumber } from '../../web/components/figure.tsx'
import { readPlan } from '../../web/form/plan.ts'
import { withBook } from '../own-book.ts'
import { printJson, printLine } from '../print.ts'
import { defineVerb, Misuse, pastOf, viewOptions } from '../verb.ts'

/** Prints what the log says of a passage that is planned. */
export const ahead = defineVerb({
  name: 'ahead',
  about: 'Prints what a planned passage would bring: what falls due, fuel, water and oil, what to do before leaving',
  options: {
    ...viewOptions,
    hours: { type: 'string', value: 'H', help: 'Engine hours planned; must be said' },
    days: { type: 'string', value: 'N', help: 'Days from leaving to arriving; must be said' },
    miles: { type: 'string', value: 'M', help: 'Nautical miles planned' },
    speed: { type: 'string', value: 'RPM', help: 'Engine speed planned; default: as she is usually run' },
    reserve: { type: 'string', value: 'PERCENT', help: 'Kept back of what the tanks hold; default: a third' },
    leaving: { type: 'string', value: 'DAY', help: 'The day of leaving; default: today' },
  },
  run: (values) =>
    withBook(values.book, async (book) => {
      const { from, now } = pastOf(values, book)
      const read = readPlan(values, shipDay(now, from.zoneAt(now)))
      if (!read.ok) throw new Misuse(read.refusals.map((one) => one.problem).join(' '))
      const answer = aheadOf(from, now, read.plan)
      if (values.json) await printJson(aheadJson(answer))
      else await printAhead(answer)
      return 0
    }),
})

const rounded = (value: number | null): number | null => (value === null ? null : Math.round(value * 1e6) / 1e6)

const estimateJson = (of: Estimate) =>
  of.kind === 'not-enough'
    ? of
    : {
        kind: of.kind,
        value: rounded(of.value),
        low: rounded(of.low),
        high: rounded(of.high),
        level: rateLevel,
        n: of.n,
      }

const rateJson = (rate: LearntRate) =>
  rate.kind === 'not-enough'
    ? rate
    : { kind: rate.kind, value: rounded(rate.value), n: rate.n, entries: [...rate.entries] }

const underWayJson = ({ row, chance, thoughDone, limit, on }: UnderWay) => ({
  task: row.task.handle,
  name: row.task.data.name,
  chance: rounded(chance),
  chanceThoughDone: rounded(thoughDone),
  governs: limit.kind,
  left: rounded(limit.left),
  on,
})

function beforeJson(one: BeforeLeaving) {
  switch (one.why) {
    case 'overdue':
      return { why: one.why, task: one.row.task.handle, name: one.row.task.data.name }
    case 'under way':
      return { why: one.why, task: one.item.row.task.handle, name: one.item.row.task.data.name }
    default:
      return { why: one.why, equipment: one.entry.data.equipment, name: one.name, entry: one.entry.root }
  }
}

const storeJson = (store: Store | null) =>
  store && {
    tanks: store.tanks.map(({ equipment, capacity, last }) => ({
      equipment: equipment.handle,
      capacity: rounded(capacity),
      last: last && {
        litres: rounded(last.litres),
        full: last.full,
        daysAgo: last.days,
        filledSince: rounded(last.filled),
        entry: last.root,
      },
    })),
    rate: rateJson(store.rate),
    learntFrom: store.by,
    planned: estimateJson(store.planned),
    since: rounded(store.since),
    aboard: estimateJson(store.aboard),
    needed: estimateJson(store.needed),
    onArrival: estimateJson(store.onArrival),
    reserve: rounded(store.reserve),
    untilReserve: store.lasts && { likely: rounded(store.lasts.likely), least: rounded(store.lasts.least) },
    miles: rounded(store.miles),
  }

/** What `ahead --json` prints. Litres, hours (days for water), nautical miles; chances 0 to 1. */
export const aheadJson = (answer: Ahead) => ({
  plan: answer.plan,
  leaving: answer.leaving,
  arriving: answer.arriving,
  spread: { share: rounded(answer.spread.share), n: answer.spread.n, learnt: answer.spread.n > 0 },
  speed: answer.speed,
  before: answer.before.map(beforeJson),
  underWay: answer.underWay.map(underWayJson),
  fuel: storeJson(answer.fuel),
  water: storeJson(answer.water),
  oil: answer.oil && {
    rate: rateJson(answer.oil.rate),
    needed: estimateJson(answer.oil.needed),
    dipstick: answer.oil.dipstick,
  },
  relied: answer.relied.map(({ entry, name, carried, byArrival }) => ({
    entry: entry.root,
    type: entry.type,
    equipment: entry.data.equipment,
    name,
    carried: { hours: rounded(carried.hours), miles: rounded(carried.miles), days: carried.days },
    byArrival: { hours: rounded(byArrival.hours), miles: rounded(byArrival.miles), days: byArrival.days },
  })),
  parts: answer.parts.map(({ parts, by, root }) => ({ parts, by, entry: root })),
})

const about = (of: Estimate, unit: string, decimals = 0): string =>
  of.kind === 'not-enough'
    ? `not enough yet, ${of.n} of ${of.needed}`
    : `about ${formatFigure(of.value, unit, decimals)} (${formatNumber(of.low, decimals)} to ${formatNumber(of.high, decimals)})`

async function printAhead(answer: Ahead): Promise<void> {
  const { plan, spread, before, underWay, relied, parts, fuel, water, oil } = answer
  const list = async (title: string, lines: readonly string[], none: string) => {
    await printLine(`\n${title}`)
    for (const line of lines.length === 0 ? [none] : lines) await printLine(`  ${line}`)
  }
  await printLine(
    `${formatNumber(plan.hours)} engine hours, ${formatNumber(plan.days)} days${plan.miles === null ? '' : `, ${formatNumber(plan.miles)} miles`}, leaving ${answer.leaving}, arriving ${answer.arriving}`,
  )
  await list('Do before leaving', before.map(doingText), 'nothing that the log knows of')
  const earlier = before.flatMap((one) => (one.why === 'under way' ? [one.item] : []))
  await list(
    'Falls due under way',
    underWay.filter((item) => !earlier.includes(item)).map((item) => `${item.row.task.data.name}: ${whenText(item)}`),
    earlier.length === 0 ? 'nothing that is counted' : 'nothing else',
  )
  await list(
    'Fuel, water, oil',
    [
      ...storeLines('Fuel', 'an hour', 'h', fuel),
      ...storeLines('Water', 'a day', 'd', water),
      ...(oil ? [`Engine oil: ${about(oil.needed, 'L', 1)} for the passage`] : []),
    ],
    'nothing is known of any',
  )
  await list(
    'Would be relied on',
    relied.map(
      ({ name, entry, carried, byArrival }) =>
        `${name} (${entry.type === 'repair-made' ? 'temporary repair' : 'defect'}): carried ${formatFigure(carried.days, 'd')}${carried.hours === null ? '' : `, ${formatFigure(carried.hours, 'h', 0)}, ${formatFigure(byArrival.hours ?? carried.hours, 'h', 0)} by arrival`}`,
    ),
    'no temporary repair and no open defect',
  )
  await list(
    'Have aboard (the log does not know what is)',
    parts.map((one) => `${one.parts}, for: ${one.by}`),
    'no part is named by what is due',
  )
  await printLine(
    `\nChances allow for the hours coming out ${formatNumber(spread.share * 100, 0)} % more or less, ${spread.n === 0 ? 'assumed while the log has too few passages' : `learnt from ${spread.n} passages`}. Whether she is fit to go is yours to judge.`,
  )
}

function doingText(one: BeforeLeaving): string {
  switch (one.why) {
    case 'left':
      return `Restore ${one.name}: left ${one.entry.data.state}`
    case 'overdue':
      return `${one.row.task.data.name}: overdue`
    case 'under way':
      return `${one.item.row.task.data.name}: falls due, ${whenText(one.item)}`
    case 'repair':
      return `${one.name}: temporary repair${one.entry.data.waitsFor ? `, waits for ${one.entry.data.waitsFor}` : ''}`
    case 'defect':
      return `${one.name}: defect, matters: ${one.entry.data.matters}`
  }
}

const whenText = ({ on, chance, limit }: UnderWay): string =>
  on === null
    ? `${chanceText(chance)}, after ${formatFigure(Math.max(0, limit.left), limitUnit[limit.kind], limit.kind === 'hours' ? 1 : 0)}${limit.kind === 'starts' ? ' starts' : ''}`
    : `${on}, by the calendar`

function storeLines(name: string, per: string, unit: string, store: Store | null): string[] {
  if (store === null) return []
  return [
    `${name}: ${store.tanks
      .map(({ equipment, last }) =>
        last === null
          ? `${equipment.name} not known`
          : `${equipment.name} ${formatFigure(last.litres, 'L', 0)} ${last.full ? 'full' : 'by sounding'} ${formatFigure(last.days, 'd')} ago`,
      )
      .join('; ')}`,
    `${name}: ${about(store.planned, 'L', 1)} ${per}; needed ${about(store.needed, 'L')}; now ${about(store.aboard, 'L')}; on arrival ${about(store.onArrival, 'L')}`,
    ...(store.reserve === null || store.lasts === null
      ? []
      : [
          `${name}: reserve of ${formatFigure(store.reserve, 'L', 0)} begun after about ${formatFigure(store.lasts.likely, unit, 0)}, at least ${formatFigure(store.lasts.least, unit, 0)} in nine of ten`,
        ]),
  ]
}
