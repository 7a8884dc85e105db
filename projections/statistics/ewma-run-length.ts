import { requireFinite, requirePositive } from './estimate.ts'
import { ewmaError, requireLambda } from './ewma.ts'
import { gaussLegendre } from './gauss-legendre.ts'
import { normalDensity } from './normal.ts'
import { orthogonalSolve } from './orthogonal-solve.ts'

/** Run lengths beyond this cannot be told from endless ones in double arithmetic and come out as infinity. */
const longest = 1e12

/**
 * Mean number of independent normal values until a two-sided EWMA signals, the values' mean being off by `shift`
 * standard deviations. `lambda` and `limit` as in `ewma`; `limits` are 'varying' as there (exact for each count of
 * values; the default) or 'fixed' at what they grow to.
 *
 * Crowder's (1987) integral equation, solved at Gauss-Legendre nodes after Nyström; varying limits by stepping it
 * back from where they have settled to within 1e-8 (after the recursion of Steiner 1999). Small lambdas cost most:
 * 0.01 takes about a second. Beyond 1e12 values the answer is infinity. Throws a RangeError for lambda outside 0..1,
 * a limit not above zero, or a shift that is not finite.
 */
export function ewmaRunLength(
  chart: { lambda: number; limit: number; limits?: 'fixed' | 'varying' },
  shift: number,
): number {
  const { lambda, limit, limits = 'varying' } = chart
  requireLambda(lambda)
  requirePositive(limit, 'limit')
  requireFinite([shift], 'shifts')
  const settled = limit * ewmaError(lambda, Number.POSITIVE_INFINITY)
  const count = 40 + Math.ceil((8 * settled) / lambda)
  const nodes = gaussLegendre(count, -1, 1)
  /** Chances of moving from `from` to each node of a band of the given half width. */
  const moves = (from: number, halfWidth: number): number[] =>
    nodes.map(({ node, weight }) => {
      const value = (halfWidth * node - (1 - lambda) * from) / lambda - shift
      return ((weight * halfWidth) / lambda) * normalDensity(value)
    })
  const after = (from: number, halfWidth: number, lengths: readonly number[]): number =>
    moves(from, halfWidth).reduce((sum, chance, j) => sum + chance * lengths[j]!, 1)
  const rows = nodes.map(({ node }, i) => moves(settled * node, settled).map((chance, j) => +(i === j) - chance))
  const { solution } = orthogonalSolve(
    rows,
    nodes.map(() => 1),
  )
  if (!solution?.every((length) => length > 0 && length < longest)) return Number.POSITIVE_INFINITY
  if (limits === 'fixed') return after(0, settled, solution)
  const steps = lambda === 1 ? 1 : Math.ceil(Math.log(1e-8) / (2 * Math.log1p(-lambda)))
  const halfWidthAt = (step: number): number => limit * ewmaError(lambda, step)
  let lengths: number[] = solution
  for (let step = steps - 1; step >= 1; step--) {
    const here = halfWidthAt(step)
    const next = halfWidthAt(step + 1)
    const ahead = lengths
    lengths = nodes.map(({ node }) => after(here * node, next, ahead))
  }
  return after(0, halfWidthAt(1), lengths)
}
