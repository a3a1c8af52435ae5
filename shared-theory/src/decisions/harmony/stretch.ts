/** A stretch of bars a harmony option acts on, and what stands in it: chords on one time line, melody, key, the chords around. */
import type { ArrangedBar, Chord, KeySignature, PlacedChord, SectionRef, Tune } from '../../contract/index.js'
import { type ChordQuality, chord as parsed, qualityOf, sameChord } from '../../chords/index.js'
import {
  beatTicks,
  degreeName,
  dominantSuffix,
  type Fit,
  fitOf,
  type LineNote,
  lineNotes,
  type Neighbours,
  nameForMelody,
  neighboursOf,
  notesBetween,
  show,
} from '../../fit/index.js'
import { mod, pitchClass, tonicOf } from '../../units/index.js'
import { barNumber } from '../bar-words.js'

export interface Stretch {
  readonly bars: readonly ArrangedBar[]
  /** Where each bar stands in the arrangement. */
  readonly indices: readonly number[]
  /** Bar numbers a player reads in the tune. */
  readonly numbers: readonly number[]
  /** Start of each bar from the stretch's start, and the end of the last. */
  readonly starts: readonly number[]
  readonly key: KeySignature
  readonly notes: readonly LineNote[]
  /** Melody pitches just outside. */
  readonly around: Neighbours
  readonly beatTicks: number
  /** The chord just before, and the one the stretch leads to. */
  readonly before?: Chord
  readonly after?: Chord
}

/** One chord as long as it lasts, over bar lines where the next bar repeats it. */
export interface Span {
  readonly chord: Chord
  readonly startTick: number
  readonly endTick: number
  /** The chord that follows, in the stretch or after it. */
  readonly next?: Chord
}

/** Every place in the bars that `at` names: one stretch for each time its pass is played ('chorus-1', 'chorus-1#2', …). */
export function stretchesOf(bars: readonly ArrangedBar[], at: SectionRef, tune: Tune): readonly Stretch[] {
  const runs: number[][] = []
  for (const [index, bar] of bars.entries()) {
    const belongs = bar.pass === at.passId || bar.pass.startsWith(`${at.passId}#`)
    if (!belongs || (at.sectionId !== undefined && bar.sectionId !== at.sectionId)) continue
    const run = runs.at(-1)
    const previous = bars[index - 1]
    const goesOn =
      run?.at(-1) === index - 1 &&
      previous?.pass === bar.pass &&
      (at.sectionId === undefined || (bar.provenance.tuneBar ?? 0) > (previous.provenance.tuneBar ?? -1))
    if (run && goesOn) run.push(index)
    else runs.push([index])
  }
  return runs
    .map((run) => withinSection(run, bars, at, tune))
    .filter((run) => run.length > 0)
    .map((run) => stretchOf(run, bars, tune))
}

function withinSection(
  run: readonly number[],
  bars: readonly ArrangedBar[],
  at: SectionRef,
  tune: Tune,
): readonly number[] {
  const section = tune.sections.find(({ id }) => id === at.sectionId)
  // A pickup leads in; it is no bar of its section.
  const full = run.filter((index) => {
    const tuneBar = bars[index]?.provenance.tuneBar
    return tuneBar === undefined || tuneBar >= (section?.startBar ?? (tune.pickupTicks > 0 ? 1 : 0))
  })
  const from = Math.max(0, Math.floor(at.fromBar ?? 0))
  return full.slice(from, at.bars === undefined ? undefined : from + Math.max(0, Math.floor(at.bars)))
}

function stretchOf(indices: readonly number[], all: readonly ArrangedBar[], tune: Tune): Stretch {
  const bars = indices.map((index) => all[index] as ArrangedBar)
  const first = indices[0] as number
  const last = indices.at(-1) as number
  const starts = [0]
  for (const bar of bars) starts.push((starts.at(-1) as number) + bar.lengthTicks)
  const before = withRoot(all[first - 1]?.chords.at(-1)?.chord)
  const after = withRoot(all[last + 1]?.chords[0]?.chord)
  const start = neighboursOf(all, first).before
  const end = neighboursOf(all, last).after
  const around: Neighbours = {
    ...(start === undefined ? {} : { before: start }),
    ...(end === undefined ? {} : { after: end }),
  }
  return {
    bars,
    indices,
    numbers: bars.map((bar, offset) => barNumber(bar, tune) ?? offset + 1),
    starts,
    key: (bars[0] as ArrangedBar).key,
    notes: lineNotes(bars, around),
    around,
    beatTicks: beatTicks((bars[0] as ArrangedBar).metre),
    ...(before ? { before } : {}),
    ...(after ? { after } : {}),
  }
}

/** The stretch's chords in order, equal neighbours joined. */
export function spansOf(stretch: Stretch): readonly Span[] {
  const spans: { chord: Chord; startTick: number; endTick: number }[] = []
  for (const [offset, bar] of stretch.bars.entries()) {
    const start = stretch.starts[offset] as number
    for (const placed of bar.chords) {
      const last = spans.at(-1)
      const endTick = start + placed.startTick + placed.durationTicks
      if (last && sameChord(last.chord, placed.chord)) last.endTick = endTick
      else spans.push({ chord: placed.chord, startTick: start + placed.startTick, endTick })
    }
  }
  return spans.map((span, index) => {
    const next = index + 1 < spans.length ? withRoot(spans[index + 1]?.chord) : stretch.after
    return { ...span, ...(next ? { next } : {}) }
  })
}

/** Which bar of the stretch a tick lies in. */
export function barAt(stretch: Stretch, tick: number): number {
  const found = stretch.starts.findIndex((start) => start > tick)
  return (found < 0 ? stretch.bars.length : found) - 1
}

/** The chord, if it is one: N.C. and repeat signs have no root. */
const withRoot = (chord: Chord | undefined): Chord | undefined => (chord?.root === '' ? undefined : chord)

/** The chord that sounds at a tick; undefined where there is none. */
export function chordAt(stretch: Stretch, tick: number): Chord | undefined {
  const offset = barAt(stretch, tick)
  const inside = tick - (stretch.starts[offset] as number)
  return withRoot(stretch.bars[offset]?.chords.findLast((placed) => placed.startTick <= inside)?.chord)
}

/** Semitones of a chord's root above the key's tonic; −1 where it has none. */
export const degreeOf = (chord: Chord, key: KeySignature): number =>
  chord.root === '' ? -1 : mod(pitchClass(chord.root) - pitchClass(tonicOf(key.key)), 12)

export const isDominant = (chord: Chord | undefined): boolean =>
  chord !== undefined &&
  (qualityOf(chord) === 'dominant' || (qualityOf(chord) === 'sus' && chord.intervals.includes('7m')))

/** Whether the root falls a fifth to the next chord's. */
export const fallsFifth = (from: Chord, to: Chord | undefined): boolean =>
  to !== undefined && to.root !== '' && from.root !== '' && mod(pitchClass(to.root) - pitchClass(from.root), 12) === 5

/** Whether a chord can be settled on: the goal of a dominant of its own. */
export const isStable = (chord: Chord | undefined): chord is Chord => {
  const stable: readonly ChordQuality[] = ['major', 'minor', 'minor-sixth']
  return chord !== undefined && stable.includes(qualityOf(chord))
}

export interface Standing {
  readonly fit: Fit
  /** The first note that is not ok. */
  readonly note?: LineNote
  /** Whether soft notes are short and on weak beats: tolerable in passing. */
  readonly isLight: boolean
}

/** How the melody stands over a chord between two ticks: the worst of its notes. */
export function standing(stretch: Stretch, chord: Chord, startTick: number, endTick: number): Standing {
  let worst: Standing = { fit: 'ok', isLight: true }
  for (const note of notesBetween(stretch.notes, startTick, endTick)) {
    if (note.isPassing) continue
    const fit = fitOf(chord, note.name)
    if (fit === 'hard') return { fit, note, isLight: false }
    if (fit === 'ok') continue
    const isLight = worst.isLight && !note.isStrong && note.endTick - note.startTick <= stretch.beatTicks
    worst = { fit, note: worst.note ?? note, isLight }
  }
  return worst
}

const sounding = (stretch: Stretch, startTick: number, endTick: number): readonly LineNote[] =>
  notesBetween(stretch.notes, startTick, endTick).filter((note) => !note.isPassing)

/** A chord named for the melody it will carry. */
export function namedFor(stretch: Stretch, text: string, startTick: number, endTick: number): Chord {
  return nameForMelody(
    parsed(text),
    sounding(stretch, startTick, endTick).map(({ name }) => name),
  )
}

/** A dominant on a root, its tensions (natural ones too) read from the melody: E♭9 under F, E♭7♭9♯11 under E and A. */
export function dominantFor(stretch: Stretch, root: string, startTick: number, endTick: number): Chord {
  const degrees = new Set(sounding(stretch, startTick, endTick).map(({ pc }) => mod(pc - pitchClass(root), 12)))
  return parsed(`${root}${dominantSuffix(degrees, true)}`)
}

/** The melody over a chord in words: 'A is ♯9, G is ♭9'. Empty where it rests. */
export function melodyInWords(stretch: Stretch, chord: Chord, startTick: number, endTick: number): string {
  const seen = new Map<number, string>()
  for (const { pc, name } of sounding(stretch, startTick, endTick)) {
    if (!seen.has(pc)) seen.set(pc, `${show(name)} is ${degreeName(qualityOf(chord), pc - pitchClass(chord.root))}`)
  }
  return [...seen.values()].join(', ')
}

/** The same bar's chords compared by what sounds and where. */
export const sameChords = (a: readonly PlacedChord[], b: readonly PlacedChord[]): boolean =>
  a.length === b.length &&
  a.every((placed, index) => {
    const other = b[index] as PlacedChord
    return (
      placed.startTick === other.startTick &&
      placed.durationTicks === other.durationTicks &&
      sameChord(placed.chord, other.chord)
    )
  })
