/** What ideas share that give the optimiser a line of roots: slots from bars, a writing from its answer, refusals that name the bar. */
import type { RuleStep } from '../../contract/index.js'
import { type FittedSlot, fitLine, type LineRequest } from '../../fit/index.js'
import { ofTheTune } from '../bar-words.js'
import { shown } from './clash.js'
import { barAt, type Stretch } from './stretch.js'

/** The request's frame for a stretch: its melody, key and the chord before. */
export function lineFrame(stretch: Stretch): Pick<LineRequest, 'key' | 'notes' | 'beatTicks' | 'before'> {
  return {
    key: stretch.key,
    notes: stretch.notes,
    beatTicks: stretch.beatTicks,
    ...(stretch.before ? { before: stretch.before } : {}),
  }
}

/** The fitted slots, or the refusal with its bar. */
export function fittedOr(stretch: Stretch, request: LineRequest): readonly FittedSlot[] | { readonly refused: string } {
  const line = fitLine(request)
  if (line.ok) return line.slots
  const at = request.slots[line.slotIndex]?.startTick ?? 0
  return { refused: `${ofTheTune(`Bar ${stretch.numbers[barAt(stretch, at)]}`)}: ${line.why}.` }
}

/** One step of the chain for each chord: what it won over and by what, and what the melody is over it. */
export const chainOf = (slots: readonly FittedSlot[]): readonly RuleStep[] =>
  slots.map((slot) => ({ rule: slot.isEarly ? 'FI7' : 'FI5', text: choiceInWords(slot) }))

/** 'B♭∆ over B♭m∆: D is in the key, D♭ is not; A is 7, F is 5'. */
function choiceInWords({ chord, why, degrees, runnerUp, isEarly }: FittedSlot): string {
  const name = `${shown(chord)}${isEarly ? ', a beat early' : ''}`
  if (!runnerUp) return `${name}: ${why || 'the melody rests'}`
  const heard = degrees || 'the melody rests'
  return `${name}${runnerUp.refused ? ', not' : ' over'} ${shown(runnerUp.chord)}: ${runnerUp.lost}; ${heard}`
}
