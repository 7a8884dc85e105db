import type { Data, Entry, EntryType } from '../../../events/index.ts'
import { type Random, random } from '../../../sample-logs/random.ts'
import { given, type Over } from '../../projections/entries.ts'
import { acceptance, type Bank, type BankKind, bulkVolts, sunAmps } from './bank.ts'
import { type Drive, type DriveState, freshDrive, fullOutput, mostAsked, running, slipTorque, wearOn } from './drive.ts'
import { drawFault, type Fault, type FaultKind, isBeltFault, suffer } from './faults.ts'
import { drawOwner, gradeOf, type Owner, typed } from './owner.ts'

/** What a prompted owner follows: it is told each entry as it is written and says which readings are wanted. */
export interface Prompter {
  record(entry: Entry): void
  /** @param now milliseconds */
  wanted(now: number): readonly string[]
}

/** A moment by the clock and by the engine. */
export interface Moment {
  readonly at: number
  readonly hours: number
}

/** What is true of a boat and what no log knows. */
export interface BoatTruth {
  readonly fault: Fault | null
  /** When the fault began; when full output had fallen by 5 %; when the belt failed; null where it did not. */
  readonly began: Moment | null
  readonly fallen: Moment | null
  readonly failed: Moment | null
  readonly seasons: number
  /** Readings with speed, amps and volts, taken in true bulk, the alternator at its limit; moments in milliseconds. */
  readonly bulkReadings: readonly number[]
  /** Engine hours truly run at a moment. */
  hoursAt(at: number): number
  readonly bank: BankKind
}

/** A made-up boat: her entries in the order in which they were written down, and the truth. */
export interface MadeUpBoat {
  readonly entries: readonly Entry[]
  readonly truth: BoatTruth
}

const minute = 60_000
const hour = 60 * minute
const day = 24 * hour
const stepHours = 1 / 12

/**
 * A boat used, kept and, it may be, failing: the same number gives the same boat. Healthy ones sail two or three seasons; with a fault the
 * log goes on until the belt has failed (or 250 hours, where so little is asked of it that it does not), or until 70 hours after an
 * alternator's fault has done its worst; eight seasons at most.
 */
export function madeUpBoat(start: number, plan: { fault: FaultKind | null; prompter?: Prompter }): MadeUpBoat {
  const draws = (stream: string) => random(start, stream)
  const owner = drawOwner(draws('owner'))
  const { drive, strength } = drawDrive(draws('drive'))
  const bank = drawBank(draws('bank'), drive)
  const use = draws('use')
  const pen = draws('pen')
  const traits = drawTraits(draws('boat'), owner)
  const fault = plan.fault === null ? null : drawFault(plan.fault, draws('fault').between(35, 90), draws('course'))
  const state = freshDrive(drive)
  const seasonsPlanned = fault === null ? use.whole(2, 3) : 8

  const book = given()
  const held: { at: number; write: () => void }[] = []
  let told = 0
  const tell = () => {
    for (; told < book.entries.length; told++) plan.prompter?.record(book.entries[told]!)
  }
  const iso = (at: number) => new Date(at).toISOString()
  const put = <T extends EntryType>(type: T, at: number, data: Data<T>, over: Over) =>
    book.write(type, iso(at), data, over)
  /** Writes what is due to have been written down by now. */
  const flush = (until: number) => {
    held.sort((a, b) => a.at - b.at)
    while (held.length > 0 && held[0]!.at <= until) held.shift()!.write()
    tell()
  }
  const write = <T extends EntryType>(type: T, at: number, data: Data<T>) => {
    const after = pen.chance(owner.late) ? pen.between(0.5, 6) * day : pen.between(1, 25) * minute
    held.push({ at: at + after, write: () => put(type, at, data, { recordedAt: iso(at + after) }) })
  }

  const began0 = Date.parse('2021-04-20T08:00:00Z') + use.whole(0, 15) * day
  let hours = 0
  const shownFrom = traits.meterStart
  let charge = 1
  const clock: { from: number; to: number; before: number }[] = []
  const bulkReadings: number[] = []
  let fallen: Moment | null = null
  let failed: Moment | null = null
  let began: Moment | null = null
  let tensionedAt = 0
  let torqueAt = 0
  let over = false
  const meter = () => Number((Math.floor((shownFrom + hours) * 10) / 10).toFixed(1))

  fitOut()
  let seasons = 0
  for (; seasons < seasonsPlanned && !over; ) {
    const spring = began0 + seasons * 365 * day
    if (seasons > 0) layUpWork(spring)
    seasons++
    const end = spring + use.between(115, 160) * day
    for (let at = spring + use.between(1, 10) * day; at < end && !over; at += day) {
      if (!use.chance(traits.usedDays)) {
        rest(day / hour, at)
        continue
      }
      sailDay(at - ((at - 8 * hour) % day) + use.between(-1, 3) * hour)
    }
    charge = 1
    flush(end + 20 * day)
  }
  flush(Number.POSITIVE_INFINITY)
  return {
    entries: book.entries,
    truth: { fault, began, fallen, failed, seasons, bulkReadings, hoursAt, bank: bank.kind },
  }

  function fitOut(): void {
    const put0 = <T extends EntryType>(type: T, data: Data<T>) => put(type, began0 - 3 * day, data, {})
    put0('book-set', { boat: 'Made-up', zone: 'UTC' })
    put0('equipment-fitted', { equipment: 'engine', name: 'Engine', kind: 'engine' })
    put0('equipment-fitted', {
      equipment: 'house-bank',
      name: 'House bank',
      kind: 'battery bank',
      batteryKind: bank.kind,
      capacity: { value: bank.capacity, unit: 'A.h' },
    })
    put0('equipment-fitted', {
      equipment: 'alternator',
      name: 'Alternator',
      kind: 'alternator',
      partOf: 'engine',
      charges: 'house-bank',
      ...(traits.saysRated ? { ratedAmps: { value: drive.ratedAmps, unit: 'A' as const } } : {}),
      ...(traits.saysReadAt ? { ampsReadAt: traits.ampsReadAt } : {}),
    })
    put0('equipment-fitted', {
      equipment: 'belt',
      name: 'Alternator belt',
      kind: 'belt',
      partOf: 'engine',
      drives: 'alternator',
      ...(traits.saysRatio ? { speedRatio: Number(drive.ratio.toFixed(2)) } : {}),
      ...(traits.saysAsSet ? { slipTorqueAsSet: newtonMetres(drive.asSet) } : {}),
    })
    if (bank.solar > 0)
      put0('equipment-fitted', { equipment: 'solar', name: 'Solar panels', kind: 'solar panel', charges: 'house-bank' })
    put0('meter-fitted', {
      meter: 'engine-hours',
      name: 'Engine hours',
      equipment: 'engine',
      counts: 'hours',
      kind: 'true running',
      reading: meter(),
    })
    tell()
  }

  function sailDay(from: number): void {
    flush(from - 20 * minute)
    const wanted = plan.prompter?.wanted(from - 20 * minute) ?? []
    const asked = (what: string, willing = owner.answers) => wanted.includes(what) && pen.chance(willing)
    const sky = use.between(0, 1)
    const lookAsked = asked('dust')
    if (lookAsked || pen.chance(owner.looks)) look(from - 15 * minute, lookAsked)
    if (asked('torque', owner.answers * 0.6) || hours - torqueAt > owner.torqueEvery) checkTorque(from - 10 * minute)
    if (fault === null || hours < fault.from) {
      if (hours - tensionedAt > owner.tensionsEvery || slipTorque(state) < 0.7 * state.tensioned)
        tension(from - 9 * minute)
    }
    let at = from
    // Asked for a reading from low, some leave the charger off and the loads on the night before.
    const fromLow = asked('output from low', owner.answers * 0.6)
    if (fromLow) charge = Math.max(0.5, Math.min(charge, use.between(0.65, 0.8)))
    const wantsReading = asked('output') || fromLow || asked('output from low')
    const runs = planRuns()
    runs.forEach(({ rpm, lasts }, index) => {
      if (over) return
      run(at, rpm, lasts, sky, wantsReading && index === 0)
      const pause = use.between(0.5, 4)
      rest(pause, at + lasts * hour)
      at += (lasts + pause) * hour
    })
    rest(Math.max(0, 24 - (at - from) / hour), at)
    if (over) look(at, true)
  }

  function planRuns(): { rpm: number; lasts: number }[] {
    const cruise = traits.cruise + use.between(-150, 150)
    const harbour = () => ({ rpm: use.between(1150, 1700), lasts: use.between(0.2, 0.6) })
    const kind = use.between(0, 1)
    if (kind < traits.atAnchor) return [{ rpm: use.between(1150, 1500), lasts: use.between(0.7, 1.6) }]
    if (kind < traits.atAnchor + 0.35) return [harbour(), { rpm: cruise, lasts: use.between(1, 5) }, harbour()]
    return [harbour(), harbour()]
  }

  /** Lets time pass with the engine stopped. */
  function rest(elapsed: number, at: number): void {
    if (elapsed <= 0) return
    const shore = traits.shore && use.chance(0.3)
    const sun = elapsed > 12 ? sunAmps(bank, 13, 0.5) * 0.35 : sunAmps(bank, (at / hour) % 24, 0.5)
    const net = shore ? 20 : sun - bank.draw
    charge = Math.max(0.35, Math.min(1, charge + (net * elapsed) / bank.capacity))
  }

  function run(at: number, rpm: number, lasts: number, sky: number, asked: boolean): void {
    const before = hours
    if (owner.writesRuns)
      write('engine-started', at, { equipment: 'engine', ...(pen.chance(owner.has.hours) ? { hours: inHours() } : {}) })
    const length = Math.round(lasts * 60)
    // Asked for a reading she takes it in the first steady stretch; otherwise whenever it comes to hand.
    const reads = asked || pen.chance(owner.reads)
    const readAt = asked ? Math.min(length, pen.between(8, 20)) : pen.between(4, length)
    let read = !reads
    let derated = 1
    let hot = 0
    for (let minutes = 0; minutes < length && !over; minutes += 5) {
      const sun = sunAmps(bank, ((at + minutes * minute) / hour) % 24, sky)
      const most = fullOutput(drive, rpm * drive.ratio, minutes) * derated
      const takes = acceptance(bank, charge)
      const wanted = Math.max(0, Math.min(most, takes - sun + bank.draw))
      const guess = running(drive, state, rpm, minutes, 13.8, wanted)
      const intoBank = guess.amps + sun - bank.draw
      const limited = intoBank < takes - 1
      const volts = limited ? bulkVolts(bank, charge, Math.max(0, intoBank)) : bank.setPoint
      const stage = limited ? 'bulk' : intoBank < bank.capacity * 0.02 ? 'float' : 'absorption'
      hours += stepHours
      if (fault !== null) suffer(state, fault, hours, stepHours)
      wearOn(state, stepHours, guess.slipWatts, strength)
      charge = Math.min(1, charge + (intoBank * stepHours * 0.93) / bank.capacity)
      // A hot alternator is held back by a regulator that feels its temperature.
      hot += ((most === 0 ? 0 : guess.amps / drive.ratedAmps) * 130 - hot) * 0.08
      derated = traits.derates ? Math.max(0.5, Math.min(1, 1 - (hot - 72) * 0.02)) : 1
      if (!read && minutes + 5 >= readAt) {
        read = true
        const seen = traits.ampsReadAt === 'battery' ? intoBank : guess.amps
        takeReading(at + readAt * minute, readAt, rpm, seen, volts, stage, sun, asked, limited && derated > 0.97)
      }
      if (fault !== null && began === null && hours >= fault.from) began = { at: at + minutes * minute, hours }
      if (state.broken && failed === null) {
        failed = { at: at + (minutes + 5) * minute, hours }
        over = true
        // The belt has gone: whoever keeps the log sees it soon, and it no longer counts as found in time.
        takeReading(at + (minutes + 8) * minute, minutes + 8, rpm, 0, 12.4, 'bulk', sun, true, false)
      }
    }
    clock.push({ from: at, to: at + (hours - before) * hour, before })
    if (fault !== null && fallen === null && hours > fault.from && lossOf(state) >= 0.05)
      fallen = { at: at + lasts * hour, hours }
    if (fault !== null && hours > fault.from + (isBeltFault(fault.kind) ? 250 : fault.over + 70)) over = true
    if (owner.writesRuns)
      write('engine-stopped', at + lasts * hour, {
        equipment: 'engine',
        ...(pen.chance(owner.has.hours) ? { hours: inHours() } : {}),
      })
    else if (pen.chance(owner.has.hours * 0.5))
      write('hours-read', at + lasts * hour, { meter: 'engine-hours', reading: inHours() })
  }

  /** Share of full output lost, the mean at charging and at cruising speed. */
  function lossOf(now: DriveState): number {
    const losses = [1300, 2000].map((rpm) => {
      const well = fullOutput(drive, rpm * drive.ratio, 20)
      return 1 - running(drive, now, rpm, 20, 13.8, well).amps / well
    })
    return (losses[0]! + losses[1]!) / 2
  }

  function takeReading(
    at: number,
    minutes: number,
    rpm: number,
    amps: number,
    volts: number,
    stage: 'bulk' | 'absorption' | 'float',
    sun: number,
    asked: boolean,
    atLimit: boolean,
  ): void {
    const { has } = owner
    const says = (share: number) => asked || pen.chance(share)
    const rounds = traits.gaugeStep
    const data: Data<'readings-taken'> = { equipment: 'engine' }
    if (pen.chance(has.hours)) data.hours = inHours()
    const speed = Math.round((rpm + pen.normal(0, 20)) / owner.speedStep) * owner.speedStep
    if (says(has.speed)) data.speed = { value: typed(speed, owner, pen), unit: '/min' }
    if (says(has.sinceStart)) data.sinceStart = { value: Math.round(minutes), unit: 'min' }
    const shown = Math.round((amps * (1 + pen.normal(0, owner.ampsSpread))) / rounds) * rounds
    if (says(has.amps)) data.amps = { value: Math.max(-900, Math.min(1900, typed(shown, owner, pen))), unit: 'A' }
    const voltage = Number((volts + pen.normal(0, owner.voltsSpread)).toFixed(1))
    if (says(has.volts)) data.volts = { value: Math.min(99, typed(voltage, owner, pen)), unit: 'V' }
    if (pen.chance(has.ampsReadAt)) data.ampsReadAt = traits.ampsReadAt
    if (says(has.stage))
      data.stage = pen.chance(owner.stageWrong) ? pen.pick(['bulk', 'absorption', 'float'] as const) : stage
    if (says(has.others)) data.otherCharging = sun > 1 ? 'solar' : 'none'
    if (data.speed?.value !== undefined && data.speed.value > 9000) delete data.speed
    if (atLimit && data.speed && data.amps && data.volts) bulkReadings.push(at)
    if (Object.keys(data).length > 1) write('readings-taken', at, data)
  }

  function inHours() {
    return { value: Math.max(0, typed(meter(), owner, pen)), unit: 'h' as const }
  }

  function look(at: number, asked: boolean): void {
    const dust = gradeOf(state.dust, owner, pen)
    const wiped = dust !== 'none' && pen.chance(asked ? 0.8 : owner.wipes)
    const says = asked || pen.chance(owner.saysWiped)
    if (wiped) state.dust = 0.02
    write('check-made', at, { equipment: 'belt', dust, ...(says ? { wiped: wiped ? 'wiped' : 'not wiped' } : {}) })
  }

  function checkTorque(at: number): void {
    torqueAt = hours
    const found = slipTorque(state) * (1 + pen.normal(0, owner.torqueSpread))
    write('check-made', at, { equipment: 'belt', slipTorque: newtonMetres(Math.max(0.5, found)) })
  }

  function tension(at: number): void {
    tensionedAt = hours
    state.sinceTensioned = 0
    state.tensioned = drive.asSet * (1 + pen.normal(0, 0.05))
    state.dust *= 0.3
    write('service-done', at, {
      equipment: 'belt',
      work: 'belt tensioned',
      ...(pen.chance(0.6) ? { slipTorqueLeft: newtonMetres(state.tensioned) } : {}),
    })
  }

  function layUpWork(spring: number): void {
    if (fault !== null && hours >= fault.from) return
    if (!pen.chance(0.3)) return
    Object.assign(state, freshDrive(drive), { beltHours: 0, tensioned: drive.asSet * 1.15, dust: 0 })
    tensionedAt = hours
    put('service-done', spring, { equipment: 'belt', work: 'belt renewed' }, { recordedAt: iso(spring + hour) })
    if (pen.chance(0.5))
      put(
        'equipment-fitted',
        spring,
        {
          equipment: 'belt',
          name: 'Alternator belt',
          kind: 'belt',
          partOf: 'engine',
          drives: 'alternator',
          ...(traits.saysAsSet ? { slipTorqueAsSet: newtonMetres(drive.asSet) } : {}),
        },
        { recordedAt: iso(spring + hour) },
      )
    tell()
  }

  function hoursAt(at: number): number {
    let run0 = 0
    for (const { from, to, before } of clock) {
      if (from > at) break
      run0 = before + (Math.min(at, to) - from) / hour
    }
    return run0
  }
}

const newtonMetres = (value: number) => ({ value: Number(value.toFixed(1)), unit: 'N.m' as const })

function drawDrive(random: Random): { drive: Drive; strength: number } {
  const drive: Drive = {
    ratedAmps: random.pick([55, 70, 80, 90, 100, 115, 120, 140]),
    ratio: random.between(1.8, 2.6),
    cutIn: random.between(950, 1350),
    scale: random.between(1200, 1900),
    hotLoss: random.between(0.08, 0.18),
    warmMinutes: random.between(8, 18),
    efficiency: random.between(0.5, 0.6),
    asSet: random.between(17, 27),
    running: 1,
  }
  // As set, the belt holds 1.6 to 2.4 times what is ever asked of it in running.
  drive.running = (random.between(1.6, 2.4) * mostAsked(drive)) / drive.asSet
  return { drive, strength: random.between(2, 7) }
}

function drawBank(random: Random, drive: Drive): Bank {
  const kind: BankKind = random.pick([
    'flooded lead',
    'flooded lead',
    'AGM',
    'AGM',
    'AGM',
    'gel',
    'lithium iron phosphate',
  ])
  return {
    kind,
    capacity: Math.round((drive.ratedAmps * random.between(1.8, 4)) / 10) * 10,
    setPoint: kind === 'gel' ? random.between(14.0, 14.3) : random.between(14.2, 14.6),
    draw: random.between(1.5, 4.5),
    solar: random.chance(0.6) ? random.between(4, 18) : 0,
  }
}

function drawTraits(random: Random, owner: Owner) {
  return {
    meterStart: random.between(0, 4000),
    usedDays: random.between(0.3, 0.65),
    cruise: random.between(1750, 2300),
    atAnchor: random.between(0.05, 0.4),
    shore: random.chance(0.6),
    derates: random.chance(0.25),
    gaugeStep: owner.ampsSpread > 0.04 ? 5 : 1,
    ampsReadAt: random.chance(0.65) ? ('alternator' as const) : ('battery' as const),
    saysReadAt: random.chance(0.6),
    saysRated: random.chance(0.8),
    saysRatio: random.chance(0.5),
    saysAsSet: random.chance(0.6),
  }
}
