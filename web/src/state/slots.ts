/** The decisions of a board with where they act and how settled they are: open, being voted on, locked. */
import type { BoardState, DecisionKind, Option, SectionRef, Slot } from '@chartloft/shared-theory'
import { DECISION_KINDS, type Draft, parseSlotKey, slotKey } from '@chartloft/shared-theory/board'

export type SlotStatus = 'open' | 'voting' | 'locked'
export interface SlotView {
  readonly key: string
  readonly slot: Slot
  readonly status: SlotStatus
  readonly lock?: BoardState['locks'][number]
  /** The newest poll about it. */
  readonly poll?: BoardState['polls'][number]
  /** Options of it that stand in the draft. */
  readonly tryingId?: string
  /** Where it acts, as far as is known. */
  readonly place?: SectionRef
}

/** Every decision at least once, the ones opened at further places too, in the order they are asked. */
export function slotViews(
  state: BoardState,
  draft: Pick<Draft, 'trying'>,
  defaults: { readonly [kind in DecisionKind]?: SectionRef },
): readonly SlotView[] {
  const slots = new Map<string, Slot>()
  const add = (slot: Slot) => slots.set(slotKey(slot), slot)
  for (const lock of state.locks) add(lock.slot)
  for (const poll of state.polls) if (poll.open && poll.slot) add(poll.slot)
  for (const place of state.places) add(place)
  for (const key of Object.keys(draft.trying)) {
    const slot = parseSlotKey(key)
    if (slot) add(slot)
  }
  for (const kind of DECISION_KINDS) {
    if ([...slots.values()].some((slot) => slot.decision === kind)) continue
    const at = defaults[kind]
    add(at ? { decision: kind, at } : { decision: kind })
  }
  return [...slots.values()]
    .map((slot) => slotView(slot, state, draft, defaults))
    .sort((a, b) => DECISION_KINDS.indexOf(a.slot.decision) - DECISION_KINDS.indexOf(b.slot.decision))
}

function slotView(
  slot: Slot,
  state: BoardState,
  draft: Pick<Draft, 'trying'>,
  defaults: { readonly [kind in DecisionKind]?: SectionRef },
): SlotView {
  const key = slotKey(slot)
  const lock = state.locks.find((candidate) => slotKey(candidate.slot) === key)
  const polls = state.polls.filter((candidate) => candidate.slot && slotKey(candidate.slot) === key)
  const poll = polls.findLast((candidate) => candidate.open) ?? polls.at(-1)
  const place = slot.at ?? lock?.option.at ?? defaults[slot.decision]
  const tryingId = draft.trying[key]
  return {
    key,
    slot,
    status: lock ? 'locked' : poll?.open ? 'voting' : 'open',
    ...(lock ? { lock } : {}),
    ...(poll ? { poll } : {}),
    ...(place ? { place } : {}),
    ...(tryingId === undefined ? {} : { tryingId }),
  }
}

/** The choices the draft tries where nothing is locked: what everybody hears in place. A lock stands, whatever a draft says. */
export function triedChoices(views: readonly SlotView[], tried: (slot: Slot) => Option | undefined) {
  return views.flatMap(({ slot, lock }) => {
    const option = lock ? undefined : tried(slot)
    if (!option) return []
    return [{ kind: slot.decision, ...(slot.at ? { at: slot.at } : {}), option }]
  })
}
