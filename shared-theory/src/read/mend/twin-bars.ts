/** Bars that are the same music in the same place of a section of the same name: what is put right in one is meant for all. */
import type { Section, Tune } from '../../contract/index.js'
import { stableJson } from '../../units/index.js'

/** Indices of the other bars like it, in order; none where it stands alone. */
export function twinBars(tune: Tune, bar: number): readonly number[] {
  const own = sectionAt(tune, bar)
  if (!own) return []
  const music = musicOf(tune, bar)
  return tune.sections
    .filter((section) => section !== own && section.letter === own.letter)
    .map((section) => section.startBar + bar - own.startBar)
    .filter((twin) => sectionAt(tune, twin)?.letter === own.letter && musicOf(tune, twin) === music)
}

const sectionAt = (tune: Tune, bar: number): Section | undefined =>
  tune.sections.find(({ startBar, bars }) => bar >= startBar && bar < startBar + bars)

function musicOf(tune: Tune, index: number): string {
  const bar = tune.bars[index]
  return stableJson([
    bar?.lengthTicks,
    bar?.melody.map(({ startTick, durationTicks, midi }) => [startTick, durationTicks, midi]),
    bar?.chords.map(({ startTick, chord }) => [startTick, chord.symbol]),
  ])
}
