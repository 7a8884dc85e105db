/** WGS84 equatorial radius, metres. From memory: WGS84 definition, NIMA TR8350.2, 2000. */
export const EQUATORIAL_RADIUS_METRES = 6378137

/** WGS84 flattening. From memory: WGS84 definition, NIMA TR8350.2, 2000. */
export const FLATTENING = 1 / 298.257223563

/** Square of the first eccentricity. */
export const ECCENTRICITY_SQUARED = FLATTENING * (2 - FLATTENING)

const ECCENTRICITY = Math.sqrt(ECCENTRICITY_SQUARED)

/** Third flattening, the small quantity of the meridian series. */
const N = FLATTENING / (2 - FLATTENING)

const RECTIFYING_RADIUS_METRES = (EQUATORIAL_RADIUS_METRES / (1 + N)) * (1 + N ** 2 / 4 + N ** 4 / 64)

/**
 * Distance along the meridian from the equator, metres, negative to the south; a quarter of the meridian at the pole.
 * Series in the third flattening to the fourth power, good to well under a millimetre.
 * Source: the series in common use for the WGS84 meridian; checked against GeographicLib's equator-to-pole distance.
 * @param latitudeRadians -pi/2 to pi/2
 */
export function meridianArcMetres(latitudeRadians: number): number {
  const p = latitudeRadians
  return (
    RECTIFYING_RADIUS_METRES *
    (p +
      ((-3 / 2) * N + (9 / 16) * N ** 3) * Math.sin(2 * p) +
      ((15 / 16) * N ** 2 - (15 / 32) * N ** 4) * Math.sin(4 * p) -
      (35 / 48) * N ** 3 * Math.sin(6 * p) +
      (315 / 512) * N ** 4 * Math.sin(8 * p))
  )
}

/**
 * Isometric latitude: the Mercator chart's north, in radians of longitude at the equator; infinite at the poles.
 * Source: atanh(sin p) - e atanh(e sin p), as in GeographicLib's rhumb lines.
 * @param latitudeRadians between -pi/2 and pi/2
 */
export function isometricLatitude(latitudeRadians: number): number {
  const sine = Math.sin(latitudeRadians)
  return Math.atanh(sine) - ECCENTRICITY * Math.atanh(ECCENTRICITY * sine)
}
