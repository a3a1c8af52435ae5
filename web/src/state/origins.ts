/** Why a transaction of this page happened: what people count as an edit, and what only makes room for one. */

/** This person's edits: these are undone, and counted while they wait. */
export const MINE = Symbol('mine')
/** Maps made so that an edit has a place, and what a merge hid put back: nobody's edit. */
export const HOUSEKEEPING = Symbol('housekeeping')
