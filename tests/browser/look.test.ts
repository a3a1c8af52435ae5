/** Every page at three widths in both schemes: pictures for people to look at, no sideways scroll, nothing axe finds, keys enough. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp, ROOT } from '../server/harness.js'
import { boardOf, comeIn, demoKeys, type House, type Keys, openHouse, type Seat } from './house.js'
import { seat } from './browser.js'
import { NET_MENDER } from './net-mender.js'
import { axeFindings, cutOff, sideways, smallTargets } from './seen.js'

const SHOTS = join(ROOT, 'tests/out/screens')
const WIDTHS = [360, 820, 1440] as const
const SCHEMES = ['light', 'dark'] as const
const HEIGHT = { 360: 740, 820: 1100, 1440: 950 } as const

let house: House
let keys: Keys
let leader: Seat
let listener: Seat
let board = ''
/** Name → address, and what must stand on the page before it is looked at. */
let pages: { readonly name: string; readonly url: string; readonly ready: string; readonly seat: () => Page }[] = []

beforeAll(async () => {
  mkdirSync(SHOTS, { recursive: true })
  house = await openHouse(['--demo'])
  keys = await demoKeys(house)
  board = `${house.server.url}/b/${keys.boardId}`
  // Axe is put in as the page's own script; the policy against foreign scripts is tested where it belongs, on the server.
  leader = await comeIn(house, keys.leader, 'Maro Quill', 'piano', { bypassCSP: true })
  listener = await seat(house.browser, { bypassCSP: true, hasTouch: true })
  await leader.page.locator('loft-pass').first().waitFor()
  const desks = await leader.page
    .locator('main a[href*="/decide/"]')
    .evaluateAll((links) => [...new Set(links.map((link) => link.getAttribute('href') ?? ''))])
  // Something said at a bar, so that pins are looked at too.
  const spoken = desks.find((href) => href.includes('/decide/harmony')) ?? desks[0] ?? ''
  await leader.page.goto(house.server.url + spoken)
  await leader.page.getByRole('button', { name: 'Say something at a bar' }).click()
  await leader.page.getByLabel('What do you want to say?').fill('Could we wait half a bar before this one?')
  await leader.page.getByRole('button', { name: 'Pin it there' }).click()
  await leader.page.locator('loft-option a.pin').first().waitFor()
  await listener.page.goto(keys.listener)
  await listener.page.waitForURL(/\/p\//)
  const polls = await listener.page.evaluate(
    async (id) =>
      ((await (await fetch(`/api/boards/${id}/polls`)).json()) as { polls: { pollId: string }[] }).polls.map(
        ({ pollId }) => pollId,
      ),
    keys.boardId,
  )
  const of = (name: string, path: string, ready: string) => ({
    name,
    url: `${board}${path}`,
    ready,
    seat: () => leader.page,
  })
  pages = [
    { name: 'bring', url: `${house.server.url}/`, ready: 'loft-bring h1', seat: () => leader.page },
    of('board', '', 'loft-pass ol.bars'),
    ...desks.map((href) => ({
      name: `desk-${/decide\/([a-z]+)/.exec(href)?.[1] ?? ''}`,
      url: house.server.url + href,
      ready: 'loft-option ol.bars',
      seat: () => leader.page,
    })),
    of('listen', '/listen', '.sbar'),
    of('charts', '/charts', '.sheets[aria-busy=false] .sheet svg'),
    of('stand', '/stand', '.standview .sheet svg'),
    of('polls', '/polls', 'loft-polls h1'),
    of('people', '/people', 'loft-people h1'),
    of('history', '/history', 'loft-history li'),
    of('history-then', '/history/1', 'loft-then .list li'),
    of('history-compare', '/history/1-now', 'loft-compare h2'),
    of('band', '/band', '.keylist li'),
    { name: 'poll-list', url: `${house.server.url}/p/${keys.boardId}`, ready: 'main h1', seat: () => listener.page },
    {
      name: 'poll',
      url: `${house.server.url}/p/${keys.boardId}/${polls[0] ?? ''}`,
      ready: '.answer',
      seat: () => listener.page,
    },
  ]
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

/** The whole page in one window: nothing folded away below its edge, and the player at the foot where it belongs. */
async function picture(page: Page, width: (typeof WIDTHS)[number], name: string): Promise<void> {
  const height = await page.evaluate(() => document.documentElement.scrollHeight)
  await page.setViewportSize({ width, height: Math.min(5000, Math.max(HEIGHT[width], height)) })
  await page.screenshot({ path: join(SHOTS, `${name}.png`), animations: 'disabled' })
  await page.setViewportSize({ width, height: HEIGHT[width] })
}

describe.each(WIDTHS)('[BR1] every page at %i px', (width) => {
  it('fits, axe finds nothing in either scheme, targets can be hit, no text is cut off', async () => {
    const found: { [page: string]: string[] } = {}
    for (const { name, url, ready, seat: pageOf } of pages) {
      const page = pageOf()
      await page.setViewportSize({ width, height: HEIGHT[width] })
      await page.goto(url)
      await page.locator(ready).first().waitFor({ timeout: 60_000 })
      await page.evaluate(() => document.fonts.ready)
      for (const colorScheme of SCHEMES) {
        await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' })
        await picture(page, width, `${name}-${width}-${colorScheme}`)
        const wrong = await axeFindings(page)
        if (wrong.length > 0) found[`${name} ${colorScheme} axe`] = wrong
      }
      const out = await sideways(page)
      if (out.length > 0) found[`${name} sideways`] = out
      const cut = await cutOff(page)
      if (cut.length > 0) found[`${name} cut off`] = cut
      const small = await smallTargets(page)
      if (small.length > 0) found[`${name} targets`] = small
    }
    expect(found).toEqual({})
  })
})

/** 200 % zoom of a screen 1440 px wide leaves 720 px; 320 px is what WCAG 1.4.10 asks of reflow. */
describe.each([320, 720] as const)('[BR1] every page at %i px', (width) => {
  it('fits, and no text is cut off', async () => {
    const found: { [page: string]: string[] } = {}
    for (const { name, url, ready, seat: pageOf } of pages) {
      const page = pageOf()
      await page.setViewportSize({ width, height: 640 })
      await page.goto(url)
      await page.locator(ready).first().waitFor({ timeout: 60_000 })
      const wrong = [...(await sideways(page)), ...(await cutOff(page))]
      if (wrong.length > 0) found[name] = wrong
    }
    expect(found).toEqual({})
  })
})

/** Presses a key until what has the focus fits; how often it took. */
async function keyTo(page: Page, selector: string, key = 'Tab', most = 200): Promise<number> {
  for (let press = 1; press <= most; press++) {
    await page.keyboard.press(key)
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted) ?? false, selector)) return press
  }
  throw new Error(`${most} times ${key} never reach ${selector}`)
}

describe('[BR2] with the keyboard alone', () => {
  beforeAll(async () => {
    await leader.page.setViewportSize({ width: 1440, height: HEIGHT[1440] })
    await leader.page.goto(board)
    await leader.page.locator('loft-pass ol.bars').first().waitFor()
  })

  it('Tab reaches the skip link, a desk, bars and play, with the focus to be seen', async () => {
    const { page } = leader
    expect(await keyTo(page, '.skip')).toBe(1)
    for (const selector of ['a[href*="/decide/"]', 'loft-pass .hit', '.player .go']) {
      await keyTo(page, selector)
      const seen = await page.evaluate(() => {
        const style = getComputedStyle(document.activeElement as Element)
        return style.outlineStyle !== 'none' && Number.parseFloat(style.outlineWidth) >= 2
      })
      expect(seen, `the ring round ${selector}`).toBe(true)
    }
  })

  it('arrows walk the bars of a card, Enter listens from there', async () => {
    const { page } = leader
    await page.locator('loft-pass .hit').first().focus()
    for (const key of ['ArrowRight', 'ArrowRight', 'ArrowDown']) await page.keyboard.press(key)
    await page.keyboard.press('Enter')
    await page.locator('section.player[data-stage=playing]').waitFor({ timeout: 30_000 })
    await page.locator('loft-pass [data-bar="7"].now, loft-pass [data-bar="8"].now').first().waitFor()
    await page.locator('.player .go').focus()
    await page.keyboard.press('Enter')
    await page.locator('section.player[data-stage=stopped]').waitFor()
  })

  it('Enter opens a desk, Tab reaches hearing and the lock, Escape closes it and the focus returns', async () => {
    const { page } = leader
    const opener = page.locator('.todo a[href*="/decide/ending"]')
    const href = await opener.getAttribute('href')
    await opener.focus()
    await page.keyboard.press('Enter')
    await page.locator('loft-option ol.bars').first().waitFor({ timeout: 60_000 })
    await keyTo(page, '.inplace .btn')
    await keyTo(page, 'loft-option .hear .btn')
    await keyTo(page, 'loft-lock input[type=radio]')
    await page.keyboard.press('Space')
    await keyTo(page, 'loft-lock button.main')
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-disabled'))).toBe('false')
    await page.keyboard.press('Escape')
    await page.locator('loft-board').waitFor()
    await expect.poll(() => page.evaluate(() => document.activeElement?.getAttribute('href'))).toBe(href)
  })
})

describe('[BR3] a long title and many choruses', () => {
  const TITLE =
    'The Very Long Song About Everything That Ever Happened On The Quay, In Unabbreviatedharbourmastersofficialhandwriting'

  it('fit a phone, a screen at 200 % and a desk, and scroll', async () => {
    const long = await boardOf(house, TITLE, NET_MENDER.replace('Net Mender', TITLE))
    const there = `${house.server.url}/b/${long.boardId}`
    const { page, context } = await comeIn(house, long.leader, 'A Name As Long As Names May Get Here', 'contrabassoon')
    await page.locator('loft-pass').first().waitFor()
    const bars = await page.evaluate(async () => {
      const { room } = document.querySelector('loft-app') as unknown as {
        room: {
          board: { roadmap: { id: string }[] }
          form: { value: { bars: unknown[] } }
          command(kind: string, fields: object): Promise<unknown>
        }
      }
      const [first, ...rest] = room.board.roadmap
      const more = [2, 3, 4, 5].map((turn) => ({ ...first, id: `chorus-${turn}` }))
      await room.command('setRoadmap', { roadmap: [first, ...more, ...rest] })
      const end = performance.now() + 10_000
      while (room.form.value.bars.length < 200 && performance.now() < end)
        await new Promise((resolve) => setTimeout(resolve, 50))
      return room.form.value.bars.length
    })
    expect(bars).toBeGreaterThanOrEqual(200)
    const found: { [width: string]: string[] } = {}
    for (const width of [320, 720, 1440] as const) {
      await page.setViewportSize({ width, height: 900 })
      for (const [name, path, ready] of [
        ['board', '', 'loft-pass ol.bars'],
        ['listen', '/listen', '.sbar'],
        ['people', '/people', 'loft-people h1'],
        ['history', '/history', 'loft-history li'],
      ] as const) {
        await page.goto(`${there}${path}`)
        await page.locator(ready).first().waitFor()
        await page.screenshot({ path: join(SHOTS, `long-${name}-${width}.png`) })
        const out = await sideways(page)
        if (out.length > 0) found[`${name} ${width}`] = out
      }
    }
    expect(found).toEqual({})
    await page.goto(there)
    await page.locator('loft-pass').nth(6).waitFor()
    const frames = await page.evaluate(async () => {
      const gaps: number[] = []
      let last = performance.now()
      const height = document.documentElement.scrollHeight
      for (let at = 0; at < height; at += 60) {
        scrollTo(0, at)
        await new Promise((resolve) => requestAnimationFrame(resolve))
        const now = performance.now()
        gaps.push(now - last)
        last = now
      }
      return gaps.sort((a, b) => a - b)
    })
    console.log(
      `scrolling ${bars} bars: median frame ${frames[Math.floor(frames.length / 2)]?.toFixed(1)} ms, worst ${frames.at(-1)?.toFixed(0)} ms of ${frames.length}`,
    )
    expect(frames[Math.floor(frames.length / 2)]).toBeLessThan(50)
    await context.close()
  })
})
