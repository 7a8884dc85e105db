import { firstProblem, type Outcome, refused, settled } from './outcome.ts'
import { courseDegreesFrom, longitudeDifferenceRadians, type Position, positionGiven, radians } from './position.ts'
import { ECCENTRICITY_SQUARED, EQUATORIAL_RADIUS_METRES, isometricLatitude, meridianArcMetres } from './wgs84.ts'

/**
 * Rhumb line (Mercator sailing) on a sphere of one nautical mile to the minute, by the shorter way round: course in
 * degrees true and distance. Equal latitudes are parallel sailing. The same place, or a pole, gives a problem.
 * Source: Mercator sailing; checked against The Calculator Afloat (Shufeldt & Newcomer, 1980), example as corrected in a
 * public forum thread.
 */
export function rhumbLineSphere(
  from: Position,
  to: Position,
): Outcome<{ courseDegrees: number; nauticalMiles: number }> {
  const problem = rhumbProblem(from, to)
  if (problem !== undefined) return refused(problem)
  const { northing, easting, perNorthing } = legs(from, to, {
    chartNorth: (latitude) => Math.asinh(Math.tan(latitude)),
    ground: (latitude) => latitude,
    groundPerChartNorth: Math.cos,
  })
  const arcRadians = Math.hypot(northing, easting) * perNorthing
  return settled({
    courseDegrees: courseDegreesFrom(Math.atan2(easting, northing)),
    nauticalMiles: (arcRadians / Math.PI) * 180 * 60,
  })
}

/**
 * Rhumb line on the WGS84 ellipsoid by the shorter way round: course in degrees true, distance in metres and nautical
 * miles (1852 m), and `minutesOfLatitudeMiles`, the traditional figure that takes the ellipsoid for the course and a mile
 * to each minute of latitude for the distance. The same place, or a pole, gives a problem.
 * Source: isometric latitude and meridian arc; checked against GeographicLib, RhumbSolve manual page.
 */
export function rhumbLineWgs84(
  from: Position,
  to: Position,
): Outcome<{ courseDegrees: number; metres: number; nauticalMiles: number; minutesOfLatitudeMiles: number }> {
  const problem = rhumbProblem(from, to)
  if (problem !== undefined) return refused(problem)
  const onGround = legs(from, to, {
    chartNorth: isometricLatitude,
    ground: meridianArcMetres,
    groundPerChartNorth: (latitude) =>
      (EQUATORIAL_RADIUS_METRES * Math.cos(latitude)) / Math.sqrt(1 - ECCENTRICITY_SQUARED * Math.sin(latitude) ** 2),
  })
  const inLatitude = legs(from, to, {
    chartNorth: isometricLatitude,
    ground: (latitude) => latitude,
    groundPerChartNorth: (latitude) =>
      ((1 - ECCENTRICITY_SQUARED * Math.sin(latitude) ** 2) * Math.cos(latitude)) / (1 - ECCENTRICITY_SQUARED),
  })
  const onChart = Math.hypot(onGround.northing, onGround.easting)
  const metres = onChart * onGround.perNorthing
  return settled({
    courseDegrees: courseDegreesFrom(Math.atan2(onGround.easting, onGround.northing)),
    metres,
    nauticalMiles: metres / 1852,
    minutesOfLatitudeMiles: ((onChart * inLatitude.perNorthing) / Math.PI) * 180 * 60,
  })
}

/** Below this difference of latitude (6 m) a quotient of differences loses more than the slope at mid-latitude does. */
const NEARLY_PARALLEL_RADIANS = 1e-6

function legs(
  from: Position,
  to: Position,
  chart: {
    chartNorth: (latitudeRadians: number) => number
    ground: (latitudeRadians: number) => number
    groundPerChartNorth: (latitudeRadians: number) => number
  },
): { northing: number; easting: number; perNorthing: number } {
  const south = radians(from.latitudeDegrees)
  const north = radians(to.latitudeDegrees)
  const slopeAtMiddle = chart.groundPerChartNorth((south + north) / 2)
  const easting = longitudeDifferenceRadians(from, to)
  if (Math.abs(north - south) < NEARLY_PARALLEL_RADIANS) {
    const ground = chart.ground(north) - chart.ground(south)
    return { northing: ground / slopeAtMiddle, easting, perNorthing: slopeAtMiddle }
  }
  const northing = chart.chartNorth(north) - chart.chartNorth(south)
  return { northing, easting, perNorthing: (chart.ground(north) - chart.ground(south)) / northing }
}

function rhumbProblem(from: Position, to: Position): string | undefined {
  const problem = firstProblem([
    ...positionGiven(from),
    ...positionGiven(to),
    ...[from, to].map(({ latitudeDegrees }) => ({
      name: 'latitude',
      value: latitudeDegrees,
      unit: 'degrees',
      above: -90,
      below: 90,
      remedy: 'A rhumb line winds for ever round a pole.',
    })),
  ])
  if (problem !== undefined) return problem
  return from.latitudeDegrees === to.latitudeDegrees && longitudeDifferenceRadians(from, to) === 0
    ? 'The two positions are the same; expected two between which a course runs. Look at both positions.'
    : undefined
}
