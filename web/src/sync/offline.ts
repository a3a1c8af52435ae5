/** The draft kept in this browser too: what was written without a line is still there after a reload, and goes through once there is one. */
import type { Doc } from 'yjs'

export interface OfflineCopy {
  /** Removes the copy: the board is gone, or the key was taken back. */
  forget(): Promise<void>
}

/** How long opening a board waits for the browser's copy before it goes on without. */
const PATIENCE_MS = 800

/** The browser's database that holds a board's draft. */
export const draftName = (boardId: string): string => `chartloft:${boardId}`

/** Resolves once the copy is read into the document; undefined where the browser keeps nothing (a private window). */
export async function keepOffline(doc: Doc, boardId: string): Promise<OfflineCopy | undefined> {
  if (!('indexedDB' in globalThis)) return undefined
  try {
    const { IndexeddbPersistence } = await import('y-indexeddb')
    const copy = new IndexeddbPersistence(draftName(boardId), doc)
    const patience = new Promise<void>((resolve) => setTimeout(resolve, PATIENCE_MS))
    await Promise.race([copy.whenSynced.then(() => undefined), patience])
    return { forget: () => copy.clearData() }
  } catch {
    // reason: without a copy everything works, only not across a reload while offline
    return undefined
  }
}
