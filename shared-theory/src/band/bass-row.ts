/** The bass player on a groove's row: degrees to pitches, anticipations tied or repeated softly, approaches. */
import type { PartNote } from '../contract/index.js'
import { memberOf } from '../chords/index.js'
import { mod, pitchClass } from '../units/index.js'
import {
  type BassContext,
  type BassPlayer,
  COMFORTABLE_HIGH,
  above,
  bassNote,
  homeNear,
  nearest,
  spelled,
} from './bass-notes.js'
import { boogieBar } from './bass-figures.js'
import type { PlacedToken } from './bass-tokens.js'
import type { BarFrame, ChordSpan } from './frame.js'
import type { ApproachKind } from './walking.js'

/** Thirds and fifths above the root go no higher than D3; beyond, they lie below it. Source: from memory. */
const MEMBER_HIGH = 50
const OCTAVE_HIGH = 52
const LOWEST_FIFTH = 33
/** A root already heard early is struck so much softer on its beat. Source: from memory. */
const HEARD_EARLY = 12

/** The notes of a row: every token read against the chord at its place. */
export function rowBar(
  frame: BarFrame,
  level: number,
  tokens: readonly PlacedToken[],
  context: BassContext,
  player: BassPlayer,
): PartNote[] {
  const boogie = boogieBar(frame, tokens, context, player)
  if (boogie) return level >= 5 ? withOctaves(boogie) : boogie
  const notes: PartNote[] = []
  const length = frame.bar.lengthTicks
  const softFirst = player.anticipated
  player.anticipated = undefined
  const hasOctave = tokens.some(({ degree }) => degree === '8')
  const climbs = frame.groove.bass.one?.flat().some(({ degree }) => degree === '3') === true
  tokens.forEach((token, index) => {
    const { span } = token
    if (token.startTick >= length || span.bassPc === undefined) return
    const next = context.frames.spans[span.index + 1] ?? span
    const isTwin = index === 0 && token.startTick === 0 && softFirst !== undefined
    const midi =
      isTwin && mod(softFirst, 12) === span.bassPc
        ? softFirst
        : degreePitch(token, next, player, { mayDrop: !hasOctave, climbs })
    if (midi === undefined) return
    const sign = token.degree === 'x' ? 'o' : 'x'
    const name = token.degree.startsWith('n')
      ? spelled(midi, next)
      : spelled(midi, span, token.degree === 'ap' ? next : span)
    const endTick = Math.min(token.endTick, length)
    const plain = bassNote(frame, token.startTick, endTick - token.startTick, midi, name, sign)
    const note =
      isTwin && midi === softFirst ? { ...plain, velocity: Math.max(12, plain.velocity - HEARD_EARLY) } : plain
    const isNextBar = next.barIndex > frame.index
    const over = token.endTick - length
    const goesOn = over > 0 && token.degree === 'n1' && isNextBar && canTieInto(frame, context)
    notes.push(goesOn ? { ...note, tiedToNext: true } : note)
    if (goesOn) player.tied = { midi, ticks: over, name }
    else if (token.degree === 'n1' && isNextBar) player.anticipated = midi
    player.pitch = midi
  })
  return level >= 5 ? withOctaves(notes) : notes
}

/** A held anticipation needs a next bar of the same groove that is not the last hit; before a fill has ended nothing is tied out of it. */
function canTieInto(frame: BarFrame, context: BassContext): boolean {
  const next = context.frames.bars[frame.index + 1]
  return (
    next !== undefined &&
    !next.isLast &&
    context.drums?.[frame.index]?.hasFill !== true &&
    !next.isDrumsAlone &&
    next.groove.id === frame.groove.id &&
    next.chords.length > 0
  )
}

/** Whether fifths may lie below, and whether the row goes on from the root to third and fifth. */
interface RowWay {
  readonly mayDrop: boolean
  readonly climbs: boolean
}

/** A root that leaves room above it for the row's third and fifth. */
function rootNear(pc: number, player: BassPlayer, { climbs }: RowWay): number {
  const home = homeNear(pc, player.pitch, player.low)
  const low = home - 12
  const isNear = !player.hasPlayed || Math.abs(low - player.pitch) <= 9
  return climbs && home + 7 > MEMBER_HIGH && low >= player.low && isNear ? low : home
}

function degreePitch(token: PlacedToken, next: ChordSpan, player: BassPlayer, way: RowWay): number | undefined {
  const { span } = token
  const { low, high } = player
  const root = (of: ChordSpan): number | undefined => {
    if (of.bassPc === undefined) return undefined
    if (player.aimed !== undefined && mod(player.aimed, 12) === of.bassPc && of === span) return player.aimed
    return rootNear(of.bassPc, player, way)
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
    const up = above(pitchClass(name), own, low, Math.min(high, MEMBER_HIGH))
    return way.mayDrop && isShorterBelow(up, own, next.bassPc, low) ? up - 12 : up
  }
  switch (token.degree) {
    case '1':
    case 'w':
      player.aimed = undefined
      return own
    case 'P':
      player.aimed = undefined
      return pedalHigh(own, low)
    case 'P_': {
      const pedal = pedalHigh(own, low)
      return pedal - 12 >= low ? pedal - 12 : pedal
    }
    case '3':
      return member(3)
    case '5':
      return fifth()
    case '7':
      return member(7)
    case '5_': {
      const up = fifth()
      return up > own && up - 12 >= low ? up - 12 : up
    }
    case '8':
      return own + 12 <= high ? own + 12 : own
    case 'n1':
      return root(next)
    case 'n5': {
      const name = memberOf(next.chord, 5)
      return name === undefined ? root(next) : nearest(pitchClass(name), player.pitch, low, COMFORTABLE_HIGH)
    }
    case 'ap':
      return approach(token, next, player, member, way)
    case 'x':
      return player.pitch
  }
}

/** A pedal lies where its lower octave is there too. */
const pedalHigh = (own: number, low: number): number =>
  own - 12 < low && own + 12 <= COMFORTABLE_HIGH ? own + 12 : own

/** The way to the next root by the fifth below instead of the one above: taken where it is a third shorter and more, above A1. */
function isShorterBelow(up: number, own: number, nextPc: number | undefined, low: number): boolean {
  const down = up - 12
  if (nextPc === undefined || up < own || down < Math.max(low, LOWEST_FIFTH)) return false
  const way = (midi: number) => Math.abs(midi - own) + Math.abs(homeNear(nextPc, midi, low) - midi)
  return way(down) + 4 <= way(up)
}

/** One note that leads to the next root; where the root stays, another chord tone. */
function approach(
  token: PlacedToken,
  next: ChordSpan,
  player: BassPlayer,
  member: (which: 3 | 5 | 7) => number,
  way: RowWay,
): number | undefined {
  const { low, high } = player
  if (next.bassPc === undefined || next.bassPc === token.span.bassPc || (token.span.isPedal && next.isPedal)) {
    return otherTone(token, player, member(5))
  }
  const target = rootNear(next.bassPc, player, way)
  const wanted: readonly (readonly [ApproachKind, number])[] = [
    ['below', target - 1],
    ['above', target + 1],
    ['step', target - 2],
    ['fifth', target + 7],
  ]
  const running = player.approaches.slice(-2)
  const usable = wanted.filter(
    ([kind, midi]) =>
      midi !== player.pitch &&
      midi >= low &&
      midi <= high &&
      !(running.length === 2 && running.every((k) => k === kind)),
  )
  const near = usable.filter(([, midi]) => Math.abs(midi - player.pitch) <= 12)
  const chosen = near[0] ?? usable[0] ?? (['step', target + 2] as const)
  player.approaches = [...player.approaches, chosen[0]].slice(-2)
  player.aimed = target
  return chosen[1]
}

/** Third or fifth of the chord that stays, on the shortest way back to its root, not the pitch just played. */
function otherTone({ span }: PlacedToken, player: BassPlayer, usual: number): number {
  const { pitch, low } = player
  const { bassPc } = span
  if (span.chord.bass !== undefined || bassPc === undefined) return usual
  const tones = ([3, 5] as const).flatMap((which) => {
    const name = memberOf(span.chord, which)
    if (name === undefined) return []
    const midi = nearest(pitchClass(name), pitch, low, MEMBER_HIGH)
    const way = Math.abs(midi - pitch) + Math.abs(homeNear(bassPc, midi, low) - midi)
    return midi === pitch ? [] : [{ midi, way }]
  })
  return tones.sort((a, b) => a.way - b.way)[0]?.midi ?? usual
}

/** At full energy the later of two equal pitches goes up an octave, below E3; what anticipates the next bar stays where it leads. */
function withOctaves(notes: readonly PartNote[]): PartNote[] {
  return notes.map((note, index) => {
    const isRepeat = index > 0 && index < notes.length - 1 && notes[index - 1]?.midi === note.midi && !note.tiedToNext
    if (!isRepeat || note.midi + 12 > OCTAVE_HIGH) return note
    const octave = Number(note.name.slice(-1)) + 1
    return { ...note, midi: note.midi + 12, name: `${note.name.slice(0, -1)}${octave}` }
  })
}
