/** Button: everybody hits the first beat of the last chord, short, and stops. */
import { beatTicks } from '../../fit/index.js'
import type { ArrangedBar } from '../../contract/index.js'
import { shown } from '../lift/words.js'
import { heldNote } from './close.js'
import { type EndingIdea, heldWord } from './idea.js'

export const button: EndingIdea = {
  id: 'button',
  rule: 'EN9',
  energy: 0.3,
  distance: 0.15,
  difficulty: 0.2,
  addsNone: true,
  variants: ({ home, madeHome }) => [{ bars: 1 - home.length + madeHome }],
  write: (close) => {
    const first = close.home[0] as ArrangedBar
    const hit = Math.min(beatTicks(first.metre), first.lengthTicks)
    return {
      bars: [{ ...first, melody: close.held ? [heldNote(close.held, hit)] : [] }],
      hasNoFermata: true,
      title: 'Button',
      summary: `Everybody hits ${shown(close.goal)} on one, short, and ${heldWord(close)} is cut to a beat: a full stop.`,
      reason: [{ rule: 'EN9', text: `one hit on the first beat of ${shown(close.goal)}, nothing after it` }],
      suits: 0.58,
    }
  },
}
