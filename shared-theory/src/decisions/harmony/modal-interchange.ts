/** Chords borrowed from the key of the same name in the other mode. */
import type { Chord } from '../../contract/index.js'
import { type ChordQuality, qualityOf } from '../../chords/index.js'
import { rootInKey } from '../../fit/index.js'
import { isMinorKey, pitchClass, tonicOf } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { firstClash, melodyChain, shown } from './clash.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { barAt, degreeOf, melodyInWords, namedFor, spansOf, type Stretch } from './stretch.js'
import { barsInWords } from './words.js'

interface Swap {
  readonly id: string
  readonly mode: 'major' | 'minor'
  /** Semitones of the replaced root above the tonic, and its quality. */
  readonly from: readonly [degree: number, quality: ChordQuality]
  readonly to: readonly [degree: number, suffix: string]
  readonly words: string
  readonly suits: number
}

/** What is borrowed for what, the surest first. Source: common practice. */
const SWAPS: readonly Swap[] = [
  { id: 'bVI-for-vi', mode: 'major', from: [9, 'minor'], to: [8, 'maj7'], words: '♭VI∆ for vi', suits: 0.65 },
  { id: 'iv-for-IV', mode: 'major', from: [5, 'major'], to: [5, 'm6'], words: 'iv for IV', suits: 0.7 },
  { id: 'iio-for-ii', mode: 'major', from: [2, 'minor'], to: [2, 'm7b5'], words: 'iiø for ii', suits: 0.65 },
  { id: 'bIII-for-iii', mode: 'major', from: [4, 'minor'], to: [3, 'maj7'], words: '♭III∆ for iii', suits: 0.6 },
  { id: 'bIII-for-I', mode: 'major', from: [0, 'major'], to: [3, 'maj7'], words: '♭III∆ for I', suits: 0.45 },
  { id: 'bVI-for-ii', mode: 'major', from: [2, 'minor'], to: [8, 'maj7'], words: '♭VI∆ for ii', suits: 0.5 },
  { id: 'IV7-for-iv', mode: 'minor', from: [5, 'minor'], to: [5, '7'], words: 'IV7 for iv', suits: 0.65 },
  {
    id: 'bII-for-iio',
    mode: 'minor',
    from: [2, 'half-diminished'],
    to: [1, 'maj7'],
    words: '♭II∆ for iiø',
    suits: 0.65,
  },
  { id: 'bII-for-iv', mode: 'minor', from: [5, 'minor'], to: [1, 'maj7'], words: '♭II∆ for iv', suits: 0.55 },
  { id: 'ii-for-iio', mode: 'minor', from: [2, 'half-diminished'], to: [2, 'm7'], words: 'ii for iiø', suits: 0.55 },
  { id: 'vio-for-bVI', mode: 'minor', from: [8, 'major'], to: [9, 'm7b5'], words: 'viø for ♭VI', suits: 0.5 },
]

export const modalInterchange: HarmonyIdea = {
  id: 'modal-interchange',
  rule: 'HA14',
  energy: -0.1,
  difficulty: 0.25,
  most: 3,
  variants: (stretch) => {
    const here = SWAPS.filter((swap) => placesOf(stretch, swap).length > 0)
    return here.length > 0
      ? here.map(({ id }) => ({ swap: id }))
      : 'None of the chords here has a usual counterpart in the other mode.'
  },
  write: (stretch, params): Writing => {
    const swap = SWAPS.find(({ id }) => id === params['swap'])
    if (!swap) return { refused: 'There is no such exchange.' }
    const places = placesOf(stretch, swap)
    const chords: NewChord[] = []
    let refused = ''
    for (const { startTick, endTick } of places) {
      const root = rootInKey(pitchClass(tonicOf(stretch.key.key)) + swap.to[0], stretch.key)
      const chord = namedFor(stretch, `${root}${swap.to[1]}`, startTick, endTick)
      const clash = firstClash(stretch, [{ chord, startTick, endTick }])
      if (clash === undefined) chords.push({ startTick, endTick, chord })
      else refused ||= clash
    }
    if (chords.length === 0) return { refused: refused || `No ${swap.words.split(' for ')[1]} stands here.` }
    const place = barsInWords(chords.map(({ startTick }) => stretch.numbers[barAt(stretch, startTick)] ?? 0))
    const [first] = chords as [NewChord]
    const melody = melodyInWords(stretch, first.chord, first.startTick, first.endTick)
    return {
      chords,
      title: `${swap.words} in ${place}`,
      summary: `In ${ofTheTune(place)} ${shown(first.chord)} is borrowed from the ${lenderOf(swap)} mode, ${swap.words}${melody ? `: ${melody}` : ''}.`,
      reason: [
        { rule: 'HA14', text: `${swap.words}, from the mode of the same tonic` },
        ...melodyChain(stretch, chords),
      ],
      suits: swap.suits - (chords.some(({ chord }) => isContradicted(chord)) ? 0.15 : 0),
    }
  },
}

/** In minor: ♭II is the phrygian second, all else here has the dorian sixth. */
const lenderOf = ({ mode, to: [degree] }: Swap): string =>
  mode === 'major' ? 'minor' : degree === 1 ? 'phrygian' : 'dorian'

/** A dominant whose major third stands against the minor third in the melody: the colour borrowed is half taken back. */
const isContradicted = (chord: Chord): boolean => chord.intervals.includes('3M') && chord.intervals.includes('9A')

/** Spans of the replaced chord; the first and last tonic of a stretch are not touched. */
function placesOf(stretch: Stretch, swap: Swap): readonly { readonly startTick: number; readonly endTick: number }[] {
  if (isMinorKey(stretch.key.key) !== (swap.mode === 'minor')) return []
  const spans = spansOf(stretch)
  return spans.filter(({ chord }, index) => {
    if (chord.root === '' || qualityOf(chord) !== swap.from[1] || degreeOf(chord, stretch.key) !== swap.from[0])
      return false
    return swap.from[0] !== 0 || (index > 0 && index < spans.length - 1)
  })
}
