/** Figures a bass player knows by heart: the boogie of a shuffle, and the pickup that stands where no drummer fills. */
import type { PartNote } from '../contract/index.js'
import { chordScale, memberOf, qualityOf } from '../chords/index.js'
import { mod, pitchClass } from '../units/index.js'
import { type BassContext, type BassPlayer, bassNote, homeNear, spelled } from './bass-notes.js'
import type { PlacedToken } from './bass-tokens.js'
import { fillForm } from './drum-fills.js'
import type { BarFrame, ChordSpan } from './frame.js'

const EIGHTH = 2520
const HIGHEST_ROOT = 52
/** Root, third, fifth, sixth of a dominant, and the same way back from the octave; half steps from where it begins. */
const UP: readonly number[] = [0, 4, 7, 9]
const DOWN: readonly number[] = [0, -3, -5, -8]

/** Two bars on one dominant in a shuffle: 1 3 5 6 and back, 8 6 5 3. Undefined where the row is played as it stands. */
export function boogieBar(
  frame: BarFrame,
  tokens: readonly PlacedToken[],
  context: BassContext,
  player: BassPlayer,
): PartNote[] | undefined {
  const [span] = frame.chords
  if (frame.groove.id !== 'shuffle' || frame.chords.length !== 1 || !span || tokens.length !== UP.length)
    return undefined
  const isPlain = span.chord.bass === undefined && memberOf(span.chord, 5) !== undefined
  if (qualityOf(span.chord) !== 'dominant' || span.bassPc === undefined || !isPlain) return undefined
  const { spans } = context.frames
  const comesFrom = spans[span.index - 1]?.chord.symbol === span.chord.symbol && frame.barInSection % 2 === 1
  const next = spans[span.index + 1]
  if (!comesFrom && next?.chord.symbol !== span.chord.symbol) return undefined
  const home = homeNear(span.bassPc, player.pitch, player.low)
  const from = comesFrom
    ? home + 12 <= HIGHEST_ROOT
      ? home + 12
      : home
    : home + 9 > Math.min(HIGHEST_ROOT, player.high) && home - 12 >= player.low
      ? home - 12
      : home
  const steps = comesFrom ? DOWN : UP
  if (from + Math.min(...steps) < player.low) return undefined
  player.aimed = undefined
  player.anticipated = undefined
  player.pitch = from + (steps.at(-1) as number)
  return tokens.map(({ startTick, endTick }, at) => {
    const midi = from + (steps[at] as number)
    return bassNote(frame, startTick, endTick - startTick, midi, spelled(midi, span), 'x')
  })
}

/** Nobody drums: where a fill would stand, two eighths lead into the section, by half step at the end. */
export function withPickup(
  frame: BarFrame,
  notes: PartNote[],
  context: BassContext,
  player: BassPlayer,
  /** Kinds of approach before this bar. */
  running: BassPlayer['approaches'],
): PartNote[] {
  const { bars, spans } = context.frames
  if (context.drums !== undefined || player.tied || player.anticipated !== undefined) return notes
  if (fillForm(frame, bars) === 'none' || bars[frame.index + 1]?.groove.id !== frame.groove.id) return notes
  const span = frame.chords.at(-1)
  const next = span && spans[span.index + 1]
  const start = frame.bar.lengthTicks - 2 * EIGHTH
  const before = notes.findLast(({ startTick }) => startTick < start)
  if (!span || next?.bassPc === undefined || !before || span.isPedal || next.isPedal) return notes
  if (span.startTick - frame.startTick >= start) return notes
  const target = homeNear(next.bassPc, before.midi, player.low)
  const kind = (['below', 'above'] as const)
    .filter((each) => !(running.length === 2 && running.every((used) => used === each)))
    .filter((each) => before.midi !== target + (each === 'below' ? -1 : 1))
    .filter((each) => each === 'above' || target - 2 >= player.low)
    .sort((a, b) => way(a, before.midi, target) - way(b, before.midi, target))[0]
  if (!kind) return notes
  const side = kind === 'below' ? -1 : 1
  const step = target + 2 * side
  const isPlain = step !== before.midi && Math.abs(step - before.midi) <= REACH
  const first = isPlain ? step : onTheWay(span, before.midi, target + side, player.low)
  player.approaches = [...running, kind].slice(-2)
  player.aimed = target
  player.pitch = target + side
  const cut = notes.flatMap((note) => {
    if (note.startTick >= start) return []
    const end = Math.min(note.startTick + note.durationTicks, start)
    return [{ ...note, durationTicks: end - note.startTick }]
  })
  return [
    ...cut,
    bassNote(frame, start, EIGHTH, first, spelled(first, span, next), 'x'),
    bassNote(frame, start + EIGHTH, EIGHTH, target + side, spelled(target + side, span, next), 'x'),
  ]
}

const way = (kind: 'below' | 'above', from: number, target: number): number =>
  Math.abs(from - (target + (kind === 'below' ? -2 : 2)))

/** A note of the chord's scale on the way, where the step to the approach would repeat the pitch before. */
function onTheWay(span: ChordSpan, from: number, approach: number, low: number): number {
  const scale = new Set(chordScale(span.chord, span.key).map(pitchClass))
  let best = approach + (from < approach ? 2 : -2)
  let least = Infinity
  for (let midi = Math.max(low, from - REACH); midi <= from + REACH; midi++) {
    const cost = Math.abs(midi - from) + Math.abs(midi - approach)
    if (midi === from || midi === approach || !scale.has(mod(midi, 12)) || cost >= least) continue
    best = midi
    least = cost
  }
  return best
}
/** Half steps from one note to the next of a pickup. */
const REACH = 7
