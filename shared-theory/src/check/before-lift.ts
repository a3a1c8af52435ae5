/** What the band played before a lift was chosen: a part that has it still was left behind, however well it happens to fit. */
import type { PartBars } from '../band/index.js'
import type { PartNote } from '../contract/index.js'
import { compilePartly } from '../compile/index.js'
import type { CheckContext, CheckedPart } from './check-context.js'
import { plannedLifts } from './planned-lifts.js'

/** The part's notes in a bar by the plan without the lift before it; undefined where that plan has other bars. */
export type PlayedBefore = (part: CheckedPart, index: number) => readonly PartNote[] | undefined

/** Worked out only when a bar is asked for, once for every lift and part. */
export function playedBefore(context: CheckContext): PlayedBefore {
  const { plan, bars } = context
  const lifts = plannedLifts(context)
  const players = new Map<number, ((id: string) => PartBars) | undefined>()
  const played = new Map<string, PartBars | undefined>()
  const playerBefore = (index: number): ((id: string) => PartBars) | undefined => {
    const lift = lifts.find((planned) => planned.index === index)
    if (!plan || !lift) return undefined
    const without = compilePartly({ ...plan, chosen: plan.chosen.filter((chosen) => chosen !== lift.chosen) })
    return without.bars.length === bars.length ? without.part : undefined
  }
  return ({ spec }, index) => {
    const from = lifts.findLast((lift) => lift.index <= index)?.index
    if (from === undefined) return undefined
    if (!players.has(from)) players.set(from, playerBefore(from))
    const key = `${from} ${spec.id}`
    if (!played.has(key)) played.set(key, players.get(from)?.(spec.id))
    return played.get(key)?.[index]
  }
}
