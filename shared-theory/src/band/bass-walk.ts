/** The bass player walking: a bar's tokens as slots of a line, and now and then a dead note. */
import type { PartNote } from '../contract/index.js'
import { memberOf } from '../chords/index.js'
import { pitchClass, seeded } from '../units/index.js'
import { type BassContext, type BassPlayer, HIGHEST, LOWEST, bassNote, nearest, spelled } from './bass-notes.js'
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
  return decorated(frame, level, notes, slots, context)
}

/** At most once in two bars, from level 3, swung or even: a dead note on the off-beat before beat three, or fifth and approach as two eighths on beat four. */
function decorated(
  frame: BarFrame,
  level: number,
  notes: PartNote[],
  slots: readonly WalkSlot[],
  context: BassContext,
): PartNote[] {
  if (level < 3 || frame.barInSection % 2 !== 1 || frame.groove.tempo.low >= 190) return notes
  const way = seeded(context.seed + frame.index)(3)
  if (way === 0) return notes
  return (way === 1 ? withPair(frame, notes, slots) : undefined) ?? withDeadNote(frame, notes)
}

function withDeadNote(frame: BarFrame, notes: PartNote[]): PartNote[] {
  const at = notes.findIndex(({ startTick, durationTicks }) => startTick === 5040 && durationTicks === 5040)
  const held = notes[at]
  if (!held) return notes
  const dead = bassNote(frame, 7560, 1260, held.midi, held.name, 'o')
  return [...notes.slice(0, at), { ...held, durationTicks: 2520 }, dead, ...notes.slice(at + 1)]
}

/** The approach on beat four waits for its off-beat; the chord's fifth comes before it. */
function withPair(frame: BarFrame, notes: PartNote[], slots: readonly WalkSlot[]): PartNote[] | undefined {
  const approach = notes.at(-1)
  const before = notes.at(-2)
  const slot = slots.at(-1)
  if (!approach || !before || !slot?.isLastBefore || notes.length !== slots.length) return undefined
  // A chord that begins on this beat has its root first.
  if (slot.begins) return undefined
  if (approach.durationTicks !== 5040 || slot.span.chord.bass !== undefined) return undefined
  const name = memberOf(slot.span.chord, 5)
  if (name === undefined) return undefined
  const midi = nearest(pitchClass(name), approach.midi, LOWEST, USUAL_HIGH)
  const isPlain = midi !== approach.midi && midi !== before.midi && Math.abs(midi - before.midi) <= 9
  if (!isPlain) return undefined
  const fifth = bassNote(frame, approach.startTick, 2520, midi, spelled(midi, slot.span), 'x')
  return [...notes.slice(0, -1), fifth, { ...approach, startTick: approach.startTick + 2520, durationTicks: 2520 }]
}
