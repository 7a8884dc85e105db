import type { Quantity } from '../../events/define.ts'
import { convert, dimensionOf, symbolOf } from '../../events/units.ts'
import type { Figure as FigureValue } from '../../projections/figure.ts'
import { type Settings, shownUnit } from '../../projections/settings.ts'
import type { View } from '../page.ts'
import { logLink } from './log-link.ts'

const narrow = '\u202f'
const nobreak = '\u00a0'

/**
 * A bare number as the log writes it: a narrow no-break space before every three digits from a thousand on, a true minus.
 * @param decimals how many; absent: as many as the value needs, two at most
 * @throws RangeError for a value that is not finite: a bug, for no projection gives one
 */
export function formatNumber(value: number, decimals?: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`A figure must be finite, got ${value}`)
  const fixed = Math.abs(value).toFixed(decimals ?? 2)
  const [whole, part = ''] = fixed.split('.') as [string, string?]
  const kept = decimals === undefined ? part.replace(/0+$/, '') : part
  const sign = value < 0 && /[1-9]/.test(fixed) ? '\u2212' : ''
  return `${sign}${whole.replace(/\B(?=(\d{3})+$)/g, narrow)}${kept === '' ? '' : `.${kept}`}`
}

/** UCUM's calendar units, in words; 1 takes the singular. */
const calendar: Record<string, string> = { d: 'days', wk: 'weeks', mo: 'months', a: 'years' }

/**
 * A value and its unit as text that never breaks: "1 243.6 h", "82 °C", "148°".
 * @param unit UCUM code; an annotation such as {entries} is read as the word, "1" has no unit, a currency is its ISO code
 * @param decimals how many; absent: as the value needs, two at most
 */
export function formatFigure(value: number, unit: string, decimals?: number): string {
  const number = formatNumber(value, decimals)
  const word = calendar[unit] ?? /^\{(.+)\}$/.exec(unit)?.[1]
  const symbol = word === undefined ? symbolOf(unit) : number === '1' ? singular(word) : word
  if (unit === '1' || symbol === '') return number
  return symbol === '°' ? `${number}${symbol}` : `${number}${nobreak}${symbol}`
}

const singular = (word: string): string => word.replace(/ies$/, 'y').replace(/s$/, '')

/** Decimals after a conversion whose last place is as fine as the one before it: the nearest such, or one that loses nothing. */
function decimalsAfter(decimals: number, unit: string, to: string, losing: 'little' | 'nothing'): number {
  const step = Math.abs(convert(1, unit, to) - convert(0, unit, to)) * 10 ** -decimals
  const places = -Math.log10(step)
  return Math.min(6, Math.max(0, losing === 'little' ? Math.round(places) : Math.ceil(places - 1e-9)))
}

const decimalsOf = (value: number): number => {
  const text = String(value)
  const [digits = '', power = '0'] = text.split('e')
  return Math.max(0, (digits.split('.')[1]?.length ?? 0) - Number(power))
}

/** The unit in which a value of this unit is shown. Times stay as they are: a minute's cranking is not 0.02 h. */
export function unitShown(unit: string, settings: Settings): string {
  const dimension = dimensionOf(unit)
  return dimension === undefined || dimension === 'time' ? unit : shownUnit(settings, dimension)
}

/** A figure in the unit in which the boat's owner reads such figures, as text. */
export function figureText(figure: Omit<FigureValue, 'from'>, settings: Settings): string {
  const { value, unit, decimals } = figure
  const to = unitShown(unit, settings)
  if (to === unit) return formatFigure(value, unit, decimals)
  const after = decimals === undefined ? undefined : decimalsAfter(decimals, unit, to, 'little')
  return formatFigure(convert(value, unit, to), to, after)
}

/** A quantity of an entry, in the unit in which such quantities are shown; `entered` is what was written, where that differs. */
export function quantityText(quantity: Quantity, settings: Settings): { text: string; entered?: string } {
  const { value, unit } = quantity
  const written = decimalsOf(value)
  const to = unitShown(unit, settings)
  if (to === unit) return { text: formatFigure(value, unit, written) }
  return {
    text: formatFigure(convert(value, unit, to), to, decimalsAfter(written, unit, to, 'nothing')),
    entered: formatFigure(value, unit, written),
  }
}

/**
 * A figure: the only thing that shows a number of the log on a page. It opens to the entries that it came from.
 * `bold` for the fact of its sentence.
 */
export const Figure = ({
  of,
  view,
  bold,
}: {
  of: FigureValue
  view: Pick<View, 'settings' | 'keep'>
  bold?: boolean
}) => {
  const text = figureText(of, view.settings)
  return (
    <a class="n" href={logLink(of.from, view.keep)}>
      {bold ? <b>{text}</b> : text}
    </a>
  )
}
