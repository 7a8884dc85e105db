import { firstProblem, type Outcome, refused, settled } from './outcome.ts'

/** Two pulleys and an open (not crossed) belt. Pitch diameters: where the belt's cords run, a little inside its back. */
export interface OpenDrive {
  /** Pitch diameter of the larger pulley, mm, above 0. */
  largeDiameterMillimetres: number
  /** Pitch diameter of the smaller pulley, mm, above 0, no larger than the other. */
  smallDiameterMillimetres: number
  /** Distance between the pulley centres, mm; more than half the two diameters together. */
  centresMillimetres: number
}

/**
 * Free span between the two tangent points, mm: sqrt(C² - ((D - d) / 2)²).
 * Source: plane geometry; worked on a public millwright page (4 in and 12 in sheaves at 24 in centres give 23.66 in).
 */
export function freeSpan(drive: OpenDrive): Outcome<{ spanMillimetres: number }> {
  const problem = driveProblem(drive)
  if (problem !== undefined) return refused(problem)
  const offset = (drive.largeDiameterMillimetres - drive.smallDiameterMillimetres) / 2
  return settled({
    spanMillimetres: Math.sqrt((drive.centresMillimetres - offset) * (drive.centresMillimetres + offset)),
  })
}

/**
 * Wrap (arc of contact) on both pulleys, radians: small = pi - 2 asin((D - d) / 2C), large = 2 pi - small.
 * Small lies between 0 and pi, large between pi and 2 pi; equal pulleys give pi on both.
 * Source: industrial drive manual, arc-of-contact factors, Table 3-3.
 */
export function wrap(drive: OpenDrive): Outcome<{ smallWrapRadians: number; largeWrapRadians: number }> {
  const problem = driveProblem(drive)
  if (problem !== undefined) return refused(problem)
  const lost =
    2 * Math.asin((drive.largeDiameterMillimetres - drive.smallDiameterMillimetres) / (2 * drive.centresMillimetres))
  return settled({ smallWrapRadians: Math.PI - lost, largeWrapRadians: Math.PI + lost })
}

/**
 * How far to press the middle of a span when its tension is read by force, mm: one sixty-fourth of the span.
 * A rule for industrial V-belts; an engine maker's own figure comes first.
 * Source: US Army TM 5-4310-339-15, para 5-5 (a 100 in span deflects 1-9/16 in). A much slacker rule in NAVFAC MO-206
 * (8.7.1) is another rule and is not used here.
 * @param spanMillimetres free span, above 0
 */
export function deflectionByRule(spanMillimetres: number): Outcome<{ deflectionMillimetres: number }> {
  const problem = firstProblem([{ name: 'free span', value: spanMillimetres, unit: 'mm', above: 0 }])
  if (problem !== undefined) return refused(problem)
  return settled({ deflectionMillimetres: spanMillimetres / 64 })
}

/**
 * Arc-of-contact factor G of the published table, by wrap in whole degrees: the share of its power rating that a V-belt
 * keeps when it wraps less than half a turn. Descending wrap.
 * Source: industrial drive manual, arc-of-contact factors, Table 3-3 (factor G).
 */
export const ARC_OF_CONTACT_TABLE: readonly { wrapDegrees: number; factor: number }[] = [
  { wrapDegrees: 180, factor: 1.0 },
  { wrapDegrees: 174, factor: 0.99 },
  { wrapDegrees: 169, factor: 0.97 },
  { wrapDegrees: 163, factor: 0.96 },
  { wrapDegrees: 157, factor: 0.94 },
  { wrapDegrees: 151, factor: 0.93 },
  { wrapDegrees: 145, factor: 0.91 },
  { wrapDegrees: 139, factor: 0.89 },
  { wrapDegrees: 133, factor: 0.87 },
  { wrapDegrees: 127, factor: 0.85 },
  { wrapDegrees: 120, factor: 0.82 },
  { wrapDegrees: 113, factor: 0.8 },
  { wrapDegrees: 106, factor: 0.77 },
  { wrapDegrees: 99, factor: 0.73 },
  { wrapDegrees: 91, factor: 0.7 },
  { wrapDegrees: 83, factor: 0.65 },
]

/**
 * Arc-of-contact factor (0.65 to 1), linear between the rows of the table. The table covers 83 to 180 degrees; nothing
 * is guessed beyond it.
 */
export function arcOfContactFactor(wrapDegrees: number): Outcome<{ factor: number }> {
  const table = ARC_OF_CONTACT_TABLE
  const problem = firstProblem([
    {
      name: 'wrap',
      value: wrapDegrees,
      unit: 'degrees',
      atLeast: table.at(-1)!.wrapDegrees,
      atMost: table[0]!.wrapDegrees,
      remedy: 'The published table goes no further; work from the friction and the wrap instead.',
    },
  ])
  if (problem !== undefined) return refused(problem)
  const lowerAt = Math.max(
    1,
    table.findIndex((row) => row.wrapDegrees <= wrapDegrees),
  )
  const upper = table[lowerAt - 1]!
  const lower = table[lowerAt]!
  const share = (wrapDegrees - lower.wrapDegrees) / (upper.wrapDegrees - lower.wrapDegrees)
  return settled({ factor: lower.factor + (upper.factor - lower.factor) * share })
}

function driveProblem(drive: OpenDrive): string | undefined {
  return firstProblem([
    { name: 'small pulley diameter', value: drive.smallDiameterMillimetres, unit: 'mm', above: 0 },
    {
      name: 'large pulley diameter',
      value: drive.largeDiameterMillimetres,
      unit: 'mm',
      atLeast: drive.smallDiameterMillimetres,
      remedy: 'Give the larger pulley as the large one.',
    },
    {
      name: 'distance between centres',
      value: drive.centresMillimetres,
      unit: 'mm',
      above: (drive.largeDiameterMillimetres + drive.smallDiameterMillimetres) / 2,
      remedy: 'Any less and the pulleys would touch: measure from shaft to shaft again.',
    },
  ])
}
