/** What a fault is, and small words for writing many of them. */
import {
  type ArrangedBar,
  type ArrangedNote,
  type Chord,
  type Arrangement,
  type FoldedScore,
  type PartNote,
  type PlacedChord,
  pitchInKey,
} from '@chartloft/shared-theory'
import { type Random, type Scene, withBar } from './scene.js'

export interface Injected {
  readonly music?: Arrangement
  readonly folded?: FoldedScore
  readonly written?: { readonly [partId: string]: string }
  /** Where the finding must stand: 'bars/12', or for the road map 'folded/bars/3'. Any of these. */
  readonly at: readonly string[]
}

/** One way to go wrong. `put` answers undefined where the fault has no room, 'same' where the music stays right with it. */
export interface Shape {
  readonly family: string
  readonly name: string
  readonly put: (scene: Scene, random: Random) => Injected | 'same' | undefined
}

export const shape = (family: string, name: string, put: Shape['put']): Shape => ({ family, name, put })

/** A shape that changes one bar, drawn at random; a draw of what stands there already changes nothing and is not put in. */
export const barShape = (
  family: string,
  name: string,
  change: (bar: ArrangedBar, random: Random, scene: Scene, index: number) => ArrangedBar | undefined,
): Shape =>
  shape(family, name, (scene, random) => {
    const index = random(scene.music.bars.length)
    const own = scene.music.bars[index] as ArrangedBar
    const bar = change(own, random, scene, index)
    if (JSON.stringify(bar) === JSON.stringify(own)) return undefined
    return bar && { music: withBar(scene, index, bar), at: [`bars/${index}`] }
  })

export const draw = <T>(list: readonly T[], random: Random): T | undefined => list[random(list.length || 1)]

export const changed = <T>(list: readonly T[], place: number, change: Partial<T>): readonly T[] =>
  list.map((item, index) => (index === place ? { ...item, ...change } : item))

export const withMelody = (bar: ArrangedBar, place: number, change: Partial<ArrangedNote>): ArrangedBar => ({
  ...bar,
  melody: changed(bar.melody, place, change),
})

export const withPart = (bar: ArrangedBar, id: string, notes: readonly PartNote[]): ArrangedBar => ({
  ...bar,
  parts: { ...bar.parts, [id]: notes },
})

export const withChords = (bar: ArrangedBar, chords: readonly PlacedChord[]): ArrangedBar => ({ ...bar, chords })

/** The bar shared evenly by some chords. */
export const filling = (bar: ArrangedBar, ...row: readonly Chord[]): ArrangedBar =>
  withChords(
    bar,
    row.map((one, place) => ({
      startTick: (bar.lengthTicks / row.length) * place,
      durationTicks: bar.lengthTicks / row.length,
      chord: one,
    })),
  )

export const partNote = (bar: ArrangedBar, midi: number, startTick = 0, durationTicks = bar.lengthTicks): PartNote => ({
  startTick,
  durationTicks,
  midi,
  name: pitchInKey(midi, bar.key),
  velocity: 70,
})

/** Parts of some roles. */
export const partsOf = (scene: Scene, ...roles: readonly string[]): readonly string[] =>
  scene.music.lineup.filter(({ role }) => roles.includes(role)).map(({ id }) => id)

export const endOf = ({ startTick, durationTicks }: { startTick: number; durationTicks: number }): number =>
  startTick + durationTicks
