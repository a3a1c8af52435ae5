/** The five decisions: each a list of recipes of one shape. */
export { filled, wholeBar, withLeadIn } from './bars.js'
export * from './recipe.js'
export { endingRecipes } from './ending/index.js'
export { type ExcerptBar, type ExcerptStep, grooveRecipes, rebarExcerpt } from './groove/index.js'
export { harmonyRecipes } from './harmony/index.js'
export { liftRecipes, type ModulationPath, modulationPaths, movedBar, movedChord, movedNote } from './lift/index.js'
export { openingRecipes } from './opening/index.js'
export { stamped } from './stamp.js'
