/** Addresses: which page of which board a path names, and back. */

/** The pages named at the head of every page. */
export const HEAD_PAGES = ['board', 'listen', 'charts', 'polls', 'people', 'history'] as const
/** And those reached from where they are needed. */
const BOARD_PAGES = [...HEAD_PAGES, 'band', 'stand'] as const
export type BoardPage = (typeof BOARD_PAGES)[number]
export type Route =
  | { readonly kind: 'bring' }
  | {
      readonly kind: 'board'
      readonly boardId: string
      readonly page: BoardPage
      readonly slotKey?: string
      readonly at?: string
    }
  | { readonly kind: 'nowhere' }

/** '/b/x1/decide/lift%40chorus-last%2FB1' opens the decision desk of that slot over the board page, '/b/x1/history/7' what stood after entry 7. */
export function routeOf(pathname: string): Route {
  const parts = pathname.split('/').filter((part) => part !== '')
  if (parts.length === 0) return { kind: 'bring' }
  const [first, boardId, page, rest] = parts
  if (first !== 'b' || !boardId || parts.length > 4) return { kind: 'nowhere' }
  if (page === undefined) return { kind: 'board', boardId, page: 'board' }
  if (page === 'decide' && rest) return { kind: 'board', boardId, page: 'board', slotKey: decode(rest) }
  if (page === 'history' && rest) return { kind: 'board', boardId, page, at: decode(rest) }
  const known = BOARD_PAGES.find((candidate) => candidate === page)
  return known && rest === undefined ? { kind: 'board', boardId, page: known } : { kind: 'nowhere' }
}

export function boardPath(boardId: string, page: BoardPage = 'board'): string {
  return page === 'board' ? `/b/${boardId}` : `/b/${boardId}/${page}`
}

/** What stood after an entry, or two states compared: '7', '3-7', '3-now'. */
export function historyPath(boardId: string, at: string): string {
  return `/b/${boardId}/history/${encodeURIComponent(at)}`
}

export function deskPath(boardId: string, slotKey: string): string {
  return `/b/${boardId}/decide/${encodeURIComponent(slotKey)}`
}

/** The key in a link's fragment, '#…' with at least 22 base64url characters. */
export function tokenIn(hash: string): string | undefined {
  return /^#([A-Za-z0-9_-]{22,200})$/.exec(hash)?.[1]
}

function decode(text: string): string {
  try {
    return decodeURIComponent(text)
  } catch {
    return text
  }
}
