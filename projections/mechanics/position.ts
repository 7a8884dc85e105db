import { firstProblem, type Given, type Outcome, refused, settled } from './outcome.ts'

/** A position: degrees, north and east positive; longitude may run on past 180 (to 360 either way). */
export interface Position {
  latitudeDegrees: number
  longitudeDegrees: number
}

/** The checks on a position, for `firstProblem`. */
export function positionGiven({ latitudeDegrees, longitudeDegrees }: Position): Given[] {
  return [
    { name: 'latitude', value: latitudeDegrees, unit: 'degrees', atLeast: -90, atMost: 90 },
    { name: 'longitude', value: longitudeDegrees, unit: 'degrees', atLeast: -360, atMost: 360 },
  ]
}

/** Eastward difference of longitude by the shorter way, radians, above -pi and at most pi. */
export function longitudeDifferenceRadians(from: Position, to: Position): number {
  const degrees = to.longitudeDegrees - from.longitudeDegrees
  const shorter = degrees - 360 * Math.ceil((degrees - 180) / 360)
  return radians(shorter)
}

/** Degrees as radians. */
export function radians(degrees: number): number {
  return (degrees / 180) * Math.PI
}

/** Radians as a course, 0 to below 360 degrees, clockwise from north. */
export function courseDegreesFrom(angleRadians: number): number {
  const degrees = (angleRadians / Math.PI) * 180
  return degrees < 0 ? (degrees + 360) % 360 : degrees
}

/**
 * A position as NMEA 0183 writes it, whole degrees times 100 plus minutes (4533.35 is 45° 33.35'), taken apart.
 * `signedDegrees` is negative for S and W.
 * Source: gpsd project, "NMEA Revealed", NMEA encoding conventions.
 * @param degreesMinutes 0 to 9000 for latitude, to 18000 for longitude, minutes below 60
 */
export function fromDegreesMinutes(
  degreesMinutes: number,
  hemisphere: 'N' | 'S' | 'E' | 'W',
): Outcome<{ wholeDegrees: number; minutes: number; secondsOfMinute: number; signedDegrees: number }> {
  const isLatitude = hemisphere === 'N' || hemisphere === 'S'
  const name = isLatitude ? 'latitude' : 'longitude'
  const wholeDegrees = Math.floor(degreesMinutes / 100)
  const minutes = degreesMinutes - wholeDegrees * 100
  const problem = firstProblem([
    { name, value: degreesMinutes, unit: '(degrees and minutes)', atLeast: 0, atMost: isLatitude ? 9000 : 18000 },
    {
      name: `minutes of ${name}`,
      value: minutes,
      unit: "'",
      below: 60,
      remedy: 'The figure is degrees times 100 plus minutes; this one may already be in degrees.',
    },
  ])
  if (problem !== undefined) return refused(problem)
  const degrees = wholeDegrees + minutes / 60
  return settled({
    wholeDegrees,
    minutes,
    secondsOfMinute: (minutes - Math.floor(minutes)) * 60,
    signedDegrees: hemisphere === 'S' || hemisphere === 'W' ? -degrees : degrees,
  })
}
