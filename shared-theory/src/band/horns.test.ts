/** The lead and the horns beside it. */
import { describe, expect, it, vi } from 'vitest'
import { groove, LINES, ROADMAP, played, band, notesOf } from '../../../tests/fixtures/played-band.js'
import { lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import { chord, memberOf } from '../chords/index.js'
import type { PartSpec } from '../contract/index.js'
import { mod, pitchClass } from '../units/index.js'
import { realiseBand } from './index.js'

vi.setConfig({ testTimeout: 30_000 })

describe('[BA7] lead and horns', () => {
  it('the lead repeats the melody at concert pitch, ties and tuplets kept', () => {
    const made = band(played(lanternSlip(), groove('bossa'), 'chorus-1'), groove('bossa'))
    for (const bar of made)
      expect(
        notesOf(bar, 'lead').map(({ startTick, durationTicks, midi, name, tiedToNext }) => [
          startTick,
          durationTicks,
          midi,
          name,
          tiedToNext,
        ]),
      ).toEqual(
        bar.melody.map(({ startTick, durationTicks, midi, name, tiedToNext }) => [
          startTick,
          durationTicks,
          midi,
          name,
          tiedToNext,
        ]),
      )
  })

  it("a pass's own leader leads; the usual one joins it in unison", () => {
    const roadmap = ROADMAP.map((pass) => ({ ...pass, melody: 'tenor-sax', energy: 0.5 }))
    const lineup = LINES['quintet'] as readonly PartSpec[]
    const made = realiseBand(played(lanternSlip(), groove('bossa')), {
      lineup,
      roadmap,
      groove: groove('bossa'),
      seed: 1,
    })
    expect(notesOf(made[0], 'tenor-sax').map(({ midi }) => midi)).toEqual(made[0]?.melody.map(({ midi }) => midi))
    expect(notesOf(made[0], 'trumpet').map(({ midi }) => midi)).toEqual(made[0]?.melody.map(({ midi }) => midi))
  })

  it('backgrounds: held guide tones from level 4, none at 3, a rest every fourth bar, under the melody', () => {
    const lineup = LINES['septet'] as readonly PartSpec[]
    for (const [energy, expected] of [
      [0.5, 0],
      [0.7, 1],
    ] as const) {
      const made = band(played(lanternSlip(), groove('bossa')), groove('bossa'), lineup, energy)
      const held = ['trumpet', 'alto', 'tenor'].flatMap((id) => notesOf(made[0], id))
      expect(Math.min(1, held.length)).toBe(expected)
      expect(notesOf(made[3], 'trumpet')).toEqual([])
      for (const bar of made.slice(0, 32))
        for (const id of ['trumpet', 'alto', 'tenor'])
          for (const note of notesOf(bar, id)) {
            const melody = bar.melody.find(
              (sung) => sung.startTick <= note.startTick && note.startTick < sung.startTick + sung.durationTicks,
            )
            if (melody) {
              expect(note.midi).toBeLessThanOrEqual(melody.midi - 3)
              const isRub = melody.midi - note.midi > 12 && mod(melody.midi - note.midi, 12) === 1
              expect(isRub && pitchClass(bar.chords[0]?.chord.root ?? 'C') !== mod(note.midi, 12)).toBe(false)
            }
          }
    }
  })

  it('behind a solo horns play only where backgrounds are asked for, the soloist never', () => {
    const lineup = LINES['quintet'] as readonly PartSpec[]
    const made = band(played(lanternSlip(), groove('bossa')), groove('bossa'), lineup)
    expect(notesOf(made[32], 'trumpet')).toEqual([])
    expect(notesOf(made[32], 'tenor-sax').length).toBeGreaterThan(0)
    const quiet = realiseBand(played(lanternSlip(), groove('bossa')), {
      lineup,
      roadmap: ROADMAP.map(({ backgrounds: _backgrounds, ...pass }) => pass),
      groove: groove('bossa'),
      seed: 1,
    })
    expect(notesOf(quiet[32], 'tenor-sax')).toEqual([])
  })

  it('a pianist alone plays melody, two tones below it and a left hand', () => {
    const made = band(played(lanternSlip(), groove('ballad-swing')), groove('ballad-swing'), LINES['solo piano'], 0.5)
    const notes = notesOf(made[0], 'piano')
    expect(notes.filter(({ voice }) => voice === 2).length).toBeGreaterThan(0)
    for (const sung of made[0]?.melody ?? [])
      expect(
        notes.some(
          ({ midi, startTick, voice }) => midi === sung.midi && startTick === sung.startTick && voice === undefined,
        ),
      ).toBe(true)
    expect(memberOf(chord('Fmaj7'), 3)).toBe('A')
  })
})
