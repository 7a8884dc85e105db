import type { SignKind } from '../../../projections/signs/causes.ts'
import { type FaultKind, faultKinds, isBeltFault } from './faults.ts'
import { type Interval, medianInterval, rateInterval, shareInterval } from './intervals.ts'
import { type Found, falseAlarms, foundIn, tryBoat } from './score-signs.ts'

/**
 * How early and how surely belts and charging are judged, on made-up boats.
 *
 *     npm run trials:signs             boats that no tuning has seen
 *     npm run trials:signs -- 30 tune  thirty of each fault, of the boats on which the judgement was tuned
 */
const [count = '110', which = 'score'] = process.argv.slice(2)
const each = Number(count)
const first = which === 'tune' ? 100_000 : 70_000_000
const begun = performance.now()

/** What one way of keeping the log gave. */
interface Outcome {
  seasons: number
  alarms: Record<SignKind, number>
  found: Map<FaultKind, Found[]>
  neverFailed: number
  steps: number
  entries: number
}

for (const prompted of [false, true]) {
  const outcome: Outcome = {
    seasons: 0,
    alarms: { 'belt-slip': 0, 'charging-low': 0 },
    found: new Map(faultKinds.map((kind) => [kind, []])),
    neverFailed: 0,
    steps: 0,
    entries: 0,
  }
  const tally = (trial: ReturnType<typeof tryBoat>) => {
    const { seasons, alarms } = falseAlarms(trial)
    outcome.seasons += seasons
    outcome.steps += trial.steps
    outcome.entries += trial.entries.length
    outcome.alarms['belt-slip'] += alarms['belt-slip']
    outcome.alarms['charging-low'] += alarms['charging-low']
  }
  for (let boat = 0; boat < 2 * each; boat++) tally(tryBoat(first + boat, null, prompted))
  for (const [index, kind] of faultKinds.entries())
    for (let boat = 0; boat < each; boat++) {
      const trial = tryBoat(first + 10_000 * (index + 1) + boat, kind, prompted)
      tally(trial)
      const { began, failed } = trial.truth
      // A belt of which so little is asked that it never fails has nothing to be found before.
      if (isBeltFault(kind) && began !== null && failed === null) outcome.neverFailed++
      else if (began !== null) outcome.found.get(kind)!.push(foundIn(trial))
    }
  report(prompted, outcome)
}
console.log(`\n${((performance.now() - begun) / 1000).toFixed(0)} s`)

function report(prompted: boolean, { seasons, alarms, found, neverFailed, steps, entries }: Outcome): void {
  const bar = (casual: number, asked: number) => (prompted ? asked : casual)
  console.log(`\n${prompted ? 'PROMPTED' : 'CASUAL'} (boats ${first} on)`)
  const belts = faultKinds.filter(isBeltFault).flatMap((kind) => found.get(kind)!)
  const diodes = found.get('failed diode')!
  const alternators = faultKinds.filter((kind) => !isBeltFault(kind)).flatMap((kind) => found.get(kind)!)
  share('belt faults found before the belt fails', belts, (one) => one.any, bar(0.95, 0.98))
  share('  and named as the belt', belts, (one) => one.right)
  for (const kind of faultKinds.filter(isBeltFault)) share(`  ${kind}`, found.get(kind)!, (one) => one.any)
  line('  belts that never failed, left out', String(neverFailed))
  const delays = belts.flatMap(({ any, delay }) => (any && delay !== null ? [delay] : []))
  const median = medianInterval(delays)
  if (median) verdict('median delay after output has fallen 5 %, h', median, bar(9, 2), 'at most', (v) => v.toFixed(1))
  const foundBelts = belts.filter(({ any }) => any)
  share('belt faults told from an alternator fault, first sign', foundBelts, (one) => one.firstRight, 0.85)
  const foundAlternators = alternators.filter(({ any }) => any)
  share('alternator faults told from a belt fault, first sign', foundAlternators, (one) => one.firstRight)
  share(
    '  failed diode, first sign',
    diodes.filter(({ any }) => any),
    (one) => one.firstRight,
  )
  share('failed diode found and named', diodes, (one) => one.right, bar(0.65, 0.75))
  share(
    '  with four bulk readings',
    diodes.filter(({ bulk }) => bulk >= 4),
    (one) => one.right,
    bar(0.85, 0.91),
  )
  share('ageing alternator found and named', found.get('ageing alternator')!, (one) => one.right)
  for (const kind of ['belt-slip', 'charging-low'] as const)
    verdict(`false alarms a boat-season, ${kind}`, rateInterval(alarms[kind], seasons), 0.05, 'at most', (value) =>
      value.toFixed(3),
    )
  line('  boat-seasons without a fault', seasons.toFixed(0))
  line('  steps of the judgement for each entry, late ones refolding what comes after', (steps / entries).toFixed(2))
}

function share(what: string, of: readonly Found[], hit: (one: Found) => boolean, atLeast?: number): void {
  const figure = shareInterval(of.filter(hit).length, of.length)
  verdict(`${what} (${of.length})`, figure, atLeast, 'at least', (value) => `${(100 * value).toFixed(1)} %`)
}

function verdict(
  what: string,
  { value, low, high }: Interval,
  bar: number | undefined,
  sense: 'at least' | 'at most',
  text: (value: number) => string,
): void {
  const missed = bar === undefined ? 0 : sense === 'at least' ? bar - value : value - bar
  const judged =
    bar === undefined ? '' : `  ${sense} ${text(bar)}: ${missed <= 0 ? 'met' : `missed by ${text(missed)}`}`
  line(what, `${text(value).padStart(8)}  (${text(low)} to ${text(high)})${judged}`)
}

function line(what: string, text: string): void {
  console.log(`${what.padEnd(62)} ${text}`)
}
