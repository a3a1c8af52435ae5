/** VA3 for chord symbols: a root named against the key, a slash bass named against its own chord. */
import type { ArrangedBar, Chord, NoteName } from '../contract/index.js'
import { formatChord, qualityOf } from '../chords/index.js'
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

/** Where a chord stands: what it comes from, what it leads to, and the bar after its own. */
export interface ChordPlace {
  readonly before: Chord | undefined
  readonly next: Chord | undefined
  readonly barAfter: ArrangedBar | undefined
}

/** What is wrong with a chord's letters, in words; undefined where a reader would not stumble. */
export function chordSpellingFault(
  bar: ArrangedBar,
  chord: Chord,
  { before, next, barAfter }: ChordPlace,
): string | undefined {
  if (chord.root === '' || chord.over) return undefined
  const isPreparing = barAfter !== undefined && barAfter.key.key !== bar.key.key
  const isInKeyAhead = isPreparing && scaleOf(barAfter.key.key).includes(chord.root) && !breaksFifth(chord.root, next)
  const isOfKeyAhead = isInKeyAhead || (isPreparing && leadsAhead(chord, next))
  const inKey = scaleOf(bar.key.key).find((name) => pitchClass(name) === pitchClass(chord.root))
  if (
    inKey !== undefined &&
    inKey !== chord.root &&
    USUAL_ROOTS.has(inKey) &&
    !slidesTo(chord.root, next) &&
    !isOfKeyAhead
  ) {
    const better = shownChord(respelled(chord, inKey))
    return `${shownChord(chord)} in the key of ${shownKey(bar.key)} is ${better}; write it so.`
  }
  const { bass } = chord
  const tone = bass === undefined ? undefined : chord.notes.find((name) => pitchClass(name) === pitchClass(bass))
  if (bass === undefined || tone === undefined || tone === bass || !isPlain(tone)) return undefined
  const isPedal = [before, next].some((other) => other !== undefined && (other.bass ?? other.root) === bass)
  if (isPedal) return undefined
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
  const [step, letters] = wayTo(root, next)
  return (step === 1 && letters === 1) || (step === 11 && letters === 6)
}

/** On the way to another key: a fifth down by its letters, or a half step off a sharp: C♯∅7 before F♯7 or C7. A dominant a half step above
 *  falls to the next letter: B♭7 before Am, not A♯7. */
function leadsAhead(chord: Chord, next: Chord | undefined): boolean {
  const [step, letters] = wayTo(chord.root, next)
  return (step === 5 && letters === 3) || (step === 11 && letters === 0 && qualityOf(chord) !== 'dominant')
}

/** A fifth down to the ear, and not by its letters: D♯m7♭5 before A♭7. */
function breaksFifth(root: NoteName, next: Chord | undefined): boolean {
  const [step, letters] = wayTo(root, next)
  return step === 5 && letters !== 3
}

function wayTo(root: NoteName, next: Chord | undefined): readonly [semitones: number, letters: number] {
  if (!next || next.root === '') return [0, 0]
  return [mod(pitchClass(next.root) - pitchClass(root), 12), mod(next.root.charCodeAt(0) - root.charCodeAt(0), 7)]
}
