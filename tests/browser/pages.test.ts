/// <reference lib="dom" />
import { createRequire } from 'node:module'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { hasChromium, openChromium, type Served, serveWith } from './chromium.ts'

const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js')

/** Every page, and the forms that people write with most. */
const paths = [
  '/',
  '/log',
  '/log?find=belt&kind=Service',
  '/log/unread',
  '/due',
  '/due?hours=60&days=5&miles=420&speed=1800',
  '/due/engine-oil',
  '/forecasts',
  '/rounds',
  '/rounds/before-starting',
  '/rounds/running',
  '/rounds/after-stopping',
  '/equipment',
  '/equipment/engine',
  '/equipment/house-belt',
  '/equipment/raw-water-pump',
  '/index',
  '/write',
  '/write/passage',
  '/write/engine',
  '/write/hours',
  '/write/readings',
  '/write/service?equipment=engine',
  '/write/defect-found',
  '/write/equipment-fitted',
  '/no-such-page',
  '/?as-of=2025-07-01&as-known=2025-07-01',
]

const widths = [360, 1280]

describe.skipIf(!hasChromium())('every page in a real browser', () => {
  let browser: Browser
  let served: Served
  beforeAll(async () => {
    ;[browser, served] = await Promise.all([openChromium(), serveWith('demo', '--port', '0')])
  }, 120_000)
  afterAll(async () => {
    await browser?.close()
    await served?.stop()
  })

  const opened = async (
    width: number,
    sheet: 'day' | 'night',
    bypassCSP = false,
  ): Promise<{ context: BrowserContext; page: Page }> => {
    const context = await browser.newContext({ viewport: { width, height: 800 }, bypassCSP })
    await context.addCookies([{ name: 'sheet', value: sheet, url: served.address }])
    return { context, page: await context.newPage() }
  }

  it('asks nothing of any other host, breaks no policy, and has nothing beside the screen', async () => {
    const found: string[] = []
    for (const width of [320, 1280]) {
      const { context, page } = await opened(width, 'day')
      let path = ''
      page.on('console', (message) => {
        // A page that is not there is answered with 404, which the browser notes for the document itself.
        if (message.type() === 'error' && !(path === '/no-such-page' && message.text().includes('404')))
          found.push(`${path}: ${message.text()}`)
      })
      page.on('pageerror', (error) => found.push(`${path}: ${error}`))
      page.on('request', (request) => {
        if (!request.url().startsWith(served.address) && !request.url().startsWith('data:'))
          found.push(`${path}: asks ${request.url()}`)
      })
      for (path of paths) {
        await page.goto(served.address + path)
        const beside = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
        if (beside > 0) found.push(`${path} at ${width} px: ${beside} px beside the screen`)
      }
      await context.close()
    }
    expect(found).toEqual([])
  }, 240_000)

  // Each width and each sheet once; `npm run sheets` looks at all four together, which takes minutes.
  const all = process.env.EVERY_SHEET === 'true'
  for (const width of widths)
    for (const sheet of all ? (['day', 'night'] as const) : ([width === 360 ? 'day' : 'night'] as const))
      it(`has nothing for axe to find at ${width} px by ${sheet}`, async () => {
        // The policy forbids script of others, so axe comes in past it.
        const { context, page } = await opened(width, sheet, true)
        const found: string[] = []
        for (const path of paths) {
          await page.goto(served.address + path)
          await page.addScriptTag({ path: axe })
          const violations = await page.evaluate(async () => {
            const { axe } = window as unknown as {
              axe: { run(options: object): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
            }
            const result = await axe.run({ resultTypes: ['violations'] })
            return result.violations.map((one) => `${one.id}: ${one.nodes[0]?.html.slice(0, 200)}`)
          })
          found.push(...violations.map((one) => `${path}: ${one}`))
        }
        await context.close()
        expect(found).toEqual([])
      }, 240_000)

  it('shows no green and no blue on the night sheet', async () => {
    const { context, page } = await opened(1280, 'night')
    const reader = await context.newPage()
    const coloured: string[] = []
    for (const path of ['/', '/log', '/due', '/equipment/house-belt', '/rounds/after-stopping', '/write/readings']) {
      await page.goto(served.address + path)
      await page.evaluate(() => document.fonts.ready)
      const picture = (await page.screenshot({ fullPage: true })).toString('base64')
      const pixels = await reader.evaluate(async (data) => {
        const image = new Image()
        image.src = `data:image/png;base64,${data}`
        await image.decode()
        const canvas = new OffscreenCanvas(image.width, image.height)
        const context = canvas.getContext('2d')!
        context.drawImage(image, 0, 0)
        const { data: bytes } = context.getImageData(0, 0, image.width, image.height)
        let wrong = 0
        let red = 0
        for (let i = 0; i < bytes.length; i += 4) {
          if (bytes[i + 1]! > 0 || bytes[i + 2]! > 0) wrong++
          if (bytes[i]! > 0) red++
        }
        return { wrong, red }
      }, picture)
      if (pixels.wrong > 0 || pixels.red === 0) coloured.push(`${path}: ${JSON.stringify(pixels)}`)
    }
    await context.close()
    expect(coloured).toEqual([])
  }, 120_000)

  it('gives a thumb at least 44 px on everything that is pressed while writing', async () => {
    const { context, page } = await opened(360, 'day')
    const small: string[] = []
    for (const path of [
      '/',
      '/write/passage',
      '/write/engine',
      '/write/hours',
      '/write/readings',
      '/write/service?equipment=engine',
      '/rounds/after-stopping',
    ]) {
      await page.goto(served.address + path)
      const found = await page.evaluate(() =>
        [
          ...document.querySelectorAll(
            'main form:not(.night, .as-of) :is(button, input:not([type=hidden]), textarea), .write-down a, nav.tabs a',
          ),
        ]
          .filter((element) => (element as HTMLElement).checkVisibility())
          .map((element) => {
            // A radio is pressed by its label.
            const target = element.closest('label') ?? element
            const { height } = target.getBoundingClientRect()
            return { height, html: target.outerHTML.slice(0, 120) }
          })
          .filter(({ height }) => height < 44)
          .map(({ height, html }) => `${height}: ${html}`),
      )
      small.push(...found.map((one) => `${path}: ${one}`))
    }
    await context.close()
    expect(small).toEqual([])
  }, 60_000)
})
