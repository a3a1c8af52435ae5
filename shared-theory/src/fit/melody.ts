/** Melody against chords: every note over every chord it sounds with, passing notes let go. */
import type { ArrangedBar, MelodyNote, PlacedChord } from '../contract/index.js'
import { mod, nameOfPitch, pitchClass } from '../units/index.js'
import { beatTicks, isStrongTick } from './beats.js'
import { clashName, type Fit, fitOf } from './table.js'

export interface MelodyFinding {
  readonly fit: 'soft' | 'hard'
  readonly noteIndex: number
  readonly chordIndex: number
  /** Distance above the root as a musician says it: '♭9', 'major seventh'. */
  readonly degree: string
}
export interface JudgedBar {
  readonly melody: readonly MelodyNote[]
  readonly chords: readonly PlacedChord[]
  readonly metre: ArrangedBar['metre']
}
/** MIDI of the notes that sound just before and just after the bar. */
export interface Neighbours {
  readonly before?: number
  readonly after?: number
}

const isStep = (from: number | undefined, to: number): boolean =>
  from !== undefined && Math.abs(from - to) >= 1 && Math.abs(from - to) <= 2

/** For each note of a bar, whether it passes: shorter than a beat, on a weak beat, reached and left by step.
 *  Tied notes count as one; a note tied out of the bar is not short. */
export function passingNotes(bar: Pick<JudgedBar, 'melody' | 'metre'>, around: Neighbours = {}): readonly boolean[] {
  const { melody, metre } = bar
  const beat = beatTicks(metre)
  const passing = melody.map(() => false)
  for (let first = 0; first < melody.length; first++) {
    let last = first
    while (melody[last]?.tiedToNext && melody[last + 1]?.midi === melody[first]?.midi) last++
    const head = melody[first] as MelodyNote
    const tail = melody[last] as MelodyNote
    const end = tail.startTick + tail.durationTicks
    const isShort = !tail.tiedToNext && end - head.startTick < beat
    const previous = melody[first - 1]
    const next = melody[last + 1]
    const isNear =
      (!previous || head.startTick - previous.startTick - previous.durationTicks <= beat) &&
      (!next || next.startTick - end <= beat)
    const isReached = isStep(previous ? previous.midi : around.before, head.midi)
    const isLeft = isStep(next ? next.midi : around.after, head.midi)
    const passes = isShort && isNear && isReached && isLeft && !isStrongTick(head.startTick, metre)
    for (let index = first; index <= last; index++) passing[index] = passes
    first = last
  }
  return passing
}

/** Every soft or hard note of a bar, each against every chord it sounds over. Passing notes are no findings. */
export function judgeMelody(bar: JudgedBar, around: Neighbours = {}): readonly MelodyFinding[] {
  const passing = passingNotes(bar, around)
  const findings: MelodyFinding[] = []
  for (const [noteIndex, note] of bar.melody.entries()) {
    if (passing[noteIndex]) continue
    for (const [chordIndex, placed] of bar.chords.entries()) {
      const overlaps =
        note.startTick < placed.startTick + placed.durationTicks &&
        placed.startTick < note.startTick + note.durationTicks
      if (!overlaps) continue
      const name = nameOfPitch(note.name)
      const fit: Fit = fitOf(placed.chord, name)
      if (fit === 'ok') continue
      const degree = clashName(mod(pitchClass(name) - pitchClass(placed.chord.root), 12))
      findings.push({ fit, noteIndex, chordIndex, degree })
    }
  }
  return findings
}

/** The bar's first or last sounding pitch, for its neighbours' sake. */
export function neighboursOf(bars: readonly { readonly melody: readonly MelodyNote[] }[], index: number): Neighbours {
  const before = bars[index - 1]?.melody.at(-1)?.midi
  const after = bars[index + 1]?.melody[0]?.midi
  return { ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) }
}
