/** What is heard: the player, its mixer and their limits. Loaded when somebody first presses play. */
export { bounce, type BounceRequest, render, type Rendered } from './bounce.js'
export { loudnessFrom } from './level-match.js'
export { AUDIO } from './limits.js'
export { gatedLoudness, matchDb } from './loudness.js'
export type { PartLevel } from './mixer.js'
export { Player, type PlayRequest } from './player.js'
export type { Loop } from './scheduler.js'
