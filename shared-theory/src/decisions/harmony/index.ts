/** The harmony decision's recipes: new chords under a melody that stays as it is. */
import type { Recipe } from '../recipe.js'
import { asWritten } from './as-written.js'
import { backdoor } from './backdoor.js'
import { type HarmonyIdea, harmonyRecipe } from './idea.js'
import { relatedII } from './related-ii.js'
import { secondaryDominants } from './secondary-dominants.js'
import { tritoneSubstitution } from './tritone-substitution.js'

const IDEAS: readonly HarmonyIdea[] = [tritoneSubstitution, relatedII, secondaryDominants, backdoor]

export const harmonyRecipes: readonly Recipe[] = [asWritten, ...IDEAS.map(harmonyRecipe)]
