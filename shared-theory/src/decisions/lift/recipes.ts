/** The lift's recipes: none, and one a preparation. */
import type { Recipe } from '../recipe.js'
import { lift } from './apply.js'
import { liftOffers } from './offer.js'
import { PREPARATIONS } from './kinds.js'

const noLift: Recipe = {
  id: 'none',
  kind: 'lift',
  offer: ({ at }) => ({
    offers: [
      {
        recipe: 'none',
        title: 'No lift',
        params: { semitones: 0, preparation: 'none' },
        summary: 'The key stays where it is; nobody has to read a new signature and the singer knows the top note.',
        reason: [{ rule: 'LI1', text: 'the tune ends in the key it began in' }],
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

export const liftRecipes: readonly Recipe[] = [
  noLift,
  ...PREPARATIONS.map((kind): Recipe => ({
    id: kind,
    kind: 'lift',
    offer: (context) => liftOffers(kind, context),
    apply: (bars, chosen, { tune }) => lift(kind, bars, chosen, tune),
  })),
]
