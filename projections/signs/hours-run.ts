/**
 * Engine hours for the judgement: summed from one believable step of the meter to the next, so that what was known at a moment is all that
 * it takes. The hours curve knows better, but looks both ways in time.
 */
export interface HoursRun {
  /** Hours run since the log began. */
  readonly hours: number
  /** The last reading that was believed; null before the first. */
  readonly meter: number | null
  readonly at: number
  /** A reading that was not believed: a second one that agrees with it is. */
  readonly doubted: { readonly meter: number; readonly at: number } | null
}

const hourMs = 3_600_000

/** Before any reading. */
export const noHours: HoursRun = { hours: 0, meter: null, at: Number.NEGATIVE_INFINITY, doubted: null }

/** A meter that counts revolutions runs a little ahead of the clock, and clocks are read roughly. Common practice, no source. */
const ahead = 1.3
const slack = 0.3

/** From one reading to the next no owner of a yacht runs more than this share of the time over more than two days. */
const mostOfTime = 0.6

const believable = (from: { meter: number; at: number }, meter: number, at: number): boolean => {
  const step = meter - from.meter
  const clock = Math.max(0, at - from.at) / hourMs
  return step >= -0.11 && step <= Math.min(clock * ahead, 48 + clock * mostOfTime) + slack && step <= 150
}

/** The hours with one reading of the meter more. */
export function readHours(known: HoursRun, meter: number, at: number): HoursRun {
  if (known.meter === null) return { ...known, meter, at, doubted: null }
  if (believable({ meter: known.meter, at: known.at }, meter, at))
    return {
      hours: known.hours + Math.max(0, meter - known.meter),
      meter: Math.max(meter, known.meter),
      at,
      doubted: null,
    }
  // Another meter, or the one before was mistyped: the hours between are not known, and not counted.
  if (known.doubted !== null && believable(known.doubted, meter, at))
    return { hours: known.hours + Math.max(0, meter - known.doubted.meter), meter, at, doubted: null }
  return { ...known, doubted: { meter, at } }
}

/** Readings or starts further apart than this are of another stretch of running. Milliseconds. */
const anotherStretch = 3 * hourMs

/** Hours that a stretch of running is taken for where no meter was ever read. Common practice, no source. */
const aStretch = 1

/** The hours with one reading or start more in a log where no meter has been read so far; unchanged where one has. */
export const ranUnread = (known: HoursRun, at: number): HoursRun =>
  known.meter === null && at - known.at > anotherStretch ? { ...known, hours: known.hours + aStretch, at } : known
