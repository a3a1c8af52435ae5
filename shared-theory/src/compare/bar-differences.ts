/** What is particular to a bar among all that changed: its chords, its melody, what stands above it. */
import { sameChord, transposeChord } from '../chords/index.js'
import type { ArrangedBar, ArrangedNote, Chord, KeySignature } from '../contract/index.js'
import { formatMetre, intervalBetween, mod, pitchClass, tonicOf } from '../units/index.js'
import type { Difference } from './shape.js'

/** What the bars after have that their counterparts have not, once both stand in the same key. */
export function differencesOf(before: readonly ArrangedBar[], after: readonly ArrangedBar[]): readonly Difference[] {
  const [old, now] = [before[0], after[0]]
  if (!old || !now) return []
  const keepsTime = formatMetre(old.metre) === formatMetre(now.metre) && before.length === after.length
  const by = semitonesBetween(old.key, now.key)
  return [
    ...(before.length !== after.length && formatMetre(old.metre) === formatMetre(now.metre) && old.feel === now.feel
      ? [{ kind: 'bars' as const, before: before.length, after: after.length }]
      : []),
    ...chordDifferences(chordsOf(before, old.key, now.key), chordsOf(after), keepsTime),
    ...melodyDifferences(notesOf(before), notesOf(after), by, keepsTime),
    ...signDifferences(before, after),
  ]
}

/** Semitones from one key's tonic to another's, the short way, −5…6. */
export function semitonesBetween(from: KeySignature, to: KeySignature): number {
  const up = mod(pitchClass(tonicOf(to.key)) - pitchClass(tonicOf(from.key)), 12)
  return up > 6 ? up - 12 : up
}

interface Sounding {
  readonly tick: number
  readonly chord: Chord
  readonly symbol: string
}

/** Chord changes of a few bars, moved to the key `to` where they stand in another; the symbols are those that stand in the bars. */
function chordsOf(bars: readonly ArrangedBar[], from?: KeySignature, to?: KeySignature): readonly Sounding[] {
  const interval = from && to && from.key !== to.key ? intervalBetween(tonicOf(from.key), tonicOf(to.key)) : undefined
  const found: Sounding[] = []
  let start = 0
  for (const bar of bars) {
    for (const { startTick, chord } of bar.chords) {
      const last = found.at(-1)
      const moved = interval === undefined ? chord : transposeChord(chord, interval)
      if (last && last.chord.symbol === moved.symbol) continue
      found.push({ tick: start + startTick, chord: moved, symbol: chord.symbol })
    }
    start += bar.lengthTicks
  }
  return found
}

function chordDifferences(
  before: readonly Sounding[],
  after: readonly Sounding[],
  keepsTime: boolean,
): readonly Difference[] {
  const isAlike = (old: Sounding, now: Sounding | undefined) =>
    now !== undefined && kindOf(old.chord) === kindOf(now.chord) && sameChord(old.chord, now.chord)
  const standsAlike = (old: Sounding, index: number) => isAlike(old, after[index])
  if (before.length === after.length && before.every(standsAlike)) {
    if (!keepsTime) return []
    return before.flatMap((old, index): readonly Difference[] => {
      const now = after[index] as Sounding
      return old.tick === now.tick
        ? []
        : [{ kind: 'chord-time', symbol: now.symbol, before: old.tick, after: now.tick }]
    })
  }
  const keepsPlaces = before.length === after.length && before.every(({ tick }, index) => tick === after[index]?.tick)
  const changed = (list: readonly Sounding[]) =>
    list
      .filter((_, index) => !keepsPlaces || !standsAlike(before[index] as Sounding, index))
      .map(({ symbol }) => symbol)
  return [{ kind: 'chords', before: changed(before), after: changed(after) }]
}

/** N.C. and repeat signs have no notes to compare. */
const kindOf = (chord: Chord): string => (chord.root === '' ? chord.symbol : 'chord')

interface Note {
  readonly tick: number
  readonly ticks: number
  readonly midi: number
  readonly name: string
}

/** Melody notes as they sound, tied ones as one. */
function notesOf(bars: readonly ArrangedBar[]): readonly Note[] {
  const notes: Note[] = []
  let start = 0
  let tied: ArrangedNote | undefined
  for (const bar of bars) {
    for (const note of bar.melody) {
      const last = notes.at(-1)
      const tick = start + note.startTick
      if (tied && last && tied.midi === note.midi && last.tick + last.ticks === tick)
        notes[notes.length - 1] = { ...last, ticks: last.ticks + note.durationTicks }
      else notes.push({ tick, ticks: note.durationTicks, midi: note.midi, name: note.name })
      tied = note.tiedToNext ? note : undefined
    }
    start += bar.lengthTicks
  }
  return notes
}

/** Most changed notes that are named one by one. */
const NAMED_NOTES = 2

function melodyDifferences(
  before: readonly Note[],
  after: readonly Note[],
  by: number,
  keepsTime: boolean,
): readonly Difference[] {
  if (before.length === 0 || after.length === 0) {
    if (before.length === after.length) return []
    return [{ kind: before.length === 0 ? 'melody-added' : 'melody-gone' }]
  }
  const shifts = before.map((note, index) => (after[index]?.midi ?? Number.NaN) - note.midi)
  const [shift = 0] = shifts
  const isWhole = before.length === after.length && shifts.every((one) => one === shift)
  const hasRhythm =
    keepsTime &&
    before.length === after.length &&
    before.some(({ tick, ticks }, index) => tick !== after[index]?.tick || ticks !== after[index]?.ticks)
  const rhythm: readonly Difference[] = hasRhythm ? [{ kind: 'melody-rhythm' }] : []
  // The octave a whole arrangement moves by is told with the key.
  if (isWhole)
    return mod(shift - by, 12) === 0 && (by !== 0 || shift === 0)
      ? rhythm
      : [{ kind: 'melody-moved', semitones: shift }, ...rhythm]
  if (before.length !== after.length) return [{ kind: 'melody-other' }]
  const changed = before.flatMap((note, index) => (shifts[index] === by ? [] : [[note, after[index] as Note] as const]))
  if (by !== 0 || changed.length > NAMED_NOTES) return [{ kind: 'melody-other' }]
  return [
    ...changed.map(([old, now]): Difference => ({
      kind: 'melody-note',
      before: old.name,
      after: now.name,
      tick: now.tick,
    })),
    ...rhythm,
  ]
}

const markOf = (bars: readonly ArrangedBar[]): string =>
  bars.flatMap(({ mark }) => (mark === undefined ? [] : [mark])).join(', ')
const isHeld = (bars: readonly ArrangedBar[]): boolean => bars.some(({ fermataTick }) => fermataTick !== undefined)
const slows = (bars: readonly ArrangedBar[]): boolean =>
  bars.some(({ tempoBpm, tempoEndBpm = tempoBpm }) => tempoEndBpm < tempoBpm)

type Sign = 'fermata-added' | 'fermata-gone' | 'slows-added' | 'slows-gone'
const turned = (was: boolean, is: boolean, added: Sign, gone: Sign): readonly Difference[] =>
  was === is ? [] : [{ kind: is ? added : gone }]

function signDifferences(before: readonly ArrangedBar[], after: readonly ArrangedBar[]): readonly Difference[] {
  const [oldMark, newMark] = [markOf(before), markOf(after)]
  return [
    ...(oldMark === newMark
      ? []
      : [
          {
            kind: 'mark' as const,
            ...(oldMark ? { before: oldMark } : {}),
            ...(newMark ? { after: newMark } : {}),
          },
        ]),
    ...turned(isHeld(before), isHeld(after), 'fermata-added', 'fermata-gone'),
    ...turned(slows(before), slows(after), 'slows-added', 'slows-gone'),
  ]
}
