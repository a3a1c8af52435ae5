/** No opening: the tune begins at once. */
import { issue } from '../../units/index.js'
import { isShort } from '../bars.js'
import type { Recipe } from '../recipe.js'

export const none: Recipe = {
  id: 'none',
  kind: 'opening',
  offer: ({ bars }) => ({
    offers: [
      {
        recipe: 'none',
        title: 'No opening',
        params: { bars: 0 },
        summary:
          bars[0] && isShort(bars[0])
            ? 'The band counts in and the pickup begins; nothing has to be rehearsed.'
            : 'The band counts in and bar 1 begins; nothing has to be rehearsed.',
        reason: [{ rule: 'OP1', text: 'the tune as written, from its own beginning' }],
        suits: 0.5,
        energy: 0,
        distance: 0,
        difficulty: 0,
      },
    ],
  }),
  apply: (bars, chosen) => {
    const asked = chosen.option.params['bars']
    const isNone = asked === undefined || asked === 0
    const text = `${chosen.option.title}: no opening has no bars; choose another one for ${String(asked)}.`
    return { bars, issues: isNone ? [] : [issue('OP13', 'warning', 'chosen', text)] }
  },
}
