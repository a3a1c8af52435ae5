/** Why the runner-up lost: the one thing a player would name, looked for in the order it is heard — melody, function, key, voice leading. */
import type { NoteName } from '../contract/index.js'
import { mod, pitchClass, simplifyNoteName, transposeName } from '../units/index.js'
import type { LineNote } from './line-notes.js'
import { type Candidate, melodyCost, moveCost, moveReason, show, type SlotContext, worstFit } from './qualities.js'
import { clashName } from './table.js'

export interface Around {
  readonly previous: Candidate | undefined
  readonly next: Candidate | undefined
  readonly context: SlotContext
}

/** A candidate's own cost and that of the moves to and from it, with the neighbours as they are. */
export function costHere(candidate: Candidate, notes: readonly LineNote[], around: Around): number {
  return melodyCost(candidate, notes, around.context) + arriving(candidate, around) + leaving(candidate, around)
}
const arriving = (candidate: Candidate, { previous, context }: Around): number =>
  previous ? moveCost(previous, candidate, context.tonicPc) : 0
const leaving = (candidate: Candidate, { next, context }: Around): number =>
  next ? moveCost(candidate, next, context.tonicPc) : 0

/** From this much on the way onward is what decides, whatever the key has. */
const CLEAR = 3

/** `isAsked`: the line is known with this chord, so it was given points. */
export function whyLost(
  chosen: Candidate,
  second: Candidate,
  notes: readonly LineNote[],
  around: Around,
  isAsked: boolean,
): string {
  const { context, next } = around
  const soft = worstFit(second, notes)
  if (soft.fit === 'soft' && soft.note && worstFit(chosen, notes).fit === 'ok') {
    return `${show(soft.note.name)} would be a soft ${clashName(soft.note.pc - second.rootPc)} there`
  }
  if (chosen.bass !== undefined && pitchClass(chosen.bass) !== chosen.rootPc)
    return `the bass has to pass through ${show(chosen.bass)}`
  const held = heldUnder(second, notes, context)
  if (held && chosen.quality?.id !== 'maj7') return `no seventh a half step under the held ${show(held.name)}`
  if (chosen.family === 'dominant' && second.family === 'sus') return 'its third leads on more surely than the fourth'
  const onward = leaving(second, around) - leaving(chosen, around)
  const reason = next && moveReason(chosen, next, context.tonicPc)
  if (onward >= CLEAR && reason) return reason
  const inKey = keyWords(chosen, second, context)
  if (inKey) return inKey
  if (onward > 0 && reason) return reason
  if (isAsked) return 'the line is known with it'
  if (arriving(second, around) > arriving(chosen, around)) return 'it is nearer to the chord before'
  if (onward > 0 && next) return `it is nearer to the ${show(next.root)} chord after it`
  if (isRest(second, chosen, context)) return 'home is no place for that colour'
  if (context.was && context.keep > 0) return 'it keeps the quality the tune had'
  return 'it is the plainer of the two'
}

/** Whether the chosen chord stands for a ∆ that rubs under a held root. */
export const isHeldFor = (
  chosen: Candidate,
  second: Candidate,
  notes: readonly LineNote[],
  context: SlotContext,
): boolean => chosen.quality?.id !== second.quality?.id && heldUnder(second, notes, context) !== undefined

/** The note of a tonic held two beats or more a half step above the seventh of a ∆. */
function heldUnder(second: Candidate, notes: readonly LineNote[], { beatTicks }: SlotContext): LineNote | undefined {
  if (second.quality?.id !== 'maj7') return undefined
  return notes.find(({ pc, heldTicks }) => pc === second.rootPc && heldTicks >= 2 * beatTicks)
}

/** 'D is in the key, D♭ is not': the first chord note that differs so. */
function keyWords(chosen: Candidate, second: Candidate, { keyPcs }: SlotContext): string {
  const own = chosen.quality
  const other = second.quality
  if (!own || !other) return ''
  for (const [index, tone] of own.tones.entries()) {
    const instead = other.tones[index]
    if (instead === undefined || instead === tone) continue
    const isIn = keyPcs.has(mod(chosen.rootPc + tone, 12))
    const isOtherIn = keyPcs.has(mod(second.rootPc + instead, 12))
    if (!isIn || isOtherIn) continue
    const name = (semitones: number, steps: number | undefined): NoteName =>
      simplifyNoteName(transposeName(chosen.root, { steps: steps ?? 0, semitones }))
    return `${show(name(tone, own.steps[index]))} is in the key, ${show(name(instead, other.steps[index]))} is not`
  }
  return ''
}

const isRest = (second: Candidate, chosen: Candidate, { tonicPc }: SlotContext): boolean =>
  chosen.rootPc === tonicPc && second.family !== chosen.family
