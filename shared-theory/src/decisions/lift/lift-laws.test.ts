import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { chordField, melodyField, passesOf, rows, tuneOfRows } from '../../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip, slackTide } from '../../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar, Tune } from '../../contract/index.js'
import { chord, pitchClassesOf } from '../../chords/index.js'
import { judgeMelody } from '../../fit/index.js'
import {
  keyAway,
  keySignature,
  keySignatureOf,
  midiOfName,
  mod,
  must,
  parseNoteName,
  pitchClass,
  tonicOf,
} from '../../units/index.js'
import { commonTriads, liftRecipes, PREPARATIONS } from './index.js'

const tune = lanternSlip()
const bars = passesOf(tune, 'chorus-1', 'chorus-last')
const lastB = new Trial(liftRecipes, tune, bars, { passId: 'chorus-last', sectionId: 'B1' })
const DISTANCES = [-6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6]
const params = (semitones: number, preparation: string, aim = 'arrival') => ({ semitones, preparation, aim })
const shared = (a: string, b: string): readonly string[] =>
  commonTriads(keySignatureOf(a), keySignatureOf(b)).map(({ root }) => root)
const range = (made: readonly ArrangedBar[]): string => {
  const notes = made.flatMap(({ melody }) => melody).toSorted((a, b) => a.midi - b.midi)
  return `${notes[0]?.name}–${notes.at(-1)?.name}`
}

describe('what is left alone', () => {
  it('[LI1] none changes nothing', () => {
    expect(lastB.apply('none', params(0, 'none')).bars).toEqual(bars)
    expect(lastB.offers('none')).toHaveLength(1)
  })
  it('[LI4] direct leaves the bar before as written', () => {
    const { bars: made, issues } = lastB.apply('direct', params(2, 'direct'))
    expect(issues).toEqual([])
    expect(made.slice(0, 48)).toEqual(bars.slice(0, 48))
    expect(made[48]?.key.key).toBe('G major')
  })
  it('[LI5] bars before the place keep everything, for every preparation', () => {
    for (const kind of PREPARATIONS) {
      const { bars: made } = lastB.apply(kind, params(3, kind))
      expect(made.slice(0, 47), kind).toEqual(bars.slice(0, 47))
      expect(
        made.slice(48).every(({ key }) => key.key === 'Ab major'),
        kind,
      ).toBe(true)
      expect(
        made.slice(48).every(({ provenance }) => provenance.decision === 'lift'),
        kind,
      ).toBe(true)
    }
  })
})

describe('the move', () => {
  it('[LI5] every note and chord moves by the same distance, names with the sound', () => {
    for (const semitones of DISTANCES) {
      const { bars: made } = lastB.apply('sus-dominant', params(semitones, 'sus-dominant'))
      for (let index = 48; index < bars.length; index++) {
        const was = must(bars[index], 'a bar')
        const now = must(made[index], 'a moved bar')
        expect(now.melody.map(({ midi }) => midi - semitones)).toEqual(was.melody.map(({ midi }) => midi))
        expect(now.melody.map(({ name }) => midiOfName(name))).toEqual(now.melody.map(({ midi }) => midi))
        expect(
          now.chords.map(({ chord: each }) =>
            pitchClassesOf(each)
              .map((pc) => mod(pc - semitones, 12))
              .toSorted((a, b) => a - b),
          ),
        ).toEqual(was.chords.map(({ chord: each }) => [...pitchClassesOf(each)]))
      }
    }
  })
  it('[LI5] ranges after the lift', () => {
    // Worked examples, section 5.
    const expected = { 1: 'F4–Gb5', 2: 'F#4–G5', 3: 'G4–Ab5', 4: 'G#4–A5', [-2]: 'D4–Eb5' }
    for (const [semitones, text] of Object.entries(expected)) {
      const { bars: made } = lastB.apply('direct', params(Number(semitones), 'direct'))
      expect(range(made.slice(48)), semitones).toBe(text)
    }
  })
  it('[LI8] up a half step: G♭ with its C♭, the melody keeps E𝄫', () => {
    const { bars: made } = lastB.apply('sus-dominant', params(1, 'sus-dominant'))
    expect(made[48]?.key).toEqual({ key: 'Gb major', mode: 'major', fifths: -6 })
    expect(made[48]?.chords[0]?.chord.root).toBe('Cb')
    expect(melodyField(must(made[49], 'bar 18'))).toBe('Ebb5:3 Db5:1')
  })
  it('[LI8] no root with a double accidental, at any distance, by any preparation', { timeout: 60_000 }, () => {
    for (const make of [lanternSlip, ferryBell, slackTide]) {
      const own = make()
      const all = passesOf(own, 'chorus-1', 'chorus-last')
      const trial = new Trial(liftRecipes, own, all, {
        passId: 'chorus-last',
        sectionId: own.sections.at(-1)?.id ?? '',
      })
      for (const semitones of DISTANCES) {
        for (const kind of PREPARATIONS) {
          const roots = trial
            .apply(kind, params(semitones, kind))
            .bars.flatMap(({ chords }) => chords.map((each) => each.chord.root))
          expect(
            roots.filter((root) => Math.abs(parseNoteName(root)?.alter ?? 0) > 1),
            `${kind} ${semitones}`,
          ).toEqual([])
        }
      }
    }
  })
  it('[LI8] the tritone substitute before B♭ in F is B7, not C♭7', () => {
    const flat = tuneOfRows('1 | Eb6 | Eb4:4\n2 | Eb6 | r:4\n3 | Abmaj7 | C5:4\n4 | Eb6 | Eb4:4', {
      len: 4,
      key: 'Eb major',
      sections: [
        ['A1', 2],
        ['B1', 2],
      ],
    })
    const trial = new Trial(liftRecipes, flat, passesOf(flat, 'chorus-1'), { passId: 'chorus-1', sectionId: 'B1' })
    expect(chordField(must(trial.apply('tritone', params(2, 'tritone')).bars[1], 'bar 2').chords)).toBe('B7')
  })
  it('[LI2] in minor too: Ferry Bell up a whole step before its B', () => {
    const bell = ferryBell()
    const trial = new Trial(liftRecipes, bell, passesOf(bell, 'chorus-1'), { passId: 'chorus-1', sectionId: 'B1' })
    const { bars: made, issues } = trial.apply('sus-dominant', params(2, 'sus-dominant'))
    expect(issues).toEqual([])
    expect(made[8]?.key.key).toBe('A minor')
    expect(chordField(must(made[8], 'bar 9').chords)).toBe('Fmaj7')
    // Bar 8 holds D under the chord on C that leads to F: its 9, so it takes the bar.
    expect(chordField(must(made[7], 'bar 8').chords)).toBe(chord('C7sus').symbol)
  })
  it('[LI9] a tie into the lifted section is broken', () => {
    const held = tuneOfRows('1 | C6 | G4:4\n2 | C6 | C5:4~\n3 | C6 | C5:4\n4 | C6 | C5:4', {
      len: 4,
      key: 'C major',
      sections: [
        ['A1', 2],
        ['B1', 2],
      ],
    })
    const trial = new Trial(liftRecipes, held, passesOf(held, 'chorus-1'), { passId: 'chorus-1', sectionId: 'B1' })
    const { bars: made } = trial.apply('direct', params(2, 'direct'))
    expect(melodyField(must(made[1], 'bar 2'))).toBe('C5:4')
    expect(melodyField(must(made[2], 'bar 3'))).toBe('D5:4')
  })
  it('[LI10] two lifts add up', () => {
    const first = lastB.apply('sus-dominant', params(2, 'sus-dominant')).bars
    const lastA = new Trial(liftRecipes, tune, first, { passId: 'chorus-last', sectionId: 'A3' })
    const { bars: made } = lastA.apply('dominant', params(1, 'dominant'))
    expect(made[48]?.key.key).toBe('G major')
    expect(made[56]?.key.key).toBe('Ab major')
    expect(chordField(must(made[56], 'bar 25').chords)).toBe('Abmaj7')
    expect(made[56]?.melody.map(({ midi }) => midi - 3)).toEqual(bars[56]?.melody.map(({ midi }) => midi))
    expect(made[56]?.provenance.trail).toHaveLength(1)
    expect(made.slice(0, 55)).toEqual(first.slice(0, 55))
  })
  it('[LI11] a pickup into the lifted pass moves with it', () => {
    const [lead] = rows('1 | - | G4:1', { len: 1, key: 'C major', metre: { beats: 4, beatType: 4 } })
    const body = rows('1 | Cmaj7 | C5:4\n2 | G7 | D5:3', { len: 4, key: 'C major' })
    const withPickup: Tune = {
      ...tuneOfRows('1 | Cmaj7 | C5:4', { len: 4, key: 'C major' }),
      pickupTicks: 5040,
      bars: [lead, ...body].map((bar, barIndex) => ({ ...must(bar, 'a bar'), barIndex, writtenBar: barIndex })),
      sections: [{ id: 'A1', letter: 'A', role: 'chorus', startBar: 1, bars: 2 }],
    }
    const pass = (id: string): ArrangedBar[] =>
      body.map((bar, index) => ({
        ...bar,
        pass: id,
        provenance: { decision: 'tune', rule: 'as-written', tuneBar: index + 1 },
      }))
    const pickup = { startTick: 15120, durationTicks: 5040, midi: 67, name: 'G4', source: { bar: 0, index: 0 } }
    const one = pass('chorus-1').map((bar, index) => (index === 1 ? { ...bar, melody: [...bar.melody, pickup] } : bar))
    const trial = new Trial(liftRecipes, withPickup, [...one, ...pass('chorus-last')], {
      passId: 'chorus-last',
      sectionId: 'A1',
    })
    const { bars: made } = trial.apply('direct', params(2, 'direct'))
    expect(melodyField(must(made[1], 'the bar before'))).toBe('D5:3 A4:1')
    expect(made[1]?.key.key).toBe('C major')
  })
})

describe('what the melody refuses', () => {
  it('[LI6] soft notes are said and rank lower', () => {
    const lastA = new Trial(liftRecipes, tune, bars, { passId: 'chorus-last', sectionId: 'A3' })
    const sus = lastA.offers('sus-dominant').find((offer) => offer.params['semitones'] === 2)
    const five = lastA.offers('dominant').find((offer) => offer.params['semitones'] === 2)
    expect(sus?.summary).toContain('B♭ over D7sus: soft ♭13')
    expect(must(five, 'V7').suits).toBeGreaterThan(must(sus, 'V7sus').suits)
    const made = lastA.apply('sus-dominant', params(2, 'sus-dominant')).bars[55]
    expect(judgeMelody(must(made, 'bar 24')).map(({ fit, degree }) => `${fit} ${degree}`)).toEqual(['soft ♭13'])
  })
  it('[LI6] a melody that fits nowhere: absent with the note named, applied without it and said', () => {
    const busy = tuneOfRows('1 | C6 | C5:4\n2 | C6 | B4:2 F#5:2\n3 | Cmaj7 | G4:4\n4 | C6 | C5:4', {
      len: 4,
      key: 'C major',
      sections: [
        ['A1', 2],
        ['B1', 2],
      ],
    })
    const all = passesOf(busy, 'chorus-1')
    const trial = new Trial(liftRecipes, busy, all, { passId: 'chorus-1', sectionId: 'B1' })
    // C7sus leads to F (up a fourth); B over it is a major seventh, F♯ its ♭5.
    const { bars: made, issues } = trial.apply('sus-dominant', params(5, 'sus-dominant'))
    expect(issues.map(({ message }) => message).join()).toMatch(/Bar 2 of the tune: (B|F♯) over C7sus is its/)
    expect(made[1]?.chords).toEqual(all[1]?.chords)
    expect(made[2]?.key.key).toBe('F major')
  })
  it('[LI6] where what arrives has changed, the same preparation aims the other way and says so', () => {
    const held = bars.map((bar, index) => {
      if (index === 47) return { ...bar, melody: must(bars[46], 'bar 15').melody }
      return index === 48 ? { ...bar, chords: bar.chords.map((each) => ({ ...each, chord: chord('Amaj7') })) } : bar
    })
    const trial = new Trial(liftRecipes, tune, held, { passId: 'chorus-last', sectionId: 'B1' })
    const { bars: made, issues } = trial.apply('dominant', params(2, 'dominant'))
    expect(issues.map(({ severity, message }) => `${severity}: ${message}`)).toEqual([
      'note: dominant: Bar 16 of the tune: F over F♯7 is its major seventh. It leads to the new key instead, with D7(♯9).',
    ])
    expect(chordField(must(made[47], 'bar 16').chords)).toBe('D7#9')
  })
  it('[LI6] no preparation clashes anew, at any place of the worked tunes', { timeout: 60_000 }, () => {
    for (const make of [lanternSlip, ferryBell, slackTide]) {
      const own = make()
      const all = passesOf(own, 'chorus-1', 'chorus-last')
      for (const { id: sectionId } of own.sections) {
        const trial = new Trial(liftRecipes, own, all, { passId: 'chorus-last', sectionId })
        for (const { id } of liftRecipes) {
          for (const offer of trial.offers(id)) {
            const { bars: made, issues } = trial.apply(id, offer.params)
            expect(issues).toEqual([])
            const hard = made.flatMap((bar) => judgeMelody(bar)).filter(({ fit }) => fit === 'hard')
            expect(hard, `${own.title} ${sectionId} ${offer.title}`).toEqual([])
            for (const bar of made) {
              expect(bar.chords.reduce((sum, each) => sum + each.durationTicks, 0)).toBe(bar.lengthTicks)
            }
          }
        }
      }
    }
  })
  it('[LI12] nonsense moves nothing and says so', () => {
    for (const semitones of [7, -9, 1.5, Number.NaN, '2', true]) {
      const { bars: made, issues } = lastB.apply('dominant', { semitones, preparation: 'dominant' })
      expect(made, String(semitones)).toEqual(bars)
      expect(issues, String(semitones)).toHaveLength(1)
    }
    const nowhere = new Trial(liftRecipes, tune, bars, { passId: 'encore', sectionId: 'B1' })
    expect(nowhere.apply('dominant', params(2, 'dominant'))).toMatchObject({ bars, issues: [{ severity: 'warning' }] })
    expect(nowhere.absent('dominant')).toBe('There is no such place in the running order.')
    expect(lastB.apply('dominant', {}).bars).toEqual(bars)
  })
  it('[LI12] odd chords and metres never throw', { timeout: 60_000 }, () => {
    const symbols = [
      'N.C.',
      '%',
      'C5',
      'D over C7',
      'F/A',
      'Cdim7',
      'C+',
      'B#m7b5',
      'Fbmaj7',
      'G7alt',
      'Ebb7',
      'F##m',
      'C6/Ebb',
    ]
    const metres = ['4/4', '3/4', '6/8', '5/4', '2/4', '12/8', '7/8']
    let offered = 0
    for (const [index, symbol] of symbols.entries()) {
      for (const text of [metres[index % 7], metres[(index + 3) % 7]].map((metre) => must(metre, 'a metre'))) {
        const [beats = 4, beatType = 4] = text.split('/').map(Number)
        const len = (beats * 4) / beatType
        const odd = tuneOfRows(`1 | C6 | C5:${len}~\n2 | C6 | C5:${len}\n3 | C6 | -\n4 | C6 | G4:${len}`, {
          len,
          key: index % 2 === 0 ? 'C major' : 'D# minor',
          metre: { beats, beatType: beatType as 4 | 8 },
          sections: [
            ['A1', 2],
            ['B1', 2],
          ],
        })
        const all = passesOf(odd, 'chorus-1').map((bar, at) => {
          if (at === 1 && index % 3 === 0) return { ...bar, chords: [] }
          return at === 1 || at === 2
            ? { ...bar, chords: bar.chords.map((placed) => ({ ...placed, chord: chord(symbol) })) }
            : bar
        })
        const trial = new Trial(liftRecipes, odd, all, { passId: 'chorus-1', sectionId: 'B1' })
        for (const { id } of liftRecipes) {
          for (const offer of trial.offers(id)) {
            offered++
            const { bars: made, issues } = trial.apply(id, offer.params)
            expect(issues, `${symbol} ${text} ${offer.title}`).toEqual([])
            if (id === 'none' || id === 'direct') continue
            expect(made[1]?.chords.reduce((sum, each) => sum + each.durationTicks, 0)).toBe(made[1]?.lengthTicks)
          }
        }
      }
    }
    expect(offered).toBeGreaterThan(400)
  })
  it('[LI12] at the very first bar everything moves and nothing is prepared', () => {
    const first = new Trial(liftRecipes, tune, bars, { passId: 'chorus-1', sectionId: 'A1' })
    expect(first.absent('dominant')).toContain('Nothing comes before')
    expect(first.apply('dominant', params(2, 'dominant')).bars.every(({ key }) => key.key === 'G major')).toBe(true)
  })
})

describe('keys', () => {
  it('[LI7] common triads between major keys: 4 a fifth apart, 2 two fifths apart, 0 beyond', () => {
    expect(shared('C major', 'G major')).toHaveLength(4)
    expect(shared('F major', 'G major')).toEqual(['A', 'C'])
    expect(shared('F major', 'Eb major')).toEqual(['G', 'Bb'])
    for (const far of ['Gb major', 'Ab major', 'A major']) expect(shared('F major', far)).toEqual([])
  })
  it('[LI13] every key reaches every other of its mode within six half steps, spelled with the fewer accidentals', () => {
    const tonics = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']
    let reached = 0
    for (const mode of ['major', 'minor'] as const) {
      for (const tonic of tonics) {
        const from =
          keySignature(tonic, mode) ?? keySignature(tonic === 'Db' ? 'C#' : tonic === 'Gb' ? 'F#' : 'G#', mode)
        for (const semitones of DISTANCES) {
          const to = keyAway(must(from, `${tonic} ${mode}`), semitones)
          expect(pitchClass(tonicOf(to.key))).toBe(mod(pitchClass(tonic) + semitones, 12))
          expect(Math.abs(to.fifths)).toBeLessThanOrEqual(6)
          reached++
        }
      }
    }
    expect(reached).toBe(288)
  })
})

describe('offers', () => {
  it('[LI2] at least none, +1 +2 +3 +4 −1 −2, each a sentence with its place and chord', () => {
    const all = liftRecipes.flatMap(({ id }) => lastB.offers(id))
    const distances = new Set(all.map((offer) => offer.params['semitones']))
    expect([0, 1, 2, 3, 4, -1, -2].every((semitones) => distances.has(semitones))).toBe(true)
    for (const { summary, reason, suits } of all) {
      expect(summary).toMatch(/^[A-GB].*\.$|^The key stays/)
      expect(reason.length).toBeGreaterThan(0)
      expect(suits).toBeGreaterThanOrEqual(0)
      expect(suits).toBeLessThanOrEqual(1)
    }
    const best = all.toSorted((a, b) => b.suits - a.suits)[0]
    expect(best?.summary).toBe(
      'G7sus in bar 16 of the last chorus leads to C∆ (F is ♭7). From bar 17 all is in G major: it lifts, top note G5.',
    )
  })
  it('[LI2] no two offers make the same bars', () => {
    const prints = liftRecipes.flatMap(({ id }) =>
      lastB.offers(id).map((offer) => {
        const { bars: made } = lastB.apply(id, offer.params)
        return made.map((bar) => `${bar.key.key} ${chordField(bar.chords)}`).join('|')
      }),
    )
    expect(new Set(prints).size).toBe(prints.length)
  })
})
