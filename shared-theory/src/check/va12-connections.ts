/** VA12: the opening leads into the tune, and the last chord carries the last note. */
import type { ArrangedBar, Chord, Issue } from '../contract/index.js'
import { bassOf, chord as chordOf, pitchClassesOf, qualityOf } from '../chords/index.js'
import { clashName, fitOf } from '../fit/index.js'
import { issue, mod, nameOfPitch, pitchClass, simplifyNoteName, transposeName } from '../units/index.js'
import { type CheckContext, readableBars } from './check-context.js'
import { shownChord, shownName } from './words.js'

export function checkConnections(context: CheckContext): Issue[] {
  return [...checkOpening(context), ...checkEnding(context)]
}

function checkOpening({ bars, numberOf }: CheckContext): Issue[] {
  const next = bars.findIndex(
    (bar, index) => bar !== undefined && bar.pass !== 'opening' && bars[index - 1]?.pass === 'opening',
  )
  const last = bars[next - 1]?.chords.at(-1)?.chord
  const first = bars[next]?.chords[0]?.chord
  if (!last || !first || leadsTo(last, first)) return []
  const text = `The opening ends on ${shownChord(last)}; nothing leads to ${shownChord(first)}. ${mends(first)} would.`
  return [issue('VA12', 'warning', `bars/${next - 1}/chords`, `Bar ${numberOf(next - 1)}: ${text}`)]
}

/** V–I, a half step from above or below, ♭VII–I, the same root, or at least two tones in common. Source: common practice. */
function leadsTo(from: Chord, to: Chord): boolean {
  const [fromBass, toBass] = [bassOf(from), bassOf(to)]
  if (fromBass === undefined || toBass === undefined) return true
  const distances = [
    mod(pitchClass(from.root || fromBass) - pitchClass(to.root || toBass), 12),
    mod(pitchClass(fromBass) - pitchClass(toBass), 12),
  ]
  if (distances.some((distance) => [0, 1, 7, 10, 11].includes(distance))) return true
  const tones = new Set(pitchClassesOf(from))
  return pitchClassesOf(to).filter((pc) => tones.has(pc)).length >= 2
}

function mends(first: Chord): string {
  if (first.root === '') return 'Its dominant'
  const isMinor = ['minor', 'minor-sixth', 'half-diminished'].includes(qualityOf(first))
  const five = simplifyNoteName(transposeName(first.root, '5P'))
  const flatTwo = simplifyNoteName(transposeName(first.root, '2m'))
  return `${shownChord(chordOf(`${five}${isMinor ? '7b9' : '7sus4'}`))} or ${shownChord(chordOf(`${flatTwo}7`))}`
}

/** The last sounding note against the last chord. A bar that is drums or silence to the end has nothing to carry. */
function checkEnding({ bars, numberOf }: CheckContext): Issue[] {
  let lastIndex = -1
  for (const [index] of readableBars(bars)) lastIndex = index
  const last = bars[lastIndex]
  const chord = last?.chords.at(-1)?.chord
  const note = last && lastMelodyNote(last)
  if (!last || !chord || !note || chord.root === '') return []
  const name = nameOfPitch(note.name)
  if (fitOf(chord, name) !== 'hard') return []
  const degree = clashName(pitchClass(name) - pitchClass(chord.root))
  const text = `Bar ${numberOf(lastIndex)}: the last note ${shownName(name)} is the ${degree} of the last chord ${shownChord(chord)}; end on a chord that holds it.`
  return [issue('VA12', 'warning', `bars/${lastIndex}/chords`, text)]
}

function lastMelodyNote(bar: ArrangedBar): ArrangedBar['melody'][number] | undefined {
  const start = bar.chords.at(-1)?.startTick ?? 0
  return bar.melody.filter((note) => note.startTick + note.durationTicks > start).at(-1)
}
