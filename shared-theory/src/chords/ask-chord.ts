/** Questions the rest of the program asks of a chord: its quality, bass, sound and members. */
import type { Chord, NoteName } from '../contract/index.js'
import { contentOf } from './build-chord.js'
import { FIFTHS, SEVENTHS, T, THIRDS, type ToneSet, listTones, pcOf, toneName, tonesOfDegree } from './chord-tones.js'

/** How a chord is read by the fit table: ∆/6/plain major, m7/plain minor, m6/m∆, any dominant seventh, sus, m7♭5, °/°7, + triad or +∆, power/other, N.C. */
export type ChordQuality =
  | 'major'
  | 'minor'
  | 'minor-sixth'
  | 'dominant'
  | 'sus'
  | 'half-diminished'
  | 'diminished'
  | 'augmented'
  | 'open'
  | 'none'

/** A polychord has the quality of its lower chord, which carries the harmony. '%' is 'open': it says nothing by itself. */
export function qualityOf(chord: Chord): ChordQuality {
  if (chord.kind === 'none') return 'none'
  if (chord.over) return qualityOf(chord.over)
  const { tones, named } = contentOf(chord)
  const has = (set: ToneSet): boolean => (tones & set) !== 0
  if (named === 'Italian' || named === 'French' || named === 'German') return 'dominant'
  if (!has(THIRDS)) {
    if (has(T.second | T.fourth)) return 'sus'
    if (chord.kind === 'dominant-11th') return 'sus'
    return chord.kind === 'major-11th' ? 'major' : 'open'
  }
  if (has(T.third)) {
    if (has(T.seventh)) return 'dominant'
    return has(T.sharpFifth) && !has(T.fifth) ? 'augmented' : 'major'
  }
  if (has(T.flatFifth) && !has(T.fifth)) {
    if (has(T.seventh)) return 'half-diminished'
    if (!has(T.majorSeventh | T.sixth) || has(T.diminishedSeventh)) return 'diminished'
    return has(T.majorSeventh) ? 'diminished' : 'half-diminished'
  }
  return has(T.majorSeventh | T.sixth) && !has(T.seventh) ? 'minor-sixth' : 'minor'
}

/** The sounding bass note's name: the slash bass, else the root (of the lower chord where two stand over each other); undefined for N.C. and %. */
export function bassOf(chord: Chord): NoteName | undefined {
  if (chord.over) return bassOf(chord.over)
  return chord.bass ?? (chord.root === '' ? undefined : chord.root)
}

/** Pitch classes that sound, bass included, ascending. */
export function pitchClassesOf(chord: Chord): readonly number[] {
  const sounding = new Set(chord.notes.map(pcOf))
  if (chord.bass !== undefined) sounding.add(pcOf(chord.bass))
  if (chord.over) for (const pc of pitchClassesOf(chord.over)) sounding.add(pc)
  return [...sounding].sort((a, b) => a - b)
}

/** Same root, bass and sounding pitch classes, whatever the suffix's spelling; roots are compared by sound (F♯ = G♭). */
export function sameChord(a: Chord, b: Chord): boolean {
  if (a.root === '' || b.root === '') return a.symbol === b.symbol
  if (pcOf(a.root) !== pcOf(b.root)) return false
  if (pcOf(bassOf(a) as NoteName) !== pcOf(bassOf(b) as NoteName)) return false
  return pitchClassesOf(a).join() === pitchClassesOf(b).join()
}

/**
 * The chord's own third (fourth of a sus), fifth (♭5, ♯5 where it has one), seventh (sixth of a 6 chord, °7 of a °7): what bass rows
 * call 3, 5, 7. A tone left out is not a member. Of two chords over each other the lower one answers.
 */
export function memberOf(chord: Chord, member: 3 | 5 | 7): NoteName | undefined {
  if (chord.over) return memberOf(chord.over, member)
  const { tones } = contentOf(chord)
  for (const set of MEMBERS[member]) {
    const tone = listTones(tones & set)[0]
    if (tone) return toneName(chord.root, tone)
  }
  return undefined
}
const MEMBERS: { readonly [member in 3 | 5 | 7]: readonly ToneSet[] } = {
  3: [T.third, THIRDS, T.fourth, T.second, T.eleventh],
  5: [T.fifth, FIFTHS],
  7: [T.seventh, T.majorSeventh, SEVENTHS, T.sixth, tonesOfDegree(6)],
}
