/** A board of many choruses, for what must still be quick when an evening gets long. */
import { personAt } from '../server/harness.js'
import { boardOf, comeIn, type House, type Keys } from './house.js'
import { NET_MENDER } from './net-mender.js'

/** The tune's choruses again and again until there are at least so many bars. */
export async function longBoard(house: House, bars: number, title = 'Net Mender'): Promise<Keys> {
  const keys = await boardOf(house, title, NET_MENDER.replace('Net Mender', title))
  const { page, context } = await comeIn(house, keys.leader, 'Maro Quill', 'piano')
  await page.locator('loft-pass').first().waitFor()
  const roadmap = await page.evaluate((wanted) => {
    const { room } = document.querySelector('loft-app') as unknown as {
      room: { board: { roadmap: { id: string }[]; tune: { bars: unknown[] } } }
    }
    const [first, ...rest] = room.board.roadmap
    const turns = Math.ceil(wanted / room.board.tune.bars.length)
    const more = Array.from({ length: turns }, (_, turn) => ({ ...first, id: `chorus-${turn + 2}` }))
    return [first, ...more, ...rest]
  }, bars)
  await context.close()
  const leader = await personAt(house.server, keys.leader.replace(house.server.url, ''), 'Maro Quill')
  const answer = await leader.command('setRoadmap', { roadmap, baseSeq: await leader.seq() })
  if (answer.status !== 200) throw new Error(`no long board: ${JSON.stringify(answer.body)}`)
  return keys
}
