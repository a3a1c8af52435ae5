/** VA6: a part beyond what its player is comfortable with. Source of the ranges: the instrument table. */
import type { Issue, PartNote } from '../contract/index.js'
import { issue, pitchInKey } from '../units/index.js'
import { type CheckContext, type CheckedPart, notesOf, readableBars } from './check-context.js'
import { shownName, shownNote } from './words.js'

export function checkRange(context: CheckContext): Issue[] {
  const found: Issue[] = []
  for (const [index, bar] of readableBars(context.bars)) {
    for (const part of context.parts) {
      if (part.isDrums) continue
      const notes = notesOf(bar, part)
      const worst = farthestOut(notes, part)
      if (!worst) continue
      const { note, place, isHigh } = worst
      const limit = part.instrument.range[isHigh ? 1 : 0]
      const name = `${shownNote(note, bar.key)} is ${isHigh ? 'above' : 'below'} the ${part.name}'s comfortable ${isHigh ? 'top' : 'bottom'} ${shownName(pitchInKey(limit, bar.key))}`
      const text = `Bar ${context.numberOf(index)}: ${name}. ${mendWords(context, part, notes, isHigh)}`
      found.push(issue('VA6', 'warning', `bars/${index}/parts/${part.spec.id}/${place}`, text))
    }
  }
  return found
}

function farthestOut(
  notes: readonly PartNote[],
  { instrument }: CheckedPart,
): { readonly note: PartNote; readonly place: number; readonly isHigh: boolean } | undefined {
  const [low, high] = instrument.range
  let worst: { note: PartNote; place: number; isHigh: boolean; by: number } | undefined
  for (const [place, note] of notes.entries()) {
    const by = Math.max(note.midi - high, low - note.midi)
    if (by > 0 && (!worst || by > worst.by)) worst = { note, place, by, isHigh: note.midi > high }
  }
  return worst
}

/** The octave where it fits; another line of the band that reaches. */
function mendWords(context: CheckContext, part: CheckedPart, notes: readonly PartNote[], isHigh: boolean): string {
  const fits = ({ instrument }: CheckedPart, shift: number): boolean =>
    notes.every(({ midi }) => midi + shift >= instrument.range[0] && midi + shift <= instrument.range[1])
  const octave = fits(part, isHigh ? -12 : 12) ? `An octave ${isHigh ? 'lower' : 'higher'}` : ''
  const other = part.isLine
    ? context.parts.find((candidate) => candidate !== part && candidate.isLine && fits(candidate, 0))
    : undefined
  const give = other ? `give the line to the ${other.name}` : ''
  if (octave && give) return `${octave}, or ${give}.`
  if (give) return `${give.charAt(0).toUpperCase()}${give.slice(1)}.`
  return octave ? `${octave}, or another key.` : 'Another key, or change the line.'
}
