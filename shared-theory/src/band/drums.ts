/** The drummer: which pattern a bar gets, fills where there is room, the last hit. */
import type { PartNote } from '../contract/index.js'
import { DRUM_KEYS, type DrumPattern, type DrumRow, SUSTAINED_DRUM_ROWS, strokesOf } from '../rhythm/index.js'
import { must } from '../units/index.js'
import type { BarFrame, Stop } from './frame.js'
import {
  CHA_CHA_CLOSE,
  CHA_CHA_HITS,
  closesChaCha,
  countInRows,
  fillForm,
  fillRows,
  halfTick,
  stopsBefore,
  withSticks,
} from './drum-fills.js'
import { isThinned, opensHat, splashTick } from './drum-held.js'
import { velocityOf } from './loudness.js'
import { attacksOf } from './melody-room.js'

export interface DrumBar {
  readonly notes: readonly PartNote[]
  /** Ticks of plain and accented bass-drum strokes: where the bass agrees. */
  readonly kickTicks: readonly number[]
  readonly hasFill: boolean
}

/** Drums of every bar, in order: a fill shows in the bar after it. */
export function playDrums(
  frames: readonly BarFrame[],
  stop: Stop,
  /** Bars in which chords come early, and the tick: the bass drum strikes it too. */
  early: ReadonlyMap<number, number> = new Map(),
): readonly DrumBar[] {
  const twoSide = startsOnTwoSide(frames)
  const made: DrumBar[] = []
  for (const frame of frames) {
    const after = made.at(-1)?.hasFill === true
    const bar = frame.isPickup ? EMPTY : drumBar(frame, frames, after, twoSide, stop)
    const tick = early.get(frame.index)
    made.push(tick === undefined || bar.hasFill ? bar : withEarlyKick(frame, bar, tick))
  }
  return made
}

const EMPTY: DrumBar = { notes: [], kickTicks: [], hasFill: false }

function drumBar(
  frame: BarFrame,
  frames: readonly BarFrame[],
  isAfterFill: boolean,
  twoSide: boolean,
  stop: Stop,
): DrumBar {
  if (frame.isLast) return lastHit(frame, stop)
  const fill = fillForm(frame, frames)
  const base = rowsOf(frame, basePattern(frame))
  const notes: PartNote[] = []
  const kickTicks: number[] = []
  const softer = { ...frame, level: frame.level === 2 ? 1 : frame.level } as const
  const add = (row: DrumRow, from: number, to: number, at: BarFrame = frame) => {
    for (const stroke of strokesIn(frame, row, twoSide)) {
      if (stroke.startTick < from || stroke.startTick >= Math.min(to, frame.bar.lengthTicks)) continue
      if (isThinned(frame, frames, row.row, stroke.startTick)) continue
      const sign = row.row === 'kick' ? kickSign(frame, stroke.sign, fill !== 'none') : stroke.sign
      const name = fill === 'none' && opensHat(frame, row.row, stroke.startTick) ? 'hatopen' : row.row
      notes.push(note(at, name, sign, stroke.startTick, stroke.durationTicks, stroke.tuplet !== undefined))
      if (row.row === 'kick' && sign !== 'o') kickTicks.push(stroke.startTick)
    }
  }
  const half = halfTick(frame)
  const countIn = countInRows(frame, frames)
  const stopsAt = stopsBefore(frame, frames)
  if (countIn) for (const row of countIn) add(row, half, Infinity)
  else if (stopsAt) {
    for (const row of base) add(row, 0, half)
    if (stopsAt === 'rubato') notes.push(note(frame, 'crash', 'o', half, frame.bar.lengthTicks - half, false))
  } else if (closesChaCha(frame, frames, stop)) {
    for (const row of base) add(row, 0, CHA_CHA_HITS[0] ?? 0)
    for (const row of CHA_CHA_CLOSE) add(row, 0, Infinity)
  } else if (fill === 'none') {
    for (const row of base) add(row, 0, Infinity)
    const splash = splashTick(frame)
    if (splash !== undefined) notes.push(note(frame, 'hatopen', 'o', splash, 2520, false))
  } else if (fill === 'half') {
    for (const row of base) add(row, 0, half)
    for (const row of fillRows(frame, 'half')) add(row, half, Infinity, softer)
  } else for (const row of fillRows(frame, fill)) add(row, 0, Infinity, softer)
  openSection(frame, isAfterFill, notes)
  return { notes: inOrder(notes), kickTicks, hasFill: fill !== 'none' }
}

function withEarlyKick(frame: BarFrame, bar: DrumBar, tick: number): DrumBar {
  const isStruck = bar.notes.some(({ name, startTick }) => name === 'kick' && startTick === tick)
  if (isStruck || frame.level === 1 || frame.bar.lengthTicks < frame.patternTicks) return bar
  const sign = kickSign(frame, 'x', false)
  return {
    ...bar,
    notes: inOrder([...bar.notes, note(frame, 'kick', sign, tick, frame.bar.lengthTicks - tick, false)]),
    kickTicks: sign === 'o' ? bar.kickTicks : [...bar.kickTicks, tick].sort((a, b) => a - b),
  }
}

/** Felt rather than heard up to level 2; at 1 an accent that nobody may drop is a plain stroke, in a fill it is felt too. */
function kickSign({ level }: BarFrame, sign: string, isFill: boolean): string {
  if (level > 2) return sign
  return level === 1 && sign === 'X' && !isFill ? 'x' : 'o'
}

/** Pattern by level and place in the section. */
function basePattern(frame: BarFrame): DrumPattern {
  const { level, barInSection: k, groove } = frame
  const isLatePair = k % 4 >= 2
  const light: DrumPattern = groove.drums.two ? 'two' : 'main'
  // In a trade it is their solo; before the tune they set the time.
  if (frame.isDrumsAlone) return isLatePair ? 'var1' : frame.isSolo ? 'var2' : 'main'
  switch (level) {
    case 1:
    case 2:
      return light
    case 3:
      return isLatePair ? 'var1' : 'main'
    case 4:
      return isLatePair ? 'var2' : 'var1'
    case 5:
      return isLatePair ? 'var1' : 'var2'
  }
}

function rowsOf(frame: BarFrame, pattern: DrumPattern): readonly DrumRow[] {
  const { groove, level } = frame
  const rows = groove.drums[pattern] ?? groove.drums.main ?? []
  if (groove.feel === 'rubato') return rubatoRows(frame)
  return thickened(frame, level === 1 ? rows.filter(({ row }) => groove.level1.includes(row)) : rows)
}

/** Rows that come in, or take another's place, by level. */
function thickened({ groove, level, bar }: BarFrame, own: readonly DrumRow[]): readonly DrumRow[] {
  return (groove.thickened ?? []).reduce((all, { levels: [from, to], rows: added, instead }) => {
    if (level < from || level > to) return all
    // Nobody takes up brushes for the last two bars.
    if (bar.pass === 'ending' && added.some(({ row }) => row === 'bsweep')) return all
    const kept = all.filter(({ row }) => !instead?.includes(row))
    return [...kept, ...added.filter(({ row }) => kept.every((each) => each.row !== row))]
  }, own)
}

/** In rubato the drums only breathe: a swell at the end of four bars, mallets from level 3. */
function rubatoRows(frame: BarFrame): readonly DrumRow[] {
  const { groove, level, barInSection } = frame
  if (level === 1 || barInSection % 4 !== 3) return []
  return (level === 2 ? groove.drums.var1 : groove.drums.var2) ?? []
}

/** Strokes of a row in this bar; two-bar rows start on even bars of the section, clave rows on the tune's side. */
function strokesIn(frame: BarFrame, row: DrumRow, twoSide: boolean) {
  const turned = isClaveRow(frame, row) && isTwoSided(row) !== twoSide ? 1 : 0
  const bar = row.bars[(frame.barInSection + turned) % row.bars.length]
  return strokesOf(must(bar, `${row.row} has bars`), frame.patternTicks)
}

/** The bossa cross-stick has a direction, and a tune keeps one. */
const isClaveRow = (frame: BarFrame, row: DrumRow) =>
  frame.groove.id === 'bossa' && row.row === 'xstick' && row.bars.length === 2
/** The three-side has a stroke on the first beat. */
const isTwoSided = (row: DrumRow) => row.bars[0]?.startsWith('.') === true

/** A tune whose first full bar is struck on the and of 1 and not on the and of 2 wants the two-side first. */
function startsOnTwoSide(frames: readonly BarFrame[]): boolean {
  const first = frames.find(({ isPickup, bar }) => !isPickup && bar.melody.length > 0)
  if (!first) return false
  const attacks = attacksOf(first.bar)
  return attacks.includes(2520) && !attacks.includes(7560)
}

/** The downbeat after a fill, and the start of a loud section, are marked. */
function openSection(frame: BarFrame, isAfterFill: boolean, notes: PartNote[]): void {
  const { level, barInSection, index } = frame
  const starts = barInSection === 0 && index > 0
  if (frame.groove.feel === 'rubato' || level === 1 || !(isAfterFill || (starts && level >= 4))) return
  const mark = (row: string, sign: string) => {
    const key = must(DRUM_KEYS[row], row).midi
    const at = notes.findIndex((played) => played.midi === key && played.startTick === 0)
    if (at >= 0) notes.splice(at, 1)
    notes.push(note(frame, row, sign, 0, frame.patternTicks / frame.bar.metre.beats, false))
  }
  mark('kick', 'X')
  if (level >= 4) mark('crash', 'x')
  else mark('ride', 'X')
}

/** Everybody hits the first beat and stops. */
function lastHit(frame: BarFrame, stop: Stop): DrumBar {
  const length = stop === 'button' ? Math.min(2520, frame.bar.lengthTicks) : frame.bar.lengthTicks
  const notes = withSticks(frame, frame.groove.drums.end ?? []).flatMap((row) =>
    strokesIn(frame, row, false)
      .filter(({ startTick }) => startTick === 0)
      .map(({ sign, tuplet }) => {
        const isLong = stop !== 'button' && SUSTAINED_DRUM_ROWS.has(row.row)
        const { printed: _printed, ...hit } = note(
          frame,
          row.row,
          sign,
          0,
          isLong ? length : 2520,
          tuplet !== undefined,
        )
        return { ...hit, durationTicks: Math.min(hit.durationTicks, frame.bar.lengthTicks) }
      }),
  )
  return { notes: inOrder(notes), kickTicks: [0], hasFill: false }
}

function note(
  frame: BarFrame,
  row: string,
  sign: string,
  startTick: number,
  durationTicks: number,
  isTriplet: boolean,
): PartNote {
  const key = must(DRUM_KEYS[row], `drum row '${row}' has a key`)
  const step = Math.max(1, Math.floor(frame.patternTicks / frame.groove.grid))
  const sounding =
    SUSTAINED_DRUM_ROWS.has(row) || isTriplet ? durationTicks : Math.min(durationTicks, Math.max(step, 1260))
  return {
    startTick,
    durationTicks: Math.min(sounding, frame.bar.lengthTicks - startTick),
    midi: key.midi,
    name: row,
    velocity: velocityOf(frame.groove.dyn, sign, frame.level),
    printed: 'slash',
    ...(isTriplet ? { tuplet: { actual: 3, normal: 2 } } : {}),
  }
}

const inOrder = (notes: readonly PartNote[]): readonly PartNote[] =>
  [...notes].sort((a, b) => a.startTick - b.startTick || a.midi - b.midi)
