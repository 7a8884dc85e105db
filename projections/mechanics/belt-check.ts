import { tensionFromDeflection, tensionFromPluck } from './belt-tension.ts'
import { firstProblem, type Outcome, refused } from './outcome.ts'

/** What the owner set, newtons or newton metres; low above 0, high not below low. */
export interface Band {
  low: number
  high: number
}

/**
 * Targets as settings. Published thresholds at which a belt counts as used differ (30 min in US Army TM 9-2320-312-24-2,
 * Table 3; 10 min in US Army TM 9-4310-397-14, p. 4-167), so there is no default.
 */
export interface BeltTargets {
  new: Band
  used: Band
  usedAfterMinutes: number
}

/** The drive as far as its checks are concerned. */
export interface CheckedDrive {
  /** Locked by the adjuster's bolts, or kept tight by a spring arm. */
  tensioning: 'locked' | 'automatic-tensioner'
  /** Fast on the shaft, or free to overrun it. */
  pulley: 'solid' | 'overrunning'
  /** An alternator with or without a pump on the same belt, or a lightly loaded pump with a long wrap. */
  duty: 'alternator' | 'pump'
}

/** One check of a belt, engine stopped and isolated. */
export type BeltCheck =
  | { kind: 'deflection'; spanMillimetres: number; deflectionMillimetres: number; forceNewtons?: number }
  | { kind: 'pluck'; spanMillimetres: number; hertz: number; massKilogramsPerMetre: number }
  | { kind: 'slip-torque'; slipTorqueNewtonMetres: number }

/** What a check may be held against, the owner's as-set figure first. */
export interface BeltFigures {
  /** As the owner left it after the last tensioning, in the check's quantity: N of tension, or N.m. Above 0. */
  asSet?: number
  /** Targets in the check's quantity. */
  targets?: BeltTargets
  /** Minutes that this belt has run, 0 or more. Without it the targets cannot be used. */
  minutesRun?: number
}

/**
 * Slip torque at the pulley nut for want of anything better, N.m (15 lbf.ft): common practice on common drives, no
 * source; not law.
 */
export const COMMON_SLIP_TORQUE_NEWTON_METRES = 20

/** What a check gives. The figure checked is tension (N) or slip torque (N.m), as `quantity` says. */
export type CheckedBelt =
  | {
      judged: true
      quantity: 'tension-newtons' | 'slip-torque-newton-metres'
      measured: number
      against: 'as-set' | 'common-practice'
      reference: number
      /** Measured over reference. */
      share: number
      says: string
    }
  | {
      judged: true
      quantity: 'tension-newtons' | 'slip-torque-newton-metres'
      measured: number
      against: 'target-new' | 'target-used'
      band: Band
      stands: 'below' | 'within' | 'above'
      says: string
    }
  | {
      judged: false
      because:
        | 'automatic-tensioner'
        | 'overrunning-pulley'
        | 'no-force'
        | 'nothing-to-compare-with'
        | 'minutes-run-unknown'
      says: string
    }

/**
 * Holds one check against the owner's figures. Drives with an automatic tensioner or an overrunning pulley are left out
 * of the checks, and a deflection without its force is recorded but not judged; both say so. Order of comparison: as
 * set, then new or used target, then, for the slip torque of an alternator drive alone, common practice.
 * A pump drive is held against its own figures only: it needs little tension, and too much costs bearings.
 * No figure here is a point at which a belt slips.
 */
export function checkBelt(drive: CheckedDrive, check: BeltCheck, figures: BeltFigures): Outcome<CheckedBelt> {
  const leftOut = exclusion(drive)
  if (leftOut !== undefined) return leftOut
  const found = quantityOf(check)
  if (!found.ok) return found
  if (found.measured === undefined)
    return notJudged('no-force', 'Recorded, not judged: a deflection says something only with the force that made it.')
  const { quantity, measured } = found
  const costsBearings = drive.duty === 'pump' ? ' Too much tension on a lightly loaded pump belt costs bearings.' : ''

  const against =
    figures.asSet !== undefined
      ? ({ against: 'as-set', reference: figures.asSet } as const)
      : figures.targets === undefined && drive.duty === 'alternator' && check.kind === 'slip-torque'
        ? ({ against: 'common-practice', reference: COMMON_SLIP_TORQUE_NEWTON_METRES } as const)
        : undefined
  if (against !== undefined) {
    const problem = firstProblem([
      { name: 'as-set figure', value: against.reference, unit: unitOf(quantity), above: 0 },
    ])
    if (problem !== undefined) return refused(problem)
    const share = measured / against.reference
    const words =
      against.against === 'as-set'
        ? 'of the figure as you set it.'
        : 'of a figure from common practice on common drives, which is not law: record what you set, and that will come first.'
    const warning = share > 1 ? costsBearings : ''
    return {
      ok: true,
      judged: true,
      quantity,
      measured,
      ...against,
      share,
      says: `${Math.round(share * 100)} % ${words}${warning}`,
    }
  }

  if (figures.targets === undefined)
    return notJudged(
      'nothing-to-compare-with',
      "Recorded, not judged: there is no figure to compare with. Record what you set, or the maker's new and used figures.",
    )
  if (figures.minutesRun === undefined)
    return notJudged(
      'minutes-run-unknown',
      'Recorded, not judged: it is not known how long this belt has run, so neither whether the new or the used figure holds.',
    )
  const problem = firstProblem([
    { name: 'minutes run', value: figures.minutesRun, unit: 'min', atLeast: 0 },
    ...targetsGiven(figures.targets, unitOf(quantity)),
  ])
  if (problem !== undefined) return refused(problem)
  const state = figures.minutesRun < figures.targets.usedAfterMinutes ? 'new' : 'used'
  const band = figures.targets[state]
  const stands = measured < band.low ? 'below' : measured > band.high ? 'above' : 'within'
  const warning = stands === 'above' ? costsBearings : ''
  const place = stands === 'within' ? 'Within' : stands === 'below' ? 'Below' : 'Above'
  return {
    ok: true,
    judged: true,
    quantity,
    measured,
    against: `target-${state}`,
    band,
    stands,
    says: `${place} your figures for a ${state} belt.${warning}`,
  }
}

function exclusion(drive: CheckedDrive): Outcome<CheckedBelt> | undefined {
  if (drive.tensioning === 'automatic-tensioner')
    return notJudged(
      'automatic-tensioner',
      "Left out of the checks: an automatic tensioner sets this belt. See to the tensioner by its maker's manual.",
    )
  if (drive.pulley === 'overrunning')
    return notJudged(
      'overrunning-pulley',
      "Left out of the checks: the pulley overruns its shaft, so torque and tension checks say little. See to it by its maker's manual.",
    )
  return undefined
}

type Quantity = 'tension-newtons' | 'slip-torque-newton-metres'

function quantityOf(check: BeltCheck): Outcome<{ quantity: Quantity; measured: number | undefined }> {
  if (check.kind === 'slip-torque') {
    const problem = firstProblem([
      { name: 'slip torque', value: check.slipTorqueNewtonMetres, unit: 'N.m', atLeast: 0 },
    ])
    if (problem !== undefined) return refused(problem)
    return { ok: true, quantity: 'slip-torque-newton-metres', measured: check.slipTorqueNewtonMetres }
  }
  if (check.kind === 'pluck') return asMeasured(tensionFromPluck(check))
  const { forceNewtons } = check
  if (forceNewtons === undefined) return { ok: true, quantity: 'tension-newtons', measured: undefined }
  return asMeasured(tensionFromDeflection({ ...check, forceNewtons }))
}

function asMeasured(
  tension: Outcome<{ tensionNewtons: number }>,
): Outcome<{ quantity: Quantity; measured: number | undefined }> {
  return tension.ok ? { ok: true, quantity: 'tension-newtons', measured: tension.tensionNewtons } : tension
}

function notJudged(
  because: Extract<CheckedBelt, { judged: false }>['because'],
  says: string,
): { ok: true; judged: false; because: typeof because; says: string } {
  return { ok: true, judged: false, because, says }
}

function targetsGiven(targets: BeltTargets, unit: string) {
  return [
    { name: 'low figure for a new belt', value: targets.new.low, unit, above: 0 },
    { name: 'high figure for a new belt', value: targets.new.high, unit, atLeast: targets.new.low },
    { name: 'low figure for a used belt', value: targets.used.low, unit, above: 0 },
    { name: 'high figure for a used belt', value: targets.used.high, unit, atLeast: targets.used.low },
    { name: 'time after which a belt counts as used', value: targets.usedAfterMinutes, unit: 'min', atLeast: 0 },
  ]
}

function unitOf(quantity: Quantity): string {
  return quantity === 'tension-newtons' ? 'N' : 'N.m'
}
