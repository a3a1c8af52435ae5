/** Which strokes a chord player makes: the cell with most room for the melody, thinned where it is busy, every chord heard. */
import type { HandEdit } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { pitchClassesOf } from '../chords/index.js'
import { type DuoGuitar, type Stroke, strokesOf } from '../rhythm/index.js'
import { mod, pitchClass } from '../units/index.js'
import { CHA_CHA_HITS, closesChaCha } from './drum-fills.js'
import type { BarFrame, ChordSpan, Frames, Stop } from './frame.js'
import { attacksOf, melodyAt, windowsOf } from './melody-room.js'

const EIGHTH = TICKS_PER_QUARTER / 2
const LONGEST_ANTICIPATION = 3 * EIGHTH

/** `left`: the left hand under the player's own melody. */
export type CompStyle = 'cells' | 'pads' | 'guitar' | 'left'
export type VoicingEdit = Extract<HandEdit, { kind: 'voicing' }>

export interface CompContext {
  readonly frames: Frames
  readonly voicings: readonly (readonly number[])[]
  readonly style: CompStyle
  readonly stop: Stop
  /** Voicings fixed by hand for this part, by bar index. */
  readonly edits: ReadonlyMap<number, readonly VoicingEdit[]>
  /** Bars in which the horns' riff is played along. */
  readonly isHit: (frame: BarFrame) => boolean
  /** Without drums the first cell keeps the time. */
  readonly hasDrums: boolean
  /** No other chord player holds the present chord meanwhile. */
  readonly isAlone: boolean
}

/** One chord stroke in ticks of its bar. */
export interface CompStroke {
  readonly startTick: number
  readonly endTick: number
  readonly sign: string
  /** Chord it sounds; an anticipation sounds the next. */
  readonly span: ChordSpan
  readonly isTriplet: boolean
  /** Anticipation held over the bar line. */
  readonly isTied: boolean
}

/** Strokes of every bar, in order. */
export function strokesOfAll(context: CompContext): readonly (readonly CompStroke[])[] {
  const { bars } = context.frames
  const strokes: CompStroke[][] = bars.map(() => [])
  let lastCell = -1
  let cellBefore = -1
  const heard = new Set<ChordSpan>()
  for (let index = 0; index < bars.length; index++) {
    const frame = bars[index] as BarFrame
    for (const { span } of strokes[index - 1] ?? []) heard.add(span)
    if (frame.isPickup || frame.isDrumsAlone) continue
    if (frame.isLast) {
      strokes[index] = lastHit(frame, context)
      continue
    }
    if (context.style === 'pads') strokes[index] = padStrokes(frame)
    else if (context.style === 'guitar') strokes[index] = guitarStrokes(frame, context, heard)
    else if (context.style === 'left') strokes[index] = leftStrokes(frame, context, heard)
    else if (context.isHit(frame) && frame.barInSection % 4 !== 3) strokes[index] = hitStrokes(frame, context)
    else if (frame.barInSection % 2 === 0 || index === 0) {
      const chosen = context.hasDrums ? chosenCell(frame, bars[index + 1], lastCell, cellBefore) : 0
      cellBefore = lastCell
      lastCell = chosen
      strokes[index] = cellBar(frame, lastCell, 0, context, heard)
    } else {
      if (lastCell < 0) lastCell = 0
      strokes[index] = cellBar(frame, lastCell, 1, context, heard)
    }
  }
  bars.forEach((frame, index) => {
    if (closesChaCha(frame, bars, context.stop)) strokes[index] = withHits(frame, strokes[index] ?? [])
    if (changesGroove(frame, bars[index + 1]))
      strokes[index] = (strokes[index] ?? []).filter(({ startTick }) => startTick * 2 < frame.bar.lengthTicks)
  })
  return strokes.map((own, index) =>
    strokes[index + 1]?.[0]?.startTick === 0 || context.edits.has(index + 1) ? own.map(untied) : own,
  )
}

/** What a guitarist does without drums: the groove's own way; above some tempi, and with a drummer, as usual. */
export function duoOf({ groove, bar }: BarFrame, { style, hasDrums }: CompContext): DuoGuitar | undefined {
  if (style !== 'guitar' || hasDrums) return undefined
  const { duoGuitar: duo } = groove
  return duo.cellsAbove !== undefined && bar.tempoBpm > duo.cellsAbove ? undefined : duo
}

/** Low strings and arpeggios go on under a moving melody; other strokes give way to it. */
const GOES_ON: ReadonlySet<DuoGuitar['way']> = new Set(['up', 'up-down', 'low-strings', 'damped'])

function guitarStrokes(frame: BarFrame, context: CompContext, heard: ReadonlySet<ChordSpan>): CompStroke[] {
  const duo = duoOf(frame, context)
  const { groove } = frame
  const isAccents = groove.duoGuitar.cellsAbove !== undefined && !duo && !context.hasDrums
  const at = frame.barInSection % 2 === 1 ? 1 : 0
  const row = isAccents ? groove.comp[1]?.[at] : (duo?.rows?.[at] ?? groove.guitar)
  const strokes = rowStrokes(frame, row ?? groove.guitar, context)
  return duo && GOES_ON.has(duo.way) ? besideMelody(frame, strokes, context) : roomed(frame, strokes, context, heard)
}

/** Cells in turn by the place in the section, so that a part is printed alike each time; at level 1 chords where they begin. */
function leftStrokes(frame: BarFrame, context: CompContext, heard: ReadonlySet<ChordSpan>): CompStroke[] {
  if (frame.level === 1) return padStrokes(frame, 1)
  const usable = usableCells(frame)
  const cell = usable[Math.floor(frame.barInSection / 2) % usable.length] ?? 0
  return cellBar(frame, cell, frame.barInSection % 2 === 1 ? 1 : 0, context, heard).map(untied)
}

/** Strokes on the melody's attacks or an eighth away from them. */
function besideMelody(frame: BarFrame, strokes: readonly CompStroke[], { frames }: CompContext): CompStroke[] {
  const attacks = attacksOf(frame.bar, frames.bars[frame.index - 1]?.bar)
  return strokes.filter(
    ({ startTick }) => attacks.includes(startTick) || !attacks.some((tick) => Math.abs(tick - startTick) < EIGHTH),
  )
}

/** The horns' riff; on the last eighth the chord that comes. */
function hitStrokes(frame: BarFrame, context: CompContext): CompStroke[] {
  const row = frame.groove.riff[frame.barInSection % 2] ?? ''
  return rowStrokes(frame, row, context).map((stroke) => {
    const next = context.frames.spans[stroke.span.index + 1]
    const isEarly = frame.bar.lengthTicks - stroke.startTick <= EIGHTH && next && next.barIndex > frame.index
    return isEarly ? { ...stroke, span: next } : stroke
  })
}

/** What was played as far as beat four, and the two hits of the close. */
function withHits(frame: BarFrame, strokes: readonly CompStroke[]): CompStroke[] {
  const [first = 0] = CHA_CHA_HITS
  const before = strokes
    .filter(({ startTick }) => startTick < first)
    .map((stroke) => ({ ...stroke, endTick: Math.min(stroke.endTick, first), isTied: false }))
  const hits = CHA_CHA_HITS.flatMap((startTick) => {
    const span = spanAt(frame, startTick)
    return span ? [{ startTick, endTick: startTick + EIGHTH, sign: 'x', span, isTriplet: false, isTied: false }] : []
  })
  return [...before, ...hits]
}

/** Another groove in the same metre comes: the last half bar is the drummer's. */
const changesGroove = (frame: BarFrame, next: BarFrame | undefined): boolean =>
  next !== undefined &&
  next.groove.id !== frame.groove.id &&
  frame.groove.feel !== 'rubato' &&
  next.groove.feel !== 'rubato' &&
  next.bar.lengthTicks === frame.bar.lengthTicks

/** An anticipation is not tied where the next bar's first beat is struck anyway, or voiced by hand. */
const untied = (stroke: CompStroke): CompStroke => (stroke.isTied ? { ...stroke, isTied: false } : stroke)

/** A cell a third time running is a bore: that costs it two strokes. Source: from memory. */
const AGAIN = 1
const THIRD_TIME = 6

/** The cell with most strokes where the melody leaves room, fewest beside its attacks, not the one just played. */
function chosenCell(frame: BarFrame, next: BarFrame | undefined, lastCell: number, cellBefore: number): number {
  const { comp } = frame.groove
  const usable = usableCells(frame)
  const bars = next && next.barInSection === frame.barInSection + 1 ? [frame, next] : [frame]
  const places = bars.map((bar) => {
    const attacks = attacksOf(bar.bar)
    return { bar, attacks, windows: windowsOf(bar.bar, attacks) }
  })
  let best = 0
  let bestScore = -Infinity
  for (let turn = 0; turn < usable.length; turn++) {
    const cell = usable[(frame.sectionOrdinal + turn) % usable.length] as number
    let score = cell === lastCell ? (cell === cellBefore ? -THIRD_TIME : -AGAIN) : 0
    places.forEach(({ bar, attacks, windows }, at) => {
      const row = comp[cell]?.[at] ?? ''
      for (const { startTick } of strokesOf(row, bar.patternTicks)) {
        if (windows.some(([from, to]) => startTick >= from && startTick < to)) score += 3
        const isBeside = attacks.some((tick) => tick !== startTick && Math.abs(tick - startTick) <= EIGHTH)
        if (isBeside && !attacks.includes(startTick)) score -= 2
      }
    })
    if (score > bestScore) {
      best = cell
      bestScore = score
    }
  }
  return best
}

/** Cells by level: the first, the first two, three, all. The bossa's first rides the cross-stick and is for vamps and solos; in five the ostinato
 *  tells where the bar is up to level 3. Source: common practice. */
function usableCells(frame: BarFrame): readonly number[] {
  const { groove, level, bar } = frame
  const all = groove.comp.map((_, cell) => cell)
  if (groove.id === 'five-4' && level <= 3) return [0]
  const known = groove.id === 'bossa' && bar.melody.length > 0 ? all.slice(1) : all
  return level >= 4 ? known : known.slice(0, level)
}

function cellBar(
  frame: BarFrame,
  cell: number,
  at: 0 | 1,
  context: CompContext,
  heard: ReadonlySet<ChordSpan>,
): CompStroke[] {
  const row = frame.groove.comp[cell]?.[at] ?? frame.groove.comp[0]?.[0] ?? ''
  const strokes = rowStrokes(frame, row, context)
  const kept = frame.level === 1 ? strokes.filter((_, index) => index % 2 === 0) : strokes
  return roomed(frame, kept, context, heard)
}

function rowStrokes(frame: BarFrame, row: string, context: CompContext): CompStroke[] {
  const length = frame.bar.lengthTicks
  const made: CompStroke[] = []
  for (const stroke of strokesOnBeats(frame, row)) {
    if (stroke.startTick >= length) continue
    const endTick = Math.min(stroke.startTick + stroke.durationTicks, length)
    const isTriplet = stroke.tuplet !== undefined
    const span = spanAt(frame, stroke.startTick)
    if (!span) continue
    if (stroke.sign === '>' && isNear(frame, stroke.startTick, span, context)) {
      const early = anticipated(frame, stroke.startTick, endTick, span, context)
      if (early) made.push({ startTick: stroke.startTick, endTick, sign: 'x', isTriplet, ...early })
      continue
    }
    const sign = stroke.sign === '>' ? 'x' : stroke.sign
    made.push(...splitAtChanges(frame, { ...stroke, sign, endTick, span, isTriplet, isTied: false }))
  }
  return made
}

/** The strokes of a row. Nobody counts in free time, but its quarters of a bar mean beats: in three they go to the beat at or before. */
export function strokesOnBeats(frame: BarFrame, row: string): readonly Stroke[] {
  const strokes = strokesOf(row, frame.patternTicks)
  const { beats } = frame.bar.metre
  if (frame.groove.feel !== 'rubato' || beats % frame.groove.grid === 0) return strokes
  const beat = frame.patternTicks / beats
  return strokes.map((stroke) => {
    const startTick = Math.max(0, Math.ceil(stroke.startTick / beat - 0.5)) * beat
    return { ...stroke, startTick, durationTicks: stroke.durationTicks + stroke.startTick - startTick }
  })
}

/** A chord to come is anticipated by an eighth; by a beat and a half at most where nobody else plays the present one, and the bass under it
 *  makes no minor ninth with the new. A stroke farther off takes the chord that is there. */
function isNear(frame: BarFrame, tick: number, span: ChordSpan, { frames, isAlone }: CompContext): boolean {
  const next = frames.spans[span.index + 1]
  if (next === undefined) return true
  const ahead = next.startTick - frame.startTick - tick
  if (ahead <= EIGHTH) return true
  if (!isAlone || ahead > LONGEST_ANTICIPATION) return false
  const held = pitchClassesOf(span.chord)
  const bass = span.chord.bass === undefined ? held[0] : pitchClass(span.chord.bass)
  return bass !== undefined && !pitchClassesOf(next.chord).includes(mod(bass + 1, 12))
}

/** A stroke on the chord to come: only where the melody does not hold a note foreign to it. */
function anticipated(
  frame: BarFrame,
  tick: number,
  endTick: number,
  span: ChordSpan,
  context: CompContext,
): Pick<CompStroke, 'span' | 'isTied'> | undefined {
  const next = context.frames.spans[span.index + 1]
  const following = context.frames.bars[frame.index + 1]
  // Under one's own melody the hand waits for the bar line.
  if (context.style === 'left' && next && next.barIndex > frame.index) return undefined
  if (!next || following?.isLast || following?.isDrumsAlone || following?.bar.feel !== frame.bar.feel) return undefined
  const own = pitchClassesOf(next.chord)
  const isForeign = (midi: number) => !own.includes(mod(midi, 12))
  const held = melodyAt(frame.bar, tick)
  if (held !== undefined && isForeign(held)) return undefined
  if (frame.bar.melody.some((note) => note.startTick > tick && note.startTick < endTick && isForeign(note.midi)))
    return undefined
  const isOverBar = endTick === frame.bar.lengthTicks && next.barIndex > frame.index
  if (!isOverBar && next.startTick - frame.startTick !== endTick) return undefined
  return { span: next, isTied: isOverBar }
}

/** A held stroke is struck again where the chord changes under it. */
function splitAtChanges(frame: BarFrame, stroke: CompStroke): CompStroke[] {
  const changes = frame.chords.filter(({ startTick }) => {
    const inBar = startTick - frame.startTick
    return inBar > stroke.startTick && inBar < stroke.endTick
  })
  const starts = [
    { tick: stroke.startTick, span: stroke.span },
    ...changes.map((span) => ({ tick: span.startTick - frame.startTick, span })),
  ]
  return starts.map(({ tick, span }, index) => ({
    ...stroke,
    startTick: tick,
    endTick: starts[index + 1]?.tick ?? stroke.endTick,
    span,
  }))
}

/** What the melody leaves room for, and every chord of two beats or more heard at least once. */
function roomed(
  frame: BarFrame,
  strokes: readonly CompStroke[],
  context: CompContext,
  heard: ReadonlySet<ChordSpan>,
): CompStroke[] {
  const attacks = attacksOf(frame.bar, context.frames.bars[frame.index - 1]?.bar)
  const half = frame.patternTicks / 2
  const apart = besideMelody(frame, strokes, context)
  const kept = [0, 1].flatMap((which) => {
    const inHalf = (tick: number) => (tick >= half ? 1 : 0) === which
    const busy = attacks.filter(inHalf).length
    const most = busy >= 3 ? 1 : busy >= 1 ? 2 : Infinity
    const here = apart.filter(({ startTick }) => inHalf(startTick))
    const fewest = farthestFrom(attacks, here, most)
    return busy >= 3 ? fewest.map((stroke) => ({ ...stroke, sign: 'o' })) : fewest
  })
  return withEveryChord(frame, kept, heard)
}

/** The strokes that stand exactly on attacks or farthest from them. */
function farthestFrom(attacks: readonly number[], strokes: readonly CompStroke[], most: number): CompStroke[] {
  if (strokes.length <= most) return [...strokes]
  const room = ({ startTick }: CompStroke) =>
    attacks.includes(startTick) ? Infinity : Math.min(...attacks.map((tick) => Math.abs(tick - startTick)))
  const kept = new Set([...strokes].sort((a, b) => room(b) - room(a) || a.startTick - b.startTick).slice(0, most))
  return strokes.filter((stroke) => kept.has(stroke))
}

/** A chord that was struck before its bar has been heard. */
function withEveryChord(frame: BarFrame, strokes: readonly CompStroke[], heard: ReadonlySet<ChordSpan>): CompStroke[] {
  const added: CompStroke[] = []
  for (const span of frame.chords) {
    const from = span.startTick - frame.startTick
    const to = span.endTick - frame.startTick
    if (to - from < 2 * TICKS_PER_QUARTER) continue
    if (heard.has(span) || strokes.some((stroke) => stroke.span === span)) continue
    const isFree = (tick: number) => strokes.every((stroke) => stroke.startTick !== tick)
    const startTick = isFree(from + TICKS_PER_QUARTER) ? from + TICKS_PER_QUARTER : from
    added.push({
      startTick,
      endTick: Math.min(startTick + TICKS_PER_QUARTER, to),
      sign: 'o',
      span,
      isTriplet: false,
      isTied: false,
    })
  }
  return cutOverlaps([...strokes, ...added].sort((a, b) => a.startTick - b.startTick))
}

/** A stroke ends where the next begins. */
function cutOverlaps(strokes: readonly CompStroke[]): CompStroke[] {
  return strokes
    .filter((stroke, index) => stroke.startTick !== strokes[index - 1]?.startTick)
    .map((stroke, index, all) => {
      const next = all[index + 1]
      return next && next.startTick < stroke.endTick ? { ...stroke, endTick: next.startTick, isTied: false } : stroke
    })
}

function padStrokes(frame: BarFrame, from: number = 2): CompStroke[] {
  if (frame.level < from) return []
  return frame.chords.map((span) => ({
    startTick: span.startTick - frame.startTick,
    endTick: span.endTick - frame.startTick,
    sign: 'o',
    span,
    isTriplet: false,
    isTied: false,
  }))
}

function lastHit(frame: BarFrame, context: CompContext): CompStroke[] {
  const span = frame.chords[0]
  if (!span) return []
  const endTick = context.stop === 'button' ? Math.min(EIGHTH, frame.bar.lengthTicks) : frame.bar.lengthTicks
  return splitAtChanges(frame, { startTick: 0, endTick, sign: 'X', span, isTriplet: false, isTied: false })
}

/** The chord at a tick of the bar. */
export function spanAt(frame: BarFrame, tick: number): ChordSpan | undefined {
  const at = frame.startTick + tick
  return frame.chords.findLast(({ startTick }) => startTick <= at)
}
