import type { Quantity } from '../../events/define.ts'
import { convert } from '../../events/units.ts'
import { type Equipment, lineage, type Register } from '../register.ts'

/** A belt and the alternator that it drives: what is judged together. A belt that drives no alternator is judged alone. */
export interface Drive {
  /** Handle of the belt, or of the alternator where no belt of it is known; names the drive. */
  readonly name: string
  readonly belt: string | null
  readonly alternator: string | null
  /** The engine that turns it; null where the register does not say. */
  readonly engine: string | null
  /** Readings that name no alternator are those of this one. */
  readonly main: boolean
  readonly ratedAmps: number | null
  /** Alternator turns for one of the engine. */
  readonly ratio: number | null
  readonly ampsReadAt: 'alternator' | 'battery' | null
  readonly battery: 'flooded lead' | 'AGM' | 'gel' | 'lead-carbon' | 'lithium iron phosphate' | 'other lithium' | null
  /** Something else charges the same bank. */
  readonly solar: boolean
  /** Checks of tension say nothing: an automatic tensioner or an overrunning pulley. */
  readonly tensionUnjudged: boolean
}

const inUnit = (quantity: Quantity | undefined, unit: string): number | null =>
  quantity === undefined ? null : convert(quantity.value, quantity.unit, unit)

/** The drives aboard, by the register; none if it has neither belt nor alternator. */
export function drivesOf(book: Register): Drive[] {
  const aboard = [...book.equipment.values()].filter((one) => !one.removed)
  const alternators = aboard.filter((one) => one.kind === 'alternator')
  const belts = aboard.filter((one) => one.kind === 'belt')
  const engines = aboard.filter((one) => one.kind === 'engine' || one.kind === 'generator')
  const engineOf = (handle: string): string | null =>
    lineage(book, handle).find((one) => engines.some((engine) => engine.handle === one)) ??
    (engines.length === 1 ? engines[0]!.handle : null)
  const taken = new Set<string>()
  const beltOf = (alternator: Equipment): Equipment | undefined => {
    const said = belts.find((belt) => belt.data.drives === alternator.handle)
    if (said) return said
    // Nothing is said, and there is but one of each that it could be.
    const free = belts.filter((belt) => belt.data.drives === undefined)
    return alternators.length === 1 && free.length === 1 ? free[0] : undefined
  }
  const paired = alternators.map((alternator) => {
    const belt = beltOf(alternator)
    if (belt) taken.add(belt.handle)
    const engine = engineOf(alternator.handle)
    const bank = aboard.find((one) => one.handle === alternator.data.charges)
    const onlyBank = aboard.filter((one) => one.kind === 'battery bank')
    const charged = bank ?? (onlyBank.length === 1 ? onlyBank[0] : undefined)
    const { pulleyDiameter, drivingPulleyDiameter } = belt?.data ?? {}
    const own = pulleyDiameter && inUnit(pulleyDiameter, 'mm')
    const driving = drivingPulleyDiameter && inUnit(drivingPulleyDiameter, 'mm')
    const ratio =
      belt?.data.speedRatio ?? alternator.data.speedRatio ?? (own && driving && own > 0 ? driving / own : null)
    const readAt = alternator.data.ampsReadAt ?? charged?.data.ampsReadAt
    return {
      name: belt?.handle ?? alternator.handle,
      belt: belt?.handle ?? null,
      alternator: alternator.handle,
      engine,
      ratedAmps: inUnit(alternator.data.ratedAmps, 'A'),
      ratio,
      ampsReadAt: readAt === 'alternator' || readAt === 'battery' ? readAt : null,
      battery: charged?.data.batteryKind ?? null,
      solar: aboard.some(
        (one) => one.kind === 'solar panel' && (one.data.charges === undefined || one.data.charges === charged?.handle),
      ),
      tensionUnjudged:
        belt?.data.automaticTensioner === true ||
        belt?.data.overrunningPulley === true ||
        alternator.data.overrunningPulley === true,
    }
  })
  // The alternator that the log's readings are of, where they name none: of each engine the one with the most to give.
  const mains = new Map<string | null, string>()
  for (const one of [...paired].sort((a, b) => (b.ratedAmps ?? 0) - (a.ratedAmps ?? 0)))
    if (!mains.has(one.engine)) mains.set(one.engine, one.alternator)
  return [
    ...paired.map((one) => ({ ...one, main: mains.get(one.engine) === one.alternator })),
    ...belts
      .filter((belt) => !taken.has(belt.handle))
      .map((belt) => ({
        name: belt.handle,
        belt: belt.handle,
        alternator: null,
        engine: engineOf(belt.handle),
        main: false,
        ratedAmps: null,
        ratio: null,
        ampsReadAt: null,
        battery: null,
        solar: false,
        tensionUnjudged: belt.data.automaticTensioner === true || belt.data.overrunningPulley === true,
      })),
  ]
}
