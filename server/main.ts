#!/usr/bin/env node
import { commandLine } from './command-line.ts'
import { complain } from './print.ts'

// A reader that has seen enough, such as head, closes the pipe: nothing went wrong.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0)
  throw error
})

try {
  process.exitCode = await commandLine(process.argv.slice(2))
} catch (error) {
  console.error(error)
  complain(
    'This is a fault of the program and not yours. What is in the book stays as it was; "fettlebook verify" proves it.',
  )
  process.exitCode = 1
}
