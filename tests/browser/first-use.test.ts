/** Five people who have never seen the pages, on a phone. Their steps are counted, and their hesitations: what they want next is not in view. */
import type { Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp } from '../server/harness.js'
import { seat } from './browser.js'
import { demoKeys, type House, type Keys, openHouse } from './house.js'

let house: House
let keys: Keys

beforeAll(async () => {
  house = await openHouse(['--demo'])
  keys = await demoKeys(house)
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

/** Somebody with a thumb. A step is a tap, a field filled or a choice made; a hesitation is having to look for where. */
class Newcomer {
  steps = 0
  hesitations = 0
  constructor(readonly page: Page) {}

  static async at(link: string): Promise<Newcomer> {
    const { page } = await seat(house.browser, {
      viewport: { width: 360, height: 740 },
      hasTouch: true,
      isMobile: true,
    })
    await page.goto(link)
    return new Newcomer(page)
  }

  private async look(what: Locator): Promise<void> {
    await what.waitFor({ timeout: 60_000 })
    const box = await what.boundingBox()
    // What lies under the player's foot does not count as seen.
    const foot = await this.page.evaluate(
      () => document.querySelector('.player')?.getBoundingClientRect().top ?? innerHeight,
    )
    const isOnPlayer = await what.evaluate((element) => element.closest('.player') !== null)
    const isSeen = box !== null && box.y >= 0 && box.y + box.height <= (isOnPlayer ? 740 : foot)
    if (!isSeen) this.hesitations++
    this.steps++
  }
  async tap(what: Locator): Promise<void> {
    await this.look(what)
    await what.tap()
  }
  async fill(what: Locator, text: string): Promise<void> {
    await this.look(what)
    await what.fill(text)
  }
  async choose(what: Locator, label: string): Promise<void> {
    await this.look(what)
    await what.selectOption({ label })
  }
  button = (name: string | RegExp): Locator => this.page.getByRole('button', { name, exact: true }).first()
  link = (name: string | RegExp): Locator => this.page.getByRole('link', { name, exact: true }).first()
  field = (name: string | RegExp): Locator => this.page.getByLabel(name).first()

  async sayWho(name: string, plays: string): Promise<void> {
    await this.fill(this.field('What does the band call you?'), name)
    await this.choose(this.field('I play'), plays)
    await this.tap(this.button('That’s me'))
    await this.page.locator('.whoami').waitFor({ state: 'detached' })
  }

  tell(who: string, mostSteps: number, mostHesitations: number): void {
    console.log(`first use, ${who}: ${this.steps} steps, ${this.hesitations} hesitations`)
    expect(this.steps, 'steps').toBeLessThanOrEqual(mostSteps)
    expect(this.hesitations, 'hesitations').toBeLessThanOrEqual(mostHesitations)
  }
}

const TYPED = '"F"F A c A | "C7"G2 E2 | "F"F A "Dm7"c d | "C7"c4 |'

describe('[BR6] first use, on a phone', () => {
  it('a leader types a tune in from a photograph of it', async () => {
    const she = await Newcomer.at(house.server.url)
    await she.tap(she.button('Type it in'))
    await she.fill(she.field('Title'), 'Slip Rope')
    await she.fill(she.page.getByLabel('The notes', { exact: true }), TYPED)
    await she.tap(she.button('Open the board at once'))
    await she.page.locator('loft-pass ol.bars').first().waitFor({ timeout: 60_000 })
    expect(await she.page.locator('h1').innerText()).toBe('Slip Rope')
    she.tell('a leader with a photograph of a tune', 4, 0)
    // The links are at hand until she has kept them, and not after.
    expect(await she.page.locator('loft-keys code').count()).toBe(3)
    expect(await she.page.evaluate(() => scrollY)).toBe(0)
    await she.page.screenshot({ path: 'tests/out/screens/first-use-made-360.png', fullPage: true })
    await she.tap(she.button('I have kept them'))
    await she.page.locator('loft-keys').waitFor({ state: 'detached' })
  })

  it('a drummer hears only the drums', async () => {
    const he = await Newcomer.at(keys.member)
    await he.choose(he.field('I play'), 'Drums')
    await he.tap(he.button('Hear only my part'))
    await he.page.locator('section.player[data-stage=playing]').waitFor({ timeout: 30_000 })
    he.tell('a drummer who wants only their part', 2, 0)
    // Alone, and nobody else is made to hear it.
    await expect.poll(() => he.page.locator('#i-hear').inputValue()).toBe('only-me')
    await expect.poll(() => he.page.locator('#my-part option:checked').innerText()).toBe('Drums')
    expect(await he.button('Alone').getAttribute('aria-pressed')).toBe('true')
    await he.tap(he.button('Stop'))
  })

  it('a singer needs another key, and the leader sets it', async () => {
    const she = await Newcomer.at(keys.leader)
    await she.tap(she.link('Band and key'))
    await she.page.locator('.keylist li').first().waitFor()
    await she.choose(she.field('A key that suits'), 'Alto')
    await she.tap(she.button(/^Play it in /))
    await expect.poll(() => she.page.locator('main').innerText(), { timeout: 20_000 }).toMatch(/It is in .* now\./)
    she.tell('a leader whose singer needs another key', 3, 0)
  })

  it('a listener with forty seconds hears the answers and votes', async () => {
    const he = await Newcomer.at(keys.listener)
    await he.tap(he.button('Hear them one after the other'))
    await he.page.locator('.answer .hearit[aria-pressed=true]').waitFor({ timeout: 20_000 })
    await he.tap(he.page.locator('.answer input').nth(1))
    await he.tap(he.button(/^Vote for/))
    await he.page.locator('.thanks').waitFor()
    he.tell('a listener with forty seconds', 3, 0)
  })

  it('a leader changes the ending on the day', async () => {
    const first = await Newcomer.at(keys.leader)
    await first.sayWho('Maro', 'Piano')
    await first.tap(first.link(/^Ending, open/))
    await first.page.locator('loft-lock form input[type=radio]').first().waitFor({ timeout: 60_000 })
    await first.page.locator('loft-lock form input[type=radio]').first().check()
    await first.page.locator('loft-lock form button.main').tap()
    await first.page.locator('loft-lock .lockedby').waitFor({ timeout: 20_000 })
    const she = await Newcomer.at(keys.leader)
    await she.tap(she.link(/^Ending: /))
    await she.fill(she.field('Why it opens again'), 'the drummer is late')
    const before = await she.page.locator('loft-lock .said').innerText()
    await she.tap(she.button(/^Lock \d+ instead/))
    await expect.poll(() => she.page.locator('loft-lock .said').innerText(), { timeout: 20_000 }).not.toBe(before)
    await she.page.locator('loft-lock').getByText('“the drummer is late”').waitFor()
    she.tell('a leader who changes the ending on the day', 3, 1)
  })
})
