/** What must hold of every re-barring, measured over whole tunes: nothing lost, nothing too short, downbeats strong, and back again to the
 *  identical tune. */
import {
  type ArrangedBar,
  type ArrangedNote,
  SHORTEST_TICKS,
  type Tune,
  barTicks,
  fitOf,
  formatMetre,
  mapTick,
  type PlacedChord,
  type Rebarred,
  rebarOrWhy,
  rebarTargets,
  stableJson,
  unbar,
} from '@chartloft/shared-theory'
import { defaultGroups, groupStarts } from '../../shared-theory/src/units/index.js'

/** A tune's bars, pickup and all, as the first decision gets them. */
export function barsOfTune(tune: Tune): readonly ArrangedBar[] {
  return tune.bars.map((bar, barIndex) => {
    const section = tune.sections.find(({ startBar, bars }) => barIndex >= startBar && barIndex < startBar + bars)
    return {
      barIndex,
      sectionId: section?.id ?? tune.sections[0]?.id ?? 'A1',
      pass: 'chorus-1',
      metre: bar.metre,
      groups: defaultGroups(bar.metre),
      lengthTicks: bar.lengthTicks,
      key: bar.key,
      tempoBpm: tune.tempoBpm ?? 120,
      feel: 'even',
      chords: bar.chords,
      melody: bar.melody.map((note, index) => ({ ...note, source: { bar: barIndex, index } })),
      parts: {},
      provenance: { decision: 'tune', rule: 'TU1', tuneBar: barIndex },
    }
  })
}

/** The tune again, from bars that were re-barred and undone: its melody and chords are the bars', all else its own. */
export function tuneAgain(tune: Tune, bars: readonly ArrangedBar[]): Tune {
  const plain = ({ source: _source, ...note }: ArrangedNote) => note
  return {
    ...tune,
    bars: tune.bars.map((bar, index) => ({
      ...bar,
      melody: (bars[index]?.melody ?? []).map(plain),
      chords: bars[index]?.chords ?? [],
    })),
  }
}

export interface RebarFigures {
  /** Re-barrings done, of those tried; the rest said why not. */
  readonly done: number
  readonly tried: number
  /** Notes on downbeats of the tune, and those of them that land on downbeats or group starts. */
  readonly downbeats: number
  readonly strong: number
  /** Metre pairs done at least once: '4/4>7/4'. */
  readonly pairs: ReadonlySet<string>
  /** What broke a law, in words. */
  readonly faults: readonly string[]
}

/** Every target metre, each group order, for each tune. */
export function measureRebarring(tunes: readonly Tune[]): RebarFigures {
  let done = 0
  let tried = 0
  let downbeats = 0
  let strong = 0
  const pairs = new Set<string>()
  const faults: string[] = []
  for (const tune of tunes) {
    const bars = barsOfTune(tune)
    for (const target of rebarTargets(tune.metre)) {
      tried++
      const made = rebarOrWhy(bars, target)
      const pair = `${formatMetre(tune.metre)}>${formatMetre(target.metre)}`
      if ('why' in made) {
        if (made.why.length < 10) faults.push(`${tune.title} ${pair}: no reason`)
        continue
      }
      done++
      pairs.add(pair)
      faults.push(...faultsOf(tune, bars, made).map((fault) => `${tune.title} ${pair}: ${fault}`))
      const landed = downbeatsOf(bars, made)
      downbeats += landed.all
      strong += landed.strong
    }
  }
  return { done, tried, downbeats, strong, pairs, faults }
}

function faultsOf(tune: Tune, bars: readonly ArrangedBar[], made: Rebarred): readonly string[] {
  const faults: string[] = []
  const shortest = Math.min(SHORTEST_TICKS, ...bars.flatMap(({ melody }) => melody.map((note) => note.durationTicks)))
  made.bars.forEach((bar, index) => {
    const full = barTicks(bar.metre)
    const isWhole = bar.lengthTicks === full || isCut(bars, made, index)
    if (!isWhole || bar.lengthTicks > full) faults.push(`bar ${index} has ${bar.lengthTicks} of ${full}`)
    if (bar.groups.reduce((sum, group) => sum + group, 0) !== bar.metre.beats) faults.push(`bar ${index}: groups`)
    const tiled = bar.chords.reduce((sum, chord) => sum + chord.durationTicks, 0)
    if (bar.chords.length > 0 && tiled + (bar.chords[0]?.startTick ?? 0) !== bar.lengthTicks)
      faults.push(`bar ${index}: chords`)
    let at = 0
    for (const note of bar.melody) {
      if (note.startTick < at) faults.push(`bar ${index}: order`)
      if (note.durationTicks < shortest) faults.push(`bar ${index}: a note of ${note.durationTicks}`)
      at = note.startTick + note.durationTicks
    }
    if (at > bar.lengthTicks) faults.push(`bar ${index}: melody runs over`)
  })
  const names = (list: readonly ArrangedBar[]) =>
    list.flatMap(({ melody }) => melody.map(({ source }) => `${source?.bar}:${source?.index}`))
  if ([...new Set(names(made.bars))].join() !== names(bars).join()) faults.push('notes dropped or out of order')
  const before = clashesOf(bars)
  for (const clash of clashesOf(made.bars)) if (!before.has(clash)) faults.push(`new clash ${clash}`)
  if (stableJson(unbar(made, bars)) !== stableJson(bars)) faults.push('undone bars differ')
  if (stableJson(tuneAgain(tune, unbar(made, bars))) !== stableJson(tune)) faults.push('undone tune differs')
  const melody = (list: readonly ArrangedBar[]) => stableJson(list.map((bar) => bar.melody))
  const emptied = bars.map((bar) => ({ ...bar, melody: [], chords: [] }))
  const hasTuplets = bars.some((bar) => bar.melody.some(({ tuplet }) => tuplet))
  if (!hasTuplets && melody(unbar(made, emptied)) !== melody(bars)) faults.push('melody not in the new bars alone')
  return faults
}

/** Bars shorter than their metre come only from bars that were. */
function isCut(bars: readonly ArrangedBar[], made: Rebarred, index: number): boolean {
  let firstOut = 0
  for (const { from, to } of made.steps) {
    if (index < firstOut + to) {
      return from.some((at) => {
        const bar = bars[at] as ArrangedBar
        return bar.lengthTicks < barTicks(bar.metre)
      })
    }
    firstOut += to
  }
  return false
}

/** Notes against the chords they sound with, as pairs of a source and a symbol that clash hard. */
function clashesOf(bars: readonly ArrangedBar[]): ReadonlySet<string> {
  const found = new Set<string>()
  let before: PlacedChord['chord'] | undefined
  for (const bar of bars) {
    // A bar without a chord sign at its start has the chord before.
    const lead = bar.chords[0]?.startTick ?? bar.lengthTicks
    const sounding = [
      ...(before && lead > 0 ? [{ startTick: 0, durationTicks: lead, chord: before }] : []),
      ...bar.chords,
    ]
    before = bar.chords.at(-1)?.chord ?? before
    for (const note of bar.melody) {
      for (const { startTick, durationTicks, chord } of sounding) {
        const meets = startTick < note.startTick + note.durationTicks && note.startTick < startTick + durationTicks
        if (meets && chord.root !== '' && fitOf(chord, note.name.replace(/-?\d+$/, '')) === 'hard')
          found.add(`${note.source?.bar}:${note.source?.index} ${chord.symbol}`)
      }
    }
  }
  return found
}

function downbeatsOf(bars: readonly ArrangedBar[], made: Rebarred): { all: number; strong: number } {
  let all = 0
  let strong = 0
  bars.forEach((bar, index) => {
    const isPickup = index === 0 && bar.lengthTicks < barTicks(bar.metre)
    if (isPickup || bar.melody[0]?.startTick !== 0) return
    const place = mapTick(made, bars, index, 0)
    const landed = made.bars[place.barIndex] as ArrangedBar
    all++
    if (groupStarts(landed.metre, landed.groups).includes(place.tick)) strong++
  })
  return { all, strong }
}
