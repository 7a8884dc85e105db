import { readdirSync, readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { inHand, torqueAsked, torqueAskedAtEngineSpeed } from '../../projections/mechanics/alternator-torque.ts'
import { capacityFromTest, chargingTime, correctedSpecificGravity } from '../../projections/mechanics/battery-test.ts'
import { checkBelt } from '../../projections/mechanics/belt-check.ts'
import { arcOfContactFactor, deflectionByRule, freeSpan, wrap } from '../../projections/mechanics/belt-geometry.ts'
import {
  effectiveFriction,
  gripExponent,
  grooveAngle,
  slackSide,
  tensionRatio,
} from '../../projections/mechanics/belt-grip.ts'
import {
  allowedTension,
  beltMass,
  beltSpeed,
  beltsNeeded,
  centrifugalTension,
  powerOfOneBelt,
} from '../../projections/mechanics/belt-power.ts'
import { tensionKept } from '../../projections/mechanics/belt-relaxation.ts'
import { combinedSlip, drivenSpeed, slipFromSpeeds } from '../../projections/mechanics/belt-slip.ts'
import { slipTorque, slipTorqueOfSet, tensionFromSlipTorque } from '../../projections/mechanics/belt-slip-torque.ts'
import { bearingPull, tensionFromDeflection, tensionFromPluck } from '../../projections/mechanics/belt-tension.ts'
import { compensatedSetPoint } from '../../projections/mechanics/charge-set-point.ts'
import { conductorForDrop, copperResistance, voltDrop } from '../../projections/mechanics/conductor.ts'
import {
  consumptionFromHeatRate,
  energyPerLitre,
  fuelRate,
  motoringRange,
  oilUse,
  specificConsumption,
  thermalEfficiency,
} from '../../projections/mechanics/fuel-consumption.ts'
import { geodesicCourse, geodesicDistance } from '../../projections/mechanics/geodesic.ts'
import { greatCircleCourse, greatCircleDistance } from '../../projections/mechanics/great-circle.ts'
import { inspectionInterval } from '../../projections/mechanics/inspection-interval.ts'
import { wearMetalRise } from '../../projections/mechanics/oil-analysis.ts'
import type { Outcome } from '../../projections/mechanics/outcome.ts'
import { peukertExponent, timeFromPeukertCapacity, timeFromRated } from '../../projections/mechanics/peukert.ts'
import { fromDegreesMinutes } from '../../projections/mechanics/position.ts'
import { propellerPower } from '../../projections/mechanics/propeller-law.ts'
import { heatToRawWater } from '../../projections/mechanics/raw-water-heat.ts'
import { rhumbLineSphere, rhumbLineWgs84 } from '../../projections/mechanics/rhumb-line.ts'
import { serviceDue } from '../../projections/mechanics/service-due.ts'
import { REST_VOLTAGE_TABLES, stateOfCharge } from '../../projections/mechanics/state-of-charge.ts'

/** Six numbers of any kind, as a typing mistake or a broken feed might bring them. */
type Six = [number, number, number, number, number, number]

const relations: Record<string, (six: Six) => Outcome<object>> = {
  torqueAsked: ([volts, amps, alternatorRpm, efficiency]) => torqueAsked({ volts, amps, alternatorRpm, efficiency }),
  torqueAskedAtEngineSpeed: ([driverRpm, driverDiameterMillimetres, drivenDiameterMillimetres, volts, amps]) =>
    torqueAskedAtEngineSpeed({ driverRpm, driverDiameterMillimetres, drivenDiameterMillimetres }, { volts, amps }),
  inHand: ([slipTorqueNewtonMetres, torqueAskedNewtonMetres]) =>
    inHand({ slipTorqueNewtonMetres, basis: 'checked', torqueAskedNewtonMetres }),
  capacityFromTest: ([actualHours, ratedHours]) => capacityFromTest({ actualHours, ratedHours }),
  chargingTime: ([pointsNeeded, pointsPerAmpHour, amps]) => chargingTime({ pointsNeeded, pointsPerAmpHour, amps }),
  correctedSpecificGravity: ([gravity, celsius]) => correctedSpecificGravity(gravity, celsius),
  checkBelt: ([span, deflection, force, low, high, minutesRun]) =>
    checkBelt(
      { tensioning: 'locked', pulley: 'solid', duty: 'alternator' },
      { kind: 'deflection', spanMillimetres: span, deflectionMillimetres: deflection, forceNewtons: force },
      { targets: { new: { low, high }, used: { low, high }, usedAfterMinutes: 30 }, minutesRun },
    ),
  arcOfContactFactor: ([wrapDegrees]) => arcOfContactFactor(wrapDegrees),
  deflectionByRule: ([span]) => deflectionByRule(span),
  freeSpan: ([largeDiameterMillimetres, smallDiameterMillimetres, centresMillimetres]) =>
    freeSpan({ largeDiameterMillimetres, smallDiameterMillimetres, centresMillimetres }),
  wrap: ([largeDiameterMillimetres, smallDiameterMillimetres, centresMillimetres]) =>
    wrap({ largeDiameterMillimetres, smallDiameterMillimetres, centresMillimetres }),
  grooveAngle: ([diameter]) => grooveAngle('A', diameter),
  effectiveFriction: ([friction, grooveDegrees]) => effectiveFriction({ friction, grooveDegrees }),
  gripExponent: ([friction, wrapRadians]) => gripExponent({ friction, wrapRadians }),
  tensionRatio: ([friction, wrapRadians, grooveDegrees]) => tensionRatio({ friction, wrapRadians, grooveDegrees }),
  slackSide: ([tightNewtons, exponent, centrifugalNewtons]) =>
    slackSide({ tightNewtons, exponent, centrifugalNewtons }),
  beltSpeed: ([pulleyDiameterMillimetres, pulleyRpm]) => beltSpeed({ pulleyDiameterMillimetres, pulleyRpm }),
  beltMass: ([sectionSquareMillimetres, densityKilogramsPerCubicMetre]) =>
    beltMass({ sectionSquareMillimetres, densityKilogramsPerCubicMetre }),
  centrifugalTension: ([massKilogramsPerMetre, beltMetresPerSecond]) =>
    centrifugalTension({ massKilogramsPerMetre, beltMetresPerSecond }),
  allowedTension: ([sectionSquareMillimetres, allowedMegapascals]) =>
    allowedTension({ sectionSquareMillimetres, allowedMegapascals }),
  powerOfOneBelt: ([tightNewtons, centrifugalNewtons, beltMetresPerSecond, one, other]) =>
    powerOfOneBelt({ tightNewtons, centrifugalNewtons, beltMetresPerSecond, exponents: [one, other] }),
  beltsNeeded: ([powerWatts, powerOfOneWatts]) => beltsNeeded({ powerWatts, powerOfOneWatts }),
  tensionKept: ([beltHoursWhenTensioned, hoursSince, runInLoss, runInHours, slowHours]) =>
    tensionKept({ beltHoursWhenTensioned, hoursSince, relaxation: { runInLoss, runInHours, slowHours } }),
  combinedSlip: (six) => combinedSlip(six),
  drivenSpeed: ([driverRpm, driverDiameterMillimetres, drivenDiameterMillimetres, slip]) =>
    drivenSpeed({ driverRpm, driverDiameterMillimetres, drivenDiameterMillimetres }, slip),
  slipFromSpeeds: ([driverRpm, driverDiameterMillimetres, drivenDiameterMillimetres, drivenRpm]) =>
    slipFromSpeeds({ driverRpm, driverDiameterMillimetres, drivenDiameterMillimetres }, drivenRpm),
  'slipTorque, fixed centres': ([friction, wrapRadians, pulleyDiameterMillimetres, belts, installedNewtons]) =>
    slipTorque(
      { friction, wrapRadians, pulleyDiameterMillimetres, belts },
      { model: 'fixed-centres', installedNewtons },
    ),
  'slipTorque, constant slack': ([friction, wrapRadians, pulleyDiameterMillimetres, belts, slackNewtons]) =>
    slipTorque({ friction, wrapRadians, pulleyDiameterMillimetres, belts }, { model: 'constant-slack', slackNewtons }),
  slipTorqueOfSet: ([torque, belts]) => slipTorqueOfSet(torque, belts),
  tensionFromSlipTorque: ([friction, wrapRadians, pulleyDiameterMillimetres, belts, torque]) =>
    tensionFromSlipTorque({ friction, wrapRadians, pulleyDiameterMillimetres, belts }, torque, 'constant-slack'),
  bearingPull: ([tensionNewtons, wrapRadians, belts]) => bearingPull({ tensionNewtons, wrapRadians, belts }),
  tensionFromDeflection: ([forceNewtons, deflectionMillimetres, spanMillimetres, stiffnessNewtons]) =>
    tensionFromDeflection({ forceNewtons, deflectionMillimetres, spanMillimetres, stiffnessNewtons }),
  tensionFromPluck: ([hertz, spanMillimetres, massKilogramsPerMetre]) =>
    tensionFromPluck({ hertz, spanMillimetres, massKilogramsPerMetre }),
  compensatedSetPoint: ([voltsAt25Celsius, millivoltsPerCelsiusPerCell, cells, batteryCelsius]) =>
    compensatedSetPoint({ voltsAt25Celsius, millivoltsPerCelsiusPerCell, cells, batteryCelsius }),
  conductorForDrop: ([amps, lengthBothWaysFeet, allowedDropVolts]) =>
    conductorForDrop({ amps, lengthBothWaysFeet, allowedDropVolts }),
  copperResistance: ([ohms, celsius]) => copperResistance(ohms, celsius),
  voltDrop: ([lengthBothWaysMetres, areaSquareMillimetres, amps, systemVolts]) =>
    voltDrop({ lengthBothWaysMetres, areaSquareMillimetres, amps, systemVolts }),
  consumptionFromHeatRate: ([btuPerHorsepowerHour, btuPerPound, poundsPerGallon]) =>
    consumptionFromHeatRate({ btuPerHorsepowerHour, btuPerPound, poundsPerGallon }),
  energyPerLitre: ([kilogramsPerCubicMetre, megajoulesPerKilogram]) =>
    energyPerLitre({ kilogramsPerCubicMetre, megajoulesPerKilogram }),
  fuelRate: ([kilowatts, gramsPerKilowattHour, kilogramsPerLitre]) =>
    fuelRate({ kilowatts, gramsPerKilowattHour, kilogramsPerLitre }),
  motoringRange: ([tankLitres, usableShare, litresPerHour, knots]) =>
    motoringRange({ tankLitres, usableShare, litresPerHour, knots }),
  oilUse: ([oilLitres, hours, litresPerHour]) => oilUse({ oilLitres, hours, litresPerHour }),
  specificConsumption: ([pounds]) => specificConsumption(pounds),
  thermalEfficiency: ([gramsPerKilowattHour, megajoulesPerKilogram]) =>
    thermalEfficiency({ gramsPerKilowattHour, megajoulesPerKilogram }),
  geodesicCourse: (six) => geodesicCourse(...ends(six)),
  geodesicDistance: (six) => geodesicDistance(...ends(six)),
  greatCircleCourse: (six) => greatCircleCourse(...ends(six)),
  greatCircleDistance: (six) => greatCircleDistance(...ends(six)),
  rhumbLineSphere: (six) => rhumbLineSphere(...ends(six)),
  rhumbLineWgs84: (six) => rhumbLineWgs84(...ends(six)),
  fromDegreesMinutes: ([degreesMinutes]) => fromDegreesMinutes(degreesMinutes, 'W'),
  inspectionInterval: ([pfHours, chanceOfFinding, acceptedMiss]) =>
    inspectionInterval({ pfHours, chanceOfFinding, acceptedMiss }),
  wearMetalRise: ([ppm, hours, laterPpm, laterHours]) =>
    wearMetalRise({ partsPerMillion: ppm, oilHours: hours }, { partsPerMillion: laterPpm, oilHours: laterHours }),
  peukertExponent: ([amps, hours, otherAmps, otherHours]) =>
    peukertExponent({ amps, hours }, { amps: otherAmps, hours: otherHours }),
  timeFromPeukertCapacity: ([peukertCapacity, exponent, amps]) =>
    timeFromPeukertCapacity({ peukertCapacity, exponent, amps }),
  timeFromRated: ([ratedAmpHours, ratedHours, exponent, amps]) =>
    timeFromRated({ ratedAmpHours, ratedHours, exponent, amps }),
  propellerPower: ([knownKilowatts, knownRpm, rpm, exponent]) =>
    propellerPower({ knownKilowatts, knownRpm, rpm, exponent }),
  heatToRawWater: ([litresPerMinute, riseKelvin, kilogramsPerLitre, kilojoulesPerKilogramKelvin]) =>
    heatToRawWater({ litresPerMinute, riseKelvin, kilogramsPerLitre, kilojoulesPerKilogramKelvin }),
  serviceDue: ([lastHours, everyHours, nowHours, hoursPerDay]) =>
    serviceDue({ lastHours, everyHours, nowHours, hoursPerDay }),
  stateOfCharge: ([restVolts, cells, restedHours]) =>
    stateOfCharge(REST_VOLTAGE_TABLES['flooded-bci'], { batteryKind: 'flooded', restVolts, cells, restedHours }),
}

function ends([latitude, longitude, toLatitude, toLongitude]: Six) {
  return [
    { latitudeDegrees: latitude, longitudeDegrees: longitude },
    { latitudeDegrees: toLatitude, longitudeDegrees: toLongitude },
  ] as const
}

describe('whatever numbers come in', () => {
  const anyNumber = fc.oneof(
    fc.double(),
    fc.double({ min: 0, max: 1 }),
    fc.double({ min: -100, max: 5000 }),
    fc.integer({ min: -2, max: 20 }),
    fc.constantFrom(0, 1, 1.2, 2, 12, 12.4, 25, 100, Number.MAX_VALUE, Number.MIN_VALUE, Number.POSITIVE_INFINITY),
  )
  const six = fc.tuple(anyNumber, anyNumber, anyNumber, anyNumber, anyNumber, anyNumber)

  test.each(Object.keys(relations))('%s gives finite figures or a sentence', (name) => {
    fc.assert(
      fc.property(six, (numbers) => {
        const outcome = relations[name]!(numbers)
        if (!outcome.ok) {
          expect(outcome.problem).toMatch(/^(The|Both|No) .*expected .*\. [A-Z].*\.$/)
          return
        }
        for (const value of Object.values(outcome))
          if (typeof value === 'number') expect(value).toSatisfy(Number.isFinite)
      }),
      { numRuns: 400 },
    )
  })

  test('no relation is left out', () => {
    const parts = [
      'courseDegreesFrom',
      'firstProblem',
      'gripProblem',
      'isometricLatitude',
      'longitudeDifferenceRadians',
      'meridianArcMetres',
      'positionGiven',
      'radians',
      'refused',
      'settled',
    ]
    const folder = new URL('../../projections/mechanics/', import.meta.url)
    const exported = readdirSync(folder).flatMap((file) =>
      [...readFileSync(new URL(file, folder), 'utf8').matchAll(/^export function (\w+)/gm)].map((match) => match[1]!),
    )
    const tried = new Set(Object.keys(relations).map((name) => name.split(',')[0]!))
    expect(exported.filter((name) => !parts.includes(name)).sort()).toEqual([...tried].sort())
  })
})
