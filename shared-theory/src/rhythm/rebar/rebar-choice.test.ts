/** The choice of maps by dynamic programming against every row of maps there is, on short sections. */
import { describe, expect, it } from 'vitest'
import { rows } from '../../../../tests/fixtures/rows.js'
import type { ArrangedBar, Metre } from '../../contract/index.js'
import { barTicks, defaultGroups, must } from '../../units/index.js'
import { type RebarTarget, findMap, plainMapId, rebarTargets, withEvenBeats } from './maps.js'
import { judgeSpan } from './place-bars.js'
import { CHANGE_OF_MAP_COST, rebar } from './rebar.js'

const METRES: readonly Metre[] = [
  { beats: 4, beatType: 4 },
  { beats: 3, beatType: 4 },
  { beats: 2, beatType: 4 },
  { beats: 6, beatType: 8 },
]
/** Lengths in eighths that fill a bar, by its eighths. */
const FILLS: { readonly [eighths: number]: readonly (readonly number[])[] } = {
  8: [[4, 2, 2], [2, 2, 1, 1, 2], [6, 2], [1, 1, 1, 1, 4], [8], [3, 1, 4]],
  6: [[4, 2], [2, 2, 2], [1, 1, 2, 2], [6], [3, 3], [2, 1, 2, 1]],
  4: [[2, 2], [1, 1, 2], [4], [3, 1], [2, 1, 1], [1, 1, 1, 1]],
}

function sectionOf(metre: Metre, seed: number, bars: number): readonly ArrangedBar[] {
  const eighths = barTicks(metre) / 2520
  const fills = must(FILLS[eighths], 'bars of this length')
  const lines = Array.from({ length: bars }, (_, bar) => {
    const fill = must(fills[(seed * 7 + bar * (seed % 5) + bar * bar) % fills.length], 'a fill')
    const chords = (seed + bar) % 3 === 0 ? `F6 C7@${eighths / 4}` : 'F6'
    return `${bar + 1} | ${chords} | ${fill.map((length) => `F4:${length / 2}`).join(' ')}`
  })
  return rows(lines.join('\n'), { len: eighths / 2, key: 'F major', metre, groups: defaultGroups(metre) })
}

/** What a row of maps costs, as the rules count it; undefined where a map cannot be used. */
function costOf(bars: readonly ArrangedBar[], ids: readonly string[], { groups }: RebarTarget): number | undefined {
  let cost = 0
  let at = 0
  for (const [index, id] of ids.entries()) {
    const base = must(findMap(id), id)
    const span = { bars: bars.slice(at, at + base.fromBars), offsetTicks: 0 }
    at += base.fromBars
    const edges: number[] = []
    let start = 0
    for (const bar of span.bars) {
      for (const note of bar.melody) edges.push(start + note.startTick, start + note.startTick + note.durationTicks)
      start += bar.lengthTicks
    }
    const judged = judgeSpan(span, must(findMap(withEvenBeats(id, edges)), id), groups)
    if (judged.cost === undefined) return undefined
    cost += judged.cost + (index > 0 && ids[index - 1] !== id ? CHANGE_OF_MAP_COST : 0)
  }
  return cost
}

function everyRow(ids: readonly string[], length: number): readonly (readonly string[])[] {
  if (length === 0) return [[]]
  return everyRow(ids, length - 1).flatMap((row) => ids.map((id) => [...row, id]))
}

describe('[RB8] the maps chosen cost least', () => {
  it('of all rows of maps on sections of four bars', () => {
    let compared = 0
    for (const metre of METRES) {
      for (const target of rebarTargets(metre)) {
        const joined = must(findMap(must(target.mapIds[0], 'a map')), 'a map')
        const family = target.mapIds.filter((id) => {
          const map = must(findMap(id), id)
          return map.fromBars === joined.fromBars && map.toBars === joined.toBars
        })
        if (family.length < 2) continue
        for (let seed = 0; seed < 10; seed++) {
          const bars = sectionOf(metre, seed, 4)
          const made = rebar(bars, target, family)
          const all = everyRow(family, 4 / joined.fromBars).map((row) => costOf(bars, row, target))
          const least = all.reduce<number | undefined>(
            (best, cost) => (cost !== undefined && (best === undefined || cost < best) ? cost : best),
            undefined,
          )
          const chosen =
            made &&
            costOf(
              bars,
              made.steps.map(({ mapId }) => plainMapId(mapId)),
              target,
            )
          expect(chosen).toBe(least)
          compared++
        }
      }
    }
    expect(compared).toBeGreaterThan(80)
  })
})
