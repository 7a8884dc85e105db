import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/** Kinds of battery that the charging tables tell apart. */
export type BatteryKind = 'flooded' | 'agm' | 'gel' | 'lithium-iron-phosphate'

/**
 * Charging set-point at a battery temperature, volts: V25 + k / 1000 x cells x (T - 25).
 * Source: battery training text repeated on public pages (2.30 V a cell at 25 °C becomes 2.27 at 35 and 2.33 at 15).
 */
export function compensatedSetPoint(given: {
  /** Set-point of the whole battery at 25 °C, V, above 0. */
  voltsAt25Celsius: number
  /** mV per °C per cell, -10 to 0; see `COMPENSATION_MILLIVOLTS`. */
  millivoltsPerCelsiusPerCell: number
  /** Cells in series, whole number from 1. */
  cells: number
  /** Battery temperature, -40 to 80 °C. */
  batteryCelsius: number
}): Outcome<{ volts: number }> {
  const problem = firstProblem([
    { name: 'set-point at 25 °C', value: given.voltsAt25Celsius, unit: 'V', above: 0 },
    {
      name: 'temperature coefficient',
      value: given.millivoltsPerCelsiusPerCell,
      unit: 'mV/°C per cell',
      atLeast: -10,
      atMost: 0,
      remedy: 'It is a fall in voltage with warmth: write it with a minus, or 0 for none.',
    },
    { name: 'number of cells', value: Number.isInteger(given.cells) ? given.cells : Number.NaN, unit: '', atLeast: 1 },
    { name: 'battery temperature', value: given.batteryCelsius, unit: '°C', atLeast: -40, atMost: 80 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({
    volts:
      given.voltsAt25Celsius + (given.millivoltsPerCelsiusPerCell / 1000) * given.cells * (given.batteryCelsius - 25),
  })
}

/**
 * Temperature coefficients of the charging voltage, mV per °C per cell.
 * Lead-acid -3: battery training text repeated on public pages; -5 to -3 is met in practice (from memory: battery
 * makers' and IEEE guides, e.g. IEEE 1361). Lithium iron phosphate 0: common practice, no source.
 */
export const COMPENSATION_MILLIVOLTS: Readonly<Record<BatteryKind, number>> = {
  flooded: -3,
  agm: -3,
  gel: -3,
  'lithium-iron-phosphate': 0,
}

/**
 * Charging set-points of a nominal 12 V battery at 25 °C, volts, low and high of what is met. Common practice, no source:
 * the regulator's own settings as the owner records them come first. Lithium iron phosphate, if floated at all, has no low
 * figure (null).
 */
export const SET_POINTS_AT_25_CELSIUS: Readonly<
  Record<BatteryKind, { absorption: { low: number; high: number }; float: { low: number | null; high: number } }>
> = {
  flooded: { absorption: { low: 14.4, high: 14.8 }, float: { low: 13.2, high: 13.5 } },
  agm: { absorption: { low: 14.4, high: 14.7 }, float: { low: 13.4, high: 13.7 } },
  gel: { absorption: { low: 14.0, high: 14.3 }, float: { low: 13.5, high: 13.8 } },
  'lithium-iron-phosphate': { absorption: { low: 14.2, high: 14.6 }, float: { low: null, high: 13.6 } },
}
