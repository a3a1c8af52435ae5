/** Undoing a re-barring, and following a place through it. */
import type { ArrangedBar, ArrangedNote, PlacedChord } from '../../contract/index.js'
import { barTicks, must } from '../../units/index.js'
import { findMap, inverted, throughMap, throughMapFloor } from './maps.js'
import { tupletFor } from './place-bars.js'
import type { Rebarred, RebarStep } from './rebar.js'
import { SAME, spanOf, stepRanges } from './rebar.js'

/** The bars before the re-barring. Melody and chords come back through the inverse maps; bar frames (metre, length, provenance, marks)
 *  and what the way out made needless (a repeated chord, a tuplet sign) are taken from `original`. */
export function unbar(rebarred: Rebarred, original: readonly ArrangedBar[]): readonly ArrangedBar[] {
  const restored: ArrangedBar[] = []
  for (const { step, firstOut } of stepRanges(rebarred)) {
    const newBars = rebarred.bars.slice(firstOut, firstOut + step.to)
    if (step.mapId === SAME) {
      const frame = must(original[step.from[0] as number], 'the original bar')
      const bar = must(newBars[0], 'the new bar')
      restored.push({ ...frame, melody: bar.melody, chords: bar.chords })
      continue
    }
    restored.push(...restoredStep(step, newBars, original))
  }
  return restored
}

function restoredStep(
  step: RebarStep,
  newBars: readonly ArrangedBar[],
  original: readonly ArrangedBar[],
): readonly ArrangedBar[] {
  const map = must(findMap(step.mapId), `map '${step.mapId}'`)
  const span = spanOf(original, step, map)
  const back = inverted(map.points)
  const outFrom = must(throughMap(map.points, span.offsetTicks), 'the step starts on a tick')
  const backTick = (outTick: number) => must(throughMap(back, outTick), `${step.mapId} goes back on a tick`)
  const notes: ArrangedNote[] = []
  const chords: PlacedChord[] = []
  let at = outFrom
  newBars.forEach((bar, index) => {
    for (const note of bar.melody) {
      const whole = notes.at(-1)
      const isRest = index > 0 && note.startTick === 0 && whole?.startTick !== undefined && continues(whole, note, at)
      const end = at + note.startTick + note.durationTicks
      if (isRest && whole) notes[notes.length - 1] = withEnd(whole, end, note.tiedToNext === true)
      else notes.push({ ...note, startTick: at + note.startTick })
    }
    for (const chord of bar.chords) chords.push({ ...chord, startTick: at + chord.startTick })
    at += bar.lengthTicks
  })
  let low = span.offsetTicks
  return span.bars.map((frame) => {
    const high = low + frame.lengthTicks
    const melody = notes.flatMap((note) => {
      const startTick = backTick(note.startTick)
      if (startTick < low || startTick >= high) return []
      const durationTicks = backTick(note.startTick + note.durationTicks) - startTick
      const { tuplet, ...rest } = note
      const was = frame.melody.find((old) => old.startTick === startTick - low && old.durationTicks === durationTicks)
      const sign = was ? was.tuplet : tupletFor(durationTicks, note.durationTicks, tuplet)
      return [{ ...rest, startTick: startTick - low, durationTicks, ...(sign ? { tuplet: sign } : {}) }]
    })
    const bar: ArrangedBar = { ...frame, melody, chords: restoredChords(frame, chords, backTick, low, high) }
    low = high
    return bar
  })
}

/** Whether a note at a bar line is the second part of a note that was split there. */
function continues(whole: ArrangedNote, part: ArrangedNote, outTick: number): boolean {
  const isNext =
    whole.startTick + whole.durationTicks === outTick && whole.tiedToNext === true && whole.midi === part.midi
  const isSameNote = whole.source?.bar === part.source?.bar && whole.source?.index === part.source?.index
  return isNext && isSameNote
}

function withEnd(note: ArrangedNote, endTick: number, isTied: boolean): ArrangedNote {
  const { tiedToNext: _tie, ...rest } = note
  return { ...rest, durationTicks: endTick - note.startTick, ...(isTied ? { tiedToNext: true as const } : {}) }
}

function restoredChords(
  frame: ArrangedBar,
  events: readonly PlacedChord[],
  backTick: (tick: number) => number,
  low: number,
  high: number,
): readonly PlacedChord[] {
  const sounding = events
    .filter((event, index) => index === 0 || event.chord.symbol !== events[index - 1]?.chord.symbol)
    .map((event) => ({ ...event, startTick: backTick(event.startTick) }))
  // A bar without a chord sign, where the chord before goes on.
  const begins = sounding.some(({ startTick }) => startTick >= low && startTick < high)
  if (frame.chords.length === 0 && !begins) return frame.chords
  const at = (tick: number) => sounding.filter(({ startTick }) => startTick <= tick).at(-1)?.chord.symbol
  const isAsBefore = frame.chords.every(({ startTick, chord }) => at(low + startTick) === chord.symbol)
  const changes = sounding.filter(({ startTick }) => startTick > low && startTick < high)
  const hasAll = changes.every(({ startTick }) => frame.chords.some((chord) => chord.startTick === startTick - low))
  if (isAsBefore && hasAll && frame.chords.length > 0) return frame.chords
  const starts = [...new Set([low, ...changes.map(({ startTick }) => startTick)])]
  return starts.flatMap((startTick, index) => {
    const event = sounding.filter((chord) => chord.startTick <= startTick).at(-1)
    if (!event) return []
    return [
      {
        ...event,
        startTick: startTick - low,
        durationTicks: (starts[index + 1] ?? high) - startTick,
      },
    ]
  })
}

/** Where a tick of an input bar lands: index into the new bars and tick inside it. A tick that maps between two ticks is rounded down. */
export function mapTick(
  rebarred: Rebarred,
  inputBars: readonly ArrangedBar[],
  barIndex: number,
  tick: number,
): { readonly barIndex: number; readonly tick: number } {
  const found = stepRanges(rebarred).find(({ step }) => step.from.includes(barIndex))
  const { step, firstOut } = must(found, `bar ${barIndex} went through the re-barring`)
  if (step.mapId === SAME) return { barIndex: firstOut, tick }
  const map = must(findMap(step.mapId), `map '${step.mapId}'`)
  const span = spanOf(inputBars, step, map)
  let at = span.offsetTicks
  for (const index of step.from) {
    if (index === barIndex) break
    at += must(inputBars[index], `input bar ${index}`).lengthTicks
  }
  const outTick = throughMapFloor(map.points, at + tick)
  const full = barTicks(map.to)
  const outFrom = throughMapFloor(map.points, span.offsetTicks)
  const firstFull = Math.floor(outFrom / full)
  const inStep = Math.min(Math.floor(outTick / full) - firstFull, step.to - 1)
  const barStart = Math.max(outFrom, (firstFull + inStep) * full)
  return { barIndex: firstOut + inStep, tick: outTick - barStart }
}
