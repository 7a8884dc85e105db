/**
 * What is known of one unit's life (or of `count` units alike, 1 if left out). Either its age when it failed, or its
 * age now if it still runs; or, when its state is only known from inspections, that it failed after one age (0: it
 * was never seen running) and before another.
 */
export type LifeObservation = ({ time: number; failed: boolean } | { after: number; before: number }) & {
  count?: number
}

/**
 * One observation as the likelihood takes it: the life lies between two ages (infinity: still running), or is exact.
 */
export type LifeCell = { from: number; to: number; exact: boolean; count: number }

/**
 * Checks an observation and brings it to the form that the likelihood takes. Throws a RangeError for an age that is not
 * finite or is below zero, a failure at age 0, an inspection interval not in rising order, or a count not above zero.
 */
export function lifeCell(observation: LifeObservation): LifeCell {
  const { count = 1 } = observation
  if (!(count > 0 && Number.isFinite(count))) {
    throw new RangeError(`The count of one of the lives was ${count}; expected a number above zero.`)
  }
  if ('time' in observation) {
    const { time, failed } = observation
    if (!(Number.isFinite(time) && (failed ? time > 0 : time >= 0))) {
      throw new RangeError(
        `One of the ages was ${time}; expected a number above zero for a failure, else zero or more.`,
      )
    }
    return { from: time, to: failed ? time : Number.POSITIVE_INFINITY, exact: failed, count }
  }
  const { after, before } = observation
  if (!(after >= 0 && after < before && Number.isFinite(before))) {
    throw new RangeError(
      `A failure was said to lie after age ${after} and before age ${before}; expected 0 or more, then a larger number.`,
    )
  }
  return { from: after, to: before, exact: false, count }
}

/** The log-likelihood with its first and second derivatives in shape (s) and location (l). */
export type LikelihoodTerms = { value: number; s: number; l: number; ss: number; sl: number; ll: number }

/**
 * Weibull log-likelihood of finished, unfinished and inspected lives, and its derivatives, at `shape` (above 0) and
 * `location` = shape * (ln scale - centre). Densities and chances are those of the age itself, in its own unit.
 * In these two numbers it is concave (Burridge 1981); `centre`, a typical ln(age), keeps them of moderate size.
 * Nelson (1982), sections 8.5 and 9.4. No lives give 0.
 */
export function weibullLikelihood(
  cells: readonly LifeCell[],
  centre: number,
  shape: number,
  location: number,
): LikelihoodTerms {
  const total: LikelihoodTerms = { value: 0, s: 0, l: 0, ss: 0, sl: 0, ll: 0 }
  const add = (count: number, value: number, first: number, second: number, x: number): void => {
    total.value += count * value
    total.s += count * first * x
    total.l -= count * first
    total.ss += count * second * x * x
    total.sl -= count * second * x
    total.ll += count * second
  }
  for (const { from, to, exact, count } of cells) {
    const x = Math.log(from) - centre
    const z = shape * x - location
    const hazard = from > 0 ? Math.exp(z) : 0
    if (exact) {
      add(count, Math.log(shape) - Math.log(from) + z - hazard, 1 - hazard, -hazard, x)
      total.s += count / shape
      total.ss -= count / (shape * shape)
    } else if (to === Number.POSITIVE_INFINITY) {
      if (from > 0) add(count, -hazard, -hazard, -hazard, x)
    } else {
      // ln(S1 - S2) = -H1 + ln(1 - e^-D), D = H2 - H1: keeps its digits where both survivals are small.
      const x2 = Math.log(to) - centre
      const hazard2 = Math.exp(shape * x2 - location)
      const between = hazard2 - hazard
      const share = -Math.expm1(-between)
      const x1 = from > 0 ? x : 0
      const weight1 = hazard / share
      // Beyond e^-700 the far end weighs nothing, and infinity times zero must not creep in.
      const weight2 = between > 700 ? 0 : (hazard2 * Math.exp(-between)) / share
      const slopeS = weight2 * x2 - weight1 * x1
      const slopeL = weight1 - weight2
      const curve1 = weight1 * (1 - hazard)
      const curve2 = weight2 === 0 ? 0 : weight2 * (1 - hazard2)
      total.value += count * (-hazard + Math.log(share))
      total.s += count * slopeS
      total.l += count * slopeL
      total.ss += count * (curve2 * x2 * x2 - curve1 * x1 * x1 - slopeS * slopeS)
      total.sl += count * (curve1 * x1 - curve2 * x2 - slopeS * slopeL)
      total.ll += count * (curve2 - curve1 - slopeL * slopeL)
    }
  }
  return total
}
