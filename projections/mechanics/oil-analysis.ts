import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/** One oil sample: wear metal in parts per million, 0 or more, and hours on that oil. */
export interface OilSample {
  partsPerMillion: number
  oilHours: number
}

/**
 * Rate of rise of a wear metal between two samples of the same oil, ppm per 10 hours; negative where it fell (oil
 * topped up). Samples on either side of an oil change have no rate between them: the caller keeps them apart.
 * Source: Joint Oil Analysis Program manual vol. III (NAVAIR 17-15-50.3 / TM 38-301-3): compare with the sample before
 * and the rate of change.
 */
export function wearMetalRise(earlier: OilSample, later: OilSample): Outcome<{ partsPerMillionPer10Hours: number }> {
  const problem = firstProblem([
    { name: 'earlier sample', value: earlier.partsPerMillion, unit: 'ppm', atLeast: 0 },
    { name: 'later sample', value: later.partsPerMillion, unit: 'ppm', atLeast: 0 },
    { name: "earlier sample's hours", value: earlier.oilHours, unit: 'h', atLeast: 0 },
    {
      name: "later sample's hours",
      value: later.oilHours,
      unit: 'h',
      above: earlier.oilHours,
      remedy: 'Two samples need hours between them; after an oil change begin again.',
    },
  ])
  if (problem !== undefined) return refused(problem)
  return settled({
    partsPerMillionPer10Hours:
      ((later.partsPerMillion - earlier.partsPerMillion) / (later.oilHours - earlier.oilHours)) * 10,
  })
}
