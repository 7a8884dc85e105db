import { describe, expect, test } from 'vitest'
import { asked, freshDrive, fullOutput, mostAsked, running, slipTorque, wearOn } from './drive.ts'
import { faultKinds, isBeltFault } from './faults.ts'
import { madeUpBoat } from './made-up-boat.ts'

const drive = {
  ratedAmps: 100,
  ratio: 2.2,
  cutIn: 1150,
  scale: 1500,
  hotLoss: 0.13,
  warmMinutes: 12,
  efficiency: 0.55,
  asSet: 22,
  running: 1,
}
drive.running = (2 * mostAsked(drive)) / drive.asSet

describe('a made-up drive', () => {
  test('gives the more the faster it turns, and less when hot', () => {
    expect(fullOutput(drive, 1000, 0)).toBe(0)
    expect(fullOutput(drive, 5000, 0)).toBeGreaterThan(fullOutput(drive, 3000, 0))
    expect(fullOutput(drive, 3000, 30)).toBeLessThan(fullOutput(drive, 3000, 0))
  })

  test('asks most of its belt at a low speed', () => {
    const at = (rpm: number) => asked(drive, fullOutput(drive, rpm * 2.2, 20), 13.8, rpm * 2.2)
    expect(at(1400)).toBeGreaterThan(at(2400))
  })

  test('does not slip when tensioned; slack, it slips, and loses more at 1,300 than at 2,200', () => {
    const state = freshDrive(drive)
    const lost = (rpm: number) => {
      const well = fullOutput(drive, rpm * drive.ratio, 20)
      return 1 - running(drive, state, rpm, 20, 13.8, well).amps / well
    }
    expect(lost(1300)).toBe(0)
    state.tension = 0.42
    expect(lost(1300)).toBeGreaterThan(lost(2200))
    expect(lost(1300)).toBeGreaterThan(0.05)
  })

  test('loses tension quickly at first, and wears, dusts and at last breaks under slip', () => {
    const state = freshDrive(drive)
    const before = slipTorque(state)
    wearOn(state, 10, 0, 3)
    const early = before - slipTorque(state)
    wearOn(state, 10, 0, 3)
    expect(before - early - slipTorque(state)).toBeLessThan(early)
    const dust = state.dust
    wearOn(state, 10, 150, 3)
    expect(state.dust - dust).toBeGreaterThan(1)
    for (let hours = 0; hours < 40; hours++) wearOn(state, 1, 150, 3)
    expect(state.broken).toBe(true)
  })
})

describe('a made-up boat', () => {
  test('is the same for the same number, and another for another', () => {
    const ids = (start: number) =>
      JSON.stringify(madeUpBoat(start, { fault: 'glazing' }).entries.map(({ data }) => data))
    expect(ids(3)).toBe(ids(3))
    expect(ids(3)).not.toBe(ids(4))
  })

  test('writes entries that the book can read, in the order of recording, some of them late', () => {
    const { entries } = madeUpBoat(5, { fault: null })
    const written = entries.map(({ recordedAt }) => Date.parse(recordedAt))
    expect(written).toEqual([...written].sort((a, b) => a - b))
    expect(entries.some((one) => Date.parse(one.recordedAt) - Date.parse(one.occurredAt) > 12 * 3_600_000)).toBe(true)
    expect(new Set(entries.map(({ type }) => type)).size).toBeGreaterThan(5)
  })

  test('has the fault that was planted, and a belt fault mostly ends with the belt', () => {
    for (const fault of faultKinds) {
      const boats = Array.from({ length: 6 }, (_, index) => madeUpBoat(40 + index, { fault }))
      for (const { truth } of boats) {
        expect(truth.fault?.kind).toBe(fault)
        expect(truth.began).not.toBeNull()
        if (truth.failed) expect(truth.failed.hours).toBeGreaterThan(truth.began!.hours)
      }
      const failed = boats.filter(({ truth }) => truth.failed !== null).length
      if (isBeltFault(fault)) expect(failed).toBeGreaterThan(2)
      else expect(failed).toBe(0)
    }
  })

  test('is healthy where none was planted: her belt neither fails nor slips', () => {
    for (let start = 60; start < 66; start++) {
      const { truth } = madeUpBoat(start, { fault: null })
      expect(truth).toMatchObject({ fault: null, failed: null, fallen: null })
    }
  })

  test('follows what is asked for: a prompted owner writes more looks', () => {
    const count = (wanted: readonly string[]) =>
      madeUpBoat(70, { fault: null, prompter: { record: () => {}, wanted: () => wanted } }).entries.filter(
        ({ type }) => type === 'check-made',
      ).length
    expect(count(['dust'])).toBeGreaterThan(1.5 * count([]))
  })
})
