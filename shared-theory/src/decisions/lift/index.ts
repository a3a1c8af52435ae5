/** The lift decision's recipes: the key moves at a section's start and everything after moves with it. */
export { movedBar, movedChord, movedNote, moveOf } from './move.js'
export { liftIndex } from './place.js'
export { commonTriads, prepare, preparingAt, PREPARATIONS, type PreparationKind } from './prepare.js'
export { liftRecipes } from './recipes.js'
