/** A chord of the key for its neighbour a third away: the relative minor for the tonic, ii for IV. */
import { type ChordQuality, qualityOf } from '../../chords/index.js'
import { rootInKey } from '../../fit/index.js'
import { isMinorKey, pitchClass, tonicOf } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { firstClash, melodyChain, shown } from './clash.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { isPlain } from './plain.js'
import { barAt, degreeOf, melodyInWords, namedFor, type Span, spansOf, type Stretch } from './stretch.js'
import { barsInWords } from './words.js'

interface Swap {
  readonly id: string
  readonly mode: 'major' | 'minor'
  /** Semitones of the replaced root above the tonic, and its quality. */
  readonly from: readonly [degree: number, quality: ChordQuality]
  /** The new root, and its suffix in a tune of triads and in one of sevenths. */
  readonly to: readonly [degree: number, triad: string, seventh: string]
  readonly words: string
}

/** What stands in for what, the surest first. Source: common practice (chords a third apart share two notes). */
const SWAPS: readonly Swap[] = [
  { id: 'vi-for-I', mode: 'major', from: [0, 'major'], to: [9, 'm', 'm7'], words: 'vi for I' },
  { id: 'ii-for-IV', mode: 'major', from: [5, 'major'], to: [2, 'm', 'm7'], words: 'ii for IV' },
  { id: 'iii-for-I', mode: 'major', from: [0, 'major'], to: [4, 'm', 'm7'], words: 'iii for I' },
  { id: 'IV-for-ii', mode: 'major', from: [2, 'minor'], to: [5, '', 'maj7'], words: 'IV for ii' },
  { id: 'VI-for-i', mode: 'minor', from: [0, 'minor'], to: [8, '', 'maj7'], words: '♭VI for i' },
  { id: 'III-for-i', mode: 'minor', from: [0, 'minor'], to: [3, '', 'maj7'], words: '♭III for i' },
  { id: 'VI-for-iv', mode: 'minor', from: [5, 'minor'], to: [8, '', 'maj7'], words: '♭VI for iv' },
]
/** On a plain tune it is what an arranger tries first; in a tune of sevenths it says little (judgement). */
const SUITS = { plain: 0.75, other: 0.45, step: 0.03 } as const

export const diatonicSubstitution: HarmonyIdea = {
  id: 'diatonic-substitution',
  rule: 'HA26',
  energy: -0.1,
  difficulty: 0.1,
  variants: (stretch) => {
    const here = SWAPS.filter((swap) => placesOf(stretch, swap).length > 0)
    return here.length > 0
      ? here.map(({ id }) => ({ swap: id }))
      : 'No chord here leaves a place to a neighbour of its key.'
  },
  write: (stretch, params): Writing => {
    const swap = SWAPS.find(({ id }) => id === params['swap'])
    if (!swap) return { refused: 'There is no such exchange.' }
    const isOfTriads = isPlain(stretch)
    const root = rootInKey(pitchClass(tonicOf(stretch.key.key)) + swap.to[0], stretch.key)
    const chords: NewChord[] = []
    let refused = ''
    for (const { startTick, endTick } of placesOf(stretch, swap)) {
      const chord = namedFor(stretch, `${root}${isOfTriads ? swap.to[1] : swap.to[2]}`, startTick, endTick)
      const clash = firstClash(stretch, [{ chord, startTick, endTick }])
      if (clash === undefined) chords.push({ startTick, endTick, chord })
      else refused ||= clash
    }
    const [first] = chords
    if (!first) return { refused: refused || `No place here for ${swap.words}.` }
    const place = barsInWords([...new Set(chords.flatMap((each) => barsUnder(stretch, each)))])
    const melody = melodyInWords(stretch, first.chord, first.startTick, first.endTick)
    return {
      chords,
      title: `${swap.words} in ${place}`,
      summary: `In ${ofTheTune(place)} ${shown(first.chord)}, a chord of the same key with two notes in common, stands in, ${swap.words}${melody ? `: ${melody}` : ''}.`,
      reason: [{ rule: 'HA26', text: `${swap.words}, a third away in the same key` }, ...melodyChain(stretch, chords)],
      suits: (isOfTriads ? SUITS.plain : SUITS.other) - SUITS.step * SWAPS.indexOf(swap),
    }
  },
}

function barsUnder(stretch: Stretch, { startTick, endTick }: NewChord): readonly number[] {
  const [from, to] = [barAt(stretch, startTick), barAt(stretch, endTick - 1)]
  return stretch.numbers.slice(from, to + 1)
}

type Place = Pick<Span, 'startTick' | 'endTick'>

/** A chord of two bars or more keeps its first half, to the bar; a shorter one gives way whole. Home stays at both ends, and gives up one
 *  bar of its own only where it nowhere stays for two. */
function placesOf(stretch: Stretch, swap: Swap): readonly Place[] {
  if (isMinorKey(stretch.key.key) !== (swap.mode === 'minor')) return []
  const long: Place[] = []
  const short: Place[] = []
  for (const span of spansOf(stretch)) {
    const { chord, startTick, endTick } = span
    if (chord.root === '' || chord.bass !== undefined) continue
    if (qualityOf(chord) !== swap.from[1] || degreeOf(chord, stretch.key) !== swap.from[0]) continue
    const from = barAt(stretch, startTick)
    const bars = barAt(stretch, endTick - 1) - from + 1
    const isWhole = startTick === stretch.starts[from] && endTick === stretch.starts[from + bars]
    const isEnd = endTick === stretch.starts.at(-1)
    if (bars >= 2 && !(isTonic(swap) && isEnd))
      long.push({ startTick: stretch.starts[from + Math.ceil(bars / 2)] as number, endTick })
    else if (bars === 1 && (!isTonic(swap) || (isWhole && startTick > 0 && !isEnd))) short.push({ startTick, endTick })
  }
  return isTonic(swap) ? (long.length > 0 ? long : short.slice(0, 1)) : [...long, ...short]
}

const isTonic = ({ from: [degree] }: Swap): boolean => degree === 0
