/** Draft edits that are not in place: those made where something is locked, and after it is unlocked those nobody has taken up again. */
import type { HandEdit } from '@chartloft/shared-theory'
import { type Draft, type DraftOption, editKey, slotKey } from '@chartloft/shared-theory/board'
import { sameValue } from './leaf.js'
import type { SlotView } from './slots.js'

export interface KeptAside {
  readonly option: DraftOption
  readonly edits: readonly HandEdit[]
}

export function keptAside(
  { slot, lock, tryingId }: SlotView,
  { options }: Pick<Draft, 'options'>,
): readonly KeptAside[] {
  if (!lock && tryingId !== undefined) return []
  const key = slotKey(slot)
  const locked = new Map(lock?.option.handEdits?.map((edit) => [editKey(edit), edit]))
  return options.flatMap((option) => {
    if (slotKey(option.slot) !== key) return []
    const isLocked = option.id === lock?.option.id
    const edits = option.edits
      .filter((held) => !isLocked || !sameValue(held.edit, locked.get(held.key)))
      .map(({ edit }) => edit)
    return edits.length > 0 ? [{ option, edits }] : []
  })
}
