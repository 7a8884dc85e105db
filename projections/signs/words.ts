import type { Standing, Weighed } from './drive-state.ts'
import type { Drive } from './drives.ts'

/**
 * What a sign says, in a sentence or two; never that anything is safe, and never more than the evidence.
 * @param evidence what speaks for it
 */
export function saysOf(standing: Standing, drive: Drive, evidence: readonly Weighed[]): string {
  if (standing.limit)
    return standing.kind === 'belt-slip'
      ? `No output at all while the engine turns: the belt may have gone${pumpToo(drive)}. Stop as soon as it can be done without danger to the ship.`
      : 'No output at all while the engine turns, and the belt was found sound lately: the alternator, its field or its connections.'
  const output = shareOf(evidence, 'output')
  const tension = shareOf(evidence, 'tension')
  const dusty = evidence.filter(({ of, said }) => of === 'dust' && !said.startsWith('dust none')).length
  const parts = [
    ...(output === null ? [] : [`output about ${output} % of what she gives when all is well`]),
    ...(dusty === 0 ? [] : [`dust at ${dusty} ${dusty === 1 ? 'look' : 'looks'}`]),
    ...(tension === null ? [] : [`tension about ${tension} % of what it should have kept`]),
  ]
  const seen = parts.length === 0 ? '' : `: ${parts.join('; ')}`
  return standing.kind === 'belt-slip'
    ? `The belt seems to be losing its hold${seen}.`
    : `The alternator seems to give less than it did${seen}, and the belt does not explain it so well.`
}

const pumpToo = ({ alternator }: Drive): string =>
  alternator === null ? '' : ', and with it whatever else it drives; look at the coolant temperature'

/** The middle of the shares seen, per cent; null where there are none. */
function shareOf(evidence: readonly Weighed[], of: Weighed['of']): number | null {
  const shares = evidence
    .flatMap((one) => (one.of === of && one.share !== null ? [one.share] : []))
    .sort((a, b) => a - b)
  const middle = shares[Math.floor(shares.length / 2)]
  return middle === undefined ? null : Math.round(middle * 100)
}

const isolate =
  'Stop the engine; after it has stopped, isolate the batteries and make sure that nobody can start it. A belt and pulley that have slipped hard are hot: let them cool.'

/** What to do next, step by step; the maker's manual comes first. Common practice, no source. */
export function nextOf(standing: Standing): string[] {
  const belt = [
    'Look for misaligned pulleys, glazed flanks, oil or coolant on the belt, worn grooves, a loose bracket or bolt.',
    'A glazed, cracked or oily belt is renewed, and what oiled it mended: tension does not cure it.',
    'Only then tension it, as you or the maker set it; write down what you found and what you left.',
  ]
  if (standing.kind === 'belt-slip')
    return standing.limit
      ? [
          isolate,
          'Look whether the belt is there, and what it drives: without the coolant pump do not run the engine.',
          ...belt,
        ]
      : [isolate, ...belt]
  return [
    'Look at the belt first: dust, glaze, tension. It costs nothing.',
    'Take one more reading with a load switched on and the bank low, at a low engine speed: volts well below the set-point show that the battery is not the limit.',
    isolate,
    'Look at the connections, from the alternator to the bank and at its earth; never disconnect an alternator while it turns.',
    'A third gone at every speed is how a failed diode often shows; brushes and regulator fade by degrees. An electrician can test it on the bench.',
  ]
}

/** How strong a sign is, in words: its sum against what raises one. */
export const strengthOf = (standing: Standing, raisedAt: number): 'likely' | 'strong' | 'limit' =>
  standing.limit ? 'limit' : standing.value >= 1.5 * raisedAt ? 'strong' : 'likely'
