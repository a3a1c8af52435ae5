import { describe, expect, it } from 'vitest'
import { INSTRUMENTS, findForm, judgeMelody, readTune, soundingChords } from '@chartloft/shared-theory'
import { DEMO_BAND, DEMO_TUNES } from './index.js'

const FORMS: { readonly [id: string]: readonly [pattern: string, bars: readonly number[], keys: string] } = {
  'lantern-slip': ['AABA', [8, 8, 8, 8], 'F major'],
  'ferry-bell': ['AB', [8, 8], 'G minor'],
  'slack-tide': ['A', [12], 'Bb major'],
  'low-water-letter': ['Verse AABA Coda', [8, 8, 8, 8, 8, 4], 'Eb major'],
  'painted-dories': ['ABAC', [8, 8, 8, 8], 'C major'],
}

describe('demo tunes', () => {
  for (const { id, title, abc } of DEMO_TUNES) {
    const result = readTune('abc', abc)
    if (!result.ok) throw new Error(`${id}: ${result.issues[0]?.message}`)
    const tune = result.value

    it(`${title} reads without any issue and is marked as our own`, () => {
      expect(result.issues ?? []).toEqual([])
      expect([tune.title, tune.rights]).toEqual([title, 'own'])
    })
    it(`${title} has its form, with and without the labels`, () => {
      const [pattern, bars, key] = FORMS[id] as (typeof FORMS)[string]
      const bare = readTune('abc', abc.replaceAll(/^P:.*\n/gm, ''))
      for (const one of [result, bare]) {
        const form = one.ok ? findForm(one.value) : undefined
        expect(form?.pattern).toBe(pattern)
        expect(form?.sections.map((section) => section.bars)).toEqual(bars)
      }
      expect(tune.key.key).toBe(key)
    })
    it(`${title} has no note that rubs against its chord`, () => {
      const chords = soundingChords(tune)
      const notes = tune.bars.flatMap((bar) => bar.melody)
      for (const bar of tune.bars) {
        const at = notes.indexOf(bar.melody[0] as (typeof notes)[number])
        const before = notes[at - 1]?.midi
        const after = notes[at + bar.melody.length]?.midi
        const findings = judgeMelody(
          { melody: bar.melody, chords: chords[bar.barIndex] ?? [], metre: bar.metre },
          { ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) },
        )
        expect([bar.barIndex + 1, findings]).toEqual([bar.barIndex + 1, []])
      }
    })
    it(`${title} closes on its tonic and stays within a singer's eleventh`, () => {
      const midis = tune.bars.flatMap((bar) => bar.melody.map((note) => note.midi))
      expect(Math.max(...midis) - Math.min(...midis)).toBeLessThanOrEqual(17)
      const cadence = findForm(tune).sections.at(-1)?.cadence
      expect(['full', 'turnaround']).toContain(cadence)
    })
  }

  it('pickup and closing bar of Low Water Letter make one bar', () => {
    const found = DEMO_TUNES.find((tune) => tune.id === 'low-water-letter')
    const result = readTune('abc', found?.abc ?? '')
    const tune = result.ok ? result.value : undefined
    expect([tune?.pickupTicks, tune?.bars.at(-1)?.lengthTicks]).toEqual([5040, 15120])
  })
})

describe('demo band', () => {
  it('has five players, each with a part on a known instrument', () => {
    expect(DEMO_BAND.players).toHaveLength(5)
    for (const player of DEMO_BAND.players) {
      const part = DEMO_BAND.lineup.find((one) => one.id === player.partId)
      expect(INSTRUMENTS.some((instrument) => instrument.id === part?.instrument)).toBe(true)
    }
  })
})
