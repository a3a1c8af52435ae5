/** What people do at a decision's desk, and what the page says of the line: hand edits, chords shown, saved or waiting. */
import type { Page } from 'playwright-core'
import { expect } from 'vitest'

export const option = (page: Page, number: number) =>
  page.locator('loft-option').filter({ has: page.locator(`#option-${number}`) })

/** Opens an answer for editing by hand; the labels of its fields. */
export async function editByHand(page: Page, number: number): Promise<readonly string[]> {
  const button = option(page, number).getByRole('button', { name: 'Edit by hand' })
  if (await button.count()) await button.click()
  const labels = option(page, number).locator('form.hand label')
  await labels.first().waitFor()
  return labels.allInnerTexts()
}

export async function typeChord(page: Page, number: number, place: string, symbol: string): Promise<void> {
  const field = option(page, number).getByLabel(place, { exact: true })
  await field.fill(symbol)
  await field.press('Tab')
}

export const shows = (page: Page, number: number, chord: string) =>
  expect
    .poll(
      async () =>
        (await option(page, number).locator('ol.bars .ch').allInnerTexts()).map((text) => text.replaceAll(/\s/g, '')),
      { timeout: 10_000 },
    )
    .toContain(chord)

export const isKept = (page: Page, text: string | RegExp) =>
  expect
    .poll(() => page.locator('loft-kept').innerText(), { timeout: 20_000 })
    .toMatch(typeof text === 'string' ? new RegExp(`^${text}$`) : text)

/** Everything that opens the board without a network is in this browser. */
export const isReady = (page: Page) =>
  page.waitForFunction(async () => {
    const names = (await caches.keys()).filter((name) => name.startsWith('chartloft-app-'))
    const held = names.length === 1 ? await (await caches.open(names[0] as string)).keys() : []
    return navigator.serviceWorker.controller !== null && held.length > 20
  })

/** Opens the page again without a network. Where a busy machine starts the service worker too late, the browser asks the network and shows
 *  its own page of failure: then again, as people do. */
export async function openOffline(page: Page): Promise<void> {
  const address = page.url()
  for (let tries = 1; ; tries++) {
    try {
      await page.goto(address)
      return
    } catch (error) {
      if (tries === 5) throw error
      console.log(`the browser did not ask the service worker, try ${tries}`)
      await page.waitForTimeout(500)
    }
  }
}

export const playing = (page: Page) => page.locator('section.player[data-stage=playing]').waitFor({ timeout: 20_000 })
export const stopped = (page: Page) => page.locator('section.player[data-stage=stopped]').waitFor({ timeout: 20_000 })
export const press = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click()
