/** The opening decision's recipes: what is played before bar 1. */
import type { Recipe } from '../recipe.js'
import { bassCliche } from './bass-cliche.js'
import { dominantPedal } from './dominant-pedal.js'
import { drumsAlone } from './drums-alone.js'
import { freeFirstSections } from './free-first-sections.js'
import { openingRecipe, type OpeningIdea } from './idea.js'
import { none } from './none.js'
import { ownVerse } from './own-verse.js'
import { quote } from './quote.js'
import { turnaround } from './turnaround.js'
import { vamp } from './vamp.js'

const IDEAS: readonly OpeningIdea[] = [ownVerse, dominantPedal, vamp, turnaround, quote, bassCliche, drumsAlone]

export const openingRecipes: readonly Recipe[] = [none, ...IDEAS.map(openingRecipe), freeFirstSections]
