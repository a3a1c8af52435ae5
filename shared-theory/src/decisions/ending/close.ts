/** How a tune closes: the last bars at home, the note that is held there, and where an ending can come between. */
import type { ArrangedBar, ArrangedNote, Chord, KeySignature } from '../../contract/index.js'
import { chord as parsed, qualityOf } from '../../chords/index.js'
import { barTicks, mod, nameOfPitch, pitchClass, tonicOf } from '../../units/index.js'
import { fitOf } from '../../fit/index.js'
import { filled, wholeBar } from '../bars.js'
import { type Colour, chordInKey, colourOf } from '../key-colour.js'

export interface Close {
  readonly bars: readonly ArrangedBar[]
  /** Bars before this index stay; an ending's own bars come here. */
  readonly at: number
  /** The final bars at home: what turns back there is left out, the home chord lasts. At least one. */
  readonly home: readonly ArrangedBar[]
  /** Home bars that had to be made, since home, or the last note, begins inside the last bar. */
  readonly madeHome: number
  /** Where it begins there; 0 where no home bar had to be made. */
  readonly homeTick: number
  readonly key: KeySignature
  readonly colour: Colour
  /** The chord that is home: F6 under a held tonic, else as the tune has it. */
  readonly goal: Chord
  /** The last melody note where it sounds at `at`: struck there, or tied over from the bar before. */
  readonly held?: ArrangedNote
  readonly isTiedIn: boolean
}

/** Bars looked back through for the last chord at home. */
const FAR = 8

/** The close of a running order; undefined where there are no bars. */
export function closeOf(all: readonly ArrangedBar[]): Close | undefined {
  const last = all.at(-1)
  if (!last) return undefined
  const { key } = last
  const colour = colourOf(key, all)
  const arrival = arrivalOf(all, key)
  const note = lastNote(all)
  const begins = arrival ?? { bar: all.length - 1, tick: 0, chord: tonicChord(key, colour) }
  // A tonic that comes inside a bar has arrived when the bar is over.
  const homeBar = begins.tick === 0 ? begins.bar : begins.bar + 1
  const noteBar = note ? (note.startTick === 0 ? note.bar : note.bar + 1) : 0
  const at = Math.max(homeBar, noteBar)
  const isStruck = note !== undefined && note.bar === at && note.startTick === 0
  // Begun inside the last bar at home, it goes on; begun before home came, only where the tune ties it in.
  const isTiedIn =
    note !== undefined &&
    !isStruck &&
    (note.endBar >= at || (note.bar === at - 1 && note.startTick > 0 && begins.bar <= note.bar))
  const held = isStruck || isTiedIn ? note.note : undefined
  const goal = carrying(underHeld(begins.chord, held), held, all, key, colour)
  const written = all.slice(at)
  const home = (written.length > 0 ? written : [blankAfter(last)]).map((bar) => atHome(bar, goal))
  return {
    bars: isTiedIn ? tiedOver(all, at) : all,
    at,
    home: written.length === 0 && held ? [sounding(home[0] as ArrangedBar, held)] : home,
    madeHome: written.length === 0 ? 1 : 0,
    homeTick: written.length === 0 ? inLastBar(all.length - 1, begins, note) : 0,
    key,
    colour,
    goal,
    isTiedIn,
    ...(held ? { held } : {}),
  }
}

interface Arrival {
  readonly bar: number
  readonly tick: number
  readonly chord: Chord
}

/** Where the last tonic chord begins, followed back over bar lines. */
function arrivalOf(all: readonly ArrangedBar[], key: KeySignature): Arrival | undefined {
  const tonic = pitchClass(tonicOf(key.key))
  const isHome = (chord: Chord): boolean =>
    chord.root !== '' &&
    pitchClass(chord.root) === tonic &&
    chord.bass === undefined &&
    ['major', 'minor', 'minor-sixth', 'dominant', 'open'].includes(qualityOf(chord))
  let found: Arrival | undefined
  for (let bar = all.length - 1; bar >= Math.max(0, all.length - FAR); bar--) {
    for (const { chord, startTick } of (all[bar] as ArrangedBar).chords.toReversed()) {
      if (isHome(chord)) found = { bar, tick: startTick, chord: found?.chord ?? chord }
      else if (found) return found
    }
  }
  return found
}

interface LastNote {
  readonly note: ArrangedNote
  readonly bar: number
  readonly startTick: number
  readonly endBar: number
}

/** The last melody note, ties followed back to where it was struck. */
function lastNote(all: readonly ArrangedBar[]): LastNote | undefined {
  const endBar = all.findLastIndex(({ melody }) => melody.length > 0)
  let bar = endBar
  let index = (all[bar]?.melody.length ?? 0) - 1
  let note = all[bar]?.melody[index]
  if (!note) return undefined
  for (;;) {
    const inBar = all[bar]?.melody[index - 1]
    const isFirst = index === 0
    const before = isFirst ? all[bar - 1]?.melody.at(-1) : inBar
    if (!before?.tiedToNext || before.midi !== note.midi) break
    if (isFirst) {
      bar--
      index = (all[bar]?.melody.length ?? 1) - 1
    } else index--
    note = before
  }
  return { note, bar, startTick: note.startTick, endBar }
}

/** The later of home and the last note, where either begins inside the last bar. */
function inLastBar(last: number, home: Arrival, note: LastNote | undefined): number {
  return Math.max(home.bar === last ? home.tick : 0, note?.bar === last ? note.startTick : 0)
}

/** Home where it carries the last note; else home in another colour of the same key, else the chord the tune itself ends on. A minor
 *  key never ends in major for it. */
function carrying(
  home: Chord,
  held: ArrangedNote | undefined,
  all: readonly ArrangedBar[],
  key: KeySignature,
  colour: Colour,
): Chord {
  if (!held) return home
  const name = nameOfPitch(held.name)
  if (fitOf(home, name) !== 'hard') return home
  const others = OTHER_HOMES[colour].map((suffix) => chordInKey(key, 0, suffix))
  const own = all.at(-1)?.chords.at(-1)?.chord
  const below = CARRIERS[colour].map(([semitones, suffix]) => chordInKey(key, semitones, suffix))
  return (
    [...others, ...(own && own.root !== '' ? [own] : []), ...below].find((chord) => fitOf(chord, name) === 'ok') ?? home
  )
}

/** Home in other colours, for a last note that the plain one refuses. Source: common practice. */
const OTHER_HOMES: { readonly [colour in Colour]: readonly string[] } = {
  major: ['7', '7sus'],
  minor: ['m7', 'm7b5'],
  blues: ['6'],
}
/** Chords off the tonic that a tune can come to rest on: ♭VI, IV, ♭II, ♭VII. Source: common practice. */
const CARRIERS: { readonly [colour in Colour]: readonly (readonly [semitones: number, suffix: string])[] } = {
  major: [
    [5, 'maj7'],
    [8, 'maj7'],
    [1, 'maj7'],
    [10, 'maj7'],
  ],
  minor: [
    [8, 'maj7'],
    [5, 'm6'],
    [1, 'maj7'],
    [10, '7'],
  ],
  blues: [
    [5, '7'],
    [8, '7'],
    [1, '7'],
    [10, '7'],
  ],
}

function tonicChord(key: KeySignature, colour: Colour): Chord {
  return chordInKey(key, 0, colour === 'minor' ? 'm6' : colour === 'blues' ? '7' : '6')
}

/** No seventh a half step under a held tonic: ∆ gives way to the sixth. */
function underHeld(chord: Chord, held: ArrangedNote | undefined): Chord {
  const isTonic = held !== undefined && pitchClass(nameOfPitch(held.name)) === pitchClass(chord.root)
  const hasMajorSeventh = chord.intervals.includes('7M')
  if (!isTonic || !hasMajorSeventh) return chord
  return parsed(`${chord.root}${qualityOf(chord) === 'minor-sixth' ? 'm6' : '6'}`)
}

/** A final bar with nothing but home in it. */
function atHome(bar: ArrangedBar, goal: Chord): ArrangedBar {
  return { ...bar, chords: filled([{ startTick: 0, durationTicks: 0, chord: goal }], bar.lengthTicks) }
}

function blankAfter(last: ArrangedBar): ArrangedBar {
  const { tempoEndBpm: _end, fermataTick: _fermata, mark: _mark, ...bar } = wholeBar(last)
  const { tuneBar: _tuneBar, ...provenance } = bar.provenance
  return { ...bar, melody: [], provenance }
}

/** A bar through which the held note sounds. */
export function sounding(bar: ArrangedBar, held: ArrangedNote): ArrangedBar {
  return { ...bar, melody: [heldNote(held, bar.lengthTicks)] }
}

/** The last note, as long as asked. */
export function heldNote(held: ArrangedNote, durationTicks: number): ArrangedNote {
  const { tiedToNext: _tie, tuplet: _tuplet, lyric: _lyric, grace: _grace, ...note } = held
  return { ...note, startTick: 0, durationTicks }
}

/** The last note, begun inside the bar before `at`, goes on to its bar line and over it. */
function tiedOver(all: readonly ArrangedBar[], at: number): readonly ArrangedBar[] {
  const bar = all[at - 1]
  const note = bar?.melody.at(-1)
  if (!bar || !note) return all
  const full = wholeBar(bar)
  const { tuplet: _tuplet, ...plain } = note
  const isWhole = note.startTick + note.durationTicks === full.lengthTicks
  const reached = isWhole ? note : { ...plain, durationTicks: full.lengthTicks - note.startTick }
  const melody = [...bar.melody.slice(0, -1), { ...reached, tiedToNext: true as const }]
  return [...all.slice(0, at - 1), { ...full, melody }, ...all.slice(at)]
}

/** Semitones of the held note above the tonic; undefined where the melody rests. */
export const heldDegree = ({ held, key }: Pick<Close, 'held' | 'key'>): number | undefined =>
  held && mod(held.midi - pitchClass(tonicOf(key.key)), 12)

/** Length of a full bar in the metre the tune ends in. */
export const fullBar = ({ home }: Close): number => barTicks((home[0] as ArrangedBar).metre)
