/** Drums alone: the groove before anything else. */
import { chord as parsed } from '../../chords/index.js'
import { laidIn, lengthsWished } from '../bars.js'
import { barsAsked, lengthInWords, type OpeningIdea } from './idea.js'

export const drumsAlone: OpeningIdea = {
  id: 'drums-alone',
  rule: 'OP9',
  energy: 0.3,
  distance: 0.1,
  difficulty: 0.1,
  variants: ({ plan }) =>
    plan.lineup.length > 0 && plan.lineup.every(({ role }) => role !== 'drums')
      ? 'Nobody plays drums in this line-up.'
      : [{ bars: 4 }, { bars: 8 }],
  wished: (_door, wish) => lengthsWished(wish, [2, 16, 1, 12]).map((bars) => ({ bars })),
  write: (door, params) => {
    const count = barsAsked(params)
    if (typeof count === 'string') return { refused: count }
    const isFast = door.first.tempoBpm >= 120
    return {
      bars: Array.from({ length: count }, () => ({
        chords: laidIn({ ...door.first, chords: [] }, [parsed('N.C.')]),
      })),
      title: `Drums alone, ${lengthInWords(count)}`,
      says: `the drums set the time for ${lengthInWords(count)}, so the tempo stands before anybody plays a note`,
      reason: [
        { rule: 'OP9', text: 'no chord and no melody; the groove is everything' },
        { rule: 'OP11', text: 'metre, groove and tempo of bar 1 from the start' },
      ],
      suits: (isFast ? 0.55 : 0.35) - (count === 4 ? 0 : 0.08),
    }
  },
}
