import type { Random } from '../../../sample-logs/random.ts'
import type { DriveState } from './drive.ts'

/** What can be planted in a boat. */
export const faultKinds = [
  'slackening',
  'glazing',
  'oil on the belt',
  'misaligned',
  'failed diode',
  'ageing alternator',
] as const

/** One of them. */
export type FaultKind = (typeof faultKinds)[number]

/** Whether the belt is at fault. */
export const isBeltFault = (kind: FaultKind): boolean => kind !== 'failed diode' && kind !== 'ageing alternator'

/** A fault and its course, begun at an engine hour of the boat. */
export interface Fault {
  readonly kind: FaultKind
  readonly from: number
  /** Engine hours that its course takes. */
  readonly over: number
  readonly depth: number
}

/** Draws the course of a fault that begins at `from` engine hours. */
export function drawFault(kind: FaultKind, from: number, random: Random): Fault {
  switch (kind) {
    case 'slackening':
      return { kind, from, over: random.between(50, 140), depth: random.between(0.6, 0.85) }
    case 'glazing':
      return { kind, from, over: random.between(50, 140), depth: random.between(0.5, 0.75) }
    case 'oil on the belt':
      return { kind, from, over: random.between(40, 90), depth: random.between(0.25, 0.4) }
    case 'misaligned':
      return { kind, from, over: random.between(70, 160), depth: random.between(0.55, 0.75) }
    case 'failed diode':
      return { kind, from, over: 0, depth: random.between(0.29, 0.38) }
    case 'ageing alternator':
      return { kind, from, over: random.between(40, 120), depth: random.between(0.35, 0.6) }
  }
}

/** Brings a fault to bear for a step of running that ends at `hours`, `step` hours long. */
export function suffer(state: DriveState, { kind, from, over, depth }: Fault, hours: number, step: number): void {
  if (hours < from) return
  const gone = Math.min(1.3, over === 0 ? 1 : (hours - from) / over)
  const share = over === 0 ? 0 : step / over
  switch (kind) {
    case 'slackening':
      state.tension = Math.max(0.1, 1 - depth * gone)
      break
    case 'glazing':
      state.friction *= 1 - Math.min(0.5, share * depth * 1.6)
      break
    case 'oil on the belt':
      if (hours - step < from) state.friction *= 1 - depth
      state.friction *= 1 - share * 0.5
      break
    case 'misaligned':
      state.friction *= 1 - share * depth * 1.3
      state.dust += step * 0.02
      break
    case 'failed diode':
      state.health = 1 - depth
      break
    case 'ageing alternator':
      state.health = 1 - depth * Math.min(1, gone)
      break
  }
}
