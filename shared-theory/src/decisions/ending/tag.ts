/** Tag: the last four bars three times, the way back under the held note, the third time slower. */
import type { ArrangedBar, Chord } from '../../contract/index.js'
import { chord as parsed } from '../../chords/index.js'
import { fitOf, nameForMelody } from '../../fit/index.js'
import { mod, nameOfPitch, transposeName } from '../../units/index.js'
import { chordInKey } from '../key-colour.js'
import { plainRoot } from '../lift/move.js'
import { shown } from '../lift/words.js'
import type { Close } from './close.js'
import { barsAsked, type EndingIdea, heldThrough, heldWord, lengthInWords } from './idea.js'
import { slower } from './slower.js'
import { inRounds, turnOf } from './turn.js'

/** The last time's tempo, in thousandths of the tempo: from its first bar to the end of the last. Source: from memory. */
const LAST_TIME = [970, 780] as const

export const tag: EndingIdea = {
  id: 'tag',
  rule: 'EN8',
  energy: 0.1,
  distance: 0.2,
  difficulty: 0.15,
  variants: (close) => {
    const turn = turnOf(close)
    return typeof turn === 'string'
      ? turn
      : [3, 2].map((times) => ({ times, bars: 2 * turn.length * (times - 1), round: 2 * turn.length }))
  },
  write: (close, params) => {
    const turn = turnOf(close)
    if (typeof turn === 'string') return { refused: turn }
    const round = 2 * turn.length
    const count = barsAsked(inRounds(params, round), round)
    if (typeof count === 'string') return { refused: count }
    if (count % round !== 0)
      return { refused: `A tag goes round in ${round} bars; ${lengthInWords(count)} would stop half way.` }
    const times = 1 + count / round
    const link = wayBack(close, turn[0] as ArrangedBar)
    const rounds = Array.from({ length: times - 1 }, (_, index) => {
      const again = turn.map(asRepeated)
      const isLast = index === times - 2
      return [...linkBars(close, link, turn.length), ...(isLast ? [] : again)]
    })
    const lastTime = slower([...turn.map(asRepeated), ...close.home], LAST_TIME)
    const back = link.map(shown).join(' ')
    return {
      bars: [...rounds.flat(), ...lastTime],
      title: `Tag, ${times} times`,
      summary: `The last ${lengthInWords(round)} come ${times} times, ${back} leading back under ${heldWord(close)}; the last time slows down.`,
      reason: [
        {
          rule: 'EN8',
          text: `${back}: home over its third, then the dominant of ${shown((turn[0] as ArrangedBar).chords[0]?.chord ?? close.goal)}`,
        },
        { rule: 'EN10', text: 'the last time from 97 to 78 % of the tempo, then the fermata' },
      ],
      suits: times === 3 ? 0.73 : 0.62,
    }
  },
}

/** I over its third and the dominant that leads back; each gives way where the held note refuses it. */
function wayBack(close: Close, first: ArrangedBar): readonly [Chord, Chord] {
  const names = close.held ? [nameOfPitch(close.held.name)] : []
  const carries = (chord: Chord): boolean => names.every((name) => fitOf(chord, name) === 'ok')
  const isMinor = close.colour === 'minor'
  const overThird = chordInKey(close.key, 0, isMinor ? 'm' : '', isMinor ? 3 : 4)
  const target = first.chords[0]?.chord.root ?? ''
  const five = target === '' ? close.goal.root : plainRoot(transposeName(target, '5P'), close.key)
  const tritone = target === '' ? close.goal.root : plainRoot(transposeName(target, '2m'), close.key)
  const dominants = [five, tritone].map((root) =>
    names.length > 0 ? nameForMelody(parsed(`${root}7`), names) : parsed(`${root}7b9`),
  )
  return [carries(overThird) ? overThird : close.goal, dominants.find(carries) ?? close.goal]
}

/** The way back over as many bars as the turn has: a chord each half of them. */
function linkBars(close: Close, link: readonly [Chord, Chord], count: number): readonly ArrangedBar[] {
  if (count === 1) return heldThrough(close, [link])
  return heldThrough(
    close,
    Array.from({ length: count }, (_, index) => [link[mod(2 * index < count ? 0 : 1, 2)] as Chord]),
  )
}

/** A bar played again loses what only its first time has. */
function asRepeated(bar: ArrangedBar): ArrangedBar {
  const { mark: _mark, fermataTick: _fermata, ...again } = bar
  return again
}
