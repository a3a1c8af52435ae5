/** What a key sounds like at home — major, minor or blues — and chords named by their distance from its tonic. */
import type { ArrangedBar, Chord, KeySignature } from '../contract/index.js'
import { chord as parsed, qualityOf } from '../chords/index.js'
import { rootInKey } from '../fit/index.js'
import { isMinorKey, pitchClass, scaleOf, tonicOf } from '../units/index.js'

/** In a blues the seventh chord on I is home. */
export type Colour = 'major' | 'minor' | 'blues'

/** Blues where every tonic chord of the bars is a dominant seventh. Bars in other keys don't count. */
export function colourOf(key: KeySignature, bars: readonly ArrangedBar[]): Colour {
  if (isMinorKey(key.key)) return 'minor'
  const tonic = pitchClass(tonicOf(key.key))
  const tonics = bars
    .filter((bar) => bar.key.key === key.key)
    .flatMap((bar) => bar.chords.map(({ chord }) => chord))
    .filter(({ root }) => root !== '' && pitchClass(root) === tonic)
  return tonics.length > 0 && tonics.every((chord) => qualityOf(chord) === 'dominant') ? 'blues' : 'major'
}

/** A chord so many semitones above the tonic, spelled for the key: (F major, 1, 'maj7', 7) → 'Gbmaj7/C'. `bass` counts from the tonic too.
 *  A raised root foreign to the key whose chord would need E♯, B♯ or double sharps takes the flat name: D♭∆ in G minor, not C♯∆. */
export function chordInKey(key: KeySignature, semitones: number, suffix: string, bass?: number): Chord {
  const tonic = pitchClass(tonicOf(key.key))
  const root = rootInKey(tonic + semitones, key)
  const below = bass === undefined ? undefined : rootInKey(tonic + bass, key)
  const onRoot = (name: string): Chord =>
    parsed(`${name}${suffix}${below === undefined || below === root ? '' : `/${below}`}`)
  const made = onRoot(root)
  const isRaised = root.endsWith('#') && !scaleOf(key.key).includes(root)
  const isHardToRead = made.notes.some((name) => /^([EB]#|.##)$/.test(name))
  return isRaised && isHardToRead ? onRoot(FLAT_NAMES[root] ?? root) : made
}

const FLAT_NAMES: { readonly [sharp: string]: string } = { 'C#': 'Db', 'D#': 'Eb', 'F#': 'Gb', 'G#': 'Ab', 'A#': 'Bb' }

/** The dominant that leads home: V7sus, in minor V7♭9. */
export function homeDominant(key: KeySignature, colour: Colour): Chord {
  return chordInKey(key, 7, colour === 'minor' ? '7b9' : '7sus')
}
