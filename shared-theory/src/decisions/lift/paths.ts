/** The chords that lead from one key to another, a preparation at a time, before any melody is asked. */
import type { Chord, KeyName, KeySignature } from '../../contract/index.js'
import { chord as parsed, pitchClassesOf, qualityOf } from '../../chords/index.js'
import { isMinorKey, keySignatureOf, mod, pitchClass, scaleOf, tonicOf, transposeName } from '../../units/index.js'
import { type Line, PREPARATIONS, type PreparationKind } from './kinds.js'
import { plainRoot } from './move.js'

/** From where to where. */
export interface Journey {
  readonly oldKey: KeySignature
  readonly newKey: KeySignature
  /** What the preparation aims at: the chord that arrives, or the new tonic. */
  readonly goal: Chord
  readonly arriving: Chord
  /** Chords of the old key that could simply stay until the new one begins, the likeliest first. */
  readonly stays: readonly Chord[]
}

/** One way from a key to another. */
export interface ModulationPath {
  readonly preparation: PreparationKind
  /** Symbols between the old tonic and the new one; none where the new key is simply there. */
  readonly chords: readonly string[]
}

/** Every way from one key to another that does not depend on a melody, in the order of `PREPARATIONS`: the same chords a lift writes
 *  where the new section begins on its tonic. @example modulationPaths('F major', 'G major') // … { preparation: 'pivot', chords: ['Am7', 'D7'] } */
export function modulationPaths(from: KeyName, to: KeyName): readonly ModulationPath[] {
  const oldKey = keySignatureOf(from)
  const newKey = keySignatureOf(to)
  const arriving = tonicChord(newKey)
  const journey: Journey = { oldKey, newKey, arriving, goal: arriving, stays: [homeChord(oldKey)] }
  return PREPARATIONS.map((preparation) => ({ preparation, chords: chordsFor(preparation, journey) })).filter(
    ({ preparation, chords }) => preparation === 'direct' || chords.length > 0,
  )
}

/** Symbols of a preparation, by what it aims at. Empty where the two keys do not allow it. */
export function chordsFor(kind: PreparationKind, journey: Journey, line?: Line): readonly string[] {
  const { goal, newKey, oldKey } = journey
  const isMinor = ['minor', 'minor-sixth', 'half-diminished'].includes(qualityOf(goal))
  const from = (interval: string): string => plainRoot(transposeName(goal.root, interval), newKey)
  const leading = (interval: string): string => readInOld(from(interval), oldKey)
  const dominant = `${leading('5P')}${isMinor ? '7b9' : '7'}`
  const [second, fifth] = inPair(leading('2M'), leading('5P'))
  const two = `${second}${isMinor ? 'm7b5' : 'm7'}`
  if (kind === 'direct') return []
  if (kind === 'sus-dominant') return [`${leading('5P')}7sus4`]
  if (kind === 'dominant') return [dominant]
  if (kind === 'two-five') return [two, `${fifth}${isMinor ? '7b9' : '7'}`]
  if (kind === 'tritone') return [`${leading('2m')}7`]
  // ii and the half step above the goal, or the two half steps below it with the leading-note diminished. Source: common practice.
  if (kind === 'chromatic-line')
    return line === 'rising' ? [`${from('-2M')}7`, `${from('-2m')}dim7`] : [two, `${leading('2m')}7`]
  if (kind === 'common-tone')
    return journey.stays
      .filter((chord) => commonTone(chord, journey.arriving) !== undefined)
      .map(({ symbol }) => symbol)
  const pivot = pivotFor(journey, from('5P'))
  return pivot === undefined ? [] : [pivot, dominant]
}

/** The bar before a lift still stands in the old key: in flats B♭7 before D♯m7, not A♯7; anywhere B7 before B♭m7, not C♭7. */
function readInOld(root: string, oldKey: KeySignature): string {
  if (scaleOf(oldKey.key).includes(root)) return root
  return PLAIN_NATURALS[root] ?? (oldKey.fifths < 0 ? (FLATS[root] ?? root) : root)
}
const PLAIN_NATURALS: { readonly [root: string]: string } = { Cb: 'B', Fb: 'E', 'E#': 'F', 'B#': 'C' }
const FLATS: { readonly [root: string]: string } = { 'A#': 'Bb', 'D#': 'Eb' }
const ALL_FLATS: { readonly [root: string]: string } = { ...FLATS, 'G#': 'Ab', 'C#': 'Db', 'F#': 'Gb' }

/** ii and V a fifth apart in their letters too: Fø7 B♭7, not Fø7 A♯7. */
function inPair(two: string, five: string): readonly [string, string] {
  const isFourth = (low: string, high: string): boolean => transposeName(low, '4P') === high
  if (isFourth(two, five)) return [two, five]
  const flats = [ALL_FLATS[two] ?? two, ALL_FLATS[five] ?? five] as const
  return isFourth(...flats) ? flats : [two, five]
}

/** Why `chordsFor` has nothing. */
export function noPath(kind: PreparationKind, { oldKey, newKey, arriving, stays }: Journey): string {
  if (kind === 'common-tone')
    return `${stays[0]?.symbol ?? oldKey.key} and ${arriving.symbol} have no note in common that could be held.`
  return commonTriads(oldKey, newKey).length === 0
    ? `${oldKey.key} and ${newKey.key} have no triad in common, so no chord can stand in both.`
    : `The only chord ${oldKey.key} and ${newKey.key} share is the one that arrives, ${arriving.symbol}.`
}

/** The note a chord hands on to the one that arrives, as the new chord spells it: one of `wanted` (pitch classes) if possible, else the
 *  lowest of the new chord. Undefined where they share none, or are the same chord. */
export function commonTone(chord: Chord, arriving: Chord, wanted: readonly number[] = []): string | undefined {
  if (chord.root === '' || arriving.root === '') return undefined
  const own = pitchClassesOf(chord)
  const shared = arriving.notes.filter((name) => own.includes(pitchClass(name)))
  if (shared.length === own.length && shared.length === arriving.notes.length) return undefined
  return shared.find((name) => wanted.includes(pitchClass(name))) ?? shared[0]
}

/** The common triad to turn on, as a seventh or sixth chord: a fifth above the dominant if there is one, never the chord that arrives. */
function pivotFor({ oldKey, newKey, arriving }: Journey, five: string): string | undefined {
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

/** The tonic where it arrives, for preparations that aim at the key. */
export function tonicChord(key: KeySignature): Chord {
  return parsed(`${tonicOf(key.key)}${isMinorKey(key.key) ? 'm7' : 'maj7'}`)
}

/** The tonic where it stays: no major seventh to rub against a held tonic. */
export function homeChord(key: KeySignature): Chord {
  return parsed(`${tonicOf(key.key)}${isMinorKey(key.key) ? 'm' : '6'}`)
}
