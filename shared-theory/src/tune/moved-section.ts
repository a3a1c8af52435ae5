/** A section that is an earlier one moved up or down: a bridge that says the first strain again in another key. */
import type { MelodyNote, Section, Tune } from '../contract/index.js'

/** Half steps as musicians say them. */
const DISTANCES = [
  'at the same pitch',
  'a half step',
  'a whole step',
  'a minor third',
  'a major third',
  'a fourth',
  'a tritone',
  'a fifth',
  'a minor sixth',
  'a major sixth',
  'a minor seventh',
  'a major seventh',
  'an octave',
] as const
/** So many of the notes at least must have moved by the same distance. From judgement. */
const SURE = 0.85
/** Fewer notes say nothing. */
const LEAST_NOTES = 8

/** 'A1 a fourth higher'; undefined where the section is no earlier one moved. */
export function movedFrom(tune: Tune, sections: readonly Section[], at: number): string | undefined {
  const section = sections[at]
  if (!section) return undefined
  const here = notesOf(tune, section)
  if (here.length < LEAST_NOTES) return undefined
  for (const first of sections.slice(0, at)) {
    if (first.bars !== section.bars) continue
    const there = new Map(notesOf(tune, first).map((note) => [note.place, note.midi]))
    const counts = new Map<number, number>()
    for (const { place, midi } of here) {
      const before = there.get(place)
      if (before !== undefined) counts.set(midi - before, (counts.get(midi - before) ?? 0) + 1)
    }
    const [by, count] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [0, 0]
    const distance = DISTANCES[Math.abs(by)]
    if (by === 0 || distance === undefined || count < SURE * Math.max(here.length, there.size)) continue
    return `${first.id} ${distance} ${by > 0 ? 'higher' : 'lower'}`
  }
  return undefined
}

/** Attacks with their place in the section. */
function notesOf(
  tune: Tune,
  { startBar, bars }: Section,
): readonly { readonly place: string; readonly midi: number }[] {
  return tune.bars
    .slice(startBar, startBar + bars)
    .flatMap(({ melody }, bar) =>
      melody.map(({ startTick, midi }: MelodyNote) => ({ place: `${bar}/${startTick}`, midi })),
    )
}
