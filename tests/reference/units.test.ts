import { readFileSync } from 'node:fs'
import { UcumLhcUtils } from '@lhncbc/ucum-lhc'
import { describe, expect, test } from 'vitest'
import { convert, type Dimension, dimensionOf, dimensions, symbolOf, unitsOf } from '../../events/units.ts'
import { workedExamples } from './worked-examples.ts'

interface Factor {
  code: string
  entry: string | null
  /** As it stands in the table: "6.894 757 E+03". */
  printed: string
  exact: boolean
  to: string
}
const reference = JSON.parse(readFileSync(new URL('data/units.json', import.meta.url), 'utf8')) as {
  factors: { rows: Factor[] }
  temperature: { rows: { F: number; C: number }[] }
}

const names = Object.keys(dimensions) as Dimension[]
const pairsOf = (dimension: Dimension): [string, string][] =>
  unitsOf(dimension).flatMap((a) => unitsOf(dimension).map((b): [string, string] => [a.code, b.code]))
const pairs = names.flatMap(pairsOf)
const values = [1, -1, 0.037, 42, 29.92, 1243.6, 98765.4]

/** How far a double may be off after the few multiplications and divisions of one conversion: some units in its last place. */
const rounding = 1e-14

const off = (got: number, expected: number): number => Math.abs(got - expected) / Math.max(Math.abs(expected), 1e-12)

describe('the factors of NIST SP 811 (2008), appendix B.8', () => {
  const byCode = new Map(reference.factors.rows.map((row) => [row.code, row]))
  const factorOf = ({ printed }: Factor): number => Number(printed.replaceAll(' ', ''))
  /** A factor that was rounded for print may be off by half a unit of its last digit; an exact one by nothing. */
  const slackOf = (factor: Factor): number => {
    if (factor.exact) return 0
    const mantissa = factor.printed.split(' E')[0]!.replaceAll(' ', '')
    return (0.5 * 10 ** -(mantissa.split('.')[1] ?? '').length) / Number(mantissa)
  }
  const convertible = names.filter((name) => unitsOf(name).length > 1 && name !== 'temperature')

  test('are there for every unit that can be converted into another', () => {
    expect([...byCode.keys()].sort()).toEqual(
      convertible.flatMap((name) => unitsOf(name).map(({ code }) => code)).sort(),
    )
    for (const name of convertible) expect(new Set(unitsOf(name).map(({ code }) => byCode.get(code)!.to)).size).toBe(1)
  })

  test.each(convertible.flatMap(pairsOf))('%s into %s', (from, to) => {
    const [a, b] = [byCode.get(from)!, byCode.get(to)!]
    const expected = factorOf(a) / factorOf(b)
    const tolerance = slackOf(a) + slackOf(b) + rounding
    for (const value of values) expect(off(convert(value, from, to), value * expected)).toBeLessThanOrEqual(tolerance)
  })

  test('a wrong last digit would be found', () => {
    const psi = byCode.get('[psi]')!
    expect(off(factorOf(psi) / 1e5, convert(1, '[psi]', 'bar'))).toBeLessThan(slackOf(psi))
    expect(off(6894.758 / 1e5, convert(1, '[psi]', 'bar'))).toBeGreaterThan(slackOf(psi))
  })

  test.each(reference.temperature.rows)('$F degrees Fahrenheit are $C degrees Celsius', ({ F, C }) => {
    // Adding the offset near absolute zero leaves a few units in the last place of some hundreds.
    expect(convert(F, '[degF]', 'Cel')).toBeCloseTo(C, 11)
    expect(convert(C, 'Cel', '[degF]')).toBeCloseTo(F, 11)
  })
})

describe('worked conversions from the exact definitions', () => {
  const worked = (id: string) => workedExamples.find((one) => one.id === id)!
  // The factors are exact by definition: only rounding of doubles is allowed.
  const exact = 1e-12
  const { inputs, expected } = worked('W53')
  const rows: [string, number, string, string, number][] = [
    ['kPa', inputs.psi!, '[psi]', 'kPa', exact],
    ['hPa', inputs.inHg!, "[in_i'Hg]", 'mbar', exact],
    ['L_us', inputs.usgal!, '[gal_us]', 'L', exact],
    ['L_imp', inputs.impgal!, '[gal_br]', 'L', exact],
    ['km', inputs.nm!, '[nmi_i]', 'km', exact],
    ['kW', inputs.hp!, '[HP]', 'kW', exact],
    ['C', inputs.F!, '[degF]', 'Cel', exact],
    ['Nm', inputs.ftlbf!, '[lbf_av].[ft_i]', 'N.m', exact],
    ['N', inputs.lbf!, '[lbf_av]', 'N', exact],
  ]
  test.each(rows)('%s: %d %s into %s', (name, value, from, to, tolerance) => {
    expect(off(convert(value, from, to), expected[name]!.value)).toBeLessThanOrEqual(tolerance)
  })

  test('m/s: 6 knots, by way of kilometres an hour', () => {
    expect(off(convert(inputs.kn!, '[kn_i]', 'km/h') / 3.6, expected.m_s!.value)).toBeLessThanOrEqual(exact)
  })

  test('the inch of mercury is the conventional one, not that of UCUM, and they part in the sixth digit', () => {
    const two = worked('W54').expected
    const ours = convert(1, "[in_i'Hg]", 'bar') * 1e5
    expect(off(ours, two.conventional_Pa!.value)).toBeLessThanOrEqual(exact)
    expect(off(ours, two.ucum_Pa!.value)).toBeGreaterThan(2e-6)
  })
})

describe('The Unified Code for Units of Measure, as a library for it reads it', () => {
  const ucum = UcumLhcUtils.getInstance()

  test.each(names.flatMap((name) => unitsOf(name).map(({ code }) => code)))('%s is a valid code', (code) => {
    const answer = ucum.validateUnitString(code)
    expect(answer.status).toBe('valid')
    expect(answer.ucumCode).toBe(code)
  })

  test.each(pairs)('%s into %s gives the same', (from, to) => {
    // UCUM takes 133.3220 Pa for the millimetre of mercury, NIST 133.3224: 2.9e-6 apart (worked example W54). Else its own
    // factors are doubles that were rounded once or twice on the way.
    const tolerance = from !== to && [from, to].includes("[in_i'Hg]") ? 3e-6 : 1e-12
    for (const value of values) {
      const answer = ucum.convertUnitTo(from, value, to)
      expect(answer.status).toBe('succeeded')
      expect(off(convert(value, from, to), answer.toVal as number)).toBeLessThanOrEqual(tolerance)
    }
  })

  test('knows what can and what cannot be converted as we do', () => {
    // A ratio without a dimension of its own, and angles, are plain numbers to UCUM; to us they are different things.
    const plain = new Set(['%', 'deg'])
    for (const a of names)
      for (const b of names) {
        const [from, to] = [unitsOf(a)[0]!.code, unitsOf(b)[0]!.code]
        if (plain.has(from) || plain.has(to)) continue
        const like = ucum.convertUnitTo(from, 1, to).status === 'succeeded'
        const lengths = [a, b].every((name) => name === 'distance' || name === 'length')
        // So many a minute is a frequency to UCUM; a shaft speed and a pluck frequency never stand in for each other here.
        const rates = [a, b].every((name) => name === 'rotation' || name === 'frequency')
        expect(like, `${from} into ${to}`).toBe(a === b || lengths || rates)
      }
  })
})

describe('conversion', () => {
  test('there and back gives what was entered, to the last places of a double', () => {
    for (const [from, to] of pairs)
      for (const value of values) expect(off(convert(convert(value, from, to), to, from), value)).toBeLessThan(1e-12)
  })

  test('into the same unit changes nothing at all', () => {
    for (const name of names)
      for (const { code } of unitsOf(name)) expect(convert(0.1 + 0.2, code, code)).toBe(0.1 + 0.2)
  })

  test('between things that differ, or of an unknown code, is a bug and says so', () => {
    expect(() => convert(1, 'bar', 'Cel')).toThrow(RangeError)
    expect(() => convert(1, 'bar', '[psig]')).toThrow(/from "bar" to "\[psig\]"/)
    expect(() => convert(1, 'furlong', 'm')).toThrow(RangeError)
  })

  test('knows each code in one dimension only, and shows it as people write it', () => {
    const codes = names.flatMap((name) => unitsOf(name).map(({ code }) => code))
    expect(new Set(codes).size).toBe(codes.length)
    for (const name of names) for (const { code } of unitsOf(name)) expect(dimensionOf(code)).toBe(name)
    expect(['Cel', '[nmi_i]', '/min', 'L', 'whatever'].map(symbolOf)).toEqual(['°C', 'M', 'rpm', 'L', 'whatever'])
    expect(dimensionOf('whatever')).toBeUndefined()
  })
})
