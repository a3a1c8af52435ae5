/** Written bars moved to sounding pitch: notes, chords and key signatures together. */
import { transposeChord } from '../chords/index.js'
import type { KeySignature } from '../contract/index.js'
import { formatInterval, intervalBetweenKeys, keyAway, midiOfName, transposePitch } from '../units/index.js'
import type { WrittenBar, WrittenNote } from './written.js'

/** Every bar by semitones, spelled in the key that has fewer accidentals; chords too unless they stand at concert pitch already. */
export function transposeWritten(bars: readonly WrittenBar[], semitones: number): readonly WrittenBar[] {
  const moved = new Map<string, KeySignature>()
  return bars.map((bar) => {
    const id = `${bar.key.key} ${bar.key.mode}`
    const key = moved.get(id) ?? keyAway(bar.key, semitones)
    moved.set(id, key)
    const interval = intervalBetweenKeys(bar.key, key, semitones)
    const name = formatInterval(interval) ?? '1P'
    return {
      ...bar,
      key,
      notes: bar.notes.flatMap((note) => moveNote(note, (pitch) => transposePitch(pitch, interval))),
      chords: bar.chords.map((placed) => ({ ...placed, chord: transposeChord(placed.chord, name) })),
    }
  })
}

function moveNote(note: WrittenNote, move: (pitch: string) => string): WrittenNote[] {
  const name = move(note.name)
  const midi = midiOfName(name)
  if (midi < 0 || midi > 127) return []
  return [{ ...note, name, midi, ...(note.grace ? { grace: note.grace.map(move) } : {}) }]
}
