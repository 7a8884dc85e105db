import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { copyFileSync, mkdtempSync, rmSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, afterEach, beforeAll } from 'vitest'

const root = fileURLToPath(new URL('../..', import.meta.url))

/** The program built once for each test file, as the package ships it: it begins three times as fast as from the sources. */
let main = ''

/** The file of the built program; it can be run as it is. */
export const program = (): string => main

beforeAll(() => {
  const folder = mkdtempSync(join(tmpdir(), 'fettlebook-built-'))
  main = join(folder, 'dist/server/main.js')
  copyFileSync(join(root, 'package.json'), join(folder, 'package.json'))
  symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'))
  // Types are checked elsewhere; here they would cost more than all that is run.
  const build = ['--import', 'tsx', 'server/build.ts', join(folder, 'dist'), '--no-check']
  const { status, stderr } = spawnSync(process.execPath, build, { cwd: root, encoding: 'utf8' })
  if (status !== 0) throw new Error(`The build failed: ${stderr}`)
}, 180_000)

afterAll(() => rmSync(join(main, '../../..'), { recursive: true, force: true }))

const alive = new Set<ChildProcess>()
const endAll = () => {
  for (const child of alive) child.kill('SIGKILL')
}
afterEach(endAll)

/** What a command line gave. */
export interface Ran {
  code: number | null
  signal: NodeJS.Signals | null
  out: string
  err: string
}

/** Where and with what a command line is run. */
export interface Circumstances {
  input?: string | Buffer
  env?: Record<string, string>
  cwd?: string
  /** What is run with the arguments; default: Node with the built program. */
  by?: readonly string[]
}

/** Starts the command line in a process of its own; it is ended with the test, whatever becomes of it. */
export function start(
  args: readonly string[],
  circumstances: Circumstances = {},
): ChildProcess & { ran: Promise<Ran> } {
  const { input, env = {}, cwd = root, by = [process.execPath, main] } = circumstances
  const child = spawn(by[0]!, [...by.slice(1), ...args], { cwd, env: { ...process.env, ...env } })
  alive.add(child)
  child.on('close', () => alive.delete(child))
  let out = ''
  let err = ''
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    out += text
  })
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    err += text
  })
  // A verb that reads no input may be gone before its input is.
  child.stdin.on('error', () => {})
  child.stdin.end(input)
  const ran = new Promise<Ran>((resolve, reject) => {
    child.on('error', reject)
    child.on('close', (code, signal) => resolve({ code, signal, out, err }))
  })
  return Object.assign(child, { ran })
}

/** Runs the command line to its end. */
export const fettlebook = (args: readonly string[], circumstances?: Circumstances): Promise<Ran> =>
  start(args, circumstances).ran

/** Starts a verb that serves, and waits until it has printed its address. */
export async function serving(
  args: readonly string[],
  circumstances?: Circumstances,
): Promise<{ address: string; said: string; pid: number; stop(signal: NodeJS.Signals): Promise<Ran> }> {
  const child = start(args, circumstances)
  let said = ''
  const address = await new Promise<string>((resolve, reject) => {
    child.stdout!.on('data', (text: string) => {
      said += text
      const found = /^(http:\/\/\S+)$/m.exec(said)
      if (found) resolve(found[1]!)
    })
    child.ran.then(({ code, err }) => reject(new Error(`ended with ${code} before it served: ${err}`)), reject)
  })
  return {
    address,
    said,
    pid: child.pid!,
    stop(signal) {
      child.kill(signal)
      return child.ran
    },
  }
}
