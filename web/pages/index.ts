import type { Page } from '../page.ts'
import { due } from './due.tsx'
import { equipment } from './equipment.tsx'
import { indexPage } from './index-page.tsx'
import { log } from './log.tsx'
import { today } from './today.tsx'

/** Every page there is, in the order of their tabs. */
export const pages: Page[] = [today, log, due, equipment, indexPage]
