/** What is heard, measured in the browser: tuning and onsets of every key, level, bounce, the live player, and what has to be fetched. */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type Arrangement,
  compile,
  defaultPlan,
  LINEUPS,
  type PlayEvent,
  readTune,
  scheduleEvents,
} from '@chartloft/shared-theory'
import { openSoundPage, type SoundPage } from '../../browser/sound-page.js'
import { SOUND_CASES } from '../../fixtures/sound-cases.js'
import { hearNotes } from '../../fixtures/sound-ears.js'
import { hearLive } from '../../fixtures/sound-live.js'
import type { sound as Sound } from '../../fixtures/sound-page/entry.js'
import { figure } from '../figure.js'

type Hearing = typeof globalThis & { sound: typeof Sound }
const APP = fileURLToPath(new URL('../../../web/dist/app', import.meta.url))
const THREE_MINUTES_MS = 180_000

let house: SoundPage
let quintet: { readonly band: Arrangement; readonly events: readonly PlayEvent[] }
beforeAll(async () => {
  house = await openSoundPage()
  const read = readTune('abc', DEMO_TUNES[0]?.abc ?? '')
  if (!read.ok) throw new Error('the demo tune does not read')
  const { arrangement } = compile({ ...defaultPlan(read.value), lineup: LINEUPS['quintet'] ?? [] })
  quintet = { band: arrangement, events: scheduleEvents(arrangement) }
}, 300_000)
afterAll(() => house?.close())

let worstOnsetMs = 0
for (const one of SOUND_CASES) {
  it(`tuning of ${one.name}`, async () => {
    const [low, high] = one.keys
    const notes = await hearNotes(
      house.page,
      one,
      Array.from({ length: high - low + 1 }, (_, index) => low + index),
    )
    const worst = notes.toSorted((a, b) => Math.abs(b.cents ?? Infinity) - Math.abs(a.cents ?? Infinity))[0]
    worstOnsetMs = Math.max(worstOnsetMs, ...notes.map(({ onsetMs }) => onsetMs))
    figure({
      id: 'AU7',
      what: `${one.name}: furthest from equal temperament`,
      value: Math.abs(worst?.cents ?? Infinity),
      unit: 'cents',
      target: { atMost: 5 },
      note: `all ${notes.length} keys, YIN; the worst is key ${worst?.midi}`,
    })
  })
}

it('onsets', () => {
  figure({
    id: 'AU8',
    what: 'latest onset of a rendered note',
    value: worstOnsetMs,
    unit: 'ms',
    target: { atMost: 1 },
    note: 'every key of every pitched sound, −40 dB of its peak',
  })
})

it('bounce', async () => {
  const found = await house.page.evaluate(
    async (request) => {
      const { sound } = globalThis as Hearing
      await sound.loadSounds([...sound.soundsOf(request.band).values()].map(({ name }) => name))
      const from = performance.now()
      const { channels, rate } = await sound.render(request)
      const ms = performance.now() - from
      let peak = 0
      for (const channel of channels) for (const sample of channel) peak = Math.max(peak, Math.abs(sample))
      const end = Math.max(...channels.flatMap((channel) => Array.from(channel.slice(-441), Math.abs)))
      return { times: (channels[0] as Float32Array).length / rate / (ms / 1000), peakDb: 20 * Math.log10(peak), end }
    },
    { ...quintet, toMs: THREE_MINUTES_MS },
  )
  figure({
    id: 'AU11',
    what: 'bounce of three minutes of a quintet',
    value: found.times,
    unit: '× real time',
    target: { atLeast: 10 },
    note: 'wall time: a busy machine shows less',
  })
  figure({
    id: 'AU9',
    what: 'loudest sample of that file',
    value: found.peakDb,
    unit: 'dBFS',
    target: { atMost: -0.99 },
  })
  figure({
    id: 'AU9',
    what: 'loudest of its last 10 ms',
    value: found.end,
    unit: 'of full scale',
    target: { atMost: 0.0001 },
  })
})

it('levels', async () => {
  const apart = await house.page.evaluate(
    async (request) => {
      const { sound } = globalThis as Hearing
      const worst: number[] = []
      for (const out of request.band.lineup.map(({ id }) => id)) {
        const fewer = request.events.filter(({ partId }) => partId !== out)
        const [one, two] = [
          { ...request, fromMs: 0 },
          { ...request, events: fewer, fromMs: 0 },
        ]
        const db = sound.matchDb(await sound.loudnessFrom(one), await sound.loudnessFrom(two))
        const whole = async (of: typeof one, masterDb: number) => {
          const { channels, rate } = await sound.render({ ...of, masterDb })
          return sound.gatedLoudness(channels, rate)
        }
        worst.push(Math.abs((await whole(two, -12 + db)) - (await whole(one, -12))))
      }
      return Math.max(...worst)
    },
    { ...quintet, toMs: 8000 },
  )
  figure({
    id: 'AU12',
    what: 'loudness apart of two versions after matching',
    value: apart,
    unit: 'LU',
    target: { atMost: 1 },
    note: 'the quintet against itself without each of its players',
  })
})

it('live', async () => {
  const found = await hearLive(house.page, quintet, 1000)
  figure({
    id: 'AU15',
    what: 'notes late through a stall of 500 ms',
    value: found.lateNotes,
    unit: '',
    target: { exactly: 0 },
    note: `${found.notesAcrossStall} notes across it`,
  })
  figure({
    id: 'AU15',
    what: 'scheduling error',
    value: found.scheduleErrorMs,
    unit: 'ms',
    target: { atMost: 0.1 },
    note: 'start times on the audio clock against the schedule',
  })
  figure({
    id: 'AU14',
    what: 'sound after stop',
    value: found.silentAfterMs,
    unit: 'ms',
    target: { atMost: 30 },
    note: 'until below −60 dBFS, at full master level',
  })
  figure({
    id: 'AU14',
    what: 'voices left after 1,000 random actions',
    value: found.voicesLeft + found.sourcesLeft,
    unit: '',
    target: { exactly: 0 },
    note: 'seed 20261; sources that never ended counted too',
  })
  figure({ id: 'AU14', what: 'most voices at once', value: found.mostVoices, unit: '', target: { atMost: 96 } })
})

it('what is fetched', () => {
  const engines = existsSync(join(APP, 'assets'))
    ? readdirSync(join(APP, 'assets')).filter((name) => /^audio-.*\.js$/.test(name))
    : []
  expect(engines.length, 'the pages are built').toBeGreaterThan(0)
  const engineBytes = engines.reduce(
    (sum, name) => sum + gzipSync(readFileSync(join(APP, 'assets', name)), { level: 9 }).length,
    0,
  )
  const files = readdirSync(join(APP, 'sounds')).filter((name) => !/\.(gz|br)$/.test(name))
  const bytesOf = (sound: string) =>
    files
      .filter((name) => name.replace(/-[0-9a-f]{10}\.\w+$/, '') === sound)
      .reduce((sum, name) => {
        const content = readFileSync(join(APP, 'sounds', name))
        return sum + (name.endsWith('.json') ? gzipSync(content).length : content.length)
      }, 0)
  const quintetBytes = ['trumpet', 'tenor-sax', 'piano', 'double-bass', 'drum-kit'].reduce(
    (sum, name) => sum + bytesOf(name),
    0,
  )
  const usual = ['violin', 'piano', 'double-bass', 'drum-kit'].reduce((sum, name) => sum + bytesOf(name), 0)
  figure({ id: 'AU13', what: 'audio engine', value: engineBytes / 1024, unit: 'KB gzipped', target: { atMost: 75 } })
  figure({
    id: 'AU13',
    what: 'sounds and engine before the first sound of the usual quartet',
    value: (usual + engineBytes) / 1e6,
    unit: 'MB',
    target: { atMost: 1.5 },
  })
  figure({
    id: 'AU13',
    what: 'sounds and engine of a quintet',
    value: (quintetBytes + engineBytes) / 1e6,
    unit: 'MB',
    target: { atMost: 8 },
    note: 'its first sound waits for all of it, too',
  })
})
