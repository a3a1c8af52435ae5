/** Chords that lead into whatever chord arrives: its dominant, its ii–V. */
import type { Chord, KeySignature } from '../../contract/index.js'
import { chord as parsed, qualityOf } from '../../chords/index.js'
import { pitchClass, tonicOf, transposeName } from '../../units/index.js'
import { type Colour, chordInKey, homeDominant } from '../key-colour.js'
import { plainRoot } from '../lift/move.js'
import type { Doorway } from './idea.js'

const isMinorChord = (chord: Chord): boolean =>
  ['minor', 'minor-sixth', 'half-diminished', 'diminished'].includes(qualityOf(chord))

export const isHome = (chord: Chord | undefined, key: KeySignature): boolean =>
  chord === undefined || pitchClass(chord.root) === pitchClass(tonicOf(key.key))

/** V7sus of the chord that arrives (V7♭9 where it is minor). */
export function dominantInto({ goal, key, colour }: Pick<Doorway, 'goal' | 'key' | 'colour'>): Chord {
  if (goal === undefined || isHome(goal, key)) return homeDominant(key, colour)
  return parsed(`${plainRoot(transposeName(goal.root, '5P'), key)}${isMinorChord(goal) ? '7b9' : '7sus'}`)
}

/** ii and V of the chord that arrives; before home in the colour of the key. */
export function twoFiveInto({ goal, key, colour }: Pick<Doorway, 'goal' | 'key' | 'colour'>): readonly [Chord, Chord] {
  if (goal === undefined || isHome(goal, key)) return homeTwoFive(key, colour)
  const isMinor = isMinorChord(goal)
  return [
    parsed(`${plainRoot(transposeName(goal.root, '2M'), key)}${isMinor ? 'm7b5' : 'm7'}`),
    parsed(`${plainRoot(transposeName(goal.root, '5P'), key)}${isMinor ? '7b9' : '7'}`),
  ]
}

export function homeTwoFive(key: KeySignature, colour: Colour): readonly [Chord, Chord] {
  const isMinor = colour === 'minor'
  return [chordInKey(key, 2, isMinor ? 'm7b5' : 'm7'), chordInKey(key, 7, isMinor ? '7b9' : '7')]
}
