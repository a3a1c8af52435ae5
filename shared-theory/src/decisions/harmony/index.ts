/** The harmony decision's recipes. (Being built.) */
import type { Recipe } from '../recipe.js'

export const harmonyRecipes: readonly Recipe[] = []
