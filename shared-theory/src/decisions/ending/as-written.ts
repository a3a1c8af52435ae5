/** The tune's own ending, with the fermata that everybody would put there. */
import type { Recipe } from '../recipe.js'
import { stamped } from '../stamp.js'
import { surplus } from './idea.js'

export const asWritten: Recipe = {
  id: 'as-written',
  kind: 'ending',
  offer: ({ bars }) => {
    if (bars.length === 0) return { absent: 'There are no bars to end.' }
    return {
      offers: [
        {
          recipe: 'as-written',
          title: 'As written, with a fermata',
          params: { bars: 0 },
          summary: 'The last note is held as long as the leader likes; nothing has to be rehearsed.',
          reason: [{ rule: 'EN1', text: 'the last bar as written, under a fermata' }],
          suits: 0.6,
          energy: -0.1,
          distance: 0,
          difficulty: 0,
        },
      ],
    }
  },
  apply: (bars, chosen) => {
    const last = bars.at(-1)
    if (!last) return { bars, issues: [] }
    const held = {
      ...last,
      fermataTick: last.melody.at(-1)?.startTick ?? last.chords.at(-1)?.startTick ?? 0,
      provenance: stamped(last.provenance, 'ending', chosen.option.id, 'EN1'),
    }
    return { bars: [...bars.slice(0, -1), held], issues: surplus(chosen) }
  },
}
