/** What reading a number gives: the number, or a sentence that says what was got and what was expected. */
export type ReadNumber = { ok: true; value: number } | { ok: false; problem: string }

/** Spaces that people and other programs put between thousands: ordinary, no-break, narrow no-break, thin, figure space. */
const spaces = /[ \u00a0\u202f\u2009\u2007]/g

/**
 * Reads a figure as people type it: decimal comma or point, thousands set apart with spaces. Whatever can be read in two ways is questioned,
 * never guessed: `1.234,5` has two separators; `2,200` may be 2.2 or 2200.
 * @param text not empty
 * @param title the field, for the sentence
 */
export function readNumber(text: string, title: string): ReadNumber {
  const refuse = (expected: string): ReadNumber => ({
    ok: false,
    problem: `${title}: got "${text.trim()}", ${expected}.`,
  })
  const trimmed = text.trim().replace(/^[\u2212\u2013]/, '-')
  const grouped = /^-?\d{1,3}(?:[ \u00a0\u202f\u2009\u2007]\d{3})+(?:[.,]\d+)?$/.test(trimmed)
  const bare = grouped ? trimmed.replace(spaces, '') : trimmed
  if (/^-?\d[\d.,]*$/.test(bare) && bare.includes('.') && bare.includes(','))
    return refuse('expected one decimal sign; write 1234.5 or 1234,5, without marks between thousands')
  if (/^-?\d+([.,]\d+){2,}$/.test(bare))
    return refuse('expected one decimal sign at most; write 1234.5 or 1234,5, without marks between thousands')
  const ambiguous = grouped ? null : /^(-?[1-9]\d{0,2})[.,](\d{3})$/.exec(bare)
  if (ambiguous) {
    const [, whole, part] = ambiguous
    return refuse(`which can be read in two ways; write ${whole}${part}, or ${whole}.${part}0 for the smaller one`)
  }
  if (!/^-?(\d+([.,]\d*)?|[.,]\d+)$/.test(bare)) return refuse('expected a number alone, such as 1243.6 or 1243,6')
  const value = Number(bare.replace(',', '.'))
  // "-0" is 0, and canonical JSON writes it so.
  return { ok: true, value: value === 0 ? 0 : value }
}

/** A number as it is put into a box: what `readNumber` reads back as the same number. */
export function boxNumber(value: number): string {
  const text = String(value)
  const plain = text.includes('e') ? value.toFixed(12).replace(/0+$/, '').replace(/\.$/, '') : text
  return /^-?[1-9]\d{0,2}\.\d{3}$/.test(plain) ? `${plain}0` : plain
}
