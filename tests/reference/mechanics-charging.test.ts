import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { capacityFromTest, chargingTime, correctedSpecificGravity } from '../../projections/mechanics/battery-test.ts'
import {
  COMPENSATION_MILLIVOLTS,
  compensatedSetPoint,
  SET_POINTS_AT_25_CELSIUS,
} from '../../projections/mechanics/charge-set-point.ts'
import {
  COPPER_OHM_SQUARE_MILLIMETRES_PER_METRE,
  conductorForDrop,
  copperResistance,
  voltDrop,
} from '../../projections/mechanics/conductor.ts'
import { peukertExponent, timeFromPeukertCapacity, timeFromRated } from '../../projections/mechanics/peukert.ts'
import { REST_VOLTAGE_TABLES, stateOfCharge } from '../../projections/mechanics/state-of-charge.ts'
import { evenly } from './even-numbers.ts'
import { figures, testWorkedExamples } from './worked-examples.ts'

describe('worked examples', () => {
  testWorkedExamples(['charging'], {
    W20: (input) => ({
      V: figures(
        compensatedSetPoint({
          voltsAt25Celsius: input('V25'),
          millivoltsPerCelsiusPerCell: input('k_mV'),
          cells: 1,
          batteryCelsius: input('T'),
        }),
      ).volts,
    }),
    W21: (input) => ({
      V: figures(
        compensatedSetPoint({
          voltsAt25Celsius: input('V25'),
          millivoltsPerCelsiusPerCell: input('k_mV'),
          cells: input('cells'),
          batteryCelsius: input('T'),
        }),
      ).volts,
    }),
    W22: (input) => ({
      soc: figures(stateOfCharge(REST_VOLTAGE_TABLES['flooded-bci'], { batteryKind: 'flooded', restVolts: input('V') }))
        .percent,
    }),
    W23: (input) => ({
      t_h: figures(timeFromPeukertCapacity({ peukertCapacity: input('C'), exponent: input('k'), amps: input('I') }))
        .hours,
    }),
    W24: (input) => {
      const result = figures(
        timeFromRated({
          ratedAmpHours: input('C'),
          ratedHours: input('H'),
          exponent: input('k'),
          amps: input('I'),
        }),
      )
      return { t_h: result.hours, Ah: result.ampHours }
    },
    W25: (input) => ({
      k: figures(peukertExponent({ amps: input('I1'), hours: input('t1') }, { amps: input('I2'), hours: input('t2') }))
        .exponent,
    }),
    W26: (input) => ({
      capacity_pct: figures(capacityFromTest({ actualHours: input('Ha'), ratedHours: input('Ht') })).capacityPercent,
    }),
    W27: (input) => ({
      hours: figures(
        chargingTime({
          pointsNeeded: input('points_needed'),
          pointsPerAmpHour: input('points_per_Ah'),
          amps: input('rate_A'),
        }),
      ).hours,
    }),
    W28: (input) => ({
      sg80: figures(correctedSpecificGravity(input('sg'), ((input('T_F') - 32) * 5) / 9)).specificGravityAt80Fahrenheit,
    }),
    W29: (input) => {
      expect(COPPER_OHM_SQUARE_MILLIMETRES_PER_METRE).toBe(input('rho'))
      const result = figures(
        voltDrop({
          lengthBothWaysMetres: input('L_round_m'),
          areaSquareMillimetres: input('A_mm2'),
          amps: input('I'),
          systemVolts: 12,
        }),
      )
      return { R: result.ohms, V: result.dropVolts, pct12: result.dropPercent }
    },
    W30: (input) => ({
      CM: figures(
        conductorForDrop({ amps: input('I'), lengthBothWaysFeet: input('L_ft'), allowedDropVolts: input('E') }),
      ).circularMils,
    }),
    W31: (input) => ({ R: figures(copperResistance(input('R20'), input('T'))).ohms }),
  })
})

describe('set-points', () => {
  test('warmth lowers the set-point of a lead-acid battery, 25 °C leaves every one as it is, lithium is not compensated', () => {
    const celsius = evenly(-20, 60)
    fc.assert(
      fc.property(celsius, evenly(0.1, 20), (batteryCelsius, warmer) => {
        for (const kind of ['flooded', 'agm', 'gel', 'lithium-iron-phosphate'] as const) {
          const voltsAt25Celsius = SET_POINTS_AT_25_CELSIUS[kind].absorption.low
          const at = (temperature: number) =>
            figures(
              compensatedSetPoint({
                voltsAt25Celsius,
                millivoltsPerCelsiusPerCell: COMPENSATION_MILLIVOLTS[kind],
                cells: 6,
                batteryCelsius: temperature,
              }),
            ).volts
          expect(at(25)).toBe(voltsAt25Celsius)
          if (kind === 'lithium-iron-phosphate') expect(at(batteryCelsius)).toBe(voltsAt25Celsius)
          else expect(at(batteryCelsius + warmer)).toBeLessThan(at(batteryCelsius))
        }
      }),
    )
  })

  test('a coefficient without its minus is a problem in words', () => {
    const given = { voltsAt25Celsius: 14.4, millivoltsPerCelsiusPerCell: 4, cells: 6, batteryCelsius: 10 }
    expect(compensatedSetPoint(given)).toMatchObject({ problem: expect.stringContaining('write it with a minus') })
  })
})

describe('state of charge from rest volts', () => {
  const bci = REST_VOLTAGE_TABLES['flooded-bci']
  const tables = Object.values(REST_VOLTAGE_TABLES)

  test('every table gives its own rows, rises with voltage and names its source', () => {
    for (const table of tables) {
      for (const { restVolts, percent } of table.rows) {
        const got = figures(stateOfCharge(table, { batteryKind: table.kind, restVolts }))
        expect(got.percent).toBeCloseTo(percent, 9)
        expect(got).toMatchObject({ reach: 'in-table', source: table.source })
      }
      fc.assert(
        fc.property(evenly(10.6, 12.6), evenly(0, 0.05), (restVolts, more) => {
          const at = (volts: number) =>
            figures(stateOfCharge(table, { batteryKind: table.kind, restVolts: volts })).percent
          expect(at(restVolts + more)).toBeGreaterThanOrEqual(at(restVolts))
          expect(at(restVolts)).toBeGreaterThanOrEqual(0)
          expect(at(restVolts)).toBeLessThanOrEqual(100)
        }),
      )
    }
  })

  test('the two tables for flooded batteries disagree by a quarter of the charge on one reading', () => {
    const reading = { batteryKind: 'flooded', restVolts: 12.06 } as const
    expect(figures(stateOfCharge(bci, reading)).percent).toBeCloseTo(25, 9)
    expect(figures(stateOfCharge(REST_VOLTAGE_TABLES['flooded-to-10-5-volts'], reading)).percent).toBeCloseTo(50, 9)
  })

  test('cells in series scale the table: 24.7 V of twelve cells is 12.35 V of six', () => {
    const six = figures(stateOfCharge(bci, { batteryKind: 'flooded', restVolts: 12.35 }))
    const twelve = figures(stateOfCharge(bci, { batteryKind: 'flooded', restVolts: 24.7, cells: 12 }))
    expect(twelve.percent).toBeCloseTo(six.percent, 9)
  })

  test('a reading beyond the table says so, and one that was not at rest is a problem', () => {
    const at = (restVolts: number) => stateOfCharge(bci, { batteryKind: 'flooded', restVolts })
    expect(at(12.7)).toMatchObject({ ok: true, percent: 100, reach: 'above-table' })
    expect(at(11.4)).toMatchObject({ ok: true, percent: 0, reach: 'below-table' })
    expect(at(13.6)).toMatchObject({ problem: expect.stringContaining('Higher than a full battery at rest') })
  })

  test('lithium is not judged by rest volts, and a table serves its own kind only', () => {
    expect(stateOfCharge(bci, { batteryKind: 'lithium-iron-phosphate', restVolts: 13.2 })).toMatchObject({
      ok: false,
      problem: expect.stringContaining('lithium'),
    })
    expect(stateOfCharge(bci, { batteryKind: 'gel', restVolts: 12.5 })).toEqual({
      ok: false,
      problem: 'The table is for a flooded battery and this one is gel; expected the same kind. Pick another table.',
    })
  })

  test('too short a rest is a problem, enough of one is said, and one not recorded is said too', () => {
    const rested = (restedHours?: number) =>
      stateOfCharge(bci, {
        batteryKind: 'flooded',
        restVolts: 12.4,
        ...(restedHours === undefined ? {} : { restedHours }),
      })
    expect(rested(1)).toMatchObject({
      problem: expect.stringContaining('The time at rest was 1 h; expected 3 h or more'),
    })
    expect(rested(3)).toMatchObject({ ok: true, rest: 'long-enough' })
    expect(rested()).toMatchObject({ ok: true, rest: 'not-recorded' })
  })

  test('a table with no rows, or with rows that rise, is a problem', () => {
    const reading = { batteryKind: 'flooded', restVolts: 12.4 } as const
    for (const rows of [[], [{ restVolts: 12, percent: 50 }], [...bci.rows].reverse()])
      expect(stateOfCharge({ ...bci, rows }, reading)).toMatchObject({
        problem: expect.stringContaining('Mend the table'),
      })
  })
})

describe('Peukert', () => {
  const exponents = evenly(1, 1.5)

  test('at the rated current a battery runs for its rated time, whatever the exponent', () => {
    fc.assert(
      fc.property(exponents, (exponent) => {
        const got = figures(timeFromRated({ ratedAmpHours: 100, ratedHours: 20, exponent, amps: 5 }))
        expect(got.hours).toBeCloseTo(20, 9)
        expect(got.ampHours).toBeCloseTo(100, 9)
      }),
    )
  })

  test('more amps give fewer hours and never more amp-hours; an exponent of one loses nothing', () => {
    fc.assert(
      fc.property(exponents, evenly(1, 80), evenly(1.01, 2), (exponent, amps, times) => {
        const at = (current: number) =>
          figures(timeFromRated({ ratedAmpHours: 100, ratedHours: 20, exponent, amps: current }))
        expect(at(amps * times).hours).toBeLessThan(at(amps).hours)
        expect(at(amps * times).ampHours).toBeLessThanOrEqual(at(amps).ampHours * (1 + 1e-12))
      }),
    )
    expect(figures(timeFromRated({ ratedAmpHours: 100, ratedHours: 20, exponent: 1, amps: 25 })).ampHours).toBeCloseTo(
      100,
      9,
    )
  })

  test('the two forms agree once the Peukert capacity is that of the rating', () => {
    fc.assert(
      fc.property(exponents, evenly(1, 80), (exponent, amps) => {
        const rated = figures(timeFromRated({ ratedAmpHours: 100, ratedHours: 20, exponent, amps })).hours
        const peukertCapacity = 20 * 5 ** exponent
        const textbook = figures(timeFromPeukertCapacity({ peukertCapacity, exponent, amps })).hours
        expect(textbook / rated).toBeCloseTo(1, 9)
      }),
    )
  })

  test('two discharges by the law give back its exponent, and two that cannot be do not', () => {
    fc.assert(
      fc.property(evenly(1.001, 1.5), (exponent) => {
        const hoursAt = (amps: number) =>
          figures(timeFromRated({ ratedAmpHours: 100, ratedHours: 20, exponent, amps })).hours
        const got = peukertExponent({ amps: 5, hours: hoursAt(5) }, { amps: 25, hours: hoursAt(25) })
        expect(figures(got).exponent).toBeCloseTo(exponent, 9)
      }),
    )
    expect(peukertExponent({ amps: 5, hours: 20 }, { amps: 5, hours: 19 })).toMatchObject({
      problem: expect.stringContaining('Both discharges were at 5 A'),
    })
    expect(peukertExponent({ amps: 5, hours: 2 }, { amps: 25, hours: 20 })).toMatchObject({ ok: false })
  })
})

describe('battery tests', () => {
  test('a hydrometer reading typed without its decimal point is a problem in words', () => {
    expect(correctedSpecificGravity(1265, 20)).toMatchObject({
      problem: expect.stringContaining('1.265 and not 1265'),
    })
  })

  test('the published pair agrees: 1.296 at 40 °F is 1.280 at 80 °F (US Army TM 5-1185, Table IV)', () => {
    expect(figures(correctedSpecificGravity(1.296, 40 / 9)).specificGravityAt80Fahrenheit).toBeCloseTo(1.28, 9)
    expect(figures(correctedSpecificGravity(1.28, 80 / 3)).specificGravityAt80Fahrenheit).toBeCloseTo(1.28, 9)
  })

  test('a battery that outlasts its rating comes out above 100 %', () => {
    expect(figures(capacityFromTest({ actualHours: 11, ratedHours: 10 })).capacityPercent).toBeCloseTo(110, 9)
    expect(capacityFromTest({ actualHours: 11, ratedHours: 0 })).toMatchObject({ ok: false })
  })
})

describe('conductors', () => {
  test('the drop grows with length and amps and shrinks with copper, each in proportion', () => {
    fc.assert(
      fc.property(
        evenly(1, 40),
        evenly(1, 120),
        evenly(1, 200),
        (lengthBothWaysMetres, areaSquareMillimetres, amps) => {
          const wire = { lengthBothWaysMetres, areaSquareMillimetres, amps, systemVolts: 12 }
          const { dropVolts } = figures(voltDrop(wire))
          expect(figures(voltDrop({ ...wire, amps: 2 * amps })).dropVolts / dropVolts).toBeCloseTo(2, 9)
          const twiceAsLong = figures(voltDrop({ ...wire, lengthBothWaysMetres: 2 * lengthBothWaysMetres }))
          expect(twiceAsLong.dropVolts / dropVolts).toBeCloseTo(2, 9)
          const twiceTheCopper = figures(voltDrop({ ...wire, areaSquareMillimetres: 2 * areaSquareMillimetres }))
          expect(twiceTheCopper.dropVolts / dropVolts).toBeCloseTo(0.5, 9)
        },
      ),
    )
  })

  test('the conductor that the drop asks for has at most that drop, by the copper tables', () => {
    const squareMillimetresPerCircularMil = (Math.PI / 4) * 0.0254 ** 2
    fc.assert(
      fc.property(evenly(1, 100), evenly(2, 100), (amps, lengthBothWaysFeet) => {
        const { circularMils } = figures(conductorForDrop({ amps, lengthBothWaysFeet, allowedDropVolts: 0.36 }))
        const { dropVolts } = figures(
          voltDrop({
            lengthBothWaysMetres: lengthBothWaysFeet * 0.3048,
            areaSquareMillimetres: circularMils * squareMillimetresPerCircularMil,
            amps,
            systemVolts: 12,
          }),
        )
        expect(dropVolts).toBeLessThanOrEqual(0.36)
        expect(dropVolts).toBeGreaterThan(0.36 * 0.95)
      }),
    )
  })

  test('a warm conductor resists more, and no drop allowed is a problem', () => {
    expect(figures(copperResistance(0.01, 20)).ohms).toBe(0.01)
    expect(figures(copperResistance(0.01, 70)).ohms).toBeGreaterThan(0.01)
    expect(conductorForDrop({ amps: 10, lengthBothWaysFeet: 21, allowedDropVolts: 0 })).toMatchObject({ ok: false })
  })
})
