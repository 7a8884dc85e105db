import { type Grip, gripExponent } from './belt-grip.ts'
import { firstProblem, type Given, type Outcome, refused, settled } from './outcome.ts'

/**
 * How the tensions behave as the load comes on.
 * `fixed-centres`: locked pulleys, tight and slack side together stay what they were at rest (T1 + T2 = 2 Ti); the
 * usual drive. From memory: general machine-design texts (Shigley; Juvinall & Marshek), initial tension.
 * `constant-slack`: a spring or weight holds the slack side (T2 constant). Engineering Statics (Baker & Haynes), ch. 9.
 * At a tension ratio of 6.9 the second promises about four times the torque of the first, so the model stands beside
 * every figure.
 */
export type TensionModel =
  | { model: 'fixed-centres'; installedNewtons: number }
  | { model: 'constant-slack'; slackNewtons: number }

/** Torque at which a belt lets go of one pulley. */
export interface SlipTorque {
  model: TensionModel['model']
  /** Tight-side tension over slack-side tension at the point of slip. */
  ratio: number
  /** Tight-side tension of each belt, N. */
  tightNewtons: number
  /** Slack-side tension of each belt, N. */
  slackNewtons: number
  /** Pull of each belt, tight less slack side, N. */
  pullNewtons: number
  /** Torque at the pulley where all the belts slip, N.m. */
  slipTorqueNewtonMetres: number
}

/** The pulley and its belts. */
export interface GrippedPulley extends Grip {
  /** Pitch diameter, mm, above 0. */
  pulleyDiameterMillimetres: number
  /** Belts side by side, a whole number from 1, default 1; they share the pull only as a matched set. */
  belts?: number
}

/**
 * Torque at which the belts slip on this pulley, static: at rest or turned slowly, centrifugal tension left out. The
 * result names its model. For the whole drive take the pulley that slips first: with equal friction, the smaller.
 * Source: capstan relation as in `tensionRatio`, torque (T1 - T2) r; models as in `TensionModel`.
 * @param tension tension of each belt, N, above 0
 */
export function slipTorque(pulley: GrippedPulley, tension: TensionModel): Outcome<SlipTorque> {
  const grip = gripExponent(pulley)
  if (!grip.ok) return grip
  const held =
    tension.model === 'fixed-centres'
      ? { name: 'installed belt tension', value: tension.installedNewtons }
      : { name: 'slack-side belt tension', value: tension.slackNewtons }
  const problem = firstProblem([...pulleyGiven(pulley), { ...held, unit: 'N', above: 0 }])
  if (problem !== undefined) return refused(problem)
  const { exponent } = grip
  const pullNewtons =
    tension.model === 'fixed-centres' ? 2 * held.value * Math.tanh(exponent / 2) : held.value * Math.expm1(exponent)
  const slackNewtons = tension.model === 'fixed-centres' ? held.value - pullNewtons / 2 : held.value
  return settled({
    model: tension.model,
    ratio: Math.exp(exponent),
    tightNewtons: slackNewtons + pullNewtons,
    slackNewtons,
    pullNewtons,
    slipTorqueNewtonMetres: pullNewtons * radiusMetres(pulley) * (pulley.belts ?? 1),
  })
}

/**
 * Torque of a matched set from that of one belt, N.m: they share the pull.
 * @param slipTorqueNewtonMetres of one belt, 0 or more
 * @param belts whole number, 1 or more
 */
export function slipTorqueOfSet(
  slipTorqueNewtonMetres: number,
  belts: number,
): Outcome<{ slipTorqueNewtonMetres: number }> {
  const problem = firstProblem([
    { name: 'slip torque of one belt', value: slipTorqueNewtonMetres, unit: 'N.m', atLeast: 0 },
    beltsGiven(belts),
  ])
  if (problem !== undefined) return refused(problem)
  return settled({ slipTorqueNewtonMetres: slipTorqueNewtonMetres * belts })
}

/**
 * Tension of each belt from the torque at which they slipped on this pulley, N; `slipTorque` turned round. For a check
 * at the pulley nut with the engine stopped, and, with the torque that a driven pump asks, for the tension that would
 * just carry it. As doubtful as the friction that goes in.
 * @param slipTorqueNewtonMetres of all the belts together, above 0
 */
export function tensionFromSlipTorque(
  pulley: GrippedPulley,
  slipTorqueNewtonMetres: number,
  model: TensionModel['model'],
): Outcome<{ model: TensionModel['model']; tensionNewtons: number }> {
  const grip = gripExponent(pulley)
  if (!grip.ok) return grip
  const problem = firstProblem([
    ...pulleyGiven(pulley),
    { name: 'slip torque', value: slipTorqueNewtonMetres, unit: 'N.m', above: 0 },
  ])
  if (problem !== undefined) return refused(problem)
  const pullNewtons = slipTorqueNewtonMetres / (radiusMetres(pulley) * (pulley.belts ?? 1))
  const pullPerTension = model === 'fixed-centres' ? 2 * Math.tanh(grip.exponent / 2) : Math.expm1(grip.exponent)
  return settled({ model, tensionNewtons: pullNewtons / pullPerTension })
}

function radiusMetres(pulley: GrippedPulley): number {
  return pulley.pulleyDiameterMillimetres / 2000
}

function pulleyGiven(pulley: GrippedPulley): Given[] {
  return [
    { name: 'pulley diameter', value: pulley.pulleyDiameterMillimetres, unit: 'mm', above: 0 },
    beltsGiven(pulley.belts ?? 1),
  ]
}

function beltsGiven(belts: number): Given {
  return {
    name: 'number of belts',
    value: Number.isInteger(belts) ? belts : Number.NaN,
    unit: '',
    atLeast: 1,
    remedy: 'Give a whole number of belts.',
  }
}
