import Database from 'better-sqlite3'

const sentences: Record<string, string> = {
  SQLITE_FULL: 'The disk is full. Make room, then write it again.',
  SQLITE_BUSY: 'Another program holds the book. End it, or wait, then try again.',
  SQLITE_READONLY:
    'The book, or the folder that it lies in, cannot be written to. Change its permissions, then write it again.',
  SQLITE_CORRUPT:
    'The file is damaged. Keep it as it is, look at what "fettlebook verify" says, and go back to a copy that verifies.',
  SQLITE_NOTADB: 'The file is damaged. Keep it as it is, and go back to a copy that "fettlebook verify" proves.',
  SQLITE_IOERR: 'The disk could not be read or written. Look whether it is still there and sound, then try again.',
}

/**
 * What to tell a person when the disk, and not the program, is at fault; undefined for any other error.
 * A batch is written whole or not at all, so nothing of what was under way is in the book.
 */
export function diskFault(error: unknown): string | undefined {
  if (!(error instanceof Database.SqliteError)) return undefined
  // Extended result codes begin with the plain one: SQLITE_IOERR_FSYNC (SQLite, "Result and Error Codes").
  const known = Object.keys(sentences).find((code) => error.code === code || error.code.startsWith(`${code}_`))
  return known && `${sentences[known]} SQLite says: ${error.message}. Nothing of what was under way was written.`
}
