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
import { barTicks, isMinorKey, mod, pitchClass, scaleOf, tonicOf, transposeName } from '../../units/index.js'
import { type Move, moveOf, movedChord, movedNote, plainRoot } from './move.js'

export const PREPARATIONS = ['direct', 'sus-dominant', 'dominant', 'two-five', 'tritone', 'pivot'] as const
export type PreparationKind = (typeof PREPARATIONS)[number]

export interface Preparing {
  /** The last bar in the old key; a pickup in it that leads on has moved already. */
  readonly bar: ArrangedBar
  readonly chordBefore?: Chord
  readonly around: Neighbours
  readonly oldKey: KeySignature
  readonly newKey: KeySignature
  /** What the preparation aims at: the chord that arrives, or the new tonic. */
  readonly goal: Chord
  readonly arriving: Chord
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
 *  into the second half; refused where even there a note is hard. */
export function prepare(kind: PreparationKind, preparing: Preparing): Preparation {
  const names = chordsFor(kind, preparing)
  if (names.length === 0) return { refused: noPivot(preparing) }
  const notes = lineNotes([preparing.bar], preparing.around)
  const { lengthTicks, metre } = preparing.bar
  const half = Math.min(halfTick(metre), lengthTicks)
  const whole = layOut(names, 0, half, lengthTicks, notes)
  const firstHalf = worstOver(whole.pieces[0]?.chord, notesBetween(notes, 0, half))
  if (firstHalf.fit === 'ok' && whole.worst.fit !== 'hard') return { ...asPrepared(whole), isSqueezed: false }
  const start = squeezeTick(names.length, metre, half)
  const squeezed = layOut(names, start, start + (lengthTicks - start) / 2, lengthTicks, notes)
  if (squeezed.worst.fit !== 'hard' && start > 0) {
    const held = { startTick: 0, durationTicks: start, chord: heldChord(preparing, notesBetween(notes, 0, start)) }
    const isHeldHard = worstOver(held.chord, notesBetween(notes, 0, start)).fit === 'hard'
    if (!isHeldHard) {
      const prepared = asPrepared(squeezed)
      return { ...prepared, chords: [held, ...prepared.chords], isSqueezed: true }
    }
  }
  if (whole.worst.fit !== 'hard') return { ...asPrepared(whole), isSqueezed: false }
  const { note, chord } = whole.worst
  return { refused: note && chord ? { note, chord } : 'The melody leaves no room for it.' }
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

/** Symbols of a preparation, by what it aims at. Empty where the keys have no pivot. */
function chordsFor(kind: PreparationKind, preparing: Preparing): readonly string[] {
  const { goal, newKey } = preparing
  const isMinor = ['minor', 'minor-sixth', 'half-diminished'].includes(qualityOf(goal))
  const five = plainRoot(transposeName(goal.root, '5P'), newKey)
  const dominant = `${five}${isMinor ? '7b9' : '7'}`
  if (kind === 'sus-dominant') return [`${five}7sus4`]
  if (kind === 'dominant') return [dominant]
  if (kind === 'two-five')
    return [`${plainRoot(transposeName(goal.root, '2M'), newKey)}${isMinor ? 'm7b5' : 'm7'}`, dominant]
  if (kind === 'tritone') return [`${plainRoot(transposeName(goal.root, '2m'), newKey)}7`]
  const pivot = kind === 'pivot' ? pivotFor(preparing, five) : undefined
  return pivot === undefined ? [] : [pivot, dominant]
}

const noPivot = ({ oldKey, newKey, arriving }: Preparing): string =>
  commonTriads(oldKey, newKey).length === 0
    ? `${oldKey.key} and ${newKey.key} have no triad in common, so no chord can stand in both.`
    : `The only chord ${oldKey.key} and ${newKey.key} share is the one that arrives, ${arriving.symbol}.`

/** The common triad to turn on, as a seventh or sixth chord: a fifth above the dominant if there is one, never the chord that arrives. */
function pivotFor({ oldKey, newKey, arriving }: Preparing, five: string): string | undefined {
  const common = commonTriads(oldKey, newKey).filter(({ root }) => pitchClass(root) !== pitchClass(arriving.root))
  const isFifthAbove = ({ root }: Triad): boolean => mod(pitchClass(five) - pitchClass(root), 12) === 5
  const best = common.find(isFifthAbove) ?? common.find(({ quality }) => quality === 'minor') ?? common[0]
  return best && `${best.root}${best.quality === 'minor' ? 'm7' : '6'}`
}

interface Triad {
  readonly root: string
  readonly quality: 'major' | 'minor'
}

/** Major and minor triads that belong to both keys. Between major keys: 4 a fifth apart, 2 two fifths apart, 0 beyond. */
export function commonTriads(a: KeySignature, b: KeySignature): readonly Triad[] {
  const other = triadsOf(b)
  return triadsOf(a).filter((triad) =>
    other.some(({ root, quality }) => quality === triad.quality && pitchClass(root) === pitchClass(triad.root)),
  )
}

function triadsOf({ key }: KeySignature): readonly Triad[] {
  const scale = scaleOf(key)
  return scale.flatMap((root, index): readonly Triad[] => {
    const pc = pitchClass(root)
    const third = mod(pitchClass(scale[(index + 2) % 7] as string) - pc, 12)
    const fifth = mod(pitchClass(scale[(index + 4) % 7] as string) - pc, 12)
    if (fifth !== 7) return []
    return [{ root, quality: third === 4 ? 'major' : 'minor' }]
  })
}

/** What stands in the first half when the preparation takes the second: the bar's own chord if it belongs to the old key; else
 *  (a ii–V to an arrival that no longer comes) the chord before, or the old tonic. */
function heldChord({ bar, chordBefore, oldKey }: Preparing, notes: readonly LineNote[]): Chord {
  const own = bar.chords[0]?.chord
  const tonic = parsed(`${tonicOf(oldKey.key)}${isMinorKey(oldKey.key) ? 'm' : '6'}`)
  const keyPcs = keyPitchClasses(oldKey)
  const isAtHome = (chord: Chord): boolean => pitchClassesOf(chord).every((pc) => keyPcs.has(pc))
  const candidates = [own, chordBefore].filter((chord) => chord !== undefined && chord.root !== '' && isAtHome(chord))
  const choices = [...candidates, tonic, ...(own ? [own] : [])].filter((chord) => chord !== undefined)
  return choices.find((chord) => worstOver(chord, notes).fit === 'ok') ?? own ?? tonic
}

/** A refused or soft note in words: 'F over G♭7 is its major seventh'. */
export const degreeOver = (note: LineNote, chord: Chord): string => clashName(note.pc - pitchClass(chord.root))

/** The new tonic as a chord, for preparations that aim at the key. */
function tonicChord(key: KeySignature): Chord {
  return parsed(`${tonicOf(key.key)}${isMinorKey(key.key) ? 'm7' : 'maj7'}`)
}

/** What a preparation has to reckon with before the lifted bar `index`. Undefined where there is no bar before it. */
export function preparingAt(
  bars: readonly ArrangedBar[],
  index: number,
  semitones: number,
  aim: 'arrival' | 'key',
): Preparing | undefined {
  const bar = bars[index - 1]
  const first = bars[index]
  if (!bar || !first) return undefined
  const move = moveOf(first.key, semitones)
  const old = first.chords[0]?.chord
  const arriving = old && old.root !== '' ? movedChord(old, move.interval) : tonicChord(move.key)
  const chordBefore = bars[index - 2]?.chords.at(-1)?.chord
  return {
    bar: withLeadIn(bar, first, move),
    around: neighboursOf(bars, index - 1),
    oldKey: bar.key,
    newKey: move.key,
    arriving,
    goal: aim === 'key' ? tonicChord(move.key) : arriving,
    ...(chordBefore ? { chordBefore } : {}),
  }
}

/** A pass's pickup, taking the end of the bar before, belongs to what it leads into and moves with it. */
function withLeadIn(bar: ArrangedBar, first: ArrangedBar, { interval }: Move): ArrangedBar {
  const pickup = (first.provenance.tuneBar ?? 0) - 1
  if (bar.provenance.tuneBar === pickup || !bar.melody.some(({ source }) => source?.bar === pickup)) return bar
  return { ...bar, melody: bar.melody.map((note) => (note.source?.bar === pickup ? movedNote(note, interval) : note)) }
}
