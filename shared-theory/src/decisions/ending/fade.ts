/** Fade: the last bars go round, softer each time, until nobody is heard. */
import type { ArrangedBar } from '../../contract/index.js'
import { lengthsWished, wholeBar } from '../bars.js'
import type { Close } from './close.js'
import { barsAsked, type EndingIdea, lengthInWords } from './idea.js'
import { inRounds, turnOf, untied } from './turn.js'

/** What goes round: the bars that turn home, and home. */
const roundOf = (close: Close, turn: readonly ArrangedBar[]): readonly ArrangedBar[] =>
  untied(
    close.madeHome > 0
      ? turn.map((bar, index) => (index === turn.length - 1 ? wholeBar(bar) : bar))
      : [...turn, ...close.home],
  )

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
    const round = roundOf(close, turn).length
    return [{ bars: 2 * round, round }]
  },
  wished: (close, wish) => {
    const turn = turnOf(close)
    if (typeof turn === 'string') return []
    const round = roundOf(close, turn).length
    return lengthsWished(wish, [3 * round, 4 * round, round])
      .filter((bars) => bars % round === 0)
      .map((bars) => ({ bars, round }))
  },
  write: (close, params) => {
    const turn = turnOf(close)
    if (typeof turn === 'string') return { refused: turn }
    const round = roundOf(close, turn)
    const count = barsAsked(inRounds(params, round.length), round.length)
    if (typeof count === 'string') return { refused: count }
    if (count % round.length !== 0) return { refused: `The fade goes round in ${lengthInWords(round.length)}.` }
    const again = Array.from({ length: count / round.length }, (_, time) =>
      round.map((bar, index): ArrangedBar => {
        const { mark: _mark, fermataTick: _fermata, ...plain } = bar
        return index === 0 ? { ...plain, dynamic: SOFTER[Math.min(time + 1, 2)] as 'p' } : plain
      }),
    )
    const isInside = close.madeHome > 0
    const [first, ...rest] = isInside ? round.slice(-1) : close.home
    return {
      ...(isInside ? { from: close.at - 1 } : {}),
      bars: [{ ...(first as ArrangedBar), dynamic: 'mp', mark: 'fade' }, ...rest, ...again.flat()],
      hasNoFermata: true,
      title: `Fade, ${lengthInWords(count)} more`,
      summary: `The last ${lengthInWords(round.length)} go round, softer each time; there is no last chord to agree on.`,
      reason: [{ rule: 'EN15', text: `${count / round.length} more times, from mp to pp` }],
      suits: 0.4,
    }
  },
}
