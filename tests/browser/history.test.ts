/** History and comments: a version named, a choice changed, the two compared bar by bar, the old one brought back; a comment that keeps its bar through all of it. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp } from '../server/harness.js'
import { boardOf, comeIn, type House, openDesk, openHouse, type Seat, slotKeyOf } from './house.js'
import { NET_MENDER } from './net-mender.js'

let house: House
let leader: Seat
let member: Seat
let board = ''

beforeAll(async () => {
  house = await openHouse()
  const keys = await boardOf(house, 'Net Mender', NET_MENDER)
  board = `${house.server.url}/b/${keys.boardId}`
  leader = await comeIn(house, keys.leader, 'Maro', 'piano')
  member = await comeIn(house, keys.member, 'Tove', 'bass')
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

const SAID = 'Breathe before this one.'
/** The number of the bar a pin stands at on the board. */
const pinnedBar = (page: Page) =>
  page.locator('loft-pass li.bar:has(a.pin)').first().getAttribute('data-bar', { timeout: 15_000 })
const openHistory = async (page: Page, at = '') => {
  await page.goto(`${board}/history${at && `/${at}`}`)
  await page.locator('loft-history h1').waitFor()
}
/** Puts the option with this title on the desk and locks it. */
async function lock(page: Page, slot: string, title: RegExp): Promise<void> {
  await openDesk(page, board, slot)
  const all = page.getByRole('button', { name: /^Show all/ })
  if (await all.count()) await all.click()
  const box = page.locator('.all li').filter({ hasText: title }).first().locator('input')
  await box.check()
  const number = await page.locator('.all li').filter({ hasText: title }).first().locator('.big').innerText()
  await page
    .locator(`loft-lock label`)
    .filter({ hasText: new RegExp(`^\\s*${number}\\b`) })
    .locator('input[type=radio]')
    .check()
  await page.locator('loft-lock button.main').click()
  await page.locator('loft-lock .lockedby').waitFor()
}
const fact = (page: Page, term: string) =>
  page
    .locator('.ledgerfacts > div')
    .filter({ has: page.locator('dt', { hasText: new RegExp(`^${term}`) }) })
    .locator('dd')
    .first()

describe('[BR60] history and comments', () => {
  it('a member names the state and pins a comment to bar 6', async () => {
    const { page } = member
    await openHistory(page)
    await page.getByLabel('Name the board as it stands now').fill('First evening')
    await page.getByRole('button', { name: 'Name it' }).click()
    await page.getByRole('region', { name: 'Named versions' }).getByText('“First evening”').waitFor()
    await page.goto(board)
    await page.getByRole('button', { name: 'Say something at a bar' }).click()
    await page.getByLabel('What do you want to say?').fill(SAID)
    await page.locator('loft-comments select').selectOption({ label: '6' })
    await page.getByRole('button', { name: 'Pin it there' }).click()
    expect(await pinnedBar(page)).toBe('6')
  })

  it('new chords locked: the named version and now differ in bars, each told in words and drawn twice', async () => {
    const { page } = leader
    await lock(page, await slotKeyOf(page, board, 'harmony'), /./)
    await openHistory(page)
    await page
      .getByRole('region', { name: 'Named versions' })
      .getByRole('link', { name: /^Compare with now/ })
      .click()
    const count = page.locator('loft-compare .lead')
    await expect.poll(() => count.innerText(), { timeout: 20_000 }).toMatch(/^\d+ bars? changed; \d+ bars as before\.$/)
    const changed = Number(/^\d+/.exec(await count.innerText())?.[0])
    const lines = page.locator('.changes > li')
    expect(await lines.first().innerText()).toMatch(/chorus, (A|B|last A|A again), bars? \d/)
    expect(await lines.first().innerText()).toMatch(/[A-G]\S* became [A-G]/)
    expect(await page.locator('.sides > div').count()).toBe(2 * (await lines.count()))
    expect(await page.locator('.sides > div:nth-child(2) li.bar').count()).toBe(changed)
    await expect.poll(() => fact(page, 'New harmony').innerText()).not.toBe('')
  })

  it('a 7/4 groove is told once, with its tempo; the comment stands in the bar that holds its bar', async () => {
    const { page } = leader
    await lock(page, await slotKeyOf(page, board, 'groove'), /Relaxed 7\/4/)
    await page.goto(board)
    expect(await pinnedBar(page)).toBe('3')
    await expect.poll(() => member.page.locator('loft-comments li').innerText()).toContain('bar 3')
    await openHistory(page)
    const form = page.getByRole('form', { name: 'Compare two states' })
    const before = form.getByLabel('Compare', { exact: true })
    const harmony = before.locator('option', { hasText: 'New harmony locked' })
    await before.selectOption(await harmony.getAttribute('value', { timeout: 5000 }))
    await form.getByLabel('with').selectOption({ label: 'Now, as locked' })
    await form.getByRole('button', { name: 'Show what changed' }).click()
    await expect.poll(() => fact(page, 'Metre').innerText(), { timeout: 20_000 }).toBe('4/4 became 7/4')
    expect(await page.locator('loft-compare .lead').innerText()).toBe('No bar has other chords or other notes.')
    expect(await page.locator('.changes').count()).toBe(0)
    expect(page.url()).toMatch(/\/history\/\d+-now$/)
  })

  it('a bar that is not played lists its comment and loses nothing', async () => {
    const { page } = member
    await page.goto(board)
    await page.locator('loft-comments li').waitFor()
    await page.evaluate(() => {
      const { room } = document.querySelector('loft-comments') as unknown as {
        room: { draft: { comment(anchor: object, text: string, by: string, at: number): void } }
      }
      room.draft.comment({ passId: 'chorus-9', sectionId: 'B1', bar: 1, tuneBar: 17 }, 'Louder here.', 'Tove', 1)
    })
    const gone = page.getByRole('list', { name: 'At bars that are not played now' })
    await expect.poll(() => gone.innerText()).toMatch(/was bar 2 of B; its bar is no longer played\s+Louder here\./)
  })

  it('what stood then is read by anybody, and the leader brings it back as a new entry', async () => {
    await openHistory(member.page)
    await member.page
      .getByRole('link', { name: /^What stood then/ })
      .last()
      .click()
    await member.page.getByRole('heading', { name: 'After entry 1', level: 1 }).waitFor()
    await expect.poll(() => fact(member.page, 'Groove').innerText()).toBe('not locked yet')
    expect(await fact(member.page, 'Key').innerText()).toBe('B♭ major, as the tune was written')
    expect(await fact(member.page, 'Length').innerText()).toMatch(/^\d+ bars, \d+:\d\d$/)
    await member.page.getByText('Show the bars as they were').click()
    expect(await member.page.locator('.bars-then li.bar').count()).toBe(96)
    expect(await member.page.getByRole('button', { name: /Bring it back/ }).count()).toBe(0)

    const { page } = leader
    await openHistory(page)
    await page
      .getByRole('region', { name: 'Named versions' })
      .getByRole('button', { name: /^Bring it back/ })
      .click()
    await page.locator('ol.list b', { hasText: 'Restored the state after entry 1' }).waitFor()
    await expect.poll(() => page.locator('ol.list > li').count()).toBe(5)
    await page.goto(board)
    await expect.poll(() => pinnedBar(page)).toBe('6')
    await openHistory(page, '1-now')
    await expect
      .poll(() => page.locator('loft-compare .lead').innerText(), { timeout: 20_000 })
      .toBe('The music is the same in both.')
  })

  it('no page complained', () => {
    expect([...leader.complaints, ...member.complaints]).toEqual([])
  })
})

describe('[BR61] hearing what stood', () => {
  it('is private: from a section, and side by side; the band plays on, and play at the foot ends it', async () => {
    const { page } = leader
    const stageOf = (who: Page) => who.locator('section.player').getAttribute('data-stage')
    await page.goto(board)
    await page.locator('loft-pass').first().waitFor()
    await member.page.goto(board)
    await member.page.locator('loft-pass').first().waitFor()
    await member.page.getByRole('button', { name: 'Play', exact: true }).click()
    for (const who of [page, member.page]) await expect.poll(() => stageOf(who), { timeout: 20_000 }).toBe('playing')
    await openHistory(page, '1')
    const hear = page.getByRole('button', { name: 'Hear it as it stood' })
    await hear.waitFor({ timeout: 30_000 })
    const from = page.getByLabel('Hear it from')
    expect(await from.locator('option').count()).toBeGreaterThan(3)
    await from.selectOption({ index: 2 })
    await hear.click()
    await page.getByText(/^\d+:\d\d left$/).waitFor({ timeout: 60_000 })
    await page.screenshot({ path: 'tests/out/screens/history-hear-1440.png', fullPage: true })
    // This page has left the band, which goes on.
    expect(await stageOf(page)).toBe('stopped')
    expect(await stageOf(member.page)).toBe('playing')
    await page.getByRole('region', { name: 'Hear it' }).getByRole('button', { name: 'Stop' }).click()
    await expect.poll(() => stageOf(page), { timeout: 20_000 }).toBe('playing')
    await hear.click()
    await page.getByText(/^\d+:\d\d left$/).waitFor({ timeout: 60_000 })
    await page.locator('section.player').getByRole('button', { name: 'Play', exact: true }).click()
    await page.getByText(/^\d+:\d\d left$/).waitFor({ state: 'detached' })
    await member.page.getByRole('button', { name: 'Stop', exact: true }).click()
    await expect.poll(() => stageOf(member.page)).toBe('stopped')
    await openHistory(page, '1-3')
    const sides = page.getByRole('button', { name: /^Hear .*: (before|after)$/ })
    await sides.first().waitFor({ timeout: 30_000 })
    await sides.nth(0).click()
    await expect.poll(() => sides.nth(0).getAttribute('aria-pressed')).toBe('true')
    await sides.nth(1).click()
    await expect.poll(() => sides.nth(1).getAttribute('aria-pressed')).toBe('true')
    expect(await sides.nth(0).getAttribute('aria-pressed')).toBe('false')
    await page.screenshot({ path: 'tests/out/screens/compare-hear-1440.png' })
    // A few bars come to their end by themselves.
    await expect.poll(() => sides.nth(1).getAttribute('aria-pressed'), { timeout: 60_000 }).toBe('false')
    expect(await stageOf(member.page)).toBe('stopped')
  })
})
