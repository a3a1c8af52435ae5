/** Where a hand edit stands, as the reader counts bars. */
import type { ArrangedBar, HandEdit } from '@chartloft/shared-theory'
import { beatOf } from '../look/say.js'

export interface EditPlace {
  /** From 1; absent where the bar is not among those shown now. */
  readonly bar?: number
  /** From 1; absent at the start of a bar and for what concerns the whole bar. */
  readonly beat?: number
  /** Of an edit that sets how long a part of the form is. */
  readonly of?: 'opening' | 'ending' | 'section'
}

export function placeOf(bars: readonly ArrangedBar[], edit: HandEdit): EditPlace {
  if (edit.kind === 'bars') return { of: typeof edit.at === 'string' ? edit.at : 'section' }
  const { pass, sectionId, bar } = edit.at
  const found = bars.filter((candidate) => candidate.pass === pass && candidate.sectionId === sectionId)[bar]
  if (!found) return {}
  const beat = edit.kind === 'chord' ? beatOf({ metre: edit.metre }, edit.startTick) : 1
  return { bar: found.barIndex + 1, ...(beat > 1 ? { beat } : {}) }
}
