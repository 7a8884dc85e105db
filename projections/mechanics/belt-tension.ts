import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/**
 * Tension of a span from the force that presses its middle down by a distance, newtons: F t / 4 q - Y.
 * With the deflection of one sixty-fourth of the span this is 16 F - Y.
 * Source: statics of a string loaded in the middle, small deflection; Y is a belt's own stiffness (trade form
 * T = 16 F - Y, from memory: ARPM/RMA IP-20) and is 0 unless the belt's maker gives it, which reads a little high.
 * The deflection may be at most a tenth of the span: there the small-deflection form is already 2 % out.
 */
export function tensionFromDeflection(given: {
  /** Force on one belt, N, above 0. */
  forceNewtons: number
  /** Distance that the middle moved, mm, above 0. */
  deflectionMillimetres: number
  /** Free span, mm, above 0. */
  spanMillimetres: number
  /** Stiffness term Y of the belt, N, 0 or more; default 0. */
  stiffnessNewtons?: number
}): Outcome<{ tensionNewtons: number }> {
  const problem = firstProblem([
    { name: 'force', value: given.forceNewtons, unit: 'N', above: 0 },
    { name: 'free span', value: given.spanMillimetres, unit: 'mm', above: 0 },
    {
      name: 'deflection',
      value: given.deflectionMillimetres,
      unit: 'mm',
      above: 0,
      atMost: given.spanMillimetres / 10,
      remedy: 'Press the middle of the longest span less far, about one sixty-fourth of the span.',
    },
  ])
  if (problem !== undefined) return refused(problem)
  const pulled = (given.forceNewtons * given.spanMillimetres) / (4 * given.deflectionMillimetres)
  const stiffnessProblem = firstProblem([
    {
      name: 'stiffness term',
      value: given.stiffnessNewtons ?? 0,
      unit: 'N',
      atLeast: 0,
      below: pulled,
      remedy: "Take the belt maker's figure, or leave it out.",
    },
  ])
  if (stiffnessProblem !== undefined) return refused(stiffnessProblem)
  return settled({ tensionNewtons: pulled - (given.stiffnessNewtons ?? 0) })
}

/**
 * Tension of a span from the note that it gives when plucked, newtons: 4 m L² f², the fundamental of a string. The
 * drive stopped and isolated.
 * Source: public belt-frequency calculator page, f = (n / 2L) sqrt(T / m), n = 1.
 */
export function tensionFromPluck(given: {
  /** Fundamental, Hz, above 0. */
  hertz: number
  /** Free span, mm, above 0. */
  spanMillimetres: number
  /** Mass of one belt, kg/m, above 0. */
  massKilogramsPerMetre: number
}): Outcome<{ tensionNewtons: number }> {
  const problem = firstProblem([
    { name: 'pluck frequency', value: given.hertz, unit: 'Hz', above: 0 },
    { name: 'free span', value: given.spanMillimetres, unit: 'mm', above: 0 },
    { name: 'belt mass', value: given.massKilogramsPerMetre, unit: 'kg/m', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({
    tensionNewtons: 4 * given.massKilogramsPerMetre * (given.spanMillimetres / 1000) ** 2 * given.hertz ** 2,
  })
}

/**
 * Mass of classical V-belts, kg/m. From memory: V-belt handbooks (section A 0.10 to 0.12). Weigh the spare and measure
 * it for a better figure.
 */
export const BELT_MASS_KILOGRAMS_PER_METRE = { A: 0.105, B: 0.18 } as const

/**
 * Force with which a belt at rest pulls a pulley's bearings sideways, newtons: 2 T n sin(theta / 2), the vector sum of
 * two equal spans. What too much tension costs.
 * Source: elementary statics.
 */
export function bearingPull(given: {
  /** Tension of each belt at rest, N, above 0. */
  tensionNewtons: number
  /** Wrap on this pulley, radians, above 0 and below 2 pi. */
  wrapRadians: number
  /** Number of belts, 1 or more. */
  belts: number
}): Outcome<{ bearingPullNewtons: number }> {
  const problem = firstProblem([
    { name: 'belt tension', value: given.tensionNewtons, unit: 'N', above: 0 },
    { name: 'wrap', value: given.wrapRadians, unit: 'radians', above: 0, below: 2 * Math.PI },
    { name: 'number of belts', value: given.belts, unit: '', atLeast: 1 },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ bearingPullNewtons: 2 * given.tensionNewtons * given.belts * Math.sin(given.wrapRadians / 2) })
}
