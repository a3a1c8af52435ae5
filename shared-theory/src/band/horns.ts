/** The horns beside the lead: which of them plays what, bar by bar. Source: the levels of the band, common practice. */
import type { PartNote, PartSpec } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { instrumentOf } from '../instruments/index.js'
import type { BarFrame, Frames } from './frame.js'
import { type Desk, type HornPages, desksOf, hornNote } from './horn-desks.js'
import { type HarmonySection, type LineNote, harmonySection } from './horn-harmony.js'
import { type HeldSection, heldSection } from './horn-held.js'
import { riffLine } from './horn-riffs.js'
import { attacksOf, restsOf } from './melody-room.js'

const EIGHTH = TICKS_PER_QUARTER / 2
const BELOW_MELODY = 3
const SOFTER = 6
/** A horn without so much room below the line sits out. */
const LEAST_ROOM = 7
/** Who doubles a line does not do it at the top of the horn. */
const SPARE_ABOVE = 3
/** What horns do that do not lead. */
export type HornTask = 'rest' | 'unison' | 'held' | 'hit' | 'harmony' | 'riffs' | 'cells'

/** Notes of every bar for each horn. */
export function playHorns(
  horns: readonly PartSpec[],
  frames: Frames,
  taskOf: (frame: BarFrame) => HornTask,
): ReadonlyMap<string, readonly (readonly PartNote[])[]> {
  const desks = desksOf(horns)
  const pages: HornPages = new Map(desks.map(({ part }) => [part.id, frames.bars.map((): PartNote[] => [])]))
  const held = heldSection()
  const harmony = harmonySection()
  const octaves = octavesOf(frames, desks)
  for (const frame of frames.bars) {
    const free = desks.filter(({ part }) => !isBusy(part, frame))
    const task = free.length === 0 || frame.isPickup ? 'rest' : taskOf(frame)
    const isBreath = frame.barInSection % 4 === 3
    const top = free.at(-1)
    if (task === 'rest' || !top) continue
    if (task === 'unison') inUnison(frame, free, octaves, pages)
    else if (task === 'harmony') {
      harmony.play(frame, frame.bar.melody, free, pages)
      answer(frame, frames, free, pages)
    } else if (isBreath && !frame.isLast) continue
    else if (task === 'held') held.play(frame, free, pages)
    else if (task === 'hit') hit(frame, free, pages, held)
    else if (task === 'riffs') riff(frame, frames, frame.groove.riff, free, pages, harmony)
    else riff(frame, frames, frame.groove.comp[0] ?? [], free, pages, harmony)
    if (isBreath && !frame.isLast) breathe(frame, free, pages)
  }
  for (const page of pages.values()) untie(page, frames)
  return pages
}

/** A tie that nothing goes on from is none. */
function untie(page: PartNote[][], { bars }: Frames): void {
  page.forEach((notes, index) => {
    const length = bars[index]?.bar.lengthTicks ?? 0
    notes.forEach((note, place) => {
      if (!note.tiedToNext) return
      const end = note.startTick + note.durationTicks
      const next = end === length ? page[index + 1]?.find(({ startTick }) => startTick === 0) : notes[place + 1]
      const goesOn = next?.midi === note.midi && (end === length || next.startTick === end)
      if (goesOn) return
      const { tiedToNext: _tie, ...plain } = note
      notes[place] = plain
    })
  })
}

/** One chord together, an eighth long. */
function hit(frame: BarFrame, desks: readonly Desk[], pages: HornPages, held: HeldSection): void {
  const [span] = frame.chords
  if (!span) return
  held.play({ ...frame, chords: [span] }, desks, pages)
  for (const { part } of desks) {
    const page = pages.get(part.id)
    const notes = page?.[frame.index]
    if (page && notes)
      page[frame.index] = notes.map((note) => ({ ...note, durationTicks: Math.min(note.durationTicks, EIGHTH) }))
  }
}

/** Leading or soloing. */
const isBusy = ({ id }: PartSpec, frame: BarFrame): boolean =>
  (frame.leaderId === id && frame.bar.melody.length > 0) || (frame.isSolo && frame.plan?.soloist === id)

/** Where all have it, the melody as it stands, in the octave each has for the whole section. */
function inUnison(frame: BarFrame, desks: readonly Desk[], octaves: Octaves, pages: HornPages): void {
  for (const { part } of desks) {
    const shift = octaves(frame.sectionOrdinal, part.id)
    if (shift === undefined) continue
    for (const note of frame.bar.melody) {
      const span = frame.chords.findLast(({ startTick }) => startTick - frame.startTick <= note.startTick)
      if (!span) continue
      const { startTick, durationTicks } = note
      pages.get(part.id)?.[frame.index]?.push({
        ...hornNote(frame, { startTick, durationTicks, sign: 'x', span }, note.midi + shift, SOFTER),
        name: `${note.name.replace(/-?\d+$/, '')}${Number(/-?\d+$/.exec(note.name)?.[0]) + shift / 12}`,
        ...(note.tiedToNext ? { tiedToNext: true as const } : {}),
        ...(note.tuplet ? { tuplet: note.tuplet } : {}),
      })
    }
  }
}

type Octaves = (sectionOrdinal: number, partId: string) => number | undefined

/** Half steps by which a desk moves a section's melody to have all of it; undefined where it has no octave of it. */
function octavesOf({ extents }: Frames, desks: readonly Desk[]): Octaves {
  const ranges = new Map(desks.map(({ part, range }) => [part.id, range]))
  return (sectionOrdinal, partId) => {
    const section = extents.get(sectionOrdinal)
    const range = ranges.get(partId)
    if (!section || !range) return undefined
    const reaches = (shift: number, spare: number) =>
      section[0] + shift >= range[0] && section[1] + shift <= range[1] - spare
    return [0, -12, 12].find((shift) => reaches(shift, SPARE_ABOVE)) ?? [0, -12, 12].find((shift) => reaches(shift, 0))
  }
}

/** A riff in the bar: where the melody plays, only the strokes it leaves room for, below it. */
function riff(
  frame: BarFrame,
  frames: Frames,
  rows: readonly string[],
  desks: readonly Desk[],
  pages: HornPages,
  harmony: HarmonySection,
): void {
  const sung = frame.bar.melody.map(({ midi }) => midi)
  // A voice has its whole range to itself.
  if (frame.sung && sung.length > 0) sung.push(frame.sung[0])
  const ceiling = Math.min(...sung, 127) - BELOW_MELODY
  const able = desks.filter(({ low, high }) => Math.min(high, ceiling) - low >= LEAST_ROOM)
  const top = able.at(-1)
  if (!top) return
  const line = roomFor(frame, riffLine(frame, frames, rows, top, ceiling))
  if (line.length === 0) return
  writeLine(frame, line, top, pages)
  const others = able.slice(0, -1)
  if (frame.level >= 5) for (const desk of others) writeLine(frame, inOctaveOf(line, desk), desk, pages)
  else harmony.play(frame, line, others, pages)
}

/** Under a melody: strokes on its attacks or an eighth away from them, and none where it is busy. */
function roomFor(frame: BarFrame, line: readonly LineNote[]): readonly LineNote[] {
  const attacks = attacksOf(frame.bar)
  if (attacks.length === 0) return line
  const rests = restsOf(frame.bar)
  const isSung = (tick: number) => !rests.some(([from, to]) => tick >= from && tick < to)
  return line.filter(({ startTick }) => {
    const next = attacks.find((tick) => tick > startTick) ?? frame.bar.lengthTicks
    const before = attacks.findLast((tick) => tick <= startTick) ?? -Infinity
    const isHeldRoom =
      next - startTick >= EIGHTH && next - before >= 2 * TICKS_PER_QUARTER && startTick - before >= EIGHTH
    return isSung(startTick) ? isHeldRoom : next - startTick >= EIGHTH
  })
}

/** At full energy the section answers in the rests of the line it harmonises. */
function answer(frame: BarFrame, frames: Frames, desks: readonly Desk[], pages: HornPages): void {
  const top = desks.at(-1)
  if (frame.level < 5 || !top || frame.bar.melody.length === 0 || frame.barInSection % 4 === 3) return
  const rests = restsOf(frame.bar)
  const line = riffLine(frame, frames, frame.groove.riff, top, 127).filter(({ startTick, durationTicks }) =>
    rests.some(([from, to]) => startTick >= from && startTick + durationTicks <= to),
  )
  for (const desk of desks) writeLine(frame, inOctaveOf(line, desk), desk, pages)
}

function writeLine(frame: BarFrame, line: readonly LineNote[], desk: Desk, pages: HornPages): void {
  const page = pages.get(desk.part.id)?.[frame.index]
  for (const { startTick, durationTicks, sign = 'x', span, midi, articulation } of line) {
    if (!span) continue
    page?.push({
      ...hornNote(frame, { startTick, durationTicks, sign, span }, midi, SOFTER),
      ...(articulation ? { articulation } : {}),
    })
  }
  page?.sort((a, b) => a.startTick - b.startTick)
}

/** The line in the octave that lies best for a player. */
function inOctaveOf(line: readonly LineNote[], { low, high }: Desk): readonly LineNote[] {
  const middle = (low + high) / 2
  const mean = line.reduce((sum, { midi }) => sum + midi, 0) / Math.max(1, line.length)
  const fitting = [0, -12, 12, -24, 24].filter((by) => line.every(({ midi }) => midi + by >= low && midi + by <= high))
  const shift = fitting.sort((a, b) => Math.abs(mean + a - middle) - Math.abs(mean + b - middle))[0]
  return shift === undefined ? [] : line.map((note) => ({ ...note, midi: note.midi + shift }))
}

/** In the last of four bars everybody breathes: what lasts to the bar line ends an eighth before it, else the longest note is cut short. */
function breathe(frame: BarFrame, desks: readonly Desk[], pages: HornPages): void {
  for (const { part } of desks) {
    const page = pages.get(part.id)?.[frame.index]
    const end = page?.at(-1)
    if (!instrumentOf(part).breathes || !page || !end || endOf(end) < frame.bar.lengthTicks) continue
    const longest = page.reduce((best, note) => (note.durationTicks > best.durationTicks ? note : best), end)
    const cut = end.durationTicks > EIGHTH && !end.tuplet ? end : longest
    if (cut.durationTicks <= EIGHTH || cut.tuplet) continue
    const { tiedToNext: _tie, ...note } = cut
    page[page.indexOf(cut)] = { ...note, durationTicks: note.durationTicks - EIGHTH }
  }
}

const endOf = ({ startTick, durationTicks }: PartNote): number => startTick + durationTicks
