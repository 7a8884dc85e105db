/**
 * What an alternator gives when all is well, learnt from its own readings: the logarithm of the amps as a saturating curve of engine speed
 * less what warming takes. An extended Kalman filter of four parameters (Jazwinski, Stochastic Processes and Filtering Theory, 1970, ch. 8; from
 * memory), begun from what alternators are like: so the first readings are judged with all the doubt that there is of them.
 */
export interface OutputCurve {
  /** Logarithms of: amps at the top, engine speed at which it begins, speed over which it rises; and the share lost when hot. */
  readonly mean: readonly number[]
  /** Covariance of those four, by rows. */
  readonly cover: readonly (readonly number[])[]
  /** Readings learnt from. */
  readonly n: number
  /** How this owner's readings scatter about the curve against what is usual, as a ratio of variances. */
  readonly scatter: number
}

/** Minutes in which the warming is two thirds done. Common practice, no source: claw-pole alternators settle within half an hour. */
const warmMinutes = 12

/** Where the minutes since starting were not written: the middle of what is usual. */
const usualMinutes = 20

/** An error of the engine speed as it is read, 1/min: instruments are read to the nearest 50 or 100. */
const rpmError = 35

/** The usual scatter counts for as many readings as this against the owner's own; and no owner is taken for better or worse than so many times. */
const usualCounts = 6
const scatterRange = [0.5, 2] as const

/** A reading further off than this many standard deviations says nothing more of the scatter. */
const furthest = 2.5

/** Scatter of the amps beside that of the speed, as a share: gauge, heat, volts. */
const ampsScatter = 0.06

/**
 * The curve before any reading. Typical claw-pole alternators begin at about 1150 of their own revolutions and rise over about 1500 (shape of
 * published output curves; common practice, no source), turn 2.2 times as fast as the engine, and lose an eighth when hot.
 * @param known.ratedAmps amps on the plate, null if unknown
 * @param known.ratio alternator turns for one of the engine, null if unknown
 */
export function outputCurve(known: { ratedAmps: number | null; ratio: number | null }): OutputCurve {
  const ratio = known.ratio ?? 2.2
  const doubt = known.ratio === null ? 0.12 : 0
  return {
    mean: [Math.log(known.ratedAmps ?? 80), Math.log(1150 / ratio), Math.log(1500 / ratio), 0.13],
    cover: diagonal([
      (known.ratedAmps === null ? 0.5 : 0.15) ** 2,
      0.13 ** 2 + doubt ** 2,
      0.2 ** 2 + doubt ** 2,
      0.05 ** 2,
    ]),
    n: 0,
    scatter: 1,
  }
}

const diagonal = (values: readonly number[]): number[][] =>
  values.map((value, i) => values.map((_, j) => (i === j ? value : 0)))

const logAmps = (mean: readonly number[], rpm: number, minutes: number): number => {
  const over = Math.max(30, rpm - Math.exp(mean[1]!)) / Math.exp(mean[2]!)
  const hot = Math.max(0, Math.min(0.4, mean[3]!)) * (1 - Math.exp(-minutes / warmMinutes))
  return mean[0]! + Math.log(-Math.expm1(-over)) + Math.log(1 - hot)
}

/** Logarithm of the amps that the curve expects at an engine speed, 1/min, `minutes` after starting (null: not written). */
export const expectedLog = (curve: OutputCurve, rpm: number, minutes: number | null): number =>
  logAmps(curve.mean, rpm, minutes ?? usualMinutes)

/** Where the curve is read for slip: nobody runs an engine below this, 1/min. */
const slowest = 100

/** What is lost of the logarithm where the belt slips by a share: the curve read at the speed that is left. */
export const lostBySlip = (curve: OutputCurve, rpm: number, minutes: number | null, slip: number): number =>
  expectedLog(curve, Math.max(slowest, rpm * (1 - slip)), minutes) - expectedLog(curve, rpm, minutes)

function slopes(curve: OutputCurve, rpm: number, minutes: number): number[] {
  const here = logAmps(curve.mean, rpm, minutes)
  return curve.mean.map((value, i) => {
    const step = 1e-4
    const moved = curve.mean.map((other, j) => (i === j ? value + step : other))
    return (logAmps(moved, rpm, minutes) - here) / step
  })
}

/** Variance of a reading about the curve that is not the curve's own doubt. */
export function readingVariance(
  curve: OutputCurve,
  rpm: number,
  minutes: number | null,
  amps: number,
  extra: number,
): number {
  const bySpeed = (expectedLog(curve, rpm + rpmError, minutes) - expectedLog(curve, rpm - rpmError, minutes)) / 2
  const byMinutes = minutes === null ? 0.02 : 0
  // Gauges of amps are read to a whole one or to five.
  const byGauge = 1.2 / Math.max(5, amps)
  return curve.scatter * (ampsScatter ** 2 + bySpeed ** 2 + byMinutes ** 2 + byGauge ** 2 + extra ** 2)
}

/** Variance of the curve itself at a speed. */
export function curveVariance(curve: OutputCurve, rpm: number, minutes: number | null): number {
  const slope = slopes(curve, rpm, minutes ?? usualMinutes)
  return slope.reduce((sum, a, i) => sum + a * slope.reduce((inner, b, j) => inner + curve.cover[i]![j]! * b, 0), 0)
}

/** The curve with one reading more; `variance` of the reading, larger where it is doubted. Others are left as they were. */
export function learn(
  curve: OutputCurve,
  reading: { rpm: number; minutes: number | null; amps: number },
  variance: number,
): OutputCurve {
  const { rpm, minutes, amps } = reading
  const slope = slopes(curve, rpm, minutes ?? usualMinutes)
  const covered = curve.cover.map((row) => row.reduce((sum, value, j) => sum + value * slope[j]!, 0))
  const total = variance + slope.reduce((sum, value, i) => sum + value * covered[i]!, 0)
  const off = Math.log(amps) - expectedLog(curve, rpm, minutes)
  const squared = Math.min(furthest ** 2, off ** 2 / total)
  const [low, high] = scatterRange
  const counts = usualCounts + Math.min(curve.n, 40)
  return {
    scatter: Math.max(low, Math.min(high, curve.scatter * ((counts + squared) / (counts + 1)))),
    mean: curve.mean.map((value, i) => value + (covered[i]! / total) * off),
    cover: curve.cover.map((row, i) => row.map((value, j) => value - (covered[i]! * covered[j]!) / total)),
    n: curve.n + 1,
  }
}
