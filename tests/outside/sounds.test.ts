/** The sound set as it is made: complete, small, the same every time, and made of the bank's own streams. */
import { fileURLToPath } from 'node:url'
import { DRUM_KEYS } from '../../shared-theory/src/rhythm/index.js'
import { beforeAll, describe, expect, it } from 'vitest'
import { zoneFor, type ZoneTable, zonesOfKit } from '../../web/src/audio/zone-table.js'
import { makeSounds, recipeSources, type MadeSounds } from '../../web/sounds/make-sounds.js'
import { SOUND_CASES } from '../fixtures/sound-cases.js'

let made: MadeSounds
const fileAt = (path: string) => made.files.find((file) => `/${file.path}` === path)?.content ?? new Uint8Array()
const tableOf = (name: string) => JSON.parse(Buffer.from(fileAt(made.tables[name] ?? '')).toString('utf8')) as ZoneTable

beforeAll(async () => {
  made = await makeSounds(recipeSources(fileURLToPath(new URL('../../web', import.meta.url))))
}, 120_000)

describe('[AU16] the sound set', () => {
  it('has every key of every sound at every velocity', () => {
    for (const { name, keys } of SOUND_CASES) {
      const { zones, samples } = tableOf(name)
      for (let key = keys[0] - 12; key <= keys[1] + 12; key++)
        for (const velocity of [1, 64, 65, 80, 127]) {
          const zone = zoneFor(zones, key, velocity)
          expect(zone && samples[zone.sample], `${name} ${key} ${velocity}`).toBeDefined()
        }
    }
  })
  it('has every stroke the grooves know, in each kit that plays it', () => {
    const { zones } = tableOf('drum-kit')
    for (const kit of ['sticks', 'jazz', 'brushes'] as const)
      for (const [name, { midi, brush }] of Object.entries(DRUM_KEYS)) {
        if (brush && kit !== 'brushes') continue
        for (const velocity of [1, 80, 127])
          expect(zoneFor(zonesOfKit(zones, kit), midi, velocity), `${kit} ${name} ${velocity}`).toBeDefined()
      }
  })
  it('open and closed hats are of one exclusive class', () => {
    const { zones } = tableOf('drum-kit')
    expect(new Set([42, 44, 46].map((key) => zoneFor(zonesOfKit(zones, 'jazz'), key, 80)?.exclusive)).size).toBe(1)
  })
  it('is one chained Ogg file a sound, every sample a stream of its own', () => {
    for (const name of Object.keys(made.tables)) {
      const { audio, samples } = tableOf(name)
      const file = fileAt(audio)
      for (const { at } of samples)
        // Source: RFC 3533 (capture pattern) and the Vorbis I specification (identification header).
        expect(Buffer.from(file.subarray(at, at + 35)).toString('latin1')).toMatch(/^OggS[\s\S]{25}vorbis$/)
      expect(samples.reduce((sum, { bytes }) => sum + bytes, 0)).toBe(file.length)
    }
  })
  it('loops lie inside their samples, and sounds begin soon', () => {
    for (const name of Object.keys(made.tables))
      for (const { loop, frames, leadSeconds } of tableOf(name).samples) {
        expect(leadSeconds).toBeLessThan(0.08)
        if (loop) expect(loop[0] < loop[1] && loop[1] <= frames).toBe(true)
      }
  })
})

describe('[AU13] sizes', () => {
  it('the largest sound and a whole quintet', () => {
    const bytesOf = (name: string) => fileAt(tableOf(name).audio).length + fileAt(made.tables[name] ?? '').length
    const quintet = ['trumpet', 'tenor-sax', 'piano', 'double-bass', 'drum-kit'].reduce(
      (sum, name) => sum + bytesOf(name),
      0,
    )
    console.log(
      `a quintet's sounds are ${(quintet / 1e6).toFixed(2)} MB, the whole set ${(made.files.reduce((sum, { content }) => sum + content.length, 0) / 1e6).toFixed(2)} MB`,
    )
    expect(quintet).toBeLessThan(8e6)
    for (const name of Object.keys(made.tables)) expect(bytesOf(name), name).toBeLessThan(0.6e6)
  })
})
