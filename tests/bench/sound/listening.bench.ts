/** Every groove, opening and ending listened to: rendered as the pages render it, sheets for people in tests/out/listening, and the rules a machine
 *  can hold. All of them with LONG=1, some of each without; ONLY=bossa,tag takes those whose name contains one of the words. */
import { afterAll, beforeAll, expect, it } from 'vitest'
import { writeMidi } from '@chartloft/shared-theory'
import { renderWav } from '../../../server/src/cli/wav.js'
import { readWav } from '../../fixtures/listening/hear.js'
import type { Finding } from '../../fixtures/listening/judge.js'
import { loudnessBetween, powerSteps, rmsDb } from '../../fixtures/listening/loudness-curve.js'
import { type Listener, listener } from '../../fixtures/listening/listen.js'
import { allScenes, type Scene, someScenes } from '../../fixtures/listening/scenes.js'
import { openSoundPage, type SoundPage } from '../../browser/sound-page.js'
import { figure } from '../figure.js'

const words = process.env['ONLY']?.split(',')
let house: SoundPage
let ears: Listener
let scenes: readonly (() => Scene)[]
beforeAll(async () => {
  house = await openSoundPage()
  ears = listener(house.browser)
  scenes = process.env['LONG'] || words ? allScenes(words) : someScenes().map((scene) => () => scene)
}, 300_000)
afterAll(() => house?.close())

it('[AU20] [AU21] [AU22] [AU23] [AU24] [AU25] [AU26] [AU27] [AU28] [AU29] listening', async () => {
  const against: string[] = []
  const found: Finding[] = []
  for (const make of scenes) {
    const scene = make()
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

it('[AU28] [AU24] the file of the command line', async () => {
  const scene = someScenes().find(({ recipe }) => recipe === 'fade')
  if (!scene) throw new Error('no fade')
  const sound = readWav(await renderWav(writeMidi(scene.band)))
  const steps = powerSteps(sound)
  const from = scene.fromMs + (scene.bars.find(({ bar }) => bar.mark === 'fade')?.startMs ?? 0)
  const bars = [0, 4, 8, 11].map((bar) => from + (bar * (scene.toMs - from)) / 12)
  const loud = bars.map((ms) => loudnessBetween(steps, ms, ms + (scene.toMs - from) / 12))
  const rises = loud.slice(1).map((lufs, index) => lufs - (loud[index] as number))
  const lengthMs = ((sound.channels[0]?.length ?? 0) / sound.rate) * 1000
  figure({
    id: 'AU28',
    what: 'the fade in the WAV of the command line',
    value: (loud[0] ?? 0) - (loud.at(-1) ?? 0),
    unit: 'LU',
    target: { atLeast: 20 },
    note: `its first, fifth, ninth and last bar: ${loud.map((lufs) => lufs.toFixed(1)).join(', ')} LUFS`,
  })
  expect(Math.max(...rises)).toBeLessThan(0)
  figure({
    id: 'AU24',
    what: 'end of the WAV of the command line',
    value: rmsDb(sound, lengthMs - 100, lengthMs),
    unit: 'dBFS',
    target: { atMost: -70 },
  })
}, 600_000)

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
