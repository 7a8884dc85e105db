/** A harbour or an anchorage; position to a cable or two, enough to tell a leg that cannot be. */
export interface Place {
  readonly name: string
  readonly latitude: number
  readonly longitude: number
  readonly zone: 'Europe/Copenhagen' | 'Europe/Stockholm' | 'Europe/Mariehamn'
  readonly lying: 'alongside' | 'at anchor' | 'on a mooring'
  /** Diesel can be had. */
  readonly fuel: boolean
  /** Water can be had. */
  readonly water: boolean
}

const danish = 'Europe/Copenhagen'
const swedish = 'Europe/Stockholm'
const aland = 'Europe/Mariehamn'

const harbour = (
  name: string,
  latitude: number,
  longitude: number,
  zone: Place['zone'],
  has: { fuel?: boolean; water?: boolean; lying?: Place['lying'] } = {},
): Place => ({ name, latitude, longitude, zone, lying: 'alongside', fuel: false, water: true, ...has })

const anchorage = (name: string, latitude: number, longitude: number, zone: Place['zone']): Place =>
  harbour(name, latitude, longitude, zone, { lying: 'at anchor', water: false })

/** Where she goes. Positions from memory of the charts, rounded to a hundredth of a degree. */
export const places = {
  svendborg: harbour('Svendborg', 55.06, 10.62, danish, { fuel: true }),
  aeroskobing: harbour('Ærøskøbing', 54.89, 10.41, danish),
  marstal: harbour('Marstal', 54.86, 10.52, danish, { fuel: true }),
  faaborg: harbour('Faaborg', 55.1, 10.24, danish),
  lohals: harbour('Lohals', 55.13, 10.9, danish),
  kerteminde: harbour('Kerteminde', 55.45, 10.66, danish, { fuel: true }),
  ballen: harbour('Ballen', 55.82, 10.65, danish),
  tuno: harbour('Tunø', 55.95, 10.45, danish),
  bagenkop: harbour('Bagenkop', 54.75, 10.67, danish, { fuel: true }),
  gedser: harbour('Gedser', 54.57, 11.93, danish, { fuel: true }),
  klintholm: harbour('Klintholm', 54.95, 12.47, danish, { fuel: true }),
  stubbekobing: harbour('Stubbekøbing', 54.89, 12.04, danish),
  vordingborg: harbour('Vordingborg', 55.0, 11.91, danish),
  omo: harbour('Omø', 55.16, 11.16, danish),
  ronne: harbour('Rønne', 55.1, 14.69, danish, { fuel: true }),
  hammerhavn: harbour('Hammerhavn', 55.28, 14.75, danish),
  christianso: harbour('Christiansø', 55.32, 15.19, danish, { water: false }),
  ystad: harbour('Ystad', 55.42, 13.82, swedish, { fuel: true }),
  simrishamn: harbour('Simrishamn', 55.56, 14.36, swedish, { fuel: true }),
  karlskrona: harbour('Karlskrona', 56.16, 15.59, swedish, { fuel: true }),
  utklippan: harbour('Utklippan', 55.95, 15.7, swedish, { water: false }),
  kristianopel: harbour('Kristianopel', 56.26, 16.05, swedish),
  kalmar: harbour('Kalmar', 56.66, 16.37, swedish, { fuel: true }),
  borgholm: harbour('Borgholm', 56.88, 16.65, swedish, { fuel: true }),
  byxelkrok: harbour('Byxelkrok', 57.33, 17.01, swedish, { fuel: true }),
  oskarshamn: harbour('Oskarshamn', 57.27, 16.46, swedish, { fuel: true }),
  vastervik: harbour('Västervik', 57.76, 16.65, swedish, { fuel: true }),
  visby: harbour('Visby', 57.64, 18.28, swedish, { fuel: true }),
  lickershamn: harbour('Lickershamn', 57.83, 18.51, swedish),
  farosund: harbour('Fårösund', 57.86, 19.06, swedish, { fuel: true }),
  ronehamn: harbour('Ronehamn', 57.17, 18.51, swedish),
  klintehamn: harbour('Klintehamn', 57.39, 18.19, swedish),
  arkosund: harbour('Arkösund', 58.49, 16.94, swedish, { fuel: true }),
  nynashamn: harbour('Nynäshamn', 58.9, 17.95, swedish, { fuel: true }),
  landsort: harbour('Landsort', 58.74, 17.87, swedish, { water: false }),
  uto: anchorage('Utö', 58.97, 18.26, swedish),
  huvudskar: anchorage('Huvudskär', 58.96, 18.57, swedish),
  sandhamn: harbour('Sandhamn', 59.29, 18.92, swedish, { fuel: true, lying: 'on a mooring' }),
  furusund: harbour('Furusund', 59.66, 18.92, swedish, { fuel: true }),
  arholma: anchorage('Arholma', 59.85, 19.13, swedish),
  oregrund: harbour('Öregrund', 60.34, 18.44, swedish, { fuel: true }),
  karingsund: harbour('Käringsund', 60.23, 19.54, aland),
  mariehamn: harbour('Mariehamn', 60.1, 19.93, aland, { fuel: true }),
  kastelholm: anchorage('Kastelholm', 60.23, 20.08, aland),
  degerby: harbour('Degerby', 60.03, 20.38, aland, { fuel: true }),
  kokar: harbour('Kökar', 59.92, 20.91, aland),
  rodhamn: anchorage('Rödhamn', 59.99, 20.1, aland),
} as const satisfies Record<string, Place>

/** The key of a place. */
export type PlaceKey = keyof typeof places

/**
 * Miles from berth to berth as the chart gives them, round what lies between, without beating. Either way is the same.
 * Never less than the geodesic, which a test holds them to.
 */
const routes: Record<string, number> = {
  'svendborg aeroskobing': 14,
  'svendborg marstal': 17,
  'svendborg faaborg': 16,
  'svendborg lohals': 14,
  'svendborg kerteminde': 32,
  'svendborg ballen': 54,
  'svendborg bagenkop': 24,
  'svendborg omo': 26,
  'marstal faaborg': 22,
  'lohals kerteminde': 24,
  'kerteminde ballen': 26,
  'kerteminde tuno': 35,
  'ballen tuno': 13,
  'bagenkop gedser': 48,
  'bagenkop klintholm': 79,
  'gedser klintholm': 34,
  'klintholm ronne': 80,
  'klintholm ystad': 56,
  'klintholm stubbekobing': 20,
  'stubbekobing vordingborg': 11,
  'vordingborg omo': 33,
  'ronne hammerhavn': 12,
  'ronne christianso': 29,
  'ronne simrishamn': 32,
  'hammerhavn christianso': 16,
  'christianso utklippan': 43,
  'utklippan kristianopel': 24,
  'utklippan kalmar': 51,
  'utklippan simrishamn': 53,
  'kristianopel kalmar': 28,
  'kristianopel karlskrona': 24,
  'kalmar borgholm': 19,
  'borgholm byxelkrok': 31,
  'byxelkrok visby': 46,
  'byxelkrok vastervik': 30,
  'byxelkrok klintehamn': 39,
  'byxelkrok ronehamn': 66,
  'byxelkrok oskarshamn': 20,
  'visby lickershamn': 16,
  'visby farosund': 38,
  'visby vastervik': 56,
  'visby klintehamn': 20,
  'visby huvudskar': 82,
  'visby landsort': 70,
  'lickershamn farosund': 25,
  'farosund nynashamn': 75,
  'farosund ronehamn': 48,
  'vastervik oskarshamn': 33,
  'vastervik arkosund': 51,
  'oskarshamn kalmar': 40,
  'karlskrona simrishamn': 60,
  'simrishamn ystad': 28,
  'arkosund nynashamn': 47,
  'nynashamn uto': 14,
  'nynashamn landsort': 13,
  'uto sandhamn': 31,
  'huvudskar sandhamn': 25,
  'sandhamn furusund': 26,
  'sandhamn arholma': 40,
  'sandhamn rodhamn': 58,
  'furusund arholma': 17,
  'arholma mariehamn': 32,
  'arholma oregrund': 42,
  'oregrund karingsund': 36,
  'karingsund mariehamn': 24,
  'mariehamn kastelholm': 26,
  'mariehamn rodhamn': 10,
  'kastelholm degerby': 20,
  'degerby rodhamn': 13,
  'degerby kokar': 22,
  'kokar rodhamn': 28,
}

/** Miles from one place to another along the chart. @throws when nobody has measured that leg: a gap in the table above. */
export function miles(from: PlaceKey, to: PlaceKey): number {
  const there = routes[`${from} ${to}`] ?? routes[`${to} ${from}`]
  if (there === undefined) throw new Error(`No route from ${from} to ${to}`)
  return there
}

/** Every leg of the table, for the check against the geodesic. */
export const measuredRoutes = (): { from: PlaceKey; to: PlaceKey; miles: number }[] =>
  Object.entries(routes).map(([pair, distance]) => {
    const [from, to] = pair.split(' ') as [PlaceKey, PlaceKey]
    return { from, to, miles: distance }
  })

/**
 * Sea temperature at a place on a day of the year, degrees Celsius: a year's wave, warmest on 10 August, 0.6 K less for each degree
 * north of 55. Common knowledge of the Baltic's surface, no source: within two or three degrees.
 */
export function seaCelsius(latitude: number, dayOfYear: number): number {
  const wave = Math.cos((2 * Math.PI * (dayOfYear - 222)) / 365)
  return Math.max(0.5, 10.6 + 8.6 * wave - 0.6 * (latitude - 55))
}
