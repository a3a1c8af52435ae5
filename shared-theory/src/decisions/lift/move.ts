/** Moving music to another key: melody, chords and signature together, spelled for the new key. */
import type { ArrangedBar, ArrangedNote, Chord, KeySignature, PlacedChord } from '../../contract/index.js'
import { chord as parsed, qualityOf, transposeChord } from '../../chords/index.js'
import {
  formatInterval,
  type Interval,
  intervalBetweenKeys,
  keyAway,
  must,
  parseNoteName,
  scaleOf,
  simplifyNoteName,
  transposePitch,
} from '../../units/index.js'

/** How one key goes to another: its new signature and the interval names move by. */
export interface Move {
  readonly key: KeySignature
  readonly interval: Interval
}

/** How a lift is carried out beyond its distance. */
export interface Manner {
  /** Which of two spellings with six accidentals is taken. */
  readonly prefer?: 'flats' | 'sharps'
  /** Octaves the melody moves besides, so that its player stays in range. */
  readonly octave?: number
}

/** The key so many semitones away with the fewer accidentals; at six each flats, which B♭ and E♭ horns read more easily. */
export function moveOf(key: KeySignature, semitones: number, prefer: 'flats' | 'sharps' = 'flats'): Move {
  const to = keyAway(key, semitones, prefer)
  return { key: to, interval: intervalBetweenKeys(key, to, semitones) }
}

/** A bar moved whole, parts not touched (there are none before the band). A root or bass nobody wants to read takes its plain name. */
export function movedBar(bar: ArrangedBar, semitones: number, { prefer, octave }: Manner = {}): ArrangedBar {
  const move = moveOf(bar.key, semitones, prefer)
  const { key } = move
  const melodyMove = melodyInterval(move, octave)
  return {
    ...bar,
    key,
    chords: bar.chords.map((placed): PlacedChord => ({ ...placed, chord: movedChord(placed.chord, move) })),
    melody: bar.melody.map((note) => movedNote(note, melodyMove)),
  }
}

/** By what the melody moves: with its chords, and octaves besides. */
export function melodyInterval({ interval }: Move, octave = 0): Interval {
  return { steps: interval.steps + 7 * octave, semitones: interval.semitones + 12 * octave }
}

export function movedNote(note: ArrangedNote, interval: Interval): ArrangedNote {
  return {
    ...note,
    midi: note.midi + interval.semitones,
    name: transposePitch(note.name, interval),
    ...(note.grace ? { grace: note.grace.map((pitch) => transposePitch(pitch, interval)) } : {}),
  }
}

/** A chord in the new key, under names a player reads: no double accidentals; C♭ F♭ E♯ B♯ only as a major chord or a bass of the key
 *  (C♭∆ in G♭, but E7 and Bm7), E♯ and B♯ also under a diminished chord that leads up from them (E♯°7 before F♯m). */
export function movedChord(chord: Chord, { key, interval }: Move): Chord {
  const moved = transposeChord(chord, must(formatInterval(interval), 'keys lie a named interval apart'))
  const { root, bass } = moved
  if (root === '') return moved
  const quality = qualityOf(moved)
  const leadsUp = root.endsWith('#') && (quality === 'diminished' || quality === 'half-diminished')
  const isOwn = quality === 'major' && scaleOf(key.key).includes(root)
  const head = (leadsUp || isOwn) && !hasDouble(root) ? root : simplifyNoteName(root)
  const below = bass === undefined ? undefined : plainRoot(bass, key)
  if (head === root && below === bass) return moved
  const symbol = head + moved.symbol.slice(root.length)
  return parsed(below === bass ? symbol : symbol.replace(`/${bass}`, `/${below}`))
}

const hasDouble = (name: string): boolean => Math.abs(parseNoteName(name)?.alter ?? 0) > 1

/** A root for a chart in a key: no double accidentals, and no C♭ F♭ E♯ B♯ unless the key has it. */
export function plainRoot(name: string, key: KeySignature): string {
  return scaleOf(key.key).includes(name) ? name : simplifyNoteName(name)
}
