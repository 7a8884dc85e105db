/**
 * Usual intervals of upkeep, for the tasks that the sample boat keeps, with where each comes from. Where `published` is false the
 * interval is common practice, and what stands under `sources` bears on the work, not on the interval. All of it gives
 * way to the maker's manual.
 */
export interface UsualInterval {
  readonly name: string
  readonly everyHours?: number
  readonly everyMonths?: number
  readonly firstAtHours?: number
  /** The interval itself was read in a publication; else it is common practice, no source. */
  readonly published: boolean
  /** Publication, place in it, what it says. */
  readonly sources: readonly string[]
  readonly note?: string
}

/** By the name that sample-logs/upkeep.ts gives them. */
export const usualIntervals = {
  engineOil: {
    name: 'Change engine oil and filter',
    everyHours: 150,
    everyMonths: 12,
    firstAtHours: 50,
    published: true,
    sources: [
      'Boat diesel handbook extract, lubricating oil: oil and filter change, small boat diesel, general range 100-200 h or each season',
      "Transport Canada TP 14070, Appendix 4, sample maintenance schedule: oil and filter at the maker's hours or once a year, whichever first 12 months",
      'US Army TM 55-1930-209-14&P-19, Table 17-4, workboat PMCS: after an oil filter: idle, see normal pressure, look for leaks, re-read the dipstick',
    ],
    note: "150 h sits inside the published 100-200; set to the maker's figure",
  },
  separatorDrain: {
    name: 'Drain water and dirt from the separator',
    everyHours: 25,
    everyMonths: 1,
    published: false,
    sources: [
      'US Army TM 9-4120-405-13&P, Table 2-1 item 16e: drain water and sediment from fuel strainer and filters until clean',
    ],
    note: 'source says daily or before use',
  },
  separatorElement: {
    name: 'Renew the separator element',
    everyHours: 200,
    everyMonths: 12,
    published: false,
    sources: [],
  },
  engineFuelFilter: {
    name: 'Renew the engine fuel filter and bleed',
    everyHours: 300,
    everyMonths: 12,
    published: false,
    sources: [],
  },
  beltCheck: {
    name: 'Check belt tension, wear, dust and alignment',
    everyHours: 50,
    everyMonths: 1,
    published: false,
    sources: [
      'MIL-HDBK-1164 (water supply O&M), 6.7.1 belt drives: routine belt-tension check interval in one facilities handbook 7 d',
      'US Army TM 5-4310-339-15, para 5-5, belt tension: mid-span deflection used when reading belt tension by force 0.015625 in per in (m per m)',
    ],
    note: 'one handbook checks weekly; the rule of deflection is span/64',
  },
  beltRenewal: {
    name: 'Renew the belt or the whole set',
    everyHours: 1000,
    everyMonths: 60,
    published: false,
    sources: [
      'MIL-HDBK-1164 (water supply O&M), 6.7.1 belt drives: when one belt of a set needs replacing, fit a complete matched set',
      'Transport Canada TP 14070, Appendix 4, sample maintenance schedule: hoses and drive belts looked at and tightened often, renewed when worn or cracked',
    ],
    note: 'interval is common practice; the whole-set rule is sourced',
  },
  alternatorOutput: {
    name: 'Test charging output at a set speed, cold and hot',
    everyHours: 100,
    everyMonths: 6,
    published: false,
    sources: [
      'Yacht systems article, SAE cold rating against hot: hot output falls below the cold rating by up to 25 %',
    ],
  },
  strainer: {
    name: 'Clean the strainer; close the seacock first',
    everyHours: 25,
    everyMonths: 1,
    published: false,
    sources: [
      'US Army TM 55-1930-209-14&P-19, Table 9-3, cooling system: look at the sea-water impeller when overheating, and trace every missing vane',
    ],
  },
  impeller: {
    name: 'Open, look at the impeller and cam; renew',
    everyHours: 300,
    everyMonths: 12,
    published: false,
    sources: [
      'US Army TM 55-1930-209-14&P-19, Table 9-3, cooling system: look at the sea-water impeller when overheating, and trace every missing vane',
    ],
  },
  engineAnode: {
    name: 'Look at the engine anode; renew at half',
    everyHours: 200,
    everyMonths: 6,
    published: true,
    sources: [
      'US Army TM 55-1930-209-14&P-17, Table C-1, workboat PMCS: renew an anode when half gone 50 % wasted',
      'US Army TM 55-1930-209-14&P-17, Table C-1, workboat PMCS: engine anodes looked at 200 h',
    ],
  },
  heatExchanger: {
    name: 'Open and clean the heat exchanger',
    everyHours: 1000,
    everyMonths: 12,
    published: true,
    sources: [
      'US Army TM 55-1930-209-14&P-19, Table 9-3, cooling system: heat exchanger and coolers opened 1 season',
      'US Navy NAVEDTRA 14075, ch. 3, heat exchangers (1987): do not polish exchanger tubes; plug a leaking tube only as a temporary measure',
    ],
    note: 'the Army boat table opens it every season; many yachts go to two years and watch the temperature',
  },
  coolant: {
    name: 'Renew coolant; test antifreeze each year',
    everyMonths: 24,
    published: false,
    sources: [
      'University of Alaska Sea Grant, Coolants and cooling system maintenance (T. Johnson), Pacific Fishing, Feb 2001: antifreeze share from 30 to 60 %, never 100 %',
    ],
  },
  exhaustElbow: {
    name: 'Take off and look inside the mixing elbow',
    everyHours: 500,
    everyMonths: 24,
    published: false,
    sources: [],
  },
  exhaustHose: {
    name: 'Exhaust hose, clamps, muffler and outlet; check for leaks while running',
    everyHours: 100,
    everyMonths: 6,
    published: false,
    sources: [],
  },
  valves: {
    name: 'Check and set valve clearances',
    everyHours: 1000,
    firstAtHours: 50,
    published: false,
    sources: [],
  },
  airFilter: {
    name: 'Clean or renew the air filter or silencer',
    everyHours: 200,
    everyMonths: 12,
    published: false,
    sources: [],
  },
  gearboxOil: {
    name: 'Change gearbox oil',
    everyHours: 250,
    everyMonths: 12,
    firstAtHours: 50,
    published: false,
    sources: ["Transport Canada TP 14070, Appendix 4, sample maintenance schedule: gearbox oil: maker's hours"],
  },
  shaftSeal: {
    name: 'Stern gland or shaft seal, shaft bearing play',
    everyHours: 100,
    everyMonths: 6,
    published: false,
    sources: [],
  },
  layUp: {
    name: 'Winter lay-up: fresh oil, fogging, drain raw water, tanks full',
    everyMonths: 12,
    published: false,
    sources: [],
  },
  batteryRest: {
    name: "Read rest voltage after at least three hours' rest",
    everyMonths: 1,
    published: false,
    sources: [],
  },
  batteryGravity: {
    name: 'Specific gravity of every cell (flooded)',
    everyHours: 200,
    everyMonths: 3,
    published: true,
    sources: [
      'US Army TM 9-6140-200-14, 4-7: cell-to-cell SG difference on a full battery that condemns it 0.025 SG',
      'US Army TM 55-1930-209-14&P-19, Table 17-4, workboat PMCS: battery tie-downs, case, cables, electrolyte, corrosion 200 h',
    ],
  },
  bilgePump: {
    name: 'Run the pump on water; float switch and alarm',
    everyMonths: 1,
    published: false,
    sources: [],
  },
  seacocksExercised: {
    name: 'Work every seacock fully shut and open',
    everyMonths: 1,
    published: false,
    sources: ['Transport Canada TP 14070, Appendix 4, sample maintenance schedule: prove every seacock can be closed'],
  },
  seacocksStripped: {
    name: 'Ashore: strip, scrape-test metal, grease, renew doubtful ones',
    everyMonths: 24,
    published: false,
    sources: [
      "UK surveyors' page on seacocks, ISO 9093-1: ISO 9093-1 asks only this corrosion life of metal fittings 5 years",
      "UK surveyors' page on seacocks, ISO 9093-1: plain brass dezincifies in sea water; bronze or DZR lasts far longer",
    ],
  },
  hullAnodes: {
    name: 'Hull and shaft anodes; renew at half',
    everyMonths: 6,
    published: true,
    sources: ['US Army TM 55-1930-209-14&P-17, Table C-1, workboat PMCS: renew an anode when half gone 50 % wasted'],
  },
  antifouling: {
    name: 'Haul, wash, look, renew antifouling',
    everyMonths: 12,
    published: true,
    sources: ['Transport Canada TP 14070, Appendix 4, sample maintenance schedule: bottom paint 12 months'],
  },
  rigAloft: {
    name: 'Aloft: every terminal, sheave, tang, spreader end and light',
    everyMonths: 12,
    published: true,
    sources: [
      "Practical Sailor, do-it-yourself rig survey (Lanier), intervals: owner's own rig survey 12 months and before a long passage",
    ],
  },
  rigFromDeck: {
    name: 'From deck: pins, toggles, turnbuckles, strands, terminals',
    everyMonths: 1,
    published: false,
    sources: [],
  },
  liferaft: {
    name: 'Service at an approved station',
    everyMonths: 36,
    published: false,
    sources: [
      '46 CFR 160.151 / 131.580 family, servicing: inflatable liferaft service 12 months (commercial US rule family) (from memory)',
    ],
  },
  lifejackets: {
    name: 'Weigh cylinders, inflate overnight, firing-head date',
    everyMonths: 12,
    published: false,
    sources: [],
  },
  gasLeak: {
    name: 'Bubble test or gauge test; shut-off and locker drain',
    everyMonths: 0.25,
    published: false,
    sources: [
      'Boat Safety Scheme (UK), bubble leak detectors; registered installers: LPG system leak check 1-12 weeks by bubble detector; pressure test yearly',
    ],
    note: '0.25 month stands for weekly in use',
  },
  heater: {
    name: 'Service burner; check the exhaust for leaks',
    everyMonths: 12,
    published: false,
    sources: [],
  },
  windlass: {
    name: 'Gear oil, clutch, motor terminals, foot switch',
    everyMonths: 12,
    published: false,
    sources: [],
  },
} as const satisfies Record<string, UsualInterval>
