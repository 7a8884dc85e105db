import { requireFinite, requirePositive } from './estimate.ts'
import { gaussLegendre } from './gauss-legendre.ts'
import { normalCdf, normalDensity } from './normal.ts'
import { orthogonalSolve } from './orthogonal-solve.ts'

/** Run lengths beyond this cannot be told from endless ones in double arithmetic and come out as infinity. */
const longest = 1e12

/**
 * Mean number of independent normal values until a CUSUM signals, the values' mean being off by `shift` from the
 * target. All in standard deviations of one value: `allowance` k (0 or more), `decisionInterval` h (above 0),
 * `headStart` from 0 to h. 'one' watches upwards only; 'two' (the default) both ways.
 *
 * Page's (1954) integral equation, solved at Gauss-Legendre nodes after Nyström, 44 or more as h grows (Goel and Wu
 * 1971; Vance 1986); the start at zero has an equation of its own, since the sum often rests there. The two sides are
 * put together by 1/L = 1/L(up) + 1/L(down) (Kemp 1961; Van Dobben de Bruyn 1968), with a head start by Lucas and
 * Crosier (1982), which holds for head starts up to about h / 2. Beyond 1e12 values the answer is infinity. Throws a
 * RangeError for settings outside their range.
 */
export function cusumRunLength(
  chart: { allowance: number; decisionInterval: number; headStart?: number; sides?: 'one' | 'two' },
  shift: number,
): number {
  const { allowance, decisionInterval, headStart = 0, sides = 'two' } = chart
  requireFinite([shift, allowance], 'shift and allowance')
  requirePositive(decisionInterval, 'decision interval')
  if (!(allowance >= 0 && headStart >= 0 && headStart <= decisionInterval)) {
    throw new RangeError(
      `Allowance and head start were ${allowance} and ${headStart}; expected zero or more, the head start up to the decision interval, ${decisionInterval}.`,
    )
  }
  const up = oneSided(allowance, decisionInterval, headStart, shift)
  if (sides === 'one') return up.withHeadStart
  const down = oneSided(allowance, decisionInterval, headStart, -shift)
  if (down.fromZero === Number.POSITIVE_INFINITY) return up.withHeadStart
  if (up.fromZero === Number.POSITIVE_INFINITY) return down.withHeadStart
  const total = up.fromZero + down.fromZero
  return (up.withHeadStart * down.fromZero + up.fromZero * (down.withHeadStart - down.fromZero)) / total
}

function oneSided(
  allowance: number,
  decisionInterval: number,
  headStart: number,
  shift: number,
): { fromZero: number; withHeadStart: number } {
  const nodes = gaussLegendre(40 + Math.ceil(4 * decisionInterval), 0, decisionInterval)
  const reference = allowance - shift
  const falls = (from: number): number => normalCdf(reference - from)
  const moves = (from: number): number[] =>
    nodes.map(({ node, weight }) => weight * normalDensity(node + reference - from))
  const starts = [0, ...nodes.map(({ node }) => node)]
  const rows = starts.map((from, i) => [falls(from), ...moves(from)].map((chance, j) => +(i === j) - chance))
  const { solution } = orthogonalSolve(
    rows,
    starts.map(() => 1),
  )
  const endless = { fromZero: Number.POSITIVE_INFINITY, withHeadStart: Number.POSITIVE_INFINITY }
  if (!solution) return endless
  const [fromZero, ...rest] = solution
  if (!(fromZero! > 0 && fromZero! < longest)) return endless
  if (headStart === 0) return { fromZero: fromZero!, withHeadStart: fromZero! }
  const later = moves(headStart).reduce((sum, chance, j) => sum + chance * rest[j]!, 0)
  return { fromZero: fromZero!, withHeadStart: 1 + falls(headStart) * fromZero! + later }
}
