/** The listen page and the player, loaded when somebody wants to hear. */
import './player.js'
import './loft-listen.js'
