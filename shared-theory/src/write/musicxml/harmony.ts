/** Chord symbols as MusicXML harmony: kind and degrees for programs, the text a player reads beside them. */
import type { Chord, NoteName, PlacedChord } from '../../contract/index.js'
import { type Interval, LETTERS, must, parseNoteName, transposeName } from '../../units/index.js'
import { type XmlElement, el, leaf } from './xml.js'

/** One harmony element; `offsetTicks` is its distance from where it stands among the notes. */
export function harmonyElement(placed: PlacedChord, up: Interval | undefined, offsetTicks: number): XmlElement {
  return el(
    'harmony',
    { placement: 'above', 'print-frame': 'no' },
    harmonyChord(placed.chord, up),
    placed.chord.over && harmonyChord(placed.chord.over, up),
    offsetTicks > 0 && leaf('offset', offsetTicks),
  )
}

/** root, kind, bass, degrees of one chord; a polychord is two of these, the upper first. */
function harmonyChord(chord: Chord, up: Interval | undefined): XmlElement[] {
  if (chord.kind === 'none' || chord.root === '') {
    // N.C. has no root; the schema wants one, so its text is empty.
    return [
      el('root', {}, leaf('root-step', 'C', { text: '' })),
      leaf('kind', 'none', { text: chord.symbol || 'N.C.' }),
    ]
  }
  const bass = chord.bass === undefined ? undefined : moved(chord.bass, up)
  return [
    el('root', {}, ...nameElements('root', moved(chord.root, up))),
    leaf('kind', chord.kind, { text: suffixText(chord) }),
    ...(bass === undefined ? [] : [el('bass', {}, ...nameElements('bass', bass))]),
    ...chord.degrees.map(({ value, alter, type }) =>
      el(
        'degree',
        { 'print-object': 'no' },
        leaf('degree-value', value),
        leaf('degree-alter', alter),
        leaf('degree-type', type),
      ),
    ),
  ]
}

const moved = (name: NoteName, up: Interval | undefined): NoteName => (up ? transposeName(name, up) : name)

function nameElements(kind: 'root' | 'bass', name: NoteName): XmlElement[] {
  const { step, alter } = must(parseNoteName(name), `'${name}' is a note name`)
  const letter = leaf(`${kind}-step`, LETTERS[step] as string)
  return alter === 0 ? [letter] : [letter, leaf(`${kind}-alter`, alter)]
}

/** What stands after the root in the plain symbol, with real accidental signs: 'Cm7b5' → 'm7♭5'. */
function suffixText(chord: Chord): string {
  const own = chord.over ? (chord.symbol.split(' over ')[0] as string) : chord.symbol
  const bare = chord.bass !== undefined && own.endsWith(`/${chord.bass}`) ? own.slice(0, -chord.bass.length - 1) : own
  const suffix = bare.startsWith(chord.root) ? bare.slice(chord.root.length) : bare
  return suffix.replaceAll(/b(?=\d)/g, '♭').replaceAll(/#(?=\d)/g, '♯')
}
