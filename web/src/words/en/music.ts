/** How keys and chords are said. */
import { noteName } from '../../look/note-names.js'

const SIGNS: { readonly [sign: string]: string } = { b: ' flat', '#': ' sharp' }

export const music = {
  /** 'A♭ major'; `tonic` as the reader names notes. */
  key: (tonic: string, mode: string): string => `${tonic} ${mode}`,
  noChord: 'no chord',
  /** 'B flat': for a screen reader. `note` is a letter with b or #. */
  spokenNote(note: string): string {
    // B flat is one name where B natural is H.
    const isOneName = noteName('B') === 'H' && note.startsWith('Bb')
    const [named, signs] = isOneName ? ['B', note.slice(2)] : [noteName(note.charAt(0)), note.slice(1)]
    return named + signs.replace(/[b#]/g, (sign) => SIGNS[sign] ?? '')
  },
  over: (bass: string): string => `over ${bass}`,
  qualities: {
    minor: 'minor',
    major: 'major',
    diminished: 'diminished',
    halfDiminished: 'half diminished',
    augmented: 'augmented',
    suspended: 'suspended',
    add: 'add',
    flat: 'flat',
    sharp: 'sharp',
  },
  language: 'Language',
  noteNames: 'Note names',
  noteNameChoices: { letters: 'C D E, with B', solfege: 'Do Re Mi', german: 'C D E, with H' },
  noteNamesNote: 'On chord symbols and keys here. Printed charts and files keep C D E.',
  /** Where another language than English is chosen: what stays in English. */
  inEnglish: '',
} as const
