/** An inner line over a chord that stands still: 8–7–♭7–6 over a minor chord, 5–♯5–6–♭7 over a tonic that goes to IV or ii. */
import { chord as parsed, qualityOf } from '../../chords/index.js'
import { halfTick, notesBetween, show } from '../../fit/index.js'
import { pitchClass } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { firstClash, melodyChain, shown } from './clash.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { barAt, degreeOf, type Span, spansOf, type Stretch } from './stretch.js'
import { barsInWords } from './words.js'

interface Cliche {
  readonly suffixes: readonly string[]
  readonly line: string
}
/** Source: common practice. */
const MINOR: Cliche = { suffixes: ['m', 'm(maj7)', 'm7', 'm6'], line: '8–7–♭7–6' }
const MAJOR: Cliche = { suffixes: ['', '+', '6', '7'], line: '5–♯5–6–♭7' }

export const lineCliche: HarmonyIdea = {
  id: 'line-cliche',
  rule: 'HA21',
  energy: -0.05,
  difficulty: 0.2,
  variants: (stretch) => {
    const bars = placesOf(stretch).map(({ startTick }) => barAt(stretch, startTick))
    return bars.length > 0
      ? bars.map((bar) => ({ bar }))
      : 'No minor chord lasts two bars here, nor a tonic on its way to IV or ii.'
  },
  write: (stretch, params): Writing => {
    const span = placesOf(stretch).find(({ startTick }) => barAt(stretch, startTick) === params['bar'])
    if (!span) return { refused: 'No chord stands still for two bars from the bar asked for.' }
    const { suffixes, line } = clicheFor(stretch, span) as Cliche
    const starts = stepsOf(stretch, span)
    const chords = suffixes.map((suffix, index): NewChord => ({
      startTick: starts[index] as number,
      endTick: starts[index + 1] as number,
      chord: parsed(`${span.chord.root}${suffix}`),
    }))
    const refused = clashOrRub(stretch, chords)
    if (refused) return { refused }
    const place = barsInWords(chords.map(({ startTick }) => stretch.numbers[barAt(stretch, startTick)] ?? 0))
    return {
      chords,
      title: `Moving line over ${show(span.chord.root)}${suffixes === MINOR.suffixes ? 'm' : ''} in ${place}`,
      summary: `In ${ofTheTune(place)} ${shown(span.chord)} stands still, so a line inside it moves instead: ${chords.map(({ chord }) => shown(chord)).join(' ')} (${line}).`,
      reason: [{ rule: 'HA21', text: `${line} over one root` }, ...melodyChain(stretch, chords)],
      suits: 0.6,
    }
  },
}

/** Chords that start on a bar line, last two bars or more and have a line. */
const placesOf = (stretch: Stretch): readonly Span[] =>
  spansOf(stretch).filter(
    (span) =>
      stretch.starts.includes(span.startTick) &&
      barAt(stretch, span.endTick - 1) > barAt(stretch, span.startTick) &&
      clicheFor(stretch, span) !== undefined,
  )

function clicheFor(stretch: Stretch, { chord, next }: Span): Cliche | undefined {
  if (chord.root === '' || chord.bass !== undefined || chord.over) return undefined
  const quality = qualityOf(chord)
  if (quality === 'minor' || quality === 'minor-sixth') return MINOR
  const goesOn = next !== undefined && next.root !== '' && [2, 5].includes(degreeOf(next, stretch.key))
  return quality === 'major' && degreeOf(chord, stretch.key) === 0 && goesOn ? MAJOR : undefined
}

/** Four steps and their end: a bar each where the chord lasts four bars, else half a bar each. */
function stepsOf(stretch: Stretch, { startTick, endTick }: Span): readonly number[] {
  const first = barAt(stretch, startTick)
  const count = barAt(stretch, endTick - 1) - first + 1
  if (count >= 4) return stretch.starts.slice(first, first + 5)
  const [one, two] = [stretch.bars[first], stretch.bars[first + 1]] as [
    Stretch['bars'][number],
    Stretch['bars'][number],
  ]
  const middle = stretch.starts[first + 1] as number
  return [
    startTick,
    startTick + halfTick(one.metre),
    middle,
    middle + halfTick(two.metre),
    stretch.starts[first + 2] as number,
  ]
}

function clashOrRub(stretch: Stretch, chords: readonly NewChord[]): string | undefined {
  const clash = firstClash(stretch, chords)
  if (clash) return clash
  for (const { chord, startTick, endTick } of chords) {
    // A held root rubs against the major seventh a half step below it.
    const rubs = notesBetween(stretch.notes, startTick, endTick).find(
      (note) => note.pc === pitchClass(chord.root) && note.heldTicks >= 2 * stretch.beatTicks,
    )
    if (rubs && chord.intervals.includes('7M')) {
      return `${ofTheTune(`Bar ${stretch.numbers[barAt(stretch, rubs.startTick)]}`)}: the held ${show(rubs.name)} rubs against the major seventh of ${shown(chord)}.`
    }
  }
  return undefined
}
