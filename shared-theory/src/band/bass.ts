/** The bass player: the groove's row, a walking line, or the pedal. */
import type { PartNote, PartSpec } from '../contract/index.js'
import { bassOf, memberOf, spellOver } from '../chords/index.js'
import { instrumentOf } from '../instruments/index.js'
import { type BassToken, hasThreeSlots, isTripletSpan, positionTick } from '../rhythm/index.js'
import { mod, pitchAs, pitchClass, seeded, simplifyNoteName, transposeName, unitTicks } from '../units/index.js'
import type { DrumBar } from './drums.js'
import type { BarFrame, ChordSpan, Frames } from './frame.js'
import { velocityOf } from './loudness.js'
import { type ApproachKind, type ChordTones, type WalkSlot, walk } from './walking.js'

/** Bass sounding range where it is at its best, and the highest it goes. Source: from memory. */
const LOWEST = 28
const COMFORTABLE_HIGH = 48
const HIGHEST = 55
/** Thirds and fifths above the root go no higher than D3; beyond, they lie below it. */
const MEMBER_HIGH = 50

/** A token with its place in ticks of the bar and the chord it reads. */
interface Placed {
  readonly degree: BassToken['degree']
  readonly startTick: number
  readonly endTick: number
  readonly span: ChordSpan
}

interface BassState {
  pitch: number
  hasPlayed: boolean
  /** Kinds of the approaches used last, newest last. */
  approaches: readonly ApproachKind[]
  /** The pitch an approach has aimed at. */
  aimed: number | undefined
  /** A note tied over the bar line: its pitch, and how many ticks of it are left. */
  tied: { readonly midi: number; readonly ticks: number; readonly name: string } | undefined
  /** The next bar's first root was anticipated: strike it softly. */
  anticipated: number | undefined
  readonly tones: Map<string, ChordTones>
}

export interface BassContext {
  readonly frames: Frames
  readonly drums: readonly DrumBar[] | undefined
  readonly stop: 'button' | 'held' | 'fermata'
  readonly seed: number
  /** A plainer player: without drums the bass stays a level below. */
  readonly isPlainer: boolean
}

/** Notes of every bar, in order. */
export function playBass(part: PartSpec, context: BassContext): readonly (readonly PartNote[])[] {
  const [low, high] = bassRange(part)
  const state: BassState = {
    tones: new Map(),
    pitch: low + 8,
    hasPlayed: false,
    approaches: [],
    aimed: undefined,
    tied: undefined,
    anticipated: undefined,
  }
  return context.frames.bars.map((frame) => {
    if (frame.isPickup || frame.isDrumsAlone || frame.chords.length === 0) {
      state.tied = undefined
      return []
    }
    return bassBar(frame, context, state, low, high)
  })
}

function bassRange(part: PartSpec): readonly [low: number, high: number] {
  const [low, high] = instrumentOf(part).range
  const lowest = Math.max(low, LOWEST)
  return [lowest, Math.max(lowest + 14, Math.min(high, HIGHEST))]
}

function bassBar(frame: BarFrame, context: BassContext, state: BassState, low: number, high: number): PartNote[] {
  const level = context.isPlainer ? Math.max(1, frame.level - 1) : frame.level
  const notes: PartNote[] = []
  const carried = state.tied
  state.tied = undefined
  if (carried) {
    const ticks = Math.min(carried.ticks, frame.bar.lengthTicks)
    notes.push(bassNote(frame, 0, ticks, carried.midi, carried.name, 'x'))
  }
  const from = notes[0] ? notes[0].durationTicks : 0
  if (frame.isLast) {
    return carried ? notes : lastHit(frame, context, state, low)
  }
  const tokens = tokensOf(frame, level).filter(({ startTick }) => startTick >= from)
  if (tokens.some(({ degree }) => degree === 'w'))
    notes.push(...walkBar(frame, level, tokens, context, state, low, high))
  else notes.push(...rowBar(frame, level, tokens, context, state, low, high))
  state.hasPlayed ||= notes.length > 0
  const agreed = agreeWithKick(frame, notes, context)
  return agreed
}

/** The root of the first beat, struck again where the chord changes under a held last bar. */
function lastHit(frame: BarFrame, context: BassContext, state: BassState, low: number): PartNote[] {
  const spans = context.stop === 'button' ? frame.chords.slice(0, 1) : frame.chords
  return spans.flatMap((span) => {
    if (span.bassPc === undefined) return []
    const midi = nearest(span.bassPc, state.pitch, low, COMFORTABLE_HIGH)
    const startTick = span.startTick - frame.startTick
    const length = context.stop === 'button' ? Math.min(2520, frame.bar.lengthTicks) : span.endTick - span.startTick
    const { printed: _printed, ...hit } = bassNote(frame, startTick, length, midi, spelled(midi, span), 'X')
    return [hit]
  })
}

// ── which tokens ───────────────────────────────────────────────────────────

function tokensOf(frame: BarFrame, level: number): readonly Placed[] {
  const { groove, chords, barInSection } = frame
  const rows = groove.bass
  const isPedal = chords.every((span) => span.isPedal)
  if (level === 1) return atChordStarts(frame)
  if (isPedal && rows.ped) return placed(frame, rows.ped[barInSection % rows.ped.length] ?? [])
  const walks = groove.walkFromLevel !== undefined && level >= groove.walkFromLevel
  const one = level <= 2 && rows['two-feel'] ? rows['two-feel'] : walks && rows.walk ? rows.walk : rows.one
  const isWalking = one?.some((bar) => bar.some(({ degree }) => degree === 'w')) === true
  if (chords.length === 1 && one) return placed(frame, one[barInSection % one.length] ?? [])
  if (isWalking) return beatByBeat(frame)
  if (
    chords.length === 2 &&
    rows.two &&
    chords[1]?.startTick === frame.startTick + middleTick(frame, rows.two[0] ?? [])
  )
    return placed(frame, rows.two[barInSection % rows.two.length] ?? [])
  return atChordStarts(frame)
}

/** Where the row for two chords expects the second one: its second root. */
function middleTick(frame: BarFrame, row: readonly BassToken[]): number {
  const roots = row.filter(({ degree }) => degree === '1')
  const steps = frame.groove.grid
  return positionTick(roots[1]?.position ?? 0, steps, frame.patternTicks, () => false)
}

function placed(frame: BarFrame, row: readonly BassToken[]): readonly Placed[] {
  const { groove, patternTicks, bar } = frame
  const struckAt = new Set(row.map(({ position }) => position))
  const struck = (position: number) => struckAt.has(position)
  return row.flatMap((token) => {
    const startTick = positionTick(token.position, groove.grid, patternTicks, struck)
    const end = token.position + token.length
    // A length past the bar line ties over; the part beyond it is whole steps.
    const endTick =
      end > groove.grid
        ? patternTicks + positionTick(end - groove.grid, groove.grid, patternTicks, () => false)
        : positionTick(end, groove.grid, patternTicks, struck)
    const span = spanAt(frame, startTick)
    if (!span || startTick >= bar.lengthTicks) return []
    return [{ degree: token.degree, startTick, endTick: Math.max(endTick, startTick + 1), span }]
  })
}

/** One root at each chord start, held to the next. */
function atChordStarts(frame: BarFrame): readonly Placed[] {
  return frame.chords.map((span) => ({
    degree: '1',
    startTick: span.startTick - frame.startTick,
    endTick: span.endTick - frame.startTick,
    span,
  }))
}

/** Walking under changes the rows do not foresee: a root where a chord begins, a note of the line on every other beat. */
function beatByBeat(frame: BarFrame): readonly Placed[] {
  const beat = unitTicks(frame.bar.metre)
  const starts = new Set(frame.chords.map(({ startTick }) => startTick - frame.startTick))
  for (let tick = 0; tick < frame.bar.lengthTicks; tick += beat) {
    const isCrowded = [...starts].some((start) => start !== tick && Math.abs(start - tick) < beat)
    if (!isCrowded) starts.add(tick)
  }
  const ticks = [...starts].sort((a, b) => a - b)
  return ticks.flatMap((startTick, index) => {
    const span = spanAt(frame, startTick)
    if (!span) return []
    const isRoot = span.startTick - frame.startTick === startTick
    return [
      { degree: isRoot ? '1' : 'w', startTick, endTick: ticks[index + 1] ?? frame.bar.lengthTicks, span } as const,
    ]
  })
}

function spanAt(frame: BarFrame, tick: number): ChordSpan | undefined {
  const at = frame.startTick + tick
  return frame.chords.findLast(({ startTick }) => startTick <= at) ?? frame.chords[0]
}

// ── rows ───────────────────────────────────────────────────────────────────

function rowBar(
  frame: BarFrame,
  level: number,
  tokens: readonly Placed[],
  context: BassContext,
  state: BassState,
  low: number,
  high: number,
): PartNote[] {
  const notes: PartNote[] = []
  const length = frame.bar.lengthTicks
  const softFirst = state.anticipated
  state.anticipated = undefined
  tokens.forEach((token, index) => {
    const { span } = token
    if (token.startTick >= length || span.bassPc === undefined) return
    const next = context.frames.spans[span.index + 1] ?? span
    const isTwin = index === 0 && token.startTick === 0 && softFirst !== undefined
    const midi = isTwin && mod(softFirst, 12) === span.bassPc ? softFirst : degreePitch(token, next, state, low, high)
    if (midi === undefined) return
    const sign = token.degree === 'x' || (isTwin && midi === softFirst) ? 'o' : 'x'
    const name = token.degree.startsWith('n')
      ? spelled(midi, next)
      : spelled(midi, span, token.degree === 'ap' ? next : span)
    const endTick = Math.min(token.endTick, length)
    const note = bassNote(frame, token.startTick, endTick - token.startTick, midi, name, sign)
    const isNextBar = next.barIndex > frame.index
    const over = token.endTick - length
    const goesOn = over > 0 && token.degree === 'n1' && isNextBar && canTieInto(frame, context)
    notes.push(goesOn ? { ...note, tiedToNext: true } : note)
    if (goesOn) state.tied = { midi, ticks: over, name }
    else if (token.degree === 'n1' && isNextBar) state.anticipated = midi
    state.pitch = midi
  })
  return level >= 5 ? withOctaves(notes, high) : notes
}

/** A held anticipation needs a next bar of the same groove that is not the last hit. */
function canTieInto(frame: BarFrame, context: BassContext): boolean {
  const next = context.frames.bars[frame.index + 1]
  return (
    next !== undefined &&
    !next.isLast &&
    !next.isDrumsAlone &&
    next.groove.id === frame.groove.id &&
    next.chords.length > 0
  )
}

function degreePitch(token: Placed, next: ChordSpan, state: BassState, low: number, high: number): number | undefined {
  const { span } = token
  const root = (of: ChordSpan): number | undefined => {
    if (of.bassPc === undefined) return undefined
    if (state.aimed !== undefined && mod(state.aimed, 12) === of.bassPc && of === span) return state.aimed
    return nearest(of.bassPc, state.pitch, low, COMFORTABLE_HIGH)
  }
  const own = root(span)
  if (own === undefined) return undefined
  const member = (which: 3 | 5 | 7): number => {
    const name = memberOf(span.chord, which)
    if (name === undefined || (span.chord.bass !== undefined && which !== 5)) return own
    return above(pitchClass(name), own, low, Math.min(high, MEMBER_HIGH))
  }
  const fifth = (): number => {
    const name = memberOf(span.chord, 5)
    if (name === undefined || (span.chord.bass !== undefined && mod(pitchClass(name), 12) === span.bassPc))
      return own + 12 <= high ? own + 12 : own
    return above(pitchClass(name), own, low, Math.min(high, MEMBER_HIGH))
  }
  switch (token.degree) {
    case '1':
    case 'w':
    case 'P':
      state.aimed = undefined
      return own
    case 'P_':
      return own - 12 >= low ? own - 12 : own
    case '3':
      return member(3)
    case '5':
      return fifth()
    case '7':
      return member(7)
    case '5_': {
      const up = fifth()
      return up - 12 >= low ? up - 12 : up
    }
    case '8':
      return own + 12 <= high ? own + 12 : own
    case 'n1':
      return root(next)
    case 'n5': {
      const name = memberOf(next.chord, 5)
      return name === undefined ? root(next) : nearest(pitchClass(name), state.pitch, low, COMFORTABLE_HIGH)
    }
    case 'ap':
      return approach(token, next, state, low, high, member)
    case 'x':
      return state.pitch
  }
}

/** One note that leads to the next root; where the root stays, another chord tone. */
function approach(
  token: Placed,
  next: ChordSpan,
  state: BassState,
  low: number,
  high: number,
  member: (which: 3 | 5 | 7) => number,
): number | undefined {
  if (next.bassPc === undefined || next.bassPc === token.span.bassPc || (token.span.isPedal && next.isPedal)) {
    const fifth = member(5)
    return fifth === state.pitch ? member(3) : fifth
  }
  const target = nearest(next.bassPc, state.pitch, low, COMFORTABLE_HIGH)
  const wanted: readonly (readonly [ApproachKind, number])[] = [
    ['below', target - 1],
    ['above', target + 1],
    ['step', target - 2],
    ['fifth', target + 7],
  ]
  const running = state.approaches.slice(-2)
  const usable = wanted.filter(
    ([kind, midi]) =>
      midi !== state.pitch &&
      midi >= low &&
      midi <= high &&
      !(running.length === 2 && running.every((k) => k === kind)),
  )
  const near = usable.filter(([, midi]) => Math.abs(midi - state.pitch) <= 12)
  const chosen = near[0] ?? usable[0] ?? (['step', target + 2] as const)
  state.approaches = [...state.approaches, chosen[0]].slice(-2)
  state.aimed = target
  return chosen[1]
}

// ── walking ────────────────────────────────────────────────────────────────

function walkBar(
  frame: BarFrame,
  level: number,
  tokens: readonly Placed[],
  context: BassContext,
  state: BassState,
  low: number,
  high: number,
): PartNote[] {
  const before = frame.chords[0] && context.frames.spans[frame.chords[0].index - 1]
  const slots: WalkSlot[] = tokens.map((token, index) => {
    const begins = token.startTick === 0 || token.degree === '1' || tokens[index - 1]?.span !== token.span
    const isRepeat = begins && before?.chord.symbol === token.span.chord.symbol && token.span === frame.chords[0]
    const following = tokens[index + 1]
    const next = following ? following.span : context.frames.spans[token.span.index + 1]
    const changes = next !== undefined && next !== token.span && next.chord.symbol !== token.span.chord.symbol
    return {
      tick: frame.startTick + token.startTick,
      span: token.span,
      begins,
      mayLeaveRoot: isRepeat || (level >= 4 && isRepeat),
      isLastBefore: changes || token.degree === 'ap' ? next : undefined,
      isStrong: index > 0 && index % 2 === 0,
    }
  })
  const last = tokens.at(-1)
  const after = last && context.frames.spans[last.span.index + 1]
  const line = walk(slots, after, {
    from: state.pitch,
    isOpening: !state.hasPlayed,
    aimed: state.aimed,
    approaches: state.approaches,
    low,
    high: Math.min(high, level >= 5 ? HIGHEST : 52),
    level,
    seed: context.seed + frame.sectionOrdinal,
    tones: state.tones,
  })
  state.anticipated = undefined
  state.approaches = line.approaches
  state.aimed = line.aimed
  const notes = tokens.flatMap((token, index): PartNote[] => {
    const midi = line.pitches[index]
    if (midi === undefined) return []
    const reads = slots[index]?.isLastBefore ?? token.span
    const endTick = Math.min(token.endTick, frame.bar.lengthTicks)
    if (endTick <= token.startTick) return []
    return [bassNote(frame, token.startTick, endTick - token.startTick, midi, spelled(midi, token.span, reads), 'x')]
  })
  state.pitch = notes.at(-1)?.midi ?? state.pitch
  return withDeadNote(frame, level, notes, context)
}

/** At most once in two bars, from level 4: a dead note on the off-beat before beat three. */
function withDeadNote(frame: BarFrame, level: number, notes: PartNote[], context: BassContext): PartNote[] {
  const isSwung = hasThreeSlots(frame.groove.grid, frame.patternTicks)
  if (level < 4 || !isSwung || frame.barInSection % 2 !== 1 || frame.groove.tempo.low >= 190) return notes
  if (seeded(context.seed + frame.index)(2) === 0) return notes
  const at = notes.findIndex(({ startTick, durationTicks }) => startTick === 5040 && durationTicks === 5040)
  const held = notes[at]
  if (!held) return notes
  const dead = bassNote(frame, 7560, 1260, held.midi, held.name, 'o')
  return [...notes.slice(0, at), { ...held, durationTicks: 2520 }, dead, ...notes.slice(at + 1)]
}

// ── after the line ─────────────────────────────────────────────────────────

/** Grooves in which every bass-drum stroke meets a bass note. */
const AGREEING: ReadonlySet<string> = new Set(['backbeat', 'bossa', 'samba', 'cha-cha', 'seven-4-even'])

/** Where the bass drum strikes and the bass holds, the pitch is struck again, up to the row's next token. */
function agreeWithKick(frame: BarFrame, notes: readonly PartNote[], context: BassContext): PartNote[] {
  const kicks = context.drums?.[frame.index]?.kickTicks ?? []
  if (!AGREEING.has(frame.groove.id) || frame.level === 1) return [...notes]
  const agreed: PartNote[] = []
  for (const note of notes) {
    const end = note.startTick + note.durationTicks
    const inside = kicks.filter((tick) => tick > note.startTick && tick < end)
    const starts = [note.startTick, ...inside]
    starts.forEach((startTick, index) => {
      const { tiedToNext, ...rest } = note
      const isEnd = index === starts.length - 1
      agreed.push({
        ...rest,
        startTick,
        durationTicks: (starts[index + 1] ?? end) - startTick,
        ...(isEnd && tiedToNext ? { tiedToNext } : {}),
      })
    })
  }
  return agreed
}

/** At full energy the later of two equal pitches goes up an octave where the instrument has it. */
function withOctaves(notes: readonly PartNote[], high: number): PartNote[] {
  return notes.map((note, index) => {
    const isRepeat = index > 0 && notes[index - 1]?.midi === note.midi && !note.tiedToNext
    if (!isRepeat || note.midi + 12 > high) return note
    const octave = Number(note.name.slice(-1)) + 1
    return { ...note, midi: note.midi + 12, name: `${note.name.slice(0, -1)}${octave}` }
  })
}

function bassNote(
  frame: BarFrame,
  startTick: number,
  durationTicks: number,
  midi: number,
  name: string,
  sign: string,
): PartNote {
  const isTriplet =
    hasThreeSlots(frame.groove.grid, frame.patternTicks) && isTripletSpan(startTick, startTick + durationTicks)
  return {
    startTick,
    durationTicks,
    midi,
    name,
    velocity: velocityOf(frame.groove.dyn, sign, frame.level),
    printed: 'slash',
    ...(isTriplet ? { tuplet: { actual: 3, normal: 2 } } : {}),
  }
}

/** A chord tone by its chord; a half step beside the root it leads to by that root, raised from below and lowered from above. */
function spelled(midi: number, span: ChordSpan, leadsTo: ChordSpan = span): string {
  const pc = mod(midi, 12)
  const owns = span.chord.notes.some((name) => pitchClass(name) === pc) || span.bassPc === pc
  const target = bassOf(leadsTo.chord)
  if (!owns && leadsTo !== span && target !== undefined) {
    const apart = mod(pc - pitchClass(target), 12)
    if (apart === 11) return pitchAs(midi, simplifyNoteName(transposeName(target, '-2m')))
    if (apart === 1) return pitchAs(midi, simplifyNoteName(transposeName(target, '2m')))
  }
  const reader = owns ? span : leadsTo
  return pitchAs(midi, spellOver(pc, reader.chord, reader.key))
}

/** The pitch of a class nearest to another, inside a range. */
export function nearest(pc: number, to: number, low: number, high: number): number {
  let best = low + mod(pc - low, 12)
  for (let midi = best; midi <= high; midi += 12) if (Math.abs(midi - to) < Math.abs(best - to)) best = midi
  return best
}

/** The pitch of a class above another, an octave down where it would leave the range. */
function above(pc: number, from: number, low: number, high: number): number {
  const up = from + mod(pc - from, 12)
  return up <= high || up - 12 < low ? up : up - 12
}
