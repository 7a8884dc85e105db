import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { type Browser, chromium } from 'playwright-core'

const executablePath = '/usr/bin/chromium'

/**
 * Whether the browser tests can run. Where Debian's Chromium is missing they are left out, loudly; under CI=true that is a failure.
 */
export function hasChromium(): boolean {
  if (existsSync(executablePath)) return true
  const words = `Browser tests were LEFT OUT: there is no ${executablePath}. Install it with "apt-get install chromium".`
  if (process.env.CI === 'true') throw new Error(words)
  console.warn(`\n*** ${words}\n`)
  return false
}

/** A real Chromium, headless, that speaks to this machine alone. */
export const openChromium = (): Promise<Browser> =>
  chromium.launch({
    executablePath,
    args: [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  })

/** A server in a process of its own, as an owner starts it. */
export interface Served {
  readonly address: string
  readonly process: ChildProcess
  stop(): Promise<void>
}

/** Starts `fettlebook` with these words and waits for its address. */
export async function serveWith(...words: string[]): Promise<Served> {
  const main = fileURLToPath(new URL('../../server/main.ts', import.meta.url))
  const process_ = spawn(process.execPath, ['--import', 'tsx', main, ...words], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const ended = new Promise<void>((resolve) => process_.once('exit', () => resolve()))
  const address = await new Promise<string>((resolve, reject) => {
    createInterface({ input: process_.stdout! }).on('line', (line) => {
      const found = /https?:\/\/\S+/.exec(line)
      if (found) resolve(found[0].replace(/\/$/, ''))
    })
    process_.once('exit', (code) => reject(new Error(`The server ended with ${code} before it said where it is.`)))
  })
  return {
    address,
    process: process_,
    stop: async () => {
      process_.kill('SIGTERM')
      await ended
    },
  }
}
