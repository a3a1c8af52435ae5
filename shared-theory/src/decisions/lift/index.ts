/** The lift decision's recipes. (Being built.) */
import type { Recipe } from '../recipe.js'

export const liftRecipes: readonly Recipe[] = []
