import { sampleBoat } from './generate.ts'

// The sample boat as JSON Lines on standard output, ready for `fettlebook write`; a number after it is another seed.
const asked = process.argv[2]
const seed = asked === undefined ? undefined : Number(asked)
if (seed !== undefined && !Number.isInteger(seed)) {
  process.stderr.write(`Got "${asked}", expected a whole number, or nothing for the usual sample.\n`)
  process.exitCode = 2
} else {
  const { lines } = seed === undefined ? sampleBoat() : sampleBoat(seed)
  process.stdout.write(lines.map((line) => `${JSON.stringify(line)}\n`).join(''))
}
