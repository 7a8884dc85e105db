import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

/** Kills by the hundred: minutes, not seconds, so apart from the tests of every day. */
export default defineConfig({
  root: fileURLToPath(new URL('../..', import.meta.url)),
  test: {
    include: ['tests/faults/**/*.test.ts'],
    testTimeout: 1_800_000,
    hookTimeout: 180_000,
    fileParallelism: false,
  },
})
