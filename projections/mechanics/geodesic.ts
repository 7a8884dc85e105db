import geographiclib from 'geographiclib-geodesic'
import { firstProblem, type Outcome, refused, settled } from './outcome.ts'
import { type Position, positionGiven } from './position.ts'

/**
 * Shortest distance on the WGS84 ellipsoid, metres and nautical miles (1852 m). The same place gives 0.
 * Source: GeographicLib (Karney, "Algorithms for geodesics", Journal of Geodesy 87, 2013), its JavaScript package.
 */
export function geodesicDistance(from: Position, to: Position): Outcome<{ metres: number; nauticalMiles: number }> {
  const problem = firstProblem([...positionGiven(from), ...positionGiven(to)])
  if (problem !== undefined) return refused(problem)
  const metres = inverse(from, to).s12 ?? Number.NaN
  return settled({ metres, nauticalMiles: metres / 1852 })
}

/**
 * Initial course of the geodesic, degrees true, 0 to below 360. The same place has none, which is a problem. Between
 * opposite points several are equally short; one of them is given.
 * Source: as `geodesicDistance`.
 */
export function geodesicCourse(from: Position, to: Position): Outcome<{ courseDegrees: number }> {
  const problem = firstProblem([...positionGiven(from), ...positionGiven(to)])
  if (problem !== undefined) return refused(problem)
  const { s12, azi1 } = inverse(from, to)
  if (s12 === undefined || azi1 === undefined || s12 === 0)
    return refused('The two positions are the same; expected two between which a course runs. Look at both positions.')
  return settled({ courseDegrees: azi1 < 0 ? (azi1 + 360) % 360 : azi1 })
}

function inverse(from: Position, to: Position) {
  return geographiclib.Geodesic.WGS84.Inverse(
    from.latitudeDegrees,
    from.longitudeDegrees,
    to.latitudeDegrees,
    to.longitudeDegrees,
  )
}
