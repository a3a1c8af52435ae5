/** Written bars moved to sounding pitch: notes, chords and key signatures together. */
import { transposeChord } from '../chords/index.js'
import type { KeySignature } from '../contract/index.js'
import {
  formatInterval,
  formatPitch,
  intervalBetweenKeys,
  keyAway,
  midiOf,
  midiOfName,
  must,
  parsePitch,
  signatureAlter,
  transposePitch,
} from '../units/index.js'
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
      notes: bar.notes.flatMap((note) =>
        moveNote(note, (pitch) => plainAgain(pitch, transposePitch(pitch, interval), key.fifths)),
      ),
      chords: bar.chords.map((placed) => ({ ...placed, chord: transposeChord(placed.chord, name) })),
    }
  })
}

const ODD = /^(?:[A-G](?:bb|##)|[CF]b|[BE]#)/

/** Charts print plain what only a part's own transposition would name oddly, so what becomes odd on the way back is plain at its sounding
 *  pitch too, unless the key wants it so. */
function plainAgain(written: string, sounding: string, fifths: number): string {
  if (!ODD.test(sounding) || ODD.test(written)) return sounding
  const pitch = must(parsePitch(sounding), `'${sounding}' is a pitch`)
  if (pitch.alter === signatureAlter(fifths, pitch.step)) return sounding
  const by = pitch.alter < 0 ? -1 : 1
  const natural = {
    step: (pitch.step + by + 7) % 7,
    alter: 0,
    octave: pitch.octave + Math.floor((pitch.step + by) / 7),
  }
  return formatPitch({ ...natural, alter: midiOf(pitch) - midiOf(natural) })
}

function moveNote(note: WrittenNote, move: (pitch: string) => string): WrittenNote[] {
  const name = move(note.name)
  const midi = midiOfName(name)
  if (midi < 0 || midi > 127) return []
  return [{ ...note, name, midi, ...(note.grace ? { grace: note.grace.map(move) } : {}) }]
}
