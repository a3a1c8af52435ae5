/** From a half step above the dominant: ♭VI∆ falls through V and ♯IV to IV under the held note, and home comes two bars late. */
import { fallFromAbove } from '../harmony/half-step-above.js'
import { shown } from '../lift/words.js'
import { barsAsked, type EndingIdea, heldThrough, heldWord, lengthInWords } from './idea.js'

const BARS = 2

export const halfStepAboveEnding: EndingIdea = {
  id: 'half-step-above',
  rule: 'EN16',
  energy: -0.15,
  distance: 0.35,
  difficulty: 0.35,
  variants: () => [{ bars: BARS }],
  write: (close, params) => {
    const count = barsAsked(params, BARS, BARS)
    if (typeof count === 'string') return { refused: count }
    const line = fallFromAbove(close.key)
    const bars = [line.slice(0, 2), line.slice(2)]
    const names = line.map(shown).join(' ')
    return {
      bars: [...heldThrough(close, bars), ...close.home],
      title: `From a half step above the dominant, ${lengthInWords(count)}`,
      summary: `${names} falls from a half step above the dominant under ${heldWord(close)}, and home, ${shown(close.goal)}, comes ${lengthInWords(count)} late.`,
      reason: [
        { rule: 'EN16', text: `${names}: ♭VI∆ is a half step above the dominant's root, then down to IV` },
        { rule: 'EN2', text: `${lengthInWords(count)} before ${shown(close.goal)}` },
      ],
      suits: 0.68,
    }
  },
}
