/** A folded score played out again, bar by bar. */
import type { ArrangedBar, Arrangement, FoldedBar, FoldedScore } from '../contract/index.js'
import { arrangementShape } from '../tune/index.js'
import { foldedShape } from './folded-shape.js'
import { playingOrder } from './playing-order.js'

/** The arrangement a folded score plays, following its marks as a player would; `unfold(fold(x))` equals x. Never throws. */
export function unfold(given: FoldedScore): Arrangement {
  const folded = foldedShape(given)
  const { version, title, lineup, groove } = folded
  const played = new Map<number, number>()
  const bars = playingOrder(folded.bars).order.map((at, barIndex): ArrangedBar => {
    const { bar, playings } = folded.bars[at] as FoldedBar
    const time = played.get(at) ?? 0
    played.set(at, time + 1)
    const playing = playings[time]
    return { ...bar, barIndex: playing?.barIndex ?? barIndex, ...playing?.differs }
  })
  return arrangementShape({ version, title, lineup, groove, bars })
}
