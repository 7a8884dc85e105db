/**
 * What a chart shows, as plain data: made on the server, drawn in the browser by static/chart.js, which reads it from an attribute.
 * A new look is a new mark here and its few lines there. Values are in the units that the caption names; nothing is converted later.
 */
export interface ChartSpec {
  readonly size: ChartSize
  readonly x: Axis
  readonly y: Axis
  /** Drawn in this order, but for bands, which lie beneath all others. */
  readonly marks: readonly Mark[]
}

/** Heights that the style sheet reserves before anything is drawn. */
export type ChartSize = 'strip' | 'small' | 'medium' | 'tall'

/** One axis. The strong lines of the graph paper are its ticks, so that the paper is the scale. */
export interface Axis {
  readonly from: number
  readonly to: number
  /** Distance between ticks, from a multiple of it on; doubled where the chart is narrow. */
  readonly step?: number
  /** Ticks that are not evenly spaced or are not numbers, such as the first days of months: value and word. */
  readonly ticks?: readonly (readonly [at: number, word: string])[]
  /** No figures beside it: the lowest of several that share an axis carries them. */
  readonly bare?: boolean
}

/** Something drawn on the paper. `null` in place of a y leaves a gap. */
export type Mark =
  /** The healthy band: x, its lower and its upper edge, ascending in x. */
  | {
      readonly kind: 'band'
      readonly edges: readonly (readonly [x: number, low: number, high: number])[]
      readonly name?: string
    }
  /** A line of ink; dashed for what is not measured. */
  | {
      readonly kind: 'line'
      readonly through: readonly (readonly [x: number, y: number | null])[]
      readonly width?: number
      readonly dashed?: boolean
    }
  /** Readings. */
  | { readonly kind: 'points'; readonly at: readonly Point[] }
  /** Services: a ruled upright with its word above; dotted for what only interrupts, such as wiping. */
  | {
      readonly kind: 'services'
      readonly at: readonly { readonly x: number; readonly word?: string; readonly dotted?: boolean }[]
    }
  /** A forecast: from the last point to the 10, 25, 50, 75 and 90 % values at `x`, in pencil. */
  | {
      readonly kind: 'fan'
      readonly from: readonly [x: number, y: number]
      readonly x: number
      readonly at: readonly number[]
      readonly name?: string
    }
  /** A limit that the owner has set, in red pencil with its words. */
  | { readonly kind: 'limit'; readonly y: number; readonly name: string }
  /** Words in the plot, on a slip of bare paper. */
  | {
      readonly kind: 'words'
      readonly x: number
      readonly y: number
      readonly text: string
      readonly pen?: 'ink' | 'printed' | 'pencil'
      readonly align?: 'left' | 'center' | 'right'
      /** Pixels right and down from the place. */
      readonly by?: readonly [right: number, down: number]
    }
  /** Dust found at looks: from one look to the next the grade that was found, as dots that lie closer for more dust. */
  | {
      readonly kind: 'dust'
      readonly spans: readonly {
        readonly from: number
        readonly to: number
        readonly grade: 'none' | 'trace' | 'film' | 'heavy'
      }[]
    }

/** One reading. */
export interface Point {
  readonly x: number
  readonly y: number | null
  /** Address of its entry, opened by a press on it. */
  readonly to?: string
  /** Seen but not judged. */
  readonly hollow?: boolean
  /** A sign was raised here. */
  readonly ring?: boolean
}
