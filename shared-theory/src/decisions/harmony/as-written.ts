/** The stretch left alone: an answer like any other, so that it can be chosen and locked. */
import type { Recipe } from '../recipe.js'

export const asWritten: Recipe = {
  id: 'as-written',
  kind: 'harmony',
  offer: ({ at }) => ({
    offers: [
      {
        recipe: 'as-written',
        title: 'As written',
        params: {},
        summary: "The tune's own chords stay; everybody knows them and the melody was made for them.",
        reason: [{ rule: 'HA1', text: 'the chords the melody came with' }],
        ...(at ? { at } : {}),
        suits: 0.5,
        energy: 0,
        distance: 0,
        difficulty: 0,
      },
    ],
  }),
  apply: (bars) => ({ bars, issues: [] }),
}
