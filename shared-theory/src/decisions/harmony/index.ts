/** The harmony decision's recipes: new chords under a melody that stays as it is. */
import type { Recipe } from '../recipe.js'
import { asWritten } from './as-written.js'
import { backdoor } from './backdoor.js'
import { chromaticDescent } from './chromatic-descent.js'
import { cycleExtension } from './cycle-extension.js'
import { diatonicSubstitution } from './diatonic-substitution.js'
import { diminishedPassing } from './diminished-passing.js'
import { freeRootLine } from './free-root-line.js'
import { halfStepAbove } from './half-step-above.js'
import { type HarmonyIdea, harmonyRecipe } from './idea.js'
import { lineCliche } from './line-cliche.js'
import { majorThirdCycle } from './major-third-cycle.js'
import { modalInterchange } from './modal-interchange.js'
import { proposedChords } from './proposed-chords.js'
import { relatedII } from './related-ii.js'
import { secondaryDominants } from './secondary-dominants.js'
import { tonicPedal } from './tonic-pedal.js'
import { tritoneSubstitution } from './tritone-substitution.js'
import { upAHalfStep } from './up-a-half-step.js'

const IDEAS: readonly HarmonyIdea[] = [
  proposedChords,
  tritoneSubstitution,
  relatedII,
  secondaryDominants,
  backdoor,
  diminishedPassing,
  modalInterchange,
  diatonicSubstitution,
  lineCliche,
  tonicPedal,
  cycleExtension,
  majorThirdCycle,
  chromaticDescent,
  halfStepAbove,
  upAHalfStep,
  freeRootLine,
]

export const harmonyRecipes: readonly Recipe[] = [asWritten, ...IDEAS.map(harmonyRecipe)]
