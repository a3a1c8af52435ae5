/** Note names as printed: what a lift has spelled beyond reading takes its plain name, a tied note one name throughout. */
import { plainOver } from '../../chords/index.js'
import type { ArrangedBar, PartNote } from '../../contract/index.js'
import { midiOfName, nameOfPitch, parsePitch, pitchAs } from '../../units/index.js'

/** Bars whose parts are named as their players read them; the very bars where nothing has to change. */
export function withPlainNames(bars: readonly ArrangedBar[]): readonly ArrangedBar[] {
  const ties = new Map<string, string>()
  return bars.map((bar) => {
    let isChanged = false
    const parts: { [partId: string]: readonly PartNote[] } = {}
    for (const [id, notes] of Object.entries(bar.parts)) {
      const named = notes.map((note) => plainNote(note, bar, ties, `${id} ${note.midi}`))
      const isSame = named.every((note, index) => note === notes[index])
      isChanged ||= !isSame
      parts[id] = isSame ? notes : named
    }
    return isChanged ? { ...bar, parts } : bar
  })
}

function plainNote(note: PartNote, bar: ArrangedBar, ties: Map<string, string>, key: string): PartNote {
  const tied = ties.get(key)
  const name = tied ?? plainName(note, bar)
  if (note.tiedToNext) ties.set(key, name)
  else if (tied !== undefined) ties.delete(key)
  return name === note.name ? note : { ...note, name }
}

function plainName(note: PartNote, bar: ArrangedBar): string {
  if (!/^[A-G]bb|^[CF]b/.test(note.name) || !parsePitch(note.name) || midiOfName(note.name) !== note.midi)
    return note.name
  const over = bar.chords.findLast(({ startTick }) => startTick <= note.startTick)?.chord
  const own = nameOfPitch(note.name)
  const plain = plainOver(own, over)
  return plain === own ? note.name : pitchAs(note.midi, plain)
}
