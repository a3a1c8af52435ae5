/** Vamp: home and its neighbour in turn while somebody plays on, and on a cue the last chord. */
import { laidIn, lengthsWished } from '../bars.js'
import { chordInKey } from '../key-colour.js'
import { shown } from '../lift/words.js'
import { MORE_VAMPS, VAMPS } from '../opening/vamp.js'
import { heldNote } from './close.js'
import { addedBar, barsAsked, type EndingIdea, heldWord, lengthInWords } from './idea.js'

export const vamp: EndingIdea = {
  id: 'vamp',
  rule: 'EN5',
  energy: 0.1,
  distance: 0.3,
  difficulty: 0.15,
  variants: ({ colour }) => {
    const forms = VAMPS[colour].map(({ id }) => id)
    const [usual = '', ...others] = forms
    return [{ bars: 8, form: usual }, { bars: 4, form: usual }, ...others.map((form) => ({ bars: 8, form }))]
  },
  wished: ({ colour }, wish) => {
    const forms = VAMPS[colour].map(({ id }) => id)
    const lengths = lengthsWished(wish, [16, 2, 12, 6]).filter((bars) => bars % 2 === 0)
    const more = MORE_VAMPS[colour].slice(0, 2 * (wish.more ?? 0)).map(({ id }) => ({ bars: 8, form: id }))
    return [
      ...lengths.flatMap((bars) =>
        forms.slice(0, bars === wish.bars ? forms.length : 1).map((form) => ({ bars, form })),
      ),
      ...more,
    ]
  },
  write: (close, params) => {
    const count = barsAsked(params, 2)
    if (typeof count === 'string') return { refused: count }
    if (count % 2 !== 0) return { refused: `A vamp goes round in twos; ${lengthInWords(count)} would stop half way.` }
    const forms = [...VAMPS[close.colour], ...MORE_VAMPS[close.colour]]
    // A plan may carry the form of another key: the usual one stands in for it.
    const form = forms.find(({ id }) => id === params['form']) ?? forms[0]
    if (!form) return { refused: 'There is no vamp for this key.' }
    const [semitones, suffix, bass] = form.away
    const away = chordInKey(close.key, semitones, suffix, bass)
    const bars = Array.from({ length: count }, (_, index) => {
      const bar = addedBar(close, [index % 2 === 0 ? close.goal : away])
      if (index > 0) return bar
      const melody = close.held ? [heldNote(close.held, bar.lengthTicks)] : []
      return { ...bar, chords: laidIn({ ...bar, chords: [] }, [close.goal]), melody, mark: 'on cue' }
    })
    const pair = `${shown(close.goal)}–${shown(away)}`
    return {
      bars: [...bars, ...close.home],
      title: `Vamp ${pair} on cue, ${lengthInWords(count)}`,
      summary: `${shown(close.goal)} and ${shown(away)} go round under a last solo; ${heldWord(close)} stops after one bar and comes back on the cue.`,
      reason: [
        { rule: 'EN5', text: `two bars that go round: ${pair}, as often as the leader likes` },
        { rule: 'EN2', text: `${lengthInWords(count)} before the last ${shown(close.goal)}` },
      ],
      suits: (form === forms[0] ? 0.74 : 0.6) - (count < 8 ? 0.06 : 0),
    }
  },
}
