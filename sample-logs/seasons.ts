import { type PlaceKey, places } from './places.ts'

/** One leg: when she leaves, by the clock where she lies, and where she goes. */
export interface Leg {
  /** YYYY-MM-DD. */
  readonly on: string
  /** HH:MM. */
  readonly at: string
  readonly to: PlaceKey
}

/** One sailing season. */
export interface Season {
  readonly year: number
  /** Days of spring work ashore, YYYY-MM-DD; on the last she is launched. */
  readonly spring: readonly string[]
  readonly legs: readonly Leg[]
  /** The day on which she is lifted out, and the days of work that follow; none while the season is not over. */
  readonly layUp: readonly string[]
  /** Days in the winter that follows on which somebody looks at her. */
  readonly winter: readonly string[]
  /** How likely a day of little wind is, 0 to 1: use rises with it. */
  readonly calm: number
}

function legs(year: number, table: string): Leg[] {
  return table
    .trim()
    .split('\n')
    .map((row) => {
      const [on, at, to] = row.trim().split(/\s+/)
      if (on === undefined || at === undefined || to === undefined || !(to in places))
        throw new Error(`Not a leg: ${row}`)
      return { on: `${year}-${on}`, at, to: to as PlaceKey }
    })
}

/** Her home berth. */
export const home: PlaceKey = 'svendborg'

/** Three seasons from Svendborg; the third is under way when the log ends, at Kalmar on 22 August 2026. */
export const seasons: readonly Season[] = [
  {
    year: 2024,
    spring: ['2024-04-13', '2024-04-20', '2024-04-27'],
    legs: legs(
      2024,
      `
      05-04 10:00 aeroskobing
      05-05 11:00 svendborg
      05-18 09:00 lohals
      05-19 09:30 kerteminde
      05-20 09:00 svendborg
      06-01 10:00 marstal
      06-02 09:30 faaborg
      06-03 10:30 svendborg
      06-22 08:30 bagenkop
      06-23 06:00 gedser
      06-25 09:00 klintholm
      06-26 04:30 ronne
      06-29 10:00 hammerhavn
      06-30 10:30 christianso
      07-02 07:00 utklippan
      07-03 09:30 kristianopel
      07-05 09:00 kalmar
      07-07 10:00 borgholm
      07-08 09:00 byxelkrok
      07-10 07:00 visby
      07-14 10:00 lickershamn
      07-15 09:30 farosund
      07-17 08:30 visby
      07-19 05:30 vastervik
      07-21 09:00 oskarshamn
      07-22 08:00 kalmar
      07-24 09:30 kristianopel
      07-25 10:00 karlskrona
      07-28 05:00 simrishamn
      07-30 09:00 ystad
      07-31 06:00 klintholm
      08-02 10:00 stubbekobing
      08-03 11:00 vordingborg
      08-04 09:00 omo
      08-05 09:30 svendborg
      08-24 10:00 aeroskobing
      08-25 12:00 svendborg
      09-07 10:00 marstal
      09-08 11:00 svendborg
      `,
    ),
    layUp: ['2024-10-12', '2024-10-13', '2024-10-19'],
    winter: ['2024-11-16', '2024-12-14', '2025-01-18', '2025-02-15'],
    calm: 0.36,
  },
  {
    year: 2025,
    spring: ['2025-03-30', '2025-04-12', '2025-04-26'],
    legs: legs(
      2025,
      `
      05-03 10:00 marstal
      05-04 11:00 svendborg
      05-17 06:30 ballen
      05-18 10:00 tuno
      05-19 09:00 kerteminde
      05-20 09:30 svendborg
      06-14 08:00 bagenkop
      06-15 05:30 gedser
      06-16 09:00 klintholm
      06-17 05:00 ystad
      06-19 09:30 simrishamn
      06-20 05:30 utklippan
      06-21 07:00 kalmar
      06-23 10:00 borgholm
      06-24 08:30 byxelkrok
      06-25 09:00 vastervik
      06-27 06:00 arkosund
      06-28 06:30 nynashamn
      06-30 11:00 uto
      07-01 08:30 sandhamn
      07-03 09:00 furusund
      07-04 10:00 arholma
      07-05 08:00 mariehamn
      07-08 09:30 kastelholm
      07-10 10:00 degerby
      07-11 11:00 rodhamn
      07-12 10:30 mariehamn
      07-15 07:30 arholma
      07-16 07:00 sandhamn
      07-17 10:00 huvudskar
      07-18 04:00 visby
      07-22 10:30 klintehamn
      07-23 08:00 byxelkrok
      07-24 09:30 borgholm
      07-25 10:00 kalmar
      07-27 09:00 kristianopel
      07-28 09:30 karlskrona
      07-31 05:00 simrishamn
      08-01 09:00 ronne
      08-04 05:00 klintholm
      08-06 10:30 stubbekobing
      08-07 11:00 vordingborg
      08-08 09:00 omo
      08-09 09:30 svendborg
      08-23 10:00 faaborg
      08-24 11:30 svendborg
      09-20 10:00 lohals
      09-21 10:30 svendborg
      10-24 10:00 kerteminde
      10-25 21:40 svendborg
      `,
    ),
    layUp: ['2025-10-28', '2025-11-01', '2025-11-02'],
    winter: ['2025-11-22', '2025-12-28', '2026-01-24', '2026-02-21'],
    calm: 0.37,
  },
  {
    year: 2026,
    spring: ['2026-03-29', '2026-04-04', '2026-04-18'],
    legs: legs(
      2026,
      `
      04-25 10:30 aeroskobing
      04-26 11:00 svendborg
      05-14 08:30 kerteminde
      05-15 09:30 ballen
      05-16 09:00 kerteminde
      05-17 09:30 svendborg
      05-30 08:00 bagenkop
      05-31 04:30 klintholm
      06-02 04:30 ronne
      06-04 09:00 christianso
      06-06 07:30 utklippan
      06-07 09:00 kristianopel
      06-08 09:30 kalmar
      06-10 10:00 borgholm
      06-11 08:30 byxelkrok
      06-12 07:00 visby
      06-15 09:00 farosund
      06-17 04:00 nynashamn
      06-19 11:00 uto
      06-20 09:00 sandhamn
      06-22 09:30 furusund
      06-23 10:00 arholma
      06-24 07:30 oregrund
      06-26 08:00 karingsund
      06-28 10:00 mariehamn
      07-01 10:00 kastelholm
      07-03 10:30 degerby
      07-05 09:30 kokar
      07-07 09:00 rodhamn
      07-08 11:00 mariehamn
      07-11 12:00 rodhamn
      07-12 05:00 sandhamn
      07-14 10:00 huvudskar
      07-15 04:00 visby
      07-19 10:30 lickershamn
      07-20 09:30 farosund
      07-22 08:00 ronehamn
      07-24 05:00 byxelkrok
      07-26 09:00 vastervik
      07-28 06:30 arkosund
      07-30 07:00 nynashamn
      08-01 10:00 landsort
      08-02 05:00 visby
      08-06 10:00 klintehamn
      08-07 07:30 byxelkrok
      08-09 10:00 oskarshamn
      08-11 09:00 vastervik
      08-14 09:30 byxelkrok
      08-16 09:00 borgholm
      08-17 10:30 kalmar
      08-20 09:00 kristianopel
      08-21 09:30 kalmar
      `,
    ),
    layUp: [],
    winter: [],
    calm: 0.64,
  },
]

/** The moment at which the log ends, by the clock aboard: the pinned "now" of the sample. */
export const lastEvening = '2026-08-22T21:30'
