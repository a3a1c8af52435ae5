/** The fit table: what a melody note is over a chord, by the chord's quality and the note's distance above the root. */
import type { Chord, NoteName } from '../contract/index.js'
import { type ChordQuality, qualityOf } from '../chords/index.js'
import { mod, pitchClass } from '../units/index.js'

/** ok: any working player lets it stand · soft: worth a remark · hard: never in an option the tune did not ask for. */
export type Fit = 'ok' | 'soft' | 'hard'

interface FitRow {
  readonly ok: readonly number[]
  readonly soft: readonly number[]
}

/** Semitones above the root; what is neither ok nor soft is hard.
 *  Source: common practice; soft 11 on dominants and ♭9 on m7♭5 after their frequency in recorded solos (Weimar Jazz Database:
 *  11 on ∆ 1.1 % of notes, 11 on dominants 8.0 %, ♭9 on m7♭5 7.5 %). Augmented: from memory. */
const TABLE: { readonly [quality in Exclude<ChordQuality, 'diminished' | 'open' | 'none'>]: FitRow } = {
  major: { ok: [0, 2, 4, 6, 7, 9, 11], soft: [] },
  minor: { ok: [0, 2, 3, 5, 7, 10], soft: [9] },
  'minor-sixth': { ok: [0, 2, 3, 5, 7, 9, 11], soft: [] },
  dominant: { ok: [0, 1, 2, 3, 4, 6, 7, 8, 9, 10], soft: [5] },
  sus: { ok: [0, 2, 5, 7, 9, 10], soft: [1, 8] },
  'half-diminished': { ok: [0, 3, 5, 6, 8, 10], soft: [1, 2] },
  augmented: { ok: [0, 2, 4, 6, 8], soft: [9, 10, 11] },
}
/** A diminished chord takes its four notes and the four a whole step above them. */
const DIMINISHED_OK: ReadonlySet<number> = new Set([0, 3, 6, 9, 2, 5, 8, 11])

/** How a note so many semitones above the root fits a quality. Open chords know no thirds: they need their notes, see `fitOf`. */
export function fitDegree(quality: ChordQuality, semitones: number): Fit {
  const degree = mod(semitones, 12)
  if (quality === 'none' || quality === 'open') return 'ok'
  if (quality === 'diminished') return DIMINISHED_OK.has(degree) ? 'ok' : 'hard'
  const row = TABLE[quality]
  if (row.ok.includes(degree)) return 'ok'
  return row.soft.includes(degree) ? 'soft' : 'hard'
}

/** How a melody note fits a chord. The chord's own notes (and its bass) always do; N.C. accepts anything; over chords without
 *  a third only a half step above one of their notes is hard. A polychord is judged by its lower chord. */
export function fitOf(chord: Chord, note: NoteName): Fit {
  const quality = qualityOf(chord)
  if (quality === 'none' || chord.root === '') return 'ok'
  const pc = pitchClass(note)
  if (chord.bass !== undefined && pitchClass(chord.bass) === pc) return 'ok'
  if (chord.notes.some((own) => pitchClass(own) === pc)) return 'ok'
  if (chord.over) return fitOf(chord.over, note)
  if (quality === 'open') return chord.notes.some((own) => mod(pc - pitchClass(own), 12) === 1) ? 'hard' : 'ok'
  return fitDegree(quality, pc - pitchClass(chord.root))
}

const DEGREE_NAMES: readonly string[] = ['1', '♭9', '9', '♯9', '3', '11', '♯11', '5', '♭13', '13', '♭7', '7']
const CLASH_NAMES: { readonly [semitones: number]: string } = {
  3: 'minor third',
  4: 'major third',
  11: 'major seventh',
}

/** A note's place above the root in a player's words, for a note that clashes: '♭9', 'major seventh'. */
export function clashName(semitones: number): string {
  const degree = mod(semitones, 12)
  return CLASH_NAMES[degree] ?? (DEGREE_NAMES[degree] as string)
}

/** A note's place above the root of a chord that carries it: '♭3' of a minor chord, '♯9' of a dominant, '♭5' of a m7♭5. */
export function degreeName(quality: ChordQuality, semitones: number): string {
  const degree = mod(semitones, 12)
  const isMinor = quality === 'minor' || quality === 'minor-sixth'
  const isDiminished = quality === 'half-diminished' || quality === 'diminished'
  if (degree === 3 && (isMinor || isDiminished)) return '♭3'
  if (degree === 6 && isDiminished) return '♭5'
  if (degree === 9 && quality === 'diminished') return '°7'
  if (degree === 9 && quality === 'minor-sixth') return '6'
  if (degree === 8 && quality === 'augmented') return '♯5'
  if (degree === 5 && quality === 'sus') return '4'
  return DEGREE_NAMES[degree] as string
}
