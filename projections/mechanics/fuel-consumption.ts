import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/**
 * Fuel rate, litres an hour: kW x g/kWh / 1000 / (kg/L).
 * Source: the definition of specific consumption. From memory: small marine diesels 215 to 280 g/kWh (engineering
 * handbooks); EN 590 diesel 0.820 to 0.845 kg/L at 15 °C (engineering reference table).
 */
export function fuelRate(given: {
  /** kW, 0 or more. */
  kilowatts: number
  /** g/kWh, above 0. */
  gramsPerKilowattHour: number
  /** kg/L, above 0. */
  kilogramsPerLitre: number
}): Outcome<{ litresPerHour: number }> {
  const problem = firstProblem([
    { name: 'power', value: given.kilowatts, unit: 'kW', atLeast: 0 },
    { name: 'specific consumption', value: given.gramsPerKilowattHour, unit: 'g/kWh', above: 0 },
    {
      name: 'fuel density',
      value: given.kilogramsPerLitre,
      unit: 'kg/L',
      above: 0,
      below: 2,
      remedy: 'In kilograms a litre: diesel is near 0.84.',
    },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({
    litresPerHour: (given.kilowatts * given.gramsPerKilowattHour) / 1000 / given.kilogramsPerLitre,
  })
}

/**
 * Specific consumption from a heat rate, lb/(hp.h), and the horsepower-hours in a US gallon.
 * From memory: US EPA AP-42 sections 3.3 and 3.4, footnotes (7,000 Btu/hp-h, 19,300 Btu/lb, 7.1 lb/gal).
 */
export function consumptionFromHeatRate(given: {
  /** Btu per hp.h, above 0. */
  btuPerHorsepowerHour: number
  /** Btu per lb of fuel, above 0. */
  btuPerPound: number
  /** lb per US gallon, above 0. */
  poundsPerGallon: number
}): Outcome<{ poundsPerHorsepowerHour: number; horsepowerHoursPerGallon: number }> {
  const problem = firstProblem([
    { name: 'heat rate', value: given.btuPerHorsepowerHour, unit: 'Btu/(hp.h)', above: 0 },
    { name: 'heat of the fuel', value: given.btuPerPound, unit: 'Btu/lb', above: 0 },
    { name: 'fuel density', value: given.poundsPerGallon, unit: 'lb/gal', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  const poundsPerHorsepowerHour = given.btuPerHorsepowerHour / given.btuPerPound
  return settled({ poundsPerHorsepowerHour, horsepowerHoursPerGallon: given.poundsPerGallon / poundsPerHorsepowerHour })
}

/**
 * Specific consumption in g/kWh from lb per mechanical horsepower-hour.
 * Source: NIST SP 811, Appendix B.8: 1 lb = 453.59237 g, 1 hp (550 ft.lbf/s) = 745.699 871 582 W.
 * @param poundsPerHorsepowerHour above 0
 */
export function specificConsumption(poundsPerHorsepowerHour: number): Outcome<{ gramsPerKilowattHour: number }> {
  const problem = firstProblem([
    { name: 'specific consumption', value: poundsPerHorsepowerHour, unit: 'lb/(hp.h)', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ gramsPerKilowattHour: (poundsPerHorsepowerHour * 453.59237) / 0.745699871582 })
}

/**
 * Brake thermal efficiency, 0 to 1: 3600 / (g/kWh x MJ/kg). One above 1 is a problem: a figure is wrong.
 * Source: definition; net heat of diesel 42.84 and gas oil 42.569 MJ/kg, UK government (DESNZ) fuel properties, 2025, as
 * republished by a public unit converter.
 */
export function thermalEfficiency(given: {
  /** g/kWh, above 0. */
  gramsPerKilowattHour: number
  /** Net heating value, MJ/kg, above 0. */
  megajoulesPerKilogram: number
}): Outcome<{ efficiency: number }> {
  const problem = firstProblem([
    { name: 'specific consumption', value: given.gramsPerKilowattHour, unit: 'g/kWh', above: 0 },
    { name: 'net heating value', value: given.megajoulesPerKilogram, unit: 'MJ/kg', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  const efficiency = 3600 / (given.gramsPerKilowattHour * given.megajoulesPerKilogram)
  const efficiencyProblem = firstProblem([
    {
      name: 'efficiency from these figures',
      value: efficiency,
      unit: '',
      below: 1,
      remedy: 'No engine does better than its fuel: look at consumption and heating value again.',
    },
  ])
  return efficiencyProblem === undefined ? settled({ efficiency }) : refused(efficiencyProblem)
}

/**
 * Net energy in a litre of fuel.
 * Source: UK government (DESNZ) fuel properties, 2025, as republished by a public unit converter (35.66 MJ, 9.905 kWh).
 */
export function energyPerLitre(given: {
  /** kg/m³, above 0. */
  kilogramsPerCubicMetre: number
  /** Net heating value, MJ/kg, above 0. */
  megajoulesPerKilogram: number
}): Outcome<{ megajoulesPerLitre: number; kilowattHoursPerLitre: number }> {
  const problem = firstProblem([
    { name: 'fuel density', value: given.kilogramsPerCubicMetre, unit: 'kg/m³', above: 0 },
    { name: 'net heating value', value: given.megajoulesPerKilogram, unit: 'MJ/kg', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  const megajoulesPerLitre = (given.kilogramsPerCubicMetre / 1000) * given.megajoulesPerKilogram
  return settled({ megajoulesPerLitre, kilowattHoursPerLitre: megajoulesPerLitre / 3.6 })
}

/**
 * Motoring hours and miles on what is usable of a tank; no reserve is kept back beyond the share given, and neither sea
 * nor current is allowed for.
 * Source: arithmetic.
 */
export function motoringRange(given: {
  /** Fuel in the tank, L, 0 or more. */
  tankLitres: number
  /** Share that may be used, 0 to 1. */
  usableShare: number
  /** L/h, above 0. */
  litresPerHour: number
  /** Speed, knots, 0 or more. */
  knots: number
}): Outcome<{ hours: number; nauticalMiles: number }> {
  const problem = firstProblem([
    { name: 'fuel in the tank', value: given.tankLitres, unit: 'L', atLeast: 0 },
    {
      name: 'usable share',
      value: given.usableShare,
      unit: '',
      atLeast: 0,
      atMost: 1,
      remedy: 'As a share of one: nine tenths is 0.9.',
    },
    { name: 'fuel rate', value: given.litresPerHour, unit: 'L/h', above: 0 },
    { name: 'speed', value: given.knots, unit: 'kn', atLeast: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  const hours = (given.tankLitres * given.usableShare) / given.litresPerHour
  return settled({ hours, nauticalMiles: hours * given.knots })
}

/**
 * Oil used as a share of fuel burnt, per cent. A healthy small diesel: 0.1 to 0.5, common practice, no source.
 * Source: arithmetic.
 */
export function oilUse(given: {
  /** Oil added to bring the level back to where it was, L, 0 or more. */
  oilLitres: number
  /** Engine hours between the two levels, above 0. */
  hours: number
  /** Mean fuel rate over them, L/h, above 0. */
  litresPerHour: number
}): Outcome<{ percentOfFuel: number }> {
  const problem = firstProblem([
    { name: 'oil used', value: given.oilLitres, unit: 'L', atLeast: 0 },
    { name: 'running time', value: given.hours, unit: 'h', above: 0 },
    { name: 'fuel rate', value: given.litresPerHour, unit: 'L/h', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ percentOfFuel: (given.oilLitres / (given.hours * given.litresPerHour)) * 100 })
}
