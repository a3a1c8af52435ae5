/** Every groove, opening and ending listened to: rendered as the pages render it, sheets for people in tests/out/listening, and the rules a machine
 *  can hold. All of them with LONG=1, some of each without; ONLY=bossa,tag takes those whose name contains one of the words. */
import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Finding } from '../../fixtures/listening/judge.js'
import { type Listener, listener } from '../../fixtures/listening/listen.js'
import { allScenes, type Scene, someScenes } from '../../fixtures/listening/scenes.js'
import { openSoundPage, type SoundPage } from '../../browser/sound-page.js'
import { figure } from '../figure.js'

const words = process.env['ONLY']?.split(',')
let house: SoundPage
let ears: Listener
let scenes: readonly Scene[]
beforeAll(async () => {
  house = await openSoundPage()
  ears = listener(house.browser)
  scenes = process.env['LONG'] || words ? allScenes(words).map((make) => make()) : someScenes()
}, 300_000)
afterAll(() => house?.close())

it('[AU20] [AU21] [AU22] [AU23] [AU24] [AU25] [AU26] [AU27] [AU28] [AU29] listening', async () => {
  const against: string[] = []
  const found: Finding[] = []
  for (const scene of scenes) {
    const own = await ears.listen(house.page, scene)
    found.push(...own)
    against.push(
      ...own
        .filter(({ holds }) => !holds)
        .map(({ rule, what, value }) => `${scene.id}: ${rule} ${what}: ${value.toFixed(2)}`),
    )
  }
  console.log(against.join('\n'))
  for (const [rule, what] of RULES) {
    const own = found.filter((each) => each.rule === rule)
    figure({
      id: rule,
      what,
      value: own.filter(({ holds }) => !holds).length,
      unit: '',
      target: { exactly: 0 },
      note: `${own.length} measures on ${scenes.length} renderings, sheets in tests/out/listening`,
    })
  }
  expect(scenes.length).toBeGreaterThan(0)
}, 3_600_000)

const RULES: readonly (readonly [rule: string, what: string])[] = [
  ['AU20', 'renderings that clip or are too soft to be heard'],
  ['AU21', 'players that cover the melody'],
  ['AU22', 'renderings with a silence where notes are written'],
  ['AU23', 'levels of energy that do not rise'],
  ['AU24', 'endings that do not ring and fall silent'],
  ['AU25', 'openings with a hole, a bump or a ragged downbeat into the tune'],
  ['AU26', 'free openings that do not breathe'],
  ['AU27', 'ritardandi and fermatas that do not slow down'],
  ['AU28', 'fades that do not fade'],
  ['AU29', 'tags that do not come again'],
]
