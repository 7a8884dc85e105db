import type { Quantity } from '../events/define.ts'
import { convert } from '../events/units.ts'
import type { Stretch } from './learnt-rate.ts'
import { type Equipment, type Register, register } from './register.ts'
import { fold, type Projection, type Timeline, type Told } from './timeline.ts'

/** A moment at which it is known what is in a tank. */
export interface TankMark {
  readonly at: number
  readonly root: string
  /** Filled to the neck, else sounded. */
  readonly full: boolean
  /** Litres; null for a full tank of which nobody wrote what it holds. */
  readonly litres: number | null
}

/** Something filled into a tank; litres are null where the amount was not written. */
export interface Filling {
  readonly at: number
  readonly root: string
  readonly litres: number | null
}

/** What was filled into which tank and what was found in it, in order. */
export interface TankEvents {
  readonly fillings: (Filling & { readonly tank: string; readonly what: string; readonly full: boolean })[]
  /** `tank` is null where a reading names none. */
  readonly soundings: (Filling & { readonly tank: string | null })[]
}

const inLitres = ({ value, unit }: Quantity): number => convert(value, unit, 'L')

/** Fillings and soundings of all tanks; an empty book has none. */
export const tankEvents: Projection<TankEvents> = {
  initial: () => ({ fillings: [], soundings: [] }),
  on: {
    'taken-aboard': (state, entry) => {
      const { what, equipment, amount, full } = entry.data
      state.fillings.push({ ...own(entry, amount), tank: equipment, what, full: full === true })
    },
    'check-made': (state, entry) => {
      const { equipment, level } = entry.data
      if (level !== undefined) state.soundings.push({ ...own(entry, level), tank: equipment })
    },
    'readings-taken': (state, entry) => {
      const { fuelLevel, tank } = entry.data
      if (fuelLevel !== undefined) state.soundings.push({ ...own(entry, fuelLevel), tank: tank ?? null })
    },
  },
}

const own = (entry: Told, amount: Quantity | undefined): Filling => ({
  at: entry.at,
  root: entry.root,
  litres: amount === undefined ? null : inLitres(amount),
})

/** One tank with what is known of it. */
export interface Tank {
  readonly equipment: Equipment
  /** Litres that it holds; null where that was not written. */
  readonly capacity: number | null
  readonly marks: readonly TankMark[]
  readonly fillings: readonly Filling[]
}

/** The tanks of diesel that are aboard, in the order of the register; one that was only ever filled with petrol is none of them. */
export function fuelTanks(from: Timeline): Tank[] {
  const book = fold(register, from)
  const { fillings } = fold(tankEvents, from)
  const tanks = aboard(book, (one) => one.kind === 'fuel tank').filter(({ handle }) => {
    const filled = fillings.filter((one) => one.tank === handle)
    return filled.length === 0 || filled.some((one) => one.what === 'diesel')
  })
  // A sounding that names no tank can only mean the one there is.
  return tanks.map((one) => tankOf(from, one, 'diesel', tanks.length === 1))
}

/** The tanks into which water was ever taken and that are aboard. */
export function waterTanks(from: Timeline): Tank[] {
  const filled = new Set(fold(tankEvents, from).fillings.flatMap((one) => (one.what === 'water' ? [one.tank] : [])))
  return aboard(fold(register, from), (one) => filled.has(one.handle)).map((one) => tankOf(from, one, 'water', false))
}

const aboard = (book: Register, is: (one: Equipment) => boolean): Equipment[] =>
  [...book.equipment.values()].filter((one) => !one.removed && is(one))

function tankOf(from: Timeline, equipment: Equipment, what: string, alone: boolean): Tank {
  const events = fold(tankEvents, from)
  const capacity = equipment.data.volume ? inLitres(equipment.data.volume) : null
  const fillings = events.fillings.filter((one) => one.tank === equipment.handle && one.what === what)
  const soundings = events.soundings.filter((one) => one.tank === equipment.handle || (alone && one.tank === null))
  const marks: TankMark[] = [
    ...fillings.filter((one) => one.full).map(({ at, root }) => ({ at, root, full: true, litres: capacity })),
    ...soundings.map(({ at, root, litres }) => ({ at, root, full: false, litres })),
  ].sort((a, b) => a.at - b.at)
  return { equipment, capacity, marks, fillings }
}

/** What was filled into a tank after a mark and up to a moment; null where an amount was not written. */
export function filledAfter(tank: Tank, mark: TankMark, until: number): { litres: number; entries: string[] } | null {
  let litres = 0
  const entries: string[] = []
  for (const one of tank.fillings) {
    if (one.at < mark.at || one.at > until || one.root === mark.root) continue
    if (one.litres === null) return null
    litres += one.litres
    entries.push(one.root)
  }
  return { litres, entries }
}

/** Litres drawn from a tank between two marks; null where it cannot be told. From full to full it needs no capacity. */
export function drawnBetween(tank: Tank, begin: TankMark, end: TankMark): { litres: number; entries: string[] } | null {
  const filled = filledAfter(tank, begin, end.at)
  if (filled === null) return null
  const levels =
    begin.full && end.full ? 0 : begin.litres === null || end.litres === null ? null : begin.litres - end.litres
  if (levels === null) return null
  return { litres: filled.litres + levels, entries: [...new Set([begin.root, ...filled.entries, end.root])] }
}

const hourMs = 3_600_000

/**
 * Stretches from one moment at which all of these tanks were known to the next: what was drawn from all of them, over what `meter` says of the
 * time between. Marks belong together when they were made within two days and `close` of the meter.
 * @param meter what had been counted at an entry (engine hours, days); null where nothing counts it
 * @param allowed what a stretch may be over; what is shorter or longer is left out
 */
export function stretchesOf(
  tanks: readonly Tank[],
  meter: (mark: TankMark) => number | null,
  close: number,
  allowed: { least: number; most: number },
): Stretch[] {
  const all = tanks
    .flatMap((tank, index) => tank.marks.map((mark) => ({ index, mark })))
    .sort((a, b) => a.mark.at - b.mark.at)
  /** What ends the stretch before, and what the next one begins with: marked once more at the same berth, the later one. */
  const stocks: { ends: TankMark[]; begins: TankMark[]; counted: number }[] = []
  let group: { first: TankMark; counted: number; marks: (TankMark | undefined)[] } | null = null
  for (const { index, mark } of all) {
    const counted = meter(mark)
    if (counted === null) continue
    if (!group || mark.at - group.first.at > 48 * hourMs || counted - group.counted > close)
      group = { first: mark, counted, marks: tanks.map(() => undefined) }
    group.marks[index] = mark
    if (group.marks.some((one) => one === undefined)) continue
    const marks = group.marks as TankMark[]
    const last = stocks[stocks.length - 1]
    if (last && last.counted === group.counted) last.begins = [...marks]
    else stocks.push({ ends: [...marks], begins: [...marks], counted: group.counted })
  }
  const stretches: Stretch[] = []
  stocks.forEach((stock, i) => {
    const before = stocks[i - 1]
    if (!before) return
    const over = stock.counted - before.counted
    if (over < allowed.least || over > allowed.most) return
    const drawn = tanks.map((tank, index) => drawnBetween(tank, before.begins[index]!, stock.ends[index]!))
    if (drawn.some((one) => one === null)) return
    const used = drawn.reduce((sum, one) => sum + one!.litres, 0)
    if (used > 0) stretches.push({ used, over, entries: drawn.flatMap((one) => one!.entries) })
  })
  return stretches
}
