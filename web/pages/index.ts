import type { Page } from '../page.ts'
import { due } from './due.tsx'
import { entry } from './entry.tsx'
import { equipment } from './equipment.tsx'
import { forecasts } from './forecasts.tsx'
import { indexPage } from './index-page.tsx'
import { log } from './log.tsx'
import { rounds } from './rounds.tsx'
import { task } from './task.tsx'
import { today } from './today.tsx'
import { writeEngine } from './write-engine.tsx'
import { writeHours } from './write-hours.tsx'
import { writeKind } from './write-kind.tsx'
import { writePassage } from './write-passage.tsx'
import { writeReadings } from './write-readings.tsx'
import { writeService } from './write-service.tsx'

/** Every page there is, in the order of their tabs; the forms of their own stand before the one that makes a form of any kind. */
export const pages: Page[] = [
  today,
  log,
  entry,
  due,
  task,
  forecasts,
  rounds,
  equipment,
  writeEngine,
  writePassage,
  writeHours,
  writeReadings,
  writeService,
  writeKind,
  indexPage,
]
