import { describe, expect, it } from 'vitest'
import { keySignatureOf, pitchClass } from '../units/index.js'
import { chord, chordScale, functionIn, memberOf, qualityOf, sameChord, spellOver } from './index.js'

const F = keySignatureOf('F major')
const Gm = keySignatureOf('G minor')

describe('questions to a chord', () => {
  it.each([
    ['Fmaj7', 'major'],
    ['F6', 'major'],
    ['F', 'major'],
    ['Dm7', 'minor'],
    ['Dm', 'minor'],
    ['Bbm6', 'minor-sixth'],
    ['CmMaj7', 'minor-sixth'],
    ['C7alt', 'dominant'],
    ['C7#5', 'dominant'],
    ['C13b9', 'dominant'],
    ['C7sus', 'sus'],
    ['C9sus', 'sus'],
    ['C11', 'sus'],
    ['Csus2', 'sus'],
    ['Bm7b5', 'half-diminished'],
    ['Abdim7', 'diminished'],
    ['Cdim', 'diminished'],
    ['Faug', 'augmented'],
    ['Fmaj7#5', 'augmented'],
    ['F5', 'open'],
    ['%', 'open'],
    ['N.C.', 'none'],
    ['D over C7', 'dominant'],
  ])('[CH9] %s is read as %s', (text, quality) => {
    expect(qualityOf(chord(text))).toBe(quality)
  })

  it.each([
    ['G7sus', 'C', 'D', 'F'],
    ['F6', 'A', 'C', 'D'],
    ['Bm7b5', 'D', 'F', 'A'],
    ['Abdim7', 'Cb', 'Ebb', 'Gbb'],
    ['C7#5', 'E', 'G#', 'Bb'],
    ['C', 'E', 'G', undefined],
    ['C7(no3)', undefined, 'G', 'Bb'],
  ])('[CH12] the 3, 5 and 7 of %s are %s %s %s', (text, third, fifth, seventh) => {
    expect([memberOf(chord(text), 3), memberOf(chord(text), 5), memberOf(chord(text), 7)]).toEqual([
      third,
      fifth,
      seventh,
    ])
  })

  it('[CH13] chords are the same by root, bass and sound, not by suffix', () => {
    expect(sameChord(chord('Fmaj7'), chord('F∆'))).toBe(true)
    expect(sameChord(chord('F#7'), chord('Gb7'))).toBe(true)
    expect(sameChord(chord('C6'), chord('Am7/C'))).toBe(false)
    expect(sameChord(chord('C'), chord('C/E'))).toBe(false)
    expect(sameChord(chord('N.C.'), chord('%'))).toBe(false)
  })

  it.each([
    ['Fmaj7', 'F G A Bb C D E'],
    ['C7', 'C D E F G A Bb'],
    ['Eb7', 'Eb F G A Bb C Db'],
    ['Em7b5', 'E F G A Bb C D'],
    ['A7b13', 'A Bb C# D E F G'],
    ['C7alt', 'C Db D# E Gb G# Bb'],
    ['Bbm6', 'Bb C Db E F G A'],
  ])('[CH14] over %s in F major lines use %s', (text, scale) => {
    expect(chordScale(chord(text), F).join(' ')).toBe(scale)
  })

  it('[CH14] a scale begins on the root, rises, holds the chord, and has seven or eight notes', () => {
    for (const text of 'C Cm7 F#7 Bbmaj7 Ebm7b5 Abdim7 G7sus D7b9 A7alt E13 Db6 Gm11 Faug B5 Dbmaj7#11'.split(' ')) {
      for (const key of [F, Gm]) {
        const scale = chordScale(chord(text), key)
        const above = scale.map((name) => (pitchClass(name) - pitchClass(chord(text).root) + 12) % 12)
        expect(scale.length, text).toBeGreaterThanOrEqual(7)
        expect(scale.length, text).toBeLessThanOrEqual(9)
        expect(above[0]).toBe(0)
        expect(above).toEqual([...above].sort((a, b) => a - b))
        for (const note of chord(text).notes) expect(scale.map(pitchClass), text).toContain(pitchClass(note))
      }
    }
    expect(chordScale(chord('N.C.'), F)).toEqual([])
  })

  it('[CH15] a pitch over a chord is a chord tone by interval, else the key’s note, else the dominant’s tension', () => {
    expect(spellOver(6, chord('D7'), F)).toBe('F#')
    expect(spellOver(11, chord('Abdim7'), F)).toBe('Cb')
    expect(spellOver(10, chord('A7'), F)).toBe('Bb')
    expect(spellOver(6, chord('C7'), F)).toBe('F#')
    expect(spellOver(8, chord('C7'), F)).toBe('Ab')
    expect(spellOver(6, chord('Gm7'), Gm)).toBe('F#')
    // A ninth foreign to the key is the chord's: C♯ over B∆ in B♭, not D♭ beside D♯ and A♯.
    expect(spellOver(1, chord('Bmaj7'), { fifths: -2, mode: 'major' })).toBe('C#')
    expect(spellOver(8, chord('Gbmaj7'), F)).toBe('Ab')
    expect(spellOver(6, chord('N.C.'), F)).toBe(spellOver(18, chord('N.C.'), F))
  })

  it('[CH16] degree and function in the key', () => {
    const read = (text: string, key = F) => Object.values(functionIn(chord(text), key)).join(' ')
    expect(read('Fmaj7')).toBe('I tonic')
    expect(read('Gm7')).toBe('II predominant')
    expect(read('C7')).toBe('V dominant')
    expect(read('C7sus')).toBe('V dominant')
    expect(read('Gb7')).toBe('♭II dominant')
    expect(read('F#7')).toBe('♭II dominant')
    expect(read('Bm7b5')).toBe('♯IV predominant')
    expect(read('Eb7')).toBe('♭VII dominant')
    expect(read('Edim7')).toBe('VII dominant')
    expect(read('D7b9', Gm)).toBe('V dominant')
    expect(read('N.C.')).toBe(' other')
  })
})
