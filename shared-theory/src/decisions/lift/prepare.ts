/** The bar before a lift: which chords lead to what arrives, and where in the bar the melody lets them stand. */
import type { ArrangedBar, Chord, KeySignature, PlacedChord } from '../../contract/index.js'
import { chord as parsed, pitchClassesOf, qualityOf } from '../../chords/index.js'
import {
  clashName,
  type Fit,
  fitOf,
  halfTick,
  beatTicks,
  keyPitchClasses,
  lineNotes,
  type LineNote,
  nameForMelody,
  type Neighbours,
  neighboursOf,
  notesBetween,
} from '../../fit/index.js'
import { barTicks, type Interval, isMinorKey, pitchClass, tonicOf } from '../../units/index.js'
import type { Aim, Line, PreparationKind } from './kinds.js'
import { type Manner, melodyInterval, moveOf, movedChord, movedNote } from './move.js'
import { chordsFor, homeChord, type Journey, noPath, tonicChord } from './paths.js'

export interface Preparing extends Journey {
  /** The last bar in the old key; a pickup in it that leads on has moved already. */
  readonly bar: ArrangedBar
  readonly chordBefore?: Chord
  readonly around: Neighbours
}
export interface Prepared {
  readonly chords: readonly PlacedChord[]
  /** The preparing chords alone, without what is held in the first half. */
  readonly leading: readonly Chord[]
  readonly isSqueezed: boolean
  /** A note the melody keeps over them that is only soft. */
  readonly soft?: { readonly note: LineNote; readonly chord: Chord }
}
export type Preparation = Prepared | { readonly refused: { readonly note: LineNote; readonly chord: Chord } | string }

/** The preparation's chords laid into the bar: over all of it where the first half's melody fits the first of them, else squeezed
 *  into the second half or the last beat; refused where even there a note is hard. Of several readings (which chord is held, which
 *  way a line moves if nobody says) the first whose melody is ok, else the first that can stand. */
export function prepare(kind: PreparationKind, preparing: Preparing, line?: Line): Preparation {
  const readings = readingsOf(kind, preparing, line).map((names) => laidIn(names, preparing))
  const standing = readings.filter((reading) => !('refused' in reading))
  const clean = standing.find((reading) => !('soft' in reading) && !('isSqueezed' in reading && reading.isSqueezed))
  return clean ?? standing[0] ?? readings[0] ?? { refused: noPath(kind, preparing) }
}

function readingsOf(kind: PreparationKind, journey: Journey, line?: Line): readonly (readonly string[])[] {
  if (kind === 'common-tone') return chordsFor(kind, journey).map((name) => [name])
  const lines = kind === 'chromatic-line' && line === undefined ? (['falling', 'rising'] as const) : [line]
  return lines.map((each) => chordsFor(kind, journey, each)).filter((names) => names.length > 0)
}

function laidIn(names: readonly string[], preparing: Preparing): Preparation {
  const notes = lineNotes([preparing.bar], preparing.around)
  const { lengthTicks, metre } = preparing.bar
  const half = Math.min(halfTick(metre), lengthTicks)
  const whole = layOut(names, 0, half, lengthTicks, notes)
  const firstHalf = worstOver(whole.pieces[0]?.chord, notesBetween(notes, 0, half))
  if (firstHalf.fit === 'ok' && whole.worst.fit !== 'hard') return { ...asPrepared(whole), isSqueezed: false }
  const start = squeezeTick(names.length, metre, half)
  const squeezed = squeezedFrom(start, names, preparing, notes)
  if (squeezed) return squeezed
  if (whole.worst.fit !== 'hard') return { ...asPrepared(whole), isSqueezed: false }
  const lastBeat = lengthTicks - beatTicks(metre)
  const last = names.length === 1 && lastBeat > start ? squeezedFrom(lastBeat, names, preparing, notes) : undefined
  if (last) return last
  const { note, chord } = whole.worst
  return { refused: note && chord ? { note, chord } : 'The melody leaves no room for it.' }
}

/** The preparation from a tick on, a chord of the old key before it; undefined where a note is hard over either. */
function squeezedFrom(
  start: number,
  names: readonly string[],
  preparing: Preparing,
  notes: readonly LineNote[],
): Prepared | undefined {
  const { lengthTicks } = preparing.bar
  if (start <= 0 || start >= lengthTicks) return undefined
  const squeezed = layOut(names, start, start + (lengthTicks - start) / 2, lengthTicks, notes)
  const before = notesBetween(notes, 0, start)
  const held = { startTick: 0, durationTicks: start, chord: heldChord(preparing, before) }
  if (squeezed.worst.fit === 'hard' || worstOver(held.chord, before).fit === 'hard') return undefined
  const prepared = asPrepared(squeezed)
  return { ...prepared, chords: [held, ...prepared.chords], isSqueezed: true }
}

/** Two chords squeezed into one beat are too many: in three they start a beat earlier. */
function squeezeTick(count: number, metre: ArrangedBar['metre'], half: number): number {
  const beat = beatTicks(metre)
  const rest = barTicks(metre) - half
  return count > 1 && rest < 2 * beat ? Math.max(0, half - beat) : half
}

interface LaidOut {
  readonly pieces: readonly PlacedChord[]
  readonly worst: { readonly fit: Fit; readonly note?: LineNote; readonly chord?: Chord }
}

function layOut(
  names: readonly string[],
  start: number,
  second: number,
  end: number,
  notes: readonly LineNote[],
): LaidOut {
  const starts = names.map((_, index) => (index === 0 ? start : second))
  const pieces = names.map((name, index): PlacedChord => {
    const startTick = starts[index] as number
    const endTick = starts[index + 1] ?? end
    const over = notesBetween(notes, startTick, endTick).filter(({ isPassing }) => !isPassing)
    const chord = nameForMelody(
      parsed(name),
      over.map((note) => note.name),
    )
    return { startTick, durationTicks: endTick - startTick, chord }
  })
  let worst: LaidOut['worst'] = { fit: 'ok' }
  for (const { chord, startTick, durationTicks } of pieces) {
    const here = worstOver(chord, notesBetween(notes, startTick, startTick + durationTicks))
    if (here.fit === 'hard' || (here.fit === 'soft' && worst.fit === 'ok')) worst = { ...here, chord }
  }
  return { pieces, worst }
}

function worstOver(chord: Chord | undefined, notes: readonly LineNote[]): { fit: Fit; note?: LineNote } {
  let worst: { fit: Fit; note?: LineNote } = { fit: 'ok' }
  for (const note of notes) {
    if (!chord || note.isPassing) continue
    const fit = fitOf(chord, note.name)
    if (fit === 'hard') return { fit, note }
    if (fit === 'soft' && worst.fit === 'ok') worst = { fit, note }
  }
  return worst
}

function asPrepared({ pieces, worst }: LaidOut): Omit<Prepared, 'isSqueezed'> {
  return {
    chords: pieces,
    leading: pieces.map(({ chord }) => chord),
    ...(worst.fit === 'soft' && worst.note && worst.chord ? { soft: { note: worst.note, chord: worst.chord } } : {}),
  }
}

/** What stands in the first half when the preparation takes the second: the bar's own chord if it belongs to the old key; else
 *  (a ii–V to an arrival that no longer comes) the chord before, or the old tonic. */
function heldChord({ bar, chordBefore, oldKey }: Preparing, notes: readonly LineNote[]): Chord {
  const own = bar.chords[0]?.chord
  const tonic = homeChord(oldKey)
  const homePcs = homePitchClasses(oldKey)
  const isAtHome = (chord: Chord): boolean => pitchClassesOf(chord).every((pc) => homePcs.has(pc))
  const candidates = [own, chordBefore].filter((chord) => chord !== undefined && chord.root !== '' && isAtHome(chord))
  const choices = [...candidates, tonic, ...(own ? [own] : [])].filter((chord) => chord !== undefined)
  return choices.find((chord) => worstOver(chord, notes).fit === 'ok') ?? own ?? tonic
}

/** A refused or soft note in words: 'F over G♭7 is its major seventh'. */
export const degreeOver = (note: LineNote, chord: Chord): string => clashName(note.pc - pitchClass(chord.root))

/** What a preparation has to reckon with before the lifted bar `index`. Undefined where there is no bar before it. */
export function preparingAt(
  bars: readonly ArrangedBar[],
  index: number,
  semitones: number,
  aim: Aim,
  { prefer, octave }: Manner = {},
): Preparing | undefined {
  const bar = bars[index - 1]
  const first = bars[index]
  if (!bar || !first) return undefined
  const move = moveOf(first.key, semitones, prefer)
  const old = first.chords[0]?.chord
  const arriving = old && old.root !== '' ? movedChord(old, move) : tonicChord(move.key)
  const chordBefore = bars[index - 2]?.chords.at(-1)?.chord
  return {
    bar: withLeadIn(bar, first, melodyInterval(move, octave)),
    around: neighboursOf(bars, index - 1),
    oldKey: bar.key,
    newKey: move.key,
    arriving,
    goal: aim === 'key' ? tonicChord(move.key) : arriving,
    stays: staysOf(bar, chordBefore),
    ...(chordBefore ? { chordBefore } : {}),
  }
}

/** Chords of the old key that could stay through the bar: the one chord it has if it rests there, else the tonic as the tune last had
 *  it. A dominant does not rest, unless it is the tonic of a blues. */
function staysOf({ chords, key, melody }: ArrangedBar, chordBefore: Chord | undefined): readonly Chord[] {
  const own = chords.length === 1 ? chords[0]?.chord : undefined
  const tonic = pitchClass(tonicOf(key.key))
  const homePcs = homePitchClasses(key)
  const isHome = (chord: Chord): boolean => pitchClass(chord.root) === tonic
  // Held on its own a ∆ would rub against its root in the melody.
  const rubs = ({ kind, root }: Chord): boolean =>
    kind === 'major-seventh' && melody.some(({ midi }) => midi % 12 === pitchClass(root))
  const rests = (chord: Chord): boolean =>
    isHome(chord) || (RESTING.has(qualityOf(chord)) && pitchClassesOf(chord).every((pc) => homePcs.has(pc)))
  const sounding = (chord: Chord | undefined): chord is Chord =>
    chord !== undefined && chord.root !== '' && !chord.over && !rubs(chord)
  if (sounding(own) && rests(own)) return [own]
  const homes = [chords[0]?.chord, chordBefore].filter(sounding).filter(isHome)
  return homes.length > 0 ? homes : [homeChord(key)]
}

/** The notes of a key, in minor with the raised sixth and seventh: Am6 and E7 are at home in A minor. */
function homePitchClasses(key: KeySignature): ReadonlySet<number> {
  const tonic = pitchClass(tonicOf(key.key))
  return new Set([...keyPitchClasses(key), ...(isMinorKey(key.key) ? [(tonic + 9) % 12, (tonic + 11) % 12] : [])])
}

const RESTING: ReadonlySet<string> = new Set(['major', 'minor', 'minor-sixth'])

/** A pass's pickup, taking the end of the bar before, belongs to what it leads into and moves with it. */
function withLeadIn(bar: ArrangedBar, first: ArrangedBar, interval: Interval): ArrangedBar {
  const pickup = (first.provenance.tuneBar ?? 0) - 1
  if (bar.provenance.tuneBar === pickup || !bar.melody.some(({ source }) => source?.bar === pickup)) return bar
  return { ...bar, melody: bar.melody.map((note) => (note.source?.bar === pickup ? movedNote(note, interval) : note)) }
}
