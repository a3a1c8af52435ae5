/** How often the key is found: labelled tunes, turned to all twelve keys, heard in four ways. For the tests and the bench alike. */
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type KeyName,
  type Tune,
  pitchClass,
  rankKeys,
  readKey,
  readTune,
  tonicOf,
  transposeChord,
  transposePitch,
} from '@chartloft/shared-theory'
import { madeTune } from '../fixtures/made-tunes.js'
import { MORE_TUNES } from '../fixtures/more-tunes.js'
import { TRADITIONAL_TUNES } from '../fixtures/traditional-tunes.js'

/** A tune with the key it says it is in; a church mode counts as the major or minor on its tonic. */
export interface Labelled {
  readonly tune: Tune
  readonly key: KeyName
}
/** What is given to the reader of the key. */
export const HEARINGS = {
  'melody and chords': (tune: Tune) => keysOf(readKey(tune, { bySignature: false }).ranking),
  'melody, chords and signature': (tune: Tune) => keysOf(readKey(tune).ranking),
  'melody and chord notes, as notes only': (tune: Tune) =>
    keysOf(rankKeys([...melodyNotes(tune), ...chordNotes(tune)])),
  'melody alone': (tune: Tune) => keysOf(rankKeys(melodyNotes(tune))),
} as const
export type Hearing = keyof typeof HEARINGS

export interface KeyFigures {
  readonly tunes: number
  /** Per cent whose first key is the label, and whose first or second is. */
  readonly right: number
  readonly amongTwo: number
  /** Title, label and what was read, for those that were not. */
  readonly missed: readonly string[]
}

const UP = ['1P', '2m', '2M', '3m', '3M', '4P', '4A', '5P', '6m', '6M', '7m', '7M'] as const

/** Our own tunes: the demo's, three more, and `made` tunes nobody wrote. */
export function ownTunes(made: number): readonly Labelled[] {
  const read = [...DEMO_TUNES.map(({ abc }) => abc), ...MORE_TUNES].flatMap((abc) => labelledFrom(abc))
  const drawn = Array.from({ length: made }, (_, seed) => madeTune(seed + 1))
  return [...read, ...drawn.map((tune) => ({ tune, key: tune.key.key }))]
}

/** Public-domain tunes with their chords, each in the key a player would name. */
export function traditionalTunes(): readonly Labelled[] {
  return TRADITIONAL_TUNES.filter(({ hasChords }) => hasChords).flatMap(({ abc }) => labelledFrom(abc))
}

/** A tune of one ABC text, labelled by its K: field; none where the text is no tune. */
export function labelledFrom(abc: string): readonly Labelled[] {
  const read = readTune('abc', abc)
  return read.ok ? [{ tune: read.value, key: read.value.key.key }] : []
}

/** Every tune in every key (or its own alone), heard in one way. */
export function keyFigures(tunes: readonly Labelled[], hearing: Hearing, everyKey: boolean): KeyFigures {
  const missed: string[] = []
  let among = 0
  let all = 0
  for (const { tune, key } of tunes) {
    for (const [semitones, interval] of (everyKey ? UP : UP.slice(0, 1)).entries()) {
      const turned = semitones === 0 ? tune : turnedBy(tune, interval, semitones)
      const label = sideOf(key, semitones)
      const [first, second] = HEARINGS[hearing](turned)
      all++
      if (first === label || second === label) among++
      if (first !== label) missed.push(`${tune.title} (${key}, up ${semitones}): ${first}, not ${label}`)
    }
  }
  return { tunes: all, right: (100 * (all - missed.length)) / all, amongTwo: (100 * among) / all, missed }
}

const keysOf = (ranking: readonly { readonly key: KeyName }[]): readonly string[] =>
  ranking.map(({ key }) => sideOf(key, 0))

/** Pitch class and mode: F♯ and G♭ are one key here. */
function sideOf(key: KeyName, up: number): string {
  return `${(pitchClass(tonicOf(key)) + up) % 12} ${key.endsWith(' minor') ? 'minor' : 'major'}`
}

/** The music moved up; the signature stays, which only the hearing without one may be asked about. */
function turnedBy(tune: Tune, interval: string, semitones: number): Tune {
  const bars = tune.bars.map((bar) => ({
    ...bar,
    melody: bar.melody.map((note) => ({
      ...note,
      midi: note.midi + semitones,
      name: transposePitch(note.name, interval),
    })),
    chords: bar.chords.map((placed) => ({ ...placed, chord: transposeChord(placed.chord, interval) })),
  }))
  return { ...tune, bars }
}

function melodyNotes(tune: Tune): { midi: number; durationTicks: number; startTick: number }[] {
  return placed(tune, (bar) =>
    bar.melody.map(({ midi, durationTicks, startTick }) => ({ midi, durationTicks, startTick })),
  )
}

function chordNotes(tune: Tune): { midi: number; durationTicks: number; startTick: number }[] {
  return placed(tune, (bar) =>
    bar.chords.flatMap(({ chord, durationTicks, startTick }) => {
      const root = pitchClass(chord.notes[0] ?? 'C')
      return chord.notes.map((name) => ({
        midi: 48 + root + ((pitchClass(name) - root + 12) % 12),
        durationTicks,
        startTick,
      }))
    }),
  )
}

function placed<T extends { readonly startTick: number }>(
  tune: Tune,
  notesOf: (bar: Tune['bars'][number]) => T[],
): T[] {
  let at = 0
  return tune.bars.flatMap((bar) => {
    const start = at
    at += bar.lengthTicks
    return notesOf(bar).map((note) => ({ ...note, startTick: start + note.startTick }))
  })
}
