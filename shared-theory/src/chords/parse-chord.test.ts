import { describe, expect, it } from 'vitest'
import type { Chord } from '../contract/index.js'
import { LIMITS } from '../units/index.js'
import { bassOf, chord, chordFromKind, formatChord, parseChord, pitchClassesOf, transposeChord } from './index.js'

const ACCEPTED =
  'C Cm C- Cmin Cmi C+ Caug C° Cdim Co C°7 Cø Cø7 Cm7b5 C-7(b5) Cmaj7 CM7 CMa7 Cma7 CΔ CΔ7 C7 C6 C6/9 C69 Cm6 C9 C11 C13 Cm9 CmMaj7 Cm(maj7) C-Δ7 Csus Csus2 Csus4 C7sus C7sus4 C9sus C13sus C7sus4(b9) Cadd9 C(add9) C2 Cm(add9) C7b9 C7(b9) C7#9 C7b5 C7#5 C7+ C+7 C7alt Calt C7#11 C7(#11) C13(#11) C13(b9) C7(b9,#11) C7b9#11 C7(b9b13) Cmaj7(#11) Cmaj7#5 C(no3) C5 C7(no5) C7(omit3) C7-9 C7+9 Co9 C6(9) C7(b9/#11) Cmaj7+5 C13sus4b9 Cm11b5 C7b9sus CmMaj9 C-maj7 Cm6/9 C+maj7 C(b5) Csus4add9 C/E Bb7/F N.C. %'.split(
    ' ',
  )
const notesOf = (text: string) => chord(text).notes.join(' ')
const messageOf = (text: string): string => {
  const read = parseChord(text)
  return read.ok ? `read as ${read.value.symbol}` : (read.issues[0]?.message ?? '')
}

describe('chord symbols', () => {
  it.each(ACCEPTED)('[CH1] reads %s and writes it back in both styles', (text) => {
    const value = chord(text)
    expect(parseChord(formatChord(value))).toEqual({ ok: true, value })
    expect(parseChord(formatChord(value, 'symbols'))).toEqual({ ok: true, value })
  })

  it.each([
    ['A7b9', 'A C# E G Bb'],
    ['F#7b9', 'F# A# C# E G'],
    ['C°7', 'C Eb Gb Bbb'],
    ['Gb7#9', 'Gb Bb Db Fb A'],
    ['B7#5', 'B D# F## A'],
    ['Dbm7b5', 'Db Fb Abb Cb'],
    ['Bbmaj7#11', 'Bb D F A E'],
    ['Ebb', 'Ebb Gb Bbb'],
    ['F𝄪m', 'F## A# C##'],
    ['C13', 'C E G Bb D A'],
    ['C11', 'C G Bb D F'],
    ['Cm13', 'C Eb G Bb D F A'],
  ])('[CH4] spells %s by interval from the root: %s', (text, notes) => {
    expect(notesOf(text)).toBe(notes)
  })

  // Source: Open Music Theory (open textbook), seventh chords and lead-sheet symbols: quality → semitones above the root.
  it.each([
    ['CMA7', '0 4 7 11'],
    ['C7', '0 4 7 10'],
    ['Cmi7', '0 3 7 10'],
    ['Cø7', '0 3 6 10'],
    ['C°7', '0 3 6 9'],
    ['C+', '0 4 8'],
    ['C°', '0 3 6'],
    ['Csus4', '0 5 7'],
  ])('[CH4] %s sounds %s above C', (text, semitones) => {
    expect(pitchClassesOf(chord(text)).join(' ')).toBe(semitones)
  })

  it.each([
    ['C7-9', 'C7b9'],
    ['C7+9', 'C7#9'],
    ['Co9', 'Cdim7add9'],
    ['C6(9)', 'C6/9'],
    ['C7+', 'C7#5'],
    ['C+7', 'C7#5'],
    ['C2', 'Cadd9'],
    ['C7sus4', 'C7sus'],
    ['Cm7sus4', 'C7sus'],
    ['CΔ', 'Cmaj7'],
    ['C-Δ7', 'CmMaj7'],
    ['Cø', 'Cm7b5'],
    ['C7M', 'Cmaj7'],
    ['Cdom', 'C7'],
    ['C 9', 'C9'],
    ['C7(9-)', 'C7b9'],
    ['C7/11+', 'C7#11'],
    ['C79#', 'C7#9'],
    ['C7911#13', 'C13#11'],
    ['C7913b', 'C9b13'],
    ['C67', 'C7add13'],
    ['Csus9', 'C9sus'],
    ['Csus(b9)', 'C7susb9'],
    ['C7sus13', 'C7susadd13'],
    ['Csus#4', 'C5add#11'],
    ['C13(no11)', 'C13'],
    ['Cm(#7)', 'CmMaj7'],
    ['C♮9', 'C9'],
    ['C⁰7', 'Cdim7'],
    ['C/e', 'C/E'],
    ['C(/E)', 'C/E'],
    ['ConE', 'C/E'],
    ['C\\E', 'C/E'],
    ['(Dm7)', 'Dm7'],
    ['"Dm7"', 'Dm7'],
    ['Dm7.', 'Dm7'],
    ['Dm7?', 'Dm7'],
    ['Dmin.7', 'Dm7'],
    ['B flat half-diminished seventh', 'Bbm7b5'],
    ['C major seventh sharp eleven', 'Cmaj7#11'],
    ['tacet', 'N.C.'],
    ['(N.C.)', 'N.C.'],
    ['N/C', 'N.C.'],
    ['N', 'N.C.'],
    ['C/C', 'C'],
    ['n.c.', 'N.C.'],
    ['no chord', 'N.C.'],
    ['NC', 'N.C.'],
    ['  Bb7 ( b9 , #11 ) / F ', 'Bb7b9#11/F'],
  ])('[CH2] %s has one documented reading: %s', (text, symbol) => {
    expect(chord(text).symbol).toBe(symbol)
  })

  it.each(['(Dm7)', 'Dm7?', 'Csus9', 'Csusb9', 'C79b13', 'Do7', 'Bbb9', 'Cmsus4'])(
    '[CH2] %s is read, and a note says how',
    (text) => {
      const read = parseChord(text)
      expect(read).toMatchObject({ ok: true, issues: [{ code: 'CH2', severity: 'note' }] })
    },
  )

  // Source: Harte and others, ISMIR 2005, the syntax of annotated collections and its own examples.
  it.each([
    ['C:maj7/3', 'Cmaj7/E'],
    ['C:min7/b3', 'Cm7/Eb'],
    ['A:sus4(b7,9)', 'A9sus'],
    ['C:(1,5)', 'C5'],
    ['C:(b3,5)', 'Cm'],
    ['D#:hdim7', 'D#m7b5'],
    ['F:minmaj7', 'FmMaj7'],
    ['C:maj6(9)', 'C6/9'],
    ['C:7(*5,13)', 'C7add13(no5)'],
    ['C:min(*b3)', 'Cm(no3)'],
    ['Bb:maj/5', 'Bb/F'],
    ['C:7/2', 'C7/D'],
    ['E-:min7', 'Ebm7'],
    ['C:7(b9)/G', 'C7b9/G'],
  ])('[CH17] %s, root and colon, is %s', (text, symbol) => {
    expect(chord(text).symbol).toBe(symbol)
  })

  it.each([
    ['', 1, "'N.C.'"],
    ['H7', 1, "'B'"],
    ['C/H', 3, "'B'"],
    ['am7', 1, "'Am7'"],
    ['C/b', 3, "'/Bb'"],
    ['C/3', 3, "'/E'"],
    ['Am7/b7', 5, "'/G'"],
    ['C/7', 3, "'/B'"],
    ['C4', 2, "'sus4'"],
    ['D/C7', 4, "'D over C7'"],
    ['C(b9)', 3, "'7b9'"],
    ['Cm7+', 4, "'m7#5'"],
    ['C+9', 2, '9#5'],
    ['Csus6', 2, "'sus4'"],
    ['Fis', 2, "'F#'"],
    ['Es7', 2, "'Eb'"],
    ['Lam7', 1, "'A'"],
    ['IIm7', 1, 'its root'],
    ['x', 1, "'N.C.'"],
    ['//', 1, "'%'"],
    ['C07', 2, "'dim'"],
    ['B b9', 3, "'Bb9'"],
    ['Cmaj#11', 5, "'maj7#11'"],
    ['C11+', 4, "'7#11'"],
    ['Caug11', 4, "'11#5'"],
    ['Cm+7', 3, "'mMaj7'"],
    ['C++', 3, 'stands twice'],
    ['C5sus', 1, "'sus4'"],
    ['C799', 2, 'no figure'],
    ['C:maj7/x', 8, 'quality'],
    ['C-5', 2, "'(b5)'"],
    ['C7(b9', 6, "')'"],
    ['C7b9)', 5, 'closes no bracket'],
    ['C13b13', 4, 'leave one'],
    ['C7(no9)', 4, 'no 9'],
    ['C7F7', 3, 'one symbol names one chord'],
    ['C###', 4, 'two accidentals'],
    ['C♭𝄪', 3, 'two accidentals'],
    ['Cadd7', 2, "'maj7'"],
    ['C/', 2, 'bass note is missing'],
    ['/E', 1, 'before the slash'],
    ['B♭7😀', 4, '😀'],
    ['°7', 1, 'begins with its root'],
    ['D over', 3, 'between two chords'],
    ['over C7', 1, 'between two chords'],
    ['D/F# over C7', 5, 'slash bass'],
    ['D over C over E', 8, 'two chords'],
    ['C'.repeat(LIMITS.chordSymbol + 1), LIMITS.chordSymbol + 1, '64'],
  ])('[CH7] %j is an issue at character %i that names the mend (%s)', (text, character, mend) => {
    const message = messageOf(text)
    expect(message).toContain(mend)
    expect(parseChord(text)).toMatchObject({ ok: false, issues: [{ code: 'CH1', path: `character/${character}` }] })
  })

  it('[CH2] an accidental after the letter belongs to the root, and a near second reading is remarked on', () => {
    expect(parseChord('Bbb9')).toMatchObject({ ok: true, value: { root: 'Bbb' }, issues: [{ severity: 'note' }] })
    expect(parseChord('Ab5')).toMatchObject({ ok: true, value: { root: 'Ab', kind: 'power' } })
    expect(parseChord('Ab5').issues).toBeUndefined()
  })

  it('[CH10] two chords over each other: the upper one names it, the lower one carries the bass', () => {
    const value = chord('D over C7/E')
    expect(value).toMatchObject({ root: 'D', kind: 'major', over: { root: 'C', bass: 'E', symbol: 'C7/E' } })
    expect(bassOf(value)).toBe('E')
    expect(pitchClassesOf(value)).toEqual([0, 2, 4, 6, 7, 9, 10])
    expect(parseChord(value.symbol)).toEqual({ ok: true, value })
    expect(parseChord(formatChord(value, 'symbols'))).toEqual({ ok: true, value })
    expect(transposeChord(value, '2M').symbol).toBe('E over D7/F#')
  })

  it('[CH11] transposition keeps the spelling and undoes itself', () => {
    expect(transposeChord(chord('Bb7b9/F'), '2M')).toEqual(chord('C7b9/G'))
    expect(transposeChord(chord('N.C.'), '2M')).toEqual(chord('N.C.'))
    for (const text of ['Cm7b5', 'F#13#11/E', 'Ebmaj7#5', 'Aalt']) {
      for (const interval of ['2m', '3M', '4P', '5P', '6m', '-3m'])
        expect(
          transposeChord(
            transposeChord(chord(text), interval),
            interval.startsWith('-') ? interval.slice(1) : `-${interval}`,
          ),
        ).toEqual(chord(text))
    }
  })

  it('[CH6] what text says goes to kind and degrees and back', () => {
    for (const text of ACCEPTED.filter((each) => each !== '%')) {
      const { root, bass, kind, degrees }: Chord = chord(text)
      const back = chordFromKind({ root, kind, degrees, ...(bass === undefined ? {} : { bass }) })
      expect(back).toEqual({ ok: true, value: chord(text) })
    }
  })
})
