/** The ending decision's recipes: how the last note comes home. */
import type { Recipe } from '../recipe.js'
import { asWritten } from './as-written.js'
import { button } from './button.js'
import { chromaticDescent } from './chromatic-descent.js'
import { coda } from './coda.js'
import { delayedTonic } from './delayed-tonic.js'
import { dominantPedal } from './dominant-pedal.js'
import { fade } from './fade.js'
import { freeLastPhrase } from './free-last-phrase.js'
import { halfStepAboveEnding } from './half-step-above.js'
import { type EndingIdea, endingRecipe } from './idea.js'
import { ritardando } from './ritardando.js'
import { tag } from './tag.js'
import { vamp } from './vamp.js'

const IDEAS: readonly EndingIdea[] = [
  coda,
  delayedTonic,
  chromaticDescent,
  halfStepAboveEnding,
  vamp,
  tag,
  dominantPedal,
  ritardando,
  freeLastPhrase,
  button,
  fade,
]

export const endingRecipes: readonly Recipe[] = [asWritten, ...IDEAS.map(endingRecipe)]
