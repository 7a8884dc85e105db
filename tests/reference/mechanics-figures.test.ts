import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { CLAW_POLE_EFFICIENCY } from '../../projections/mechanics/alternator-torque.ts'
import { arcOfContactFactor } from '../../projections/mechanics/belt-geometry.ts'
import { grooveAngle, RUBBER_ON_IRON_FRICTION } from '../../projections/mechanics/belt-grip.ts'
import { BELT_MASS_KILOGRAMS_PER_METRE } from '../../projections/mechanics/belt-tension.ts'
import { COMPENSATION_MILLIVOLTS, SET_POINTS_AT_25_CELSIUS } from '../../projections/mechanics/charge-set-point.ts'
import { COPPER_OHM_SQUARE_MILLIMETRES_PER_METRE, COPPER_PER_KELVIN } from '../../projections/mechanics/conductor.ts'
import { PROPELLER_EXPONENT } from '../../projections/mechanics/propeller-law.ts'
import { REST_HOURS_NEEDED, REST_VOLTAGE_TABLES } from '../../projections/mechanics/state-of-charge.ts'
import { figures } from './worked-examples.ts'

/** A figure of the trade with its source; `status` says how it is known. */
interface TradeFigure {
  key: string
  quantity: string
  value: number | string | number[]
  unit: string
  source: string
  status: string
}

const tradeFigures: TradeFigure[] = JSON.parse(
  readFileSync(new URL('./data/trade-figures.json', import.meta.url), 'utf8'),
)

function published(key: string): TradeFigure['value'] {
  const found = tradeFigures.find((figure) => figure.key === key)
  if (found === undefined) throw new Error(`No published figure ${key}`)
  return found.value
}

const withPrefix = (prefix: string) => tradeFigures.filter(({ key }) => key.startsWith(prefix))

describe('figures that the code holds are those of their sources', () => {
  test.each(withPrefix('arc-'))('$quantity ($source)', ({ key, value }) => {
    const wrapDegrees = Number(key.slice('arc-'.length))
    expect(figures(arcOfContactFactor(wrapDegrees)).factor).toBeCloseTo(Number(value), 12)
  })

  test.each([
    { prefix: 'ocv-bci-', table: REST_VOLTAGE_TABLES['flooded-bci'] },
    { prefix: 'ocv-alt-', table: REST_VOLTAGE_TABLES['flooded-to-10-5-volts'] },
  ])('rest voltages $prefix', ({ prefix, table }) => {
    const rows = withPrefix(prefix).map(({ key, value }) => ({
      restVolts: value,
      percent: Number(key.slice(prefix.length)),
    }))
    expect(rows.length).toBeGreaterThan(4)
    expect(table.rows).toEqual(rows)
  })

  test('charging set-points and their temperature coefficient', () => {
    for (const [name, kind] of [
      ['flooded', 'flooded'],
      ['agm', 'agm'],
      ['gel', 'gel'],
    ] as const) {
      const { absorption, float } = SET_POINTS_AT_25_CELSIUS[kind]
      expect([absorption.low, absorption.high]).toEqual(published(`abs-${name}`))
      expect([float.low, float.high]).toEqual(published(`float-${name}`))
      expect(COMPENSATION_MILLIVOLTS[kind]).toBe(published('tempco-3'))
    }
    const lithium = SET_POINTS_AT_25_CELSIUS['lithium-iron-phosphate']
    expect([lithium.absorption.low, lithium.absorption.high]).toEqual(published('abs-lfp'))
    expect(lithium.float).toEqual({ low: null, high: published('float-lfp') })
    expect([REST_HOURS_NEEDED, 24]).toEqual(published('ocv-rest'))
  })

  test('grooves, friction and belt mass', () => {
    expect(figures(grooveAngle('A', 137)).grooveDegrees).toBe(published('groove-A-small'))
    expect(figures(grooveAngle('A', 137.1)).grooveDegrees).toBe(published('groove-A-large'))
    expect([178, 178.1].map((diameter) => figures(grooveAngle('B', diameter)).grooveDegrees)).toEqual(
      published('groove-B'),
    )
    const { low, usual, high } = RUBBER_ON_IRON_FRICTION
    expect([low, high]).toEqual(published('mu-rubber'))
    expect(usual).toBeCloseTo((low + high) / 2, 12)
    expect(BELT_MASS_KILOGRAMS_PER_METRE).toEqual({ A: published('belt-mass-A'), B: published('belt-mass-B') })
  })

  test('alternator, copper and propeller', () => {
    const { low, usual, high } = CLAW_POLE_EFFICIENCY
    expect([low, high]).toEqual(published('alt-eff'))
    expect(usual).toBeGreaterThan(low)
    expect(usual).toBeLessThan(high)
    expect(COPPER_OHM_SQUARE_MILLIMETRES_PER_METRE).toBe(published('rho-cu'))
    expect(COPPER_PER_KELVIN).toBe(published('alpha-cu'))
    expect(PROPELLER_EXPONENT.smallCraft).toBe(published('prop-27'))
  })
})
