/** Two pages that play together: how far apart the same note starts at their audio clocks, on one host and over slow lines. */
import type { Page } from 'playwright-core'
import { afterAll, it } from 'vitest'
import { apart } from '../../browser/apart.js'
import { delayedLine } from '../../browser/delayed-line.js'
import { boardOf, comeIn, openHouse } from '../../browser/house.js'
import { NET_MENDER } from '../../browser/net-mender.js'
import { cleanUp } from '../../server/harness.js'
import { figure } from '../figure.js'
import { pause, quantile } from './load.js'

const STARTS = process.env['LONG'] ? 20 : 6
/** Pages that have just come are given their second round of clock exchanges, as people are by the time they press play. */
const SETTLE_MS = 3500
const HEARD_MS = 2500

afterAll(cleanUp)

const stage = (page: Page, name: string) =>
  page.locator(`section.player[data-stage=${name}]`).waitFor({ timeout: 20_000 })

for (const { name, leastMs, mostMs, quantileAt, atMostMs } of [
  { name: 'on one host', leastMs: 0, mostMs: 0, quantileAt: 0.95, atMostMs: 1 },
  { name: 'over lines of 40 ± 20 ms each way', leastMs: 20, mostMs: 60, quantileAt: 0.95, atMostMs: 10 },
]) {
  it(`[BR26] two pages ${name}`, { timeout: 600_000 }, async () => {
    const house = await openHouse()
    const lines =
      mostMs > 0
        ? [await delayedLine(house.server.port, leastMs, mostMs), await delayedLine(house.server.port, leastMs, mostMs)]
        : []
    try {
      const keys = await boardOf(house, 'Net Mender', NET_MENDER)
      const over = (index: number, url: string) => url.replace(house.server.url, lines[index]?.url ?? house.server.url)
      const one = await comeIn(house, over(0, keys.leader), 'Maro', 'piano')
      const other = await comeIn(house, over(1, keys.member), 'Tove', 'bass')
      const pages = [one.page, other.page] as const
      const off: number[] = []
      const ofStarts: number[] = []
      for (let start = 0; start < STARTS; start++) {
        await Promise.all(pages.map((page) => page.reload()))
        await Promise.all(pages.map((page) => page.locator('loft-pass').first().waitFor()))
        await pause(SETTLE_MS)
        await one.page.getByRole('button', { name: 'Play', exact: true }).click()
        await Promise.all(pages.map((page) => stage(page, 'playing')))
        await pause(HEARD_MS)
        const found = (await apart(one.page, other.page)).map(Math.abs)
        off.push(...found)
        ofStarts.push(quantile(found, 0.5))
        await one.page.getByRole('button', { name: 'Stop', exact: true }).click()
        await Promise.all(pages.map((page) => stage(page, 'stopped')))
      }
      figure({
        id: 'SY3',
        what: `two pages ${name}: the same note apart, p95`,
        value: off.length > STARTS * 5 ? quantile(off, quantileAt) : Infinity,
        unit: 'ms',
        target: { atMost: atMostMs },
        note: `${off.length} notes of ${STARTS} starts, pages loaded anew for each; medians of the starts ${ofStarts.map((ms) => ms.toFixed(1)).join(', ')}`,
      })
    } finally {
      for (const line of lines) line.close()
      await house.browser.close()
      await house.server.stop('SIGKILL')
    }
  })
}
