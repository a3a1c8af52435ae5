/** VA3 for chord symbols: a root named against the key, a slash bass named against its own chord. */
import type { ArrangedBar, Chord, NoteName } from '../contract/index.js'
import { formatChord } from '../chords/index.js'
import { pitchClass } from '../units/index.js'
import { shownChord, shownKey, shownName } from './words.js'

/** What is wrong with a chord's letters, in words; undefined where a reader would not stumble. `scale`: the key's names by pitch class. */
export function chordSpellingFault(
  bar: ArrangedBar,
  scale: ReadonlyMap<number, readonly NoteName[]>,
  chord: Chord,
): string | undefined {
  if (chord.root === '' || chord.over) return undefined
  const names = scale.get(pitchClass(chord.root))
  const [inKey] = names ?? []
  // Nobody minds B7 in G♭: the plain letter is the easier read.
  if (inKey !== undefined && !names?.includes(chord.root) && isHarder(chord.root, inKey)) {
    const better = shownChord(respelled(chord, inKey))
    return `${shownChord(chord)} in the key of ${shownKey(bar.key)} is ${better}; write it so.`
  }
  const { bass } = chord
  const tone = bass === undefined ? undefined : chord.notes.find((name) => pitchClass(name) === pitchClass(bass))
  if (bass === undefined || tone === undefined || tone === bass || !isPlain(tone)) return undefined
  return `the bass of ${shownChord(chord)} is the chord's ${shownName(tone)}; write /${shownName(tone)}.`
}

/** Written for the words alone: the symbol with another root letter. */
const respelled = (chord: Chord, root: NoteName): Chord => ({
  ...chord,
  root,
  symbol: root + formatChord(chord).slice(chord.root.length),
})

const isPlain = (name: NoteName): boolean => !/^(Cb|Fb|B#|E#)$|bb|##/.test(name)

/** Whether a letter is no easier to read than the key's own. */
const isHarder = (name: NoteName, own: NoteName): boolean => isPlain(own) || !isPlain(name)
