/** What a tune is like to play: the few figures that decide which grooves suit it. */
import type { MelodyNote, Metre, Tune, TuneBar } from '../../contract/index.js'
import { TICKS_PER_QUARTER } from '../../contract/index.js'
import { type ChordQuality, qualityOf } from '../../chords/index.js'
import { barTicks, isMinorKey, mod, pitchClass, scaleOf } from '../../units/index.js'

/** Shares are 0…1 of what they name. */
export interface TuneFacts {
  /** Notes struck in a bar, in bars of one or two beats in two of them. */
  readonly attacksABar: number
  /** Whether figures 'a bar' are those of two bars. */
  readonly isInPairs: boolean
  /** Whether the beat divides in three. */
  readonly isCompound: boolean
  /** Of the melody's notes, those struck off the beat after silence on it, or held over the next one. */
  readonly syncopated: number
  /** Of the melody's time, notes of two beats or more. */
  readonly held: number
  /** Of the melody's notes, those shorter than an eighth. */
  readonly short: number
  /** Of the melody's notes, those in triplets. */
  readonly triplets: number
  /** As `attacksABar`. */
  readonly chordsABar: number
  /** Of the bars, those with one chord. */
  readonly oneChord: number
  /** Of the chords, ∆, m7 and their kin; dominants; plain triads and chords of the key alone. */
  readonly softSevenths: number
  readonly dominants: number
  readonly diatonic: number
  /** Of the bars, those whose rhythm is that of a bar or two before. */
  readonly riffs: number
  /** Of the bars, those whose chords are those of two or four bars before. */
  readonly loops: number
  /** Of the bar lines, those a melody note is tied over. */
  readonly ties: number
  readonly isMinor: boolean
  readonly isTwelveBars: boolean
  readonly hasEvenSections: boolean
  /** Length of the pickup in beats; 0 where there is none. */
  readonly pickupBeats: number
  /** Semitones from the lowest to the highest melody note. */
  readonly range: number
}

const SOFT: ReadonlySet<ChordQuality> = new Set(['major', 'minor', 'minor-sixth', 'half-diminished'])

export function factsOf(tune: Tune): TuneFacts {
  const bars = tune.pickupTicks > 0 ? tune.bars.slice(1) : tune.bars
  const count = Math.max(1, bars.length)
  const notes = bars.flatMap((bar) => bar.melody.map((note) => ({ bar, note })))
  const struck = notes.filter(({ bar, note }, index) => {
    const before = notes[index - 1]
    return !(before?.note.tiedToNext && before.note.midi === note.midi && (note.startTick === 0 || before.bar === bar))
  })
  const sounding = notes.reduce((sum, { note }) => sum + note.durationTicks, 0)
  const chords = bars.flatMap((bar) => bar.chords.map(({ chord }) => chord)).filter(({ root }) => root !== '')
  const beat = beatTicks(tune.metre)
  const isInPairs = barTicks(tune.metre) <= 2 * beat
  const span = isInPairs ? 2 : 1
  const share = (part: number, whole: number) => (whole > 0 ? part / whole : 0)
  const scale = new Set(scaleOf(tune.key.key).map(pitchClass))
  const midis = notes.map(({ note }) => note.midi)
  return {
    attacksABar: (span * struck.length) / count,
    isInPairs,
    isCompound: tune.metre.beatType === 8 && tune.metre.beats % 3 === 0,
    syncopated: share(struck.filter(({ bar, note }) => isSyncopated(bar, note, beat)).length, struck.length),
    held: share(
      notes
        .filter(({ note }) => note.durationTicks >= 2 * TICKS_PER_QUARTER || note.tiedToNext === true)
        .reduce((sum, { note }) => sum + note.durationTicks, 0),
      sounding,
    ),
    short: share(notes.filter(({ note }) => note.durationTicks < TICKS_PER_QUARTER / 2).length, notes.length),
    triplets: share(notes.filter(({ note }) => note.tuplet !== undefined).length, notes.length),
    chordsABar: (span * bars.reduce((sum, bar) => sum + Math.max(1, bar.chords.length), 0)) / count,
    oneChord: share(bars.filter((bar) => bar.chords.length <= 1).length, bars.length),
    softSevenths: share(
      chords.filter((chord) => SOFT.has(qualityOf(chord)) && chord.notes.length >= 4).length,
      chords.length,
    ),
    dominants: share(chords.filter((chord) => qualityOf(chord) === 'dominant').length, chords.length),
    diatonic: share(
      chords.filter((chord) => chord.notes.every((name) => scale.has(pitchClass(name)))).length,
      chords.length,
    ),
    riffs: share(
      bars.filter((bar, index) => isSame(bar, bars[index - 1], rhythmOf) || isSame(bar, bars[index - 2], rhythmOf))
        .length,
      bars.length,
    ),
    loops: share(
      bars.filter((bar, index) => isSame(bar, bars[index - 2], harmonyOf) || isSame(bar, bars[index - 4], harmonyOf))
        .length,
      bars.length,
    ),
    ties: share(bars.filter((bar) => bar.melody.at(-1)?.tiedToNext === true).length, bars.length),
    isMinor: isMinorKey(tune.key.key),
    isTwelveBars: tune.sections.some(({ bars: length }) => length === 12) || bars.length === 12,
    hasEvenSections: tune.sections.every(({ bars: length }) => length % 2 === 0),
    pickupBeats: tune.pickupTicks / TICKS_PER_QUARTER,
    range: midis.length > 0 ? Math.max(...midis) - Math.min(...midis) : 0,
  }
}

/** A dotted quarter in 6/8 and its kin, else the quarter (the half in 2/2). */
const beatTicks = ({ beats, beatType }: Metre): number =>
  beatType === 8 && beats % 3 === 0
    ? (3 * TICKS_PER_QUARTER) / 2
    : beatType === 2
      ? 2 * TICKS_PER_QUARTER
      : TICKS_PER_QUARTER

function isSyncopated(bar: TuneBar, note: MelodyNote, beat: number): boolean {
  const offset = mod(note.startTick, beat)
  if (offset === 0) return false
  const beatStart = note.startTick - offset
  const isOnBeat = bar.melody.some(
    ({ startTick, durationTicks }) => startTick <= beatStart && startTick + durationTicks > beatStart,
  )
  return !isOnBeat || note.startTick + note.durationTicks > beatStart + beat
}

const rhythmOf = (bar: TuneBar): string => bar.melody.map((note) => `${note.startTick}:${note.durationTicks}`).join()
const harmonyOf = (bar: TuneBar): string =>
  bar.chords.map(({ startTick, chord }) => `${startTick}:${chord.symbol}`).join()

function isSame(bar: TuneBar, before: TuneBar | undefined, of: (bar: TuneBar) => string): boolean {
  const own = of(bar)
  return before !== undefined && own !== '' && of(before) === own
}
