/** What a repeated section does differently, bar by bar, in words: 'bar 8: chords Cm7 F7, melody rests'. */
import { sameChord } from '../chords/index.js'
import type { MelodyNote, PlacedChord, Section, Tune } from '../contract/index.js'

/** Empty where the sections are the same; bars are counted from the section's first. */
export function sectionDifferences(
  tune: Tune,
  chords: readonly (readonly PlacedChord[])[],
  first: Section,
  again: Section,
): readonly string[] {
  const found: string[] = []
  for (let bar = 0; bar < Math.min(first.bars, again.bars); bar++) {
    const before = first.startBar + bar
    const here = again.startBar + bar
    const harmony = chordDifference(chords[before] ?? [], chords[here] ?? [])
    const melody = melodyDifference(tune.bars[before]?.melody ?? [], tune.bars[here]?.melody ?? [])
    const parts = [harmony, melody].filter((part) => part !== undefined)
    if (parts.length > 0) found.push(`bar ${bar + 1}: ${parts.join(', ')}`)
  }
  const longer = again.bars - first.bars
  if (longer !== 0)
    found.push(`${Math.abs(longer)} ${Math.abs(longer) === 1 ? 'bar' : 'bars'} ${longer > 0 ? 'longer' : 'shorter'}`)
  return found
}

function chordDifference(before: readonly PlacedChord[], here: readonly PlacedChord[]): string | undefined {
  const same =
    before.length === here.length &&
    before.every((one, at) => {
      const other = here[at]
      return other !== undefined && one.startTick === other.startTick && sameChord(one.chord, other.chord)
    })
  if (same) return undefined
  if (here.length === 0) return 'no chord'
  return `${here.length === 1 ? 'chord' : 'chords'} ${here.map((one) => one.chord.symbol).join(' ')}`
}

function melodyDifference(before: readonly MelodyNote[], here: readonly MelodyNote[]): string | undefined {
  const isSame =
    before.length === here.length && before.every((note, at) => soundsOf(note) === soundsOf(here[at] as MelodyNote))
  if (isSame) return undefined
  const isCut =
    here.length <= before.length &&
    here.every((note, at) => {
      const other = before[at] as MelodyNote
      return other.startTick === note.startTick && other.midi === note.midi && note.durationTicks <= other.durationTicks
    })
  if (isCut) return 'melody rests'
  const isHeld =
    here.length === before.length &&
    here.every((note, at) => {
      const other = before[at] as MelodyNote
      return other.startTick === note.startTick && other.midi === note.midi && note.durationTicks >= other.durationTicks
    })
  if (isHeld) return 'melody holds on'
  return namesOf(before) === namesOf(here) ? 'other rhythm' : `melody ${namesOf(here)}`
}

function soundsOf(note: MelodyNote): string {
  return `${note.startTick}+${note.durationTicks} ${note.midi}`
}

function namesOf(notes: readonly MelodyNote[]): string {
  return notes.map((note) => note.name).join(' ')
}
