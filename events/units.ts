/**
 * Units as the log stores them: UCUM codes (The Unified Code for Units of Measure, case sensitive form).
 * A quantity is kept exactly as it was entered; converting is for showing and comparing only.
 */

/** What is measured. Two units can be converted into each other only within one dimension. */
export type Dimension = keyof typeof dimensions

interface UnitRow {
  /** UCUM code, as stored. */
  readonly code: string
  /** What people read and may type. */
  readonly symbol: string
  /** value in base unit = value * factor + offset. Exact by definition unless the comment says otherwise. */
  readonly factor: number
  readonly offset?: number
}

/**
 * The units of each dimension; the first is the base that factors refer to, not a preference.
 * Factors: NIST SP 811 (2008), appendix B; international inch, foot, mile, nautical mile, pound and US gallon are exact
 * by definition, the standard acceleration of free fall 9.80665 m/s2 and the conventional inch of mercury too.
 */
export const dimensions = {
  time: [
    { code: 'h', symbol: 'h', factor: 1 },
    { code: 'min', symbol: 'min', factor: 1 / 60 },
    { code: 's', symbol: 's', factor: 1 / 3600 },
  ],
  distance: [
    { code: '[nmi_i]', symbol: 'M', factor: 1 },
    { code: 'km', symbol: 'km', factor: 1000 / 1852 },
    { code: '[mi_i]', symbol: 'mi', factor: 1609.344 / 1852 },
  ],
  length: [
    { code: 'mm', symbol: 'mm', factor: 1 },
    { code: 'cm', symbol: 'cm', factor: 10 },
    { code: 'm', symbol: 'm', factor: 1000 },
    { code: '[in_i]', symbol: 'in', factor: 25.4 },
    { code: '[ft_i]', symbol: 'ft', factor: 304.8 },
  ],
  rotation: [{ code: '/min', symbol: 'rpm', factor: 1 }],
  current: [{ code: 'A', symbol: 'A', factor: 1 }],
  voltage: [
    { code: 'V', symbol: 'V', factor: 1 },
    { code: 'mV', symbol: 'mV', factor: 0.001 },
  ],
  charge: [{ code: 'A.h', symbol: 'Ah', factor: 1 }],
  power: [
    { code: 'kW', symbol: 'kW', factor: 1 },
    { code: 'W', symbol: 'W', factor: 0.001 },
    // Mechanical horsepower, 550 foot-pounds force a second.
    { code: '[HP]', symbol: 'hp', factor: (550 * 0.3048 * 0.45359237 * 9.80665) / 1000 },
  ],
  temperature: [
    { code: 'Cel', symbol: '°C', factor: 1 },
    { code: '[degF]', symbol: '°F', factor: 5 / 9, offset: -160 / 9 },
  ],
  pressure: [
    { code: 'bar', symbol: 'bar', factor: 1 },
    { code: 'mbar', symbol: 'mbar', factor: 0.001 },
    { code: 'kPa', symbol: 'kPa', factor: 0.01 },
    { code: '[psi]', symbol: 'psi', factor: (0.45359237 * 9.80665) / 0.0254 ** 2 / 1e5 },
    // Conventional inch of mercury: 25.4 mm of 13.5951 kg/L under standard gravity, 3386.389 Pa in NIST SP 811.
    { code: "[in_i'Hg]", symbol: 'inHg', factor: (25.4 * 13.5951 * 9.80665) / 1e5 },
  ],
  speed: [
    { code: '[kn_i]', symbol: 'kn', factor: 1 },
    { code: 'km/h', symbol: 'km/h', factor: 1000 / 1852 },
    { code: '[mi_i]/h', symbol: 'mph', factor: 1609.344 / 1852 },
  ],
  volume: [
    { code: 'L', symbol: 'L', factor: 1 },
    { code: 'mL', symbol: 'mL', factor: 0.001 },
    { code: '[gal_us]', symbol: 'US gal', factor: 3.785411784 },
    { code: '[qt_us]', symbol: 'US qt', factor: 0.946352946 },
    { code: '[gal_br]', symbol: 'imp gal', factor: 4.54609 },
  ],
  mass: [
    { code: 'kg', symbol: 'kg', factor: 1 },
    { code: '[lb_av]', symbol: 'lb', factor: 0.45359237 },
  ],
  torque: [
    { code: 'N.m', symbol: 'N·m', factor: 1 },
    { code: '[lbf_av].[ft_i]', symbol: 'lbf·ft', factor: 0.45359237 * 9.80665 * 0.3048 },
  ],
  force: [
    { code: 'N', symbol: 'N', factor: 1 },
    { code: '[lbf_av]', symbol: 'lbf', factor: 0.45359237 * 9.80665 },
    { code: 'kgf', symbol: 'kgf', factor: 9.80665 },
  ],
  frequency: [{ code: 'Hz', symbol: 'Hz', factor: 1 }],
  angle: [{ code: 'deg', symbol: '°', factor: 1 }],
  share: [{ code: '%', symbol: '%', factor: 1 }],
} as const satisfies Record<string, readonly UnitRow[]>

/** The UCUM codes of one dimension, base unit first. */
export const unitsOf = (dimension: Dimension): readonly UnitRow[] => dimensions[dimension]

const byCode = new Map<string, UnitRow & { dimension: Dimension }>()
for (const dimension of Object.keys(dimensions) as Dimension[])
  for (const row of unitsOf(dimension)) byCode.set(row.code, { ...row, dimension })

/** The dimension of a UCUM code that the log knows, else undefined. */
export const dimensionOf = (code: string): Dimension | undefined => byCode.get(code)?.dimension

/** What people read for a UCUM code ("Cel" is shown as "°C"); a code that the log does not know is shown as it is. */
export const symbolOf = (code: string): string => byCode.get(code)?.symbol ?? code

/**
 * A value in another unit of the same dimension.
 * @throws RangeError when a code is unknown or the two measure different things: a bug, not bad input, for what is stored
 * has been checked against its schema.
 */
export function convert(value: number, from: string, to: string): number {
  if (from === to) return value
  const a = byCode.get(from)
  const b = byCode.get(to)
  if (!a || !b || a.dimension !== b.dimension) throw new RangeError(`No conversion from "${from}" to "${to}"`)
  return (value * a.factor + (a.offset ?? 0) - (b.offset ?? 0)) / b.factor
}
