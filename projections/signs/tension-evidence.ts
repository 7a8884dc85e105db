import { tensionKept } from '../mechanics/belt-relaxation.ts'
import { normalDensity } from '../statistics/normal.ts'
import { causes, type Weights } from './causes.ts'
import type { Tension } from './observation.ts'

/** The figure that a check is held against. */
export interface TensionSet {
  readonly by: Tension['by']
  readonly value: number
  /** Engine hours of the drive when it was set or first checked. */
  readonly hours: number
  /** Engine hours of the belt then; 0 for a new one. */
  readonly beltHours: number
  /** Only a check, not the owner's figure as set: as doubtful as any check. */
  readonly checked: boolean
}

/** Scatter of a check, as a logarithm: wrench, pulley, temperature; common practice, no source: a tenth. */
const scatter = 0.1

/** How far belts relax apart from each other, as a logarithm. */
const relaxes = 0.1

/** A check says little where a figure is wrong by a slip of the pen: one in fifty may be anything. */
const anything = 0.02

/** What a check of tension says against the figure as set and what belts lose in so many hours; and the share of the expected that it shows. */
export function tensionEvidence(
  check: Tension,
  set: TensionSet,
  hours: number,
): { weights: Weights; share: number } | null {
  if (check.by !== set.by) return null
  const kept = tensionKept({ beltHoursWhenTensioned: set.beltHours, hoursSince: Math.max(0, hours - set.hours) })
  if (!kept.ok) return null
  const share = check.value / (set.value * kept.shareKept)
  const sd = Math.hypot(scatter, relaxes, set.checked ? scatter : 0)
  const density = (shift: number, wide: number) => {
    const all = Math.hypot(sd, wide)
    return (1 - anything) * (normalDensity((Math.log(share) - shift) / all) / all) + anything
  }
  const well = density(0, 0)
  return {
    // The loss of each cause is meant roughly: from half of it to half as much again.
    weights: causes.map(({ tension }) => (tension === 0 ? 0 : Math.log(density(tension, 0.2) / well))),
    share,
  }
}
