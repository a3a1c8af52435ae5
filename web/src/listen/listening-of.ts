/** One listening a room, shared by the player at the foot and the listen page; made when sound is first wanted. */
import type { Room } from '../state/room.js'
import { Listening } from './listening.js'
import { partOfWords } from './mix.js'

const known = new WeakMap<Room, Listening>()

export function listeningOf(room: Room): Listening {
  let listening = known.get(room)
  if (!listening) {
    listening = new Listening(room, partOfWords(room.board?.lineup ?? [], room.me.plays), globalThis.localStorage)
    known.set(room, listening)
  }
  return listening
}
