import type { Refusal } from '../../events/define.ts'
import { hoursRead } from '../../events/hours-read.ts'
import { curveOf } from '../../projections/meter-hours.ts'
import type { Meter, Register } from '../../projections/register.ts'
import { shipDay, shortDayText } from '../components/dates.ts'
import { Figure } from '../components/figure.tsx'
import { Boxes, type Form } from '../form.tsx'
import { type Reading, readData } from './fields.ts'
import type { Typed } from './typed.ts'

/** The meters that count hours, of equipment that is aboard. */
export const hoursMeters = (register: Register): Meter[] =>
  [...register.meters.values()].filter(
    (meter) => meter.counts === 'hours' && register.equipment.get(meter.equipment)?.removed !== true,
  )

/** What the boxes of one meter begin with, in a form that reads several. */
export const hoursPrefix = (meter: Meter): string => `hours/${meter.handle}/`

/** One box for each hours meter, beneath it what it showed last. */
export const MeterHours = ({ form, meters }: { form: Form; meters: readonly Meter[] }) => (
  <>
    {meters.map((meter) => {
      const last = curveOf(form.timeline, meter.handle).points.at(-1)
      return (
        <div class="meter">
          <Boxes
            form={form}
            kind={hoursRead}
            only={['reading']}
            prefix={hoursPrefix(meter)}
            labels={{ reading: meters.length === 1 ? 'Hours' : meter.name }}
          />
          {last === undefined ? (
            ''
          ) : (
            <p class="help">
              It showed{' '}
              <Figure
                of={{ value: last.reading, unit: 'h', decimals: 1, from: { entries: [last.root] } }}
                view={form.view}
              />{' '}
              on {shortDayText(shipDay(last.at, form.timeline.zoneAt(last.at)))}.
            </p>
          )}
        </div>
      )
    })}
  </>
)

/** Reads the boxes of the hours meters: one draft for each that holds anything. */
export function readHours(
  typed: Typed,
  reading: Reading,
  meters: readonly Meter[],
): { drafts: { prefix: string; data: Record<string, unknown> }[]; refusals: Refusal[] } {
  const drafts: { prefix: string; data: Record<string, unknown> }[] = []
  const refusals: Refusal[] = []
  for (const meter of meters) {
    const prefix = hoursPrefix(meter)
    if (typed.get(`${prefix}reading`).trim() === '') continue
    const read = readData(hoursRead, typed.with({ [`${prefix}meter`]: meter.handle }), reading, prefix)
    refusals.push(...read.refusals)
    drafts.push({ prefix, data: read.data })
  }
  return { drafts, refusals }
}
