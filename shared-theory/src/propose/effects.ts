/** What an option costs and does: bars and seconds more, and whose part leaves its range. */
import type { ArrangedBar, Plan } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { instrumentOf, leaderOf } from '../instruments/index.js'

/** Seconds a list of bars lasts; a tempo that changes inside a bar is summed in quarters of it (Simpson's rule). */
export function secondsOf(bars: readonly ArrangedBar[]): number {
  let seconds = 0
  for (const { lengthTicks, tempoBpm, tempoEndBpm } of bars) {
    const end = tempoEndBpm ?? tempoBpm
    const middle = (tempoBpm + end) / 2
    seconds += (((lengthTicks / TICKS_PER_QUARTER) * 60) / 6) * (1 / tempoBpm + 4 / middle + 1 / end)
  }
  return Math.round(seconds * 1000) / 1000
}

/** Parts that lead somewhere and would have a melody note outside their comfortable range. In line-up order. */
export function partsOutOfRange(bars: readonly ArrangedBar[], plan: Plan): readonly string[] {
  const passes = new Map(plan.roadmap.map((pass) => [pass.id, pass]))
  const out = new Set<string>()
  const leaders = new Map<string, string | undefined>()
  for (const bar of bars) {
    if (bar.melody.length === 0) continue
    if (!leaders.has(bar.pass)) leaders.set(bar.pass, leaderOf(plan.lineup, passes.get(bar.pass.split('#')[0] ?? '')))
    const leader = plan.lineup.find(({ id }) => id === leaders.get(bar.pass))
    if (!leader || out.has(leader.id)) continue
    const [low, high] = instrumentOf(leader).range
    if (bar.melody.some(({ midi }) => midi < low || midi > high)) out.add(leader.id)
  }
  return plan.lineup.filter(({ id }) => out.has(id)).map(({ id }) => id)
}
