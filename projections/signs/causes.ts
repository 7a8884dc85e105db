/** The kinds of sign that a drive can give. */
export type SignKind = 'belt-slip' | 'charging-low'

/** One way in which a drive may fail, as it would show. Each is watched by a sum of its own. */
export interface Cause {
  readonly kind: SignKind
  /** Share by which the belt slips under full output. */
  readonly slip: number
  /** Logarithm of the share of output that is left whatever the speed. */
  readonly output: number
  /** Logarithm of the share of the tension that is left. */
  readonly tension: number
  /** Dust, in traces an engine hour. */
  readonly dust: number
}

/**
 * What is watched for. A belt that holds less and less: first only the wrench feels it, then it slips by a tenth, a quarter, a half, with the dust of
 * each; an alternator that has lost an eighth, a fifth, a third (one diode of three, or one phase) or a half, which leaves belt and tension as they are. Steps a
 * factor of about two apart, so that no course falls far between two. Common practice, no source.
 */
export const causes: readonly Cause[] = [
  { kind: 'belt-slip', slip: 0, output: 0, tension: -0.45, dust: 0.08 },
  { kind: 'belt-slip', slip: 0.1, output: 0, tension: -0.5, dust: 0.25 },
  { kind: 'belt-slip', slip: 0.25, output: 0, tension: -0.6, dust: 0.6 },
  { kind: 'belt-slip', slip: 0.5, output: 0, tension: -0.8, dust: 1.5 },
  { kind: 'charging-low', slip: 0, output: Math.log(0.88), tension: 0, dust: 0 },
  { kind: 'charging-low', slip: 0, output: Math.log(0.78), tension: 0, dust: 0 },
  { kind: 'charging-low', slip: 0, output: Math.log(0.66), tension: 0, dust: 0 },
  { kind: 'charging-low', slip: 0, output: Math.log(0.5), tension: 0, dust: 0 },
]

/** Logarithms of likelihood ratios, one for each cause, against all being well. */
export type Weights = readonly number[]
