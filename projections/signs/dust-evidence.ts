import { normalCdf } from '../statistics/normal.ts'
import { causes, type Weights } from './causes.ts'
import { type Dust, dustGrades } from './observation.ts'

/** What was left about the belt at the last look. */
export interface DustLeft {
  /** In traces: 1 is where a grade of "trace" begins. */
  readonly traces: number
  /** Engine hours at that look. */
  readonly hours: number
}

/** Where the grades trace, film and heavy begin, in traces: each two to three times the one before. Common practice, no source. */
const begins = [1, 3, 7]

/** The middle of each grade, in traces. */
const middle: Record<Dust, number> = { none: 0.3, trace: 1.7, film: 4.6, heavy: 9 }

/** A wiped drive still has a little in its corners. */
export const wipedClean: number = 0.1

/** Dust of a belt that is well, in traces an engine hour; of one that is bedding in, in its first hours. Common practice, no source. */
const ordinary = 0.025
const beddingIn = { rate: 0.2, hours: 12 }

/** How far two owners, or one owner on two days, are apart in what they call a trace, as a logarithm. */
const spread = 0.55

/** A grade that is one off what the same eyes would give on another day. */
const slipOfGrade = 0.14

const graded = (traces: number): number[] => {
  const above = begins.map((from) => normalCdf(Math.log(Math.max(0.02, traces) / from) / spread))
  const plain = [1 - above[0]!, above[0]! - above[1]!, above[1]! - above[2]!, above[2]!]
  return plain.map((share, i) => {
    const near = ((plain[i - 1] ?? 0) + (plain[i + 1] ?? 0)) / 2
    return (1 - slipOfGrade) * share + slipOfGrade * near + 0.01
  })
}

/** What a grade says, given what was left at the last look. `beltHours`: engine hours since the belt was new, null if that is not known. */
export function dustEvidence(grade: Dust, left: DustLeft, hours: number, beltHours: number | null): Weights {
  const since = Math.max(0.2, hours - left.hours)
  const asNew = beltHours === null ? 0 : Math.max(0, Math.min(since, beddingIn.hours - (beltHours - since)))
  const well = left.traces + ordinary * since + beddingIn.rate * asNew
  const index = dustGrades.indexOf(grade)
  const of = (traces: number) => graded(traces)[index]!
  // The belt slips only while much is asked of it, and may have begun at any time since the last look: a fifth of the dust, a half, or all of it.
  return causes.map(({ dust }) =>
    dust === 0
      ? 0
      : Math.log([0.2, 0.5, 1].reduce((sum, part) => sum + of(well + dust * since * part), 0) / 3 / of(well)),
  )
}

/** What is left after a look. Where nobody says whether it was wiped, half of it is taken to be. */
export const leftAfter = (grade: Dust, wiped: boolean | null, hours: number): DustLeft => ({
  traces: wiped === true ? wipedClean : wiped === false || grade === 'none' ? middle[grade] : middle[grade] / 2,
  hours,
})
