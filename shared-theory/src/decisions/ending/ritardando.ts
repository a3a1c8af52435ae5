/** Ritardando: the last bars slow down into the last chord; what would turn back is left out. */
import { shown } from '../lift/words.js'
import type { EndingIdea } from './idea.js'
import { ritardando as slowed } from './slower.js'

const BARS = 4

export const ritardando: EndingIdea = {
  id: 'ritardando',
  rule: 'EN10',
  energy: -0.3,
  distance: 0.05,
  difficulty: 0.15,
  addsNone: true,
  variants: () => [{ bars: 0 }],
  write: (close) => {
    // Where home comes inside the last bar, that bar is the one that is held.
    const home = close.madeHome > 0 ? [] : close.home
    const start = Math.max(0, close.at - Math.max(0, BARS - home.length))
    const lead = close.bars.slice(start, close.at)
    return {
      from: start,
      keepsNames: true,
      bars: slowed([...lead, ...home]),
      title: 'Ritardando into the last chord',
      summary: `The last bars slow to ${lead.length + home.length >= BARS ? '70' : '78'} % and settle on ${shown(close.goal)} under a fermata.`,
      reason: [{ rule: 'EN10', text: `tempo falls bar by bar; ${shown(close.goal)} is held` }],
      suits: 0.64,
    }
  },
}
