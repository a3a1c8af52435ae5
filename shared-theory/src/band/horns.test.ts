/** The lead and the horns beside it. */
import { describe, expect, it, vi } from 'vitest'
import { groove, LINES, ROADMAP, played, band, notesOf } from '../../../tests/fixtures/played-band.js'
import { rows } from '../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import { chord, memberOf } from '../chords/index.js'
import type { ArrangedBar, PartSpec } from '../contract/index.js'
import { LINEUPS } from '../instruments/index.js'
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

  it("a pianist's left hand strides from root to fifth, below where the hand has it, and in octaves at level 5", () => {
    const swing = groove('swing-medium')
    const bass = (energy: number) => {
      const notes = notesOf(
        band(played(lanternSlip(), swing, 'chorus-1'), swing, LINES['solo piano'], energy)[0],
        'piano',
      )
      const low = (tick: number) =>
        notes.filter(({ voice, startTick }) => voice === 2 && startTick === tick).map(({ midi }) => midi)
      return [low(0), low(10080)]
    }
    // F and C under Fmaj7.
    expect(bass(0.5)).toEqual([[41], [36]])
    expect(bass(0.9)).toEqual([
      [29, 41],
      [24, 36],
    ])
  })

  it('a pianist who leads at full energy doubles the melody an octave down', () => {
    const swing = groove('swing-medium')
    const made = band(played(lanternSlip(), swing, 'chorus-1'), swing, LINEUPS['trio'] as readonly PartSpec[], 0.9)
    // Bar 5 has an eighth.
    for (const sung of [0, 1, 2, 3, 4].flatMap((at) => made[at]?.melody ?? []).filter(({ midi }) => midi > 62))
      expect(
        made.some((bar) => bar.melody.includes(sung) && doubles(bar, sung)),
        sung.name,
      ).toBe(true)
    for (const sung of made[0]?.melody ?? [])
      expect(
        notesOf(made[0], 'piano').some(
          ({ midi, startTick }) => startTick === sung.startTick && midi === sung.midi - 12,
        ),
      ).toBe(true)
  })
})

const doubles = (bar: ArrangedBar, sung: ArrangedBar['melody'][number]): boolean =>
  notesOf(bar, 'piano').some(({ midi, startTick }) => startTick === sung.startTick && midi === sung.midi - 12)

describe('[BA25] a pianist who leads a trio', () => {
  const trio = LINEUPS['trio'] as readonly PartSpec[]
  const solo = LINES['solo piano'] as readonly PartSpec[]
  const hand = (bar: ArrangedBar | undefined, voice: number | undefined) =>
    notesOf(bar, 'piano').filter((note) => note.voice === voice)

  it('the left hand comps in the cells of the groove, not on the same beats in every bar', () => {
    for (const [id, tune] of [
      ['swing-medium', lanternSlip()],
      ['jazz-waltz', ferryBell()],
    ] as const) {
      const made = band(played(tune, groove(id), 'chorus-1'), groove(id), trio, 0.5).slice(0, 8)
      const places = made.map((bar) => [...new Set(hand(bar, 2).map(({ startTick }) => startTick))].join())
      expect(new Set(places).size, `${id}: ${places.join(' | ')}`).toBeGreaterThan(3)
    }
  })

  it('alike in sections that are alike', () => {
    const swing = groove('swing-medium')
    const made = band(played(lanternSlip(), swing, 'chorus-1'), swing, trio, 0.5)
    const places = (bar: ArrangedBar | undefined) => hand(bar, 2).map(({ startTick }) => startTick)
    for (const at of [0, 1, 2, 3]) expect(places(made[8 + at])).toEqual(places(made[at]))
  })

  it('hands do not cross: what fills under the melody lies above the left hand', () => {
    for (const lineup of [trio, solo])
      for (const id of ['swing-medium', 'bossa', 'ballad-swing', 'jazz-waltz'])
        for (const energy of [0.3, 0.5, 0.9])
          for (const bar of band(played(lanternSlip(), groove(id), 'chorus-1'), groove(id), lineup, energy))
            for (const low of hand(bar, 2))
              for (const high of hand(bar, undefined)) {
                const isTogether =
                  high.startTick < low.startTick + low.durationTicks &&
                  low.startTick < high.startTick + high.durationTicks
                if (isTogether) expect(high.midi, `${id} bar ${bar.barIndex}`).toBeGreaterThan(low.midi)
              }
  })

  it('where the tune rests both hands comp, and alone the left has the bass', () => {
    const swing = groove('swing-medium')
    const bars = played(lanternSlip(), swing, 'chorus-1').map((bar) => ({ ...bar, melody: [] }))
    const inTrio = band(bars, swing, trio, 0.5).slice(0, 8)
    expect(inTrio.every((bar) => hand(bar, 2).length === 0)).toBe(true)
    expect(inTrio.some((bar) => hand(bar, undefined).length >= 4)).toBe(true)
    const alone = band(bars, swing, solo, 0.5)[0]
    expect(hand(alone, 2).map(({ midi }) => midi)).toEqual([41, 36])
    expect(hand(alone, undefined).length).toBeGreaterThan(2)
  })

  it('a button is short in both hands', () => {
    const swing = groove('swing-medium')
    for (const lineup of [trio, solo]) {
      const bars = played(lanternSlip(), swing, 'chorus-1').map((bar, index, all) =>
        index === all.length - 1
          ? { ...bar, melody: bar.melody.map((note) => ({ ...note, durationTicks: 5040 })) }
          : bar,
      )
      const last = realiseBand(bars, { lineup, roadmap: [], groove: swing, seed: 1, stop: 'button' }).at(-1)
      expect(Math.max(...notesOf(last, 'piano').map(({ durationTicks }) => durationTicks))).toBe(5040)
    }
  })
})

describe('[BA12] horns beside a horn', () => {
  const bossa = groove('bossa')
  const QUINTET = LINES['quintet'] as readonly PartSpec[]
  const SEPTET = LINEUPS['septet'] as readonly PartSpec[]
  const pitches = (bar: ArrangedBar | undefined, id: string) => notesOf(bar, id).map(({ midi }) => midi)

  it('level 2 leaves the lead alone, level 3 has it in unison, in the octave that a player has', () => {
    const quiet = band(played(lanternSlip(), bossa, 'chorus-1'), bossa, QUINTET, 0.3)
    expect(quiet.flatMap((bar) => notesOf(bar, 'tenor-sax'))).toEqual([])
    const made = band(played(lanternSlip(), bossa, 'chorus-1'), bossa, SEPTET, 0.5)
    for (const bar of made.slice(0, 7)) {
      const sung = bar.melody.map(({ midi }) => midi)
      expect(pitches(bar, 'alto-sax')).toEqual(sung)
      // The melody goes to F5, above the trombone.
      expect(pitches(bar, 'trombone')).toEqual(sung.map((midi) => midi - 12))
    }
  })

  it('level 4: held in the first section, the melody harmonised in the second; level 5 harmonised throughout', () => {
    for (const [energy, first, second] of [
      [0.7, 'held', 'harmony'],
      [0.9, 'harmony', 'harmony'],
    ] as const) {
      const made = band(played(lanternSlip(), bossa, 'chorus-1'), bossa, QUINTET, energy)
      for (const [bar, wanted] of [
        [made[0], first],
        [made[8], second],
      ] as const) {
        const onsets = wanted === 'held' ? [0] : bar?.melody.map(({ startTick }) => startTick)
        expect(notesOf(bar, 'tenor-sax').map(({ startTick }) => startTick)).toEqual(onsets)
      }
    }
  })

  it('one horn goes in thirds and sixths under the melody', () => {
    const made = band(played(lanternSlip(), bossa, 'chorus-1'), bossa, QUINTET, 0.9)
    const apart = made.flatMap((bar) =>
      bar.melody.flatMap((sung) =>
        notesOf(bar, 'tenor-sax')
          .filter(({ startTick }) => startTick === sung.startTick)
          .map(({ midi }) => sung.midi - midi),
      ),
    )
    expect(apart.length).toBeGreaterThan(60)
    expect(apart.every((step) => step >= 3)).toBe(true)
    const sweet = apart.filter((step) => [3, 4, 8, 9].includes(step)).length
    expect(sweet / apart.length).toBeGreaterThanOrEqual(0.85)
  })

  it('three horns: four voices with the second from the top an octave lower', () => {
    const text = '1 | Cmaj7 | E5:4\n2 | Dm7 | A4:4\n3 | G7 | B4:4\n4 | Cmaj7 | C5:4\n5 | C6 | C5:4'
    const made = band(rows(text, { len: 4, key: 'C major', feel: 'even' }), bossa, SEPTET, 0.9)
    const voices = (bar: ArrangedBar | undefined) =>
      ['trumpet', 'alto-sax', 'tenor-sax', 'trombone'].map((id) => notesOf(bar, id)[0]?.name)
    // Close forms A F D C, B G F D, and C A G E with the sixth for the seventh under the root; then the second voice drops.
    expect(voices(made[1])).toEqual(['A4', 'D4', 'C4', 'F3'])
    expect(voices(made[2])).toEqual(['B4', 'F4', 'D4', 'G3'])
    expect(voices(made[3])).toEqual(['C5', 'G4', 'E4', 'A3'])
  })

  it('behind a solo: held, then the same rhythm every two bars from level 4, in octaves at level 5', () => {
    const calm = band(played(lanternSlip(), bossa, 'solo-1'), bossa, QUINTET, 0.5)
    expect(notesOf(calm[0], 'tenor-sax').map(({ durationTicks }) => durationTicks)).toEqual([20160])
    for (const energy of [0.7, 0.9]) {
      const made = band(played(lanternSlip(), bossa, 'solo-1'), bossa, SEPTET, energy)
      const rhythm = (index: number) => notesOf(made[index], 'alto-sax').map(({ startTick }) => startTick)
      expect(rhythm(0)).toEqual([0, 7560])
      expect(rhythm(4)).toEqual(rhythm(0))
      expect(rhythm(1)).toEqual([5040, 10080])
      expect(rhythm(3)).toEqual([])
      const classes = ['alto-sax', 'tenor-sax', 'trombone'].map((id) => mod(pitches(made[0], id)[0] ?? -1, 12))
      expect(new Set(classes).size).toBe(energy === 0.9 ? 1 : 3)
    }
  })

  it('every fourth bar has a breath, and ties lead somewhere', () => {
    for (const energy of [0.5, 0.7, 0.9]) {
      const made = band(played(lanternSlip(), bossa, 'chorus-1'), bossa, SEPTET, energy)
      for (const index of [3, 7, 11])
        for (const id of ['alto-sax', 'tenor-sax', 'trombone']) {
          const end = notesOf(made[index], id).at(-1)
          if (end) expect(end.startTick + end.durationTicks).toBeLessThan(20160)
        }
    }
  })

  it('without a chord instrument: guide tones to level 3, the rhythm of the cell from 4', () => {
    const trio = LINES['horns alone'] as readonly PartSpec[]
    const calm = band(played(lanternSlip(), bossa, 'chorus-1'), bossa, trio, 0.5)
    expect(notesOf(calm[0], 'tenor').map(({ durationTicks }) => durationTicks)).toEqual([20160])
    const loud = band(played(lanternSlip(), bossa, 'chorus-1'), bossa, trio, 0.7)
    expect(notesOf(loud[1], 'tenor').length).toBeGreaterThan(1)
  })

  it("an ending goes on as the last chorus closed, and the last hit is everybody's, as short as a button", () => {
    const closing = (energy: number, stop: 'button' | 'held') => {
      const bars = played(lanternSlip(), bossa, 'chorus-1').map((bar, index) =>
        index >= 28 ? { ...bar, pass: 'ending', sectionId: 'ending' } : bar,
      )
      const roadmap = ROADMAP.map((pass) => ({ ...pass, energy }))
      return realiseBand(bars, { lineup: SEPTET, roadmap, groove: bossa, seed: 1, stop })
    }
    const full = closing(0.9, 'held')
    expect(pitches(full[28], 'tenor-sax')).toHaveLength(full[28]?.melody.length ?? -1)
    expect(pitches(full[28], 'tenor-sax')).not.toEqual(full[28]?.melody.map(({ midi }) => midi))
    expect(new Set(['alto-sax', 'tenor-sax', 'trombone'].map((id) => pitches(full[31], id)[0]))).toHaveProperty(
      'size',
      3,
    )
    expect(
      closing(0.3, 'held')
        .slice(28)
        .flatMap((bar) => notesOf(bar, 'alto-sax')),
    ).toEqual([])
    const silent = closing(0.9, 'button').map((bar) => ({ ...bar, melody: [] }))
    const roadmap = ROADMAP.map((pass) => ({ ...pass, energy: 0.9 }))
    const hit = realiseBand(silent, { lineup: SEPTET, roadmap, groove: bossa, seed: 1, stop: 'button' }).at(-1)
    for (const id of ['alto-sax', 'tenor-sax', 'trombone'])
      expect(notesOf(hit, id).map(({ durationTicks }) => durationTicks)).toEqual([2520])
  })

  it('an ending that grows quiet keeps its horns to the last chord', () => {
    const bars = played(lanternSlip(), bossa, 'chorus-1').map((bar, index) =>
      index >= 28
        ? { ...bar, pass: 'ending', sectionId: 'ending', provenance: { ...bar.provenance, rule: 'EN3' } }
        : bar,
    )
    const roadmap = ROADMAP.map((pass) => ({ ...pass, energy: 0.9 }))
    const made = realiseBand(bars, { lineup: SEPTET, roadmap, groove: bossa, seed: 1, stop: 'held' })
    const loudness = [28, 29, 31].map((index) => notesOf(made[index], 'tenor-sax')[0]?.velocity ?? 0)
    expect([...loudness].sort((a, b) => b - a)).toEqual(loudness)
    for (const id of ['alto-sax', 'tenor-sax', 'trombone']) expect(notesOf(made[31], id).length).toBeGreaterThan(0)
  })

  it('at level 5 the piano plays the riff along behind a solo', () => {
    const made = band(played(lanternSlip(), bossa, 'solo-1'), bossa, QUINTET, 0.9)
    const strokes = (index: number, id: string) => [
      ...new Set(notesOf(made[index], id).map(({ startTick }) => startTick)),
    ]
    for (const index of [0, 1, 2, 4, 5]) expect(strokes(index, 'piano')).toEqual(strokes(index, 'tenor-sax'))
  })
})
