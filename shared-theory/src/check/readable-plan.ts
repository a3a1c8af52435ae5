/** A plan as far as the checks lean on it: tune bars, sections, choices and edits in place. */
import type { Plan } from '../contract/index.js'
import { type Fields, isFields } from '../tune/index.js'
import { parseKey } from '../units/index.js'
import { readable } from './readable.js'

const areFields = (value: unknown): value is readonly Fields[] => Array.isArray(value) && value.every(isFields)

/** The plan, or undefined where something the checks need is not there. */
export function readablePlan(plan: unknown): Plan | undefined {
  if (!isFields(plan) || !isFields(plan['tune'])) return undefined
  const { tune, chosen, edits, key } = plan
  const isPlan =
    areFields(tune['sections']) &&
    isFields(tune['key']) &&
    areFields(chosen) &&
    chosen.every(({ option }) => isFields(option) && isFields(option['params'])) &&
    areFields(edits) &&
    edits.every(({ at }) => isFields(at) || typeof at === 'string') &&
    (key === undefined || (typeof key === 'string' && parseKey(key) !== undefined))
  if (!isPlan) return undefined
  const tuneBars: unknown = tune['bars']
  if (!areFields(tuneBars) || tuneBars.length === 0) return undefined
  // A tune bar is an arranged bar without groups and parts; the tune's own key is tried on its first.
  const [first] = tuneBars
  const bars = [...tuneBars, { ...first, key: tune['key'] }].map((bar) => ({ ...bar, groups: [1] }))
  return readable({ bars, lineup: [] }).issues.length === 0 ? (plan as unknown as Plan) : undefined
}
