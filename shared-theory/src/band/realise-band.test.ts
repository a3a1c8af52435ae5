/** The band on the worked tunes, in every groove, at every level, in every line-up: its rules, and that it never fails. */
import { describe, expect, it, vi } from 'vitest'
import { passesOf, rows } from '../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip, slackTide } from '../../../tests/fixtures/worked-rows.js'
import { LOW_INTERVAL_LIMITS, bassOf, chord, memberOf, pitchClassesOf } from '../chords/index.js'
import type { ArrangedBar, PartNote, PartSpec, PassPlan } from '../contract/index.js'
import { LINEUPS, instrumentOf } from '../instruments/index.js'
import { DRUM_KEYS, GROOVES, type Groove, findGroove, rebar } from '../rhythm/index.js'
import { barTicks, midiOfName, mod, pitchClass } from '../units/index.js'
import { levelOfEnergy, levelsOf, realiseBand } from './index.js'

vi.setConfig({ testTimeout: 30_000 })

const groove = (id: string): Groove => {
  const found = findGroove(id)
  if (!found) throw new Error(`no groove '${id}'`)
  return found
}
const part = (id: string, instrument: string, role: PartSpec['role']): PartSpec => ({ id, instrument, name: id, role })
const QUARTET = LINEUPS['quartet-lead'] as readonly PartSpec[]
const LINES: { readonly [name: string]: readonly PartSpec[] } = {
  quartet: QUARTET,
  quintet: LINEUPS['quintet'] as readonly PartSpec[],
  septet: [
    part('voice', 'voice-alto', 'voice'),
    part('trumpet', 'trumpet', 'horn'),
    part('alto', 'alto-sax', 'horn'),
    part('tenor', 'tenor-sax', 'horn'),
    part('piano', 'piano', 'chords'),
    part('guitar', 'guitar', 'chords'),
    part('bass', 'electric-bass', 'bass'),
    part('drums', 'drum-kit', 'drums'),
  ],
  'solo piano': [part('piano', 'piano', 'lead')],
  duo: [part('flute', 'flute', 'lead'), part('guitar', 'guitar', 'chords')],
  'horns alone': [
    part('trumpet', 'trumpet', 'lead'),
    part('tenor', 'tenor-sax', 'horn'),
    part('bass', 'double-bass', 'bass'),
  ],
}
const ROADMAP: readonly PassPlan[] = [
  { id: 'chorus-1', kind: 'chorus', sections: [] },
  { id: 'solo-1', kind: 'solo', sections: [], soloist: 'trumpet', backgrounds: true },
  { id: 'chorus-last', kind: 'chorus', sections: [] },
]
const TUNES = [lanternSlip(), ferryBell(), slackTide()]

/** A tune's chorus, solo and last chorus under a groove, re-barred where it must be. */
function played(tune: (typeof TUNES)[number], of: Groove, ...passes: readonly string[]): readonly ArrangedBar[] {
  const bars = passesOf(tune, ...(passes.length > 0 ? passes : ['chorus-1', 'solo-1', 'chorus-last'])).map((bar) => ({
    ...bar,
    feel: of.feel,
    melody: bar.pass === 'solo-1' ? [] : bar.melody,
  }))
  if (of.metre === 'any' || barTicks(of.metre) === bars[0]?.lengthTicks) return bars
  const made = rebar(bars, { metre: of.metre, groups: of.groups as readonly number[] })
  if (!made) throw new Error(`no way to ${of.name}`)
  return made.bars
}

const band = (bars: readonly ArrangedBar[], of: Groove, lineup = QUARTET, energy?: number, seed = 1) =>
  realiseBand(bars, {
    lineup,
    roadmap: energy === undefined ? ROADMAP : ROADMAP.map((pass) => ({ ...pass, energy })),
    groove: of,
    seed,
  })
const notesOf = (bar: ArrangedBar | undefined, id: string): readonly PartNote[] => bar?.parts[id] ?? []
const withRules = (id: string) => `${id} in every groove, tune and level`

describe('[BA1] shape of what the band plays', () => {
  for (const [name, lineup] of Object.entries(LINES)) {
    it(`${name}: every part in every bar, in line-up order, notes inside their bar, in order, in range, as plain JSON`, () => {
      const turn = Object.keys(LINES).indexOf(name)
      for (const of of GROOVES) {
        for (const tune of [TUNES[(GROOVES.indexOf(of) + turn) % 3] ?? lanternSlip()]) {
          const energy = [undefined, 0.1, 0.5, 0.9][(GROOVES.indexOf(of) + turn) % 4]
          const bars = band(played(tune, of), of, lineup, energy)
          const broken: string[] = []
          for (const bar of bars) {
            if (Object.keys(bar.parts).join() !== lineup.map(({ id }) => id).join()) broken.push(`${bar.barIndex} keys`)
            for (const spec of lineup) {
              const [low, high] = spec.role === 'drums' ? [35, 81] : instrumentOf(spec).range
              let at = 0
              for (const note of notesOf(bar, spec.id)) {
                const where = `${of.id} ${tune.title} ${spec.id} bar ${bar.barIndex}: ${note.name}@${note.startTick}`
                if (note.startTick < at) broken.push(`${where} out of order`)
                at = note.startTick
                const numbers = [note.startTick, note.durationTicks, note.midi, note.velocity]
                if (!numbers.every(Number.isInteger)) broken.push(`${where} not whole`)
                if (note.durationTicks < 1 || note.startTick + note.durationTicks > bar.lengthTicks)
                  broken.push(`${where} length`)
                if (note.velocity < 1 || note.velocity > 127) broken.push(`${where} velocity`)
                const isTune = bar.melody.some(({ midi }) => midi === note.midi)
                if (!isTune && (note.midi < low || note.midi > high)) broken.push(`${where} range`)
                if (spec.role === 'drums') {
                  if (DRUM_KEYS[note.name]?.midi !== note.midi) broken.push(`${where} key`)
                } else if (midiOfName(note.name) !== note.midi) broken.push(`${where} spelling`)
              }
            }
          }
          expect(broken).toEqual([])
          expect(JSON.stringify(bars, (_, value: unknown) => (value === undefined ? 'undefined' : value))).toBe(
            JSON.stringify(bars),
          )
        }
      }
    })
  }

  it('the same plan gives the same band, another seed another line', () => {
    const bars = played(lanternSlip(), groove('swing-medium'))
    const once = band(bars, groove('swing-medium'))
    expect(JSON.stringify(band(bars, groove('swing-medium')))).toBe(JSON.stringify(once))
    expect(JSON.stringify(band(bars, groove('swing-medium'), QUARTET, undefined, 2))).not.toBe(JSON.stringify(once))
  })

  it('ties lead somewhere: the next bar goes on with the same pitch', () => {
    for (const of of GROOVES) {
      const bars = band(played(lanternSlip(), of, 'chorus-1', 'chorus-last'), of, LINES['quintet'])
      bars.forEach((bar, index) => {
        for (const spec of LINES['quintet'] ?? []) {
          for (const note of notesOf(bar, spec.id).filter(({ tiedToNext }) => tiedToNext)) {
            const isEnd = note.startTick + note.durationTicks === bar.lengthTicks
            const after = isEnd
              ? notesOf(bars[index + 1], spec.id).filter(({ startTick }) => startTick === 0)
              : notesOf(bar, spec.id).filter(({ startTick }) => startTick === note.startTick + note.durationTicks)
            const where = `${of.id} ${spec.id} bar ${index}`
            expect(
              after.map(({ midi }) => midi),
              where,
            ).toContain(note.midi)
          }
        }
      })
    }
  })

  it('comping, bass and time-keeping print as slashes; lead, backgrounds and the last hit as they stand', () => {
    const bars = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), LINES['quintet'])
    for (const bar of bars.slice(0, -1)) {
      for (const id of ['piano', 'bass', 'drums'])
        expect(notesOf(bar, id).every(({ printed }) => printed === 'slash')).toBe(true)
      for (const id of ['trumpet', 'tenor-sax'])
        expect(notesOf(bar, id).every(({ printed }) => printed === undefined)).toBe(true)
    }
    for (const id of ['piano', 'bass', 'drums']) {
      expect(notesOf(bars.at(-1), id).length).toBeGreaterThan(0)
      expect(notesOf(bars.at(-1), id).every(({ printed }) => printed === undefined)).toBe(true)
    }
  })
})

describe('[BA2] energy', () => {
  it('five levels of equal width, read from the pass', () => {
    expect([0, 0.19, 0.2, 0.5, 0.79, 0.8, 1, 2, -1, Number.NaN].map(levelOfEnergy)).toEqual([
      1, 1, 2, 3, 4, 5, 5, 5, 1, 3,
    ])
  })

  it('without energies: first chorus 2 3 3 3, solo 3, last chorus 4 and from its last B 5', () => {
    const bars = passesOf(lanternSlip(), 'chorus-1', 'solo-1', 'chorus-last')
    const levels = levelsOf(bars, ROADMAP)
    const starts = [0, 8, 16, 24, 32, 64, 72, 80, 88].map((index) => levels[index])
    expect(starts).toEqual([2, 3, 3, 3, 3, 4, 4, 5, 5])
  })

  it('a level changes only at a section start and by two at most', () => {
    const bars = passesOf(lanternSlip(), 'chorus-1', 'solo-1')
    const levels = levelsOf(bars, [
      { id: 'chorus-1', kind: 'chorus', sections: [], energy: 0 },
      { id: 'solo-1', kind: 'solo', sections: [], energy: 1 },
    ])
    expect(levels.slice(0, 32).every((level) => level === 1)).toBe(true)
    expect([32, 40, 48].map((index) => levels[index])).toEqual([3, 5, 5])
  })

  it('louder and busier with every level', () => {
    for (const id of ['swing-medium', 'bossa', 'backbeat', 'jazz-waltz', 'seven-4-even']) {
      const of = groove(id)
      const loudness = [0.1, 0.3, 0.5, 0.7, 0.9].map((energy) => {
        const drums = band(played(lanternSlip(), of), of, QUARTET, energy).flatMap((bar) => notesOf(bar, 'drums'))
        return drums.reduce((sum, { velocity }) => sum + velocity, 0)
      })
      for (const [index, sum] of loudness.entries())
        if (index > 0) expect(sum).toBeGreaterThan(loudness[index - 1] ?? 0)
    }
  })
})

describe('[BA3] walking lines', () => {
  const lines = TUNES.filter(({ metre }) => metre.beats === 4).flatMap((tune) =>
    ['swing-medium', 'swing-fast'].flatMap((id) =>
      [1, 2, 3].map((seed) => band(played(tune, groove(id)), groove(id), QUARTET, 0.5, seed)),
    ),
  )
  const walked = (bars: readonly ArrangedBar[]) =>
    bars.slice(0, -1).map((bar) => notesOf(bar, 'bass').filter(({ velocity }) => velocity > 40))

  it('four quarters a bar, no pitch struck twice running, least of all over a bar line', () => {
    for (const bars of lines) {
      const all = walked(bars).flat()
      expect(walked(bars).every((bar) => bar.length === 4)).toBe(true)
      expect(all.filter(({ midi }, index) => midi === all[index - 1]?.midi)).toEqual([])
      const leaps = all.map(({ midi }, index) => Math.abs(midi - (all[index - 1]?.midi ?? midi)))
      expect(Math.max(...leaps)).toBeLessThanOrEqual(12)
      expect(leaps.filter((leap) => leap > 7).length / leaps.length).toBeLessThan(0.04)
    }
  })

  it('the root on beat one of every new chord; beat three is a chord tone', () => {
    let strong = 0
    let chordTones = 0
    for (const bars of lines) {
      walked(bars).forEach((notes, index) => {
        const bar = bars[index] as ArrangedBar
        const first = bar.chords[0]?.chord ?? chord('N.C.')
        const before = bars[index - 1]?.chords.at(-1)?.chord
        if (before?.symbol !== first.symbol)
          expect(mod(notes[0]?.midi ?? 0, 12)).toBe(pitchClass(bassOf(first) as string))
        if (bar.chords.length !== 1) return
        strong++
        if (pitchClassesOf(first).includes(mod(notes[2]?.midi ?? 0, 12))) chordTones++
      })
    }
    expect(chordTones / strong).toBeGreaterThanOrEqual(0.95)
  })

  it('before a change the line leads on: half or whole step or fifth; 40 to 80 % by half step, no kind three times running', () => {
    let changes = 0
    let halfSteps = 0
    for (const bars of lines) {
      const kinds: number[] = []
      const notes = walked(bars)
      notes.forEach((bar, index) => {
        const next = notes[index + 1]?.[0]
        const last = bar.at(-1)
        const isChange = bars[index]?.chords.at(-1)?.chord.symbol !== bars[index + 1]?.chords[0]?.chord.symbol
        if (!next || !last || !isChange) return
        changes++
        const step = last.midi - next.midi
        if (Math.abs(step) === 1) halfSteps++
        kinds.push(step)
        expect(Math.abs(step)).toBeLessThanOrEqual(12)
      })
      const running = kinds.filter((kind, at) => at > 2 && [1, 2, 3].every((back) => kinds[at - back] === kind))
      expect(running.length).toBeLessThanOrEqual(1)
    }
    expect(halfSteps / changes).toBeGreaterThan(0.4)
    expect(halfSteps / changes).toBeLessThan(0.85)
  })

  it('two-feel at levels 1 and 2 where the groove has it', () => {
    const bars = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), QUARTET, 0.3)
    expect(notesOf(bars[0], 'bass').map(({ startTick }) => startTick)).toEqual([0, 10080])
    expect(notesOf(bars[1], 'bass').map(({ startTick }) => startTick)).toEqual([0, 10080, 15120])
  })
})

describe('[BA4] bass and chords', () => {
  it('half-diminished takes the flat fifth; sus has no third; a slash chord its bass', () => {
    const text =
      '1 | Am7b5 | r:4\n2 | Am7b5 | r:4\n3 | G7sus | r:4\n4 | G7sus | r:4\n5 | Bb/D | r:4\n6 | Bb/D | r:4\n7 | F6 | r:4'
    for (const id of ['bossa', 'shuffle', 'ballad-even', 'backbeat', 'samba', 'swing-medium']) {
      const bars = band(rows(text, { len: 4, key: 'F major', feel: groove(id).feel }), groove(id), QUARTET, 0.5)
      const bass = (index: number) => notesOf(bars[index], 'bass').map(({ midi }) => mod(midi, 12))
      expect([...bass(0).slice(0, -1), ...bass(1).slice(0, -1)], id).not.toContain(4)
      expect(mod(notesOf(bars[2], 'bass').find(({ startTick }) => startTick === 0)?.midi ?? -1, 12), id).toBe(7)
      for (const index of [2, 3]) {
        const piano = notesOf(bars[index], 'piano').map(({ midi }) => mod(midi, 12))
        expect(piano.length, id).toBeGreaterThan(0)
        expect(piano, id).not.toContain(11)
      }
      expect(bass(4)[0], id).toBe(2)
    }
  })

  it('a declared pedal: only the pedal note, no approach inside', () => {
    const text = '1 | Fmaj7/C | r:4\n2 | Gm7/C | r:4\n3 | Am7/C | r:4\n4 | C7sus | r:4\n5 | F6 | A4:4\n6 | F6 | A4:4'
    for (const of of GROOVES.filter(({ metre }) => metre !== 'any' && barTicks(metre) === 20160)) {
      const bars = band(rows(text, { len: 4, key: 'F major', feel: of.feel }), of, QUARTET, 0.5)
      for (const bar of bars.slice(0, 4))
        for (const note of notesOf(bar, 'bass')) {
          const isLastBeat = bar.barIndex === 3 && note.startTick >= 12600
          if (!isLastBeat) expect(mod(note.midi, 12), `${of.id} bar ${bar.barIndex}`).toBe(0)
        }
    }
  })

  it('where kick and bass agree, every kick meets a bass note', () => {
    for (const id of ['backbeat', 'bossa', 'samba', 'cha-cha', 'seven-4-even']) {
      for (const energy of [0.5, 0.7, 0.9]) {
        const bars = band(played(lanternSlip(), groove(id), 'chorus-1'), groove(id), QUARTET, energy)
        for (const bar of bars.slice(1, -1)) {
          const onsets = new Set(notesOf(bar, 'bass').map(({ startTick }) => startTick))
          const kicks = notesOf(bar, 'drums').filter(
            ({ name, velocity }) => name === 'kick' && velocity > groove(id).dyn - 15,
          )
          for (const { startTick } of kicks)
            expect(onsets.has(startTick), `${id} bar ${bar.barIndex} @${startTick}`).toBe(true)
        }
      }
    }
  })

  it('the tumbao ties over the bar line and leaves beat one alone', () => {
    const bars = band(played(lanternSlip(), groove('cha-cha')), groove('cha-cha'), QUARTET, 0.3)
    const second = notesOf(bars[1], 'bass')
    expect(notesOf(bars[0], 'bass').at(-1)?.tiedToNext).toBe(true)
    expect(second[0]?.startTick).toBe(0)
    expect(second[0]?.midi).toBe(notesOf(bars[0], 'bass').at(-1)?.midi)
    expect(second.map(({ startTick }) => startTick)).toEqual([0, 7560, 15120])
  })

  it('no leap of more than an octave in any row', () => {
    for (const of of GROOVES.filter(({ metre }) => metre !== 'any')) {
      const notes = band(played(slackTide(), of, 'chorus-1'), of, QUARTET, 0.5).flatMap((bar) => notesOf(bar, 'bass'))
      notes.forEach(({ midi }, index) => {
        const leap = Math.abs(midi - (notes[index - 1]?.midi ?? midi))
        expect(leap, `${of.id} note ${index}`).toBeLessThanOrEqual(12)
      })
    }
  })

  it('without drums the bass is a level plainer; without bass the left hand plays roots', () => {
    const duo = [part('sax', 'tenor-sax', 'lead'), part('bass', 'double-bass', 'bass')]
    const bars = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), duo, 0.5)
    expect(notesOf(bars[0], 'bass')).toHaveLength(2)
    const noBass = [part('sax', 'tenor-sax', 'lead'), part('piano', 'piano', 'chords')]
    const alone = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), noBass, 0.5)
    const low = notesOf(alone[0], 'piano').filter(({ voice }) => voice === 2)
    expect(low.some(({ midi, startTick }) => startTick === 0 && mod(midi, 12) === 5)).toBe(true)
  })
})

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
})

describe('[BA6] drums', () => {
  const strokes = (bar: ArrangedBar | undefined, name: string) =>
    notesOf(bar, 'drums').flatMap((note) => (note.name === name ? [note.startTick] : []))

  it('level 1 keeps only its rows, level 2 is main or two, 3 and more vary in pairs', () => {
    const quiet = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), QUARTET, 0.1)
    expect([...new Set(notesOf(quiet[1], 'drums').map(({ name }) => name))].sort()).toEqual(['hat', 'hatfoot'])
    const medium = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), QUARTET, 0.5)
    expect(strokes(medium[0], 'snare')).toEqual([])
    expect(strokes(medium[2], 'snare')).toEqual([7560])
    expect(strokes(medium[0], 'ride')).toEqual([0, 5040, 7560, 10080, 15120, 17640])
  })

  it('a fill ends a section where the melody leaves room, and the downbeat after it is marked', () => {
    const bars = band(played(lanternSlip(), groove('backbeat')), groove('backbeat'), QUARTET, 0.7)
    expect(strokes(bars[15], 'tomfloor')).toEqual([17640])
    expect(strokes(bars[16], 'crash')).toEqual([0])
    expect(strokes(bars[7], 'tomfloor').length).toBe(1)
    const busy = rows([1, 2, 3, 4, 5, 6, 7, 8].map((bar) => `${bar} | F6 | A4:1 G4:1 F4:1 G4:1`).join('\n'), {
      len: 4,
      key: 'F major',
      feel: 'even',
      sections: [
        ['A1', 4],
        ['B1', 4],
      ],
    })
    expect(strokes(band(busy, groove('backbeat'), QUARTET, 0.7)[3], 'tomfloor')).toEqual([])
  })

  it('the last bar is one hit together', () => {
    for (const of of GROOVES.filter(({ metre }) => metre !== 'any')) {
      const last = band(played(lanternSlip(), of, 'chorus-1'), of).at(-1)
      for (const id of ['piano', 'bass', 'drums'])
        expect(notesOf(last, id).filter(({ startTick }) => startTick === 0).length, `${of.id} ${id}`).toBeGreaterThan(0)
      expect(notesOf(last, 'drums').every(({ startTick }) => startTick === 0)).toBe(true)
    }
  })

  it('bossa keeps one direction for the whole tune', () => {
    const bars = band(played(lanternSlip(), groove('bossa')), groove('bossa'), QUARTET, 0.7)
    bars.slice(0, 24).forEach((bar, index) => {
      if (index % 8 === 7) return
      expect(strokes(bar, 'xstick')[0], `bar ${index}`).toBe(index % 2 === 0 ? 0 : 5040)
    })
  })

  it('trading: the drums alone every other four', () => {
    const roadmap: readonly PassPlan[] = [{ id: 'solo-1', kind: 'solo', sections: [], soloist: 'piano', trading: 4 }]
    const bars = passesOf(lanternSlip(), 'solo-1').map((bar) => ({ ...bar, melody: [] }))
    const made = realiseBand(bars, { lineup: QUARTET, roadmap, groove: groove('swing-medium'), seed: 1 })
    expect(notesOf(made[4], 'bass')).toEqual([])
    expect(notesOf(made[4], 'piano')).toEqual([])
    expect(notesOf(made[4], 'drums').length).toBeGreaterThan(4)
    expect(notesOf(made[8], 'bass').length).toBeGreaterThan(0)
  })
})

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

  it("a pass's own leader leads; the usual one then lays out or holds backgrounds", () => {
    const roadmap = ROADMAP.map((pass) => ({ ...pass, melody: 'tenor-sax', energy: 0.5 }))
    const lineup = LINES['quintet'] as readonly PartSpec[]
    const made = realiseBand(played(lanternSlip(), groove('bossa')), {
      lineup,
      roadmap,
      groove: groove('bossa'),
      seed: 1,
    })
    expect(notesOf(made[0], 'tenor-sax').map(({ midi }) => midi)).toEqual(made[0]?.melody.map(({ midi }) => midi))
    expect(notesOf(made[0], 'trumpet')).toEqual([])
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

describe('[BA8] never fails', () => {
  const odd = (text: string, beats: number, beatType: 2 | 4 | 8 | 16) =>
    rows(text, { len: (beats * 4) / beatType, key: 'F major', metre: { beats, beatType }, feel: 'swing' })

  it('odd metres without a groove, N.C., no chords, short bars, empty lists', () => {
    for (const of of GROOVES) {
      for (const [beats, beatType] of [
        [2, 4],
        [9, 8],
        [11, 8],
        [1, 4],
        [13, 16],
        [3, 2],
        [10, 4],
      ] as const) {
        const len = (beats * 4) / beatType
        const bars = odd(
          `1 | F6 | A4:${len}\n2 | N.C. | r:${len}\n3 | Gm7 | A4:${len}\n4 | C7 F6 | A4:${len}`,
          beats,
          beatType,
        )
        const cut = bars.map((bar, index) =>
          index === 0
            ? { ...bar, lengthTicks: bar.lengthTicks / 2, melody: [] }
            : index === 2
              ? { ...bar, chords: [] }
              : bar,
        )
        const made = band([...cut, ...cut], of, LINES['quintet'])
        expect(made).toHaveLength(8)
        for (const bar of made)
          for (const notes of Object.values(bar.parts))
            for (const note of notes) expect(note.durationTicks > 0 && Number.isInteger(note.startTick)).toBe(true)
        expect(notesOf(made[1], 'bass')).toEqual([])
        expect(notesOf(made[3], 'bass').length).toBeGreaterThan(0)
      }
    }
    expect(band([], groove('bossa'))).toEqual([])
    expect(band(odd('1 | F6 | A4:4', 4, 4), groove('bossa'), [])[0]?.parts).toEqual({})
  })

  it('a pickup is the lead alone', () => {
    const bars = rows('1 | C7 | C5:1 r:3\n2 | F6 | A4:4\n3 | F6 | A4:4', { len: 4, key: 'F major' })
    const made = band(
      bars.map((bar, index) =>
        index === 0
          ? { ...bar, lengthTicks: 5040, chords: bar.chords.map((placed) => ({ ...placed, durationTicks: 5040 })) }
          : bar,
      ),
      groove('swing-medium'),
    )
    expect(notesOf(made[0], 'lead')).toHaveLength(1)
    for (const id of ['piano', 'bass', 'drums']) expect(notesOf(made[0], id)).toEqual([])
  })

  it('rubato bars: chords where they change, no time', () => {
    const bars = passesOf(lanternSlip(), 'chorus-1').map((bar, index) => ({
      ...bar,
      feel: index < 8 ? 'rubato' : 'swing',
    }))
    const made = band(bars, groove('swing-medium'))
    for (const bar of made.slice(0, 7)) {
      expect(notesOf(bar, 'bass').map(({ startTick }) => startTick)).toEqual(
        bar.chords.map(({ startTick }) => startTick),
      )
      expect(notesOf(bar, 'drums').length).toBeLessThanOrEqual(2)
    }
    expect(notesOf(made[8], 'drums').length).toBeGreaterThan(5)
    // The held tonic of the last free bar leaves room for the groove's own fill from beat three.
    expect(notesOf(made[7], 'drums').some(({ name }) => name === 'snare')).toBe(true)
    expect(notesOf(made[7], 'drums').every(({ startTick }) => startTick >= 10080)).toBe(true)
    const busy = bars.map((bar, index) => (index === 7 ? { ...bar, melody: bars[2]?.melody ?? [] } : bar))
    const foot = notesOf(band(busy, groove('swing-medium'))[7], 'drums')
    expect(foot.map(({ name, startTick }) => [name, startTick])).toEqual([
      ['hatfoot', 10080],
      ['hatfoot', 15120],
    ])
  })
})

describe('[BA9] speed', () => {
  it('200 bars for a quartet in under 120 ms on one core', () => {
    const bars = played(lanternSlip(), groove('swing-medium'))
    const many = [...bars, ...bars, ...bars].slice(0, 200)
    const times = Array.from({ length: 8 }, () => {
      const from = process.cpuUsage()
      band(many, groove('swing-medium'))
      const used = process.cpuUsage(from)
      return (used.user + used.system) / 1000
    })
    const best = Math.min(...times)
    process.stdout.write(`band of four, 200 bars: ${best.toFixed(1)} ms of processor time (best of 8)\n`)
    expect(best).toBeLessThan(120)
  })
})

describe('[BA10] under a singer', () => {
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
