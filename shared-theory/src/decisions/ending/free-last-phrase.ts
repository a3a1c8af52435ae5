/** The last phrase out of time: the bar before it slows down, the drums stop, and the tune ends as it might have begun, freely. Source: common practice. */
import { rubatoTempo } from '../../rhythm/index.js'
import { shown } from '../lift/words.js'
import { phrasesOf, RUBATO_BPM } from '../opening/rubato.js'
import { type EndingIdea, lengthInWords } from './idea.js'

/** A phrase as players count it. */
const BARS = 4
/** What leads home at least: home alone is no phrase. */
const LEAST_LEAD = 2

export const freeLastPhrase: EndingIdea = {
  id: 'free-last-phrase',
  rule: 'EN18',
  energy: -0.35,
  distance: 0.1,
  difficulty: 0.3,
  addsNone: true,
  variants: () => [{ bars: 0 }],
  write: (close) => {
    const home = close.madeHome > 0 ? [] : close.home
    const start = close.at - Math.max(LEAST_LEAD, BARS - home.length)
    const before = close.bars[start - 1]
    if (!before) return { refused: 'The tune is one phrase, so there would be no time to come out of.' }
    if (before.feel === 'rubato') return { refused: 'The music is free already before its last phrase.' }
    const phrase = [...close.bars.slice(start, close.at), ...home]
    const places = phrasesOf(phrase.length)
    const free = phrase.map((bar, index) => {
      const [inPhrase, length] = places[index] ?? [0, phrase.length]
      return { ...bar, feel: 'rubato', ...rubatoTempo(RUBATO_BPM, inPhrase, length) }
    })
    return {
      from: start,
      bars: free,
      title: 'Last phrase free',
      summary: `The time stops before the last ${lengthInWords(phrase.length)}; they are played freely around ${RUBATO_BPM}, softer, and settle on ${shown(close.goal)} under a fermata.`,
      reason: [
        { rule: 'EN18', text: `rubato for the last ${lengthInWords(phrase.length)}, pushing and holding back` },
        {
          rule: 'GR8',
          text: 'the bar before slows to 70 %, the drums stop at its middle, the first free chord is waited on',
        },
      ],
      suits: 0.6,
    }
  },
}
