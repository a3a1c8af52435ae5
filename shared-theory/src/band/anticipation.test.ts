/** A chord struck early is the chord that comes, a beat and a half early where the groove says so and nobody contradicts it. */
import { describe, expect, it } from 'vitest'
import { rows } from '../../../tests/fixtures/rows.js'
import { LINEUPS } from '../instruments/index.js'
import type { PartSpec } from '../contract/index.js'
import { findGroove } from '../rhythm/index.js'
import { mod, must } from '../units/index.js'
import { realiseBand } from './index.js'

const QUARTET = must(LINEUPS['quartet-lead'], 'the quartet')
const GUITAR: PartSpec = { id: 'guitar', instrument: 'guitar', name: 'guitar', role: 'chords' }
const CHORDS = ['Dm7', 'G7', 'Cmaj7', 'Fmaj7', 'Dm7', 'G7', 'Em7', 'A7']

/** Piano notes struck more than an eighth before a bar line and tied over it, with the bar they lead to. */
function farStrokes(grooveId: string, feel: string, lineup: readonly PartSpec[]) {
  const text = CHORDS.map((symbol, bar) => `${bar + 1} | ${symbol} | r:4`).join('\n')
  const found: { readonly pitchClass: number; readonly leadsTo: number }[] = []
  for (const seed of [1, 2, 3, 4]) {
    const bars = realiseBand(rows(text, { len: 4, key: 'C major', feel }), {
      lineup,
      roadmap: [{ id: 'chorus-1', kind: 'chorus', sections: [], energy: 0.7 }],
      groove: must(findGroove(grooveId), grooveId),
      seed,
    })
    bars.forEach((bar, index) => {
      for (const { startTick, midi, tiedToNext } of bar.parts['piano'] ?? [])
        if (tiedToNext && startTick > 5040 && bar.lengthTicks - startTick > 2520)
          found.push({ pitchClass: mod(midi, 12), leadsTo: index + 1 })
    })
  }
  return found
}

describe('[BA5] early by more than an eighth', () => {
  it('half-time backbeat and swing ballad strike the chord of the next bar and tie it over', () => {
    // Pitch classes a player adds to each chord: its own, ninth and thirteenth.
    const usable: { readonly [symbol: string]: readonly number[] } = {
      Dm7: [2, 5, 9, 0, 4, 7],
      G7: [7, 11, 2, 5, 9, 4],
      Cmaj7: [0, 4, 7, 11, 2, 9],
      Fmaj7: [5, 9, 0, 4, 7, 2, 11],
      Em7: [4, 7, 11, 2, 6, 9],
      A7: [9, 1, 4, 7, 11, 6, 10, 5],
    }
    for (const [id, feel] of [
      ['ballad-swing', 'swing'],
      ['backbeat-half', 'even'],
    ] as const) {
      const found = farStrokes(id, feel, QUARTET)
      expect(found.length, id).toBeGreaterThan(0)
      for (const { pitchClass, leadsTo } of found) {
        const symbol = must(CHORDS[leadsTo], 'a bar')
        expect(usable[symbol], `${id} to ${symbol}`).toContain(pitchClass)
      }
    }
  })
  it('not where another player holds the present chord', () => {
    expect(farStrokes('ballad-swing', 'swing', [...QUARTET, GUITAR])).toEqual([])
  })
})
