/** How keys and chords are said. */
import { noteName, noteNames } from '../../look/note-names.js'
import type { Words } from '../catalogue.js'

/** Common practice: sharps end in -is, flats in -es; A and E lose the vowel, B natural is H and B flat is B. */
const SHARP = 'is'
const FLAT: { readonly [letter: string]: string } = { A: 'As', E: 'Es', B: 'B' }
const MODES: { readonly [mode: string]: string } = {
  dorian: 'dorisch',
  phrygian: 'phrygisch',
  lydian: 'lydisch',
  mixolydian: 'mixolydisch',
  aeolian: 'äolisch',
  locrian: 'lokrisch',
}

function spokenNote(note: string): string {
  const letter = note.charAt(0)
  const signs = note.slice(1)
  const size = signs.length
  if (noteNames() === 'solfege') return noteName(letter) + (signs.startsWith('#') ? ' Kreuz' : ' b').repeat(size && 1)
  if (size === 0) return letter === 'B' ? 'H' : letter
  if (signs.startsWith('#')) return (letter === 'B' ? 'H' : letter) + SHARP.repeat(size)
  if (size > 1) return letter === 'B' ? 'Heses' : `${FLAT[letter] ?? `${letter}es`}es`
  return FLAT[letter] ?? `${letter}es`
}

export const music = {
  key: (tonic: string, mode: string): string =>
    mode === 'major'
      ? `${tonic}-Dur`
      : mode === 'minor'
        ? `${tonic.toLowerCase()}-Moll`
        : `${tonic} ${MODES[mode] ?? mode}`,
  noChord: 'kein Akkord',
  spokenNote,
  over: (bass: string): string => `über ${bass}`,
  qualities: {
    minor: 'Moll',
    major: 'maj',
    diminished: 'vermindert',
    halfDiminished: 'halbvermindert',
    augmented: 'übermäßig',
    suspended: 'sus',
    add: 'add',
    flat: 'b',
    sharp: 'Kreuz',
  },
  language: 'Sprache',
  noteNames: 'Tonnamen',
  noteNameChoices: { letters: 'C D E, mit B', solfege: 'Do Re Mi', german: 'C D E, mit H' },
  noteNamesNote: 'Für Akkordsymbole und Tonarten hier. Gedruckte Noten und Dateien behalten C D E.',
  inEnglish: 'Die Antworten, ihre Begründungen und die Namen der Grooves stehen vorerst auf Englisch.',
} satisfies Words['music']
