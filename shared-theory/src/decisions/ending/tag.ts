/** Tag: the last four bars three times, the way back under the held note, the third time slower. */
import type { ArrangedBar, Chord } from '../../contract/index.js'
import { chord as parsed } from '../../chords/index.js'
import { beatTicks, fitOf, nameForMelody } from '../../fit/index.js'
import { mod, nameOfPitch, transposeName } from '../../units/index.js'
import { chordInKey } from '../key-colour.js'
import { plainRoot } from '../lift/move.js'
import { shown } from '../lift/words.js'
import { filled, laidIn, lengthsWished, wholeBar } from '../bars.js'
import { type Close, heldNote } from './close.js'
import { barsAsked, type EndingIdea, heldThrough, heldWord, lateTicks, lengthInWords, type Writing } from './idea.js'
import { slower } from './slower.js'
import { inRounds, isOneTuneBar, turnOf, untied } from './turn.js'

/** The last time's tempo, in thousandths of the tempo: from its first bar to the end of the last. Source: from memory. */
const LAST_TIME = [970, 780] as const

const LAST_TIME_SAID = { rule: 'EN10', text: 'the last time from 97 to 78 % of the tempo, then the fermata' } as const

export const tag: EndingIdea = {
  id: 'tag',
  rule: 'EN8',
  energy: 0.1,
  distance: 0.2,
  difficulty: 0.15,
  variants: (close) => {
    const turn = turnOf(close)
    if (typeof turn === 'string') return turn
    const round = roundBars(close, turn)
    const usual = [3, 2].map((times) => ({ times, bars: round * (times - 1), round }))
    const hasThree = close.held !== undefined && hasRoomForThree(close)
    return hasThree ? [...usual, { times: 3, bars: 2 * round, round, iii: true }] : usual
  },
  wished: (close, wish) => {
    const turn = turnOf(close)
    if (typeof turn === 'string') return []
    const round = roundBars(close, turn)
    return lengthsWished(wish, [3 * round, 4 * round])
      .filter((bars) => bars % round === 0)
      .map((bars) => ({ times: 1 + bars / round, bars, round }))
  },
  write: (close, params) => {
    const turn = turnOf(close)
    if (typeof turn === 'string') return { refused: turn }
    const round = roundBars(close, turn)
    const count = barsAsked(inRounds(params, round), round)
    if (typeof count === 'string') return { refused: count }
    if (count % round !== 0)
      return { refused: `A tag goes round in ${round} bars; ${lengthInWords(count)} would stop half way.` }
    const times = 1 + count / round
    const hasThree = params['iii'] === true && hasRoomForThree(close)
    const first = turn[0] as ArrangedBar
    const link = hasThree ? realThree(close, first) : wayBack(close, first)
    if (close.madeHome > 0) return insideTag(close, turn, link, times)
    const rounds = Array.from({ length: times - 1 }, (_, index) => {
      const again = turn.map(asRepeated)
      const isLast = index === times - 2
      const held = untied(linkBars(close, link, linkLength(close, turn)))
      const between = hasThree ? cutShort(close, held) : held
      return [...between, ...(isLast ? [] : again)]
    })
    const lastTime = slower([...turn.map(asRepeated), ...close.home], LAST_TIME)
    const back = link.map(shown).join(' ')
    return {
      bars: [...rounds.flat(), ...lastTime],
      title: `Tag, ${times} times${hasThree ? ` by way of ${back}` : ''}`,
      summary: hasThree
        ? `The last ${lengthInWords(round)} come ${timesInWords(times)}, ${back} leading back; ${heldWord(close)} stops after a beat to let them by.`
        : `The last ${lengthInWords(round)} come ${timesInWords(times)}, ${back} leading back under ${heldWord(close)}; the last time slows down.`,
      reason: [
        {
          rule: 'EN8',
          text: `${back}: ${hasThree ? 'iii, which the last note would not fit,' : 'home over its third,'} then the dominant of ${shown(first.chords[0]?.chord ?? close.goal)}`,
        },
        LAST_TIME_SAID,
      ],
      suits: hasThree ? 0.56 : times === 3 ? 0.73 : 0.62,
    }
  },
}

/** Bars of one round: the turn and those that lead back; where home comes inside the turn's last bar, the turn alone. */
const roundBars = (close: Close, turn: readonly ArrangedBar[]): number =>
  turn.length + (close.madeHome > 0 ? 0 : linkLength(close, turn))

/** Bars that lead back: as many as the turn; where home is one tune bar, that bar, so that a round is the tune's last phrase. */
const linkLength = ({ home }: Close, turn: readonly ArrangedBar[]): number =>
  isOneTuneBar(home) ? home.length : turn.length

/** A real iii needs a beat of home before it and a bar of its own after. */
const hasRoomForThree = ({ colour, madeHome, home }: Close): boolean =>
  colour !== 'minor' && madeHome === 0 && !isOneTuneBar(home)

const timesInWords = (times: number): string => (times === 2 ? 'twice' : `${times} times`)

/** Rounds of bars in whose last one home begins: the way back takes home's place there, until the last time. */
function insideTag(close: Close, turn: readonly ArrangedBar[], link: readonly [Chord, Chord], times: number): Writing {
  const last = wholeBar(turn.at(-1) as ArrangedBar)
  const tick = lateTicks(close)[0] ?? close.homeTick
  const hasRoom = last.lengthTicks - tick >= 2 * beatTicks(last.metre)
  const isAfterHome = last.chords.every(({ chord }) => chord.root === close.goal.root)
  const back = hasRoom && !isAfterHome ? link : link.slice(1)
  const round = untied([...turn.slice(0, -1), { ...last, chords: laidIn(last, back, tick) }].map(asRepeated))
  const lastTime = slower([...turn.slice(0, -1), last].map(asRepeated), LAST_TIME)
  const names = back.map(shown).join(' ')
  return {
    from: close.at - turn.length,
    bars: [...Array.from({ length: times - 1 }, () => round).flat(), ...lastTime],
    title: `Tag, ${times} times`,
    summary: `The last ${turn.length === 1 ? 'bar comes' : `${lengthInWords(turn.length)} come`} ${timesInWords(times)}, ${
      isAfterHome
        ? `${names} at the end leading back; the last time slows down.`
        : `${names} in place of ${shown(close.goal)} until the last time, which slows down.`
    }`,
    reason: [
      { rule: 'EN8', text: `${names} leads back inside the bar where home ${isAfterHome ? 'has come' : 'would come'}` },
      LAST_TIME_SAID,
    ],
    suits: times === 3 ? 0.66 : 0.58,
  }
}

/** iii and the dominant of the turn, as players know them without a melody on top. */
function realThree(close: Close, first: ArrangedBar): readonly [Chord, Chord] {
  const target = first.chords[0]?.chord.root ?? ''
  const five = target === '' ? chordInKey(close.key, 9, '').root : plainRoot(transposeName(target, '5P'), close.key)
  return [chordInKey(close.key, 4, 'm7'), parsed(`${five}7b9`)]
}

/** Home under the last note for its one beat, then the way back without it. */
function cutShort(close: Close, bars: readonly ArrangedBar[]): readonly ArrangedBar[] {
  return bars.map((bar, index): ArrangedBar => {
    if (index > 0 || !close.held) return { ...bar, melody: [] }
    const beat = beatTicks(bar.metre)
    const after = bar.chords.map((placed) => (placed.startTick === 0 ? { ...placed, startTick: beat } : placed))
    const home = { startTick: 0, durationTicks: 0, chord: close.goal }
    return { ...bar, chords: filled([home, ...after], bar.lengthTicks), melody: [heldNote(close.held, beat)] }
  })
}

/** I over its third and the dominant that leads back, suspended where the held note is its 4th; each gives way where the note refuses it. */
function wayBack(close: Close, first: ArrangedBar): readonly [Chord, Chord] {
  const names = close.held ? [nameOfPitch(close.held.name)] : []
  const carries = (chord: Chord): boolean => names.every((name) => fitOf(chord, name) === 'ok')
  const isMinor = close.colour === 'minor'
  const overThird = chordInKey(close.key, 0, isMinor ? 'm' : '', isMinor ? 3 : 4)
  const target = first.chords[0]?.chord.root ?? ''
  const five = target === '' ? close.goal.root : plainRoot(transposeName(target, '5P'), close.key)
  const tritone = target === '' ? close.goal.root : plainRoot(transposeName(target, '2m'), close.key)
  const dominants = [`${five}7`, `${five}7sus`, `${tritone}7`].map((symbol) =>
    names.length > 0 ? nameForMelody(parsed(symbol), names) : parsed(`${five}7b9`),
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
