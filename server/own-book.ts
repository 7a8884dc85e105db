import { mkdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import envPaths from 'env-paths'
import { type Log, openLog } from '../events/log.ts'
import { type Book, openBook } from './book.ts'

/**
 * The owner's own book where none is named: in the user's data folder, by the rules of each system (on Linux XDG_DATA_HOME, by the
 * XDG Base Directory Specification 0.8).
 */
export const ownBookFile = (): string => join(envPaths('fettlebook', { suffix: '' }).data, 'book.sqlite')

/**
 * Opens the book that a command line names.
 * @param file what `--book` says; undefined: the owner's own, whose folder is made if it is missing
 * @param create whether a book that is not there is begun, or refused
 * @throws NotABook with a sentence
 */
export function openNamed(file: string | undefined, create: boolean): Log {
  const name = file ?? ownBookFile()
  // Others who use this machine have no business in the log.
  if (file === undefined && create) mkdirSync(dirname(name), { recursive: true, mode: 0o700 })
  return openLog(name, { create })
}

/** Opens the named book, hands it to `use`, and closes it whatever happens. A book that is not there is refused. */
export async function withBook<T>(file: string | undefined, use: (book: Book) => T | Promise<T>): Promise<T> {
  const log = openNamed(file, false)
  try {
    return await use(openBook(log))
  } finally {
    log.close()
  }
}
