/** The road map: linear bars to a folded score and back, and the order players play it in. */
export { fold } from './fold.js'
export { type PlayingOrder, playingOrder } from './playing-order.js'
export { printedContent } from './printed-content.js'
export { unfold } from './unfold.js'
