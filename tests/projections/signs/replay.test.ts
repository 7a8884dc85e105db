import { describe, expect, test } from 'vitest'
import type { Entry } from '../../../events/index.ts'
import { type Recording, recording } from '../../../projections/signs/recording.ts'
import { inOrderOfRecording } from '../../../projections/signs/signs.ts'
import { timeline } from '../../../projections/timeline.ts'
import { random } from '../../../sample-logs/random.ts'
import type { FaultKind } from '../../trials/boats/faults.ts'
import { madeUpBoat } from '../../trials/boats/made-up-boat.ts'
import { idOf } from '../entries.ts'

/** What stands for each drive, in words that compare. */
const standing = (judge: Recording) =>
  judge.drives().map(({ drive, state }) => [drive.name, state.standing, state.sums, state.run, state.curve.n])

/** The first entries of a made-up boat, some of them amended or struck later on. */
function mended(start: number, fault: FaultKind | null, most: number): Entry[] {
  const { entries } = madeUpBoat(start, { fault })
  const first = entries.slice(0, most)
  const draw = random(start, 'mended')
  const more: Entry[] = []
  const last = Date.parse(first[first.length - 1]!.recordedAt)
  for (let n = 0; n < 12; n++) {
    const of = draw.pick([...first, ...more])
    const recordedAt = new Date(draw.between(Date.parse(of.recordedAt), last)).toISOString()
    const head = { ...of, id: idOf(1_000_000 + n), recordedAt, replaces: of.id }
    const moved = new Date(Date.parse(of.occurredAt) + draw.between(-3, 3) * 86_400_000).toISOString()
    more.push(
      draw.chance(0.4) || of.type === 'entry-struck'
        ? ({ ...head, type: 'entry-struck', version: 1, data: {} } as Entry)
        : ({ ...head, occurredAt: draw.chance(0.3) ? moved.slice(0, 10) : moved } as Entry),
    )
  }
  return [...first, ...more]
}

describe('going with the writing', () => {
  test.each([
    [1, null],
    [2, 'slackening'],
    [3, 'failed diode'],
    [4, 'misaligned'],
  ] as const)('gives at every entry of boat %i (%s) what all the entries up to it give afresh', (start, fault) => {
    const batches = inOrderOfRecording(mended(start, fault, 170))
    const judge = recording()
    const known: Entry[] = []
    for (const batch of batches) {
      judge.record(batch)
      known.push(...batch)
      const afresh = recording()
      afresh.record(known)
      expect(standing(judge)).toEqual(standing(afresh))
    }
  })

  test('folds what the fair log tells: amendments, strikes and days alone as there', () => {
    const entries = mended(5, 'glazing', 250)
    const afresh = recording()
    afresh.record(timeline(entries).told.map((told) => ({ ...told, id: told.root, replaces: null }) as Entry))
    const judge = recording()
    for (const batch of inOrderOfRecording(entries)) judge.record(batch)
    expect(standing(judge)).toEqual(standing(afresh))
  })

  test.each([19, 34])('raises and clears on boat %i what brute force over every prefix does', (start) => {
    const batches = inOrderOfRecording(mended(start, 'slackening', 190))
    const judge = recording()
    const known: Entry[] = []
    const transitions: string[] = []
    let stood: string | null = null
    for (const batch of batches) {
      judge.record(batch)
      known.push(...batch)
      const afresh = recording()
      afresh.record(known)
      const stands = afresh.drives()[0]?.state.standing?.kind ?? null
      if (stands !== stood) {
        if (stood !== null) transitions.push(`cleared ${stood} ${batch[0]!.recordedAt}`)
        if (stands !== null) transitions.push(`raised ${stands} ${batch[0]!.recordedAt}`)
      }
      stood = stands
    }
    const told = judge.episodes.flatMap(({ standing: { kind }, raised, cleared }) => [
      `raised ${kind} ${raised.recordedAt}`,
      ...(cleared === null ? [] : [`cleared ${kind} ${cleared.recordedAt}`]),
    ])
    expect(told).toEqual(transitions)
    expect(transitions.length).toBeGreaterThan(0)
  })
})

describe('the work done', () => {
  test('is one step for each observation while entries come in the order in which things happened', () => {
    const { entries } = madeUpBoat(7, { fault: null })
    const inTime = entries
      .filter(({ type }) => type === 'readings-taken' || type === 'check-made')
      .sort((a, b) => Date.parse(a.occurredAt) - Date.parse(b.occurredAt))
    const judge = recording()
    judge.record(entries.filter(({ type }) => type === 'equipment-fitted').slice(0, 5))
    const before = judge.steps
    for (const entry of inTime) judge.record([entry])
    expect(judge.steps - before).toBe(inTime.length)
  })

  test('is one step for each observation from its place on where one comes late', () => {
    const { entries } = madeUpBoat(8, { fault: null })
    const fitted = entries.filter(({ type }) => type === 'equipment-fitted').slice(0, 5)
    const checks = entries.filter(({ type }) => type === 'check-made')
    checks.sort((a, b) => Date.parse(a.occurredAt) - Date.parse(b.occurredAt))
    const late = checks.splice(-10, 1)
    const judge = recording()
    judge.record([...fitted, ...checks])
    const before = judge.steps
    judge.record(late)
    expect(judge.steps - before).toBe(10)
  })
})
