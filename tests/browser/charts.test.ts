/** Charts in a real browser: what has changed since one's own last print, and the chart on the stand. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp } from '../server/harness.js'
import { comeIn, demoKeys, type House, type Keys, openHouse, type Seat } from './house.js'

let house: House
let keys: Keys
let board = ''
let leader: Seat

interface Roomed {
  readonly room: {
    readonly board: { readonly roadmap: readonly object[]; readonly printed: readonly object[] }
    readonly sounding: { set(value: object): void }
    readonly form: { readonly value: { readonly planHash: string } }
    command(kind: string, fields: object): Promise<unknown>
  }
}

const sheets = (page: Page) => page.locator('.sheets[aria-busy=false] .sheet svg').first().waitFor({ timeout: 120_000 })

beforeAll(async () => {
  house = await openHouse(['--demo'])
  keys = await demoKeys(house)
  board = `${house.server.url}/b/${keys.boardId}`
  leader = await comeIn(house, keys.leader, 'Maro', 'piano')
  await leader.page.addInitScript(() => {
    const awake = { held: 0 }
    Object.assign(globalThis, { awake, print: () => undefined })
    Object.defineProperty(navigator, 'wakeLock', {
      value: {
        request: () => {
          awake.held++
          return Promise.resolve(
            Object.assign(new EventTarget(), { release: () => Promise.resolve(void awake.held--) }),
          )
        },
      },
    })
  })
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

describe('[UI90] changes since one’s own last print', () => {
  it('nothing is said before the first print; afterwards changed bars are listed and ruled, and the print counts for everybody’s history', async () => {
    const { page } = leader
    await page.goto(`${board}/charts`)
    await sheets(page)
    expect(await page.locator('.since').count()).toBe(0)
    await page.getByRole('button', { name: 'Print', exact: true }).click()
    await expect
      .poll(() =>
        page.evaluate(() => (document.querySelector('loft-app') as unknown as Roomed).room.board.printed.length),
      )
      .toBe(1)
    await page.reload()
    await sheets(page)
    await page.getByText('Nothing has changed since you last printed').waitFor()
    // One more chorus at the end of the running order: everything before it is as it was printed.
    await page.evaluate(async () => {
      const { room } = document.querySelector('loft-app') as unknown as Roomed
      const last = room.board.roadmap.at(-1) as { readonly sections: readonly string[] }
      const before = room.form.value.planHash
      await room.command('setRoadmap', {
        roadmap: [...room.board.roadmap.slice(0, -1), { ...last, sections: [...last.sections, last.sections[0]] }],
      })
      const end = performance.now() + 20_000
      while (room.form.value.planHash === before && performance.now() < end)
        await new Promise((resolve) => setTimeout(resolve, 50))
    })
    const told = page.locator('.since p')
    await expect
      .poll(() => told.innerText(), { timeout: 60_000 })
      .toMatch(/^Changed since you last printed, .+: bars? \d+/)
    await expect.poll(() => page.locator('.sheet .changed rect').count()).toBeGreaterThan(1)
    expect(await page.locator('.sheet figcaption').first().innerText()).toMatch(/Bars changed since .+ are ruled\./)
    await page.getByLabel('Show change marks').uncheck()
    await expect.poll(() => page.locator('.sheet .changed').count(), { timeout: 60_000 }).toBe(0)
  })
  it('somebody else’s paper is their own', async () => {
    const { page, context } = await comeIn(house, keys.member, 'Tove', 'bass')
    await page.goto(`${board}/charts`)
    await sheets(page)
    expect(await page.locator('.since').count()).toBe(0)
    await context.close()
  })
})

describe('[UI93] score and all parts in one print', () => {
  it('every chart in the band’s order, each on pages of its own, on the paper chosen; all count as printed', async () => {
    const { page } = leader
    await page.goto(`${board}/charts`)
    await sheets(page)
    await page.evaluate(() =>
      Object.assign(globalThis, { prints: 0, print: () => (globalThis as unknown as { prints: number }).prints++ }),
    )
    await page.getByLabel('Paper').selectOption('letter')
    await page.locator('.sheets[aria-busy=false] .sheet[data-paper=letter]').first().waitFor({ timeout: 120_000 })
    const names = await page.locator('#chart-chart option').allTextContents()
    expect(names.length).toBeGreaterThan(3)
    await page.getByRole('button', { name: 'Print score and all parts' }).click()
    await expect.poll(() => page.evaluate('prints'), { timeout: 120_000 }).toBe(1)
    // The screen shows the one chart still; the printer gets all, each from its first page to its last.
    expect(await page.locator('.everychart').isVisible()).toBe(false)
    const captions = (await page.locator('.everychart figcaption').allTextContents()).map((text) =>
      text.replaceAll(/\s+/g, ' '),
    )
    const told = captions.map((text) => / · (.+?) · .+ · version \d+ · Page (\d+) of (\d+)/.exec(text)?.slice(1) ?? [])
    expect(told).toEqual(
      names.flatMap((name) => {
        const last = Number(told.find(([one]) => one === name)?.[2])
        return Array.from({ length: last }, (_, at) => [name, String(at + 1), String(last)])
      }),
    )
    await page.emulateMedia({ media: 'print' })
    expect(await page.locator('.sheets').isVisible()).toBe(false)
    expect(await page.locator('.choose').isVisible()).toBe(false)
    const pdf = (await page.pdf({ path: 'tests/out/screens/whole-band.pdf', preferCSSPageSize: true })).toString(
      'latin1',
    )
    await page.emulateMedia({ media: null })
    expect(pdf.match(/\/Type\s*\/Page\b/g)).toHaveLength(captions.length)
    // Letter is 612 × 792 points; every page is one.
    const boxes = [...pdf.matchAll(/\/MediaBox\s*\[([^\]]+)\]/g)].map(([, box]) =>
      (box as string)
        .trim()
        .split(/\s+/)
        .map((side) => Math.round(Number(side)))
        .join(' '),
    )
    expect(new Set(boxes)).toEqual(new Set(['0 0 612 792']))
    await page.evaluate(() => dispatchEvent(new Event('afterprint')))
    await expect.poll(() => page.locator('.everychart').count()).toBe(0)
    // Each part is paper this person has.
    await page.getByLabel('Chart', { exact: true }).selectOption({ index: 2 })
    await page.getByText('Nothing has changed since you last printed').waitFor({ timeout: 60_000 })
  })
  it('can be left on the way', async () => {
    const { page } = leader
    await page.goto(`${board}/charts`)
    await sheets(page)
    await page.evaluate(() => {
      const { room } = document.querySelector('loft-app') as unknown as {
        room: { theory: { ask: (call: string, ...args: unknown[]) => Promise<unknown> } }
      }
      const ask = room.theory.ask.bind(room.theory)
      room.theory.ask = async (call, ...args) => {
        if (call === 'chart') await new Promise((resolve) => setTimeout(resolve, 2000))
        return ask(call, ...args)
      }
      Object.assign(globalThis, { prints: 0, print: () => (globalThis as unknown as { prints: number }).prints++ })
    })
    await page.getByRole('button', { name: 'Print score and all parts' }).click()
    await page.getByText(/^\s*Engraving Score, 1 of \d/).waitFor()
    await page.getByRole('button', { name: 'Cancel' }).click()
    await page.waitForTimeout(2500)
    expect(await page.evaluate('prints')).toBe(0)
    expect(await page.locator('.everychart, .printing progress').count()).toBe(0)
  })
})

describe('[UI91] the chart on the stand', () => {
  const leafOf = (page: Page) => page.locator('.standview .sheet').getAttribute('data-page')
  const isAt = (page: Page, wanted: number) => expect.poll(() => leafOf(page), { timeout: 60_000 }).toBe(String(wanted))

  it.each([
    [390, 780],
    [820, 1100],
  ])('my part fills a screen of %i × %i, turned by tap, keys and pedal, the screen kept on', async (width, height) => {
    const { page } = leader
    await page.setViewportSize({ width, height })
    await page.goto(`${board}/stand`)
    await page.locator('.standview .sheet svg').waitFor({ timeout: 120_000 })
    expect(await page.locator('#stand-part').inputValue()).toBe('piano')
    await page.screenshot({ path: `tests/out/screens/stand-${width}.png` })
    const fit = await page.evaluate(() => {
      const leaf = document.querySelector('.leaf') as HTMLElement
      const svg = leaf.querySelector('svg') as SVGSVGElement
      const [, staff] = [...svg.querySelectorAll('g.staff')]
      const lines = [...(staff?.querySelectorAll(':scope > path') ?? [])].map(
        (path) => path.getBoundingClientRect().top,
      )
      return {
        sideways: document.documentElement.scrollWidth - innerWidth,
        wide: svg.getBoundingClientRect().width / leaf.clientWidth,
        staffPx: (lines[4] ?? 0) - (lines[0] ?? 0),
        head: document.querySelector('.top')?.checkVisibility(),
      }
    })
    expect(fit.sideways).toBeLessThanOrEqual(0)
    expect(fit.wide).toBeGreaterThan(0.97)
    expect(fit.staffPx).toBeGreaterThan(24)
    expect(fit.head).toBe(false)
    expect(await page.evaluate(() => (globalThis as unknown as { awake: { held: number } }).awake.held)).toBe(1)
    await isAt(page, 1)
    await page.keyboard.press('PageDown')
    await isAt(page, 2)
    await page.keyboard.press('ArrowRight')
    await isAt(page, 3)
    await page.keyboard.press('PageUp')
    await isAt(page, 2)
    await page.locator('.leaf').click({ position: { x: width * 0.8, y: 200 } })
    await isAt(page, 3)
    await page.locator('.leaf').click({ position: { x: width * 0.1, y: 200 } })
    await isAt(page, 2)
    await page.keyboard.press('Home')
    await isAt(page, 1)
  })
  it('goes with the music: the bar that sounds is shaded and its page shown; a page turned by hand stays', async () => {
    const { page } = leader
    const sound = (barIndex: number, beat: number, isPlaying = true) =>
      page.evaluate((value) => (document.querySelector('loft-app') as unknown as Roomed).room.sounding.set(value), {
        barIndex,
        beat,
        isPlaying,
      })
    const lastOfPage = await page.evaluate(() =>
      Math.max(
        ...[...document.querySelectorAll('.standview .wash')].map((wash) => Number(wash.getAttribute('data-bar'))),
      ),
    )
    await sound(lastOfPage - 1, 0)
    await expect.poll(() => page.locator('.wash.now').getAttribute('data-bar')).toBe(String(lastOfPage))
    await isAt(page, 1)
    await sound(lastOfPage - 1, 2)
    await isAt(page, 2)
    await page.keyboard.press('PageDown')
    await isAt(page, 3)
    await sound(lastOfPage, 0)
    await isAt(page, 3)
    await sound(0, 0)
    await isAt(page, 1)
    await sound(0, 0, false)
    await expect.poll(() => page.locator('.wash.now').count()).toBe(0)
  })
  it('Escape leaves it, and the screen may go dark again', async () => {
    const { page } = leader
    await page.keyboard.press('Escape')
    await page.waitForURL(/\/charts$/)
    expect(await page.evaluate(() => (globalThis as unknown as { awake: { held: number } }).awake.held)).toBe(0)
    expect(leader.complaints).toEqual([])
  })
})
