/** The bass player: the groove's row, a walking line, or the pedal. */
import type { PartNote, PartSpec } from '../contract/index.js'
import { instrumentOf } from '../instruments/index.js'
import {
  type BassContext,
  type BassPlayer,
  COMFORTABLE_HIGH,
  HIGHEST,
  LOWEST,
  bassNote,
  nearest,
  spelled,
} from './bass-notes.js'
import { withPickup } from './bass-figures.js'
import { rowBar } from './bass-row.js'
import { tokensOf } from './bass-tokens.js'
import { walkBar } from './bass-walk.js'
import type { BarFrame } from './frame.js'

export { type BassContext } from './bass-notes.js'

/** Notes of every bar, in order. */
export function playBass(part: PartSpec, context: BassContext): readonly (readonly PartNote[])[] {
  const [lowest, highest] = instrumentOf(part).range
  const low = Math.max(lowest, LOWEST)
  const player: BassPlayer = {
    low,
    high: Math.max(low + 14, Math.min(highest, HIGHEST)),
    pitch: low + 8,
    hasPlayed: false,
    approaches: [],
    aimed: undefined,
    tied: undefined,
    anticipated: undefined,
    tones: new Map(),
  }
  return context.frames.bars.map((frame) => {
    if (frame.isPickup || frame.isDrumsAlone || frame.chords.length === 0) {
      player.tied = undefined
      return []
    }
    return bassBar(frame, context, player)
  })
}

function bassBar(frame: BarFrame, context: BassContext, player: BassPlayer): PartNote[] {
  const level = context.isPlainer ? Math.max(1, frame.level - 1) : frame.level
  const carried = carriedNote(frame, player)
  if (frame.isLast) return carried ? [carried] : lastHit(frame, context, player)
  const from = carried?.durationTicks ?? 0
  const tokens = tokensOf(frame, level).filter(({ startTick }) => startTick >= from)
  const isWalked = tokens.some(({ degree }) => degree === 'w')
  const { approaches } = player
  const line = (isWalked ? walkBar : rowBar)(frame, level, tokens, context, player)
  const played = withPickup(frame, line, context, player, approaches)
  // What was tied over lasts until something else is struck.
  const until = played[0]?.startTick ?? frame.bar.lengthTicks
  const notes = carried ? [{ ...carried, durationTicks: Math.max(from, until) }, ...played] : played
  player.hasPlayed ||= notes.length > 0
  return agreeWithKick(frame, notes, context)
}

/** What is left of a note tied over the bar line. */
function carriedNote(frame: BarFrame, player: BassPlayer): PartNote | undefined {
  const { tied } = player
  player.tied = undefined
  return tied && bassNote(frame, 0, Math.min(tied.ticks, frame.bar.lengthTicks), tied.midi, tied.name, 'x')
}

/** The root of the first beat, struck again where the chord changes under a held last bar. */
function lastHit(frame: BarFrame, context: BassContext, player: BassPlayer): PartNote[] {
  const spans = context.stop === 'button' ? frame.chords.slice(0, 1) : frame.chords
  return spans.flatMap((span) => {
    if (span.bassPc === undefined) return []
    const midi = nearest(span.bassPc, player.pitch, player.low, COMFORTABLE_HIGH)
    const startTick = span.startTick - frame.startTick
    const length = context.stop === 'button' ? Math.min(2520, frame.bar.lengthTicks) : span.endTick - span.startTick
    const { printed: _printed, ...hit } = bassNote(frame, startTick, length, midi, spelled(midi, span), 'X')
    return [hit]
  })
}

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
