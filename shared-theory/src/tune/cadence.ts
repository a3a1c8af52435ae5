/** How a section ends: full close, half close, turnaround, or left open. */
import { qualityOf } from '../chords/index.js'
import type { Chord, FormReading, KeyName, PlacedChord, Section, Tune } from '../contract/index.js'
import { isMinorKey, keySignature, mod, noteOfFifths, pitchClass, tonicOf } from '../units/index.js'

export interface CadenceReading {
  readonly cadence: FormReading['sections'][number]['cadence']
  /** In words: 'full close on F6 in F major'. */
  readonly evidence: string
}

/** The reading of one section; `chords` are the sounding chords of every tune bar, `next` the chord the following music begins with. */
export function cadenceOf(
  tune: Tune,
  section: Section,
  chords: readonly (readonly PlacedChord[])[],
  next: Chord | undefined,
): CadenceReading {
  const end = section.startBar + section.bars
  const closing = chords.slice(Math.max(section.startBar, end - 2), end).flat()
  const last = closing.at(-1)?.chord
  // A proposed chord was itself made from the melody: it is no evidence.
  if (!last || last.root === '' || closing.at(-1)?.inferred) return melodicCadence(tune, end)
  const home = tune.bars[end - 1]?.key.key ?? tune.key.key
  const before = closing.filter((one) => one.chord.symbol !== last.symbol).at(-1)?.chord
  if (isTonic(last, home, tune, chords)) return { cadence: 'full', evidence: `full close on ${last.symbol} in ${home}` }
  const hasArrived = closing.some((one) => isTonic(one.chord, home, tune, chords))
  if (hasArrived && leadsTo(last, next, home))
    return {
      cadence: 'turnaround',
      evidence: `reaches the tonic, then ${last.symbol} leads back${next ? ` to ${next.symbol}` : ''}`,
    }
  const elsewhere = before && closeElsewhere(before, last, home)
  if (elsewhere) return { cadence: 'full', evidence: `full close on ${last.symbol} in ${elsewhere}` }
  if (isDominantOf(last, home))
    return { cadence: 'half', evidence: `half close on ${last.symbol}, the dominant of ${home}` }
  return { cadence: 'open', evidence: `ends open on ${last.symbol}` }
}

/** Tonic triads, sixths and sevenths; in a blues the seventh chord on I too. */
function isTonic(chord: Chord, home: KeyName, tune: Tune, chords: readonly (readonly PlacedChord[])[]): boolean {
  if (chord.root === '' || pitchClass(chord.root) !== pitchClass(tonicOf(home))) return false
  const quality = qualityOf(chord)
  if (quality === 'major' || quality === 'minor' || quality === 'minor-sixth' || quality === 'open') return true
  const first = chords[tune.pickupTicks > 0 ? 1 : 0]?.[0]?.chord
  return quality === 'dominant' && first !== undefined && first.root === chord.root && qualityOf(first) === 'dominant'
}

function isDominantOf(chord: Chord, home: KeyName): boolean {
  const quality = qualityOf(chord)
  const isFifth = mod(pitchClass(chord.root) - pitchClass(tonicOf(home)), 12) === 7
  return isFifth && (quality === 'dominant' || quality === 'sus' || quality === 'major' || quality === 'augmented')
}

/** Down a fifth or a half step to what follows, or the key's own dominant. */
function leadsTo(last: Chord, next: Chord | undefined, home: KeyName): boolean {
  if (isDominantOf(last, home)) return true
  if (!next || next.root === '') return false
  const down = mod(pitchClass(last.root) - pitchClass(next.root), 12)
  const quality = qualityOf(last)
  return (
    (down === 7 || down === 1) &&
    (quality === 'dominant' || quality === 'sus' || quality === 'augmented' || quality === 'diminished')
  )
}

/** A close in the relative or a neighbouring key: the root falls a fifth onto a chord at rest. */
function closeElsewhere(before: Chord, last: Chord, home: KeyName): KeyName | undefined {
  const quality = qualityOf(last)
  if (before.root === '' || (quality !== 'major' && quality !== 'minor' && quality !== 'minor-sixth')) return undefined
  if (mod(pitchClass(before.root) - pitchClass(last.root), 12) !== 7) return undefined
  const mode = quality === 'major' ? 'major' : 'minor'
  const relative = relativeOf(home)
  if (`${last.root} ${mode}` === relative) return relative
  const steps = mod(pitchClass(last.root) - pitchClass(tonicOf(home)), 12)
  return qualityOf(before) === 'dominant' && steps === 7 ? `${last.root} ${mode}` : undefined
}

function relativeOf(home: KeyName): KeyName {
  const signature = keySignature(tonicOf(home), isMinorKey(home) ? 'minor' : 'major')
  const fifths = signature?.fifths ?? 0
  return isMinorKey(home) ? `${noteOfFifths(fifths)} major` : `${noteOfFifths(fifths + 3)} minor`
}

/** Without chords the last note speaks: tonic closes, 5, 7 and 2 wait. */
function melodicCadence(tune: Tune, end: number): CadenceReading {
  const bar = tune.bars[end - 1]
  const note = bar?.melody.at(-1) ?? tune.bars[end - 2]?.melody.at(-1)
  const home = bar?.key.key ?? tune.key.key
  if (!note) return { cadence: 'open', evidence: 'no melody and no chord at its end' }
  const above = mod(note.midi - pitchClass(tonicOf(home)), 12)
  if (above === 0) return { cadence: 'full', evidence: `the melody closes on ${note.name}, the tonic of ${home}` }
  if (above === 7 || above === 11 || above === 2)
    return { cadence: 'half', evidence: `the melody stops on ${note.name}, a note of the dominant of ${home}` }
  return { cadence: 'open', evidence: `the melody stops on ${note.name}` }
}
