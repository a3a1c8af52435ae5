/** The whole band: every part of the line-up filled for every bar. */
import {
  type ArrangedBar,
  type HandEdit,
  type PartNote,
  type PartSpec,
  type PassPlan,
  TICKS_PER_QUARTER,
} from '../contract/index.js'
import { memberOf } from '../chords/index.js'
import { instrumentOf } from '../instruments/index.js'
import type { Groove } from '../rhythm/index.js'
import { mod, pitchClass } from '../units/index.js'
import { playBass } from './bass.js'
import { type CompContext, playChords } from './comping.js'
import { withCues } from './cues.js'
import { strokesOfAll } from './comp-strokes.js'
import { type DrumBar, playDrums } from './drums.js'
import { type BarFrame, type Frames, type Stop, framesOf } from './frame.js'
import type { Level } from './levels.js'
import { inOneHand } from './guitar-hand.js'
import { type HornTask, playHorns } from './horns.js'
import { fillUnderMelody, leftCells, leftHand, melodyNotes } from './lead.js'
import { attacksOf, windowsOf } from './melody-room.js'
import { soloistsOf } from './soloists.js'
import { aboveBass, togetherOf, uncrossed } from './two-hands.js'
import { guitarVoicingsOf, voicingsOf } from './voicings.js'

export interface BandContext {
  readonly lineup: readonly PartSpec[]
  readonly roadmap: readonly PassPlan[]
  readonly groove: Groove
  readonly seed: number
  /** Voicing edits, already placed: bar index → edits. */
  readonly voicings?: ReadonlyMap<number, readonly Extract<HandEdit, { kind: 'voicing' }>[]>
  /** How the last bar stops; a fade does not stop at all. */
  readonly stop?: Stop | 'none'
}

/** A part's notes, bar by bar. */
export type PartBars = readonly (readonly PartNote[])[]

/** The band at work: what its players share. */
interface Session {
  readonly context: BandContext
  readonly frames: Frames
  readonly stop: Stop
  readonly drums: readonly DrumBar[] | undefined
  readonly hasBass: boolean
  readonly bass: () => PartBars
  readonly chordPlayers: readonly PartSpec[]
  /** Voicings for a keyboard; a guitar makes its own. */
  readonly voicings: () => readonly (readonly number[])[]
  readonly backgrounds: ReadonlyMap<string, PartBars>
  /** Horns riff at full energy: the piano joins their rhythm. */
  readonly isHit: (frame: BarFrame) => boolean
}

/** Fills `parts` of every bar (a key for every part of the line-up, in line-up order). Total and deterministic; bars whose feel is
 *  'rubato' use the rubato groove, bars in another metre than the groove's a relative or a plain pattern. */
export function realiseBand(bars: readonly ArrangedBar[], context: BandContext): readonly ArrangedBar[] {
  const session = sessionOf(bars, context)
  const played = context.lineup.map((part) => [part.id, endedTogether(partBars(part, session), session)] as const)
  return bars.map((bar, index) => {
    const soloists = soloistsOf(session.frames.bars[index] as BarFrame, context.lineup)
    return {
      ...bar,
      parts: Object.fromEntries(played.map(([id, notes]) => [id, notes[index] ?? []])),
      ...(soloists.length > 0 ? { soloists } : {}),
    }
  })
}

/** The band ready to play any part of its line-up, note for note as in the whole; what players share is worked out once. */
export function bandOf(bars: readonly ArrangedBar[], context: BandContext): (part: PartSpec) => PartBars {
  const session = sessionOf(bars, context)
  return (part) => endedTogether(partBars(part, session), session)
}

function sessionOf(bars: readonly ArrangedBar[], context: BandContext): Session {
  const { lineup } = context
  const frames = framesOf(bars, lineup, context.roadmap, context.groove, context.stop !== 'none')
  const last = frames.bars.at(-1)
  const asked = context.stop === 'none' ? 'held' : context.stop
  const stop = asked ?? (last?.bar.fermataTick === undefined ? usualStop(last) : 'fermata')
  const chordPlayers = lineup.filter(({ role }) => role === 'chords')
  const horns = lineup.filter((part) => (part.role === 'horn' || part.role === 'lead') && !accompanies(part))
  const closing = frames.bars.findLast(({ bar }) => bar.pass !== 'ending' && bar.sectionId !== 'ending')?.level ?? 3
  const tasks = frames.bars.map((frame) => {
    const task = hornTask(frame, lineup, chordPlayers.length > 0, closing)
    return frame.isLast ? lastTask(frame, task, stop) : task
  })
  const isHit = (frame: BarFrame): boolean =>
    frame.isSolo &&
    frame.level === 5 &&
    tasks[frame.index] === 'riffs' &&
    horns.some(({ id }) => id !== frame.plan?.soloist)
  const hasDrums = lineup.some(({ role }) => role === 'drums')
  const early = hasDrums ? earlyBars(frames, chordPlayers, { context, stop, isHit }) : new Map<number, number>()
  const drums = hasDrums ? playDrums(frames.bars, stop, early) : undefined
  const bassPlayer = lineup.find(({ role }) => role === 'bass')
  const isPlainer = drums === undefined && !isGuitarDuo(lineup)
  return {
    context,
    frames,
    stop,
    drums,
    bass: once(() => (bassPlayer ? playBass(bassPlayer, { frames, drums, stop, seed: context.seed, isPlainer }) : [])),
    hasBass: lineup.some(({ role }) => role === 'bass'),
    chordPlayers,
    voicings: once(() => voicingsOf(frames)),
    backgrounds: playHorns(horns, frames, (frame) => tasks[frame.index] ?? 'rest'),
    isHit,
  }
}

/** Bars of a backbeat in which the chord to come is struck early and held over the line, and the tick: the bass drum goes with it. */
function earlyBars(
  frames: Frames,
  chordPlayers: readonly PartSpec[],
  { context, stop, isHit }: Pick<Session, 'context' | 'stop' | 'isHit'>,
): ReadonlyMap<number, number> {
  const [first] = chordPlayers
  const isBackbeat = ({ groove }: BarFrame) => groove.id.startsWith('backbeat')
  if (!first || instrumentOf(first).family === 'guitar' || !frames.bars.some(isBackbeat)) return new Map()
  const strokes = strokesOfAll({
    frames,
    voicings: [],
    style: 'cells',
    stop,
    edits: editsOf(first, context),
    isHit,
    hasDrums: true,
    isAlone: chordPlayers.length === 1,
  })
  return new Map(
    frames.bars.flatMap((frame) => {
      const stroke = isBackbeat(frame) ? strokes[frame.index]?.find(({ isTied }) => isTied) : undefined
      return stroke ? [[frame.index, stroke.startTick] as const] : []
    }),
  )
}

/** The groove's own; but where the melody holds its last note nobody leaves it alone. */
function usualStop(last: BarFrame | undefined): Stop {
  const stop = last?.groove.stop[0] ?? 'held'
  const isHeld = last?.bar.melody.some(({ durationTicks }) => durationTicks > TICKS_PER_QUARTER) === true
  return stop === 'button' && isHeld ? 'held' : stop
}

function once<T extends object>(make: () => T): () => T {
  let made: T | undefined
  return () => (made ??= make())
}

/** A last note that is let go before its bar is over takes everybody with it, where it is held two beats at least and no chord comes after it. */
function endedTogether(bars: PartBars, { frames, stop }: Session): PartBars {
  const last = frames.bars.at(-1)
  if (!last?.isLast || stop === 'button' || last.chords.length > 1) return bars
  const end = Math.max(0, ...last.bar.melody.map(({ startTick, durationTicks }) => startTick + durationTicks))
  if (end < 2 * TICKS_PER_QUARTER || end >= last.bar.lengthTicks) return bars
  return bars.map((notes, index) =>
    index === last.index
      ? notes.flatMap((note) =>
          note.startTick >= end ? [] : [{ ...note, durationTicks: Math.min(note.durationTicks, end - note.startTick) }],
        )
      : notes,
  )
}

function partBars(part: PartSpec, session: Session): PartBars {
  const { context, frames, drums, stop } = session
  const isFirst = part.id === context.lineup.find(({ role }) => role === part.role)?.id
  switch (part.role) {
    case 'drums':
      return isFirst ? (drums ?? []).map(({ notes }) => notes) : []
    case 'bass':
      if (isFirst) return session.bass()
      return playBass(part, { frames, drums, stop, seed: context.seed, isPlainer: drums === undefined })
    case 'chords':
      return chordBars(part, session)
    case 'lead':
    case 'voice':
    case 'horn':
      return withCues(part, lineBars(part, session), frames.bars, (frame) =>
        soloistsOf(frame, context.lineup).includes(part.id),
      )
  }
}

/** Guitar and bass alone: the bass keeps the time, and plays no plainer. */
const isGuitarDuo = (lineup: readonly PartSpec[]): boolean =>
  lineup.length === 2 && lineup.some((part) => instrumentOf(part).family === 'guitar')

/** A chord player: cells or pads; the melody with its own accompaniment where nobody else leads; roots where there is no bass. */
function chordBars(part: PartSpec, session: Session): PartBars {
  const { frames, hasBass, chordPlayers } = session
  const isGuitar = instrumentOf(part).family === 'guitar'
  const isFirst = part.id === chordPlayers[0]?.id
  const comped = playChords(compOf(part, isFirst ? (isGuitar ? 'guitar' : 'cells') : 'pads', session))
  return frames.bars.map((frame, index) => {
    const chords = comped[index] ?? []
    if (frame.leaderId === part.id && frame.bar.melody.length > 0) {
      const gaps = isGuitar && hasBass ? inGaps(frame, chords) : undefined
      return ownMelody(part, frame, session, gaps)
    }
    return isFirst || hasBass ? accompaniment(part, frame, chords, session) : chords
  })
}

function compOf(part: PartSpec, style: CompContext['style'], session: Session): CompContext {
  const { context, frames, chordPlayers, stop } = session
  const isGuitar = instrumentOf(part).family === 'guitar'
  return {
    frames,
    voicings: isGuitar ? guitarVoicingsOf(frames) : session.voicings(),
    style,
    isAlone: chordPlayers.length <= 1,
    hasDrums: session.drums !== undefined,
    stop,
    edits: editsOf(part, context),
    isHit: session.isHit,
  }
}

/** Chords under nobody's melody or another's: clear of the bass player, over one's own bass notes where there is none. */
function accompaniment(part: PartSpec, frame: BarFrame, chords: readonly PartNote[], session: Session): PartNote[] {
  if (session.hasBass) {
    const clear = frame.isLast ? [...chords] : aboveBass(chords, session.bass()[frame.index] ?? [])
    return instrumentOf(part).family === 'guitar' ? handsOf(part, clear, isKeptIn(clear)) : clear
  }
  const low = leftHand(frame, [], false, instrumentOf(part).range[0], session.stop)
  const untied = chords.map(({ tiedToNext: _tie, ...note }) => note)
  return handsOf(part, [...untied, ...low], (note) => isBassOf(frame, note, low))
}

/** A line player: the melody where it is theirs, nothing under their own solo, else what the backgrounds give them. */
function lineBars(part: PartSpec, session: Session): PartBars {
  const { context, frames, hasBass, chordPlayers, backgrounds } = session
  const isAlone = accompanies(part) && chordPlayers.length === 0
  const isGuitar = instrumentOf(part).family === 'guitar'
  const comped = isAlone ? playChords(compOf(part, isGuitar ? 'guitar' : 'cells', session)) : []
  // With a bass player the left hand of whoever leads plays chords as a pianist in a band does.
  const cells = isAlone && hasBass && !isGuitar ? strokesOfAll(compOf(part, 'left', session)) : undefined
  return frames.bars.map((frame, index) => {
    if (frame.leaderId === part.id && frame.bar.melody.length > 0) {
      if (!isAlone) return melodyNotes(frame)
      const isCells = cells !== undefined && frame.groove.feel !== 'rubato'
      return ownMelody(
        part,
        frame,
        session,
        isCells ? leftCells(frame, cells[index] ?? [], session.voicings()) : undefined,
      )
    }
    if (isAlone) return accompaniment(part, frame, comped[index] ?? [], session)
    if (playsAlone(frame, part, context.lineup)) return []
    return backgrounds.get(part.id)?.[index] ?? []
  })
}

/** Whether a player's is the only solo of a bar: nothing else is theirs to play. */
function playsAlone(frame: BarFrame, part: PartSpec, lineup: readonly PartSpec[]): boolean {
  if (frame.isSolo) return frame.plan?.soloist === part.id
  return soloistsOf(frame, lineup).includes(part.id)
}

/** Whether an instrument can play chords under its own melody. */
function accompanies(part: PartSpec): boolean {
  const { family } = instrumentOf(part)
  return family === 'keys' || family === 'guitar'
}

/** Behind a horn: in unison at level 3, chords held or the line harmonised section by section at 4, harmonised with answers at 5. Behind a
 *  singer or a keyboard: held at 4, riffs at 5. Behind a solo only where asked for: held, riffs from 4. Where nobody else plays chords:
 *  guide tones at 2 and 3, the cell's rhythm from 4. An ending goes on as the last chorus closed (`closing`). */
function hornTask(frame: BarFrame, lineup: readonly PartSpec[], hasChords: boolean, closing: Level): HornTask {
  const { level, isSolo, plan, leaderId } = frame
  const isEnding = frame.bar.pass === 'ending' || frame.bar.sectionId === 'ending'
  // An ending that grows quiet keeps its horns: nobody leaves before the last chord.
  if (frame.groove.feel === 'rubato' || frame.isDrumsAlone || (level === 1 && !isEnding)) return 'rest'
  if (!hasChords) return level >= 4 ? 'cells' : 'held'
  if (plan === undefined && !isEnding) return 'rest'
  if (isSolo) return plan?.backgrounds === true ? (level >= 4 ? 'riffs' : 'held') : 'rest'
  const leader = lineup.find(({ id }) => id === leaderId)
  const isLine = leader !== undefined && WINDS.has(instrumentOf(leader).family)
  if (isEnding) return endingTask(frame, isLine, closing)
  if (!isLine) return level === 5 ? 'riffs' : level === 4 ? 'held' : 'rest'
  if (level <= 3) return level === 3 ? 'unison' : 'rest'
  return level === 5 || frame.sectionInPass % 2 === 1 ? 'harmony' : 'held'
}

function endingTask(frame: BarFrame, isLine: boolean, closing: Level): HornTask {
  if (closing <= 2) return 'rest'
  if (!isLine || frame.bar.melody.length === 0) return 'held'
  return closing === 3 ? 'unison' : 'harmony'
}

/** The last hit is everybody's: with the melody, or a chord, held or short as the band stops. */
function lastTask(frame: BarFrame, task: HornTask, stop: Session['stop']): HornTask {
  if (task === 'rest') return 'rest'
  // After a button there is nothing, not even an answer.
  if (stop === 'button') return 'hit'
  const hasLine = frame.bar.melody.length > 0
  if (hasLine && (task === 'unison' || task === 'harmony')) return task
  return 'held'
}

/** A line of these a section plays with as one. */
const WINDS: ReadonlySet<string> = new Set(['brass', 'reed', 'flute'])

/** A hand keeps the thumb's notes; without them the chord's top. */
function isKeptIn(notes: readonly PartNote[]): (note: PartNote) => boolean {
  const top = Math.max(...notes.map(({ midi }) => midi))
  return notes.some(({ voice }) => voice === 2) ? ({ voice }) => voice === 2 : ({ midi }) => midi === top
}

/** Strokes in the melody's rests and under its held notes, from half a beat after their beginning. */
function inGaps(frame: BarFrame, chords: readonly PartNote[]): PartNote[] {
  const windows = windowsOf(frame.bar, attacksOf(frame.bar))
  return chords
    .filter(({ startTick }) => windows.some(([from, to]) => startTick >= from && startTick < to))
    .map(({ tiedToNext: _tie, printed: _printed, ...note }) => ({ ...note, voice: 2 }))
}

function ownMelody(
  part: PartSpec,
  frame: BarFrame,
  { voicings, hasBass, stop }: Session,
  own?: readonly PartNote[],
): PartNote[] {
  const sung = new Set(frame.bar.melody.map(({ startTick, midi }) => `${startTick}/${midi}`))
  const low = own ?? leftHand(frame, voicings(), hasBass, instrumentOf(part).range[0], stop)
  const isGuitar = instrumentOf(part).family === 'guitar'
  const line = fillUnderMelody(frame)
  return handsOf(
    part,
    [...(isGuitar ? line : uncrossed(line, low, (note) => sung.has(`${note.startTick}/${note.midi}`))), ...low],
    (note) => sung.has(`${note.startTick}/${note.midi}`) || (!isGuitar && isBassOf(frame, note, low)),
  )
}

/** What two hands on a keyboard, or one on a fingerboard, can play together. */
function handsOf(part: PartSpec, notes: readonly PartNote[], isKept: (note: PartNote) => boolean): PartNote[] {
  const together = togetherOf(notes, isKept)
  return instrumentOf(part).family === 'guitar' ? inOneHand(together, isKept) : together
}

function editsOf(part: PartSpec, context: BandContext): CompContext['edits'] {
  const edits = new Map<number, readonly Extract<HandEdit, { kind: 'voicing' }>[]>()
  for (const [barIndex, all] of context.voicings ?? []) {
    const own = all.filter(({ partId }) => partId === part.id)
    if (own.length > 0) edits.set(barIndex, own)
  }
  return edits
}

/** The left hand's bass: the lowest note struck at its place, and the chord's own bass or fifth. */
function isBassOf(frame: BarFrame, note: PartNote, hand: readonly PartNote[]): boolean {
  const span = frame.chords.findLast(({ startTick }) => startTick - frame.startTick <= note.startTick)
  const isLowest = hand.every((other) => other.startTick !== note.startTick || other.midi >= note.midi)
  const fifth = span && memberOf(span.chord, 5)
  const pc = mod(note.midi, 12)
  return hand.includes(note) && isLowest && (pc === span?.bassPc || (fifth !== undefined && pc === pitchClass(fifth)))
}
