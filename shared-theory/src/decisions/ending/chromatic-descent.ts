/** Chromatic descent: from ♯iv the bass falls by half steps under the held note and lands home. */
import type { Chord } from '../../contract/index.js'
import { bassOf } from '../../chords/index.js'
import { beatTicks, fitLine, lineNotes, show } from '../../fit/index.js'
import { lengthsWished, wholeBar } from '../bars.js'
import { descentRoots } from '../harmony/chromatic-descent.js'
import { shown } from '../lift/words.js'
import { type Close, fullBar } from './close.js'
import { barsAsked, type EndingIdea, heldThrough, heldWord, lengthInWords } from './idea.js'

/** Chords from ♯iv down to ♭II. */
const WHOLE_LINE = 6
const RATES = [1, 2] as const

export const chromaticDescent: EndingIdea = {
  id: 'chromatic-descent',
  rule: 'EN6',
  energy: -0.2,
  distance: 0.4,
  difficulty: 0.4,
  variants: () => [
    { rate: 1, bars: 6 },
    { rate: 2, bars: 3 },
    { rate: 1, bars: 4 },
  ],
  wished: (_close, wish) =>
    lengthsWished(wish, [2, 5, 3, 1])
      .flatMap((bars) => RATES.map((rate) => ({ rate, bars })))
      .filter(({ rate, bars }) => rate * bars <= WHOLE_LINE && (wish.rate === undefined || wish.rate === rate)),
  write: (close, params) => {
    const rate = params['rate'] ?? 1
    if (rate !== 1 && rate !== 2) return { refused: `One chord a bar or two, not ${String(rate)}.` }
    const count = barsAsked(params, 1, WHOLE_LINE / rate)
    if (typeof count === 'string') return { refused: count }
    const line = lineDown(close, count * rate, rate)
    if (typeof line === 'string') return { refused: line }
    const bars = Array.from({ length: count }, (_, index) => line.slice(index * rate, (index + 1) * rate))
    const basses = line.map((chord) => show(bassOf(chord) ?? chord.root))
    return {
      bars: [...heldThrough(close, bars), ...close.home],
      title: `Chromatic descent to ${shown(close.goal)}, ${rate === 1 ? 'one' : 'two'} a bar, ${lengthInWords(count)}`,
      summary: `The bass walks down ${basses.join(' ')} to ${show(bassOf(close.goal) ?? close.goal.root)} under ${heldWord(close)}, which every chord carries.`,
      reason: [
        { rule: 'EN6', text: `half steps down to ${shown(close.goal)}: ${line.map(shown).join(' ')}` },
        { rule: 'EN2', text: `${lengthInWords(count)} before ${shown(close.goal)}` },
      ],
      suits: rate === 2 ? 0.78 : count === WHOLE_LINE ? 0.76 : 0.66,
    }
  },
}

/** The last `length` chords of the line, each carrying the held note; the sentence where one cannot. */
function lineDown(close: Close, length: number, rate: number): readonly Chord[] | string {
  const bar = wholeBar(close.home[0] as Close['home'][number])
  const step = Math.floor(fullBar(close) / rate)
  const bars = heldThrough(
    close,
    Array.from({ length: Math.ceil(length / rate) }, () => [close.goal]),
  )
  const before = close.bars[close.at - 1]?.chords.at(-1)?.chord
  const fitted = fitLine({
    key: close.key,
    notes: lineNotes(bars),
    beatTicks: beatTicks(bar.metre),
    slots: Array.from({ length }, (_, index) => ({
      startTick: index * step,
      endTick: (index + 1) * step,
      roots: descentRoots(close.key, WHOLE_LINE - length + index),
    })),
    after: close.goal,
    ...(before ? { before } : {}),
  })
  return fitted.ok ? fitted.slots.map(({ chord }) => chord) : `In the descent, ${fitted.why}.`
}
