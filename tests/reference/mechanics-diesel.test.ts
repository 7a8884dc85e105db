import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  consumptionFromHeatRate,
  energyPerLitre,
  fuelRate,
  motoringRange,
  oilUse,
  specificConsumption,
  thermalEfficiency,
} from '../../projections/mechanics/fuel-consumption.ts'
import { inspectionInterval } from '../../projections/mechanics/inspection-interval.ts'
import { wearMetalRise } from '../../projections/mechanics/oil-analysis.ts'
import { PROPELLER_EXPONENT, propellerPower } from '../../projections/mechanics/propeller-law.ts'
import { heatToRawWater, SEA_WATER } from '../../projections/mechanics/raw-water-heat.ts'
import { serviceDue } from '../../projections/mechanics/service-due.ts'
import { evenly } from './even-numbers.ts'
import { figures, testWorkedExamples } from './worked-examples.ts'

describe('worked examples on diesel', () => {
  testWorkedExamples(['diesel'], {
    W32: (input) => {
      const result = figures(propellerPower({ knownKilowatts: input('P1'), knownRpm: input('n1'), rpm: input('n2') }))
      return { P2: result.kilowatts, fraction: result.fraction }
    },
    W33: (input) => ({
      P2: figures(
        propellerPower({
          knownKilowatts: input('P1'),
          knownRpm: input('n1'),
          rpm: input('n2'),
          exponent: PROPELLER_EXPONENT.smallCraft,
        }),
      ).kilowatts,
    }),
    W34: (input) => ({
      L_h: figures(
        fuelRate({
          kilowatts: input('P_kW'),
          gramsPerKilowattHour: input('sfc_g_kWh'),
          kilogramsPerLitre: input('rho_kg_L'),
        }),
      ).litresPerHour,
    }),
    W35: (input) => {
      const { poundsPerHorsepowerHour, horsepowerHoursPerGallon } = figures(
        consumptionFromHeatRate({
          btuPerHorsepowerHour: input('Btu_hph'),
          btuPerPound: input('Btu_lb'),
          poundsPerGallon: input('lb_gal'),
        }),
      )
      return {
        bsfc_lb: poundsPerHorsepowerHour,
        bhp_h_per_gal: horsepowerHoursPerGallon,
        g_kWh: figures(specificConsumption(poundsPerHorsepowerHour)).gramsPerKilowattHour,
      }
    },
    W36: (input) => ({ g_kWh: figures(specificConsumption(input('bsfc_lb'))).gramsPerKilowattHour }),
    W37: (input) => ({
      eff: figures(
        thermalEfficiency({
          gramsPerKilowattHour: input('sfc_g_kWh'),
          megajoulesPerKilogram: input('LHV_MJ_kg'),
        }),
      ).efficiency,
    }),
    W38: (input) => {
      const result = figures(
        energyPerLitre({ kilogramsPerCubicMetre: input('rho'), megajoulesPerKilogram: input('LHV') }),
      )
      return { MJ_L: result.megajoulesPerLitre, kWh_L: result.kilowattHoursPerLitre }
    },
    W39: (input) => {
      expect(SEA_WATER).toEqual({ kilogramsPerLitre: input('rho'), kilojoulesPerKilogramKelvin: input('cp') })
      return {
        kW: figures(heatToRawWater({ litresPerMinute: input('Q_L_min'), riseKelvin: input('dT') })).kilowatts,
      }
    },
    W40: (input) => {
      const result = figures(
        motoringRange({
          tankLitres: input('tank_L'),
          usableShare: input('usable'),
          litresPerHour: input('L_h'),
          knots: input('kn'),
        }),
      )
      return { hours: result.hours, nm: result.nauticalMiles }
    },
    W41: (input) => ({
      pct: figures(oilUse({ oilLitres: input('oil_L'), hours: input('hours'), litresPerHour: input('L_h') }))
        .percentOfFuel,
    }),
  })
})

describe('worked examples on reliability', () => {
  testWorkedExamples(['reliability'], {
    W42: (input) => {
      const result = figures(
        inspectionInterval({
          pfHours: input('PF_h'),
          chanceOfFinding: input('theta'),
          acceptedMiss: input('Pacc'),
        }),
      )
      expect(result.wholeLooks, 'rounding of the logarithms does not add a look').toBe(2)
      return { n: result.looks, interval_h: result.unroundedIntervalHours }
    },
    W43: (input) => {
      const result = figures(
        inspectionInterval({
          pfHours: input('PF_h'),
          chanceOfFinding: input('theta'),
          acceptedMiss: input('Pacc'),
        }),
      )
      return { n: result.looks, n_whole: result.wholeLooks, interval_h: result.intervalHours }
    },
    W44: (input) => {
      const result = figures(
        serviceDue({
          lastHours: input('last_h'),
          everyHours: input('every_h'),
          nowHours: input('now_h'),
          hoursPerDay: input('h_per_day'),
        }),
      )
      return { left_h: result.leftHours, days: result.leftDays }
    },
    W45: (input) => ({
      per10: figures(
        wearMetalRise(
          { partsPerMillion: input('ppm1'), oilHours: input('h1') },
          { partsPerMillion: input('ppm2'), oilHours: input('h2') },
        ),
      ).partsPerMillionPer10Hours,
    }),
  })
})

describe('propeller law', () => {
  test('full speed takes full power, and the power rises with speed, the faster the greater the exponent', () => {
    fc.assert(
      fc.property(evenly(2, 3), fc.integer({ min: 800, max: 2900 }), (exponent, rpm) => {
        const at = (speed: number, power: number) =>
          figures(propellerPower({ knownKilowatts: 30, knownRpm: 3000, rpm: speed, exponent: power })).kilowatts
        expect(at(3000, exponent)).toBe(30)
        expect(at(rpm + 50, exponent)).toBeGreaterThan(at(rpm, exponent))
        expect(at(rpm, exponent + 0.5)).toBeLessThan(at(rpm, exponent))
      }),
    )
  })

  test('a known speed of nought is a problem in words', () => {
    expect(propellerPower({ knownKilowatts: 30, knownRpm: 0, rpm: 2000 })).toEqual({
      ok: false,
      problem:
        'The known engine speed was 0 rpm; expected more than 0 rpm. Look at the entry or setting that it came from.',
    })
  })
})

describe('fuel, oil and heat', () => {
  test('energy burnt times efficiency is the power asked', () => {
    fc.assert(
      fc.property(evenly(1, 60), evenly(180, 400), (kilowatts, gramsPerKilowattHour) => {
        const { litresPerHour } = figures(fuelRate({ kilowatts, gramsPerKilowattHour, kilogramsPerLitre: 0.84 }))
        const heat = { megajoulesPerKilogram: 42.84 }
        const { kilowattHoursPerLitre } = figures(energyPerLitre({ ...heat, kilogramsPerCubicMetre: 840 }))
        const { efficiency } = figures(thermalEfficiency({ ...heat, gramsPerKilowattHour }))
        expect((litresPerHour * kilowattHoursPerLitre * efficiency) / kilowatts).toBeCloseTo(1, 9)
      }),
    )
  })

  test('an engine that would beat its fuel is a problem in words', () => {
    expect(thermalEfficiency({ gramsPerKilowattHour: 3600 / 42.84, megajoulesPerKilogram: 42 })).toMatchObject({
      ok: false,
    })
    expect(thermalEfficiency({ gramsPerKilowattHour: 60, megajoulesPerKilogram: 42.84 })).toMatchObject({
      problem: expect.stringContaining('No engine does better than its fuel'),
    })
  })

  test('range is in proportion to what is in the tank and inversely to the rate', () => {
    const tank = { tankLitres: 200, usableShare: 0.9, litresPerHour: 4, knots: 6 }
    const { nauticalMiles } = figures(motoringRange(tank))
    expect(figures(motoringRange({ ...tank, tankLitres: 100 })).nauticalMiles).toBeCloseTo(nauticalMiles / 2, 9)
    expect(figures(motoringRange({ ...tank, litresPerHour: 2 })).nauticalMiles).toBeCloseTo(nauticalMiles * 2, 9)
    expect(figures(motoringRange({ ...tank, tankLitres: 0 })).hours).toBe(0)
    expect(motoringRange({ ...tank, usableShare: 90 })).toMatchObject({
      problem: expect.stringContaining('nine tenths is 0.9'),
    })
    expect(motoringRange({ ...tank, usableShare: 1.01 })).toMatchObject({ ok: false })
    expect(motoringRange({ ...tank, litresPerHour: 0 })).toMatchObject({ ok: false })
  })

  test('no oil used is nought per cent, and no hours run give no figure', () => {
    expect(figures(oilUse({ oilLitres: 0, hours: 50, litresPerHour: 4 })).percentOfFuel).toBe(0)
    expect(oilUse({ oilLitres: 0.5, hours: 0, litresPerHour: 4 })).toMatchObject({ ok: false })
  })

  test('half the raw water carries the same heat at twice the rise', () => {
    fc.assert(
      fc.property(evenly(2, 80), evenly(1, 20), (litresPerMinute, riseKelvin) => {
        const full = figures(heatToRawWater({ litresPerMinute, riseKelvin })).kilowatts
        const half = figures(heatToRawWater({ litresPerMinute: litresPerMinute / 2, riseKelvin: riseKelvin * 2 }))
        expect(half.kilowatts / full).toBeCloseTo(1, 9)
      }),
    )
  })
})

describe('intervals', () => {
  const chance = evenly(0.05, 0.99)

  test('so many whole looks miss no more often than is accepted, and one fewer would', () => {
    fc.assert(
      fc.property(chance, evenly(1e-4, 0.5), (chanceOfFinding, acceptedMiss) => {
        const { wholeLooks, intervalHours } = figures(
          inspectionInterval({ pfHours: 200, chanceOfFinding, acceptedMiss }),
        )
        expect((1 - chanceOfFinding) ** wholeLooks).toBeLessThanOrEqual(acceptedMiss * (1 + 1e-6))
        if (wholeLooks > 1) expect((1 - chanceOfFinding) ** (wholeLooks - 1)).toBeGreaterThan(acceptedMiss)
        expect(intervalHours).toBeLessThanOrEqual(200)
      }),
    )
  })

  test('a look that always finds, or a miss never accepted, has no interval', () => {
    expect(inspectionInterval({ pfHours: 200, chanceOfFinding: 1, acceptedMiss: 0.01 })).toMatchObject({ ok: false })
    expect(inspectionInterval({ pfHours: 200, chanceOfFinding: 0.9, acceptedMiss: 0 })).toMatchObject({ ok: false })
  })

  test('an overdue service counts backwards, and an idle engine has no date', () => {
    const service = { lastHours: 1240, everyHours: 200, nowHours: 1461, hoursPerDay: 2.1 }
    expect(figures(serviceDue(service))).toMatchObject({ leftHours: -21, leftDays: -10 })
    expect(serviceDue({ ...service, hoursPerDay: 0 })).toMatchObject({
      problem: expect.stringContaining('While she does not run'),
    })
    expect(serviceDue({ ...service, nowHours: 12 })).toMatchObject({
      problem: expect.stringContaining('replaced meter'),
    })
  })

  test('samples on either side of an oil change have no rate of rise, and a fall is negative', () => {
    const first = { partsPerMillion: 47, oilHours: 175 }
    expect(wearMetalRise(first, { partsPerMillion: 8, oilHours: 20 })).toMatchObject({
      problem: expect.stringContaining('after an oil change begin again'),
    })
    expect(figures(wearMetalRise(first, { partsPerMillion: 42, oilHours: 185 })).partsPerMillionPer10Hours).toBeCloseTo(
      -5,
      9,
    )
  })
})
