// Charts on graph paper. uPlot gives the scales and the figures beside the axes; everything else is drawn by hooks that read the
// page's tokens at the moment of drawing, so that the day sheet, the night sheet and print are one description. What is to be
// drawn stands in the attribute `data-spec`; web/chart.ts says what it holds.
import uPlot from './uplot.js'

const pens = () => {
  const style = getComputedStyle(document.documentElement)
  const get = (name) => style.getPropertyValue(`--${name}`).trim()
  return {
    ink: get('ink'), printed: get('printed'), pencil: get('pencil'), red: get('red'), paper: get('paper'),
    graph: get('graph'), strong: get('graph-strong'), rule: get('rule'), redStroke: parseFloat(get('red-stroke')),
  }
}

// uPlot's canvas is measured in device pixels.
const px = (n) => n * uPlot.pxRatio
const font = (size, weight = 400, slant = '') => `${slant} ${weight} ${px(size)}px Ink, sans-serif`
const across = (u, v) => u.valToPos(v, 'x', true)
const up = (u, v) => u.valToPos(v, 'y', true)

const inPlot = (u, draw) => {
  const c = u.ctx
  const b = u.bbox
  c.save()
  c.beginPath()
  c.rect(b.left, b.top, b.width, b.height)
  c.clip()
  draw(c, b)
  c.restore()
}

const thousands = (n) => {
  const [whole, part] = String(Math.abs(Number(n.toPrecision(12)))).split('.')
  return `${n < 0 ? '\u2212' : ''}${whole.replace(/\B(?=(\d{3})+$)/g, '\u202f')}${part ? `.${part}` : ''}`
}

// Words stand on a slip of bare paper, so that no line runs through them.
const words = (c, text, left, middle, { colour, paper, size = 13, weight = 500, slant = '', align = 'left' }) => {
  c.font = font(size, weight, slant)
  c.textBaseline = 'middle'
  c.textAlign = align
  const width = c.measureText(text).width
  const from = align === 'left' ? left : align === 'right' ? left - width : left - width / 2
  if (paper) {
    c.fillStyle = paper
    c.fillRect(from - px(3), middle - px(9), width + px(6), px(18))
  }
  c.fillStyle = colour
  c.fillText(text, left, middle)
  c.textAlign = 'left'
}

// Words under what they name; above it where the plot ends.
const beneath = (b, low, high) => (low + px(24) > b.top + b.height ? high - px(14) : low + px(14))

// The ticks of both axes as strong lines, and faint ones at fifths between them and out to the edges: the paper is the scale.
const drawPaper = (u) =>
  inPlot(u, (c, b) => {
    const p = pens()
    const rule = (at, upright, strong) => {
      const s = Math.round(at) + 0.5
      c.strokeStyle = strong ? p.strong : p.graph
      c.lineWidth = px(1)
      c.beginPath()
      if (upright) c.moveTo(s, b.top), c.lineTo(s, b.top + b.height)
      else c.moveTo(b.left, s), c.lineTo(b.left + b.width, s)
      c.stroke()
    }
    // `_splits` is private to uPlot, which is why its version is pinned.
    for (const [axis, place, upright] of [[u.axes[0], across, true], [u.axes[1], up, false]]) {
      const splits = axis._splits
      if (!splits || splits.length < 2) continue
      const first = splits[0] - (splits[1] - splits[0])
      const last = splits.at(-1) + (splits.at(-1) - splits.at(-2))
      const all = [first, ...splits, last]
      const lines = (strong) =>
        all.slice(0, -1).forEach((v, i) => {
          for (let n = strong ? 5 : 1; n <= (strong ? 5 : 4); n++) rule(place(u, v + ((all[i + 1] - v) * n) / 5), upright, strong)
        })
      lines(false)
      lines(true)
    }
    c.strokeStyle = p.rule
    c.lineWidth = px(2)
    c.strokeRect(b.left, b.top, b.width, b.height)
  })

const trace = (u, points) => {
  let open = false
  u.ctx.beginPath()
  for (const [x, y] of points) {
    if (y === null) open = false
    else if (open) u.ctx.lineTo(across(u, x), up(u, y))
    else u.ctx.moveTo(across(u, x), up(u, y)), (open = true)
  }
}

const drawing = {
  // Light hatching between two edges; its name at the right, where there are no readings yet.
  band: (u, { edges, name }) =>
    inPlot(u, (c, b) => {
      const p = pens()
      const low = edges.map(([x, y]) => [x, y])
      const high = edges.map(([x, , y]) => [x, y])
      c.strokeStyle = p.rule
      c.lineWidth = px(1)
      trace(u, [...high, ...[...low].reverse()])
      c.closePath()
      c.save()
      c.clip()
      c.beginPath()
      for (let d = -b.height; d < b.width + b.height; d += px(7)) {
        c.moveTo(b.left + d, b.top + b.height)
        c.lineTo(b.left + d + b.height, b.top)
      }
      c.stroke()
      c.restore()
      for (const edge of [low, high]) trace(u, edge), c.stroke()
      const end = edges.at(-1)
      if (name && end) words(c, name, Math.min(across(u, end[0]), b.left + b.width) - px(10), up(u, (end[1] + end[2]) / 2), { colour: p.printed, paper: p.paper, align: 'right' })
    }),

  line: (u, { through, width = 2, dashed }) =>
    inPlot(u, (c) => {
      c.strokeStyle = pens().ink
      c.lineWidth = px(width)
      c.setLineDash(dashed ? [px(2), px(3)] : [])
      c.lineJoin = 'round'
      trace(u, through)
      c.stroke()
    }),

  // Dots; hollow where it was not judged; an open ring of red pencil, turned a little, where a sign was raised.
  points: (u, { at }) => {
    const c = u.ctx
    const p = pens()
    const { min, max } = u.scales.x
    for (const { x, y, hollow, ring } of at) {
      if (y === null || x < min || x > max) continue
      const left = across(u, x)
      const top = up(u, y)
      c.beginPath()
      c.arc(left, top, px(3.5), 0, 7)
      c.fillStyle = hollow ? p.paper : p.ink
      c.fill()
      c.strokeStyle = p.ink
      c.lineWidth = px(1.5)
      c.stroke()
      if (!ring) continue
      c.save()
      c.translate(left, top)
      c.rotate(-0.35)
      c.scale(1.12, 1)
      c.beginPath()
      c.arc(0, 0, px(10), -0.2, Math.PI * 2 - 0.55)
      c.strokeStyle = p.red
      c.lineWidth = px(p.redStroke * 0.75)
      c.lineCap = 'round'
      c.stroke()
      c.restore()
    }
  },

  // A ruled upright; its word above the plot, left out where it would run into the last: its row in the table says what it was.
  services: (u, { at }) => {
    const c = u.ctx
    const b = u.bbox
    const p = pens()
    let free = Number.NEGATIVE_INFINITY
    for (const { x, word, dotted } of at) {
      const s = Math.round(across(u, x))
      if (s < b.left || s > b.left + b.width) continue
      c.strokeStyle = p.ink
      c.lineWidth = px(2)
      c.setLineDash(dotted ? [px(2), px(3)] : [])
      c.beginPath()
      c.moveTo(s, b.top - px(6))
      c.lineTo(s, b.top + b.height)
      c.stroke()
      c.setLineDash([])
      if (!word) continue
      c.font = font(13, 600)
      const width = c.measureText(word).width
      const left = s + px(6)
      if (left <= free || left + width >= px(u.width)) continue
      words(c, word, left, b.top - px(11), { colour: p.ink, weight: 600 })
      free = left + width + px(8)
    }
  },

  // Five dashed pencil lines, the middle one heavier.
  fan: (u, { from, x, at, name }) =>
    inPlot(u, (c, b) => {
      const p = pens()
      c.strokeStyle = p.pencil
      c.setLineDash([px(6), px(4)])
      at.forEach((y, i) => {
        c.lineWidth = px(i === at.length >> 1 ? 2 : 1)
        c.beginPath()
        c.moveTo(across(u, from[0]), up(u, from[1]))
        c.quadraticCurveTo(across(u, (from[0] + x) / 2), up(u, (from[1] + y) / 2 + (y - from[1]) * 0.06), across(u, x), up(u, y))
        c.stroke()
      })
      c.setLineDash([])
      if (name) words(c, name, across(u, x), beneath(b, up(u, Math.min(...at)), up(u, Math.max(...at))), { colour: p.pencil, slant: 'italic', weight: 400, align: 'right' })
    }),

  limit: (u, { y, name }) =>
    inPlot(u, (c, b) => {
      const p = pens()
      const s = Math.round(up(u, y))
      c.strokeStyle = p.red
      c.lineWidth = px(p.redStroke)
      c.lineCap = 'round'
      c.beginPath()
      c.moveTo(b.left, s)
      c.lineTo(b.left + b.width, s - px(1))
      c.stroke()
      // At the left: the right is where forecasts are drawn.
      words(c, name, b.left + px(10), beneath(b, s, s), { colour: p.red, weight: 700, paper: p.paper })
    }),

  words: (u, { x, y, text, pen = 'ink', align, by = [8, 0] }) => {
    const p = pens()
    words(u.ctx, text, across(u, x) + px(by[0]), up(u, y) + px(by[1]), { colour: p[pen], paper: p.paper, align, slant: pen === 'pencil' ? 'italic' : '' })
  },

  // Density is the grade: one dot in so many square pixels. The dots are jittered on a grid, the same at every drawing. A rule at
  // each look; the words stand under the strip, one for each run of the same grade, so that nothing covers a dot.
  dust: (u, { spans }) => {
    const p = pens()
    const area = { none: 0, trace: 160, film: 39, heavy: 13 }
    let state = 7
    const next = () => (state = (state * 16807) % 2147483647) / 2147483647
    inPlot(u, (c, b) => {
      for (const { from, to, grade } of spans) {
        const left = across(u, from)
        const width = across(u, to) - left
        const cell = px(Math.sqrt(area[grade]))
        c.strokeStyle = p.rule
        c.lineWidth = px(1)
        c.beginPath()
        c.moveTo(Math.round(left) + 0.5, b.top)
        c.lineTo(Math.round(left) + 0.5, b.top + b.height)
        c.stroke()
        c.fillStyle = p.ink
        if (cell)
          for (let i = 0; i < width / cell - 0.3; i++)
            for (let j = 0; j < b.height / cell; j++) {
              const x = left + (i + 0.15 + next() * 0.7) * cell
              const y = b.top + (j + 0.15 + next() * 0.7) * cell
              if (x > left + width - px(1)) continue
              c.beginPath()
              c.arc(x, y, px(1.15), 0, 7)
              c.fill()
            }
      }
    })
    let free = Number.NEGATIVE_INFINITY
    spans.forEach(({ from, grade }, i) => {
      const left = Math.max(across(u, from), u.bbox.left)
      if ((i > 0 && spans[i - 1].grade === grade) || left < free) return
      words(u.ctx, grade, left, u.bbox.top + u.bbox.height + px(12), { colour: p.ink, weight: 700 })
      free = left + u.ctx.measureText(grade).width + px(4)
    })
  },
}

const axisOf = ({ step, ticks, bare }, more) => ({
  font: '13px Ink',
  stroke: () => pens().printed,
  grid: { show: false },
  ticks: { show: false },
  border: { show: false },
  ...(ticks
    ? {
        splits: (u) => ticks.map(([at]) => at).filter((_, i) => !isNarrow(u) || i % 2 === 0),
        values: (_, splits) => splits.map((at) => (bare ? '' : (ticks.find(([other]) => other === at)?.[1] ?? ''))),
      }
    : { values: (_, splits) => splits.map((n) => (bare ? '' : thousands(n))) }),
  ...(step && !ticks ? { incrs: [more.narrow ? step * 2 : step] } : {}),
  size: more.size,
  gap: more.gap,
  ...(more.space ? { space: more.space } : {}),
})

const isNarrow = (u) => u.width < 420

class GraphPaper extends HTMLElement {
  connectedCallback() {
    // The figures are measured in Ink: drawn before it has come they would stand wrong.
    Promise.all([400, 500, 700].map((weight) => document.fonts.load(`${weight} 13px Ink`))).then(() => this.draw())
  }

  disconnectedCallback() {
    this.following?.disconnect()
    this.plot?.destroy()
    this.plot = undefined
  }

  draw() {
    if (this.plot || !this.isConnected) return
    const spec = JSON.parse(this.dataset.spec)
    const height = this.clientHeight
    const strip = spec.marks.some(({ kind }) => kind === 'dust')
    const narrow = this.clientWidth < 420
    const of = (kind) => spec.marks.filter((mark) => mark.kind === kind)
    const xs = [spec.x.from, spec.x.to]
    this.plot = new uPlot(
      {
        width: this.clientWidth,
        height,
        legend: { show: false },
        cursor: { show: false },
        padding: [of('services').some(({ at }) => at.some(({ word }) => word)) ? 24 : 12, 18, 0, 0],
        scales: { x: { time: false, range: () => xs }, y: { range: () => [spec.y.from, spec.y.to] } },
        axes: [
          axisOf(spec.x, { size: strip ? 22 : spec.x.bare ? 4 : 24, gap: 5, space: 30, narrow }),
          // The same width with and without figures, so that charts above each other share their x axis.
          axisOf(spec.y, { size: spec.size === 'small' ? 36 : 44, gap: 6, space: 16, narrow: false }),
        ],
        series: [{}, { stroke: 'transparent', points: { show: false } }],
        hooks: {
          drawClear: [drawPaper, ...of('band').map((mark) => (u) => drawing.band(u, mark))],
          draw: spec.marks.filter(({ kind }) => kind !== 'band').map((mark) => (u) => drawing[mark.kind](u, mark)),
        },
      },
      [xs, xs.map(() => null)],
      this,
    )
    this.following = new ResizeObserver(() => this.plot.setSize({ width: this.clientWidth, height }))
    this.following.observe(this)
    const points = of('points').flatMap(({ at }) => at.filter(({ to, y }) => to && y !== null))
    const nearest = (event) => {
      const box = this.plot.over.getBoundingClientRect()
      const far = ({ x, y }) => Math.hypot(this.plot.valToPos(x, 'x') - (event.clientX - box.left), this.plot.valToPos(y, 'y') - (event.clientY - box.top))
      // A finger covers 44 px.
      return points.filter((point) => far(point) < 22).sort((a, b) => far(a) - far(b))[0]
    }
    this.addEventListener('click', (event) => {
      const point = nearest(event)
      if (point) location.assign(point.to)
    })
    this.addEventListener('pointermove', (event) => this.classList.toggle('opens', nearest(event) !== undefined))
    this.dataset.drawn = ''
  }
}
customElements.define('graph-paper', GraphPaper)

const redraw = () => {
  for (const paper of document.querySelectorAll('graph-paper')) paper.plot?.redraw()
}
addEventListener('sheet', redraw)
// Print is black on white whichever sheet is on: drawn anew before, and as it was after.
const root = document.documentElement
let sheet
addEventListener('beforeprint', () => {
  sheet = root.dataset.sheet
  root.dataset.sheet = 'print'
  redraw()
})
addEventListener('afterprint', () => {
  root.dataset.sheet = sheet
  redraw()
})
