/** The ending decision's recipes. (Being built.) */
import type { Recipe } from '../recipe.js'

export const endingRecipes: readonly Recipe[] = []
