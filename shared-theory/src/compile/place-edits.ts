/** Where a hand edit lands now: by name of the bar, and through the groove's own map where the metre has changed since it was made. */
import type { ArrangedBar, BarRef, HandEdit, MelodyNote, Metre, Plan } from '../contract/index.js'
import { type Rebarred, mainMetre, mapTick, rebar } from '../rhythm/index.js'
import { defaultGroups, formatMetre, sameMetre } from '../units/index.js'
import { findBar, isPickup, namesOfBars, nameOfBar, playedOf, sectionStarts, spot } from './bar-names.js'

export { findBar, nameOfBar }

export type BarEdit = Exclude<HandEdit, { kind: 'bars' }>

/** Bars as they stood just before and just after the groove stage. */
export interface GrooveStage {
  readonly before: readonly ArrangedBar[]
  readonly after: readonly ArrangedBar[]
  readonly maps?: readonly string[]
}

/** The groove's maps, each worked out once however many edits ask. */
export interface GrooveMaps extends GrooveStage {
  readonly nameAfter: (barIndex: number) => BarRef | undefined
  readonly used: () => Rebarred | undefined
  readonly to: (metre: Metre) => Rebarred | undefined
  /** Twice as many bars in the metre they have. */
  readonly doubled: (metre: Metre) => Rebarred | undefined
}

export function grooveMaps(stage: GrooveStage): GrooveMaps {
  const known = new Map<string, Rebarred | undefined>()
  const once = (name: string, work: () => Rebarred | undefined): Rebarred | undefined => {
    if (!known.has(name)) known.set(name, work())
    return known.get(name)
  }
  const { before, after, maps } = stage
  return {
    ...stage,
    nameAfter: placesOf(after).name,
    used: () =>
      once('used', () => {
        // A bar that stands alone in its own metre says nothing about the groove.
        const metre = mainMetre(before)
        const mapped = after.find(({ provenance }) => provenance.rule === 'RB1')
        const target = mapped ?? after.find((bar) => metre !== undefined && sameMetre(bar.metre, metre))
        return target && rebar(before, { metre: target.metre, groups: target.groups }, maps)
      }),
    to: (metre) => once(formatMetre(metre), () => rebar(before, { metre, groups: defaultGroups(metre) })),
    doubled: (metre) =>
      once(`${formatMetre(metre)} doubled`, () => rebar(before, { metre, groups: defaultGroups(metre) }, ['44-long'])),
  }
}

export type Landed = { readonly barIndex: number; readonly edit: BarEdit } | { readonly why: string }

/** Where every bar is found by its name, and its name: `findBar` and `nameOfBar` for many questions about the same bars. */
export interface Places {
  readonly bars: readonly ArrangedBar[]
  readonly find: (at: BarRef) => number | undefined
  readonly name: (barIndex: number) => BarRef | undefined
}

export function placesOf(bars: readonly ArrangedBar[]): Places {
  let played: ReturnType<typeof playedOf> | undefined
  let names: ReturnType<typeof namesOfBars> | undefined
  return {
    bars,
    find: (at) => (played ??= playedOf(bars)).get(spot(at))?.[at.bar],
    name: (barIndex) => (names ??= namesOfBars(bars))[barIndex],
  }
}

/** The bar and ticks an edit acts on in the finished bars, or why it no longer makes sense. */
export function landEdit(edit: BarEdit, { bars, find, name: nameNow }: Places, groove: GrooveMaps, plan: Plan): Landed {
  const direct = find(edit.at)
  const bar = direct === undefined ? undefined : bars[direct]
  if (bar && direct !== undefined && sameMetre(bar.metre, edit.metre) && isStill(edit.at, nameNow(direct)))
    return { barIndex: direct, edit }
  if (edit.at.pass === 'opening' || edit.at.pass === 'ending') {
    return {
      why: bar
        ? `it was made in ${formatMetre(edit.metre)}, and the ${edit.at.pass} is in ${formatMetre(bar.metre)} now`
        : `the ${edit.at.pass} has no such bar any more`,
    }
  }
  const moved = edit.at.ofSection === undefined ? byMetre(edit, groove, plan) : byTuneBar(edit, groove)
  if ('why' in moved) return moved
  const name = groove.nameAfter(moved.barIndex)
  const barIndex = name && find(name)
  return barIndex === undefined ? { why: NOT_PLAYED } : { barIndex, edit: moved.edit }
}

const NOT_PLAYED = 'the bar it was made in is not played any more'

/** Whether the bar found by its number is the one that was meant: it holds the same bar of the tune, as far as either says. */
function isStill(at: BarRef, now: BarRef | undefined): boolean {
  if (at.ofSection === undefined || now?.ofSection === undefined) return true
  return at.ofSection === now.ofSection && at.part === now.part
}

/** An edit that does not say which of the tune's bars it was made in: the metre tells how bars were counted. */
function byMetre(edit: BarEdit, groove: GrooveMaps, plan: Plan): Landed {
  if (!sameMetre(edit.metre, plan.tune.metre)) return throughTune(edit, groove, groove.to(edit.metre))
  const input = findBar(groove.before, edit.at)
  return input === undefined ? { why: NOT_PLAYED } : forward(edit, groove, input)
}

/** An edit that says so: made in that very bar, also where it stood alone among joined ones, or in what a groove made of it. */
function byTuneBar(edit: BarEdit, groove: GrooveMaps): Landed {
  const input = tuneBarIndex(edit.at, groove.before)
  if (input === undefined) return { why: NOT_PLAYED }
  const { metre } = groove.before[input] as ArrangedBar
  if (!sameMetre(metre, edit.metre)) return throughTune(edit, groove, groove.to(edit.metre))
  return edit.at.part === undefined ? forward(edit, groove, input) : throughTune(edit, groove, groove.doubled(metre))
}

/** Of several playings within one pass the one of the same number. */
function tuneBarIndex(at: BarRef, before: readonly ArrangedBar[]): number | undefined {
  const same = findBar(before, at)
  if (same !== undefined && nameOfBar(before, same)?.ofSection === at.ofSection) return same
  const first = sectionStarts(before).get(at.sectionId)
  if (first === undefined || at.ofSection === undefined) return undefined
  const wanted = first + at.ofSection
  const found = before.findIndex(
    ({ pass, sectionId, provenance }, index) =>
      pass === at.pass && sectionId === at.sectionId && provenance.tuneBar === wanted && !isPickup(before, index),
  )
  return found < 0 ? undefined : found
}

/** An edit made in a bar before the groove, through the map the groove uses. */
function forward(edit: BarEdit, groove: GrooveMaps, inputIndex: number): Landed {
  const rebarred = groove.used()
  if (!rebarred) return { why: 'the groove has no place for it' }
  return throughMap(edit, (tick) => mapTick(rebarred, groove.before, inputIndex, tick))
}

/** An edit made under another groove, `other`: back to the tune bar by that map, then forward. */
function throughTune(edit: BarEdit, groove: GrooveMaps, other: Rebarred | undefined): Landed {
  const madeIn = other && madeInBar(edit.at, other.bars)
  if (!other || madeIn === undefined)
    return { why: `it was made in ${formatMetre(edit.metre)}, which this tune no longer goes to` }
  const start = 'startTick' in edit ? edit.startTick : 0
  const source = sourceOf(other, groove.before, madeIn, start, edit.metre)
  if (!source) return { why: `its place in ${formatMetre(edit.metre)} has none in the tune's own bars` }
  if (edit.kind === 'melody')
    return { why: `its notes were written in ${formatMetre(edit.metre)}; write them again in this metre` }
  return forward({ ...edit, startTick: source.tick }, groove, source.barIndex)
}

/** The bar under another groove an edit was made in: by its number where that holds the same bar of the tune, else by that bar. */
function madeInBar(at: BarRef, bars: readonly ArrangedBar[]): number | undefined {
  const byNumber = findBar(bars, at)
  if (byNumber !== undefined && isStill(at, nameOfBar(bars, byNumber))) return byNumber
  const found = namesOfBars(bars).findIndex(
    (name, index) =>
      spot(name) === spot(at) && !isPickup(bars, index) && name.ofSection !== undefined && isStill(at, name),
  )
  return found < 0 ? undefined : found
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
