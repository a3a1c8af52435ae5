/** One short name for what a tune sounds like: equal content, equal hash, whatever file it came from. */
import type { Tune } from '../contract/index.js'
import { hashOf } from '../units/index.js'

/** Stable hash of melody, chords, metre, keys, form and tempo; title, lyrics, rights and source don't count. */
export function tuneHash(tune: Tune): string {
  return hashOf([
    tune.pickupTicks,
    tune.tempoBpm ?? 0,
    tune.sections.map((section) => [section.id, section.startBar, section.bars, section.role]),
    tune.bars.map((bar) => [
      bar.metre.beats,
      bar.metre.beatType,
      bar.lengthTicks,
      bar.key.key,
      bar.key.mode,
      bar.melody.map((note) => [note.startTick, note.durationTicks, note.name, note.tiedToNext ? 1 : 0]),
      bar.chords.map((placed) => [placed.startTick, placed.chord.root, placed.chord.bass ?? '', placed.chord.notes]),
    ]),
  ])
}
