import { describe, expect, it } from 'vitest'
import type { VoicingOptions } from '../contract/index.js'
import { seeded } from '../units/index.js'
import { LOW_INTERVAL_LIMITS, chord, movementBetween, pitchClassesOf, voiceProgression } from './index.js'
import { candidatesOf } from './voicing-candidates.js'

const voiced = (symbols: string, options: VoicingOptions = {}) =>
  voiceProgression(
    symbols.split(' ').map((symbol) => chord(symbol)),
    options,
  )
const STYLES = ['close', 'drop2', 'shell', 'rootless', 'spread', 'quartal', 'upper', 'any'] as const

describe('voicings', () => {
  it.each([
    ['rootless', [53, 57, 60, 64], [53, 57, 59, 64], [52, 55, 59, 62], [1, 5], 'F A B E'],
    ['rootless', [60, 64, 65, 69], [59, 64, 65, 69], [59, 62, 64, 67], [1, 5], 'B E F A'],
    ['drop2', [57, 62, 65, 72], [55, 62, 65, 71], [55, 60, 64, 71], [3, 3], 'G D F B'],
  ] as const)('[VO2] Dm7 G7 Cmaj7 in %s from %j', (style, first, second, third, moves, names) => {
    const line = voiced('Dm7 G7 Cmaj7', { style, first })
    expect(line.map(({ midi }) => midi)).toEqual([first, second, third])
    expect(line.map(({ movement }) => movement)).toEqual([0, ...moves])
    expect(line[1]?.notes.join(' ')).toBe(names)
  })

  it('[VO3] no third in a sus, no perfect fifth in a half-diminished chord, in any style', () => {
    for (const style of STYLES) {
      const [sus, half] = voiced('G7sus Bm7b5', { style })
      expect(sus?.midi.map((midi) => midi % 12)).not.toContain(11)
      expect(half?.midi.map((midi) => midi % 12)).not.toContain(6)
    }
  })

  it('[VO4] a rootless dominant takes its 13 for the 5, a named alteration first', () => {
    const pcs = (symbol: string) => new Set(voiced(symbol, { style: 'rootless' })[0]?.midi.map((midi) => midi % 12))
    expect(pcs('G7')).toEqual(new Set([11, 4, 5, 9]))
    expect(pcs('G7b13')).toEqual(new Set([11, 3, 5, 9]))
    expect(pcs('G7alt')).toEqual(new Set([11, 3, 5, 10]))
  })

  it('[VO4] three voices keep what the symbol names: the flat fifth of a half-diminished, a ninth, an altered fifth', () => {
    for (const [symbol, named] of [
      ['Am7b5', 3],
      ['D7b9', 3],
      ['G7#9', 10],
      ['G7b13', 3],
      ['C7#5', 8],
    ] as const)
      for (const range of [
        [48, 68],
        [52, 72],
        [55, 76],
      ] as const)
        for (const { midi } of voiced(`Cmaj7 ${symbol}`, { style: 'rootless', voices: 3, range }).slice(1))
          expect(
            midi.map((note) => note % 12),
            `${symbol} ${midi.join(' ')}`,
          ).toContain(named)
  })

  it('[VO4] a ♯9 lies above the third, not a half step under it; a ♭9 not below F3, where the range has room', () => {
    for (const style of ['rootless', 'close', 'spread', 'drop2', 'any'] as const)
      for (const voices of [3, 4])
        for (const range of [
          [48, 74],
          [48, 72],
        ] as const) {
          const [sharp, flat] = voiced('G7#9 G7b9', { style, voices, range }).map(({ midi }) => midi)
          expect(
            sharp?.some((note, voice) => note % 12 === 10 && sharp[voice + 1] === note + 1),
            `${style} ${String(sharp)}`,
          ).toBe(false)
          expect(
            flat?.some((note) => note % 12 === 8 && note < 53),
            `${style} ${String(flat)}`,
          ).toBe(false)
        }
  })

  it('[VO5] total movement is the least of every path through the candidates', () => {
    const next = seeded(11)
    const symbols = ['Cmaj7', 'F7', 'Bm7b5', 'E7b9', 'Am7', 'D13', 'G7sus', 'Db7#11', 'Cm6', 'Abdim7', 'C', 'Ebmaj9']
    for (let round = 0; round < 24; round++) {
      const style = STYLES[next(STYLES.length)] as (typeof STYLES)[number]
      const chords = Array.from({ length: 3 }, () => chord(symbols[next(symbols.length)] as string))
      const frame = { voices: 4, style, ranges: Array.from({ length: 4 }, () => [48, 79] as const) }
      const columns = chords.map((each) => candidatesOf(each, frame))
      let least = Number.POSITIVE_INFINITY
      for (const a of columns[0] ?? [])
        for (const b of columns[1] ?? [])
          for (const c of columns[2] ?? []) least = Math.min(least, movementBetween(a, b) + movementBetween(b, c))
      const total = voiceProgression(chords, { style }).reduce((sum, { movement }) => sum + movement, 0)
      expect(total, `${style} ${chords.map(({ symbol }) => symbol).join(' ')}`).toBe(least)
    }
  })

  it('[VO6] every voicing has its voices, in range, rising, of chord sounds, above the low-interval limits, without minor ninths', () => {
    const symbols =
      'C Cm7 F#7 Bbmaj7 Ebm7b5 Abdim7 G7sus D7b9 A7alt E13 Db6/9 Gm11 Faug B5 Csus2 Dbmaj7#11 F6 CmMaj7'.split(' ')
    for (const style of STYLES) {
      for (const voices of [2, 3, 4, 5]) {
        for (const [index, voicing] of voiced(symbols.join(' '), { style, voices }).entries()) {
          const symbol = symbols[index] as string
          const label = `${symbol} ${style} ${voices}: ${voicing.midi.join(' ')}`
          expect(voicing.midi, label).toHaveLength(voices)
          expect(voicing.notes, label).toHaveLength(voices)
          for (const [voice, midi] of voicing.midi.entries()) {
            expect(midi, label).toBeGreaterThanOrEqual(48)
            expect(midi, label).toBeLessThanOrEqual(79)
            const next = voicing.midi[voice + 1]
            if (next === undefined) continue
            expect(next, label).toBeGreaterThan(midi)
            expect(midi, label).toBeGreaterThanOrEqual(LOW_INTERVAL_LIMITS[next - midi] ?? 0)
          }
          if (style !== 'rootless' && style !== 'quartal' && style !== 'upper')
            for (const midi of voicing.midi) expect(pitchClassesOf(chord(symbol)), label).toContain(midi % 12)
        }
      }
    }
  })

  it('[VO6] a range for each voice is kept, and one with no room still gives notes', () => {
    const ranges = [
      [40, 52],
      [50, 60],
      [57, 67],
      [64, 76],
    ] as const
    for (const { midi } of voiced('Dm7 G7 Cmaj7', { rangePerVoice: ranges }))
      midi.forEach((note, voice) => {
        expect(note).toBeGreaterThanOrEqual(ranges[voice]?.[0] ?? 0)
        expect(note).toBeLessThanOrEqual(ranges[voice]?.[1] ?? 0)
      })
    expect(voiced('C7', { range: [60, 62] })[0]?.midi).toHaveLength(4)
  })

  it('[VO7] N.C. is silent, % holds, and the line goes on from the last sound', () => {
    const line = voiced('Dm7 N.C. % G7', { style: 'close' })
    expect(line[1]).toEqual({ midi: [], notes: [], movement: 0 })
    expect(line[2]?.midi).toEqual(line[0]?.midi)
    expect(line[3]?.movement).toBe(movementBetween(line[0]?.midi ?? [], line[3]?.midi ?? []))
  })

  // Source: Lowell & Pullig 2003, low-interval limits.
  it('[VO9] low-interval limits are the published ones', () => {
    const published: { readonly [semitones: number]: number } = {
      1: 52,
      2: 51,
      3: 48,
      4: 46,
      5: 46,
      6: 46,
      7: 34,
      8: 43,
      9: 41,
      10: 41,
      11: 41,
      13: 40,
      14: 39,
      15: 36,
      16: 34,
    }
    for (const [semitones, lowest] of Object.entries(published))
      expect(LOW_INTERVAL_LIMITS[Number(semitones)]).toBe(lowest)
  })
})
