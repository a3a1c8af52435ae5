/** How far new chords lie from the ones they replace: shared notes and kept functions, by time. */
import type { ArrangedBar, Chord, KeySignature, PlacedChord } from '../../contract/index.js'
import { bassOf, functionIn, pitchClassesOf, qualityOf, sameChord } from '../../chords/index.js'
import type { Stretch } from './stretch.js'

/** A chord where there was none is no departure from anything (judgement). */
const FROM_SILENCE = 0.2

/** The same chord over another bass (judgement). */
const OTHER_BASS = 0.1

/** 0 the chord as it was … 1 nothing left of it. A kept function counts for more than shared notes (judgement). */
export function chordDistance(was: Chord, now: Chord, key: KeySignature): number {
  if (was.root === '' && now.root !== '') return FROM_SILENCE
  const a = new Set(pitchClassesOf(was))
  const b = new Set(pitchClassesOf(now))
  const shared = [...a].filter((pc) => b.has(pc)).length
  const all = new Set([...a, ...b]).size
  const apart = all === 0 ? 0 : 1 - shared / all
  if (apart === 0 && was.root === now.root) return bassOf(was) === bassOf(now) ? 0 : OTHER_BASS
  return isFunctionKept(was, now, key) ? 0.2 + 0.4 * apart : 0.6 + 0.4 * apart
}

function isFunctionKept(was: Chord, now: Chord, key: KeySignature): boolean {
  if (was.root === '' || now.root === '') return false
  if (qualityOf(was) === 'dominant' && qualityOf(now) === 'dominant') return true
  const [a, b] = [functionIn(was, key).role, functionIn(now, key).role]
  return a === b && a !== 'other'
}

/** The whole stretch's distance, 0…1, rounded to thousandths: changed bars weighed by time, the rest counts as 0. */
export function distanceOf(stretch: Stretch, changed: ReadonlyMap<number, readonly PlacedChord[]>): number {
  let sum = 0
  for (const [offset, chords] of changed) {
    const bar = stretch.bars[offset] as ArrangedBar
    for (const now of chords) {
      for (const was of bar.chords) {
        const overlap =
          Math.min(now.startTick + now.durationTicks, was.startTick + was.durationTicks) -
          Math.max(now.startTick, was.startTick)
        if (overlap > 0) sum += overlap * chordDistance(was.chord, now.chord, bar.key)
      }
    }
  }
  const whole = stretch.starts.at(-1) as number
  return whole === 0 ? 0 : Math.round((1000 * sum) / whole) / 1000
}

/** 'changes 2 of 8 bars; 5 of 8 notes kept, functions kept 2 of 2': what the distance rests on, for a leader who asks. */
export function keptInWords(stretch: Stretch, changed: ReadonlyMap<number, readonly PlacedChord[]>): string {
  let shared = 0
  let notes = 0
  let kept = 0
  let pairs = 0
  for (const [offset, chords] of changed) {
    const bar = stretch.bars[offset] as ArrangedBar
    for (const now of chords) {
      const was = bar.chords.findLast(({ startTick }) => startTick <= now.startTick)
      if (!was || was.chord.root === '' || now.chord.root === '' || sameChord(was.chord, now.chord)) continue
      const before = new Set(pitchClassesOf(was.chord))
      const after = new Set(pitchClassesOf(now.chord))
      shared += [...after].filter((pc) => before.has(pc)).length
      notes += after.size
      pairs++
      if (isFunctionKept(was.chord, now.chord, bar.key)) kept++
    }
  }
  const bars = `changes ${changed.size} of ${stretch.bars.length} bar${stretch.bars.length === 1 ? '' : 's'}`
  return pairs === 0
    ? bars
    : `${bars}; ${shared} of ${notes} chord notes shared, function kept in ${kept} of ${pairs} chords`
}
