/** Two plans side by side: what changed for the whole piece, and which bars changed and how. */
export { comparePlans } from './compare.js'
export type { BarChange, Comparison, Difference, Length, Stretch, WholeChange } from './shape.js'
