import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { geodesicCourse, geodesicDistance } from '../../projections/mechanics/geodesic.ts'
import { greatCircleCourse, greatCircleDistance } from '../../projections/mechanics/great-circle.ts'
import { fromDegreesMinutes, longitudeDifferenceRadians, type Position } from '../../projections/mechanics/position.ts'
import { rhumbLineSphere, rhumbLineWgs84 } from '../../projections/mechanics/rhumb-line.ts'
import { EQUATORIAL_RADIUS_METRES, isometricLatitude, meridianArcMetres } from '../../projections/mechanics/wgs84.ts'
import { evenly } from './even-numbers.ts'
import { EXAMPLES_ELSEWHERE, figures, type Inputs, testWorkedExamples, workedExamples } from './worked-examples.ts'

const radians = (degrees: number) => (degrees * Math.PI) / 180

const ends = (input: Inputs): [Position, Position] => [
  { latitudeDegrees: input('lat1'), longitudeDegrees: input('lon1') },
  { latitudeDegrees: input('lat2'), longitudeDegrees: input('lon2') },
]

const greatCircle = (input: Inputs) => {
  const [from, to] = ends(input)
  const { arcRadians, nauticalMiles } = figures(greatCircleDistance(from, to))
  const { courseDegrees, vertexLatitudeDegrees } = figures(greatCircleCourse(from, to))
  return {
    dl: longitudeDifferenceRadians(from, to),
    c: Math.cos(arcRadians),
    dist_nm: nauticalMiles,
    course: courseDegrees,
    lat_vertex: vertexLatitudeDegrees,
  }
}

const onEllipsoid = (input: Inputs) => {
  const [from, to] = ends(input)
  return {
    m1: meridianArcMetres(radians(from.latitudeDegrees)),
    m2: meridianArcMetres(radians(to.latitudeDegrees)),
    psi1: isometricLatitude(radians(from.latitudeDegrees)),
    psi2: isometricLatitude(radians(to.latitudeDegrees)),
    dl: longitudeDifferenceRadians(from, to),
  }
}

const constantsOfTheEllipsoid = ['a', 'f', 'e2', 'e', 'n', 'A', 'b2', 'b4', 'b6', 'b8', 'p1', 'p2']

describe('worked examples on navigation', () => {
  testWorkedExamples(
    ['navigation'],
    {
      W46: greatCircle,
      W47: greatCircle,
      W48: greatCircle,
      W49: (input) => {
        const [from, to] = ends(input)
        const { courseDegrees, nauticalMiles } = figures(rhumbLineSphere(from, to))
        return { dl: longitudeDifferenceRadians(from, to), course: courseDegrees, dist_nm: nauticalMiles }
      },
      W50: (input) => {
        const { courseDegrees, metres } = figures(rhumbLineWgs84(...ends(input)))
        return { ...onEllipsoid(input), course: courseDegrees, dist_m: metres }
      },
      W51: (input) => {
        expect(EQUATORIAL_RADIUS_METRES).toBe(input('a'))
        return { quarter_m: meridianArcMetres(Math.PI / 2) }
      },
      W52: (input) => {
        const [from, to] = ends(input)
        return {
          sphere_m: figures(greatCircleDistance(from, to)).metres,
          geod_m: figures(geodesicDistance(from, to)).metres,
          azi1: figures(geodesicCourse(from, to)).courseDegrees,
        }
      },
      W57: (input) => {
        const result = figures(rhumbLineWgs84(...ends(input)))
        return {
          ...onEllipsoid(input),
          course: result.courseDegrees - 360,
          course360: result.courseDegrees,
          dist_m: result.metres,
          dist_nm: result.nauticalMiles,
          dist_trad_nm: result.minutesOfLatitudeMiles,
        }
      },
    },
    { W49: ['dpsi'], W50: constantsOfTheEllipsoid, W57: constantsOfTheEllipsoid },
  )
})

describe('worked examples on formats', () => {
  testWorkedExamples(['formats'], {
    W55: (input) => {
      const result = figures(fromDegreesMinutes(input('dm'), 'N'))
      return {
        deg: result.wholeDegrees,
        minutes: result.minutes,
        decimal: result.signedDegrees,
        seconds: result.secondsOfMinute,
      }
    },
  })
})

test('all fifty-seven examples are in the data, and only the conversions and clock times are checked elsewhere', () => {
  const ids = Array.from({ length: 57 }, (_, at) => `W${String(at + 1).padStart(2, '0')}`)
  expect(workedExamples.map(({ id }) => id).sort()).toEqual(ids)
  const topicsHere = ['belts', 'charging', 'diesel', 'reliability', 'navigation', 'formats']
  const left = workedExamples.filter(({ topic, id }) => !topicsHere.includes(topic) || EXAMPLES_ELSEWHERE.includes(id))
  expect(left.map(({ id }) => id).sort()).toEqual(['W53', 'W54', 'W56'])
})

describe('geodesic', () => {
  test.each([
    { from: [35.60777, -139.44815], to: [-11.17491, -69.95921], metres: 8935244.56048183 },
    { from: [-10.62672, -32.0898], to: [5.883, -134.31681], metres: 11470869.386456301 },
    { from: [-19.79938, -174.47484], to: [-11.99349, -154.35109], metres: 2319004.860116939 },
  ])('$from to $to is $metres m, as in GeographicLib tests/geodtest.cpp', ({ from, to, metres }) => {
    const [start, end] = [from, to].map(([latitudeDegrees, longitudeDegrees]) => ({
      latitudeDegrees: latitudeDegrees!,
      longitudeDegrees: longitudeDegrees!,
    }))
    const micrometre = 1e-6
    expect(Math.abs(figures(geodesicDistance(start!, end!)).metres - metres)).toBeLessThanOrEqual(micrometre)
  })
})

describe('the ellipsoid', () => {
  test('the meridian arc is the geodesic due north or south to a micrometre', () => {
    fc.assert(
      fc.property(evenly(-90, 90), (latitudeDegrees) => {
        const { metres } = figures(
          geodesicDistance({ latitudeDegrees: 0, longitudeDegrees: 0 }, { latitudeDegrees, longitudeDegrees: 0 }),
        )
        expect(Math.abs(Math.abs(meridianArcMetres(radians(latitudeDegrees))) - metres)).toBeLessThan(1e-6)
      }),
    )
  })

  test('a difference of longitude is taken the shorter way, however the two were counted', () => {
    fc.assert(
      fc.property(evenly(-179.9, 180), evenly(-180, 180), fc.constantFrom(-360, 0, 360), (east, from, turns) => {
        const to = from + east + turns
        fc.pre(Math.abs(to) <= 360)
        const at = (longitudeDegrees: number) => ({ latitudeDegrees: 0, longitudeDegrees })
        expect(longitudeDifferenceRadians(at(from), at(to))).toBeCloseTo(radians(east), 9)
      }),
    )
  })
})

describe('all lines', () => {
  test('distance is the same there and back, and nought to the same place', () => {
    fc.assert(
      fc.property(place(), place(), (from, to) => {
        for (const distance of [
          (a: Position, b: Position) => figures(greatCircleDistance(a, b)).metres,
          (a: Position, b: Position) => figures(geodesicDistance(a, b)).metres,
        ]) {
          expect(Math.abs(distance(from, to) - distance(to, from))).toBeLessThan(0.001)
          expect(distance(from, from)).toBeLessThan(1e-6)
        }
      }),
    )
  })

  test('no rhumb line is shorter than the geodesic, and no sphere is out by more than about 0.56 %', () => {
    fc.assert(
      fc.property(place(), place(), (from, to) => {
        const shortest = figures(geodesicDistance(from, to)).metres
        fc.pre(shortest > 1)
        expect(figures(rhumbLineWgs84(from, to)).metres).toBeGreaterThanOrEqual(shortest - 0.001)
        expect(Math.abs(figures(greatCircleDistance(from, to)).metres / shortest - 1)).toBeLessThan(0.00565)
      }),
    )
  })

  test('over a mile or so all three agree, however nearly east and west the course', () => {
    fc.assert(
      fc.property(place(), evenly(-0.02, 0.02), evenly(-8, -1), (from, east, exponent) => {
        fc.pre(Math.abs(east) > 0.005 && Math.abs(from.latitudeDegrees) < 70)
        const to = {
          latitudeDegrees: from.latitudeDegrees + 0.01 * 10 ** exponent,
          longitudeDegrees: from.longitudeDegrees + east,
        }
        const shortest = figures(geodesicDistance(from, to)).metres
        expect(figures(rhumbLineWgs84(from, to)).metres / shortest).toBeCloseTo(1, 6)
        const rhumb = figures(rhumbLineSphere(from, to)).nauticalMiles
        expect(rhumb / figures(greatCircleDistance(from, to)).nauticalMiles).toBeCloseTo(1, 6)
      }),
    )
  })

  test('along the equator a minute of longitude is a mile on the sphere, and 1855.3 m on the ellipsoid', () => {
    const from = { latitudeDegrees: 0, longitudeDegrees: 179 }
    const to = { latitudeDegrees: 0, longitudeDegrees: -179 }
    expect(figures(greatCircleDistance(from, to)).nauticalMiles).toBeCloseTo(120, 9)
    expect(figures(rhumbLineSphere(from, to))).toMatchObject({ courseDegrees: 90 })
    expect(figures(rhumbLineSphere(from, to)).nauticalMiles).toBeCloseTo(120, 9)
    const onEquator = radians(2) * EQUATORIAL_RADIUS_METRES
    expect(figures(rhumbLineWgs84(from, to)).metres).toBeCloseTo(onEquator, 3)
    expect(figures(geodesicDistance(from, to)).metres).toBeCloseTo(onEquator, 3)
    expect(figures(geodesicDistance(from, to)).nauticalMiles).toBeCloseTo(onEquator / 1852, 6)
  })

  test('the great circle to a place due north is a meridian with its vertex at the pole', () => {
    const from = { latitudeDegrees: 10, longitudeDegrees: 20 }
    const course = figures(greatCircleCourse(from, { latitudeDegrees: 40, longitudeDegrees: 20 }))
    expect(course.courseDegrees).toBe(0)
    expect(course.vertexLatitudeDegrees).toBeCloseTo(90, 9)
  })

  test('courses lie from 0 to below 360 degrees', () => {
    fc.assert(
      fc.property(place(), place(), (from, to) => {
        const { arcRadians } = figures(greatCircleDistance(from, to))
        fc.pre(arcRadians > 1e-6 && arcRadians < 3.14)
        for (const outcome of [
          greatCircleCourse(from, to),
          geodesicCourse(from, to),
          rhumbLineSphere(from, to),
          rhumbLineWgs84(from, to),
        ]) {
          const { courseDegrees } = figures<{ courseDegrees: number }>(outcome)
          expect(courseDegrees).toBeGreaterThanOrEqual(0)
          expect(courseDegrees).toBeLessThan(360)
        }
      }),
    )
  })

  test('the same place has no course, a pole no rhumb line, and a latitude of 95 is a problem in words', () => {
    const here = { latitudeDegrees: 50, longitudeDegrees: -4 }
    for (const none of [greatCircleCourse, geodesicCourse, rhumbLineSphere, rhumbLineWgs84])
      expect(none(here, here)).toMatchObject({ problem: expect.stringContaining('positions are the same') })
    expect(greatCircleCourse(here, { latitudeDegrees: -50, longitudeDegrees: 176 })).toMatchObject({ ok: false })
    const pole = { latitudeDegrees: 90, longitudeDegrees: 0 }
    expect(rhumbLineWgs84(here, pole)).toMatchObject({ problem: expect.stringContaining('winds for ever') })
    expect(geodesicDistance(here, { latitudeDegrees: 95, longitudeDegrees: 0 })).toEqual({
      ok: false,
      problem:
        'The latitude was 95 degrees; expected -90 degrees or more and 90 degrees or less. Look at the entry or setting that it came from.',
    })
  })
})

describe('degrees and minutes', () => {
  test('every hundredth of a minute comes back, south and west negative', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 89 }),
        fc.integer({ min: 0, max: 5999 }),
        fc.constantFrom('N', 'S', 'E', 'W'),
        (degrees, hundredths, hemisphere) => {
          const { signedDegrees } = figures(fromDegreesMinutes(degrees * 100 + hundredths / 100, hemisphere))
          const sign = hemisphere === 'S' || hemisphere === 'W' ? -1 : 1
          expect(signedDegrees).toBeCloseTo(sign * (degrees + hundredths / 6000), 9)
        },
      ),
    )
  })

  test('sixty minutes and more, or a latitude beyond the pole, are problems', () => {
    expect(fromDegreesMinutes(4560, 'N')).toMatchObject({
      problem: expect.stringContaining('may already be in degrees'),
    })
    expect(fromDegreesMinutes(9001, 'S')).toMatchObject({ ok: false })
    expect(fromDegreesMinutes(12301.5, 'W')).toMatchObject({ ok: true })
  })
})

function place() {
  return fc.record({
    latitudeDegrees: evenly(-85, 85),
    longitudeDegrees: evenly(-180, 180),
  })
}
