/** Leaves nothing of a board in a browser that may not come in any more. */
import { draftName } from '../sync/offline.js'
import type { KeptBoards } from './kept-boards.js'
import { type NoteStore, OwnNotes } from './own-notes.js'

/** Edits no server has answered yet stay, unseen: they go through if somebody comes in here with a link again. */
export async function forgetBoard(boards: KeptBoards, store: NoteStore, boardId: string): Promise<void> {
  await boards.forget(boardId)
  const notes = new OwnNotes(store, boardId, 'door')
  if (notes.waiting > 0) return
  notes.forget()
  globalThis.indexedDB?.deleteDatabase(draftName(boardId))
}
