import type { Page } from '../page.ts'

/** Every page there is, in the order of their tabs. */
export const pages: Page[] = []
