import { readFileSync } from 'node:fs'

/** Daily use of one unit over the days of a data set; days not listed are 0. */
export interface DailyUse {
  readonly unit: string
  /** Day number of `use[0]`, days since 1970-01-01. */
  readonly firstDay: number
  readonly use: Float64Array
}

const dayNumber = (date: string): number => Date.parse(date) / 86_400_000

/** Reads tests/reference/data/<file> (unit,date,amount) from `start` to `end`, both YYYY-MM-DD and included. */
export function readDailyUse(file: string, start: string, end: string): DailyUse[] {
  const text = readFileSync(new URL(`../reference/data/${file}`, import.meta.url), 'utf8')
  const firstDay = dayNumber(start)
  const length = dayNumber(end) - firstDay + 1
  const units = new Map<string, Float64Array>()
  for (const line of text.trim().split('\n').slice(1)) {
    const [unit, date, amount] = line.split(',')
    let use = units.get(unit!)
    if (!use) {
      use = new Float64Array(length)
      units.set(unit!, use)
    }
    use[dayNumber(date!) - firstDay]! += Number(amount)
  }
  return [...units].map(([unit, use]) => ({ unit, firstDay, use }))
}
