import { once } from 'node:events'

/** Prints to standard output; waits where the reader is slower, so that an export of any size stays small in memory. */
export async function print(text: string): Promise<void> {
  if (!process.stdout.write(text)) await once(process.stdout, 'drain')
}

/** Prints a sentence to standard error. */
export function complain(text: string): void {
  process.stderr.write(`${forTerminal(text)}\n`)
}

/** Prints a line for people; what entries say is text and must not steer the terminal. */
export const printLine = (text: string): Promise<void> => print(`${forTerminal(text)}\n`)

/** Text without control characters but the line's end, and with ordinary spaces and minus signs, by which people search and cut. */
const forTerminal = (text: string): string =>
  text
    .replace(/[^\P{Cc}\n]/gu, '?')
    .replace(/[\u00a0\u202f]/g, ' ')
    .replaceAll('\u2212', '-')

/** Prints a value as JSON that people can read too. */
export const printJson = (value: unknown): Promise<void> => print(`${JSON.stringify(value, null, 2)}\n`)

/**
 * Prints rows under their heads, in columns; a cell that is a number goes right.
 * @param rows each as long as `heads`
 * @param none the sentence that is printed where there are no rows
 */
export async function printTable(
  heads: readonly string[],
  rows: readonly (readonly (string | number)[])[],
  none: string,
): Promise<void> {
  if (rows.length === 0) return printLine(none)
  const cells = [heads, ...rows].map((row) => row.map(String))
  const widths = heads.map((_, column) => Math.max(...cells.map((row) => row[column]!.length)))
  const right = heads.map(
    (_, column) => rows.length > 0 && rows.every((row) => typeof row[column] === 'number' || row[column] === ''),
  )
  for (const row of cells)
    await printLine(
      row
        .map((cell, column) => (right[column] ? cell.padStart(widths[column]!) : cell.padEnd(widths[column]!)))
        .join('  ')
        .trimEnd(),
    )
}

/** A number with its noun: "1 entry", "2 entries". */
export const counted = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`
