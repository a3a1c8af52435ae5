/** VA3 for chord symbols: a root named against the key, a slash bass named against its own chord. */
import type { ArrangedBar, Chord, NoteName } from '../contract/index.js'
import { formatChord } from '../chords/index.js'
import { mod, pitchClass, scaleOf } from '../units/index.js'
import { shownChord, shownKey, shownName } from './words.js'

/** Roots a chart is written with. E♭7 in C♯ is the easier read, and so is B7 in G♭. Source: common practice. */
const USUAL_ROOTS: ReadonlySet<NoteName> = new Set([
  'C',
  'C#',
  'Db',
  'D',
  'Eb',
  'E',
  'F',
  'F#',
  'Gb',
  'G',
  'Ab',
  'A',
  'Bb',
  'B',
])

/** What is wrong with a chord's letters, in words; undefined where a reader would not stumble. `next`: the chord it leads to. */
export function chordSpellingFault(bar: ArrangedBar, chord: Chord, next: Chord | undefined): string | undefined {
  if (chord.root === '' || chord.over) return undefined
  const inKey = scaleOf(bar.key.key).find((name) => pitchClass(name) === pitchClass(chord.root))
  if (inKey !== undefined && inKey !== chord.root && USUAL_ROOTS.has(inKey) && !slidesTo(chord.root, next)) {
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

/** A half step to the next letter: G♭7 before F7, A♯°7 before B. */
function slidesTo(root: NoteName, next: Chord | undefined): boolean {
  if (!next || next.root === '') return false
  const step = mod(pitchClass(next.root) - pitchClass(root), 12)
  const letters = mod(next.root.charCodeAt(0) - root.charCodeAt(0), 7)
  return (step === 1 && letters === 1) || (step === 11 && letters === 6)
}
