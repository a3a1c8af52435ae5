/** Chord names that own up to the melody: an A7 under a held F says so and is called A7b13. */
import type { Chord, NoteName } from '../contract/index.js'
import { chord as parsed, qualityOf } from '../chords/index.js'
import { mod, parseInterval, pitchClass } from '../units/index.js'

const ALTERED: readonly (readonly [semitones: number, text: string])[] = [
  [1, 'b9'],
  [3, '#9'],
  [6, '#11'],
  [8, 'b13'],
]

/** The suffix of a dominant that carries these degrees (semitones above the root). Altered ones are always named; natural 9 and 13
 *  only where `natural` asks. Both ninths, or three altered tensions with nothing natural beside them, are 'alt'. */
export function dominantSuffix(degrees: ReadonlySet<number>, natural: boolean): string {
  const altered = ALTERED.filter(([semitones]) => degrees.has(semitones))
  const isPure = ![2, 7, 9].some((semitones) => degrees.has(semitones))
  const isTwoNinths = degrees.has(1) && degrees.has(3)
  if (isPure && (isTwoNinths || altered.length >= 3)) return '7alt'
  const marks = altered.map(([, text]) => text).join('')
  if (natural && degrees.has(9) && !degrees.has(8)) return `13${marks}`
  if (natural && degrees.has(2) && altered.length === 0) return '9'
  return `7${marks}`
}

/** The same chord, renamed to own the tensions its melody carries: A7 under F is A7b13, B♭∆ under E is B♭∆♯11.
 *  A chord that already has them, or has no name for them, comes back as it was. */
export function nameForMelody(chord: Chord, notes: readonly NoteName[]): Chord {
  if (chord.root === '' || chord.over || notes.length === 0) return chord
  const root = pitchClass(chord.root)
  const own = new Set(chord.intervals.map((interval) => mod(parseInterval(interval)?.semitones ?? 0, 12)))
  const carried = new Set(notes.map((note) => mod(pitchClass(note) - root, 12)).filter((degree) => !own.has(degree)))
  const suffix = suffixFor(chord, own, carried)
  if (suffix === undefined) return chord
  return parsed(`${chord.root}${suffix}${chord.bass === undefined ? '' : `/${chord.bass}`}`)
}

function suffixFor(chord: Chord, own: ReadonlySet<number>, carried: ReadonlySet<number>): string | undefined {
  const quality = qualityOf(chord)
  if (quality === 'major') return carried.has(6) && own.has(11) ? 'maj7#11' : undefined
  if (quality !== 'dominant' || !ALTERED.some(([semitones]) => carried.has(semitones))) return undefined
  // The chord's own fifth gives way to ♯11 and ♭13, its natural ninth to an altered one.
  const yields = new Set([7, ...(carried.has(1) || carried.has(3) ? [2] : [])])
  const kept = [...own].filter((degree) => !yields.has(degree))
  return dominantSuffix(new Set([...kept, ...carried]), own.has(9) || own.has(2))
}
