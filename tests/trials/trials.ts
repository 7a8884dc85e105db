import { machineUse, predictUse } from '../../projections/statistics/use-prediction.ts'
import { readDailyUse } from './daily-use.ts'
import { madeUpUse } from './made-up-use.ts'
import { constantRate, pinball, Tally, trueDay } from './score.ts'

/**
 * How good the forecasts are: on made-up boats and on the real use of aircraft and the rain of Seattle.
 *
 *     npm run trials:forecasts               boats that no tuning has seen
 *     npm run trials:forecasts -- tune 100   the first hundred of the boats on which the model was tuned
 */
const [which = 'score', count = '200', only = ''] = process.argv.slice(2)
const firstBoat = which === 'tune' ? 1 : 200_001
const boats = Number(count)
const most = 3 * 365
const horizon = 3 * 365
const months = [1, 2, 3, 6, 9, 12]
const histories = [61, 122, 183, 365, 730, 1460, 2190]
const z80 = 1.2815515655446004

if (only === '' || only === 'boats') {
  const rows = new Map<string, Tally>()
  const tally = (name: string): Tally => {
    let row = rows.get(name)
    if (!row) {
      row = new Tally()
      rows.set(name, row)
    }
    return row
  }
  tally('all')
  let brier = 0
  let brierN = 0
  let brierBase = 0
  let spent = 0
  const reliability = Array.from({ length: 5 }, () => ({ n: 0, said: 0, came: 0 }))
  for (let boat = 0; boat < boats; boat++) {
    for (const history of histories) {
      const { habit, use, firstDay, yearly, seasonEnds } = madeUpUse(firstBoat + boat, history)
      const begun = performance.now()
      const prediction = predictUse({ firstDay, use: use.slice(0, history) }, horizon)
      spent += performance.now() - begun
      for (const month of months) {
        const amount = (yearly * month) / 12
        const passage = prediction.firstPassage(amount)
        const came = trueDay(use, history, amount)
        const groups = ['all', `history ${history} d`, `horizon ${month} months`, habit].map(tally)
        const quantiles = [0.1, 0.5, 0.9].map((p) => [p, passage.quantile(p)] as const)
        const [low, , high] = quantiles
        const rate = constantRate(use, history, amount)
        for (const group of groups) {
          group.add(low![1], high![1], came)
          if (!rate) continue
          group.compared++
          for (const [p, day] of quantiles) {
            group.ours += pinball(p, day, came, most)
            const z = p === 0.5 ? 0 : p < 0.5 ? -z80 : z80
            group.constant += pinball(p, Math.max(1, rate(z)), came, most)
          }
          if (came >= Math.floor(rate(-z80)) && came <= Math.ceil(rate(z80))) group.constantCovered++
        }
        const end = seasonEnds.find((day) => day > firstDay + history)
        if (end !== undefined && habit !== 'stopping') {
          const day = end - (firstDay + history)
          const chance = passage.beforeLayUp?.chance ?? passage.chanceBy(day)
          const happened = came <= day ? 1 : 0
          brier += (chance - happened) ** 2
          brierBase += happened
          brierN++
          const bin = reliability[Math.min(4, Math.floor(chance * 5))]!
          bin.n++
          bin.said += chance
          bin.came += happened
        }
      }
    }
  }
  console.log(`Boats ${firstBoat} to ${firstBoat + boats - 1}; 80 % intervals of the day on which an amount is reached`)
  console.log('                               n  covered  earlier    later  pinball constant')
  for (const [name, row] of rows) console.log(row.row(name))
  console.log(
    `before the lay-up: n ${brierN}, Brier ${(brier / brierN).toFixed(4)}, happened ${(brierBase / brierN).toFixed(3)};`,
    reliability.map((bin) => `${(bin.said / bin.n).toFixed(2)}:${(bin.came / bin.n).toFixed(2)} (${bin.n})`).join(' '),
  )
  console.log(`a prediction takes ${(spent / (boats * histories.length)).toFixed(1)} ms`)
}

backtest('aircraft', 'usage-aircraft.csv', '2011-01-01', '2011-12-31', { first: 90, step: 7, last: 300 }, [5, 10, 20])
backtest('rain', 'usage-rain.csv', '2012-01-01', '2015-12-31', { first: 365, step: 14, last: 1370 }, [25, 50, 100])

/** As the note of forecast-aircraft.json says: inclusive whole days; what the record leaves undecided is left out. */
function backtest(
  name: string,
  file: string,
  start: string,
  end: string,
  origins: { first: number; step: number; last: number },
  targets: readonly number[],
): void {
  if (only !== '' && only !== name) return
  const levels = [0.5, 0.8, 0.95]
  const all = levels.map(() => ({ n: 0, covered: 0, width: 0, naive: 0, made: 0 }))
  const z = [0.6744897501960817, z80, 1.959963984540054]
  const every = which === 'tune' ? 4 : 1
  readDailyUse(file, start, end).forEach(({ firstDay, use }, index) => {
    // Tuned on every fourth aircraft, scored on the others.
    if (name === 'aircraft' && (index % 4 === 0) !== (which === 'tune')) return
    for (
      let origin = origins.first;
      origin <= origins.last;
      origin += origins.step * (name === 'rain' ? 1 : every > 1 ? 2 : 1)
    ) {
      const history = origin + 1
      const prediction = predictUse(
        { firstDay, use: use.slice(0, history) },
        horizon,
        name === 'aircraft' ? machineUse : undefined,
      )
      for (const target of targets) {
        const passage = prediction.firstPassage(target)
        const came = trueDay(use, history, target)
        const rate = constantRate(use, history, target)!
        levels.forEach((level, i) => {
          const row = all[i]!
          const { low, high } = passage.shortest(level)
          row.made++
          row.width += Math.min(high, most) - low
          row.naive += Math.ceil(rate(z[i]!)) - Math.max(1, Math.floor(rate(-z[i]!)))
          if (came === Number.POSITIVE_INFINITY && high > use.length - history) return
          row.n++
          if (came >= low && came <= high) row.covered++
        })
      }
    }
  })
  console.log(`\n${name}: level, covered, mean width in days, share of the naive method's, n decided of n`)
  levels.forEach((level, i) => {
    const { n, covered, width, naive, made } = all[i]!
    console.log(level, (covered / n).toFixed(3), (width / made).toFixed(1), (width / naive).toFixed(3), n, made)
  })
}
