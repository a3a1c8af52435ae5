/** Fade: the last bars go round, softer each time, until nobody is heard. */
import type { ArrangedBar } from '../../contract/index.js'
import { barsAsked, type EndingIdea, lengthInWords } from './idea.js'
import { inRounds, turnOf } from './turn.js'

const SOFTER = ['mp', 'p', 'pp'] as const

export const fade: EndingIdea = {
  id: 'fade',
  rule: 'EN15',
  energy: -0.4,
  distance: 0.15,
  difficulty: 0.05,
  variants: (close) => {
    const turn = turnOf(close)
    if (typeof turn === 'string') return turn
    const round = turn.length + close.home.length
    return [{ bars: 2 * round, round }]
  },
  write: (close, params) => {
    const turn = turnOf(close)
    if (typeof turn === 'string') return { refused: turn }
    const round = [...turn, ...close.home]
    const count = barsAsked(inRounds(params, round.length), round.length)
    if (typeof count === 'string') return { refused: count }
    if (count % round.length !== 0) return { refused: `The fade goes round in ${lengthInWords(round.length)}.` }
    const again = Array.from({ length: count / round.length }, (_, time) =>
      round.map((bar, index): ArrangedBar => {
        const { mark: _mark, fermataTick: _fermata, ...plain } = bar
        return index === 0 ? { ...plain, dynamic: SOFTER[Math.min(time + 1, 2)] as 'p' } : plain
      }),
    )
    const [first, ...rest] = close.home
    return {
      bars: [{ ...(first as ArrangedBar), dynamic: 'mp', mark: 'fade' }, ...rest, ...again.flat()],
      hasNoFermata: true,
      title: `Fade, ${lengthInWords(count)} more`,
      summary: `The last ${lengthInWords(round.length)} go round, softer each time; there is no last chord to agree on.`,
      reason: [{ rule: 'EN15', text: `${count / round.length} more times, from mp to pp` }],
      suits: 0.4,
    }
  },
}
