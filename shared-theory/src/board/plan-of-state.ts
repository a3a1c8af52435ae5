/** From what is final to what can be compiled: the plan a board's state stands for. */
import type { BoardState, Chosen, PassPlan, Plan, Tune } from '../contract/index.js'
import { DEFAULT_LINEUP } from '../instruments/index.js'
import { isObject } from './fields.js'
import { isOption, isSlot } from './row-shape.js'
import { slotKey } from './slot.js'

/**
 * The locked choices, with `trying` laid over them: a choice tried at a locked place stands in for the lock.
 * Undefined while there is no tune. A lock or choice that cannot be read is left out.
 */
export function planOfState(state: BoardState, trying: readonly Chosen[] = []): Plan | undefined {
  const { tune } = state
  if (!isObject(tune)) return undefined
  const tries = listOf(trying).filter(isChoice)
  const tried = new Set(tries.map((choice) => keyOf(choice)))
  const locked = listOf(state.locks)
    .filter((lock) => isObject(lock) && isSlot(lock.slot) && isOption(lock.option))
    .map(({ slot, option }): Chosen =>
      slot.at ? { kind: slot.decision, at: slot.at, option } : { kind: slot.decision, option },
    )
    .filter((choice) => !tried.has(keyOf(choice)))
  return {
    tune,
    roadmap: listOf(state.roadmap).length > 0 ? state.roadmap : [onceThrough(tune)],
    chosen: [...locked, ...tries],
    lineup: listOf(state.lineup).length > 0 ? state.lineup : DEFAULT_LINEUP,
    edits: listOf(state.edits),
    ...(state.key === undefined ? {} : { key: state.key }),
  }
}

const listOf = <T>(value: readonly T[]): readonly T[] => (Array.isArray(value) ? value : [])
const isChoice = (choice: unknown): boolean =>
  isObject(choice) && isSlot({ decision: choice['kind'], at: choice['at'] }) && isOption(choice['option'])

const keyOf = ({ kind, at, option }: Chosen): string => {
  const place = at ?? option.at
  return slotKey(place ? { decision: kind, at: place } : { decision: kind })
}

function onceThrough(tune: Tune): PassPlan {
  const sections = listOf(tune.sections).filter(isObject)
  const chorus = sections.filter((section) => section.role === 'chorus')
  return {
    id: 'chorus-1',
    kind: 'chorus',
    sections: (chorus.length > 0 ? chorus : sections).map((section) => section.id),
  }
}
