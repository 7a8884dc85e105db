import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64'
import { uniformInt } from 'pure-rand/distribution/uniformInt'
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'

/** A stream of numbers that look random and are the same for the same seed, on every machine. */
export interface Random {
  /** Uniform in [low, high). */
  between(low: number, high: number): number
  /** A whole number from low to high, both included. */
  whole(low: number, high: number): number
  /** True with probability p; never for p <= 0, always for p >= 1. */
  chance(p: number): boolean
  /** One of a list that is not empty. */
  pick<T>(list: readonly T[]): T
  /** Normal, kept within `mean` plus or minus three `spread`, so that no figure is absurd. */
  normal(mean: number, spread: number): number
  /** n bytes. */
  bytes(n: number): Uint8Array
}

/**
 * A stream from a seed.
 * @param seed a whole number of 32 bits
 * @param stream a name: streams of different names are independent, so that a change in one part of the sample leaves the others
 * as they were
 */
export function random(seed: number, stream: string): Random {
  let mixed = seed | 0
  for (const letter of stream) mixed = (Math.imul(mixed, 31) + letter.charCodeAt(0)) | 0
  const source = xoroshiro128plus(mixed)
  const unit = () => uniformFloat64(source)
  return {
    between: (low, high) => low + (high - low) * unit(),
    whole: (low, high) => uniformInt(source, low, high),
    chance: (p) => unit() < p,
    pick: (list) => list[uniformInt(source, 0, list.length - 1)] as (typeof list)[number],
    normal(mean, spread) {
      // Box and Muller (1958); 1 - u keeps the logarithm away from nought.
      const z = Math.sqrt(-2 * Math.log(1 - unit())) * Math.cos(2 * Math.PI * unit())
      return mean + spread * Math.max(-3, Math.min(3, z))
    },
    bytes: (n) => Uint8Array.from({ length: n }, () => uniformInt(source, 0, 255)),
  }
}
