/** Quote: the tune's last phrase with its melody, then the way into bar 1, so that everybody knows what is coming. */
import type { ArrangedBar, ArrangedNote, Tune } from '../../contract/index.js'
import { show } from '../../fit/index.js'
import { mod, nameOfPitch, pitchClass, tonicOf } from '../../units/index.js'
import { cutAt, isShort, laidIn, lengthsWished, middleTick, wholeBar } from '../bars.js'
import { movedBar } from '../lift/move.js'
import { shown } from '../lift/words.js'
import { twoFiveInto } from './arrival.js'
import { barsAsked, type Doorway, lengthInWords, type OpeningBar, type OpeningIdea } from './idea.js'

export const quote: OpeningIdea = {
  id: 'quote',
  rule: 'OP8',
  energy: 0,
  distance: 0.1,
  difficulty: 0.1,
  variants: (door) => {
    const phrase = phraseOf(door)
    if (!phrase) return 'The first time through has no melody to quote.'
    return [{ bars: Math.min(4, phrase.length) }].filter(({ bars }) => bars >= 2)
  },
  wished: (door, wish) => {
    const most = phraseOf(door)?.length ?? 0
    return lengthsWished(wish, [2, 8])
      .filter((bars) => bars >= 2 && bars <= most)
      .map((bars) => ({ bars }))
  },
  write: (door, params) => {
    const count = barsAsked(params, 2)
    if (typeof count === 'string') return { refused: count }
    const phrase = phraseOf(door)
    if (!phrase) return { refused: 'The first time through has no melody to quote.' }
    if (count > phrase.length) {
      return { refused: `The last section is ${lengthInWords(phrase.length)} long; ${count} can't be quoted.` }
    }
    const quoted = phrase.slice(-count)
    const isSung = quoted.some(({ melody }) => melody.length > 0)
    if (!isSung) return { refused: 'There is no melody in the bars asked for.' }
    const into = twoFiveInto(door)
    const bars = quoted.map((bar, index): OpeningBar => {
      const isLast = index === quoted.length - 1
      const made = isLast
        ? connected(bar, quoted[index - 1], into)
        : tiedOnlyInside(bar, index === count - 2 && !lands(bar, quoted.at(-1)))
      return { ...made, frame: frameOf(bar), ...tuneBarOf(bar) }
    })
    const notes = bars.flatMap(({ melody }) => melody ?? [])
    const last = notes.at(-1)
    return {
      bars,
      title: `Last phrase quoted, ${lengthInWords(count)}`,
      says: `the tune's last ${count === 2 ? 'bars' : 'phrase'}${last ? `, as far as its ${show(nameOfPitch(last.name))},` : ''} announce${count === 2 ? '' : 's'} it, then ${into.map(shown).join(' ')}`,
      reason: [
        { rule: 'OP8', text: `the last ${lengthInWords(count)} of the first time through, melody and chords` },
        { rule: 'OP8', text: 'the last note is cut where the way into bar 1 begins' },
      ],
      suits: count === 4 ? 0.65 : 0.5,
    }
  },
}

/** The last section of the first pass, moved to where bar 1 stands if a lift came between; undefined where its melody is silent. */
function phraseOf({ bars, first, tune }: Doorway): readonly ArrangedBar[] | undefined {
  const pass = bars.filter((bar) => bar.pass === first.pass)
  const section = pass.at(-1)?.sectionId
  const phrase = pass
    .filter((bar, index) => bar.sectionId === section && !(index === 0 && isShort(bar)))
    .map((bar) => backHome(wholeBar(bar), first, tune))
  return phrase.some(({ melody }) => melody.length > 0) ? phrase : undefined
}

function backHome(bar: ArrangedBar, first: ArrangedBar, tune: Tune): ArrangedBar {
  const up = mod(liftOf(first, tune) - liftOf(bar, tune), 12)
  return up === 0 ? bar : movedBar(bar, up > 6 ? up - 12 : up)
}

/** Semitones a bar stands above the tune's own. */
function liftOf({ key, provenance }: ArrangedBar, tune: Tune): number {
  const own = tune.bars[provenance.tuneBar ?? 0]?.key ?? tune.key
  return pitchClass(tonicOf(key.key)) - pitchClass(tonicOf(own.key))
}

/** Whether the last note is struck in the last bar. */
const lands = (before: ArrangedBar | undefined, bar: ArrangedBar | undefined): boolean => {
  const note = bar?.melody[0]
  const previous = before?.melody.at(-1)
  const isTiedIn = note?.startTick === 0 && previous?.tiedToNext === true && previous.midi === note.midi
  return (bar?.melody.length ?? 0) > (isTiedIn ? 1 : 0)
}

/** The last bar: the way into bar 1 over all of it; where the phrase only lands here, in its second half. */
function connected(
  bar: ArrangedBar,
  before: ArrangedBar | undefined,
  into: ReturnType<typeof twoFiveInto>,
): OpeningBar {
  if (!lands(before, bar)) return { chords: laidIn({ ...bar, chords: [] }, into), melody: [] }
  const middle = middleTick(bar)
  return { chords: laidIn(bar, into.slice(1), middle), melody: cutAt(bar.melody, middle) }
}

function tiedOnlyInside(bar: ArrangedBar, isCut: boolean): OpeningBar {
  const melody: readonly ArrangedNote[] = isCut ? cutAt(bar.melody, bar.lengthTicks) : bar.melody
  return { chords: bar.chords, melody }
}

const tuneBarOf = ({ provenance: { tuneBar } }: ArrangedBar): { readonly tuneBar?: number } =>
  tuneBar === undefined ? {} : { tuneBar }
const frameOf = ({ metre, groups, lengthTicks, key }: ArrangedBar): NonNullable<OpeningBar['frame']> => ({
  metre,
  groups,
  lengthTicks,
  key,
})
