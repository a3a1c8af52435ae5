import { describe, expect, it } from 'vitest'
import { chord, pitchClassesOf, upperStructures, voiceProgression, voicingsOf } from './index.js'

const pcs = (midi: readonly number[]): readonly number[] => midi.map((note) => note % 12)

describe('upper structures', () => {
  // Source: the worked examples, voicings (common practice).
  it('[VO10] E flat over the tritone of G7 is the voicing of the worked example, and the chord it makes is named', () => {
    const [voicing] = voiceProgression([chord('G7')], { style: 'upper', voices: 5, first: [53, 59, 63, 67, 70] })
    expect(voicing?.midi).toEqual([53, 59, 63, 67, 70])
    expect(voicing?.notes.join(' ')).toBe('F B Eb G Bb')
    const made = upperStructures(chord('G7')).find(({ triad }) => triad === 'Eb')
    expect(made?.chord.symbol).toBe('G7#9b13')
  })

  it.each([
    ['G7', 'A:G13#11 Bb:G7#9 Db:G7b9#11 Eb:G7#9b13 E:G13b9 Gm:G7#9 Abm:G7b9b13 Bbm:G7#9#11 C#m:G13b9#11'],
    ['G7b9b13', 'Db:G7b9#11b13 Abm:G7b9b13'],
    ['G13', 'A:G13#11'],
    ['G7alt', 'Db:G7alt Eb:G7alt Abm:G7alt Bbm:G7alt'],
    ['F#7#11', 'G#:F#13#11 C:F#7b9#11 Am:F#7#9#11 Cm:F#13b9#11'],
    ['Cmaj7', ''],
    ['G7sus', ''],
  ])('[VO10] over %s go %s', (symbol, triads) => {
    expect(
      upperStructures(chord(symbol))
        .map((made) => `${made.triad}:${made.chord.symbol}`)
        .join(' '),
    ).toBe(triads)
  })

  it('[VO10] every voicing is third and seventh below a close triad, and no tension speaks against the symbol', () => {
    for (const symbol of ['G7', 'Bb7b9', 'E7alt', 'C#13', 'Ab7#11', 'D7#9b13']) {
      const all = voicingsOf(chord(symbol), { style: 'upper', voices: 5 })
      expect(all.length, symbol).toBeGreaterThan(0)
      const structures = upperStructures(chord(symbol))
      for (const midi of all) {
        const [low, next, ...triad] = midi
        const guides = pcs([low as number, next as number]).toSorted((a, b) => a - b)
        const { root } = chord(symbol)
        const [rootPc] = pitchClassesOf(chord(`${root}(pedal)`))
        const wanted = pitchClassesOf(chord(`${root}7(no5)`)).filter((pc) => pc !== rootPc)
        expect(guides, `${symbol} ${midi.join(' ')}`).toEqual(wanted)
        const top = new Set(pcs(triad))
        expect(structures.some(({ triad: name }) => pitchClassesOf(chord(name)).every((pc) => top.has(pc)))).toBe(true)
      }
    }
  })
})

describe('voicings in fourths', () => {
  // Source: common practice, the usual stacks over each quality.
  it.each([
    ['Dm7', 'D G C F', [50, 55, 60, 65]],
    ['Cmaj7', 'E A D G', [52, 57, 62, 67]],
    ['G7', 'F B E A', [53, 59, 64, 69]],
    ['D7sus', 'A D G C', [57, 62, 67, 72]],
  ] as const)('[VO11] %s as %s', (symbol, names, first) => {
    const [voicing] = voiceProgression([chord(symbol)], { style: 'quartal', first })
    expect(voicing?.midi).toEqual(first)
    expect(voicing?.notes.join(' ')).toBe(names)
  })

  it('[VO11] each stack is of fourths, one of them augmented at most, and says third (or fourth) and seventh', () => {
    for (const symbol of ['Dm7', 'Cmaj7', 'G7', 'Bb13', 'Ebm9', 'F7sus', 'A6/9', 'C#m7', 'Abmaj9#11', 'Gm6']) {
      const all = voicingsOf(chord(symbol), { style: 'quartal' })
      expect(all.length, symbol).toBeGreaterThan(0)
      for (const midi of all) {
        const steps = midi.slice(1).map((note, index) => note - (midi[index] as number))
        expect(
          steps.every((step) => step === 5 || step === 6),
          `${symbol} ${midi.join(' ')}`,
        ).toBe(true)
        expect(steps.filter((step) => step === 6).length).toBeLessThan(2)
        const third = chord(symbol).intervals.findIndex((interval) => /^(?:3[mM]|4P)$/.test(interval))
        const name = chord(symbol).notes[third] as string
        expect(pcs(midi)).toContain(pitchClassesOf(chord(`${name}(pedal)`))[0])
      }
    }
  })

  it('[VO11] a chord no stack of fourths says is voiced from its own tones', () => {
    for (const symbol of ['Cdim7', 'Caug', 'E7b9'])
      for (const midi of voicingsOf(chord(symbol), { style: 'quartal' }))
        for (const pc of pcs(midi)) expect(pitchClassesOf(chord(symbol))).toContain(pc)
  })
})
