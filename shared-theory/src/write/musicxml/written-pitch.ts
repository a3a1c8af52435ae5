/** From sounding to written: how a part's notes, chords and key signature move, and in which spelling. */
import type { KeySignature } from '../../contract/index.js'
import type { Instrument } from '../../instruments/index.js'
import { type Interval, fifthsOfNote, must, parseInterval, transposeName } from '../../units/index.js'

export interface WrittenKey {
  readonly fifths: number
  /** Sounding to written; absent where they are the same. */
  readonly up?: Interval
}

/** The interval a part is written above its sound, or undefined. In a concert score only octave transposers stay written where
 *  they are used to read; under an octave clef the clef itself says it. Source: common practice. */
export function writtenInterval(instrument: Instrument, pitch: 'written' | 'concert'): Interval | undefined {
  if (instrument.clef === 'treble-8vb' || instrument.transposeInterval === undefined) return undefined
  if (pitch === 'concert' && instrument.transposeSemitones % 12 !== 0) return undefined
  return must(parseInterval(instrument.transposeInterval), `${instrument.id} has an interval`)
}

/** The written key, and the interval that leads there. Where the plain interval would need more accidentals than its enharmonic
 *  twin, the twin is taken: a trumpet in concert F♯ reads A♭, not G♯. */
export function writtenKey(key: KeySignature, interval: Interval | undefined): WrittenKey {
  if (!interval) return { fifths: key.fifths }
  const fifths = key.fifths + fifthsOfNote(transposeName('C', interval))
  if (fifths > 6) return { fifths: fifths - 12, up: { ...interval, steps: interval.steps + 1 } }
  if (fifths < -6) return { fifths: fifths + 12, up: { ...interval, steps: interval.steps - 1 } }
  return { fifths, up: interval }
}
