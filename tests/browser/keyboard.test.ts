/** The twelve moves without a pointer, and what is read out meanwhile to somebody who does not see the page. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp } from '../server/harness.js'
import { type House, openHouse, type Seat } from './house.js'
import { seat } from './browser.js'
import { tabAndPress, tabTo } from './keys.js'

let house: House
let leader: Seat
let member: Seat
let board = ''

beforeAll(async () => {
  house = await openHouse()
  leader = await seat(house.browser)
  member = await seat(house.browser)
  await Promise.all([listenTo(leader.page), listenTo(member.page)])
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

/** What a page says politely, every line since it was opened: lines leave the region once they are old. */
async function listenTo(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const said: string[] = []
    ;(globalThis as unknown as { said: string[] }).said = said
    new MutationObserver((changes) => {
      for (const { addedNodes } of changes)
        for (const node of addedNodes)
          if (node instanceof HTMLElement && node.parentElement?.matches('[role=log][aria-live=polite]'))
            said.push(node.textContent ?? '')
    }).observe(document, { subtree: true, childList: true })
  })
}
const readOut = (page: Page) =>
  expect.poll(() => page.evaluate(() => (globalThis as unknown as { said: string[] }).said.join('\n')), {
    timeout: 15_000,
  })

async function toDesk(page: Page, kind: string): Promise<void> {
  await page.goto(board)
  await page.locator('loft-pass ol.bars').first().waitFor()
  await tabAndPress(page, new RegExp(`^${kind}(, (open|being)|: )`))
  await page.locator('loft-option ol.bars').first().waitFor({ timeout: 60_000 })
}

describe('[BR5] the twelve moves with the keyboard alone, and what is read out', () => {
  it('1, 2: the leader opens a board with a demo tune, and reads its key, metre and form', async () => {
    const { page } = leader
    await page.goto(house.server.url)
    await page.getByRole('heading', { name: 'Bring a tune' }).waitFor()
    await tabAndPress(page, /Open this demo tune/)
    await page.getByRole('button', { name: 'Yes, open the board' }).waitFor({ timeout: 30_000 })
    await tabAndPress(page, /^Yes, open the board$/)
    await page.getByRole('button', { name: 'I have kept them' }).waitFor({ timeout: 30_000 })
    const links = await page.locator('loft-keys code').allInnerTexts()
    await tabAndPress(page, /^I have kept them$/)
    await page.locator('loft-keys').waitFor({ state: 'detached' })
    await page.locator('loft-pass ol.bars').first().waitFor({ timeout: 30_000 })
    await tabTo(page, /What does the band call you/)
    await page.keyboard.type('Maro')
    await tabAndPress(page, /That’s me/)
    board = page.url().split('#')[0] as string
    await expect.poll(() => page.locator('.title .sub').innerText()).toMatch(/major|minor/)
    const band = links.find((link, index) => index === 1 && link.includes('/b/')) as string
    await member.page.goto(band)
    await member.page.locator('loft-pass').first().waitFor()
  })

  it('3: picks another key, and everybody hears of it', async () => {
    const { page } = leader
    await page.goto(`${board}/band`)
    await page.locator('.keylist li').first().waitFor()
    await tabAndPress(page, /^Play it in /)
    await readOut(member.page).toMatch(/^Key: .*by Maro\.$/m)
  })

  it('4, 5, 6: opens a decision, rewrites a chord of an answer, hears it in place; start and stop are read out', async () => {
    const { page } = leader
    await toDesk(page, 'New harmony')
    await tabAndPress(page, /^Hear option 1/)
    await page.locator('section.player[data-stage=playing]').waitFor({ timeout: 30_000 })
    await readOut(page).toMatch(/^It plays from bar \d+\.$/m)
    await readOut(member.page).toMatch(/^New harmony: .*in place for everybody\.$/m)
    await tabAndPress(page, /^Edit by hand$/)
    await tabTo(page, /^Bar \d+, beat \d+$/)
    await page.keyboard.press('ControlOrMeta+a')
    await page.keyboard.type('Ebmaj9')
    await page.keyboard.press('Tab')
    await expect
      .poll(async () =>
        (await page.locator('loft-option ol.bars .ch').allInnerTexts()).map((text) => text.replaceAll(/\s/g, '')),
      )
      .toContain('E♭maj9')
    await page.locator('main').focus()
    await page.keyboard.press('Space')
    await page.locator('section.player[data-stage=stopped]').waitFor()
    await readOut(page).toMatch(/^It has stopped\.$/m)
  })

  it('7: hears one part alone, more slowly', async () => {
    const { page } = leader
    await tabAndPress(page, /^My part and practice$/)
    await tabTo(page, /^My part$/)
    await page.keyboard.press('ArrowDown')
    await tabTo(page, /^I hear$/)
    await page.keyboard.press('ArrowDown')
    await tabAndPress(page, /^Slower$/)
    await expect.poll(() => page.locator('#i-hear').inputValue()).toBe('only-me')
    await expect.poll(() => page.locator('.player output').first().innerText()).not.toBe('100 %')
  })

  it('8: says something at a bar, asks everybody, and votes; the vote is read out', async () => {
    const { page } = leader
    await tabAndPress(page, /^Say something at a bar$/)
    await tabTo(page, /^What do you want to say\?/)
    await page.keyboard.type('Softer here.')
    await tabAndPress(page, /^Pin it there$/)
    await page.locator('loft-option a.pin').first().waitFor()
    await tabAndPress(page, /^Ask everybody$/)
    await tabAndPress(page, /^Open the vote$/)
    await readOut(member.page).toMatch(/^Vote opened: .*by Maro\.$/m)
    await tabAndPress(page, /^I can live with 1$/, 'Space')
    await readOut(page).toMatch(/^Your vote is in\.$/m)
  })

  it('9: locks with a reason; the lock is read out', async () => {
    const { page } = leader
    await tabAndPress(page, /^1 /, 'Space')
    await tabTo(page, /^Why, for everybody to read$/)
    await page.keyboard.type('we all heard it')
    await tabAndPress(page, /^Lock option 1$/)
    await page.locator('loft-lock .lockedby').waitFor({ timeout: 20_000 })
    await readOut(member.page).toMatch(/^New harmony locked: .*by Maro\.$/m)
  })

  it('10: settles how often the solos go round', async () => {
    const { page } = leader
    await page.goto(`${board}/band`)
    await page.locator('.keylist li').first().waitFor()
    await tabTo(page, /How often/)
    await page.keyboard.press('ArrowDown')
    await tabAndPress(page, /^Save who plays when$/)
    await readOut(member.page).toMatch(/^Running order changed, by Maro\.$/m)
  })

  it('11: takes the score home', async () => {
    const { page } = leader
    await page.goto(`${board}/charts`)
    await page.locator('.sheets[aria-busy=false] .sheet svg').first().waitFor({ timeout: 90_000 })
    await tabTo(page, /^Score, MusicXML/)
    const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Enter')])
    expect(download.suggestedFilename()).toMatch(/\.musicxml$/)
  })

  it('12: changes it after the rehearsal: unlocked with a reason, another answer locked', async () => {
    const { page } = leader
    await toDesk(page, 'New harmony')
    await tabTo(page, /^Why it opens again$/)
    await page.keyboard.type('too dark in the shed')
    await tabAndPress(page, /^Unlock$/)
    await readOut(member.page).toMatch(/^New harmony unlocked: “too dark in the shed”, by Maro\.$/m)
    await page.locator('loft-lock form').waitFor()
    // One stop for the whole group; arrows choose in it.
    await tabAndPress(page, /^1 /, 'ArrowDown')
    await tabAndPress(page, /^Lock option \d+$/)
    await page.locator('loft-lock .lockedby').waitFor({ timeout: 20_000 })
    expect(leader.complaints.filter((text) => !/status of 4/.test(text))).toEqual([])
  })
})
