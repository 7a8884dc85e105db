import type { BatteryKind } from './charge-set-point.ts'
import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/** A published table of rest voltage against state of charge, for six lead-acid cells. */
export interface RestVoltageTable {
  kind: Exclude<BatteryKind, 'lithium-iron-phosphate'>
  /** Where the rows come from, to be shown beside every figure. */
  source: string
  /** Battery temperature for which it holds, °C; null where the source does not say. */
  celsius: number | null
  /** Descending; at least two. */
  rows: readonly { restVolts: number; percent: number }[]
}

/**
 * Tables to pick from. They disagree: the two for flooded batteries by up to 0.18 V at mid-charge and by 1.4 V at empty
 * (one counts empty at rest, the other under load), so none is a default; the owner picks.
 */
export const REST_VOLTAGE_TABLES = {
  'flooded-bci': {
    kind: 'flooded',
    source: 'Battery industry (BCI) state-of-charge table as reproduced in a public document, 80 °F',
    celsius: 27,
    rows: [
      { restVolts: 12.65, percent: 100 },
      { restVolts: 12.45, percent: 75 },
      { restVolts: 12.24, percent: 50 },
      { restVolts: 12.06, percent: 25 },
      { restVolts: 11.89, percent: 0 },
    ],
  },
  'flooded-to-10-5-volts': {
    kind: 'flooded',
    source: 'Common practice, no source: a table often reproduced, with empty at 10.5 V',
    celsius: 25,
    rows: [
      { restVolts: 12.7, percent: 100 },
      { restVolts: 12.5, percent: 90 },
      { restVolts: 12.42, percent: 80 },
      { restVolts: 12.32, percent: 70 },
      { restVolts: 12.2, percent: 60 },
      { restVolts: 12.06, percent: 50 },
      { restVolts: 11.9, percent: 40 },
      { restVolts: 11.75, percent: 30 },
      { restVolts: 11.58, percent: 20 },
      { restVolts: 11.31, percent: 10 },
      { restVolts: 10.5, percent: 0 },
    ],
  },
  agm: {
    kind: 'agm',
    source: 'From memory, no source',
    celsius: null,
    rows: [
      { restVolts: 12.8, percent: 100 },
      { restVolts: 12.6, percent: 75 },
      { restVolts: 12.3, percent: 50 },
      { restVolts: 12.0, percent: 25 },
      { restVolts: 11.8, percent: 0 },
    ],
  },
  gel: {
    kind: 'gel',
    source: 'From memory, no source',
    celsius: null,
    rows: [
      { restVolts: 12.85, percent: 100 },
      { restVolts: 12.65, percent: 75 },
      { restVolts: 12.35, percent: 50 },
      { restVolts: 12.0, percent: 25 },
      { restVolts: 11.8, percent: 0 },
    ],
  },
} as const satisfies Record<string, RestVoltageTable>

/** Hours at rest before a voltage is read for this. Common practice, no source: 3 at the least, 8 to 24 elsewhere. */
export const REST_HOURS_NEEDED = 3

/** How far above a table's full row a reading is still put down to the tables' own disagreement, V for six cells. */
const ABOVE_FULL_VOLTS = 0.18

/**
 * State of charge from rest voltage, per cent, linear between the rows of the table that the owner picked.
 * A reading beyond the table gives its end row, and `reach` says so; one far above full was not at rest and gives a
 * problem, as do a rest too short, a lithium battery (its voltage hardly moves with charge), and a table for another kind
 * of battery. `rest` is `not-recorded` when the hours at rest are not given.
 */
export function stateOfCharge(
  table: RestVoltageTable,
  given: {
    batteryKind: BatteryKind
    /** Volts of the whole battery, no charge and no load, above 0. */
    restVolts: number
    /** Lead-acid cells in series, whole number from 1; default 6 (12 V). */
    cells?: number
    /** Hours with neither charge nor load, 0 or more. */
    restedHours?: number
    /** Default `REST_HOURS_NEEDED`. */
    restHoursNeeded?: number
  },
): Outcome<{
  percent: number
  reach: 'in-table' | 'above-table' | 'below-table'
  rest: 'long-enough' | 'not-recorded'
  source: string
}> {
  if (given.batteryKind === 'lithium-iron-phosphate')
    return refused(
      'State of charge is not read from the rest voltage of a lithium battery, which hardly moves with charge; expected a lead-acid one. Use the counter of a battery monitor.',
    )
  if (given.batteryKind !== table.kind)
    return refused(
      `The table is for a ${table.kind} battery and this one is ${given.batteryKind}; expected the same kind. Pick another table.`,
    )
  const cells = given.cells ?? 6
  const top = table.rows[0]
  const bottom = table.rows.at(-1)
  const descending = table.rows.every(
    (row, at) =>
      at === 0 || (row.restVolts < table.rows[at - 1]!.restVolts && row.percent < table.rows[at - 1]!.percent),
  )
  if (top === undefined || bottom === undefined || top === bottom || !descending)
    return refused(
      'The table of rest voltages cannot be read; expected two rows or more, with volts and per cent falling from row to row. Mend the table.',
    )
  const forTheseCells = (volts: number) => volts * (cells / 6)
  const problem = firstProblem([
    { name: 'number of cells', value: Number.isInteger(cells) ? cells : Number.NaN, unit: '', atLeast: 1 },
    {
      name: 'rest voltage',
      value: given.restVolts,
      unit: 'V',
      above: 0,
      atMost: forTheseCells(top.restVolts + ABOVE_FULL_VOLTS),
      remedy: 'Higher than a full battery at rest: read it again after hours with nothing charging.',
    },
    ...(given.restedHours === undefined
      ? []
      : [
          {
            name: 'time at rest',
            value: given.restedHours,
            unit: 'h',
            atLeast: given.restHoursNeeded ?? REST_HOURS_NEEDED,
            remedy: 'Leave it with neither charge nor load for longer, then read it again.',
          },
        ]),
  ])
  if (problem !== undefined) return refused(problem)
  const volts = given.restVolts / (cells / 6)
  const rest = given.restedHours === undefined ? 'not-recorded' : 'long-enough'
  const { source } = table
  if (volts > top.restVolts) return settled({ percent: top.percent, reach: 'above-table' as const, rest, source })
  if (volts < bottom.restVolts) return settled({ percent: bottom.percent, reach: 'below-table' as const, rest, source })
  const at = Math.max(
    1,
    table.rows.findIndex((row) => row.restVolts <= volts),
  )
  const high = table.rows[at - 1]!
  const low = table.rows[at]!
  return settled({
    percent: low.percent + ((high.percent - low.percent) * (volts - low.restVolts)) / (high.restVolts - low.restVolts),
    reach: 'in-table' as const,
    rest,
    source,
  })
}
