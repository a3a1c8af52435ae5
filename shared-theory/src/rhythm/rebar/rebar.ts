/** Takes bars to another metre: cuts them into runs that may be joined, chooses the maps by dynamic programming, lays the bars. */
import type { ArrangedBar, Metre } from '../../contract/index.js'
import { barTicks, formatMetre, must, sameMetre } from '../../units/index.js'
import type { BarMap } from './maps.js'
import { asMapped, findMap, rebarTargets, withEvenBeats } from './maps.js'
import type { Span } from './place-bars.js'
import { judgeSpan, placeSpan } from './place-bars.js'

/** How one step came about: which bars (indices of the input) went through which map, into how many new bars. */
export interface RebarStep {
  readonly from: readonly number[]
  readonly mapId: string
  readonly to: number
}
export interface Rebarred {
  readonly bars: readonly ArrangedBar[]
  readonly steps: readonly RebarStep[]
}
export interface TargetMetre {
  readonly metre: Metre
  readonly groups: readonly number[]
}
/** Why bars cannot go to a metre: the first bar (0-based) that no map takes there, and the reason; no bar where no map exists at all. */
export interface RebarObstacle {
  readonly barIndex?: number
  readonly why: string
}

/** Bars that keep their own metre and ticks. */
export const SAME = 'same'
/** What changing the map from one step to the next costs. */
export const CHANGE_OF_MAP_COST = 1

/** Takes bars (parts still empty) to another metre by exact rational maps, never across a section or pass boundary; dynamic
 *  programming chooses among `mapIds` (all that lead there when absent). Keeps sections, passes, provenance (joined bars: the
 *  first's tuneBar), melody sources, ties; equal neighbouring chords merge. Undefined where no map leads there. */
export function rebar(
  bars: readonly ArrangedBar[],
  target: TargetMetre,
  mapIds?: readonly string[],
): Rebarred | undefined {
  const answer = rebarOrWhy(bars, target, mapIds)
  return 'why' in answer ? undefined : answer
}

/** As `rebar`, with the obstacle named where there is one. */
export function rebarOrWhy(
  bars: readonly ArrangedBar[],
  target: TargetMetre,
  mapIds?: readonly string[],
): Rebarred | RebarObstacle {
  const main = mainMetre(bars)
  if (!main) return { bars: [], steps: [] }
  const keeps = sameMetre(asMapped(main), asMapped(target.metre))
  if (keeps && (!mapIds || mapIds.includes(SAME) || mapIds.length === 0)) return keptBars(bars, target)
  const families = familiesTo(main, target, mapIds)
  if (families.length === 0) return { why: `no map leads from ${main.beats}/${main.beatType} there` }
  let obstacle: RebarObstacle | undefined
  for (const family of families) {
    const answer = throughFamily(bars, target, family, main)
    if (!('why' in answer)) return answer
    obstacle ??= answer
  }
  return must(obstacle, 'a family was tried')
}

/** The inverse, see `unbar.ts`; here only what both need: each step with its input and output bars. */
export function stepRanges(rebarred: Rebarred): readonly { readonly step: RebarStep; readonly firstOut: number }[] {
  let firstOut = 0
  return rebarred.steps.map((step) => {
    const range = { step, firstOut }
    firstOut += step.to
    return range
  })
}

/** The span of a step, its pickup offset found again from the bars' lengths. */
export function spanOf(inputBars: readonly ArrangedBar[], step: RebarStep, map: BarMap): Span {
  const bars = step.from.map((index) => must(inputBars[index], `input bar ${index}`))
  return { bars, offsetTicks: isPickup(inputBars, step.from[0] as number) ? pickupOffset(bars, map) : 0 }
}

/** Most bars' metre. */
export function mainMetre(bars: readonly { readonly metre: Metre }[]): Metre | undefined {
  const counts = new Map<string, { readonly metre: Metre; count: number }>()
  for (const { metre } of bars) {
    const id = formatMetre(metre)
    const known = counts.get(id)
    if (known) known.count++
    else counts.set(id, { metre, count: 1 })
  }
  return [...counts.values()].sort((a, b) => b.count - a.count)[0]?.metre
}

/** Same metre: bars as they are, with the groove's groups. */
function keptBars(bars: readonly ArrangedBar[], target: TargetMetre): Rebarred {
  return {
    bars: bars.map((bar) =>
      sameMetre(bar.metre, target.metre) ? { ...bar, groups: target.groups, parts: {} } : { ...bar, parts: {} },
    ),
    steps: bars.map((_, index) => ({ from: [index], mapId: SAME, to: 1 })),
  }
}

/** Maps of one ratio of bars may mix; the first family named that is legal everywhere is taken. */
function familiesTo(
  main: Metre,
  target: TargetMetre,
  mapIds: readonly string[] | undefined,
): readonly (readonly BarMap[])[] {
  const routes = rebarTargets(main).filter(({ metre }) => sameMetre(metre, target.metre))
  const grouped = routes.filter(({ groups }) => groups.join('+') === target.groups.join('+'))
  const ids = mapIds ?? (grouped.length > 0 ? grouped : routes).flatMap((route) => route.mapIds)
  const families = new Map<string, BarMap[]>()
  for (const id of ids) {
    const map = findMap(id)
    if (!map || !sameMetre(map.from, asMapped(main)) || !sameMetre(map.to, target.metre)) continue
    const ratio = `${map.fromBars}:${map.toBars}`
    families.set(ratio, [...(families.get(ratio) ?? []), map])
  }
  return [...families.values()]
}

interface Choice {
  readonly cost: number
  readonly baseId: string
  readonly map: BarMap
  readonly before: Choice | undefined
}

function throughFamily(
  bars: readonly ArrangedBar[],
  target: TargetMetre,
  family: readonly BarMap[],
  main: Metre,
): Rebarred | RebarObstacle {
  const steps: RebarStep[] = []
  const made: ArrangedBar[] = []
  let lastBaseId: string | undefined
  const known = new Map(family.map((map) => [map.id, map]))
  const mapOf = (id: string): BarMap => {
    const map = known.get(id) ?? must(findMap(id), `map '${id}'`)
    known.set(id, map)
    return map
  }
  const add = (step: RebarStep, placed: readonly ArrangedBar[]) => {
    steps.push(step)
    for (const bar of placed) made.push({ ...bar, barIndex: (bars[0]?.barIndex ?? 0) + made.length })
  }
  for (const run of runsOf(bars, main)) {
    const joined = (family[0] as BarMap).fromBars
    const isMapped = sameMetre(asMapped((bars[run.start] as ArrangedBar).metre), asMapped(main))
    const whole = isMapped ? (run.isPickup ? 1 : Math.floor(run.count / joined)) : 0
    const chosen: Choice[] = []
    let layer: readonly Choice[] = []
    for (let group = 0; group < whole; group++) {
      const from = range(run.start + group * joined, run.isPickup ? 1 : joined)
      const reached: Choice[] = []
      let obstacle: RebarObstacle | undefined
      for (const base of family) {
        const span = spanFor(bars, from, base, run.isPickup)
        const map = mapOf(withEvenBeats(base.id, edgesOf(span)))
        const judged = judgeSpan(span, map, target.groups)
        if (judged.cost === undefined) {
          obstacle ??= { barIndex: (from[0] as number) + judged.inBar, why: judged.why }
          continue
        }
        const ways = layer.length > 0 ? layer : [undefined]
        let best: Choice | undefined
        for (const before of ways) {
          const previous = before ? before.baseId : lastBaseId
          const change = previous === undefined || previous === base.id ? 0 : CHANGE_OF_MAP_COST
          const cost = (before?.cost ?? 0) + change + judged.cost
          if (!best || cost < best.cost) best = { cost, baseId: base.id, map, before }
        }
        reached.push(must(best, 'a way'))
      }
      if (reached.length === 0) return must(obstacle, 'no map without a reason')
      layer = reached
    }
    let end: Choice | undefined = layer.reduce<Choice | undefined>(
      (best, choice) => (!best || choice.cost < best.cost ? choice : best),
      undefined,
    )
    lastBaseId = end?.baseId ?? lastBaseId
    for (; end; end = end.before) chosen.unshift(end)
    chosen.forEach(({ map }, group) => {
      const from = range(run.start + group * joined, run.isPickup ? 1 : joined)
      const placed = placeSpan(spanFor(bars, from, map, run.isPickup), map, target.groups)
      add({ from, mapId: map.id, to: placed.length }, placed)
    })
    for (const index of range(run.start + whole * joined, run.isPickup ? 1 - whole : run.count - whole * joined))
      add({ from: [index], mapId: SAME, to: 1 }, [{ ...(bars[index] as ArrangedBar), parts: {} }])
  }
  return { bars: made, steps }
}

interface Run {
  readonly start: number
  readonly count: number
  readonly isPickup: boolean
}

/** Bars that may be joined with each other: same pass, section and metre; a pickup is a run of its own. */
function runsOf(bars: readonly ArrangedBar[], main: Metre): readonly Run[] {
  const runs: Run[] = []
  let start = 0
  for (let index = 1; index <= bars.length; index++) {
    const first = bars[start] as ArrangedBar
    const bar = bars[index]
    const goesOn =
      bar !== undefined &&
      bar.pass === first.pass &&
      bar.sectionId === first.sectionId &&
      sameMetre(bar.metre, first.metre) &&
      !isPickup(bars, start) &&
      !isShort(bars[index - 1] as ArrangedBar)
    if (goesOn) continue
    runs.push({ start, count: index - start, isPickup: isPickup(bars, start) && sameMetre(first.metre, main) })
    start = index
  }
  return runs
}

const isShort = (bar: ArrangedBar) => bar.lengthTicks < barTicks(bar.metre)
const isPickup = (bars: readonly ArrangedBar[], index: number) => index === 0 && isShort(bars[0] as ArrangedBar)

function spanFor(bars: readonly ArrangedBar[], from: readonly number[], map: BarMap, pickup: boolean): Span {
  const inside = from.map((index) => must(bars[index], `bar ${index}`))
  return { bars: inside, offsetTicks: pickup ? pickupOffset(inside, map) : 0 }
}

/** A pickup is the end of the full bars its map takes. */
function pickupOffset(bars: readonly ArrangedBar[], map: BarMap): number {
  return map.fromBars * barTicks(map.from) - (bars[0] as ArrangedBar).lengthTicks
}

function edgesOf(span: Span): readonly number[] {
  const edges: number[] = []
  let at = span.offsetTicks
  for (const bar of span.bars) {
    for (const note of bar.melody) edges.push(at + note.startTick, at + note.startTick + note.durationTicks)
    at += bar.lengthTicks
  }
  return edges
}

const range = (start: number, count: number): number[] => Array.from({ length: count }, (_, index) => start + index)
