import { chord, keySignatureOf } from '@chartloft/shared-theory'
import { afterEach, describe, expect, it } from 'vitest'
import { german } from '../words/de/index.js'
import { compare } from '../words/en/compare.js'
import { english } from '../words/en/index.js'
import { speak } from '../words.js'
import { chordType } from './chord-symbol.js'
import { nameNotes, noteName, type NoteNames } from './note-names.js'
import { sayKey, sayKeyShort } from './say.js'

describe('[UI72] note names', () => {
  afterEach(() => {
    nameNotes('letters')
    speak({ words: english, compare })
  })

  // Common practice: fixed do; in German-speaking countries B natural is H and B flat is B.
  it.each<[NoteNames, string]>([
    ['letters', 'C D♭ E F♯ G A B B♭ B♭♭'],
    ['solfege', 'Do Re♭ Mi Fa♯ Sol La Si Si♭ Si♭♭'],
    ['german', 'C D♭ E F♯ G A H B B♭'],
  ])('%s', (names, named) => {
    expect(['C', 'Db', 'E', 'F#', 'G', 'A', 'B', 'Bb', 'Bbb'].map((note) => noteName(note, names)).join(' ')).toBe(
      named,
    )
  })

  it('stand in chord symbols, bass notes and keys, and are what a screen reader says', () => {
    const set = (symbol: string) => {
      const { root, quality, raised, bass, spoken } = chordType(chord(symbol))
      return [root + quality + raised + (bass ? `/${bass}` : ''), spoken]
    }
    nameNotes('german')
    expect(set('Bb7/B')).toEqual(['B7/H', 'B 7 over H'])
    expect(sayKey(keySignatureOf('Bb major'))).toBe('B major')
    expect(sayKeyShort(keySignatureOf('B minor'))).toBe('Hm')
    nameNotes('solfege')
    expect(set('Ebm7b5')).toEqual(['Mi♭m7♭5', 'Mi flat minor 7 flat 5'])
    speak(german)
    expect(set('Ebm7/Bb')).toEqual(['Mi♭m7/Si♭', 'Mi b Moll 7 über Si b'])
    nameNotes('german')
    expect(set('F#m7b5/B')).toEqual(['F♯m7♭5/H', 'Fis Moll 7 b 5 über H'])
    expect(['Ab', 'Db', 'Eb', 'Bb', 'C#', 'B'].map((root) => chordType(chord(root)).spoken)).toEqual([
      'As',
      'Des',
      'Es',
      'B',
      'Cis',
      'H',
    ])
    expect(sayKey(keySignatureOf('F minor'))).toBe('f-Moll')
  })
})
