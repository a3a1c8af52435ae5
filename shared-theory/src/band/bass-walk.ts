/** The bass player walking: a bar's tokens as slots of a line, and now and then a dead note. */
import type { PartNote } from '../contract/index.js'
import { hasThreeSlots } from '../rhythm/index.js'
import { seeded } from '../units/index.js'
import { type BassContext, type BassPlayer, HIGHEST, bassNote, spelled } from './bass-notes.js'
import type { PlacedToken } from './bass-tokens.js'
import type { BarFrame } from './frame.js'
import { type WalkSlot, walk } from './walking.js'

/** Walking stays below E3 until everything is out. Source: from memory. */
const USUAL_HIGH = 52

/** The notes of a walked bar. */
export function walkBar(
  frame: BarFrame,
  level: number,
  tokens: readonly PlacedToken[],
  context: BassContext,
  player: BassPlayer,
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
      mayLeaveRoot: isRepeat,
      isLastBefore: changes || token.degree === 'ap' ? next : undefined,
      isStrong: index > 0 && index % 2 === 0,
    }
  })
  const last = tokens.at(-1)
  const after = last && context.frames.spans[last.span.index + 1]
  const line = walk(slots, after, {
    from: player.pitch,
    isOpening: !player.hasPlayed,
    aimed: player.aimed,
    approaches: player.approaches,
    low: player.low,
    high: Math.min(player.high, level >= 5 ? HIGHEST : USUAL_HIGH),
    level,
    seed: context.seed + frame.sectionOrdinal,
    tones: player.tones,
  })
  player.anticipated = undefined
  player.approaches = line.approaches
  player.aimed = line.aimed
  const notes = tokens.flatMap((token, index): PartNote[] => {
    const midi = line.pitches[index]
    if (midi === undefined) return []
    const reads = slots[index]?.isLastBefore ?? token.span
    const endTick = Math.min(token.endTick, frame.bar.lengthTicks)
    if (endTick <= token.startTick) return []
    return [bassNote(frame, token.startTick, endTick - token.startTick, midi, spelled(midi, token.span, reads), 'x')]
  })
  player.pitch = notes.at(-1)?.midi ?? player.pitch
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
