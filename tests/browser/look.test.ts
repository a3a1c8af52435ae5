/** Every page at three widths in both schemes: pictures for people to look at, no sideways scroll, nothing axe finds serious, keys enough. */
import { mkdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp, ROOT } from '../server/harness.js'
import { comeIn, demoKeys, type House, type Keys, openHouse, type Seat } from './house.js'
import { seat } from './browser.js'

const SHOTS = join(ROOT, 'tests/out/screens')
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
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
    of('polls', '/polls', 'loft-polls h1'),
    of('people', '/people', 'loft-people h1'),
    of('history', '/history', 'loft-history li'),
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

/** What axe finds serious or critical, with the place of it. */
async function axeFindings(page: Page): Promise<string[]> {
  await page.evaluate(AXE)
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: { run(where: Document, how: object): Promise<{ violations: AxeViolation[] }> }
    }
    interface AxeViolation {
      id: string
      impact: string
      nodes: { target: string[]; failureSummary: string }[]
    }
    const { violations } = await axe.run(document, { resultTypes: ['violations'] })
    return violations
      .filter(({ impact }) => impact === 'serious' || impact === 'critical')
      .flatMap(({ id, nodes }) =>
        nodes.slice(0, 4).map(({ target, failureSummary }) => `${id} ${target.join(' ')} ${failureSummary}`),
      )
  })
}

/** Elements that stick out of the page sideways, the desk's own scroller left out. */
const sideways = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const root = document.documentElement
    if (root.scrollWidth <= innerWidth) return []
    const out = [...document.querySelectorAll('body *')].filter((element) => {
      const box = element.getBoundingClientRect()
      return box.right > innerWidth + 1 && box.width > 0 && !element.closest('.three')
    })
    return [
      `page is ${root.scrollWidth} wide in ${innerWidth}`,
      ...out.slice(0, 6).map((element) => `${element.tagName.toLowerCase()}.${element.className}`),
    ]
  })

/** Targets smaller than they should be: 44 px on the player, 24 elsewhere; links in running text are excepted as the guidelines say. */
const smallTargets = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const small: string[] = []
    for (const target of document.querySelectorAll<HTMLElement>(
      'button, a[href], input:not([type=hidden]), select, summary, textarea',
    )) {
      if (!target.checkVisibility({ checkOpacity: false, checkVisibilityCSS: true })) continue
      const own = target.getBoundingClientRect()
      const label = target.matches('input[type=radio], input[type=checkbox]') ? target.closest('label') : null
      const box = label?.getBoundingClientRect() ?? own
      if (box.width === 0 || target.closest('.vh') || target.classList.contains('skip')) continue
      const isInText = target.tagName === 'A' && getComputedStyle(target).display === 'inline'
      const least = target.closest('.player') ? 44 : 24
      if (!isInText && Math.min(box.width, box.height) < least - 0.5)
        small.push(
          `${target.tagName.toLowerCase()}.${target.className} “${(target.innerText || target.getAttribute('aria-label') || '').slice(0, 30)}” ${Math.round(box.width)}×${Math.round(box.height)}`,
        )
    }
    return [...new Set(small)]
  })

describe.each(WIDTHS)('[BR1] every page at %i px', (width) => {
  it('fits, axe finds nothing serious in either scheme, targets can be hit', async () => {
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
      const small = await smallTargets(page)
      if (small.length > 0) found[`${name} targets`] = small
    }
    expect(found).toEqual({})
  })
})
