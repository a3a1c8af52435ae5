/** From a changed chord to its sound, while the band plays. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, it } from 'vitest'
import { editByHand, playing } from '../../browser/desk.js'
import { boardOf, comeIn, type House, openDesk, openHouse, slotKeyOf } from '../../browser/house.js'
import { NET_MENDER } from '../../browser/net-mender.js'
import { cleanUp } from '../../server/harness.js'
import { figure } from '../figure.js'
import { traced } from './thread-time.js'

const EDITS = 12
const CHORDS = ['Db7', 'G7', 'Gm7', 'C7', 'Ebmaj7', 'Am7', 'D7', 'F6']

let house: House

beforeAll(async () => {
  house = await openHouse()
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

/** Notes when an edit leaves its field and when the player goes on with the next version. */
const listenIn = (page: Page) =>
  page.evaluate(() => {
    const told = globalThis as unknown as { editedAt: number; soundedAt: number }
    const edited = () => {
      performance.mark('chord typed')
      told.editedAt = performance.now()
    }
    document.addEventListener('change', edited, true)
    const { player } = (
      document.querySelector('loft-player') as unknown as { listening: { player: { load(events: unknown): void } } }
    ).listening
    const load = player.load.bind(player)
    player.load = (events) => {
      load(events)
      told.soundedAt = performance.now()
      performance.mark('goes on')
    }
  })

it('[BR33] a changed chord is heard', { timeout: 300_000 }, async () => {
  const board = await boardOf(house, 'Net Mender', NET_MENDER)
  const { page } = await comeIn(house, board.leader, 'Maro Quill', 'piano')
  const there = `${house.server.url}/b/${board.boardId}`
  await openDesk(page, there, await slotKeyOf(page, there, 'harmony'))
  await page.getByRole('button', { name: 'Hear option 1' }).click()
  await playing(page)
  await listenIn(page)
  const [place = ''] = await editByHand(page, 1)
  const field = page.locator('loft-hand-edit').getByLabel(place, { exact: true })
  const times: number[] = []
  const trace = await traced(page, async () => {
    for (let edit = 0; edit < EDITS; edit++) {
      if (await page.locator('section.player[data-stage=stopped]').count()) {
        await page.getByRole('button', { name: 'Play', exact: true }).click()
        await playing(page)
      }
      await page.evaluate(() => ((globalThis as unknown as { soundedAt: number }).soundedAt = 0))
      await field.fill(CHORDS[edit % CHORDS.length] as string)
      await field.press('Tab')
      await page.waitForFunction(() => (globalThis as unknown as { soundedAt: number }).soundedAt > 0, undefined, {
        timeout: 10_000,
      })
      times.push(
        await page.evaluate(() => {
          const { editedAt, soundedAt } = globalThis as unknown as { editedAt: number; soundedAt: number }
          return soundedAt - editedAt
        }),
      )
      await page.waitForTimeout(1500)
    }
  })
  const typed = trace.marks('chord typed')
  const worked = typed.map((from) => {
    const to = trace.marks('goes on').find((moment) => moment > from) ?? Infinity
    // A task begun before counts as far as it reaches in.
    return trace.tasks.reduce((sum, { fromMs, toMs, processorMs }) => {
      const share = (Math.min(toMs, to) - Math.max(fromMs, from)) / (toMs - fromMs)
      return share > 0 ? sum + processorMs * share : sum
    }, 0)
  })
  const p95 = (list: number[]) => list.sort((a, b) => a - b)[Math.ceil(list.length * 0.95) - 1] ?? Infinity
  figure({
    id: 'BR33',
    what: 'from a chord typed while playing to the player going on with it, p95',
    value: p95(times),
    unit: 'ms',
    target: { atMost: 150 },
    note: `${times.length} edits of a 32-bar song with five parts; median ${(times[times.length >> 1] ?? 0).toFixed(0)} ms`,
  })
  figure({
    id: 'BR33',
    what: 'processor time of page and workers from a chord typed to the player going on, p95',
    value: worked.length === EDITS ? p95(worked) : Infinity,
    unit: 'ms',
    target: { atMost: 150 },
    note: `however busy the machine is; median ${(worked[worked.length >> 1] ?? 0).toFixed(0)} ms`,
  })
})
