/**
 * A chance in words that people count by: "9 chances in 10", "1 chance in 4", "almost certain". A forecast, so it is set in pencil.
 * @param chance 0 to 1
 */
export function chanceText(chance: number): string {
  if (chance >= 0.975) return 'almost certain'
  if (chance < 0.025) return 'hardly'
  if (chance < 0.45) return `1 chance in ${Math.round(1 / chance)}`
  const tenths = Math.round(chance * 10)
  if (tenths === 5) return '1 chance in 2'
  return `${Math.min(9, tenths)} chances in 10`
}
