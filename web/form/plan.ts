import { Temporal } from 'temporal-polyfill'
import type { Refusal } from '../../events/define.ts'
import { type Plan, usualReserve } from '../../projections/ahead.ts'
import { readDay } from './moment.ts'
import { readNumber } from './number.ts'

/** The blanks of a planned passage, as typed; the same names serve the address and the command line. */
export type PlanTexts = {
  readonly [blank in 'hours' | 'days' | 'miles' | 'speed' | 'reserve' | 'leaving']?: string | undefined
}

/** The names of the blanks, in the order of the sentence. */
export const planBlanks = ['hours', 'days', 'miles', 'leaving', 'speed', 'reserve'] as const

/** What is expected in a blank: its words, and the ends of what can be. */
const numbers = {
  hours: { title: 'Engine hours', unit: 'engine hours', least: 0.1, most: 2000, example: '60' },
  days: { title: 'Days', unit: 'days', least: 0.1, most: 120, example: '5' },
  miles: { title: 'Miles', unit: 'nautical miles', least: 0, most: 20_000, example: '420' },
  speed: { title: 'Engine speed', unit: 'rpm', least: 300, most: 10_000, example: '2000' },
  reserve: { title: 'Reserve', unit: 'per cent', least: 0, most: 90, example: '33' },
} as const

/** What reading the blanks gives: the plan, or what is wrong with which blank. */
export type ReadPlan = { ok: true; plan: Plan } | { ok: false; refusals: Refusal[] }

/**
 * Reads the blanks of a planned passage. Engine hours and days must be said; the rest may stay empty.
 * @param today the ship's day
 */
export function readPlan(texts: PlanTexts, today: string): ReadPlan {
  const refusals: Refusal[] = []
  const number = (blank: keyof typeof numbers): number | null => {
    const text = texts[blank]?.trim() ?? ''
    const { title, unit, least, most, example } = numbers[blank]
    const expected = `expected ${least} to ${most} ${unit}, such as ${example}`
    if (text === '') {
      if (blank === 'hours' || blank === 'days')
        refusals.push({ field: blank, problem: `${title}: got nothing, ${expected}.` })
      return null
    }
    const read = readNumber(text, title)
    if (!read.ok) {
      refusals.push({ field: blank, problem: read.problem })
      return null
    }
    if (read.value < least || read.value > most) {
      refusals.push({ field: blank, problem: `${title}: got "${text}", ${expected}. Look at the figure again.` })
      return null
    }
    return read.value
  }
  const hours = number('hours')
  const days = number('days')
  const miles = number('miles')
  const speed = number('speed')
  const reserve = number('reserve')
  if (hours !== null && days !== null && hours > days * 24)
    refusals.push({
      field: 'hours',
      problem: `Engine hours: got ${hours} in ${days} days, expected at most ${days * 24}, for a day has 24. Plan fewer hours or more days.`,
    })
  const leaving = readLeaving(texts.leaving?.trim() ?? '', today)
  if (!leaving.ok) refusals.push({ field: 'leaving', problem: leaving.problem })
  if (refusals.length > 0 || hours === null || days === null || !leaving.ok) return { ok: false, refusals }
  return {
    ok: true,
    plan: {
      hours,
      days,
      miles,
      speed,
      reserve: reserve === null ? usualReserve : reserve / 100,
      leaving: leaving.day,
    },
  }
}

function readLeaving(text: string, today: string): { ok: true; day: string | null } | { ok: false; problem: string } {
  const now = Temporal.PlainDate.from(today)
  const word = text.toLowerCase()
  if (word === '' || word === 'today') return { ok: true, day: null }
  if (word === 'tomorrow') return { ok: true, day: now.add({ days: 1 }).toString() }
  // Without a year the last such day is read: that of the year to come, not of the one that was.
  const read = readDay(text, 'Leaving', now.add({ years: 1 }).subtract({ days: 2 }))
  if (!read.ok) return { ok: false, problem: read.problem.replace(', or yesterday', ', or tomorrow') }
  const off = now.until(read.date, { largestUnit: 'days' }).days
  if (off < 0 || off > 366)
    return {
      ok: false,
      problem: `Leaving: got "${text}", expected today or a day within a year from now, such as tomorrow. Leave it empty for today.`,
    }
  return { ok: true, day: read.date.toString() }
}
