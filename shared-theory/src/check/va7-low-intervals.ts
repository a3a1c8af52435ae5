/** VA7: intervals too low to be clear. */
import type { Issue, PartNote } from '../contract/index.js'
import { issue } from '../units/index.js'
import { type CheckContext, notesOf, readableBars } from './check-context.js'
import { shownNote } from './words.js'

/** Lowest MIDI number of the lower note, by semitones of the interval. Source: Lowell & Pullig 2003, low-interval limits. */
export const LOW_INTERVAL_LIMITS: { readonly [semitones: number]: readonly [lowestMidi: number, name: string] } = {
  1: [52, 'minor second'],
  2: [51, 'major second'],
  3: [48, 'minor third'],
  4: [46, 'major third'],
  5: [46, 'fourth'],
  6: [46, 'tritone'],
  7: [34, 'fifth'],
  8: [43, 'minor sixth'],
  9: [41, 'major sixth'],
  10: [41, 'minor seventh'],
  11: [41, 'major seventh'],
  13: [40, 'minor ninth'],
  14: [39, 'major ninth'],
  15: [36, 'minor tenth'],
  16: [34, 'major tenth'],
}
/** Notes that meet for less than a sixteenth are a release, not a chord. */
const SHORTEST_MEETING_TICKS = 1260

export function checkLowIntervals(context: CheckContext): Issue[] {
  const found: Issue[] = []
  for (const [index, bar] of readableBars(context.bars)) {
    for (const part of context.parts) {
      if (part.isDrums) continue
      const muddy = muddiest(notesOf(bar, part))
      if (!muddy) continue
      const { low, high, place, name } = muddy
      const notes = `${shownNote(low, bar.key)}–${shownNote(high, bar.key)}`
      const text = `Bar ${context.numberOf(index)}, ${part.name}: the ${name} ${notes} is muddy; below C3 use a fifth or spread it.`
      found.push(issue('VA7', 'warning', `bars/${index}/parts/${part.spec.id}/${place}`, text))
    }
  }
  return found
}

/** The pair of neighbours farthest below its limit. */
function muddiest(
  notes: readonly PartNote[],
): { readonly low: PartNote; readonly high: PartNote; readonly place: number; readonly name: string } | undefined {
  const lowNotes = notes.filter(({ midi }) => midi <= HIGHEST_LIMIT)
  let worst: { low: PartNote; high: PartNote; place: number; name: string; by: number } | undefined
  for (const low of lowNotes) {
    for (const high of notes) {
      const limit = LOW_INTERVAL_LIMITS[high.midi - low.midi]
      if (!limit || low.midi >= limit[0] || !meet(low, high) || isFilled(notes, low, high)) continue
      const by = limit[0] - low.midi
      if (!worst || by > worst.by) worst = { low, high, place: notes.indexOf(low), name: limit[1], by }
    }
  }
  return worst
}

const HIGHEST_LIMIT = 52

function meet(a: PartNote, b: PartNote): boolean {
  const end = Math.min(a.startTick + a.durationTicks, b.startTick + b.durationTicks)
  return end - Math.max(a.startTick, b.startTick) >= SHORTEST_MEETING_TICKS
}

/** Another note between them sounds too: then the closer pairs are judged. */
function isFilled(notes: readonly PartNote[], low: PartNote, high: PartNote): boolean {
  return notes.some(({ midi, ...note }) => {
    return midi > low.midi && midi < high.midi && meet({ midi, ...note }, low) && meet({ midi, ...note }, high)
  })
}
