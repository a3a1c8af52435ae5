/** The opening decision's recipes: what is played before bar 1. */
import type { Recipe } from '../recipe.js'
import { dominantPedal } from './dominant-pedal.js'
import { openingRecipe, type OpeningIdea } from './idea.js'
import { none } from './none.js'
import { turnaround } from './turnaround.js'
import { vamp } from './vamp.js'

const IDEAS: readonly OpeningIdea[] = [dominantPedal, vamp, turnaround]

export const openingRecipes: readonly Recipe[] = [none, ...IDEAS.map(openingRecipe)]
