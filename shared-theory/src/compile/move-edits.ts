/** A hand edit taken to the key its bar is in now: it was made in the key it was seen in. */
import { movedChord, movedNote } from '../decisions/index.js'
import { formatChord, parseChord } from '../chords/index.js'
import type { ArrangedBar } from '../contract/index.js'
import { intervalBetweenKeys, keySignature, mod, parseKey, pitchClass } from '../units/index.js'
import type { BarEdit } from './place-edits.js'

/** The edit in the bar's key, the short way up or down; the same where it names no key or the bar is still in it. */
export function movedEdit<T extends BarEdit>(edit: T, bar: ArrangedBar): T | { readonly why: string } {
  const seen = edit.key === undefined || edit.key === bar.key.key ? undefined : parseKey(edit.key)
  const to = parseKey(bar.key.key)
  if (!seen || !to || seen.tonic === to.tonic) return edit
  // Names move by their tonics; a key no signature is written for (D♭ minor) has one in the data.
  const from = keySignature(seen.tonic, seen.mode) ?? { ...bar.key, key: edit.key as string }
  const up = mod(pitchClass(to.tonic) - pitchClass(seen.tonic), 12)
  const semitones = up > 6 ? up - 12 : up
  const interval = intervalBetweenKeys(from, bar.key, semitones)
  const move = { key: bar.key, interval }
  switch (edit.kind) {
    case 'chord': {
      const read = parseChord(edit.symbol)
      // What can't be read is said where it is applied.
      return read.ok && read.value.root !== '' ? { ...edit, symbol: formatChord(movedChord(read.value, move)) } : edit
    }
    case 'melody': {
      const notes = edit.notes.map((note) => movedNote(note, interval))
      return notes.some(({ midi }) => !isMidi(midi))
        ? { why: `in ${bar.key.key} its notes lie beyond what can be played` }
        : { ...edit, notes }
    }
    case 'voicing': {
      const midi = edit.midi.map((note) => note + semitones)
      const over = edit.over === undefined ? undefined : parseChord(edit.over)
      const moved = over?.ok && over.value.root !== '' ? formatChord(movedChord(over.value, move)) : edit.over
      return midi.every(isMidi)
        ? { ...edit, midi, ...(moved === undefined ? {} : { over: moved }) }
        : { why: `in ${bar.key.key} its notes lie beyond what can be played` }
    }
  }
}

const isMidi = (midi: number): boolean => midi >= 0 && midi <= 127
