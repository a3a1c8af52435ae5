/** How well chords proposed for a tune carry its melody, and how often their roots are those a player wrote. */
import {
  type Tune,
  fitOf,
  nameOfPitch,
  pitchClass,
  proposeChords,
  readTune,
  soundingChords,
} from '@chartloft/shared-theory'
import { TRADITIONAL_TUNES } from '../fixtures/traditional-tunes.js'

export interface HarmoniseFigures {
  readonly title: string
  /** Melody notes on downbeats, and those on a chord tone or an accepted tension. */
  readonly downbeats: number
  readonly carried: number
  /** Quarter ticks compared with the written chords, and those with the same root. */
  readonly compared: number
  readonly sameRoot: number
  readonly notes: readonly string[]
}

export const withoutChords = (tune: Tune): Tune => ({
  ...tune,
  bars: tune.bars.map((bar) => ({ ...bar, chords: [] })),
})

export function tuneOfAbc(abc: string): Tune {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}

export const traditionalTunes = (): readonly Tune[] => TRADITIONAL_TUNES.map(({ abc }) => tuneOfAbc(abc))

/** Chords taken away, proposed anew, and held against the melody and the chords that were there. */
export function harmoniseFigures(written: Tune): HarmoniseFigures {
  const proposed = proposeChords(withoutChords(written))
  const chords = soundingChords(proposed)
  const before = soundingChords(written)
  const notes: string[] = []
  let [downbeats, carried, compared, sameRoot] = [0, 0, 0, 0]
  proposed.bars.forEach((bar, index) => {
    if (index === 0 && proposed.pickupTicks > 0) return
    const note = bar.melody.find((one) => one.startTick === 0)
    const under = chords[index]?.[0]?.chord
    if (note && under) {
      downbeats++
      const fit = fitOf(under, nameOfPitch(note.name))
      if (fit === 'ok') carried++
      else notes.push(`${written.title} bar ${index}: ${note.name} over ${under.symbol} is ${fit}`)
    }
    for (let tick = 0; tick < bar.lengthTicks; tick += 1260) {
      const [own, other] = [chords, before].map(
        (list) => list[index]?.findLast((placed) => placed.startTick <= tick)?.chord.root,
      )
      if (!own || !other) continue
      compared++
      if (pitchClass(own) === pitchClass(other)) sameRoot++
    }
  })
  return { title: written.title, downbeats, carried, compared, sameRoot, notes }
}

export const sumOf = (
  list: readonly HarmoniseFigures[],
  key: 'downbeats' | 'carried' | 'compared' | 'sameRoot',
): number => list.reduce((sum, one) => sum + one[key], 0)
