/** The opening decision's recipes. (Being built.) */
import type { Recipe } from '../recipe.js'

export const openingRecipes: readonly Recipe[] = []
