/** Where a hand edit lands now: by name of the bar, and through the groove's own map where the metre has changed since it was made. */
import type { ArrangedBar, BarRef, HandEdit, MelodyNote, Metre, Plan } from '../contract/index.js'
import { type Rebarred, mapTick, rebar } from '../rhythm/index.js'
import { defaultGroups, formatMetre, sameMetre } from '../units/index.js'

export type BarEdit = Exclude<HandEdit, { kind: 'bars' }>

/** Bars as they stood just before and just after the groove stage. */
export interface GrooveStage {
  readonly before: readonly ArrangedBar[]
  readonly after: readonly ArrangedBar[]
  readonly maps?: readonly string[]
}

/** The groove's maps, each worked out once however many edits ask. */
export interface GrooveMaps extends GrooveStage {
  readonly used: () => Rebarred | undefined
  readonly to: (metre: Metre) => Rebarred | undefined
}

export function grooveMaps(stage: GrooveStage): GrooveMaps {
  const known = new Map<string, Rebarred | undefined>()
  const once = (name: string, work: () => Rebarred | undefined): Rebarred | undefined => {
    if (!known.has(name)) known.set(name, work())
    return known.get(name)
  }
  const { before, after, maps } = stage
  const first = after[0]
  return {
    ...stage,
    used: () => once('used', () => first && rebar(before, { metre: first.metre, groups: first.groups }, maps)),
    to: (metre) => once(formatMetre(metre), () => rebar(before, { metre, groups: defaultGroups(metre) })),
  }
}

export type Landed = { readonly barIndex: number; readonly edit: BarEdit } | { readonly why: string }

/** Index of a bar named by pass, section and place within it; undefined where there is none. */
export function findBar(bars: readonly ArrangedBar[], at: BarRef): number | undefined {
  let place = 0
  for (let index = 0; index < bars.length; index++) {
    const bar = bars[index] as ArrangedBar
    if (bar.pass !== at.pass || bar.sectionId !== at.sectionId) continue
    // A pickup bar leads in; bar 0 of a section is the one after it.
    if (index === 0 && isShort(bar)) continue
    if (place === at.bar) return index
    place++
  }
  return undefined
}

/** Where every bar is found by its name: `findBar` for many questions about the same bars. */
export interface Places {
  readonly bars: readonly ArrangedBar[]
  readonly find: (at: BarRef) => number | undefined
}

export function placesOf(bars: readonly ArrangedBar[]): Places {
  let places: Map<string, number[]> | undefined
  const read = (): Map<string, number[]> => {
    const all = new Map<string, number[]>()
    for (const [index, bar] of bars.entries()) {
      if (index === 0 && isShort(bar)) continue
      const name = JSON.stringify([bar.pass, bar.sectionId])
      const known = all.get(name)
      if (known) known.push(index)
      else all.set(name, [index])
    }
    return all
  }
  return { bars, find: ({ pass, sectionId, bar }) => (places ??= read()).get(JSON.stringify([pass, sectionId]))?.[bar] }
}

const isShort = (bar: ArrangedBar): boolean => bar.lengthTicks < (bar.metre.beats * 4 * 5040) / bar.metre.beatType

/** The name of a bar: the inverse of `findBar`. */
export function nameOfBar(bars: readonly ArrangedBar[], index: number): BarRef | undefined {
  const bar = bars[index]
  if (!bar) return undefined
  let place = 0
  for (let before = 0; before < index; before++) {
    const other = bars[before] as ArrangedBar
    if (other.pass === bar.pass && other.sectionId === bar.sectionId && !(before === 0 && isShort(other))) place++
  }
  return { pass: bar.pass, sectionId: bar.sectionId, bar: place }
}

/** The bar and ticks an edit acts on in the finished bars, or why it no longer makes sense. */
export function landEdit(edit: BarEdit, { bars, find }: Places, groove: GrooveMaps, plan: Plan): Landed {
  const direct = find(edit.at)
  const bar = direct === undefined ? undefined : bars[direct]
  if (bar && direct !== undefined && sameMetre(bar.metre, edit.metre)) return { barIndex: direct, edit }
  if (edit.at.pass === 'opening' || edit.at.pass === 'ending') {
    return {
      why: bar
        ? `it was made in ${formatMetre(edit.metre)}, and the ${edit.at.pass} is in ${formatMetre(bar.metre)} now`
        : `the ${edit.at.pass} has no such bar any more`,
    }
  }
  const moved = sameMetre(edit.metre, plan.tune.metre) ? forward(edit, groove) : throughTune(edit, groove)
  if ('why' in moved) return moved
  const name = nameOfBar(groove.after, moved.barIndex)
  const barIndex = name && find(name)
  return barIndex === undefined
    ? { why: 'the bar it was made in is not played any more' }
    : { barIndex, edit: moved.edit }
}

/** An edit made under the tune's metre, through the map the groove uses. */
function forward(edit: BarEdit, groove: GrooveMaps): Landed {
  const inputIndex = findBar(groove.before, edit.at)
  if (inputIndex === undefined) return { why: 'the bar it was made in is not played any more' }
  const rebarred = groove.used()
  if (!rebarred) return { why: 'the groove has no place for it' }
  return throughMap(edit, (tick) => mapTick(rebarred, groove.before, inputIndex, tick))
}

/** An edit made under another groove's metre: back to the tune bar by that metre's map, then forward. */
function throughTune(edit: BarEdit, groove: GrooveMaps): Landed {
  const other = groove.to(edit.metre)
  const madeIn = other && findBar(other.bars, edit.at)
  if (!other || madeIn === undefined)
    return { why: `it was made in ${formatMetre(edit.metre)}, which this tune no longer goes to` }
  const start = 'startTick' in edit ? edit.startTick : 0
  const source = sourceOf(other, groove.before, madeIn, start, edit.metre)
  if (!source) return { why: `its place in ${formatMetre(edit.metre)} has none in the tune's own bars` }
  if (edit.kind === 'melody')
    return { why: `its notes were written in ${formatMetre(edit.metre)}; write them again in this metre` }
  const name = nameOfBar(groove.before, source.barIndex)
  if (!name) return { why: 'the bar it was made in is not played any more' }
  return forward({ ...edit, at: name, startTick: source.tick }, groove)
}

/** Which input tick a re-barred tick came from, to the sixteenth. */
function sourceOf(
  rebarred: Rebarred,
  input: readonly ArrangedBar[],
  barIndex: number,
  tick: number,
  metre: Metre,
): { readonly barIndex: number; readonly tick: number } | undefined {
  const step = 1260
  for (let index = 0; index < input.length; index++) {
    const first = mapTick(rebarred, input, index, 0)
    if (Math.abs(first.barIndex - barIndex) > metre.beats) continue
    for (let at = 0; at < (input[index] as ArrangedBar).lengthTicks; at += step) {
      const landed = mapTick(rebarred, input, index, at)
      if (landed.barIndex === barIndex && landed.tick === tick) return { barIndex: index, tick: at }
    }
  }
  return undefined
}

function throughMap(
  edit: BarEdit,
  map: (tick: number) => { readonly barIndex: number; readonly tick: number },
): Landed {
  if (edit.kind !== 'melody') {
    const landed = map(edit.startTick)
    return { barIndex: landed.barIndex, edit: { ...edit, startTick: landed.tick } }
  }
  const notes: MelodyNote[] = []
  let barIndex: number | undefined
  for (const note of edit.notes) {
    const start = map(note.startTick)
    const last = map(note.startTick + note.durationTicks - 1)
    barIndex ??= start.barIndex
    if (start.barIndex !== barIndex || last.barIndex !== barIndex)
      return { why: 'its notes fall into two bars of this groove' }
    notes.push({ ...note, startTick: start.tick, durationTicks: Math.max(1, last.tick + 1 - start.tick) })
  }
  return barIndex === undefined ? { why: 'it has no notes to place' } : { barIndex, edit: { ...edit, notes } }
}
