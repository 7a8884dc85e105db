import { Temporal } from 'temporal-polyfill'
import { monthText } from './dates.ts'

/** The months on which a column of spreads is drawn. */
export interface MonthScale {
  /** The first day of the first month, YYYY-MM-DD. */
  readonly from: string
  readonly months: number
  /** YYYY-MM-DD */
  readonly today: string
}

/** The months from that of `today` on; seven show half a year ahead. */
export const monthScale = (today: string, months = 7): MonthScale => ({
  from: `${today.slice(0, 7)}-01`,
  months,
  today,
})

/** Where a day lies on the scale, 0 to 1 inside it; each month takes the same width. */
export function placeOn(scale: MonthScale, date: string): number {
  const day = Temporal.PlainDate.from(date)
  const from = Temporal.PlainDate.from(scale.from)
  const whole = (day.year - from.year) * 12 + day.month - from.month
  return (whole + (day.day - 1) / day.daysInMonth) / scale.months
}

const percent = (share: number): string => `${Number((Math.min(1, Math.max(0, share)) * 100).toFixed(2))}%`

/**
 * When something falls due, early to late hatched in pencil, likely as a slanted stroke, today an ink upright. Days, YYYY-MM-DD;
 * what lies beyond the months shown is left to the words. Without a likely day only months and today are drawn.
 */
export const Spread = (props: {
  scale: MonthScale
  likely?: string | null | undefined
  early?: string | null | undefined
  late?: string | null | undefined
}) => {
  const { scale, likely, early, late } = props
  const today = percent(placeOn(scale, scale.today))
  const at = likely == null ? null : placeOn(scale, likely)
  const from = early == null ? at : placeOn(scale, early)
  const to = late == null ? at : placeOn(scale, late)
  const ranged = from !== null && to !== null && to > from && from < 1 && to > 0
  return (
    <svg class="spread" aria-hidden="true" focusable="false">
      {Array.from({ length: scale.months + 1 }, (_, month) => (
        <line class="month" x1={percent(month / scale.months)} x2={percent(month / scale.months)} y1="0" y2="24" />
      ))}
      <line class="today" x1={today} x2={today} y1="0" y2="24" />
      {ranged ? (
        <>
          <svg x={percent(from)} y="8" width={percent(Math.min(1, to) - Math.max(0, from))} height="8">
            <rect class="range" width="100%" height="8" />
          </svg>
          {from >= 0 ? <line class="end" x1={percent(from)} x2={percent(from)} y1="8" y2="16" /> : ''}
          {to <= 1 ? <line class="end" x1={percent(to)} x2={percent(to)} y1="8" y2="16" /> : ''}
        </>
      ) : (
        ''
      )}
      {at !== null && at >= 0 && at <= 1 ? (
        <line class="likely" x1={percent(at)} x2={percent(at)} y1="3" y2="21" transform="translate(3 0) skewX(-14)" />
      ) : (
        ''
      )}
    </svg>
  )
}

/** The names of the months above a column of spreads. */
export const SpreadScale = ({ scale }: { scale: MonthScale }) => {
  const first = Temporal.PlainDate.from(scale.from)
  return (
    <svg class="scale months" aria-hidden="true" focusable="false">
      {Array.from({ length: scale.months }, (_, month) => (
        <text x={percent(month / scale.months)} y="17">
          {monthText(first.add({ months: month }).toString())}
        </text>
      ))}
    </svg>
  )
}
