/** Upper structures: a triad of tensions over a dominant's third and seventh, with the chord the two make together. */
import type { Chord, NoteName } from '../contract/index.js'
import { fifthsOfNote, mod } from '../units/index.js'
import { qualityOf } from './ask-chord.js'
import { buildChord, contentOf } from './build-chord.js'
import { NINTHS, T, type ToneSet, listTones, nameOfFifths, pcOf, toneName, toneSetOf } from './chord-tones.js'
import { KIND_TONES } from './kinds.js'
import { ALTERED } from './name-chord.js'

export interface UpperStructure {
  /** The triad by its root, 'Eb' over G7; the symbol of the triad alone. */
  readonly triad: string
  /** The chord with the tensions the triad brings: 'G7#9b13'. */
  readonly chord: Chord
  /** The triad's notes from its root, spelled as a triad. */
  readonly notes: readonly NoteName[]
}

/** Triads by their root above the dominant's, and what their notes are over it. Source: common practice. */
const STRUCTURES: readonly (readonly [root: string, suffix: '' | 'm', tensions: readonly [string, string, string]])[] =
  [
    ['2M', '', ['9M', '11A', '13M']],
    ['3m', '', ['9A', '5P', '7m']],
    ['5d', '', ['11A', '7m', '9m']],
    ['6m', '', ['13m', '1P', '9A']],
    ['6M', '', ['13M', '9m', '3M']],
    ['1P', 'm', ['1P', '9A', '5P']],
    ['2m', 'm', ['9m', '3M', '13m']],
    ['3m', 'm', ['9A', '11A', '7m']],
    ['4A', 'm', ['11A', '13M', '9m']],
  ]
const INTERVAL_FIFTHS: { readonly [root: string]: number } = {
  '1P': 0,
  '2m': -5,
  '2M': 2,
  '3m': -3,
  '4A': 6,
  '5d': -6,
  '6m': -4,
  '6M': 3,
}
const ALTERABLE: readonly ToneSet[] = [
  NINTHS,
  toneSetOf(['11P', '11A', '5d']),
  toneSetOf(['13m', '13M', '5A', '6m', '6M']),
]
/** Sounds of one kind on two degrees: a ♭5 is the ♯11, a ♯5 the ♭13 of the triad. */
const SAME_SOUND: readonly (readonly [ToneSet, ToneSet])[] = [
  [T.flatFifth, T.sharpEleventh],
  [T.sharpFifth, T.flatThirteenth],
]

/** The triads that go over a dominant: none speaks against a tension its symbol names, and each brings one where any is named. */
export function upperStructures(chord: Chord): readonly UpperStructure[] {
  if (chord.over || qualityOf(chord) !== 'dominant') return []
  const { tones } = contentOf(chord)
  const named = asTensions(tones) & (NINTHS | T.sharpEleventh | T.flatThirteenth | T.thirteenth)
  return STRUCTURES.flatMap(([above, suffix, intervals]) => {
    const triad = toneSetOf(intervals)
    const speaksAgainst = ALTERABLE.some((degree) => (named & degree) !== 0 && (triad & degree & ~named) !== 0)
    const fifthGone = (tones & T.fifth) === 0 && (triad & T.fifth) !== 0
    if (speaksAgainst || fifthGone || (named !== 0 && (triad & named) === 0)) return []
    const root = simpleTriadRoot(nameOfFifths(fifthsOfNote(chord.root) + (INTERVAL_FIFTHS[above] as number)))
    const notes = listTones(suffix === 'm' ? KIND_TONES.minor : KIND_TONES.major).map((tone) => toneName(root, tone))
    const guides = T.root | T.third | T.fifth | T.seventh
    const content = tones === ALTERED ? tones : (tones & guides) | named | triad
    return [{ triad: root + suffix, chord: buildChord(chord.root, { tones: content, omitted: 0 }), notes }]
  })
}

/**
 * Voicings of a dominant with an upper structure: third and seventh below (one of them where there are four voices), the triad in any
 * position close above. Other chords, and other numbers of voices, have none.
 */
export function upperStacks(chord: Chord, voices: number, low: number, high: number): readonly (readonly number[])[] {
  if (voices !== 4 && voices !== 5) return []
  const { tones } = contentOf(chord)
  const root = pcOf(chord.root)
  const [third, seventh] = [T.third, T.seventh].map(
    (set) => listTones(tones & set).map(({ semitones }) => mod(root + semitones, 12))[0],
  )
  if (third === undefined || seventh === undefined) return []
  const bottoms =
    voices === 5
      ? [
          [third, seventh],
          [seventh, third],
        ]
      : [[third], [seventh]]
  return upperStructures(chord).flatMap(({ notes }) => {
    const pcs = notes.map(pcOf)
    const positions = [0, 1, 2].map((turn) => [...pcs.slice(turn), ...pcs.slice(0, turn)])
    return bottoms.flatMap((bottom) => positions.flatMap((position) => stackUp([...bottom, ...position], low, high)))
  })
}

/** The triad that stands on top of a voicing, or undefined where none of the chord's does. */
export function structureOf(midi: readonly number[], chord: Chord): UpperStructure | undefined {
  const top = new Set(midi.slice(-3).map((note) => mod(note, 12)))
  return upperStructures(chord).find(({ notes }) => notes.every((name) => top.has(pcOf(name))))
}

/** Each pitch class as near as it can be above the one before, from every octave that keeps the whole below `high`. */
function stackUp(pcs: readonly number[], low: number, high: number): readonly (readonly number[])[] {
  const found: number[][] = []
  for (let bottom = low + mod((pcs[0] as number) - low, 12); bottom <= high; bottom += 12) {
    const midi = [bottom]
    for (const pc of pcs.slice(1)) {
      const below = midi.at(-1) as number
      midi.push(below + (mod(pc - below, 12) || 12))
    }
    if ((midi.at(-1) as number) <= high) found.push(midi)
  }
  return found
}

function asTensions(tones: ToneSet): ToneSet {
  return SAME_SOUND.reduce((all, [fifth, tension]) => (all & fifth ? all | tension : all), tones)
}

/** A triad is named as a chart would: no double accidental in its root, no B♯ or F♭. */
function simpleTriadRoot(name: NoteName): NoteName {
  return name.length <= 2 && !/^(?:B#|E#|Cb|Fb)$/.test(name) ? name : (SIMPLE[mod(pcOf(name), 12)] as NoteName)
}
const SIMPLE: readonly NoteName[] = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']
