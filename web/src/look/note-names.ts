/** What the reader calls the notes: C D E, Do Re Mi, or German letters with H. Written music everywhere else keeps letters. */

export const NOTE_NAMES = ['letters', 'solfege', 'german'] as const
export type NoteNames = (typeof NOTE_NAMES)[number]

/** Common practice: fixed do, si for B. */
const SOLFEGE: { readonly [letter: string]: string } = {
  C: 'Do',
  D: 'Re',
  E: 'Mi',
  F: 'Fa',
  G: 'Sol',
  A: 'La',
  B: 'Si',
}

let chosen: NoteNames = 'letters'

/** Before anything is drawn: names notes so. */
export function nameNotes(names: NoteNames): void {
  chosen = names
}
export const noteNames = (): NoteNames => chosen

/** 'Bb' as the reader reads it: 'B♭', 'Si♭', or 'B' where B natural is 'H'. `note` is a letter with any number of b or #. */
export function noteName(note: string, names: NoteNames = chosen): string {
  const letter = note.charAt(0)
  const signs = note.slice(1).replaceAll('b', '♭').replaceAll('#', '♯')
  if (names === 'solfege') return `${SOLFEGE[letter] ?? letter}${signs}`
  if (names === 'german' && letter === 'B') return signs.startsWith('♭') ? `B${signs.slice(1)}` : `H${signs}`
  return letter + signs
}

/** Real signs for the letters people type. */
export function withSigns(text: string): string {
  return text.replace(/([A-G])(b{1,2}|#{1,2})/g, (note) => noteName(note, 'letters'))
}
