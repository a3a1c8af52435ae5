/** A root and its melody: the chords that carry it, best first. */
import { type Chord, type KeySignature, type MelodyNote, type NoteName, TICKS_PER_QUARTER } from '../contract/index.js'
import { chord as parsed } from '../chords/index.js'
import { nameOfPitch, pitchClass, tonicOf } from '../units/index.js'
import type { LineNote } from './line-notes.js'
import {
  type Candidate,
  degreesInWords,
  keyPitchClasses,
  melodyCost,
  moveCost,
  moveReason,
  QUALITIES,
  worstFit,
  writtenName,
} from './qualities.js'

/** Usable chords on a root under the notes (every one counts; none passes), best first. `next` is the root that follows. */
export function qualitiesFor(
  root: NoteName,
  notes: readonly MelodyNote[],
  context: { readonly key: KeySignature; readonly next?: NoteName },
): readonly { readonly chord: Chord; readonly cost: number; readonly why: string }[] {
  const over: readonly LineNote[] = notes.map((note) => {
    const name = nameOfPitch(note.name)
    return {
      pc: pitchClass(name),
      name,
      startTick: note.startTick,
      endTick: note.startTick + note.durationTicks,
      heldTicks: note.durationTicks,
      isPassing: false,
      isStrong: note.startTick === 0,
    }
  })
  const keyPcs = keyPitchClasses(context.key)
  const tonicPc = pitchClass(tonicOf(context.key.key))
  const next: Candidate | undefined =
    context.next === undefined
      ? undefined
      : { root: context.next, rootPc: pitchClass(context.next), family: 'open', tones: [0] }
  return QUALITIES.filter(({ id }) => id !== '')
    .map((quality): Candidate => ({
      root,
      rootPc: pitchClass(root),
      family: quality.family,
      tones: quality.tones,
      quality,
    }))
    .filter((candidate) => worstFit(candidate, over).fit !== 'hard')
    .map((candidate) => {
      const move = next ? moveCost(candidate, next, tonicPc) : 0
      const reason = next && moveReason(candidate, next, tonicPc)
      const own = melodyCost(candidate, over, {
        key: context.key,
        keyPcs,
        tonicPc,
        beatTicks: TICKS_PER_QUARTER,
        keep: 0,
      })
      return {
        chord: parsed(writtenName(candidate, over)),
        cost: own + move,
        why: [degreesInWords(candidate, over), reason].filter((part) => part).join('; '),
      }
    })
    .sort((a, b) => a.cost - b.cost)
}
