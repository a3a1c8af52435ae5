/** Chord players: room for the melody, every chord heard, voices within limits. */
import { describe, expect, it, vi } from 'vitest'
import {
  groove,
  part,
  QUARTET,
  LINES,
  ROADMAP,
  TUNES,
  played,
  band,
  notesOf,
} from '../../../tests/fixtures/played-band.js'
import { rows } from '../../../tests/fixtures/rows.js'
import { lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import { LOW_INTERVAL_LIMITS, chord, pitchClassesOf } from '../chords/index.js'
import type { PartNote } from '../contract/index.js'
import { GROOVES } from '../rhythm/index.js'
import { barTicks, mod, pitchClass } from '../units/index.js'
import { realiseBand } from './index.js'

vi.setConfig({ testTimeout: 30_000 })

const withRules = (id: string) => `${id} in every groove, tune and level`

describe('[BA5] comping', () => {
  const grooves = GROOVES.filter(({ metre }) => metre !== 'any')

  it(`${withRules('the top voice')} stays three half steps below the melody or doubles it`, () => {
    for (const of of grooves) {
      for (const energy of [0.3, 0.9]) {
        for (const bar of band(played(lanternSlip(), of, 'chorus-1'), of, QUARTET, energy)) {
          for (const note of notesOf(bar, 'piano')) {
            const melody = bar.melody.find(
              ({ startTick, durationTicks }) =>
                startTick <= note.startTick && note.startTick < startTick + durationTicks,
            )
            if (!melody) continue
            const isClear = note.midi <= melody.midi - 3 || note.midi === melody.midi
            // What is tied over from an anticipation was struck under the note before.
            const isTiedIn = note.startTick === 0 && note.durationTicks <= 5040
            if (!isTiedIn) expect(isClear, `${of.id} bar ${bar.barIndex} ${note.name} under ${melody.name}`).toBe(true)
          }
        }
      }
    }
  })

  it('low-interval limits hold inside every chord (Lowell & Pullig 2003)', () => {
    for (const of of grooves) {
      for (const tune of TUNES) {
        for (const bar of band(played(tune, of, 'chorus-1'), of)) {
          const chords = new Map<number, number[]>()
          for (const { startTick, midi } of notesOf(bar, 'piano'))
            chords.set(startTick, [...(chords.get(startTick) ?? []), midi])
          for (const midi of chords.values()) {
            midi.sort((a, b) => a - b)
            midi.forEach((low, index) => {
              const apart = (midi[index + 1] ?? low) - low
              if (apart > 0)
                expect(low, `${of.id} ${midi.join()}`).toBeGreaterThanOrEqual(LOW_INTERVAL_LIMITS[apart] ?? 0)
            })
          }
        }
      }
    }
  })

  it('every chord of two beats or more is heard, struck in it or anticipated', () => {
    for (const of of grooves) {
      const bars = band(played(lanternSlip(), of, 'chorus-1'), of, QUARTET, 0.5)
      bars.slice(0, -1).forEach((bar, index) => {
        for (const { startTick, durationTicks } of bar.chords) {
          if (durationTicks < 10080) continue
          const inside = notesOf(bar, 'piano').some(
            (note) => note.startTick >= startTick && note.startTick < startTick + durationTicks,
          )
          const tiedIn = startTick === 0 && notesOf(bars[index - 1], 'piano').some(({ tiedToNext }) => tiedToNext)
          expect(inside || tiedIn, `${of.id} bar ${index}`).toBe(true)
        }
      })
    }
  })

  it('a busy half bar gets one soft stroke at most, and no stroke stands less than an eighth beside a melody attack', () => {
    const text = `1 | F6 | A4:.5 G4:.5 F4:.5 G4:.5 A4:2\n2 | C7 | A4:.5 G4:.5 F4:.5 G4:.5 A4:2\n3 | F6 | A4:4\n4 | F6 | A4:4`
    for (const of of grooves.filter(({ metre }) => metre !== 'any' && barTicks(metre) === 20160)) {
      const bars = band(rows(text, { len: 4, key: 'F major', feel: of.feel }), of, QUARTET, 0.7)
      for (const bar of bars.slice(0, 2)) {
        const strokes = [
          ...new Set(
            notesOf(bar, 'piano')
              .filter(({ startTick }) => startTick < 10080)
              .map(({ startTick }) => startTick),
          ),
        ]
        const held = notesOf(bar, 'piano').some(({ startTick }) => startTick === 0) ? 1 : 0
        expect(strokes.length, of.id).toBeLessThanOrEqual(1 + held)
      }
    }
  })

  it('an anticipation sounds the next chord', () => {
    const text =
      '1 | Fmaj7 | r:4\n2 | Fmaj7 | r:4\n3 | Fmaj7 | r:4\n4 | Fmaj7 | r:4\n5 | Bb7 | r:4\n6 | Bb7 | r:4\n7 | F6 | r:4\n8 | F6 | r:4'
    let found = 0
    for (const seed of [1, 2, 3]) {
      const bars = band(
        rows(text, { len: 4, key: 'F major', feel: 'swing' }),
        groove('swing-medium'),
        QUARTET,
        0.9,
        seed,
      )
      bars.forEach((bar, index) => {
        const early = notesOf(bar, 'piano').filter(({ tiedToNext }) => tiedToNext)
        if (early.length === 0) return
        found++
        const next = bars[index + 1]?.chords[0]?.chord ?? chord('N.C.')
        const usable = [
          ...pitchClassesOf(next),
          ...early
            .map(({ midi }) => mod(midi, 12))
            .filter((pc) => pc === mod(pitchClass(next.root) + 2, 12) || pc === mod(pitchClass(next.root) + 9, 12)),
        ]
        for (const { midi } of early) expect(usable).toContain(mod(midi, 12))
      })
    }
    expect(found).toBeGreaterThan(0)
  })

  it('[BA5] a stroke more than an eighth before the change keeps the chord that is there', () => {
    // Both grooves have a stroke on the way to the next chord a beat or more early; sounded there it would rub against the bass.
    for (const id of ['ballad-swing', 'backbeat-half']) {
      const text = Array.from({ length: 8 }, (_, index) => `${index + 1} | ${index % 2 === 0 ? 'Fm6' : 'Gbmaj7'} | r:4`)
      for (const seed of [1, 2, 3]) {
        const bars = band(
          rows(text.join('\n'), { len: 4, key: 'F minor', feel: 'swing' }),
          groove(id),
          QUARTET,
          0.5,
          seed,
        )
        for (const bar of bars) {
          const foreign = bar.chords[0]?.chord.root === 'F' ? 'Gb' : 'D'
          const early = notesOf(bar, 'piano').filter(({ startTick }) => startTick < bar.lengthTicks - 2520)
          expect(early.some(({ midi }) => mod(midi, 12) === pitchClass(foreign))).toBe(false)
        }
      }
    }
  })

  it('[BA5] a chord that was anticipated needs no stroke to be heard', () => {
    const shuffle = groove('shuffle')
    const text = Array.from({ length: 16 }, (_, index) => `${index + 1} | ${index % 2 ? 'Ab7' : 'Bb7'} |`).join('\n')
    const bars = band(rows(text, { len: 4, key: 'Bb major', feel: 'swing' }), shuffle, QUARTET, 0.3).slice(0, 15)
    const anticipated = bars.filter((_, index) =>
      notesOf(bars[index - 1], 'piano').some(({ tiedToNext }) => tiedToNext),
    )
    expect(anticipated.length).toBeGreaterThan(3)
    const softOnTwo = anticipated.filter((bar) =>
      notesOf(bar, 'piano').some(({ startTick, velocity }) => startTick === 5040 && velocity < 50),
    )
    expect(softOnTwo.map(({ barIndex }) => barIndex)).toEqual([])
  })

  it('[BA5] what is held makes room for melody notes that come while it sounds', () => {
    // The ninth of Am7 and of Cm7 a minor ninth below C and E♭.
    const text = '1 | Am7 | A4:1 C5:3\n2 | Cm7 | G4:2 Eb5:2\n3 | Am7 | E5:2 C5:2\n4 | Cm7 | Eb5:4'
    for (const id of ['ballad-even', 'ballad-swing', 'swing-medium', 'jazz-waltz', 'backbeat-half']) {
      for (const level of [0.1, 0.5, 0.9]) {
        const of = groove(id)
        if (of.metre === 'any' || barTicks(of.metre) !== 20160) continue
        for (const bar of band(rows(text, { len: 4, key: 'C minor', feel: of.feel }), of, QUARTET, level)) {
          const rubs = notesOf(bar, 'piano').filter((note) =>
            bar.melody.some((own) => {
              const from = Math.max(own.startTick, note.startTick)
              const to = Math.min(own.startTick + own.durationTicks, note.startTick + note.durationTicks)
              return to - from >= 5040 && own.midi - note.midi >= 12 && mod(own.midi - note.midi, 12) === 1
            }),
          )
          expect(rubs.map(({ name }) => `${id} ${name}`)).toEqual([])
        }
      }
    }
  })

  it('two chord players never play two cells: the second pads on the chords', () => {
    const bars = band(played(lanternSlip(), groove('bossa')), groove('bossa'), LINES['septet'], 0.5)
    for (const bar of bars.slice(0, -1)) {
      const starts = new Set(bar.chords.map(({ startTick }) => startTick))
      expect(notesOf(bar, 'guitar').every(({ startTick }) => starts.has(startTick))).toBe(true)
    }
  })

  it('a voicing fixed by hand sounds and prints', () => {
    const bars = played(lanternSlip(), groove('bossa'))
    const edit = {
      kind: 'voicing',
      at: { pass: 'chorus-1', sectionId: 'A1', bar: 2 },
      metre: { beats: 4, beatType: 4 },
      startTick: 0,
      partId: 'piano',
      midi: [53, 58, 62, 65],
    } as const
    const made = realiseBand(bars, {
      lineup: QUARTET,
      roadmap: ROADMAP,
      groove: groove('bossa'),
      seed: 1,
      voicings: new Map([[2, [edit]]]),
    })
    const notes = notesOf(made[2], 'piano')
    expect(new Set(notes.map(({ midi }) => midi))).toEqual(new Set([53, 58, 62, 65]))
    expect(notes.every(({ printed }) => printed === undefined)).toBe(true)
    expect(notesOf(made[3], 'piano').every(({ printed }) => printed === 'slash')).toBe(true)
  })

  it('the bossa keeps its first cell for vamps, and five has its ostinato up to level 3', () => {
    const starts = (id: string, energy: number) =>
      band(played(lanternSlip(), groove(id), 'chorus-1'), groove(id), QUARTET, energy)
        .slice(0, 16)
        .map((bar) => [...new Set(notesOf(bar, 'piano').map(({ startTick }) => startTick / 2520))].join())
    // The cross-stick of two bars, as the first cell has it.
    expect(
      starts('bossa', 0.5).some((bar, index) => bar === '0,3,6' && starts('bossa', 0.5)[index + 1] === '2,5'),
    ).toBe(false)
    const five = starts('five-4', 0.5).filter((bar) => bar === '0,3,6')
    expect(five.length).toBeGreaterThan(8)
    expect(starts('five-4', 0.9).filter((bar) => bar === '0,3,6').length).toBeLessThan(five.length)
  })

  it('at level 5, with nobody above, the top is doubled an octave up', () => {
    const bossa = groove('bossa')
    const tops = (energy: number) =>
      band(played(lanternSlip(), bossa, 'solo-1'), bossa, QUARTET, energy)
        .slice(0, 8)
        .flatMap((bar) => {
          const first = notesOf(bar, 'piano').filter(({ startTick }, _, all) => startTick === all[0]?.startTick)
          const midi = first.map((note) => note.midi).sort((a, b) => a - b)
          return midi.length > 1 ? [(midi.at(-1) as number) - (midi.at(-2) as number)] : []
        })
    expect(tops(0.9).filter((apart) => apart === 12).length).toBeGreaterThan(4)
    expect(tops(0.7).filter((apart) => apart === 12)).toEqual([])
  })

  it("before another groove in the same metre the last half bar is the drummer's", () => {
    const bars = played(lanternSlip(), groove('bossa'), 'chorus-1').map((bar, index) => ({
      ...bar,
      feel: index < 16 ? 'bossa' : 'swing-medium',
    }))
    const made = band(bars, groove('bossa'), QUARTET, 0.7)
    expect(notesOf(made[15], 'piano').every(({ startTick }) => startTick < 10080)).toBe(true)
    expect(notesOf(made[14], 'piano').some(({ startTick }) => startTick >= 10080)).toBe(true)
    expect(notesOf(made[15], 'drums').some(({ name }) => name === 'tomlow')).toBe(true)
    expect(notesOf(made[17], 'drums').some(({ name }) => name === 'ride')).toBe(true)
  })

  it('in cha-cha, shuffle, backbeat and street beat the chords come up a step under a held note', () => {
    const text = '1 | F6 | A4:4\n2 | F6 | A4:1 r:3\n3 | F6 | A4:4\n4 | F6 | A4:4'
    const loudest = (id: string, index: number) => {
      const bars = band(rows(text, { len: 4, key: 'F major', feel: groove(id).feel }), groove(id), QUARTET, 0.5)
      return Math.max(...notesOf(bars[index], 'piano').map(({ velocity }) => velocity))
    }
    for (const id of ['cha-cha', 'shuffle', 'backbeat', 'street-beat'])
      expect(loudest(id, 0) - loudest(id, 1), id).toBe(7)
    expect(loudest('bossa', 0)).toBe(loudest('bossa', 1))
  })

  it('a guitar strums two and four a little louder, never over the melody', () => {
    const swing = groove('swing-medium')
    const lineup = [part('trumpet', 'trumpet', 'lead'), part('guitar', 'guitar', 'chords'), ...QUARTET.slice(2)]
    for (const bar of band(played(lanternSlip(), swing, 'chorus-1'), swing, lineup, 0.9).slice(0, -1)) {
      const loudest = Math.max(...notesOf(bar, 'guitar').map(({ velocity }) => velocity))
      for (const { velocity } of notesOf(bar, 'trumpet')) expect(loudest).toBeLessThan(velocity)
    }
  })
})

describe('[BA10] under a singer', () => {
  it('no softer than the second level, nor in free time', () => {
    const loud = (lead: Parameters<typeof part>, id: string, energy: number, feel = groove(id).feel) =>
      Math.max(
        ...band(
          played(lanternSlip(), groove(id), 'chorus-1').map((bar) => ({ ...bar, feel })),
          groove(id),
          [part(...lead), ...QUARTET.slice(1)],
          energy,
        )
          .slice(0, 8)
          .flatMap((bar) => notesOf(bar, 'piano').map(({ velocity }) => velocity)),
      )
    const step = (id: string, energy: number, feel?: string) =>
      loud(['trumpet', 'trumpet', 'lead'], id, energy, feel) - loud(['voice', 'voice-alto', 'lead'], id, energy, feel)
    expect([0.1, 0.3, 0.5].map((energy) => step('ballad-swing', energy))).toEqual([0, 0, 9])
    expect(step('swing-medium', 0.5, 'rubato')).toBe(0)
  })

  it('the piano is as soft for a lead who sings as for a voice, and softer than for a trumpet', () => {
    const swing = groove('swing-medium')
    const bars = played(lanternSlip(), swing, 'chorus-1', 'chorus-last')
    const pianoUnder = (...lead: Parameters<typeof part>) =>
      band(bars, swing, [part(...lead), ...QUARTET.slice(1)], 0.7).map((bar) => notesOf(bar, 'piano'))
    const underLead = pianoUnder('voice', 'voice-alto', 'lead')
    expect(underLead).toEqual(pianoUnder('voice', 'voice-alto', 'voice'))
    const weight = (piano: readonly (readonly PartNote[])[]) =>
      piano.flat().reduce((sum, { velocity }) => sum + velocity, 0)
    expect(weight(underLead)).toBeLessThan(weight(pianoUnder('trumpet', 'trumpet', 'lead')))
  })
})

describe('[BA24] how loud chords are', () => {
  const velocities = (id: string, energy: number, lineup = QUARTET) =>
    band(played(lanternSlip(), groove(id), 'chorus-1'), groove(id), lineup, energy)
      .slice(0, -1)
      .flatMap((bar) => notesOf(bar, 'piano').map(({ velocity }) => velocity))

  it("a soft stroke lies fourteen under a plain one, not at the drums' ghosts", () => {
    const text = Array.from({ length: 4 }, (_, index) => `${index + 1} | F6 | A4:.5 G4:.5 F4:.5 G4:.5 A4:2`).join('\n')
    const swing = groove('swing-medium')
    const bars = band(rows(text, { len: 4, key: 'F major', feel: 'swing' }), swing, QUARTET, 0.5)
    const heard = new Set(bars.slice(0, 3).flatMap((bar) => notesOf(bar, 'piano').map(({ velocity }) => velocity)))
    expect([...heard].sort((a, b) => a - b)).toEqual([swing.dyn - 14, swing.dyn])
  })

  it("ballads' long chords are struck firmer, and stay under the melody", () => {
    for (const [id, step] of [
      ['ballad-swing', 6],
      ['ballad-even', 6],
      ['ballad-6-8', 6],
    ] as const) {
      expect(Math.max(...velocities(id, 0.5)), id).toBe(groove(id).dyn + step)
      expect(step).toBeLessThan(10)
    }
  })

  it("a left hand's chords are softer than its bass notes", () => {
    const swing = groove('swing-medium')
    const bars = band(played(lanternSlip(), swing, 'chorus-1'), swing, LINES['solo piano'], 0.5)
    for (const bar of bars.slice(0, 7)) {
      const hand = notesOf(bar, 'piano').filter(({ voice }) => voice === 2)
      const bass = hand.filter(({ midi }) => midi < 50).map(({ velocity }) => velocity)
      const chords = hand.filter(({ midi }) => midi >= 52).map(({ velocity }) => velocity)
      if (bass.length > 0 && chords.length > 0) expect(Math.max(...chords)).toBeLessThan(Math.min(...bass))
    }
  })
})

describe('[BA21] how chords lie', () => {
  it('a montuno goes voice by voice in octaves where the melody leaves room', () => {
    const chaCha = groove('cha-cha')
    const bars = band(played(lanternSlip(), chaCha, 'solo-1'), chaCha, QUARTET, 0.5).slice(0, 8)
    const strokes = bars.flatMap((bar) => {
      const starts = [...new Set(notesOf(bar, 'piano').map(({ startTick }) => startTick))]
      return starts.map((tick) =>
        notesOf(bar, 'piano')
          .filter(({ startTick }) => startTick === tick)
          .map(({ midi }) => midi),
      )
    })
    expect(strokes.length).toBeGreaterThan(16)
    expect(strokes.every((midi) => midi.length === 2 && (midi[1] ?? 0) - (midi[0] ?? 0) === 12)).toBe(true)
    expect(new Set(strokes.map(([low]) => low)).size).toBeGreaterThan(4)
  })

  it('twelve-eight has its chords in fourths where there is room', () => {
    const afro = groove('afro-12-8')
    const bars = band(played(lanternSlip(), afro, 'solo-1'), afro, QUARTET, 0.5).slice(0, 16)
    let stacks = 0
    let all = 0
    for (const bar of bars) {
      const [first] = notesOf(bar, 'piano')
      const midi = notesOf(bar, 'piano').flatMap((note) => (note.startTick === first?.startTick ? [note.midi] : []))
      if (midi.length < 3) continue
      all++
      if (midi.slice(1).every((note, at) => [5, 6].includes(note - (midi[at] ?? 0)))) stacks++
    }
    expect(all).toBeGreaterThan(8)
    expect(stacks / all).toBeGreaterThan(0.6)
  })

  it('chords give way to the bass: none of three and more lies on or under what it plays with them', () => {
    for (const of of GROOVES)
      for (const energy of [0.5, 0.9])
        for (const bar of band(played(lanternSlip(), of, 'chorus-1'), of, QUARTET, energy).slice(0, -1)) {
          for (const tick of new Set(notesOf(bar, 'piano').map(({ startTick }) => startTick))) {
            const chord = notesOf(bar, 'piano').filter(({ startTick }) => startTick === tick)
            const low = notesOf(bar, 'bass').find(
              ({ startTick, durationTicks }) => startTick <= tick && tick < startTick + durationTicks,
            )
            if (chord.length > 2 && low)
              expect(Math.min(...chord.map(({ midi }) => midi)), of.id).toBeGreaterThan(low.midi)
          }
        }
  })

  it('no cell stands a third time running where another has nearly as much room', () => {
    const swing = groove('swing-medium')
    const text = Array.from(
      { length: 16 },
      (_, index) => `${index + 1} | ${index % 2 ? 'C7' : 'Gm7'} | D5:3 Bb4:1`,
    ).join('\n')
    const bars = band(rows(text, { len: 4, key: 'F major', feel: 'swing' }), swing, QUARTET, 0.7)
    const pairs = [0, 2, 4, 6, 8, 10, 12].map((at) =>
      [0, 1]
        .map((next) => [...new Set(notesOf(bars[at + next], 'piano').map(({ startTick }) => startTick))].join())
        .join('|'),
    )
    pairs.forEach((pair, at) => expect(at > 1 && pair === pairs[at - 1] && pair === pairs[at - 2]).toBe(false))
  })
})

describe('[BA22] answers', () => {
  it("in a ballad the piano answers in the melody's rests: two or three soft eighths an octave above its chord, never under a singer", () => {
    const text = '1 | Fmaj7 | A4:1 r:3\n2 | Gm7 | A4:2 r:2\n3 | C7 | A4:4\n4 | Fmaj7 | A4:1 r:3\n5 | F6 | A4:4'
    for (const id of ['ballad-swing', 'ballad-even']) {
      const play = (lineup = QUARTET, energy = 0.5) =>
        band(rows(text, { len: 4, key: 'F major', feel: groove(id).feel }), groove(id), lineup, energy)
      const answers = (bars: ReturnType<typeof play>) =>
        bars
          .slice(0, 4)
          .map((bar) =>
            notesOf(bar, 'piano').filter(
              ({ durationTicks, velocity }) => durationTicks === 2520 && velocity < groove(id).dyn,
            ),
          )
      const found = answers(play())
      expect(found.map(({ length }) => length >= 2)).toEqual([true, true, false, true])
      const bars = play()
      found.forEach((notes, index) => {
        const chords = notesOf(bars[index], 'piano').filter(({ durationTicks }) => durationTicks > 2520)
        for (const { startTick, midi } of notes) {
          expect(startTick).toBeGreaterThan(5040)
          expect(chords.map((note) => note.midi + 12)).toContain(midi)
        }
      })
      expect(answers(play(QUARTET, 0.1)).flat()).toEqual([])
      expect(answers(play(LINES['septet'])).flat()).toEqual([])
    }
  })
})
