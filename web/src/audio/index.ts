/** What is heard: the player, its mixer and their limits. Loaded when somebody first presses play. */
export { AUDIO } from './limits.js'
export type { PartLevel } from './mixer.js'
export { Player, type PlayRequest } from './player.js'
export type { Loop } from './scheduler.js'
