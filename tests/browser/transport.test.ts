/** Playing together over its turns: another tempo while it plays, the leader leaves, a page nobody looks at, a device that sounds late. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp } from '../server/harness.js'
import { apart, started } from './apart.js'
import { playing, press, stopped } from './desk.js'
import {
  boardOf,
  comeIn,
  type House,
  type Keys,
  type Listened,
  openDesk,
  openHouse,
  type Seat,
  slotKeyOf,
} from './house.js'
import { NET_MENDER } from './net-mender.js'

let house: House
let keys: Keys
let maro: Seat
let tove: Seat
let board = ''

beforeAll(async () => {
  house = await openHouse()
  keys = await boardOf(house, 'Net Mender', NET_MENDER)
  board = `${house.server.url}/b/${keys.boardId}`
  maro = await comeIn(house, keys.leader, 'Maro', 'piano')
  tove = await comeIn(house, keys.member, 'Tove', 'bass')
  await Promise.all([maro, tove].map(({ page }) => page.locator('loft-pass').first().waitFor()))
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

const openSettings = async (page: Page) => {
  const button = page.getByRole('button', { name: 'My part and practice' })
  if ((await button.isVisible()) && (await button.getAttribute('aria-expanded')) === 'false') await button.click()
}
const middle = (list: readonly number[]) => list.toSorted((a, b) => a - b)[Math.floor(list.length / 2)] ?? Infinity

describe('[BR26] playing together', () => {
  it('takes everybody along to another tempo while it plays, whoever asks for it', async () => {
    await press(maro.page, 'Play')
    await Promise.all([playing(maro.page), playing(tove.page)])
    await openSettings(tove.page)
    await press(tove.page, 'Slower')
    const tempi = () =>
      Promise.all(
        [maro, tove].map(({ page }) =>
          page.evaluate(
            () => (document.querySelector('loft-player') as unknown as Listened).listening.tempoScale.value,
          ),
        ),
      )
    await expect.poll(tempi).toEqual([0.95, 0.95])
    await Promise.all([playing(maro.page), playing(tove.page)])
    await tove.page.waitForTimeout(2500)
    const off = await apart(maro.page, tove.page)
    console.log(`after the change of tempo two pages are ${middle(off).toFixed(1)} ms apart over ${off.length} notes`)
    expect(off.length).toBeGreaterThan(5)
    expect(Math.abs(middle(off))).toBeLessThan(30)
  })

  it('goes on when whoever started it leaves, and anybody may stop it', async () => {
    await press(maro.page, 'Stop')
    await Promise.all([stopped(maro.page), stopped(tove.page)])
    await press(maro.page, 'Play')
    await Promise.all([playing(maro.page), playing(tove.page)])
    await maro.page.goto('about:blank')
    await tove.page.waitForTimeout(1000)
    const before = (await started(tove.page)).at(-1)?.epochMs ?? Infinity
    await expect.poll(async () => (await started(tove.page)).at(-1)?.epochMs).toBeGreaterThan(before + 500)
    await press(tove.page, 'Stop')
    await stopped(tove.page)
    await maro.page.goto(board)
    await maro.page.locator('loft-pass').first().waitFor()
    expect(await maro.page.locator('section.player[data-stage=playing]').count()).toBe(0)
  })

  it('a page nobody looks at plays on, and what is heard in place ends there on time', async () => {
    const ending = await slotKeyOf(tove.page, board, 'ending')
    await openDesk(tove.page, board, ending)
    // What a browser does to a page in the background: nothing is drawn any more.
    await tove.page.evaluate(() => {
      globalThis.requestAnimationFrame = () => 0
    })
    await tove.page.locator('loft-option').first().getByRole('button', { name: /^Hear/ }).click()
    await expect.poll(async () => (await started(tove.page)).length, { timeout: 20_000 }).toBeGreaterThan(8)
    await stopped(tove.page)
    const last = (await started(tove.page)).at(-1)?.epochMs
    await tove.page.waitForTimeout(900)
    expect((await started(tove.page)).at(-1)?.epochMs).toBe(last)
  })
})

describe('[BR27] a device that sounds late', () => {
  it('is made up for at the start, on this device only, and stays set', async () => {
    await Promise.all([maro, tove].map(({ page }) => page.goto(board)))
    for (const { page } of [maro, tove]) await page.locator('loft-pass').first().waitFor()
    await press(maro.page, 'Play')
    await Promise.all([playing(maro.page), playing(tove.page)])
    await openSettings(tove.page)
    for (let step = 0; step < 20; step++) await press(tove.page, 'Later')
    expect(await tove.page.locator('loft-latency output').innerText()).toBe('100 ms')
    await press(maro.page, 'Stop')
    await stopped(tove.page)
    await press(maro.page, 'Play')
    await Promise.all([playing(maro.page), playing(tove.page)])
    await tove.page.waitForTimeout(2500)
    const off = await apart(maro.page, tove.page)
    console.log(`made up for 100 ms: ${middle(off).toFixed(1)} ms earlier`)
    expect(Math.abs(middle(off) - 100)).toBeLessThan(30)
    await press(maro.page, 'Stop')
    await stopped(tove.page)
    await tove.page.reload()
    await press(tove.page, 'Play')
    await playing(tove.page)
    await openSettings(tove.page)
    expect(await tove.page.locator('loft-latency output').innerText()).toBe('100 ms')
  })

  it('is found by tapping along', async () => {
    const { page } = tove
    await page.getByRole('button', { name: 'Find it by tapping along' }).click()
    const button = page.getByRole('button', { name: 'Tap with every click' })
    await button.waitFor()
    await page.evaluate(async () => {
      const element = document.querySelector('loft-latency') as unknown as { readonly clicks: readonly number[] }
      const target = [...document.querySelectorAll<HTMLElement>('loft-latency button')].at(-1)
      for (const click of element.clicks) {
        await new Promise((resolve) => setTimeout(resolve, click + 60 - performance.now()))
        const tap = new PointerEvent('pointerdown', { bubbles: true })
        // A finger's tap carries the time of the finger, however late a busy page hears of it.
        Object.defineProperty(tap, 'timeStamp', { value: click + 60 })
        target?.dispatchEvent(tap)
      }
    })
    await page.getByText(/^Found: 1[56]\d ms late/).waitFor({ timeout: 20_000 })
    await page.locator('loft-latency').screenshot({ path: 'tests/out/screens/latency.png' })
    expect([...maro.complaints, ...tove.complaints].filter((text) => !/ERR_ABORTED|WebSocket/.test(text))).toEqual([])
  })
})
