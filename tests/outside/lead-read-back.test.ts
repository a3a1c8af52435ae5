/** The lead line of compiled arrangements, written as ABC and MIDI and read back by our own readers and by abcjs. */
import { describe, expect, it } from 'vitest'
import { DEMO_BAND, DEMO_TUNES } from '@chartloft/demo'
import {
  type Arrangement,
  type Tune,
  compile,
  defaultPlan,
  readTune,
  writeAbc,
  writeMidi,
} from '@chartloft/shared-theory'
import { soundOfAbcjs, soundOfTune } from '../fixtures/abc-sound.js'

function compiled(abc: string): Arrangement {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  return compile({ ...defaultPlan(read.value), lineup: DEMO_BAND.lineup }).arrangement
}
const leadRows = (arrangement: Arrangement) => soundOfTune({ bars: arrangement.bars } as unknown as Tune)

for (const { title, abc } of DEMO_TUNES) {
  const arrangement = compiled(abc)
  const lead = leadRows(arrangement)
  describe(`${title}, all passes`, () => {
    it('[WA3] as ABC, to our reader and to abcjs', () => {
      const text = writeAbc(arrangement)
      const again = readTune('abc', text)
      if (!again.ok) throw new Error(again.issues[0]?.message)
      expect(lead.length).toBeGreaterThan(20)
      expect(soundOfTune(again.value)).toEqual(lead)
      expect(soundOfAbcjs(text)).toEqual(lead)
      expect(again.value.bars.map((bar) => [bar.metre, bar.key, bar.lengthTicks])).toEqual(
        arrangement.bars.map((bar) => [bar.metre, bar.key, bar.lengthTicks]),
      )
    })
    it('[WA3] every written part as ABC is read without an issue', () => {
      for (const { id, role } of DEMO_BAND.lineup) {
        if (role === 'drums') continue
        const again = readTune('abc', writeAbc(arrangement, { part: id }))
        const issues = (again.ok ? (again.issues ?? []) : again.issues).filter(
          (one) => !['RD9', 'RD7'].includes(one.code),
        )
        expect([id, issues]).toEqual([id, []])
      }
    })
    it('[RD15] as MIDI in notated time: every note of the lead at its place', () => {
      const again = readTune('midi', writeMidi(arrangement, { parts: ['trumpet'], feel: 'notated' }))
      if (!again.ok) throw new Error(again.issues[0]?.message)
      const ahead = again.value.pickupTicks > 0 && arrangement.bars[0]?.lengthTicks !== again.value.pickupTicks
      expect(ahead).toBe(false)
      expect(soundOfTune(again.value).map(([midi, start]) => `${midi}@${start}`)).toEqual(
        lead.map(([midi, start]) => `${midi}@${start}`),
      )
    })
  })
}
