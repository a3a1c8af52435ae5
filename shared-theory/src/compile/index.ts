/** Plan to arrangement: running order, harmony, lift, groove, opening, ending, hand edits, band, in that order. */
export { barsBefore, compile, compileForm, compilePartly, planHash } from './compile.js'
export { defaultPlan } from './default-plan.js'
export { sectionRef } from './edit-shape.js'
export { planShape } from './plan-shape.js'
export { findBar, nameOfBar } from './place-edits.js'
export { extentOf, recipesOf } from './stages.js'
