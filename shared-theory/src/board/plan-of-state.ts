/** From what is final to what can be compiled: the plan a board's state stands for. */
import type { BoardState, Chosen, PassPlan, Plan, Tune } from '../contract/index.js'
import { DEFAULT_LINEUP } from '../instruments/index.js'
import { slotKey } from './slot.js'

/**
 * The locked choices, with `trying` laid over them: a choice tried at a locked place stands in for the lock.
 * Undefined while there is no tune.
 */
export function planOfState(state: BoardState, trying: readonly Chosen[] = []): Plan | undefined {
  if (!state.tune) return undefined
  const tried = new Set(trying.map((choice) => keyOf(choice)))
  const locked = state.locks
    .map(({ slot, option }): Chosen =>
      slot.at ? { kind: slot.decision, at: slot.at, option } : { kind: slot.decision, option },
    )
    .filter((choice) => !tried.has(keyOf(choice)))
  return {
    tune: state.tune,
    roadmap: state.roadmap.length > 0 ? state.roadmap : [onceThrough(state.tune)],
    chosen: [...locked, ...trying],
    lineup: state.lineup.length > 0 ? state.lineup : DEFAULT_LINEUP,
    edits: state.edits,
    ...(state.key === undefined ? {} : { key: state.key }),
  }
}

const keyOf = ({ kind, at, option }: Chosen): string => {
  const place = at ?? option.at
  return slotKey(place ? { decision: kind, at: place } : { decision: kind })
}

function onceThrough(tune: Tune): PassPlan {
  const chorus = tune.sections.filter((section) => section.role === 'chorus')
  return {
    id: 'chorus-1',
    kind: 'chorus',
    sections: (chorus.length > 0 ? chorus : tune.sections).map((section) => section.id),
  }
}
