import type { Work } from '../../events/works.ts'
import { causes, type SignKind, type Weights } from './causes.ts'
import type { Drive } from './drives.ts'
import { type DustLeft, dustEvidence, leftAfter, wipedClean } from './dust-evidence.ts'
import { type HoursRun, noHours, ranUnread, readHours } from './hours-run.ts'
import type { Observation, Tension } from './observation.ts'
import { expectedLog, learn, type OutputCurve, outputCurve } from './output-curve.ts'
import {
  learnSetPoint,
  limitedByAlternator,
  type Output,
  outputEvidence,
  outputGone,
  type SetPoint,
  usualSetPoint,
} from './output-evidence.ts'
import { type TensionSet, tensionEvidence } from './tension-evidence.ts'

/** An entry that was weighed, with what it said. */
export interface Weighed {
  readonly root: string
  readonly at: number
  readonly occurredAt: string
  readonly hours: number
  readonly of: 'output' | 'dust' | 'tension' | 'looked'
  /** Output and tension: the share of what was expected. */
  readonly share: number | null
  /** What was read or graded, for people. */
  readonly said: string
  /** What it says of each cause, no more than one entry may raise or clear. */
  readonly weights: Weights
  /** The same with wider caps, by which causes are told apart. */
  readonly plain: Weights
}

/** The sum of one cause: how much more likely than all being well, in logarithms, and since when. */
export interface Sum {
  readonly value: number
  /** The first entry since it last stood at nothing; null while it does. */
  readonly since: { readonly at: number; readonly occurredAt: string } | null
}

const nothing: Sum = { value: 0, since: null }

/** A judgement that stands. */
export interface Standing {
  readonly kind: SignKind
  /** There is no output at all: a limit, not a matter of sums. */
  readonly limit: boolean
  readonly onset: { readonly at: number; readonly occurredAt: string }
  /** The sum that carries it. */
  readonly value: number
}

/** All that is held of a drive between one entry and the next. Never changed in place: each step gives the next. */
export interface DriveState {
  readonly run: HoursRun
  readonly startedAt: number | null
  readonly curve: OutputCurve
  readonly setPoint: SetPoint
  /** Judged readings that wait until they are old enough, and all is well enough, to learn from. */
  readonly waiting: readonly { rpm: number; minutes: number | null; amps: number; variance: number; hours: number }[]
  readonly dust: DustLeft
  readonly tension: TensionSet | null
  /** Figures as set, by the register: they hold from the next work on. */
  readonly asSet: readonly Tension[]
  /** Hours of the drive when the belt was last new; null if that is not known. */
  readonly beltNewAt: number | null
  readonly sums: readonly Sum[]
  readonly gone: Standing | null
  readonly standing: Standing | null
  /** What was weighed since the drive was last put right, the last one first. */
  readonly weighed: Chain<Weighed> | null
  readonly last: {
    readonly output: { readonly hours: number; readonly at: number } | null
    readonly dust: { readonly hours: number; readonly at: number } | null
    readonly tension: { readonly hours: number; readonly at: number } | null
  }
  /** Readings with amps since the log began, and how many of them could be judged: by both, lately, whether any can. */
  readonly readings: number
  readonly judgeable: number
  /** Engine hours at the last reading that showed whole output; whether the output has fallen from there all at once. */
  readonly wholeAt: number | null
  readonly fellSuddenly: boolean
}

/** A list that shares its tail. */
export interface Chain<T> {
  readonly head: T
  readonly tail: Chain<T> | null
}

/** From this sum on a sign stands: about one false alarm in twenty and more boat-seasons of use, measured (DEVELOPERS.md). */
export const raisedAt: Record<SignKind, number> = { 'belt-slip': 3.7, 'charging-low': 4.1 }

/** A sign that stands goes when its sum has fallen to this share of what raises it. */
const goneAt = 0.25

/** No sum grows beyond this share of what raises a sign: a long fault must still be seen to end. */
const most = 2

/** Good news of one entry counts no more than this: one good check of tension, or one clean look, clears nothing. */
const goodNews = { output: 0.7, dust: 0.5, tension: 0.8, looked: 0.3 } as const

/** Bad news of one entry counts no more than this: a single figure raises nothing by itself. */
const badNews = { output: 2.4, dust: 2.6, tension: 2.4, looked: 1 } as const

/** To tell causes apart single entries count for up to this, either way. */
const plainMost = 4

/** While belt and alternator are less than this apart a sign waits for what would decide, until its sum is as many times what raises one. */
const undecided = 0.9
const surely = 1.5

/** At most so many of the latest entries tell belt and alternator apart: a feed may write thousands while a sign stands. */
const mostCompared = 300

/** Once a sign stands, the other must be ahead by so much to take its place. */
const keeps = 1.5

/**
 * A diode fails from one hour to the next; slip comes by degrees and brings dust. Output that was whole and is less than `low` of what was expected
 * within so many engine hours speaks for the alternator, by this much; where it fell by degrees the belt is thought of first.
 */
const sudden = { whole: 0.92, low: 0.8, hours: 12, weight: 1.5, byDegrees: 1 } as const

/** A fault grows: what spoke for one stage of it speaks for the next, less this for the step from one to the other. */
const worsens = 0.7

/** Readings less than this apart are of one stretch: what is wrong with one is wrong with all. Milliseconds. */
const oneStretch = 3 * 3_600_000

/** Engine hours for which a reading waits before the curve learns from it: a fault that creeps must not teach it. */
const learnsAfter = 10

/** The first readings teach at once: there is nothing to judge them by. */
const firstReadings = 6

/** No more than so many wait: a fault that stands for long must not heap them up. */
const mostWaiting = 60

/** Above this sum of any cause nothing is learnt. */
const doubtfulAt = 1.2

/** Where a start was written longer ago than this the minutes since are not taken from it. Milliseconds. */
const longestRun = 12 * 3_600_000

/** A drive of which nothing is known but the register. */
export const driveState = (drive: Drive): DriveState => ({
  run: noHours,
  startedAt: null,
  curve: outputCurve(drive),
  setPoint: usualSetPoint(drive.battery),
  waiting: [],
  dust: { traces: 0.5, hours: 0 },
  tension: null,
  asSet: [],
  beltNewAt: null,
  sums: causes.map(() => nothing),
  gone: null,
  standing: null,
  weighed: null,
  last: { output: null, dust: null, tension: null },
  readings: 0,
  judgeable: 0,
  wholeAt: null,
  fellSuddenly: false,
})

/** The state after one observation more, in the order in which they happened. */
export function observed(before: DriveState, seen: Observation, drive: Drive): DriveState {
  const { meter, at, what } = seen
  const runs = what.kind === 'started' || what.kind === 'output'
  const run = meter !== null ? readHours(before.run, meter, at) : runs ? ranUnread(before.run, at) : before.run
  const state = run === before.run ? before : { ...before, run }
  switch (seen.what.kind) {
    case 'hours':
      return state
    case 'started':
      return { ...state, startedAt: seen.at }
    case 'output':
      return output(state, seen, seen.what, drive)
    case 'look':
      return look(state, seen, seen.what, drive)
    case 'work':
      return work(state, seen.what, drive)
    case 'fitted':
      return fitted(state, seen.what, drive)
  }
}

function output(state: DriveState, seen: Observation, said: Output, drive: Drive): DriveState {
  const { startedAt } = state
  const since = startedAt !== null && seen.at - startedAt <= longestRun ? (seen.at - startedAt) / 60_000 : null
  const reading: Output = { ...said, minutes: said.minutes ?? since }
  const { amps, rpm, minutes } = reading
  const limited = limitedByAlternator(reading, state.setPoint, drive)
  const setPoint = learnSetPoint(state.setPoint, reading)
  const counted = { ...state, setPoint, readings: state.readings + (amps === null ? 0 : 1) }
  const { hours } = state.run
  const expected = Math.exp(expectedLog(state.curve, rpm ?? 1800, minutes))
  if (outputGone(reading, expected)) {
    const belt = beltSum(state)
    const lookedSound =
      state.last.dust !== null && hours - state.last.dust.hours < 5 && state.dust.traces < 2 && belt < 1
    const gone: Standing = {
      kind: lookedSound || drive.belt === null ? 'charging-low' : 'belt-slip',
      limit: true,
      onset: { at: seen.at, occurredAt: seen.occurredAt },
      value: 2 * raisedAt['belt-slip'],
    }
    const weights = causes.map(({ kind }) => (kind === gone.kind ? badNews.output : 0))
    return judged(weighed({ ...counted, gone }, seen, 'output', amps! / expected, outputWords(reading), weights))
  }
  const evidence = outputEvidence(reading, state.curve, state.setPoint, drive)
  if (evidence === null) return counted
  const again = state.last.output !== null && seen.at - state.last.output.at < oneStretch
  const weights = again ? evidence.weights.map((weight) => weight / 2) : evidence.weights
  const next: DriveState = {
    ...counted,
    gone: evidence.share > 0.5 ? null : counted.gone,
    judgeable: state.judgeable + 1,
    ...fall(state, evidence.share),
    last: { ...state.last, output: { hours, at: seen.at } },
    waiting: [
      ...state.waiting.slice(-mostWaiting),
      { rpm: rpm!, minutes, amps: amps!, variance: evidence.variance * (again ? 2 : 1), hours },
    ],
  }
  const words = `${outputWords(reading)}${limited < 0.6 ? ', perhaps not the alternator’s limit' : ''}`
  return learnt(judged(weighed(next, seen, 'output', evidence.share, words, weights)))
}

function fall({ wholeAt, fellSuddenly, run }: DriveState, share: number) {
  if (share >= sudden.whole) return { wholeAt: run.hours, fellSuddenly: false }
  if (share > sudden.low || fellSuddenly) return { wholeAt, fellSuddenly }
  // What fell by degrees has shown readings between, and is not asked again.
  return { wholeAt: null, fellSuddenly: wholeAt !== null && run.hours - wholeAt <= sudden.hours }
}

const outputWords = ({ amps, volts, rpm }: Output): string =>
  [
    `${Math.round(amps ?? 0)} A`,
    ...(rpm === null ? [] : [`at ${Math.round(rpm)} rpm`]),
    ...(volts === null ? [] : [`${volts.toFixed(1)} V`]),
  ].join(', ')

/** Lets the curve learn from the readings that have waited long enough. */
function learnt(state: DriveState): DriveState {
  const { hours } = state.run
  const doubtful = state.standing !== null || state.sums.some(({ value }) => value > doubtfulAt)
  let { curve } = state
  const waiting = state.waiting.filter((one) => {
    const first = curve.n < firstReadings
    if (!first && (doubtful || hours - one.hours < learnsAfter)) return true
    // A figure far off the curve is of another kind, and teaches in proportion.
    const off = Math.abs(Math.log(one.amps) - expectedLog(curve, one.rpm, one.minutes))
    curve = learn(curve, one, one.variance * (1 + (off / 0.25) ** 4))
    return false
  })
  return curve === state.curve ? state : { ...state, curve, waiting }
}

function look(
  state: DriveState,
  seen: Observation,
  said: Extract<Observation['what'], { kind: 'look' }>,
  drive: Drive,
) {
  const { hours } = state.run
  let next = state
  if (said.dust !== null) {
    const beltHours = state.beltNewAt === null ? null : hours - state.beltNewAt
    const weights = dustEvidence(said.dust, state.dust, hours, beltHours)
    const wiped = said.wiped === null ? '' : said.wiped ? ', wiped' : ', not wiped'
    next = weighed(
      { ...next, dust: leftAfter(said.dust, said.wiped, hours), last: { ...next.last, dust: { hours, at: seen.at } } },
      seen,
      'dust',
      null,
      `dust ${said.dust}${wiped}`,
      weights,
    )
  } else if (said.found !== null && said.tension === null) {
    // A word alone, without what was seen: the belts at most, and little.
    const weight = said.found === 'normal' ? -0.2 : said.found === 'look again' ? 0.5 : 1
    const weights = causes.map(({ kind }) => (kind === 'belt-slip' ? weight : 0))
    next = weighed(next, seen, 'looked', null, `found ${said.found}`, weights)
  }
  if (said.tension !== null && !drive.tensionUnjudged) next = tension(next, seen, said.tension, drive)
  return judged(next)
}

function tension(state: DriveState, seen: Observation, check: Tension, drive: Drive): DriveState {
  const { hours } = state.run
  const last = { ...state.last, tension: { hours, at: seen.at } }
  const said = `${check.by} ${check.by === 'slip torque' ? `${check.value.toFixed(1)} N.m` : 'checked'}`
  const found = state.tension && tensionEvidence(check, state.tension, hours)
  if (found) {
    const weights = drive.alternator === null ? found.weights.map((weight) => weight * ofPumpBelt) : found.weights
    return weighed({ ...state, last }, seen, 'tension', found.share, said, weights)
  }
  if (state.tension !== null) return { ...state, last }
  return { ...state, last, tension: tensionSet(state, check, true) }
}

/** A belt that drives only pumps has a long wrap and little to carry: what it lost in tension says half as much. Common practice, no source. */
const ofPumpBelt = 0.5

const beltHoursOf = (state: DriveState): number =>
  // A belt of which nothing is known is taken for one that has bedded in.
  state.beltNewAt === null ? 50 : state.run.hours - state.beltNewAt

const tensionSet = (state: DriveState, { by, value }: Tension, checked: boolean): TensionSet => ({
  by,
  value,
  hours: state.run.hours,
  beltHours: beltHoursOf(state),
  checked,
})

/** Works after which the belt, or the alternator, is another one as far as the evidence goes. */
const putsRight: Record<'belt' | 'alternator', readonly Work[]> = {
  belt: ['belt tensioned', 'belt renewed', 'pulleys aligned', 'adjusted', 'cleaned', 'overhauled', 'renewed'],
  alternator: [
    'brushes renewed',
    'diodes renewed',
    'bearings renewed',
    'regulator renewed',
    'connections checked',
    'overhauled',
    'renewed',
  ],
}

/** Works on an alternator after which it may give another output than before. */
const otherOutput: readonly Work[] = ['overhauled', 'renewed', 'regulator renewed']

function work(
  state: DriveState,
  { on, work: done, left }: Extract<Observation['what'], { kind: 'work' }>,
  drive: Drive,
): DriveState {
  if (!putsRight[on].includes(done)) return state
  const { hours } = state.run
  const right = afresh(state)
  if (on === 'alternator') return otherOutput.includes(done) ? { ...right, ...unknownOutput(drive) } : right
  const renewed = done === 'belt renewed' || done === 'renewed'
  const next = {
    ...right,
    beltNewAt: renewed ? hours : right.beltNewAt,
    dust: { traces: wipedClean, hours },
  }
  const set = left ?? state.asSet[0] ?? null
  return { ...next, tension: set === null ? null : tensionSet(next, set, false) }
}

function fitted(
  state: DriveState,
  { on, asSet }: Extract<Observation['what'], { kind: 'fitted' }>,
  drive: Drive,
): DriveState {
  const { hours } = state.run
  const right = afresh(state)
  if (on === 'alternator') return { ...right, ...unknownOutput(drive) }
  // The register is often written at the beginning, long after the belt was fitted: only a belt fitted while hours run is new.
  const isNew = state.run.meter !== null
  const next = { ...right, asSet, beltNewAt: isNew ? hours : null, dust: { traces: isNew ? wipedClean : 0.5, hours } }
  const set = asSet[0]
  // Of a belt that was there before the log began it is not known when it was set.
  return { ...next, tension: set === undefined ? null : tensionSet(next, set, !isNew) }
}

const unknownOutput = (drive: Drive) => ({ curve: outputCurve(drive), waiting: [] })

/** The sums begin anew, and the readings that waited in doubt are dropped: they may be of the fault that was put right. */
const afresh = (state: DriveState): DriveState => ({
  ...state,
  sums: causes.map(() => nothing),
  waiting: state.standing === null ? state.waiting : [],
  gone: null,
  standing: null,
  weighed: null,
})

function weighed(
  state: DriveState,
  seen: Observation,
  of: Weighed['of'],
  share: number | null,
  said: string,
  raw: Weights,
): DriveState {
  const weights = raw.map((weight) => Math.max(-goodNews[of], Math.min(badNews[of], weight)))
  const sums = state.sums.map((sum, i): Sum => {
    const limit = most * raisedAt[causes[i]!.kind]
    const value = Math.max(0, Math.min(limit, sum.value + weights[i]!))
    if (value === 0) return nothing
    return { value, since: sum.since ?? { at: seen.at, occurredAt: seen.occurredAt } }
  })
  for (let i = 1; i < sums.length; i++) {
    const before = sums[i - 1]!
    const value = before.value - worsens
    if (causes[i]!.kind === causes[i - 1]!.kind && value > sums[i]!.value) sums[i] = { value, since: before.since }
  }
  const plain = raw.map((weight) => Math.max(-plainMost, Math.min(plainMost, weight)))
  const entry = {
    root: seen.root,
    at: seen.at,
    occurredAt: seen.occurredAt,
    hours: state.run.hours,
    of,
    share,
    said,
    weights,
    plain,
  }
  return { ...state, sums, weighed: { head: entry, tail: state.weighed } }
}

const largest = (state: DriveState, kind: SignKind): Sum =>
  state.sums.reduce((best, sum, i) => (causes[i]!.kind === kind && sum.value > best.value ? sum : best), nothing)

const beltSum = (state: DriveState): number => largest(state, 'belt-slip').value

/**
 * How much more the entries speak for the belt than for the alternator, in logarithms; below nought, for the alternator. Both explain the same fall of
 * output: its readings are compared from when it began; dust and tension, which only the belt explains, from when either began.
 */
function beltAhead(state: DriveState): number {
  const fall = largest(state, 'charging-low').since
  const slip = largest(state, 'belt-slip').since
  if (fall === null) return 1
  const from = Math.min(fall.at, slip?.at ?? fall.at)
  const totals = causes.map(() => 0)
  let left = mostCompared
  for (let link = state.weighed; link !== null && link.head.at >= from && left-- > 0; link = link.tail) {
    const { at, of, plain } = link.head
    if (of !== 'output' || at >= fall.at) for (let i = 0; i < totals.length; i++) totals[i]! += plain[i]!
  }
  const best = (kind: SignKind) => Math.max(...totals.filter((_, i) => causes[i]!.kind === kind))
  return best('belt-slip') - best('charging-low') - (state.fellSuddenly ? sudden.weight : -sudden.byDegrees)
}

/** What stands, by the sums: a limit first; else what stood, while its sum lasts and nothing is well ahead of it; else what has been reached. */
function judged(state: DriveState): DriveState {
  if (state.gone !== null) return { ...state, standing: state.gone }
  const belt = largest(state, 'belt-slip')
  const charging = largest(state, 'charging-low')
  const kinds: Record<SignKind, Sum> = { 'belt-slip': belt, 'charging-low': charging }
  // Output that is back ends a limit: what remains must stand by its sums.
  const before = state.standing?.limit ? null : state.standing
  const stands = (kind: SignKind): Standing => {
    const { value, since } = kinds[kind]
    const there = before?.kind === kind ? before.onset : since!
    return { kind, limit: false, onset: there, value }
  }
  if (before !== null) {
    const other: SignKind = before.kind === 'belt-slip' ? 'charging-low' : 'belt-slip'
    const otherAhead = other === 'belt-slip' ? beltAhead(state) : -beltAhead(state)
    if (kinds[other].value >= raisedAt[other] && otherAhead > keeps) return { ...state, standing: stands(other) }
    const holds = kinds[before.kind].value > goneAt * raisedAt[before.kind]
    return { ...state, standing: holds ? stands(before.kind) : null }
  }
  const reached = (['belt-slip', 'charging-low'] as const).filter((kind) => kinds[kind].value >= raisedAt[kind])
  if (reached.length > 0) {
    const belts = beltAhead(state)
    const likelier: SignKind = belts > 0 ? 'belt-slip' : 'charging-low'
    const certain = reached.some((kind) => kinds[kind].value >= surely * raisedAt[kind])
    if (Math.abs(belts) < undecided && !certain) return state.standing === null ? state : { ...state, standing: null }
    return { ...state, standing: stands(kinds[likelier].since === null ? reached[0]! : likelier) }
  }
  return state.standing === null ? state : { ...state, standing: null }
}
