/** The melody of a stretch on one time line, as the optimiser reads it. */
import type { ArrangedBar, NoteName } from '../contract/index.js'
import { nameOfPitch, pitchClass } from '../units/index.js'
import { isStrongTick } from './beats.js'
import { type Neighbours, passingNotes } from './melody.js'

export interface LineNote {
  readonly pc: number
  readonly name: NoteName
  /** From the start of the stretch; a note over a bar line is two of these. */
  readonly startTick: number
  readonly endTick: number
  /** Whole sounding length, ties followed through the stretch. */
  readonly heldTicks: number
  readonly isPassing: boolean
  readonly isStrong: boolean
}

type Bar = Pick<ArrangedBar, 'melody' | 'metre' | 'lengthTicks'>

/** Notes in order of time. `around` gives the pitches just outside the stretch. */
export function lineNotes(bars: readonly Bar[], around: Neighbours = {}): readonly LineNote[] {
  const out: (LineNote & { isTied: boolean; midi: number })[] = []
  let barStart = 0
  for (const [index, bar] of bars.entries()) {
    const before = bars[index - 1]?.melody.at(-1)?.midi ?? around.before
    const after = bars[index + 1]?.melody[0]?.midi ?? around.after
    const passing = passingNotes(bar, {
      ...(before === undefined ? {} : { before }),
      ...(after === undefined ? {} : { after }),
    })
    for (const [noteIndex, note] of bar.melody.entries()) {
      const name = nameOfPitch(note.name)
      out.push({
        pc: pitchClass(name),
        name,
        midi: note.midi,
        startTick: barStart + note.startTick,
        endTick: barStart + note.startTick + note.durationTicks,
        heldTicks: note.durationTicks,
        isPassing: passing[noteIndex] === true,
        isStrong: isStrongTick(note.startTick, bar.metre),
        isTied: note.tiedToNext === true,
      })
    }
    barStart += bar.lengthTicks
  }
  for (let first = 0; first < out.length; first++) {
    let last = first
    let held = out[first]!.heldTicks
    while (out[last]!.isTied && out[last + 1]?.midi === out[first]!.midi) held += out[++last]!.heldTicks
    for (let index = first; index <= last; index++) out[index] = { ...out[index]!, heldTicks: held }
    first = last
  }
  return out.map(({ isTied: _isTied, midi: _midi, ...note }) => note)
}

/** The notes that sound between two ticks, cut to them. */
export function notesBetween(notes: readonly LineNote[], startTick: number, endTick: number): readonly LineNote[] {
  return notes
    .filter((note) => note.startTick < endTick && startTick < note.endTick)
    .map((note) => ({
      ...note,
      startTick: Math.max(note.startTick, startTick),
      endTick: Math.min(note.endTick, endTick),
    }))
}
