import { slackSide } from './belt-grip.ts'
import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/**
 * Belt speed, m/s: pi d n / 60.
 * Source: kinematics.
 */
export function beltSpeed(given: {
  /** Pitch diameter of the pulley, mm, above 0. */
  pulleyDiameterMillimetres: number
  /** Revolutions a minute of that pulley, 0 or more. */
  pulleyRpm: number
}): Outcome<{ beltMetresPerSecond: number }> {
  const problem = firstProblem([
    { name: 'pulley diameter', value: given.pulleyDiameterMillimetres, unit: 'mm', above: 0 },
    { name: 'pulley speed', value: given.pulleyRpm, unit: 'rpm', atLeast: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ beltMetresPerSecond: (Math.PI * (given.pulleyDiameterMillimetres / 1000) * given.pulleyRpm) / 60 })
}

/** Mass of a belt from its section and density, kg/m. Both above 0. */
export function beltMass(given: {
  sectionSquareMillimetres: number
  densityKilogramsPerCubicMetre: number
}): Outcome<{ massKilogramsPerMetre: number }> {
  const problem = firstProblem([
    { name: 'belt section', value: given.sectionSquareMillimetres, unit: 'mm²', above: 0 },
    { name: 'belt density', value: given.densityKilogramsPerCubicMetre, unit: 'kg/m³', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({
    massKilogramsPerMetre: (given.sectionSquareMillimetres / 1e6) * given.densityKilogramsPerCubicMetre,
  })
}

/**
 * Centrifugal tension, newtons: m v²; it comes off both sides of the belt before the capstan relation holds.
 * Source: textbook companion listing, Exa 21-1 (V belt drive).
 */
export function centrifugalTension(given: {
  /** kg/m, above 0. */
  massKilogramsPerMetre: number
  /** m/s, 0 or more. */
  beltMetresPerSecond: number
}): Outcome<{ centrifugalNewtons: number }> {
  const problem = firstProblem([
    { name: 'belt mass', value: given.massKilogramsPerMetre, unit: 'kg/m', above: 0 },
    { name: 'belt speed', value: given.beltMetresPerSecond, unit: 'm/s', atLeast: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ centrifugalNewtons: given.massKilogramsPerMetre * given.beltMetresPerSecond ** 2 })
}

/** Tight-side tension that a belt's section allows, newtons: area times allowed stress (MPa). Both above 0. */
export function allowedTension(given: {
  sectionSquareMillimetres: number
  allowedMegapascals: number
}): Outcome<{ tightNewtons: number }> {
  const problem = firstProblem([
    { name: 'belt section', value: given.sectionSquareMillimetres, unit: 'mm²', above: 0 },
    { name: 'allowed stress', value: given.allowedMegapascals, unit: 'MPa', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ tightNewtons: given.sectionSquareMillimetres * given.allowedMegapascals })
}

/**
 * Power that one belt carries at the point of slip, watts: (T1 - T2) v, with the pulley of the smaller grip exponent
 * deciding T2. `governedBy` is the place of that pulley in `exponents` (the first of equals).
 * Source: textbook companion listing, Exa 21-1 (V belt drive).
 */
export function powerOfOneBelt(given: {
  /** Tight-side tension, N. */
  tightNewtons: number
  /** N, 0 or more, less than the tight side. */
  centrifugalNewtons: number
  /** m/s, above 0. */
  beltMetresPerSecond: number
  /** One from `gripExponent` for each pulley that must not slip; at least one. */
  exponents: readonly number[]
}): Outcome<{ slackNewtons: number; powerWatts: number; governedBy: number }> {
  if (given.exponents.length === 0)
    return refused('No pulley was given; expected at least one grip exponent. Say how the belt holds on its pulleys.')
  const problem = firstProblem([
    { name: 'belt speed', value: given.beltMetresPerSecond, unit: 'm/s', above: 0 },
    ...given.exponents.map((value) => ({ name: 'grip exponent', value, unit: '', above: 0 })),
  ])
  if (problem !== undefined) return refused(problem)
  const exponent = Math.min(...given.exponents)
  const slack = slackSide({ ...given, exponent })
  if (!slack.ok) return slack
  return settled({
    slackNewtons: slack.slackNewtons,
    powerWatts: (given.tightNewtons - slack.slackNewtons) * given.beltMetresPerSecond,
    governedBy: given.exponents.indexOf(exponent),
  })
}

/**
 * Belts that share a power: power over power of one belt, rounded up; at least 1. Both above 0, watts.
 * Source: textbook companion listing, Exa 21-1 (V belt drive).
 */
export function beltsNeeded(given: { powerWatts: number; powerOfOneWatts: number }): Outcome<{ belts: number }> {
  const problem = firstProblem([
    { name: 'power asked', value: given.powerWatts, unit: 'W', above: 0 },
    { name: 'power of one belt', value: given.powerOfOneWatts, unit: 'W', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ belts: Math.max(1, Math.ceil(given.powerWatts / given.powerOfOneWatts)) })
}
