/// <reference lib="dom" />
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { openLog } from '../../events/log.ts'
import { hasChromium, openChromium, type Served, serveWith } from './chromium.ts'

describe.skipIf(!hasChromium())('an owner with a browser', () => {
  let browser: Browser
  let demo: Served
  beforeAll(async () => {
    ;[browser, demo] = await Promise.all([openChromium(), serveWith('demo', '--port', '0')])
  }, 120_000)
  afterAll(async () => {
    await browser?.close()
    await demo?.stop()
  })

  let context: BrowserContext
  let page: Page
  beforeEach(async () => {
    context = await browser.newContext({ viewport: { width: 360, height: 740 } })
    page = await context.newPage()
  })
  afterEach(() => context.close())

  const press = (name: string | RegExp) => page.getByRole('button', { name }).first().click()
  const follow = (name: string | RegExp) => page.getByRole('link', { name }).first().click()
  const said = async () => (await page.locator('main').innerText()).replaceAll(/[\u00a0\u202f]/g, ' ')

  it('logs a passage with a decimal comma, and finds it on Today and in the log', async () => {
    await page.goto(demo.address)
    await follow('Passage')
    await page.getByLabel('Bound for').fill('Borgholm')
    await page.getByLabel('Hand').fill('T.T.')
    await press('Begin the passage')
    expect(await said()).toContain('bound for Borgholm')

    await page.goto(`${demo.address}/write/passage`)
    await page.getByLabel('At', { exact: true }).fill('Borgholm')
    await page.getByLabel('Distance made', { exact: true }).fill('19,5')
    await press(/End|Write/)
    const today = await said()
    expect(today).toContain('Borgholm')
    // The comma of the chart table, and the hand that the device remembers.
    expect(today).toContain('19.5 M')
    expect(today).toContain('T.T.')
    await page.goto(`${demo.address}/log?kind=passage-ended`)
    expect(await said()).toContain('Borgholm')
  }, 60_000)

  it('asks about hours that run backwards, keeps what was typed, and writes them once they are confirmed', async () => {
    await page.goto(`${demo.address}/write/hours`)
    await page.getByLabel('Hours', { exact: true }).first().fill('12,3')
    await page.getByLabel('Hand').fill('T.T.')
    await press('Write it down')
    expect(await said()).toContain('run backwards')
    expect(await page.getByLabel('Hours', { exact: true }).first().inputValue()).toBe('12,3')
    await page.getByRole('checkbox').first().check()
    await press('Write it down')
    expect(await said()).toMatch(/Hours read 12\.3 h/)
  }, 60_000)

  it('strikes an entry, keeps it readable, and revives it', async () => {
    await page.goto(`${demo.address}/write/note-written`)
    await page.getByLabel('Note', { exact: true }).fill('Written into the wrong book <b>twice</b>')
    await page.getByLabel('Hand').fill('T.T.')
    await press('Write it down')
    await page.goto(`${demo.address}/log?find=wrong+book`)
    await page.locator('.entry .kind').first().click()
    await follow(/Strike/)
    await page.getByLabel(/Why/).fill('Not ours.')
    await press(/Strike/)
    await page.goto(`${demo.address}/log?find=wrong+book`)
    expect(await page.locator('.entry.struck s').first().innerText()).toContain('<b>twice</b>')
    expect(await said()).toContain('Not ours.')
    await page.locator('.entry .kind').first().click()
    await follow(/Revive/)
    await press(/Revive/)
    await page.goto(`${demo.address}/log?find=wrong+book`)
    expect(await page.locator('.entry.struck').count()).toBe(0)
  }, 60_000)

  it('amends an entry with the form that wrote it, and shows old and new', async () => {
    await page.goto(`${demo.address}/log?kind=Taken+aboard`)
    await page.locator('.entry .kind').first().click()
    await follow(/Amend/)
    const amount = page.getByLabel('Amount', { exact: true })
    const before = await amount.inputValue()
    await amount.fill('41')
    await page.getByLabel('Hand').fill('T.T.')
    await press(/Amend|Write/)
    await page.goto(`${demo.address}/log?kind=Taken+aboard&only=amended`)
    const line = page.locator('.entry').first()
    expect(await line.locator('del').first().innerText()).toContain(before)
    expect(await line.locator('ins').first().innerText()).toContain('41')
  }, 60_000)

  it('follows a figure to the entries that it came from', async () => {
    await page.goto(`${demo.address}/due`)
    const figure = page.locator('.due-row a.n').first()
    const task = (await page.locator('.due-row h3').first().innerText()).trim()
    await figure.click()
    expect(page.url()).toContain('/log?')
    // The readings since come first; the oldest of them all is the task as it was set, under its own name.
    expect(await said()).toMatch(/Hours read|Engine stopped/)
    const older = page.getByRole('link', { name: /^Older/ })
    while ((await older.count()) > 0) await older.click()
    expect(await page.locator('.entry').last().innerText()).toContain('Upkeep set')
    expect(await page.locator('.entry').last().innerText()).toContain(task.replaceAll('\n', ' '))
  }, 60_000)

  it('makes rounds with one graded check, and the check stands in the line of its rounds', async () => {
    await page.goto(`${demo.address}/rounds/after-stopping`)
    await page.getByText('House alternator belt: dust').click()
    const film = page.getByRole('radio', { name: /^film/ }).locator('visible=true').first()
    await film.check()
    await page.getByLabel('Hand').fill('T.T.')
    await page.locator('main form:not(.night, .as-of) button.first').last().click()
    await page.goto(`${demo.address}/log?kind=rounds-made,check-made`)
    expect(await page.locator('.entry').first().innerText()).toContain('dust film')
  }, 60_000)

  it('sees the past as it was and as it was known, and comes back to now', async () => {
    await page.goto(`${demo.address}/due?as-of=2025-07-01&as-known=2025-07-01`)
    expect(await said()).toContain('As it was on')
    await page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: 'Log' }).click()
    expect(page.url()).toContain('as-of=2025-07-01')
    expect(await said()).toMatch(/Tuesday 1 July|Monday 30 June|June/)
    await follow('Back to now')
    expect(page.url()).not.toContain('as-of')
  }, 60_000)

  it('turns the sheet to night without script, and the device remembers', async () => {
    await context.close()
    context = await browser.newContext({ viewport: { width: 360, height: 740 }, javaScriptEnabled: false })
    page = await context.newPage()
    await page.goto(`${demo.address}/due`)
    await press('Night sheet')
    expect(page.url()).toBe(`${demo.address}/due`)
    expect(await page.locator('html').getAttribute('data-sheet')).toBe('night')
    await page.goto(demo.address)
    expect(await page.locator('html').getAttribute('data-sheet')).toBe('night')
  }, 60_000)

  it('begins a book of its own without script: boat, engine, meter, hours, and what is due', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'fettlebook-own-'))
    const file = join(folder, 'own.book')
    const own = await serveWith('serve', '--book', file, '--port', '0')
    try {
      await context.close()
      context = await browser.newContext({ viewport: { width: 360, height: 740 }, javaScriptEnabled: false })
      page = await context.newPage()
      await page.goto(own.address)
      expect(await said()).toContain('What is aboard?')
      await page.goto(`${own.address}/write/equipment-fitted`)
      await follow(/^engine$/)
      await page.getByLabel('Short name', { exact: true }).fill('engine')
      await page.getByLabel('Name', { exact: true }).fill('Engine')
      await page.getByLabel('Hand').fill('O.O.')
      await press('Write it down')
      await page.goto(`${own.address}/write/meter-fitted`)
      await page.getByLabel('Short name', { exact: true }).fill('engine-hours')
      await page.getByLabel('Name', { exact: true }).fill('Engine hours')
      await page.getByRole('radio', { name: 'Engine', exact: true }).check()
      await page.getByRole('radio', { name: 'hours', exact: true }).check({ force: true })
      await page.getByRole('radio', { name: 'true running', exact: true }).check({ force: true })
      await page.getByLabel('Reading when fitted').fill('1102.4')
      await press('Write it down')
      await page.goto(own.address)
      expect(await said()).toContain('1 102.4 h')
    } finally {
      await own.stop()
    }
    // What the page acknowledged is on the disk, and proves.
    const log = openLog(file)
    expect(log.verify()).toMatchObject({ ok: true, entries: 2 })
    log.close()
    rmSync(folder, { recursive: true })
  }, 90_000)
})
