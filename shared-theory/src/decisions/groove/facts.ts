/** What a tune is like to play: the few figures that decide which grooves suit it. */
import type { Tune, TuneBar } from '../../contract/index.js'
import { TICKS_PER_QUARTER } from '../../contract/index.js'
import { type ChordQuality, qualityOf } from '../../chords/index.js'
import { isMinorKey, mod, pitchClass, scaleOf } from '../../units/index.js'

/** Shares are 0…1 of what they name. */
export interface TuneFacts {
  readonly attacksABar: number
  /** Of the melody's notes, those struck off the beat. */
  readonly offBeat: number
  /** Of the melody's time, notes of two beats or more. */
  readonly held: number
  /** Of the melody's notes, those shorter than an eighth. */
  readonly short: number
  /** Of the melody's notes, those in triplets. */
  readonly triplets: number
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
  const share = (part: number, whole: number) => (whole > 0 ? part / whole : 0)
  const scale = new Set(scaleOf(tune.key.key).map(pitchClass))
  const midis = notes.map(({ note }) => note.midi)
  return {
    attacksABar: struck.length / count,
    offBeat: share(struck.filter(({ note }) => mod(note.startTick, TICKS_PER_QUARTER) !== 0).length, struck.length),
    held: share(
      notes
        .filter(({ note }) => note.durationTicks >= 2 * TICKS_PER_QUARTER || note.tiedToNext === true)
        .reduce((sum, { note }) => sum + note.durationTicks, 0),
      sounding,
    ),
    short: share(notes.filter(({ note }) => note.durationTicks < TICKS_PER_QUARTER / 2).length, notes.length),
    triplets: share(notes.filter(({ note }) => note.tuplet !== undefined).length, notes.length),
    chordsABar: bars.reduce((sum, bar) => sum + Math.max(1, bar.chords.length), 0) / count,
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

const rhythmOf = (bar: TuneBar): string => bar.melody.map((note) => `${note.startTick}:${note.durationTicks}`).join()
const harmonyOf = (bar: TuneBar): string =>
  bar.chords.map(({ startTick, chord }) => `${startTick}:${chord.symbol}`).join()

function isSame(bar: TuneBar, before: TuneBar | undefined, of: (bar: TuneBar) => string): boolean {
  const own = of(bar)
  return before !== undefined && own !== '' && of(before) === own
}
