import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  CLAW_POLE_EFFICIENCY,
  inHand,
  torqueAsked,
  torqueAskedAtEngineSpeed,
} from '../../projections/mechanics/alternator-torque.ts'
import { type BeltFigures, type CheckedDrive, checkBelt } from '../../projections/mechanics/belt-check.ts'
import {
  ARC_OF_CONTACT_TABLE,
  arcOfContactFactor,
  deflectionByRule,
  freeSpan,
  wrap,
} from '../../projections/mechanics/belt-geometry.ts'
import { effectiveFriction, gripExponent, slackSide, tensionRatio } from '../../projections/mechanics/belt-grip.ts'
import {
  allowedTension,
  beltMass,
  beltSpeed,
  beltsNeeded,
  centrifugalTension,
  powerOfOneBelt,
} from '../../projections/mechanics/belt-power.ts'
import { tensionKept, USUAL_RELAXATION } from '../../projections/mechanics/belt-relaxation.ts'
import { combinedSlip, drivenSpeed, slipFromSpeeds } from '../../projections/mechanics/belt-slip.ts'
import { slipTorque, slipTorqueOfSet, tensionFromSlipTorque } from '../../projections/mechanics/belt-slip-torque.ts'
import { bearingPull, tensionFromDeflection, tensionFromPluck } from '../../projections/mechanics/belt-tension.ts'
import { evenly } from './even-numbers.ts'
import { figures, type Inputs, testWorkedExamples, workedExamples } from './worked-examples.ts'

const MILLIMETRES_PER_INCH = 25.4
const radians = (degrees: number) => (degrees * Math.PI) / 180
const degrees = (angle: number) => (angle * 180) / Math.PI

/** A drive with a given (D - d) / C: the formula depends on nothing else, and these pulleys do not touch. */
const driveOf = (differenceOverCentres: number) => ({
  smallDiameterMillimetres: 10,
  largeDiameterMillimetres: 10 + 100 * differenceOverCentres,
  centresMillimetres: 100,
})

const gripOf = (input: Inputs) => ({
  friction: input('mu'),
  wrapRadians: radians(input('wrap_deg')),
  grooveDegrees: input('groove_deg'),
})

const ratioOf = (input: Inputs) => ({ ratio: figures(tensionRatio(gripOf(input))).ratio })

describe('worked examples', () => {
  testWorkedExamples(['belts'], {
    W01: (input) => ({
      deflection_in:
        figures(deflectionByRule(input('span_in') * MILLIMETRES_PER_INCH)).deflectionMillimetres / MILLIMETRES_PER_INCH,
    }),
    W02: (input) => ({ deflection_mm: figures(deflectionByRule(input('span_mm'))).deflectionMillimetres }),
    W03: (input) => {
      const { spanMillimetres } = figures(
        freeSpan({
          largeDiameterMillimetres: input('D_in') * MILLIMETRES_PER_INCH,
          smallDiameterMillimetres: input('d_in') * MILLIMETRES_PER_INCH,
          centresMillimetres: input('C_in') * MILLIMETRES_PER_INCH,
        }),
      )
      return {
        span_in: spanMillimetres / MILLIMETRES_PER_INCH,
        deflection_in: figures(deflectionByRule(spanMillimetres)).deflectionMillimetres / MILLIMETRES_PER_INCH,
      }
    },
    W04: (input) => ({ wrap_deg: degrees(figures(wrap(driveOf(input('DmdC')))).smallWrapRadians) }),
    W05: (input) => ({ wrap_deg: degrees(figures(wrap(driveOf(input('DmdC')))).smallWrapRadians) }),
    W06: (input) => ({ factor: figures(arcOfContactFactor(input('wrap'))).factor }),
    W07: (input) => {
      const wrapRadians = input('turns') * 2 * Math.PI
      const { exponent } = figures(gripExponent({ friction: input('mu'), wrapRadians }))
      return {
        wrap_rad: wrapRadians,
        hold_lbf: figures(slackSide({ tightNewtons: input('load_lbf'), exponent })).slackNewtons,
      }
    },
    W08: (input) => ({
      mu_eff: figures(effectiveFriction(gripOf(input))).effectiveFriction,
      ...ratioOf(input),
    }),
    W09: ratioOf,
    W10: ratioOf,
    W11: (input) => {
      const sectionSquareMillimetres = input('A_m2') * 1e6
      const smallDiameterMillimetres = input('d_m') * 1000
      const { beltMetresPerSecond } = figures(
        beltSpeed({ pulleyDiameterMillimetres: smallDiameterMillimetres, pulleyRpm: input('n_rpm') }),
      )
      const { massKilogramsPerMetre } = figures(
        beltMass({ sectionSquareMillimetres, densityKilogramsPerCubicMetre: input('rho') }),
      )
      const { centrifugalNewtons } = figures(centrifugalTension({ massKilogramsPerMetre, beltMetresPerSecond }))
      const { tightNewtons } = figures(
        allowedTension({ sectionSquareMillimetres, allowedMegapascals: input('sigma_Pa') / 1e6 }),
      )
      const { smallWrapRadians, largeWrapRadians } = figures(
        wrap({
          smallDiameterMillimetres,
          largeDiameterMillimetres: input('D_m') * 1000,
          centresMillimetres: input('C_m') * 1000,
        }),
      )
      const inGroove = figures(
        gripExponent({
          friction: input('mu'),
          wrapRadians: smallWrapRadians,
          grooveDegrees: 2 * input('half_groove_deg'),
        }),
      ).exponent
      const onFlat = figures(gripExponent({ friction: input('mu'), wrapRadians: largeWrapRadians })).exponent
      const one = figures(
        powerOfOneBelt({ tightNewtons, centrifugalNewtons, beltMetresPerSecond, exponents: [inGroove, onFlat] }),
      )
      expect(one.governedBy, 'the large plain pulley governs').toBe(1)
      return {
        v: beltMetresPerSecond,
        m_per_m: massKilogramsPerMetre,
        Tc: centrifugalNewtons,
        T1: tightNewtons,
        wrap_small_rad: smallWrapRadians,
        wrap_large_rad: largeWrapRadians,
        e_small: inGroove,
        e_large: onFlat,
        T2: one.slackNewtons,
        P_belt: one.powerWatts,
        belts: figures(beltsNeeded({ powerWatts: input('P_W'), powerOfOneWatts: one.powerWatts })).belts,
      }
    },
    W12: (input) => {
      const result = figures(
        slipTorque(
          { ...gripOf(input), pulleyDiameterMillimetres: input('r_m') * 2000 },
          { model: 'fixed-centres', installedNewtons: input('Ti_N') },
        ),
      )
      expect(result.model).toBe('fixed-centres')
      return {
        ratio: result.ratio,
        dT: result.pullNewtons,
        T1: result.tightNewtons,
        T2: result.slackNewtons,
        slip_torque: result.slipTorqueNewtonMetres,
      }
    },
    W13: (input) => {
      const result = figures(
        slipTorque(
          { ...gripOf(input), pulleyDiameterMillimetres: input('r_m') * 2000 },
          { model: 'constant-slack', slackNewtons: input('T2_N') },
        ),
      )
      expect(result.model).toBe('constant-slack')
      return { ratio: result.ratio, slip_torque: result.slipTorqueNewtonMetres }
    },
    W14: (input) => ({
      slip_torque_all: figures(slipTorqueOfSet(input('slip_torque_one'), input('belts'))).slipTorqueNewtonMetres,
    }),
    W15: (input) => {
      const spanMillimetres = 400
      const { deflectionMillimetres } = figures(deflectionByRule(spanMillimetres))
      const { tensionNewtons } = figures(
        tensionFromDeflection({ forceNewtons: input('F_N'), spanMillimetres, deflectionMillimetres }),
      )
      return { T_N: tensionNewtons }
    },
    W16: (input) => ({
      T_N: figures(
        tensionFromPluck({
          hertz: input('f_Hz'),
          spanMillimetres: input('L_m') * 1000,
          massKilogramsPerMetre: input('m_kg_m'),
        }),
      ).tensionNewtons,
    }),
    W17: (input) => {
      const result = figures(
        slipFromSpeeds(
          {
            driverRpm: input('n1'),
            driverDiameterMillimetres: input('d1_mm'),
            drivenDiameterMillimetres: input('d2_mm'),
          },
          input('n2_measured'),
        ),
      )
      return { n2_noslip: result.drivenWithoutSlipRpm, slip_pct: result.slipPercent }
    },
    W18: (input) => ({ s_total_pct: figures(combinedSlip([input('s1_pct'), input('s2_pct')])).slipPercent }),
    W19: (input) => {
      const asked = figures(
        torqueAsked({
          volts: input('V'),
          amps: input('I'),
          efficiency: input('eff'),
          alternatorRpm: input('n_alt'),
        }),
      )
      const { torqueAskedNewtonMetres } = asked
      return {
        P_el: asked.electricalWatts,
        P_mech: asked.mechanicalWatts,
        torque: torqueAskedNewtonMetres,
        margin: figures(
          inHand({ slipTorqueNewtonMetres: input('slip_torque'), basis: 'fixed-centres', torqueAskedNewtonMetres }),
        ).inHandRatio,
      }
    },
  })
})

describe('geometry', () => {
  test('the wrap formula gives the published degrees for every (D - d) / C of the table (Table 3-3, factor G)', () => {
    expect(ARC_OF_CONTACT_TABLE).toHaveLength(16)
    ARC_OF_CONTACT_TABLE.forEach(({ wrapDegrees }, tenth) => {
      const { smallWrapRadians } = figures(wrap(driveOf(tenth / 10)))
      expect(Math.abs(degrees(smallWrapRadians) - wrapDegrees)).toBeLessThanOrEqual(0.5)
    })
  })

  test('the factor falls with the wrap and gives each published row itself', () => {
    for (const { wrapDegrees, factor } of ARC_OF_CONTACT_TABLE)
      expect(figures(arcOfContactFactor(wrapDegrees)).factor).toBeCloseTo(factor, 12)
    fc.assert(
      fc.property(evenly(83, 179), evenly(0, 1), (low, more) => {
        expect(figures(arcOfContactFactor(low + more)).factor).toBeGreaterThanOrEqual(
          figures(arcOfContactFactor(low)).factor,
        )
      }),
    )
  })

  test('nothing is guessed beyond the table', () => {
    for (const wrapDegrees of [82.9, 180.1, Number.NaN])
      expect(arcOfContactFactor(wrapDegrees)).toMatchObject({
        ok: false,
        problem: expect.stringMatching(/^The wrap was .*expected .*83 degrees or more and 180 degrees or less/),
      })
  })

  test('the two wraps make a whole turn and equal pulleys half a turn each', () => {
    fc.assert(
      fc.property(openDrive(), (drive) => {
        const { smallWrapRadians, largeWrapRadians } = figures(wrap(drive))
        expect(smallWrapRadians + largeWrapRadians).toBeCloseTo(2 * Math.PI, 12)
        expect(smallWrapRadians).toBeLessThanOrEqual(Math.PI)
        expect(figures(freeSpan(drive)).spanMillimetres).toBeLessThanOrEqual(drive.centresMillimetres)
        const equal = { ...drive, largeDiameterMillimetres: drive.smallDiameterMillimetres }
        expect(figures(wrap(equal)).smallWrapRadians).toBe(Math.PI)
        expect(figures(freeSpan(equal)).spanMillimetres).toBeCloseTo(drive.centresMillimetres, 9)
      }),
    )
  })

  test('pulleys that would touch, or are given the wrong way round, are a problem in words', () => {
    const drive = { smallDiameterMillimetres: 70, largeDiameterMillimetres: 150, centresMillimetres: 110 }
    expect(wrap(drive)).toEqual({
      ok: false,
      problem:
        'The distance between centres was 110 mm; expected more than 110 mm. Any less and the pulleys would touch: measure from shaft to shaft again.',
    })
    expect(freeSpan({ ...drive, largeDiameterMillimetres: 60 })).toMatchObject({ ok: false })
  })
})

describe('grip', () => {
  test('more friction, more wrap and a narrower groove hold more; a groove of 180 degrees is a flat belt', () => {
    fc.assert(
      fc.property(grip(), evenly(1.01, 1.3), (held, more) => {
        const { ratio } = figures(tensionRatio(held))
        expect(ratio).toBeGreaterThan(1)
        expect(figures(tensionRatio({ ...held, friction: held.friction * more })).ratio).toBeGreaterThan(ratio)
        expect(figures(tensionRatio({ ...held, wrapRadians: held.wrapRadians * more })).ratio).toBeGreaterThan(ratio)
        expect(figures(tensionRatio({ ...held, grooveDegrees: held.grooveDegrees / more })).ratio).toBeGreaterThan(
          ratio,
        )
        const { friction, wrapRadians } = held
        const flat = figures(tensionRatio({ friction, wrapRadians })).ratio
        expect(figures(tensionRatio({ ...held, grooveDegrees: 180 })).ratio).toBeCloseTo(flat, 9)
      }),
    )
  })

  test('wraps one after another multiply, as turns round a bar do', () => {
    fc.assert(
      fc.property(grip(), evenly(0.1, 3), (held, further) => {
        const both = figures(tensionRatio({ ...held, wrapRadians: held.wrapRadians + further })).ratio
        const apart = figures(tensionRatio(held)).ratio * figures(tensionRatio({ ...held, wrapRadians: further })).ratio
        expect(both / apart).toBeCloseTo(1, 9)
      }),
    )
  })

  test('centrifugal tension comes off both sides before the ratio', () => {
    const slack = figures(slackSide({ tightNewtons: 500, exponent: 1, centrifugalNewtons: 100 })).slackNewtons
    expect((500 - 100) / (slack - 100)).toBeCloseTo(Math.E, 12)
    expect(slackSide({ tightNewtons: 500, exponent: 1, centrifugalNewtons: 500 })).toMatchObject({ ok: false })
  })

  test('a belt with no pulley named, or at rest, carries no power that could be reckoned', () => {
    const belt = { tightNewtons: 500, centrifugalNewtons: 0, beltMetresPerSecond: 20 }
    expect(powerOfOneBelt({ ...belt, exponents: [] })).toMatchObject({
      problem: expect.stringMatching(/^No pulley was given/),
    })
    expect(powerOfOneBelt({ ...belt, beltMetresPerSecond: 0, exponents: [1] })).toMatchObject({ ok: false })
    expect(figures(beltsNeeded({ powerWatts: 10, powerOfOneWatts: 4000 })).belts).toBe(1)
  })

  test('a grip beyond all numbers is a problem, not infinity', () => {
    expect(tensionRatio({ friction: 2, wrapRadians: 100, grooveDegrees: 1 })).toEqual({
      ok: false,
      problem: expect.stringContaining('beyond what a number can hold'),
    })
  })
})

describe('slip torque', () => {
  test('both models are proportional to tension, diameter and the number of matched belts', () => {
    fc.assert(
      fc.property(grip(), tension(), fc.integer({ min: 1, max: 4 }), (held, newtons, belts) => {
        for (const model of ['fixed-centres', 'constant-slack'] as const) {
          const torque = (times: { tension: number; diameter: number; belts: number }) =>
            figures(
              slipTorque(
                { ...held, pulleyDiameterMillimetres: 70 * times.diameter, belts: times.belts },
                model === 'fixed-centres'
                  ? { model, installedNewtons: newtons * times.tension }
                  : { model, slackNewtons: newtons * times.tension },
              ),
            ).slipTorqueNewtonMetres
          const one = torque({ tension: 1, diameter: 1, belts: 1 })
          expect(torque({ tension: 2, diameter: 1, belts: 1 }) / one).toBeCloseTo(2, 9)
          expect(torque({ tension: 1, diameter: 2, belts: 1 }) / one).toBeCloseTo(2, 9)
          expect(torque({ tension: 1, diameter: 1, belts }) / one).toBeCloseTo(belts, 9)
          expect(torque({ tension: 1, diameter: 1, belts })).toBeCloseTo(
            figures(slipTorqueOfSet(one, belts)).slipTorqueNewtonMetres,
            9,
          )
        }
      }),
    )
  })

  test('fixed centres keep the sum of the tensions and never give more than twice the installed one', () => {
    fc.assert(
      fc.property(grip(), tension(), (held, installedNewtons) => {
        const result = figures(
          slipTorque({ ...held, pulleyDiameterMillimetres: 70 }, { model: 'fixed-centres', installedNewtons }),
        )
        expect(result.tightNewtons + result.slackNewtons).toBeCloseTo(2 * installedNewtons, 6)
        expect(result.pullNewtons).toBeLessThan(2 * installedNewtons)
        expect(result.tightNewtons / result.slackNewtons / result.ratio).toBeCloseTo(1, 6)
      }),
    )
  })

  test('the two models part fourfold on the same drive, so neither result comes without its name', () => {
    const w12 = workedExamples.find(({ id }) => id === 'W12')!
    const w13 = workedExamples.find(({ id }) => id === 'W13')!
    expect(w13.expected.slip_torque!.value / w12.expected.slip_torque!.value).toBeCloseTo(3.94, 2)
  })

  test('a slip-torque check gives back the tension, belt for belt, under either model', () => {
    fc.assert(
      fc.property(grip(), tension(), fc.integer({ min: 1, max: 3 }), (held, newtons, belts) => {
        const pulley = { ...held, pulleyDiameterMillimetres: 70, belts }
        const fixed = figures(slipTorque(pulley, { model: 'fixed-centres', installedNewtons: newtons }))
        const held2 = figures(slipTorque(pulley, { model: 'constant-slack', slackNewtons: newtons }))
        for (const { model, slipTorqueNewtonMetres } of [fixed, held2]) {
          const back = figures(tensionFromSlipTorque(pulley, slipTorqueNewtonMetres, model))
          expect(back.model).toBe(model)
          expect(back.tensionNewtons / newtons).toBeCloseTo(1, 9)
        }
      }),
    )
  })

  test('a lightly loaded pump belt with a long wrap needs a small part of the tension that an alternator does', () => {
    const groove = { friction: 0.3, grooveDegrees: 38 }
    const pump = figures(
      tensionFromSlipTorque({ ...groove, wrapRadians: 3.4, pulleyDiameterMillimetres: 120 }, 1.5, 'fixed-centres'),
    )
    const alternator = figures(
      tensionFromSlipTorque({ ...groove, wrapRadians: 2.1, pulleyDiameterMillimetres: 70 }, 15, 'fixed-centres'),
    )
    expect(pump.tensionNewtons * 10).toBeLessThan(alternator.tensionNewtons)
  })

  test('half a belt and no tension are problems in words', () => {
    const pulley = { friction: 0.3, wrapRadians: 2, pulleyDiameterMillimetres: 70 }
    expect(slipTorque({ ...pulley, belts: 1.5 }, { model: 'fixed-centres', installedNewtons: 300 })).toMatchObject({
      problem: expect.stringContaining('Give a whole number of belts.'),
    })
    expect(slipTorque(pulley, { model: 'fixed-centres', installedNewtons: 0 })).toEqual({
      ok: false,
      problem:
        'The installed belt tension was 0 N; expected more than 0 N. Look at the entry or setting that it came from.',
    })
  })
})

describe('tension', () => {
  test('a stiffness term lowers it, and one that eats the whole force is a problem', () => {
    const press = { forceNewtons: 25, spanMillimetres: 400, deflectionMillimetres: 6.25 }
    expect(figures(tensionFromDeflection({ ...press, stiffnessNewtons: 40 })).tensionNewtons).toBeCloseTo(360, 9)
    expect(tensionFromDeflection({ ...press, stiffnessNewtons: 400 })).toMatchObject({ ok: false })
  })

  test('a deflection of more than a tenth of the span is beyond the relation', () => {
    expect(tensionFromDeflection({ forceNewtons: 25, spanMillimetres: 120, deflectionMillimetres: 13 })).toMatchObject({
      problem: expect.stringContaining('Press the middle of the longest span less far'),
    })
  })

  test('twice the note is four times the tension', () => {
    fc.assert(
      fc.property(evenly(10, 200), (hertz) => {
        const belt = { spanMillimetres: 300, massKilogramsPerMetre: 0.1 }
        const low = figures(tensionFromPluck({ ...belt, hertz })).tensionNewtons
        expect(figures(tensionFromPluck({ ...belt, hertz: 2 * hertz })).tensionNewtons / low).toBeCloseTo(4, 9)
      }),
    )
  })

  test('half a turn of belt pulls its bearings with both spans in full (elementary statics)', () => {
    const half = figures(bearingPull({ tensionNewtons: 300, wrapRadians: Math.PI, belts: 2 }))
    expect(half.bearingPullNewtons).toBeCloseTo(1200, 9)
    const third = figures(bearingPull({ tensionNewtons: 300, wrapRadians: radians(120), belts: 1 }))
    expect(third.bearingPullNewtons).toBeCloseTo(300 * Math.sqrt(3), 9)
  })
})

describe('speed loss and torque asked', () => {
  test('slip put in comes out again', () => {
    fc.assert(
      fc.property(evenly(0, 90), fc.integer({ min: 600, max: 3600 }), (slip, driverRpm) => {
        const pair = { driverRpm, driverDiameterMillimetres: 140, drivenDiameterMillimetres: 65 }
        const { drivenRpm } = figures(drivenSpeed(pair, slip))
        expect(figures(slipFromSpeeds(pair, drivenRpm)).slipPercent).toBeCloseTo(slip, 8)
      }),
    )
  })

  test('combined slip is no more than the sum and no less than the greatest', () => {
    fc.assert(
      fc.property(fc.array(evenly(0, 100), { minLength: 1, maxLength: 4 }), (slips) => {
        const { slipPercent } = figures(combinedSlip(slips))
        expect(slipPercent).toBeLessThanOrEqual(slips.reduce((sum, slip) => sum + slip, 0) + 1e-9)
        expect(slipPercent).toBeGreaterThanOrEqual(Math.max(...slips) - 1e-9)
      }),
    )
    expect(figures(combinedSlip([])).slipPercent).toBe(0)
  })

  test('the same output asks more torque at lower speed and with a poorer alternator, and none without amps', () => {
    const pair = { driverDiameterMillimetres: 140, drivenDiameterMillimetres: 70 }
    const asked = (driverRpm: number, amps: number, efficiency?: number) =>
      figures(
        torqueAskedAtEngineSpeed(
          { ...pair, driverRpm },
          { volts: 14.2, amps, ...(efficiency === undefined ? {} : { efficiency }) },
        ),
      ).torqueAskedNewtonMetres
    expect(asked(1200, 40)).toBeCloseTo(2 * asked(2400, 40), 9)
    expect(asked(2000, 40, CLAW_POLE_EFFICIENCY.low)).toBeGreaterThan(asked(2000, 40, CLAW_POLE_EFFICIENCY.high))
    expect(asked(2000, 0)).toBe(0)
    expect(asked(2000, 60, 0.55)).toBeCloseTo(workedExamples.find(({ id }) => id === 'W19')!.expected.torque!.value, 9)
  })

  test('a stopped engine asks nothing that could be reckoned with, and says so', () => {
    const pair = { driverRpm: 0, driverDiameterMillimetres: 140, drivenDiameterMillimetres: 70 }
    expect(torqueAskedAtEngineSpeed(pair, { volts: 14.2, amps: 40 })).toMatchObject({
      problem: expect.stringContaining('A stopped alternator asks nothing'),
    })
    expect(slipFromSpeeds(pair, 0)).toMatchObject({ ok: false })
  })

  test('in hand names its basis, calls itself static, and draws no line', () => {
    const ratios = evenly(0, 50)
    const says = new Set<string>()
    fc.assert(
      fc.property(ratios, (slipTorqueNewtonMetres) => {
        const result = figures(inHand({ slipTorqueNewtonMetres, basis: 'checked', torqueAskedNewtonMetres: 4 }))
        expect(result.inHandRatio).toBeCloseTo(slipTorqueNewtonMetres / 4, 12)
        expect(result.basis).toBe('checked')
        says.add(result.says)
      }),
    )
    expect(says.size).toBe(1)
    expect([...says][0]).toMatch(/^A static figure/)
    expect(inHand({ slipTorqueNewtonMetres: 20, basis: 'checked', torqueAskedNewtonMetres: 0 })).toMatchObject({
      ok: false,
    })
  })
})

describe('relaxation', () => {
  test('nothing is lost at once, something with every hour, and never all of it', () => {
    const hours = evenly(0, 2000)
    fc.assert(
      fc.property(hours, hours, evenly(0.1, 100), (before, since, more) => {
        const kept = (hoursSince: number) =>
          figures(tensionKept({ beltHoursWhenTensioned: before, hoursSince })).shareKept
        expect(kept(0)).toBe(1)
        expect(kept(since + more)).toBeLessThan(kept(since))
        expect(kept(since + more)).toBeGreaterThan(0)
      }),
    )
  })

  test('a new belt loses fast: most of the running-in loss is over by eight hours, and a used belt hardly moves', () => {
    const newBelt = (hoursSince: number) => figures(tensionKept({ beltHoursWhenTensioned: 0, hoursSince })).shareKept
    const usedBelt = (hoursSince: number) => figures(tensionKept({ beltHoursWhenTensioned: 50, hoursSince })).shareKept
    expect(newBelt(2)).toBeLessThan(0.85)
    expect(1 - newBelt(8)).toBeGreaterThan(0.9 * USUAL_RELAXATION.runInLoss)
    expect(usedBelt(8)).toBeGreaterThan(0.99)
  })

  test('run in, a belt keeps new over used tension as the published deflection forces have it (Table 5: 5.5/3.7 and 4.2/2.8)', () => {
    const kept = figures(tensionKept({ beltHoursWhenTensioned: 0, hoursSince: 24 })).shareKept
    expect(Math.abs(kept - 3.7 / 5.5)).toBeLessThan(0.02)
    expect(Math.abs(kept - 2.8 / 4.2)).toBeLessThan(0.02)
  })

  test('two stretches of running add up to one', () => {
    const first = figures(tensionKept({ beltHoursWhenTensioned: 0, hoursSince: 5 })).shareKept
    const then = figures(tensionKept({ beltHoursWhenTensioned: 5, hoursSince: 20 })).shareKept
    expect(first * then).toBeCloseTo(figures(tensionKept({ beltHoursWhenTensioned: 0, hoursSince: 25 })).shareKept, 12)
  })
})

describe('checks', () => {
  const locked: CheckedDrive = { tensioning: 'locked', pulley: 'solid', duty: 'alternator' }
  const torque = (slipTorqueNewtonMetres: number) => ({ kind: 'slip-torque', slipTorqueNewtonMetres }) as const
  // US Army TM 9-2320-312-24-2, Table 3: 13.9 mm belt, 578 +/- 111 N new, 445 +/- 44 N used, used after 30 min.
  const armyTargets: BeltFigures = {
    targets: { new: { low: 467, high: 689 }, used: { low: 401, high: 489 }, usedAfterMinutes: 30 },
  }
  const pressedAt = (newtons: number) =>
    ({ kind: 'deflection', spanMillimetres: 320, deflectionMillimetres: 5, forceNewtons: newtons / 16 }) as const

  test('an automatic tensioner and an overrunning pulley are left out of every check, in words', () => {
    const checks = [
      torque(12),
      pressedAt(300),
      { kind: 'pluck', spanMillimetres: 300, hertz: 60, massKilogramsPerMetre: 0.1 } as const,
    ]
    for (const check of checks) {
      expect(checkBelt({ ...locked, tensioning: 'automatic-tensioner' }, check, { asSet: 24 })).toMatchObject({
        ok: true,
        judged: false,
        because: 'automatic-tensioner',
        says: expect.stringMatching(/^Left out of the checks/),
      })
      expect(checkBelt({ ...locked, pulley: 'overrunning' }, check, { asSet: 24 })).toMatchObject({
        ok: true,
        judged: false,
        because: 'overrunning-pulley',
        says: expect.stringMatching(/^Left out of the checks/),
      })
    }
  })

  test('a deflection without its force is recorded but not judged', () => {
    const check = { kind: 'deflection', spanMillimetres: 320, deflectionMillimetres: 6.35 } as const
    expect(checkBelt(locked, check, { asSet: 400, ...armyTargets, minutesRun: 600 })).toMatchObject({
      ok: true,
      judged: false,
      because: 'no-force',
    })
  })

  test("the owner's as-set figure comes before targets and before common practice", () => {
    expect(checkBelt(locked, torque(18), { asSet: 24 })).toMatchObject({
      against: 'as-set',
      reference: 24,
      share: 0.75,
    })
    expect(checkBelt(locked, pressedAt(420), { asSet: 400, ...armyTargets, minutesRun: 600 })).toMatchObject({
      against: 'as-set',
      share: 1.05,
    })
    expect(checkBelt(locked, torque(18), {})).toMatchObject({
      against: 'common-practice',
      reference: 20,
      share: 0.9,
      says: expect.stringContaining('not law'),
    })
  })

  test('new and used figures each hold in their time', () => {
    const at = (newtons: number, minutesRun: number) =>
      checkBelt(locked, pressedAt(newtons), { ...armyTargets, minutesRun })
    expect(at(578, 10)).toMatchObject({ against: 'target-new', stands: 'within' })
    expect(at(445, 10)).toMatchObject({ against: 'target-new', stands: 'below' })
    expect(at(445, 30)).toMatchObject({ against: 'target-used', stands: 'within' })
    expect(at(578, 30)).toMatchObject({ against: 'target-used', stands: 'above' })
    expect(at(380, 3000)).toMatchObject({ against: 'target-used', stands: 'below' })
  })

  test('without the running time, or with nothing to compare with, it is recorded and not judged', () => {
    expect(checkBelt(locked, pressedAt(445), armyTargets)).toMatchObject({
      judged: false,
      because: 'minutes-run-unknown',
    })
    expect(checkBelt(locked, pressedAt(445), {})).toMatchObject({ judged: false, because: 'nothing-to-compare-with' })
  })

  test('a pump belt is never held against what alternators need, and too much is what costs it', () => {
    const pump: CheckedDrive = { ...locked, duty: 'pump' }
    expect(checkBelt(pump, torque(8), {})).toMatchObject({ judged: false, because: 'nothing-to-compare-with' })
    const tight = checkBelt(pump, torque(12), { asSet: 8 })
    expect(tight).toMatchObject({ share: 1.5, says: expect.stringContaining('costs bearings') })
    expect(checkBelt(pump, torque(8), { asSet: 8 })).toMatchObject({ says: expect.not.stringContaining('bearings') })
    const above = checkBelt(pump, pressedAt(600), { ...armyTargets, minutesRun: 600 })
    expect(above).toMatchObject({ stands: 'above', says: expect.stringContaining('costs bearings') })
  })

  test('no verdict speaks of slipping or of safety, whatever the figure', () => {
    fc.assert(
      fc.property(
        evenly(0, 100),
        fc.constantFrom<BeltFigures>(
          {},
          { asSet: 24 },
          { ...armyTargets, minutesRun: 0 },
          { ...armyTargets, minutesRun: 90 },
        ),
        (newtonMetres, known) => {
          const verdict = figures(checkBelt(locked, torque(newtonMetres), known))
          expect(verdict.says).not.toMatch(/slips|slipping|safe|good for|sound/i)
        },
      ),
    )
  })

  test('a target upside down is a problem in words', () => {
    const upsideDown: BeltFigures = {
      targets: { new: { low: 600, high: 500 }, used: { low: 401, high: 489 }, usedAfterMinutes: 30 },
      minutesRun: 5,
    }
    expect(checkBelt(locked, pressedAt(445), upsideDown)).toMatchObject({
      problem: expect.stringContaining('The high figure for a new belt was 500 N; expected 600 N or more.'),
    })
  })
})

function openDrive() {
  return fc.tuple(evenly(40, 120), evenly(1, 3), evenly(1.05, 6)).map(([small, times, apart]) => ({
    smallDiameterMillimetres: small,
    largeDiameterMillimetres: small * times,
    centresMillimetres: ((small + small * times) / 2) * apart,
  }))
}

function grip() {
  return fc.record({
    friction: evenly(0.1, 0.6),
    wrapRadians: evenly(1, 3.5),
    grooveDegrees: evenly(30, 60),
  })
}

function tension() {
  return evenly(50, 900)
}
