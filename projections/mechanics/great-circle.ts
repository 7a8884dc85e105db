import { firstProblem, type Outcome, refused, settled } from './outcome.ts'
import { courseDegreesFrom, longitudeDifferenceRadians, type Position, positionGiven, radians } from './position.ts'

/** Mean radius of the earth (IUGG), metres, for a sphere. A sphere departs from WGS84 by up to about 0.56 %. */
export const MEAN_EARTH_RADIUS_METRES = 6371008.8

/**
 * Great-circle distance on a sphere: in nautical miles at one mile to a minute of arc, and in metres at the mean radius
 * (the two differ by about 0.1 %). The same place gives 0.
 * Source: spherical trigonometry, in the arctangent form that keeps its figures at all distances; checked against US
 * merchant-officer style great-circle problems.
 */
export function greatCircleDistance(
  from: Position,
  to: Position,
): Outcome<{ arcRadians: number; nauticalMiles: number; metres: number }> {
  const problem = firstProblem([...positionGiven(from), ...positionGiven(to)])
  if (problem !== undefined) return refused(problem)
  const { east, north, along } = components(from, to)
  const arcRadians = Math.atan2(Math.hypot(east, north), along)
  return settled({
    arcRadians,
    nauticalMiles: (arcRadians / Math.PI) * 180 * 60,
    metres: arcRadians * MEAN_EARTH_RADIUS_METRES,
  })
}

/**
 * Initial great-circle course, degrees true, and the latitude of the vertex: the highest that the whole circle reaches,
 * without sign (it reaches as far the other side of the equator, and may lie beyond either end of the passage).
 * The same place and opposite points of the earth have no one course, which is a problem.
 * Source: spherical trigonometry; vertex cos(lat) = cos(lat1) |sin(course)|, navigation texts (from memory: NGA Pub. 9,
 * great-circle sailing).
 */
export function greatCircleCourse(
  from: Position,
  to: Position,
): Outcome<{ courseDegrees: number; vertexLatitudeDegrees: number }> {
  const problem = firstProblem([...positionGiven(from), ...positionGiven(to)])
  if (problem !== undefined) return refused(problem)
  const { east, north } = components(from, to)
  const sineOfArc = Math.hypot(east, north)
  const aboutATenthOfAMillimetre = 1e-11
  if (sineOfArc < aboutATenthOfAMillimetre)
    return refused(
      'The two positions are the same, or opposite each other on the earth; expected two between which one course runs. Look at both positions.',
    )
  const cosineOfVertex = (Math.cos(radians(from.latitudeDegrees)) * Math.abs(east)) / sineOfArc
  return settled({
    courseDegrees: courseDegreesFrom(Math.atan2(east, north)),
    vertexLatitudeDegrees: (Math.acos(Math.min(1, cosineOfVertex)) / Math.PI) * 180,
  })
}

/** The far point as seen from the near one: unit vector, eastward, northward and straight up. */
function components(from: Position, to: Position): { east: number; north: number; along: number } {
  const difference = longitudeDifferenceRadians(from, to)
  const latitude = radians(from.latitudeDegrees)
  const toLatitude = radians(to.latitudeDegrees)
  return {
    east: Math.sin(difference) * Math.cos(toLatitude),
    north: Math.cos(latitude) * Math.sin(toLatitude) - Math.sin(latitude) * Math.cos(toLatitude) * Math.cos(difference),
    along: Math.sin(latitude) * Math.sin(toLatitude) + Math.cos(latitude) * Math.cos(toLatitude) * Math.cos(difference),
  }
}
