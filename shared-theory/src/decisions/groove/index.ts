/** The groove decision's recipes. (Being built.) */
import type { Recipe } from '../recipe.js'

export const grooveRecipes: readonly Recipe[] = []
