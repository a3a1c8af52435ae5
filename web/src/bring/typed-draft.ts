/** What is being typed, kept by this browser so that a closed page loses nothing. */
import { FIRST_HEAD, type TypedHead } from './typed-text.js'

export interface TypedDraft {
  readonly head: TypedHead
  readonly text: string
}

const KEY = 'chartloft:typed'
const MOST_LETTERS = 200_000

export function typedDraft(storage: Pick<Storage, 'getItem'> | undefined): TypedDraft {
  try {
    const held = JSON.parse(storage?.getItem(KEY) ?? '{}') as { head?: Partial<TypedHead>; text?: unknown }
    const head = { ...FIRST_HEAD, ...held.head }
    return { head, text: typeof held.text === 'string' ? held.text : '' }
  } catch {
    return { head: FIRST_HEAD, text: '' }
  }
}

export function keepTyped(storage: Pick<Storage, 'setItem' | 'removeItem'> | undefined, draft?: TypedDraft): void {
  try {
    if (!draft || (draft.text === '' && draft.head.title === '')) storage?.removeItem(KEY)
    else if (draft.text.length <= MOST_LETTERS) storage?.setItem(KEY, JSON.stringify(draft))
  } catch {
    // reason: a private window without storage only forgets what was typed
  }
}
