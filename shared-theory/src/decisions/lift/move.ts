/** Moving music to another key: melody, chords and signature together, spelled for the new key. */
import type { ArrangedBar, ArrangedNote, Chord, KeySignature, PlacedChord } from '../../contract/index.js'
import { chord as parsed, transposeChord } from '../../chords/index.js'
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

/** A bar moved whole, parts not touched (there are none before the band). A root or bass that would need a double accidental takes its plain name. */
export function movedBar(bar: ArrangedBar, semitones: number, { prefer, octave }: Manner = {}): ArrangedBar {
  const move = moveOf(bar.key, semitones, prefer)
  const { key, interval } = move
  const melodyMove = melodyInterval(move, octave)
  return {
    ...bar,
    key,
    chords: bar.chords.map((placed): PlacedChord => ({ ...placed, chord: movedChord(placed.chord, interval) })),
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

export function movedChord(chord: Chord, interval: Interval): Chord {
  const moved = transposeChord(chord, must(formatInterval(interval), 'keys lie a named interval apart'))
  if (!hasDouble(moved.root) && !hasDouble(moved.bass)) return moved
  const head = moved.root
  const symbol = hasDouble(head) ? simplifyNoteName(head) + moved.symbol.slice(head.length) : moved.symbol
  const { bass } = moved
  return parsed(hasDouble(bass) && bass ? symbol.replace(`/${bass}`, `/${simplifyNoteName(bass)}`) : symbol)
}

const hasDouble = (name: string | undefined): boolean =>
  name !== undefined && Math.abs(parseNoteName(name)?.alter ?? 0) > 1

/** A root for a chart in a key: no double accidentals, and no C♭ F♭ E♯ B♯ unless the key has it. */
export function plainRoot(name: string, key: KeySignature): string {
  return scaleOf(key.key).includes(name) ? name : simplifyNoteName(name)
}
