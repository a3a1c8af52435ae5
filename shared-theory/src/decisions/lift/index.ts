/** The lift decision's recipes: the key moves at a section's start and everything after moves with it. */
export { type Aim, type Line, PREPARATIONS, PREPARATION_WORDS, type PreparationKind } from './kinds.js'
export { type Manner, movedBar, movedChord, movedNote, moveOf } from './move.js'
export { commonTone, commonTriads, type ModulationPath, modulationPaths } from './paths.js'
export { liftIndex } from './place.js'
export { prepare, preparingAt } from './prepare.js'
export { liftRecipes } from './recipes.js'
