/** Plans with one choice put in or taken out: what hearing an option in place comes down to. */
import type { Chosen, Option, Plan, Slot } from '@chartloft/shared-theory'
import { slotKey } from '@chartloft/shared-theory/board'

export function choiceKey({ kind, at, option }: Chosen): string {
  const place = at ?? option.at
  return slotKey(place ? { decision: kind, at: place } : { decision: kind })
}

export function chosenFor(slot: Slot, option: Option): Chosen {
  return slot.at ? { kind: slot.decision, at: slot.at, option } : { kind: slot.decision, option }
}

/** Without the choice made at this slot; a slot without a place means every choice of its kind that is asked once. */
export function withoutChoice(plan: Plan, slot: Slot): Plan {
  const key = slotKey(slot)
  const keep = (choice: Chosen) =>
    choice.kind !== slot.decision ||
    (slot.at !== undefined && choiceKey(choice) !== key && slotKey(choiceSlot(choice)) !== key)
  return { ...plan, chosen: plan.chosen.filter(keep) }
}

export function withChoice(plan: Plan, slot: Slot, option: Option): Plan {
  const without = withoutChoice(plan, slot)
  return { ...without, chosen: [...without.chosen, chosenFor(slot, option)] }
}

const choiceSlot = ({ kind, at }: Chosen): Slot => (at ? { decision: kind, at } : { decision: kind })
