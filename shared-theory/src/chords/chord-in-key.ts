/** A chord inside a key: its scale, how a pitch is spelled over it, and its degree and function. */
import type { Chord, KeySignature, NoteName } from '../contract/index.js'
import { fifthsOfNote, isMinorKey, mod, nameInKey, tonicOf } from '../units/index.js'
import { type ChordQuality, qualityOf } from './ask-chord.js'
import { contentOf } from './build-chord.js'
import { ALTERED } from './name-chord.js'
import { T, type ToneSet, listTones, nameOfFifths, pcOf, toneName, toneSetOf } from './chord-tones.js'

const scale = (...intervals: readonly string[]): ToneSet => toneSetOf(intervals)

/**
 * The scale a quality takes when the key does not say otherwise, ninths for seconds and so on. Source: common practice (chord-scale
 * tables of jazz teaching): lydian for ∆ with ♯11, dorian for m7, melodic minor for m6 and m∆, mixolydian for 7, locrian ♮2 for ø.
 */
const QUALITY_SCALES: { readonly [quality in ChordQuality]: ToneSet } = {
  major: scale('1P', '9M', '3M', '11P', '5P', '13M', '7M'),
  minor: scale('1P', '9M', '3m', '11P', '5P', '13M', '7m'),
  'minor-sixth': scale('1P', '9M', '3m', '11P', '5P', '13M', '7M'),
  dominant: scale('1P', '9M', '3M', '11P', '5P', '13M', '7m'),
  sus: scale('1P', '9M', '11P', '5P', '13M', '7m', '3M'),
  'half-diminished': scale('1P', '9m', '3m', '11P', '5d', '13m', '7m'),
  diminished: scale('1P', '9M', '3m', '11P', '5d', '13m', '7d', '7M'),
  augmented: scale('1P', '9M', '3M', '11A', '5A', '13M', '7M'),
  open: scale('1P', '9M', '3M', '11P', '5P', '13M', '7m'),
  none: 0,
}

/** Places of a scale, and the chord tones that claim them. */
const PLACES: readonly { readonly degree: number; readonly claims: ToneSet }[] = [
  { degree: 1, claims: T.root },
  { degree: 2, claims: T.second | T.flatNinth | T.ninth | T.sharpNinth },
  { degree: 3, claims: T.minorThird | T.third },
  { degree: 4, claims: T.fourth | T.augmentedFourth | T.eleventh | T.sharpEleventh },
  { degree: 5, claims: T.flatFifth | T.fifth | T.sharpFifth },
  { degree: 6, claims: T.flatSixth | T.sixth | T.flatThirteenth | T.thirteenth },
  { degree: 7, claims: T.diminishedSeventh | T.seventh | T.majorSeventh | T.augmentedSixth },
]

/**
 * Seven (or eight) notes that walking lines and fills use over a chord in a key, from the root up: chord tones first; the places
 * between from the key where its notes stand a half step or more clear of them, else from the quality's own scale. A °7 gives the
 * eight notes of half and whole steps above its root, beginning with a whole step. Empty for N.C. and %.
 */
export function chordScale(chord: Chord, key: KeySignature): readonly NoteName[] {
  const below = chord.over ?? chord
  if (below.root === '') return []
  const quality = qualityOf(below)
  const usual = QUALITY_SCALES[quality]
  const { tones } = contentOf(below)
  if (quality === 'diminished') return namesUp(below.root, usual)
  if (tones === ALTERED) return namesUp(below.root, tones)
  const keyNames = keyNotes(key)
  const names: NoteName[] = []
  for (const { claims } of PLACES) {
    const claimed = listTones(tones & claims)
    if (claimed.length > 0) {
      for (const tone of claimed) names.push(toneName(below.root, tone))
      continue
    }
    const choices = listTones(claims & ~toneSetOf(['7d', '9A', '6A'])).filter(({ degree }) => degree !== 2)
    const inKey = choices.filter(
      (tone) =>
        keyNames.includes(toneName(below.root, tone)) &&
        !soundsIn(tone.semitones, tones) &&
        !crowds(tone.semitones, tones, quality),
    )
    const fallback = listTones(usual & claims)
    const picked = inKey.find((tone) => fallback.includes(tone)) ?? inKey[0] ?? fallback[0]
    if (picked) names.push(toneName(below.root, picked))
  }
  return uniqueBySound(names, below.root)
}

/** Whether a chord tone already makes that sound under another name (♯11 and ♭5). */
function soundsIn(semitones: number, tones: ToneSet): boolean {
  return listTones(tones).some((tone) => mod(tone.semitones - semitones, 12) === 0)
}

/** A half step above the root, third or seventh of anything but a dominant hides the chord. */
function crowds(semitones: number, tones: ToneSet, quality: ChordQuality): boolean {
  if (quality === 'dominant' || quality === 'sus' || quality === 'half-diminished') return false
  return mod(semitones, 12) === 1 || (mod(semitones, 12) === 8 && (tones & T.fifth) !== 0)
}

/** The key's seven notes, those of its mode where it is a church mode. */
function keyNotes(key: KeySignature): readonly NoteName[] {
  const names: NoteName[] = []
  for (let fifths = key.fifths - 1; fifths <= key.fifths + 5; fifths++) names.push(nameOfFifths(fifths))
  return names
}

function namesUp(root: NoteName, tones: ToneSet): readonly NoteName[] {
  return uniqueBySound(
    listTones(tones).map((tone) => toneName(root, tone)),
    root,
  )
}

/** One name a sound, rising from the root. */
function uniqueBySound(names: readonly NoteName[], root: NoteName): readonly NoteName[] {
  const from = pcOf(root)
  const bySound = new Map<number, NoteName>()
  for (const name of names) {
    const above = mod(pcOf(name) - from, 12)
    if (!bySound.has(above)) bySound.set(above, name)
  }
  return [...bySound.entries()].sort(([a], [b]) => a - b).map(([, name]) => name)
}

/** Tensions over chords that are no dominants, spelled from the root where the key has no name of its own. Source: common practice. */
const PLAIN_TENSIONS = toneSetOf(['9M', '11A', '13M'])
/** Tensions a quality names beside its own tones, nearest first. Source: common practice. */
const DOMINANT_TENSIONS = toneSetOf(['9m', '9M', '9A', '11A', '13m', '13M'])

/**
 * How a pitch class is spelled over a chord in a key: chord tones by interval from the root; over a dominant its tensions ♭9 9 ♯11
 * ♭13 13 too, over others 9 ♯11 13, where the key has no name of its own for that sound; else by the key.
 */
export function spellOver(pc: number, chord: Chord, key: KeySignature): NoteName {
  const sound = mod(pc, 12)
  for (const part of chord.over ? [chord, chord.over] : [chord]) {
    const name = part.notes.find((note) => pcOf(note) === sound)
    if (name !== undefined) return name
    if (part.bass !== undefined && pcOf(part.bass) === sound) return part.bass
  }
  const inKey = keyNotes(key).find((note) => pcOf(note) === sound)
  if (inKey !== undefined) return inKey
  if (chord.root !== '') {
    const tensions = qualityOf(chord) === 'dominant' ? DOMINANT_TENSIONS : PLAIN_TENSIONS
    const tension = listTones(tensions).find(
      (tone) => mod(tone.semitones + pcOf(chord.root), 12) === sound && tone.interval !== '9A',
    )
    const name = tension && toneName(chord.root, tension)
    if (name !== undefined && name.length <= 2) return name
  }
  return nameInKey(sound, key)
}

const DEGREES = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'] as const
export type ChordRole = 'tonic' | 'predominant' | 'dominant' | 'other'

/** Semitones above the tonic → role by quality group. Source: common practice (functional harmony). */
function roleAt(above: number, quality: ChordQuality, minorKey: boolean): ChordRole {
  const dominantLike = quality === 'dominant' || quality === 'sus'
  switch (above) {
    case 0:
      return 'tonic'
    case 1:
      return dominantLike ? 'dominant' : quality === 'major' ? 'predominant' : 'other'
    case 2:
      return dominantLike ? 'other' : 'predominant'
    case 3:
      return quality === 'major' && minorKey ? 'tonic' : 'other'
    case 4:
      return quality === 'minor' ? 'tonic' : 'other'
    case 5:
      return 'predominant'
    case 6:
      return quality === 'half-diminished' ? 'predominant' : 'other'
    case 7:
      return quality === 'minor' ? 'other' : 'dominant'
    case 8:
      return quality === 'major' ? (minorKey ? 'predominant' : 'other') : 'other'
    case 9:
      return quality === 'minor' ? 'tonic' : quality === 'half-diminished' && minorKey ? 'tonic' : 'other'
    case 10:
      return dominantLike ? 'dominant' : 'other'
    default:
      return quality === 'half-diminished' || quality === 'diminished' ? 'dominant' : 'other'
  }
}

/**
 * Roman-numeral reading in a key: the root's degree against the major scale of the tonic ('I', '♭II', '♯IV' …), and its function there.
 * '' and 'other' for N.C. and %.
 */
export function functionIn(chord: Chord, key: KeySignature): { readonly degree: string; readonly role: ChordRole } {
  const lower = chord.over ?? chord
  if (lower.root === '') return { degree: '', role: 'other' }
  const tonic = tonicOf(key.key)
  const fifths = fifthsOfNote(lower.root) - fifthsOfNote(tonic)
  const above = mod(pcOf(lower.root) - pcOf(tonic), 12)
  return { degree: degreeName(fifths), role: roleAt(above, qualityOf(lower), isMinorKey(key.key)) }
}

/** Fifths above the tonic → '♭VI'. Far names (a root spelled the other way) come back to within one accidental. */
function degreeName(distance: number): string {
  let fifths = distance
  while (fifths > 6) fifths -= 12
  while (fifths < -6) fifths += 12
  const alter = Math.floor((fifths + 1) / 7)
  const step = mod(fifths * 4, 7)
  return (alter < 0 ? '♭' : alter > 0 ? '♯' : '') + (DEGREES[step] as string)
}
