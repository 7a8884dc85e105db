import type { Cadence, ServiceInterval } from '../../projections/cadence.ts'
import { limitUnit } from '../../projections/due.ts'
import type { Figure as FigureValue } from '../../projections/figure.ts'
import type { View } from '../page.ts'
import { Figure, formatNumber } from './figure.tsx'

/** How many intervals a row of figures shows; the table on the task's own page has all. */
const shown = 4

/** What one interval came to in the task's measure, as a figure that opens to the services at its ends; null where nothing counted it. */
export function intervalFigure(one: ServiceInterval, measure: Cadence['measure']): FigureValue | null {
  const value = one[measure]
  if (value === null) return null
  return {
    value,
    unit: measure === 'starts' ? '{starts}' : limitUnit[measure],
    decimals: measure === 'months' ? 1 : 0,
    from: { entries: [one.from.root, ...(one.to ? [one.to.root] : [])] },
  }
}

/** Whether a task has been kept often enough for a row of figures. */
export const isKept = ({ kept, measure }: Cadence): boolean => kept.filter((one) => one[measure] !== null).length >= 2

/** "Kept at 148, 163, 210 h; this one is at 190. The hours between services rise.", the last four; nothing where fewer than two were kept. */
export const KeptRow = ({ cadence, view }: { cadence: Cadence; view: View }) => {
  const { kept, running, measure } = cadence
  if (!isKept(cadence)) return null
  const figures = kept.flatMap((one) => intervalFigure(one, measure) ?? []).slice(-shown)
  const now = running && intervalFigure(running, measure)
  const isLast = (index: number) => index === figures.length - 1
  return (
    <>
      Kept at{' '}
      {figures.map((figure, index) => (
        <>
          <Figure of={isLast(index) ? figure : { ...figure, unit: '1' }} view={view} />
          {isLast(index) ? '' : ', '}
        </>
      ))}
      {now ? (
        <>
          ; this one is at <Figure of={{ ...now, unit: '1' }} view={view} />
        </>
      ) : (
        ''
      )}
      . <RisingWords cadence={cadence} />
    </>
  )
}

/** That the hours between services rise, as plain words; nothing where they do not. */
const RisingWords = ({ cadence }: { cadence: Cadence }) => {
  if (!cadence.rising || cadence.every === null) return null
  const { running, kept, every } = cadence
  const set = `${formatNumber(every)}\u00a0h`
  const last = kept[kept.length - 1]
  const beyond = (one: ServiceInterval | null | undefined) => one?.hours != null && one.hours > every
  return (
    <>
      The hours between services rise
      {beyond(running)
        ? `, and this one is past its ${set}`
        : beyond(last)
          ? `, the last one past its ${set}`
          : cadence.risingPast
            ? `, up to the ${set} that are set`
            : `; ${set} are set`}
      .
    </>
  )
}

const words = { hours: 'h', miles: 'miles', starts: 'starts', months: 'months' } as const
const units = { hours: 'h', miles: 'M', starts: 'starts', months: 'months' } as const
const counts = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten']

const inWords = (n: number): string => counts[n] ?? formatNumber(n)

/**
 * How many services a year this use asks for, and how late too few of them leave each: "This use asks for 2.07 a year by the hours (310 h, one
 * every 150); two a year leave each about 5 h late." Nothing while less than a year is known.
 */
export const YearlyWords = ({ cadence }: { cadence: Cadence }) => {
  const { yearly } = cadence
  if (yearly === null) return null
  const { governs, used, every, needs, done, lateBy } = yearly
  const whole = Math.max(1, Math.floor(needs))
  if (governs === 'months')
    return (
      <>
        The calendar governs: {formatNumber(needs, needs % 1 === 0 ? 0 : 2)} a year; {inWords(done)} in the last year.
      </>
    )
  return (
    <>
      This use asks for {formatNumber(needs, 2)} a year by the {words[governs] === 'h' ? 'hours' : words[governs]} (
      {formatNumber(used, 0)} {units[governs]} in the last year, one every {formatNumber(every, 0)})
      {lateBy >= 0.5
        ? `; ${inWords(whole)} a year ${whole === 1 ? 'leaves' : 'leave'} each about ${formatNumber(lateBy, 0)} ${units[governs]} late`
        : ''}
      . In the last year there {done === 1 ? 'was one' : `were ${inWords(done)}`}.
    </>
  )
}
