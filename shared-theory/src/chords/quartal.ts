/** Voicings in fourths: which notes a quality lets stand in them, and every stack in reach. */
import type { Chord } from '../contract/index.js'
import { mod } from '../units/index.js'
import { type ChordQuality, qualityOf } from './ask-chord.js'
import { contentOf } from './build-chord.js'
import { NINTHS, T, THIRDS, type ToneSet, listTones, pcOf } from './chord-tones.js'

const PERFECT_FOURTH = 5
const AUGMENTED_FOURTH = 6

/** Tensions a quality takes into a stack of fourths besides its own tones. Source: common practice. */
const TENSIONS: { readonly [quality in ChordQuality]: ToneSet } = {
  major: T.ninth | T.thirteenth,
  minor: T.ninth | T.eleventh,
  'minor-sixth': T.ninth | T.eleventh,
  dominant: T.ninth | T.thirteenth,
  sus: T.ninth | T.thirteenth,
  'half-diminished': T.eleventh,
  diminished: 0,
  augmented: T.ninth,
  open: T.ninth,
  none: 0,
}

/**
 * Every stack of fourths (at most one augmented, never at the top of three or more alone) of `voices` notes from `low` to `high` that says
 * the chord: its third, or the fourth of a sus, sounds, and its seventh or sixth where there are four voices. Empty where none does.
 */
export function quartalStacks(chord: Chord, voices: number, low: number, high: number): readonly (readonly number[])[] {
  const { tones } = contentOf(chord)
  const root = pcOf(chord.root)
  const usable = pcsOf(tones | tensionsFor(tones, qualityOf(chord)), root)
  const guides = guidesOf(tones, voices).map((set) => pcsOf(set, root))
  const found: number[][] = []
  for (const steps of fourths(voices - 1)) {
    for (let bottom = low; bottom <= high; bottom++) {
      const midi = [bottom]
      for (const step of steps) midi.push((midi.at(-1) as number) + step)
      if ((midi.at(-1) as number) > high) break
      const pcs = midi.map((note) => mod(note, 12))
      if (pcs.every((pc) => usable.has(pc)) && guides.every((guide) => pcs.some((pc) => guide.has(pc))))
        found.push(midi)
    }
  }
  return found
}

/** A named form of a degree takes the place of its natural tension, and a thirteenth needs an unaltered fifth. */
function tensionsFor(tones: ToneSet, quality: ChordQuality): ToneSet {
  let tensions = TENSIONS[quality]
  if (tones & NINTHS) tensions &= ~T.ninth
  if (tones & (T.flatThirteenth | T.sharpFifth)) tensions &= ~T.thirteenth
  return tensions
}

/** What has to sound: third or suspended fourth; with four voices the seventh or sixth of a chord that has one. */
function guidesOf(tones: ToneSet, voices: number): readonly ToneSet[] {
  const third = tones & (THIRDS | T.fourth | T.second)
  const seventh = tones & (T.seventh | T.majorSeventh | T.diminishedSeventh | T.sixth)
  // In fourths a major chord may show its sixth for its seventh: E A D G over C.
  const isMajor = (tones & T.third) !== 0 && (tones & T.majorSeventh) !== 0
  const guides = third ? [third] : []
  return voices >= 4 && seventh ? [...guides, isMajor ? seventh | T.thirteenth : seventh] : guides
}

function pcsOf(tones: ToneSet, root: number): ReadonlySet<number> {
  return new Set(listTones(tones).map(({ semitones }) => mod(semitones + root, 12)))
}

/** All rows of fourths with at most one augmented. */
function fourths(count: number): readonly (readonly number[])[] {
  const perfect = Array.from({ length: Math.max(0, count) }, () => PERFECT_FOURTH)
  return [perfect, ...perfect.map((_, at) => perfect.map((step, index) => (index === at ? AUGMENTED_FOURTH : step)))]
}
