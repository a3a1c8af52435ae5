/** The groove decision: which groove the whole arrangement is played in, re-barred where its metre is another. */
export { type ExcerptBar, type ExcerptStep, rebarExcerpt } from './excerpt.js'
export { type TuneFacts, factsOf } from './facts.js'
export {
  type GrooveRequest,
  AS_WRITTEN,
  readRequest as readGrooveRequest,
  tempoFor,
  toGrooveMetre,
  writtenRequest,
} from './place-groove.js'
export { grooveRecipes } from './recipes.js'
