/** A newer version of the pages comes out while a board is open: the page goes on with its own, the next opening has the new one, nothing is lost. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp } from '../server/harness.js'
import { editByHand, isKept, isReady, openOffline, shows, typeChord } from './desk.js'
import { boardOf, comeIn, type House, openDesk, openHouse, type Seat, slotKeyOf } from './house.js'
import { NET_MENDER } from './net-mender.js'
import { MARK, type NewerPages, newerPages } from './newer-pages.js'

let house: House
let pages: NewerPages
let tove: Seat
let board = ''

beforeAll(async () => {
  house = await openHouse()
  pages = await newerPages(house.server.port)
  const keys = await boardOf(house, 'Net Mender', NET_MENDER)
  board = `${pages.url}/b/${keys.boardId}`
  tove = await comeIn(house, keys.leader.replace(house.server.url, pages.url), 'Tove', 'bass')
})
afterAll(async () => {
  await house?.browser.close()
  pages?.close()
  cleanUp()
})

const isNewer = (page: Page) => page.evaluate((mark) => document.querySelector(`meta[name="${mark}"]`) !== null, MARK)
const cachesOf = (page: Page) =>
  page.evaluate(async () => (await caches.keys()).filter((name) => name.startsWith('chartloft-app-')).toSorted())
const NEWER_CACHE = 'chartloft-app-ffffffffffffffff'
/** What a browser does by itself at navigations and once a day. */
const lookForNews = (page: Page) =>
  page.evaluate(async () => {
    const registered = await navigator.serviceWorker.getRegistration()
    await registered?.update()
  })
const waits = (page: Page) =>
  page.evaluate(async () => {
    const registered = await navigator.serviceWorker.getRegistration()
    return registered?.waiting !== null && registered?.waiting !== undefined
  })

/** Under load Chromium now and then leaves a navigation unanswered while one worker hands over to the next; a person would open the page again. */
async function openedAtLast(page: Page): Promise<void> {
  for (let tries = 0; tries < 3; tries++) {
    const isOpen = await page.goto(board, { waitUntil: 'commit', timeout: 15_000 }).then(
      () => true,
      () => false,
    )
    if (isOpen) return
    console.log(`opening the board was left unanswered (${tries + 1})`)
  }
  throw new Error('the board does not open while a newer version waits')
}

describe('[BR55] a newer version of the pages', () => {
  it('waits while the board is open, offline too: the page goes on as it was, its edits wait', async () => {
    const { page, context } = tove
    const harmony = await slotKeyOf(page, board, 'harmony')
    await openDesk(page, board, harmony)
    await isKept(page, 'Saved')
    await isReady(page)
    const before = await cachesOf(page)
    pages.publish()
    await lookForNews(page)
    await expect.poll(() => waits(page), { timeout: 20_000 }).toBe(true)
    expect(await cachesOf(page)).toEqual([...before, NEWER_CACHE].toSorted())
    expect(await isNewer(page)).toBe(false)
    const [first = ''] = await editByHand(page, 1)
    await context.setOffline(true)
    await isKept(page, 'Offline')
    await typeChord(page, 1, first, 'Abmaj7')
    await shows(page, 1, 'A♭maj7')
    await isKept(page, 'Offline, 1 edit waiting')
    // Opened again without a network: whichever version answers, the board is there and the edit still waits.
    await openOffline(page)
    await isKept(page, 'Offline, 1 edit waiting')
    await page.locator('loft-option ol.bars').first().waitFor({ timeout: 60_000 })
    await shows(page, 1, 'A♭maj7')
  })

  it('does not take over while another page of the board is open, and does at the next opening; nothing is lost', async () => {
    const { page, context } = tove
    await context.setOffline(false)
    await isKept(page, 'Saved')
    const other = await context.newPage()
    await openedAtLast(other)
    await other.locator('loft-pass').first().waitFor()
    await isKept(page, 'Saved')
    await page.reload()
    await shows(page, 1, 'A♭maj7')
    await other.close()
    // The page that asks first still came from the old worker; the one after it is the new one's.
    await expect
      .poll(
        async () => {
          await page.reload()
          await page.locator('loft-option ol.bars').first().waitFor()
          return cachesOf(page)
        },
        { timeout: 60_000, interval: 1000 },
      )
      .toEqual([NEWER_CACHE])
    expect(await waits(page)).toBe(false)
    expect(await isNewer(page)).toBe(true)
    await shows(page, 1, 'A♭maj7')
    await isKept(page, 'Saved')
    await context.setOffline(true)
    await openOffline(page)
    await shows(page, 1, 'A♭maj7')
    expect(await isNewer(page)).toBe(true)
    expect(tove.complaints.filter((text) => !/ERR_INTERNET_DISCONNECTED|WebSocket/.test(text))).toEqual([])
  })
})
