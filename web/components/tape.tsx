/**
 * Where the ruled stick of a tape carries its ticks, as shares of the interval: between three and eight long ones at round
 * numbers of the task's own unit, and short ones between them. Months are ruled by quarters, beyond three years by years.
 * @param every the interval; not positive: no ticks
 * @param unit UCUM code or annotation; 'mo' is ruled by the calendar
 */
export function ticksOf(every: number, unit: string): { major: number[]; minor: number[] } {
  if (!(every > 0)) return { major: [], minor: [] }
  const [step, parts] = unit === 'mo' ? monthStep(every) : roundStep(every)
  const at = (width: number) => {
    const shares: number[] = []
    for (let n = 1; n * width < every * (1 - 1e-9); n++) shares.push((n * width) / every)
    return shares
  }
  const major = at(step)
  const minor = at(step / parts).filter((share) => !major.some((one) => Math.abs(one - share) < 1e-9))
  return { major, minor }
}

const monthStep = (every: number): [step: number, parts: number] => {
  if (every <= 6) return [1, 1]
  return every <= 36 ? [3, 3] : [12, 4]
}

function roundStep(every: number): [step: number, parts: number] {
  const decade = 10 ** Math.floor(Math.log10(every / 8))
  // 2 is cut into four and 1 and 5 into five, so that the short ticks stand at round numbers too.
  const steps = ([1, 2, 5, 10, 20] as const)
    .map((step): [number, number] => [step * decade, step === 2 || step === 20 ? 4 : 5])
    .filter(([step]) => every / step <= 8 && every / step > 2)
  // One that comes out even, where there is one: 150 h is ruled by 50 and not by 20.
  const even = steps.find(([step]) => Math.abs(every / step - Math.round(every / step)) < 1e-9)
  return even ?? steps[0] ?? [every, 5]
}

/** Where every tape ends, so that rows compare: "due" stands at this share of the column; the rest is room beyond it. */
const end = 80
const shown = (share: number): string => `${Number((share * end).toFixed(2))}%`

/**
 * A ruled stick in the task's own unit, inked up to what is used; beyond its end hatched. The words beside it say the same.
 * @param share used share of the interval, 1 = due; below 0 counts as 0, beyond 1.25 the hatching runs to the edge
 * @param every the interval, for the ruling
 * @param unit its unit, UCUM
 */
export const Tape = ({ share, every, unit }: { share: number; every: number; unit: string }) => {
  const { major, minor } = ticksOf(every, unit)
  const used = Math.min(1, Math.max(0, share))
  const over = Math.min(1.25, share) - 1
  return (
    <svg class="tape" aria-hidden="true" focusable="false">
      <rect x="0" y="2.5" width={`${end}%`} height="19" />
      {minor.map((at) => (
        <line class="minor" x1={shown(at)} x2={shown(at)} y1="3" y2="8" />
      ))}
      {major.map((at) => (
        <line x1={shown(at)} x2={shown(at)} y1="3" y2="12" />
      ))}
      <rect class="used" x="0" y="12" width={shown(used)} height="9" />
      {over > 0 ? <rect class="over" x={`${end}%`} y="12" width={shown(over)} height="9" /> : ''}
      <line class="due" x1={`${end}%`} x2={`${end}%`} y1="2" y2="22" />
    </svg>
  )
}

/** The words above a column of tapes. */
export const TapeScale = () => (
  <svg class="scale on-tape" aria-hidden="true" focusable="false">
    <text x="0" y="17">
      fresh
    </text>
    <text x={`${end / 2}%`} y="17" text-anchor="middle">
      half used
    </text>
    <text x={`${end}%`} y="17" text-anchor="middle">
      due
    </text>
  </svg>
)
