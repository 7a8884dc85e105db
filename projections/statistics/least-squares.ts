import {
  defaultLevel,
  type Interval,
  type NotEnough,
  notEnough,
  requireFinite,
  requireLevel,
  requireSameLength,
} from './estimate.ts'
import { orthogonalSolve } from './orthogonal-solve.ts'
import { studentTQuantile } from './student-t.ts'

/** A coefficient with its interval and standard error, in units of y over units of its column. */
export type Coefficient = Interval & { standardError: number }

/**
 * A fitted linear relation: the intercept first (unless left out), then one coefficient for each column of x.
 * `rSquared` (0..1) is null when y does not vary, so that there is nothing to explain.
 */
export type LinearFit = {
  kind: 'estimate'
  n: number
  level: number
  coefficients: Coefficient[]
  residuals: number[]
  residualSd: number
  degreesOfFreedom: number
  rSquared: number | null
}

/**
 * Ordinary least squares of y on the columns of x (one row for each y), with an intercept unless `intercept` is false.
 * Gauss (1809); Draper and Smith (1998), chapter 5; intervals by Student's t with n - columns degrees of freedom.
 * A line is a single column: `x.map((value) => [value])`. Without an intercept `rSquared` is about zero, as R has it.
 *
 * `not-enough` counts observations, one more than coefficients being needed; or, when columns depend on each other
 * (all x equal, for one), independent columns of those there are. Empty input gives n = 0. Throws a RangeError for
 * unequal lengths or a number that is not finite.
 */
export function leastSquares(
  x: readonly (readonly number[])[],
  y: readonly number[],
  options: { intercept?: boolean; level?: number } = {},
): LinearFit | NotEnough {
  const { intercept = true, level = defaultLevel } = options
  requireLevel(level)
  const rows = designRows(x, y, intercept)
  const n = rows.length
  const columns = rows[0]?.length ?? 1
  if (n < columns + 1) return notEnough(n, columns + 1)
  const solved = orthogonalSolve(rows, y)
  if (!solved.solution) return notEnough(solved.rank, columns)
  const { solution, inverseCross, residualSumOfSquares } = solved
  const degreesOfFreedom = n - columns
  const residualSd = Math.sqrt(residualSumOfSquares / degreesOfFreedom)
  const t = studentTQuantile((1 + level) / 2, degreesOfFreedom)
  const cross = inverseCross()
  const centre = intercept ? y.reduce((sum, value) => sum + value, 0) / n : 0
  const totalSumOfSquares = y.reduce((sum, value) => sum + (value - centre) ** 2, 0)
  return {
    kind: 'estimate',
    n,
    level,
    coefficients: solution.map((value, i) => coefficient(value, residualSd * Math.sqrt(cross[i]![i]!), t)),
    residuals: residualsOf(rows, y, solution),
    residualSd,
    degreesOfFreedom,
    rSquared: totalSumOfSquares > 0 ? Math.max(0, 1 - residualSumOfSquares / totalSumOfSquares) : null,
  }
}

/** A coefficient with the ends value -+ factor * standard error. */
export function coefficient(value: number, standardError: number, factor: number): Coefficient {
  return { value, low: value - factor * standardError, high: value + factor * standardError, standardError }
}

/** What is left of each y after the linear relation with these coefficients. */
export function residualsOf(
  rows: readonly (readonly number[])[],
  y: readonly number[],
  coefficients: readonly number[],
): number[] {
  return rows.map((row, i) => y[i]! - row.reduce((sum, value, j) => sum + value * coefficients[j]!, 0))
}

/** The rows of x with a leading 1 for the intercept. Throws a RangeError for unequal lengths or numbers not finite. */
export function designRows(x: readonly (readonly number[])[], y: readonly number[], intercept: boolean): number[][] {
  requireSameLength(x, y, 'x and y')
  requireFinite(y, 'values of y')
  return x.map((row) => {
    requireSameLength(row, x[0]!, 'values in the rows of x')
    requireFinite(row, 'values of x')
    return intercept ? [1, ...row] : [...row]
  })
}
