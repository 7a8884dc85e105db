import { firstProblem, type Given, type Outcome, refused, settled } from './outcome.ts'

/** What decides how hard a belt can hold on one pulley. */
export interface Grip {
  /** Coefficient of friction between belt and pulley, dry and clean unless the owner says otherwise; above 0, at most 2. */
  friction: number
  /** Arc of contact on this pulley, radians, above 0 (more than 2 pi for a rope round a bar). */
  wrapRadians: number
  /** Included groove angle of a V pulley, degrees, above 0 and at most 180. Left out: a flat belt, or rope. */
  grooveDegrees?: number
}

/**
 * Friction of a rubber belt on an iron pulley as commonly taken in belt design.
 * From memory: belt friction tables of machine-design handbooks. The middle value is a choice within that range; oil,
 * glaze and wet change it more than the range does.
 */
export const RUBBER_ON_IRON_FRICTION = { low: 0.25, usual: 0.3, high: 0.35 } as const

/**
 * Included groove angle for classical V-belt sections, degrees, by pulley size.
 * Source: design manual for power transmission belts (classical V-belts), Tables 1 and 2: section A turns from 34 to 38
 * degrees above 137 mm of datum diameter, section B above 178 mm.
 * @param datumDiameterMillimetres above 0
 */
export function grooveAngle(section: 'A' | 'B', datumDiameterMillimetres: number): Outcome<{ grooveDegrees: number }> {
  const problem = firstProblem([{ name: 'pulley diameter', value: datumDiameterMillimetres, unit: 'mm', above: 0 }])
  if (problem !== undefined) return refused(problem)
  const largestSmallPulley = section === 'A' ? 137 : 178
  return settled({ grooveDegrees: datumDiameterMillimetres <= largestSmallPulley ? 34 : 38 })
}

/**
 * Effective friction in the groove: mu / sin(alpha / 2), alpha the included groove angle. Holds only while the belt
 * bears on the sides of the groove, not on its bottom.
 * Source: tribology-abc, V-belt drive page e3_5a; Engineering Statics (Baker & Haynes), ch. 9, V-Belts.
 */
export function effectiveFriction(grip: Omit<Grip, 'wrapRadians'>): Outcome<{ effectiveFriction: number }> {
  const problem = firstProblem(frictionGiven(grip))
  if (problem !== undefined) return refused(problem)
  return settled({ effectiveFriction: frictionInGroove(grip) })
}

/**
 * Exponent of the capstan relation, effective friction times wrap. Where two pulleys carry one belt, the one with the
 * smaller exponent slips first.
 * Source: Engineering Statics (Baker & Haynes), ch. 9, Flexible Belts and V-Belts.
 */
export function gripExponent(grip: Grip): Outcome<{ exponent: number }> {
  const problem = gripProblem(grip)
  if (problem !== undefined) return refused(problem)
  return settled({ exponent: frictionInGroove(grip) * grip.wrapRadians })
}

/**
 * Capstan (Euler-Eytelwein) relation: tight-side over slack-side tension at the point of slip,
 * exp(mu theta / sin(alpha / 2)); 1 or more. A belt at rest, its weight left out.
 * Source: Engineering Statics (Baker & Haynes), ch. 9, Flexible Belts and V-Belts.
 */
export function tensionRatio(grip: Grip): Outcome<{ ratio: number }> {
  const problem = gripProblem(grip)
  if (problem !== undefined) return refused(problem)
  return settled({ ratio: Math.exp(frictionInGroove(grip) * grip.wrapRadians) })
}

/**
 * Slack-side tension at the point of slip, newtons: Tc + (T1 - Tc) / exp(exponent).
 * Source: textbook companion listing, Exa 21-1 (V belt drive), for the centrifugal term; without it, the capstan
 * relation.
 */
export function slackSide(given: {
  /** Tight-side tension, N, above 0. */
  tightNewtons: number
  /** From `gripExponent`, above 0. */
  exponent: number
  /** Centrifugal tension, N, 0 for a belt or rope at rest; less than the tight side. */
  centrifugalNewtons?: number
}): Outcome<{ slackNewtons: number }> {
  const centrifugalNewtons = given.centrifugalNewtons ?? 0
  const problem = firstProblem([
    { name: 'tight-side tension', value: given.tightNewtons, unit: 'N', above: 0 },
    { name: 'grip exponent', value: given.exponent, unit: '', above: 0 },
    {
      name: 'centrifugal tension',
      value: centrifugalNewtons,
      unit: 'N',
      atLeast: 0,
      below: given.tightNewtons,
      remedy: 'At this speed the belt would leave the pulley: look at speed, mass and tension.',
    },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({
    slackNewtons: centrifugalNewtons + (given.tightNewtons - centrifugalNewtons) * Math.exp(-given.exponent),
  })
}

/** The first thing wrong with a grip, as a sentence; undefined when nothing is. */
export function gripProblem(grip: Grip): string | undefined {
  return firstProblem([...frictionGiven(grip), { name: 'wrap', value: grip.wrapRadians, unit: 'radians', above: 0 }])
}

function frictionInGroove({ friction, grooveDegrees }: Omit<Grip, 'wrapRadians'>): number {
  return grooveDegrees === undefined ? friction : friction / Math.sin((grooveDegrees / 2 / 180) * Math.PI)
}

function frictionGiven({ friction, grooveDegrees }: Omit<Grip, 'wrapRadians'>): Given[] {
  const given: Given[] = [{ name: 'friction coefficient', value: friction, unit: '', above: 0, atMost: 2 }]
  if (grooveDegrees !== undefined)
    given.push({ name: 'groove angle', value: grooveDegrees, unit: 'degrees', above: 0, atMost: 180 })
  return given
}
