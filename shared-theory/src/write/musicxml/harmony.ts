/** Chord symbols as MusicXML harmony: kind and degrees for programs, the text a player reads beside them. */
import type { Chord, NoteName, PlacedChord } from '../../contract/index.js'
import { type Interval, LETTERS, must, parseNoteName, pitchClass, transposeName } from '../../units/index.js'
import { type XmlElement, el, leaf } from './xml.js'

/** From sounding to written; `fifths` of the sounding key. */
export interface ChordWriting {
  readonly up?: Interval | undefined
  readonly fifths: number
}

/** One chord symbol; `offsetTicks` is its distance from where it stands among the notes. For an engraver that prints hidden degrees
 *  and has no word for silence, `isEngraving` leaves only what shall be seen. */
export function harmonyElement(
  { chord }: PlacedChord,
  to: ChordWriting,
  offsetTicks: number,
  isEngraving: boolean,
): XmlElement {
  const offset = offsetTicks > 0 && leaf('offset', offsetTicks)
  if (isEngraving && isSilent(chord)) {
    return el('direction', { placement: 'above' }, el('direction-type', {}, leaf('words', noChordText(chord))), offset)
  }
  const chords = isEngraving || !chord.over ? [chord] : [chord, chord.over]
  return el(
    'harmony',
    { placement: 'above', 'print-frame': 'no' },
    chords.flatMap((part) => harmonyChord(part, to, isEngraving)),
    offset,
  )
}

const isSilent = (chord: Chord): boolean => chord.kind === 'none' || chord.root === ''
const noChordText = (chord: Chord): string => chord.symbol || 'N.C.'

/** root, kind, bass, degrees of one chord; a polychord is two of these, the upper first. */
function harmonyChord(chord: Chord, to: ChordWriting, isEngraving: boolean): XmlElement[] {
  if (isSilent(chord)) {
    // N.C. has no root; the schema wants one, so its text is empty.
    return [el('root', {}, leaf('root-step', 'C', { text: '' })), leaf('kind', 'none', { text: noChordText(chord) })]
  }
  const bass = chord.bass === undefined ? undefined : moved(chord.bass, to)
  const lower = isEngraving && chord.over ? ` over ${wholeText(chord.over, to)}` : ''
  return [
    el('root', {}, ...nameElements('root', moved(chord.root, to))),
    leaf('kind', chord.kind, { text: suffixText(chord) + lower }),
    ...(bass === undefined ? [] : [el('bass', {}, ...nameElements('bass', bass))]),
    ...(isEngraving ? [] : chord.degrees.map(degreeElement)),
  ]
}

/** Degrees are read by programs; the text says them already. */
function degreeElement({ value, alter, type }: Chord['degrees'][number]): XmlElement {
  return el(
    'degree',
    { 'print-object': 'no' },
    leaf('degree-value', value),
    leaf('degree-alter', alter),
    leaf('degree-type', type),
  )
}

/** In five flats and more a root printed plain (E7 for F♭7) transposes by its flats: a trumpet reads G♭7, not F♯7. */
function moved(name: NoteName, { up, fifths }: ChordWriting): NoteName {
  if (!up) return name
  const there = singled(transposeName(name, up))
  return fifths <= -5 && /^[A-G]#$/.test(there) ? flatOf(there) : there
}

/** A double accidental gives way to the plain name of the same sound: A for G♯♯. */
function singled(name: NoteName): NoteName {
  const sign = /^[A-G](##|bb)$/.exec(name)?.[1]
  if (sign === undefined) return name
  const letter = LETTERS[(LETTERS.indexOf(name.charAt(0)) + (sign === '##' ? 1 : 6)) % LETTERS.length] as string
  const found = [letter, `${letter}#`, `${letter}b`].find((plain) => pitchClass(plain) === pitchClass(name))
  return must(found, `'${name}' has a plain name`)
}

const flatOf = (sharp: NoteName): NoteName =>
  `${LETTERS[(LETTERS.indexOf(sharp.charAt(0)) + 1) % LETTERS.length] as string}b`

function nameElements(kind: 'root' | 'bass', name: NoteName): XmlElement[] {
  const { step, alter } = must(parseNoteName(name), `'${name}' is a note name`)
  const letter = leaf(`${kind}-step`, LETTERS[step] as string)
  return alter === 0 ? [letter] : [letter, leaf(`${kind}-alter`, alter)]
}

const printedName = (name: NoteName): string => name.replaceAll('b', '♭').replaceAll('#', '♯')

function wholeText(chord: Chord, to: ChordWriting): string {
  const bass = chord.bass === undefined ? '' : `/${printedName(moved(chord.bass, to))}`
  return printedName(moved(chord.root, to)) + suffixText(chord) + bass
}

/** What stands after the root in the plain symbol, with real accidental signs: 'Cm7b5' → 'm7♭5'. */
function suffixText(chord: Chord): string {
  const own = chord.over ? (chord.symbol.split(' over ')[0] as string) : chord.symbol
  const bare = chord.bass !== undefined && own.endsWith(`/${chord.bass}`) ? own.slice(0, -chord.bass.length - 1) : own
  const suffix = bare.startsWith(chord.root) ? bare.slice(chord.root.length) : bare
  return suffix.replaceAll(/b(?=\d)/g, '♭').replaceAll(/#(?=\d)/g, '♯')
}
