/** Which entries a figure came from: a selection that the Log can show, not a list of thousands of ids. */
export interface Selection {
  /** Kinds of entry; absent: all. */
  readonly kinds?: readonly string[]
  /** Equipment handle. */
  readonly equipment?: string
  /** Meter handle. */
  readonly meter?: string
  /** Upkeep task handle. */
  readonly task?: string
  /** From this moment on, milliseconds. */
  readonly since?: number
  /** Up to and with this moment, milliseconds. */
  readonly until?: number
  /** Single entries, by root id; a handful at most. */
  readonly entries?: readonly string[]
}

/** A value with its unit and the entries that it came from: the only form in which a figure reaches a page. */
export interface Figure {
  readonly value: number
  /** UCUM code. */
  readonly unit: string
  readonly from: Selection
  /** Decimals that make sense; absent: as the value needs, two at most. */
  readonly decimals?: number
}

/** An estimate, or why there is none yet. No sentinel, no NaN. */
export type Estimate<T = number> =
  | { readonly kind: 'estimate'; readonly value: T; readonly low: T; readonly high: T; readonly n: number }
  | { readonly kind: 'not-enough'; readonly n: number; readonly needed: number }
