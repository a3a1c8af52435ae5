/** Where in a bar chords are written: its beats as players count them, and wherever one stands already. */
import type { Metre, TuneBar } from '@chartloft/shared-theory'

const QUARTER = 5040

/** 6/8, 9/8 and 12/8 are counted in dotted quarters, everything else in its own notes. Common practice. */
export function beatTicksOf({ beats, beatType }: Metre): number {
  const unit = (4 * QUARTER) / beatType
  return beatType >= 8 && beats % 3 === 0 && beats > 3 ? 3 * unit : unit
}

/** Start ticks a chord can take, in order. */
export function chordPlaces(bar: Pick<TuneBar, 'metre' | 'lengthTicks' | 'chords'>): readonly number[] {
  const step = beatTicksOf(bar.metre)
  const beats = Array.from({ length: Math.ceil(bar.lengthTicks / step) }, (_, beat) => beat * step)
  return [...new Set([...beats, ...bar.chords.map(({ startTick }) => startTick)])].sort((a, b) => a - b)
}

/** '1', '2½', '3.33': a tick by the beat it stands on. */
export function beatName(metre: Metre, tick: number): string {
  const beat = tick / beatTicksOf(metre)
  const whole = Math.floor(beat)
  const part = beat - whole
  const fraction =
    part === 0 ? '' : part === 0.5 ? '½' : part === 0.25 ? '¼' : part === 0.75 ? '¾' : part.toFixed(2).slice(1)
  return `${whole + 1}${fraction}`
}

/** Pickups to choose from, in beats: by halves, up to a bar; the one that is now among them. */
export function pickupChoices(metre: Metre, nowTicks: number): readonly number[] {
  const beat = (4 * QUARTER) / metre.beatType
  const full = metre.beats * beat
  const steps = metre.beatType >= 8 ? beat : beat / 2
  const all = new Set([0, ...(nowTicks < full ? [nowTicks] : [])])
  for (let ticks = steps; ticks < full; ticks += steps) all.add(ticks)
  return [...all].sort((a, b) => a - b)
}

/** Quarter notes a minute ↔ the note that is counted. */
export function countedNote(metre: Metre): { readonly beatType: 2 | 4 | 8 | 16; readonly quarters: number } {
  const isCompound = beatTicksOf(metre) !== (4 * QUARTER) / metre.beatType
  if (isCompound && metre.beatType === 8) return { beatType: 8, quarters: 1.5 }
  return metre.beatType === 2 ? { beatType: 2, quarters: 2 } : { beatType: 4, quarters: 1 }
}
