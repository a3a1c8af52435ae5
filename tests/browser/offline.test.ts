/** Without a network: the board opens, is edited, played and read; two people who rewrote the same bar are both told; undo stays one's own. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp } from '../server/harness.js'
import { editByHand, isKept, isReady, openOffline, option, shows, typeChord } from './desk.js'
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
let tove: Seat
let perrin: Seat
let board = ''
let harmony = ''

beforeAll(async () => {
  house = await openHouse()
  keys = await boardOf(house, 'Net Mender', NET_MENDER)
  board = `${house.server.url}/b/${keys.boardId}`
  tove = await comeIn(house, keys.leader, 'Tove', 'bass')
  perrin = await comeIn(house, keys.member, 'Perrin', 'drums')
  harmony = await slotKeyOf(tove.page, board, 'harmony')
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

const chart = (page: Page) => page.locator('.sheets[aria-busy=false] .sheet svg').first()
const told = (page: Page) => page.locator('loft-merged')
const undoText = async (page: Page) => (await page.getByRole('button', { name: /^Undo/ }).textContent())?.trim()

/** What this browser holds of the board. */
const heldBy = (page: Page) =>
  page.evaluate(async (boardId) => {
    const names = (await indexedDB.databases()).map(({ name }) => name)
    const noted = Object.keys(localStorage).filter((key) => key.includes(boardId))
    const opened = indexedDB.open('chartloft')
    const count = await new Promise<number>((resolve) => {
      opened.onsuccess = () => {
        const keys = opened.result.transaction('boards').objectStore('boards').getAllKeys()
        keys.onsuccess = () => {
          opened.result.close()
          resolve(keys.result.filter((key) => key === boardId).length)
        }
      }
    })
    return { draft: names.includes(`chartloft:${boardId}`), noted: noted.length > 0, boards: count }
  }, keys.boardId)

describe('[BR50] a board without a network', () => {
  it('opens after a reload as it was last seen, says so, and keeps edits waiting through another reload', async () => {
    const { page, context } = tove
    await page.goto(board)
    await isKept(page, 'Saved')
    await isReady(page)
    // Whoever has looked at a chart once has the engraver.
    await page.goto(`${board}/charts`)
    await chart(page).waitFor({ timeout: 60_000 })
    await page.goto(board)
    await page.locator('loft-pass').first().waitFor()
    await context.setOffline(true)
    await openOffline(page)
    await page.getByRole('heading', { name: 'Net Mender', level: 1 }).waitFor()
    await page.locator('loft-pass').first().waitFor()
    await isKept(page, 'Offline')
    await page.getByText('No network: this is the board as this browser last saw it.').waitFor()
    await openDesk(page, board, harmony)
    const [first = ''] = await editByHand(page, 1)
    await typeChord(page, 1, first, 'Abmaj7')
    await shows(page, 1, 'A♭maj7')
    await isKept(page, 'Offline, 1 edit waiting')
    await page.reload()
    await isKept(page, 'Offline, 1 edit waiting')
    await shows(page, 1, 'A♭maj7')
    expect(await undoText(page)).toMatch(/^Undo: A♭maj7 in bar \d+/)
  })

  it('plays, engraves, and a lock says that it needs the server', async () => {
    const { page } = tove
    await option(page, 1)
      .getByRole('button', { name: /^Hear 1/ })
      .click()
    await page.locator('section.player[data-stage=playing]').waitFor({ timeout: 20_000 })
    const notes = () =>
      page.evaluate(
        () => (document.querySelector('loft-player') as unknown as Listened).listening.player.started.length,
      )
    await expect.poll(notes).toBeGreaterThan(8)
    await page.getByRole('button', { name: 'Stop', exact: true }).click()
    await page.locator('loft-lock input[type=radio]').first().check()
    await page.locator('loft-lock button.main').click()
    await expect
      .poll(() => page.locator('.trouble[role=alert]').innerText())
      .toMatch(/^Not locked\. The server cannot be reached/)
    await page.locator('.trouble').getByRole('button', { name: 'Close' }).click()
    await isKept(page, 'Offline, 2 edits waiting')
    await page.goto(`${board}/charts`)
    await chart(page).waitFor({ timeout: 60_000 })
    expect(tove.complaints.filter((text) => !/ERR_INTERNET_DISCONNECTED/.test(text))).toEqual([])
  })

  it('sends what waited once there is a network again', async () => {
    await tove.context.setOffline(false)
    await isKept(tove.page, 'Saved')
    await openDesk(perrin.page, board, harmony)
    await shows(perrin.page, 1, 'A♭maj7')
    expect(await told(tove.page).locator('li').count()).toBe(0)
  })
})

describe('[BR51] two people who rewrote the same bar while they could not hear each other', () => {
  it('both read it in words, keep the other bars of both, and may take their own back', async () => {
    await Promise.all([tove, perrin].map(({ page }) => openDesk(page, board, harmony)))
    const places = await editByHand(tove.page, 2)
    await editByHand(perrin.page, 2)
    const bars = [...new Set(places.map((place) => place.split(',')[0]))]
    const at = (index: number) => places.find((place) => place.startsWith(`${bars[index]},`)) as string
    // Both have seen the answer edited before.
    await typeChord(tove.page, 2, at(1), 'Ebmaj7')
    await shows(perrin.page, 2, 'E♭maj7')
    // Others see an edit before its maker hears that it is on disk.
    await Promise.all([isKept(tove.page, 'Saved'), isKept(perrin.page, 'Saved')])
    await Promise.all([tove.context.setOffline(true), perrin.context.setOffline(true)])
    await Promise.all([isKept(tove.page, 'Offline'), isKept(perrin.page, 'Offline')])
    await typeChord(tove.page, 2, at(0), 'Gm11')
    await typeChord(tove.page, 2, at(1), 'Ebmaj9')
    await typeChord(perrin.page, 2, at(0), 'Db13')
    await shows(perrin.page, 2, 'D♭13')
    await isKept(tove.page, 'Offline, 2 edits waiting')
    await perrin.context.setOffline(false)
    await isKept(perrin.page, 'Saved')
    await tove.context.setOffline(false)
    await isKept(tove.page, 'Saved')
    for (const { page } of [tove, perrin]) await shows(page, 2, 'E♭maj9')
    await told(perrin.page).locator('li').first().waitFor()
    await told(tove.page).locator('li').first().waitFor()
    const said = [await told(tove.page).innerText(), await told(perrin.page).innerText()]
    const toveStands = said[0]?.includes('your Gm11 stands')
    const [winner, loser] = toveStands ? [tove, perrin] : [perrin, tove]
    const [stands, lost] = toveStands ? ['Gm11', 'D♭13'] : ['D♭13', 'Gm11']
    const bar = at(0).split(',')[0]?.toLowerCase() ?? ''
    await loser.page.screenshot({ path: 'tests/out/screens/merged-1440.png' })
    expect(said[toveStands ? 1 : 0]).toContain(
      `Two people rewrote ${bar}: ${toveStands ? 'Tove' : 'Perrin'}’s ${stands} stands; yours was ${lost}.`,
    )
    expect(said[toveStands ? 0 : 1]).toContain(`Two people rewrote ${bar}: your ${stands} stands`)
    await told(loser.page).getByRole('button', { name: 'Take yours' }).click()
    for (const one of [winner, loser]) {
      await shows(one.page, 2, lost)
      await told(one.page).locator('li').first().waitFor({ state: 'detached' })
    }
  })
})

describe('[BR52] undo', () => {
  it('names the step, takes back one’s own only, and still does after a reload', async () => {
    await Promise.all([tove, perrin].map(({ page }) => openDesk(page, board, harmony)))
    const places = await editByHand(tove.page, 3)
    await editByHand(perrin.page, 3)
    const [one = '', two = ''] = places
    await typeChord(tove.page, 3, one, 'F#7')
    await shows(perrin.page, 3, 'F♯7')
    await typeChord(perrin.page, 3, two, 'B9')
    await shows(tove.page, 3, 'B9')
    await isKept(tove.page, 'Saved')
    await tove.page.reload()
    await shows(tove.page, 3, 'F♯7')
    expect(await undoText(tove.page)).toMatch(/^Undo: F♯7 in bar \d+/)
    await tove.page.locator('h1').click()
    await tove.page.keyboard.press('Control+z')
    await expect
      .poll(async () => (await option(perrin.page, 3).locator('ol.bars .ch').allInnerTexts()).join(' '))
      .not.toMatch(/F\s*♯\s*7/)
    await shows(tove.page, 3, 'B9')
    await tove.page.keyboard.press('Control+Shift+z')
    await shows(perrin.page, 3, 'F♯7')
    await shows(perrin.page, 3, 'B9')
  })
})

describe('[BR54] a locked place', () => {
  it('keeps an edit made without a network aside, names it, and offers it once unlocked', async () => {
    const ending = await slotKeyOf(tove.page, board, 'ending')
    await Promise.all([tove, perrin].map(({ page }) => openDesk(page, board, ending)))
    const [first = ''] = await editByHand(perrin.page, 2)
    await perrin.context.setOffline(true)
    await isKept(perrin.page, 'Offline')
    await typeChord(perrin.page, 2, first, 'A13')
    await shows(perrin.page, 2, 'A13')
    await tove.page.getByRole('radio', { name: /^2 / }).check()
    await tove.page.locator('loft-lock button.main').click()
    await tove.page.locator('loft-lock .lockedby').waitFor()
    await perrin.context.setOffline(false)
    await isKept(perrin.page, 'Saved')
    for (const { page } of [tove, perrin]) {
      const aside = page.locator('loft-lock .lockedby .aside')
      await aside.waitFor()
      expect(await aside.innerText()).toMatch(/Kept aside while this is locked[\s\S]*A13 in bar \d+/)
      expect((await option(page, 2).locator('ol.bars .ch').allInnerTexts()).join(' ')).not.toMatch(/A\s*13/)
    }
    await tove.page.getByLabel('Why it opens again').fill('Perrin had an idea')
    await tove.page.getByRole('button', { name: 'Unlock' }).click()
    await perrin.page.locator('loft-lock .aside').waitFor()
    await perrin.page.screenshot({ path: 'tests/out/screens/kept-aside-1440.png', fullPage: true })
    await perrin.page
      .locator('loft-lock .aside li')
      .filter({ hasText: 'A13' })
      .getByRole('button', { name: 'Put it in place' })
      .click()
    await shows(tove.page, 2, 'A13')
    await perrin.page.locator('loft-lock .aside').waitFor({ state: 'detached' })
  })
})

describe('[BR53] what a browser keeps of a board', () => {
  it('goes when the link was taken back meanwhile, as soon as there is a network again', async () => {
    await tove.page.goto(`${board}/people`)
    await tove.page.getByLabel('A note, so that you know it again').fill('the dep')
    await tove.page.getByRole('button', { name: 'Make the link' }).click()
    const dep = await comeIn(house, await tove.page.locator('.onelink code').innerText(), 'Ansel')
    await dep.page.locator('loft-pass').first().waitFor()
    await isReady(dep.page)
    await expect.poll(() => heldBy(dep.page)).toEqual({ draft: true, noted: true, boards: 1 })
    await dep.context.setOffline(true)
    await isKept(dep.page, 'Offline')
    await openOffline(dep.page)
    await dep.page.locator('loft-pass').first().waitFor()
    await tove.page.locator('li').filter({ hasText: 'the dep' }).getByRole('button', { name: 'Take it back' }).click()
    await tove.page.locator('li').filter({ hasText: 'taken back' }).waitFor()
    await dep.context.setOffline(false)
    await dep.page.getByText('This link was taken back or has run out. Ask the leader for a new one.').waitFor()
    await expect.poll(() => heldBy(dep.page)).toEqual({ draft: false, noted: false, boards: 0 })
    await dep.context.close()
  })

  it('is nothing any server answer holds, and goes when the board goes', async () => {
    const { page } = perrin
    await page.goto(board)
    await isReady(page)
    const cached = await page.evaluate(async () => {
      const urls: string[] = []
      for (const name of await caches.keys())
        for (const { url } of await (await caches.open(name)).keys()) urls.push(new URL(url).pathname)
      return urls
    })
    expect(cached.filter((path) => !/^\/(assets\/|index\.html$|icon\.svg$|manifest\.webmanifest$)/.test(path))).toEqual(
      [],
    )
    expect(JSON.stringify(cached)).not.toContain(keys.boardId)
    await expect.poll(() => heldBy(page)).toEqual({ draft: true, noted: true, boards: 1 })
    await tove.page.goto(`${board}/people`)
    await tove.page.getByText('Delete this board').click()
    await tove.page.getByRole('textbox', { name: 'Net Mender' }).fill('Net Mender')
    await tove.page.getByRole('button', { name: 'Delete it for good' }).click()
    await page.getByText('There is no such board any more.').waitFor()
    await expect.poll(() => heldBy(page)).toEqual({ draft: false, noted: false, boards: 0 })
    await perrin.context.setOffline(true)
    await page.reload()
    await page.getByText('This browser has nothing of this board').waitFor()
    expect(await page.locator('loft-board').count()).toBe(0)
  })
})
