import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    exclude: ['tests/faults/**'],
    testTimeout: 30_000,
    hookTimeout: 60_000,
    // Two cores; much of the time is spent waiting for processes and the browser.
    maxWorkers: 3,
  },
})
