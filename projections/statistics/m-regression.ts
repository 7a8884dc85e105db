import { defaultLevel, type NotEnough, notEnough, requireLevel } from './estimate.ts'
import { type Coefficient, coefficient, designRows, residualsOf } from './least-squares.ts'
import { orthogonalSolve } from './orthogonal-solve.ts'
import { median } from './sample-quantile.ts'
import { studentTQuantile } from './student-t.ts'

/** How residuals, in scales, are weighed: Huber's never lets go altogether, the bisquare gives far ones no weight. */
export type Weighing = 'huber' | 'bisquare'

/**
 * A robustly fitted linear relation: the intercept first (unless left out), then one coefficient for each column of x.
 * `weights` (0..1) tell how far each observation was believed. `scale` is the residual scale, in the unit of y.
 */
export type RobustFit = {
  kind: 'estimate'
  n: number
  level: number
  coefficients: Coefficient[]
  scale: number
  weights: number[]
  residuals: number[]
}

const psiOf = {
  huber: {
    k: 1.345,
    weight: (u: number): number => Math.min(1, 1.345 / Math.abs(u)),
    slope: (u: number): number => +(Math.abs(u) <= 1.345),
  },
  bisquare: {
    k: 4.685,
    weight: (u: number): number => (Math.abs(u) >= 4.685 ? 0 : (1 - (u / 4.685) ** 2) ** 2),
    slope: (u: number): number => {
      const v = (u / 4.685) ** 2
      return v >= 1 ? 0 : (1 - v) * (1 - 5 * v)
    },
  },
}

/**
 * M-regression of y on the columns of x (one row for each y), with an intercept unless `intercept` is false, by
 * reweighted least squares from the least-squares fit. Huber (1973; 1981, chapter 7); bisquare of Beaton and Tukey
 * (1974); tuning constants 1.345 and 4.685, 95 % of the precision of least squares on normal residuals (Holland and
 * Welsch 1977). At each step the scale is the median absolute residual, taken about zero, over 0.6744898. The
 * bisquare may have several solutions: this is the one reached from least squares. A wild x (leverage) is not guarded
 * against: theil-sen.ts is.
 *
 * Intervals: Student's t, n - columns degrees of freedom, on the standard errors of Huber (1981), section 7.6, eq.
 * 6.5 ("H1" of statsmodels). When at least half the residuals are zero the scale is 0 and so are the errors: the fit
 * is exact there, and weights are 1 or 0.
 *
 * `not-enough` as `leastSquares`; also, counting observations that still have weight, when too few keep any.
 * Throws a RangeError for unequal lengths or a number that is not finite.
 */
export function mRegression(
  x: readonly (readonly number[])[],
  y: readonly number[],
  options: { weighing?: Weighing; intercept?: boolean; level?: number } = {},
): RobustFit | NotEnough {
  const { weighing = 'huber', intercept = true, level = defaultLevel } = options
  requireLevel(level)
  const rows = designRows(x, y, intercept)
  const n = rows.length
  const columns = rows[0]?.length ?? 1
  if (n < columns + 1) return notEnough(n, columns + 1)
  const first = orthogonalSolve(rows, y)
  if (!first.solution) return notEnough(first.rank, columns)
  const { weight, slope } = psiOf[weighing]
  let solution = first.solution
  let residuals = residualsOf(rows, y, solution)
  let scale = scaleOf(residuals)
  const size = y.reduce((largest, value) => Math.max(largest, Math.abs(value)), 0)
  for (let step = 0; step < 1000 && scale > 1e-14 * size; step++) {
    const roots = residuals.map((residual) => Math.sqrt(weight(residual / scale)))
    const weighted = rows.map((row, i) => row.map((value) => value * roots[i]!))
    const next = orthogonalSolve(
      weighted,
      y.map((value, i) => value * roots[i]!),
    )
    if (!next.solution) return notEnough(roots.filter((root) => root > 0).length, n)
    const before = solution
    solution = next.solution
    residuals = residualsOf(rows, y, solution)
    scale = scaleOf(residuals)
    if (solution.every((value, j) => Math.abs(value - before[j]!) <= 1e-12 * Math.abs(value))) break
  }
  const isExact = !(scale > 1e-14 * size)
  const scaled = residuals.map((residual) => (isExact ? 0 : residual / scale))
  const weights = isExact ? residuals.map((residual) => +(Math.abs(residual) <= 1e-12 * size)) : scaled.map(weight)
  const slopes = scaled.map(slope)
  const meanSlope = slopes.reduce((sum, s) => sum + s, 0) / n
  if (!(meanSlope > 0)) return notEnough(weights.filter((w) => w > 0).length, n)
  const varianceOfSlope = slopes.reduce((sum, s) => sum + (s - meanSlope) ** 2, 0) / n
  const correction = 1 + ((columns / n) * varianceOfSlope) / meanSlope ** 2
  const squares = scaled.reduce((sum, u, i) => sum + (u * weights[i]!) ** 2, 0)
  const error = (correction * scale * Math.sqrt(squares / (n - columns))) / meanSlope
  const cross = first.inverseCross()
  const t = studentTQuantile((1 + level) / 2, n - columns)
  return {
    kind: 'estimate',
    n,
    level,
    coefficients: solution.map((value, j) => coefficient(value, error * Math.sqrt(cross[j]![j]!), t)),
    scale: isExact ? 0 : scale,
    weights,
    residuals,
  }
}

function scaleOf(residuals: readonly number[]): number {
  return median(residuals.map(Math.abs)) / 0.6744898
}
