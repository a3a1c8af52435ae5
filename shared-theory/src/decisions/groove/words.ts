/** Re-barring and tempo in a musician's words. */
import type { Metre } from '../../contract/index.js'
import type { Groove } from '../../rhythm/index.js'
import { formatMetre } from '../../units/index.js'

/** What each map does to the bar. */
const MAP_WORDS: { readonly [id: string]: string } = {
  '43a': 'the first half of each 4/4 bar stays, the second half goes by in one beat',
  '43b': 'the first half of each 4/4 bar goes by in one beat, the second half stays',
  '43-long': 'each half of a 4/4 bar becomes a bar of 3/4',
  '44-long': 'each bar becomes two: every length is doubled',
  '45a': 'beat one of each 4/4 bar is doubled, and the last two beats make the turn',
  '45b': 'the first half of each 4/4 bar takes three beats, the second half two',
  '45c': 'the first half of each 4/4 bar stays, the second half takes three beats',
  '46': 'beats one and three of each 4/4 bar are doubled',
  '47': 'of two bars the first stays as the four; in the three the second bar keeps its first half and hurries its second',
  '47b':
    'of two bars the first stays as the four; in the three the second bar hurries its first half and keeps its second',
  '74': 'of two bars the first is squeezed into the three, the second stays as the four',
  '412': 'each quarter becomes a dotted quarter, an eighth off the beat its last third',
  '46-8': 'each half of a 4/4 bar becomes a bar of 6/8',
  '34': 'beat one of each 3/4 bar is doubled',
  '34b': 'the last beat of each 3/4 bar is doubled',
  '35': 'of two 3/4 bars the first stays as the three, the second goes by in two beats',
  '35b': 'of two 3/4 bars the first goes by in two beats, the second stays as the three',
  '36': 'two 3/4 bars stand in one of 6/4',
  '37': 'of two 3/4 bars the first takes the four with beat one doubled, the second stays as the three',
  '37b': 'of two 3/4 bars the first takes the four with its last beat doubled, the second stays as the three',
  '37c': 'of two 3/4 bars the first stays as the three, the second takes the four with its middle stretched',
  '63': 'each 6/4 bar becomes two of 3/4',
  '744a': 'each 7/4 bar becomes two of 4/4: the four stays, the last beat of the three is doubled',
  '744b': 'each 7/4 bar becomes two of 4/4: the four stays, the three stretches to four',
  '38-68': 'two 3/8 bars stand in one of 6/8',
  '11-12': 'the last two eighths of each 11/8 bar take the time of three',
  '36-8': 'the 3/4 bar keeps its lengths and is counted in two',
  '24': 'two 2/4 bars stand in one of 4/4',
  '24d': 'each 2/4 bar becomes one of 4/4: every length is doubled',
  '68-3': 'the 6/8 bar keeps its lengths and is counted in three',
  '68-12': 'two 6/8 bars stand in one of 12/8',
  '12-68': 'each 12/8 bar becomes two of 6/8',
  '124': 'each dotted quarter becomes a quarter, its last third an eighth off the beat',
  '54a': 'the first two beats of each 5/4 bar go by in one, the last two keep the turn',
  '54b': 'the first three beats of each 5/4 bar go by in two, the last two stay',
  '78-7': 'every length of the 7/8 bar is doubled',
  '784a': 'the three eighths of each 7/8 bar become a quarter and two eighths, which makes four beats',
  '784b': 'the last eighth of each 7/8 bar is doubled, which makes four beats',
  '934': 'each dotted quarter of the 9/8 bar becomes a quarter, its last third an eighth off the beat',
  '864': 'two 6/8 bars become one of 4/4, each dotted quarter a quarter',
}

/** A map, or a chain of maps, in words. */
export function mapWords(id: string): string {
  return id
    .split('+')
    .map((stage) => MAP_WORDS[stage] ?? stage)
    .join('; then ')
}

/** What sets a map apart from the others of its route, short enough for a title. */
const MAP_TITLES: { readonly [id: string]: string } = {
  '43a': 'first half kept',
  '43b': 'second half kept',
  '43-long': 'two bars for each',
  '45a': 'beat one doubled',
  '45b': 'halves of three and two',
  '47': 'second bar hurries at its end',
  '47b': 'second bar hurries at its start',
  '34': 'beat one doubled',
  '34b': 'last beat doubled',
  '36-8': 'counted in two',
  '37': 'beat one doubled',
  '37b': 'last beat doubled',
  '24': 'two bars in one',
  '24d': 'lengths doubled',
  '54a': 'first two beats hurried',
  '54b': 'first three beats hurried',
  '744a': 'last beat doubled',
  '744b': 'middle beats stretched',
  '784a': 'third beat lengthened',
  '784b': 'last eighth doubled',
  '864': 'dotted quarters as quarters',
}

/** A map, or a chain of maps, for a title. */
export function mapTitle(id: string): string {
  const words = id.split('+').flatMap((stage) => MAP_TITLES[stage] ?? [])
  return words.join(', ')
}

/** 'quarter = 138', in 6/8 and 12/8 'dotted quarter = 96', in cut time 'half = 92': the beat people count. */
export const tempoWord = (tempoBpm: number, count: Count): string => `${count} = ${tempoNumber(tempoBpm, count)}`

/** The number of that beat a minute. */
export const tempoNumber = (tempoBpm: number, count: Count): string =>
  String(Math.round(tempoBpm * IN_QUARTERS[count] * 10) / 10)

export type Count = 'quarter' | 'dotted quarter' | 'half' | 'eighth'
/** How many of the beat go by in a quarter. */
const IN_QUARTERS: { readonly [count in Count]: number } = {
  quarter: 1,
  'dotted quarter': 2 / 3,
  half: 1 / 2,
  eighth: 2,
}

/** The beat people count in a metre. Source: common practice. */
export function countOf(metre: Metre): Count {
  if (metre.beatType === 2) return 'half'
  if (metre.beatType < 8) return 'quarter'
  return metre.beats % 3 === 0 && metre.beats > 3 ? 'dotted quarter' : 'eighth'
}

/** The same of a groove, which may be counted in two. */
export const countOfGroove = (groove: Groove, metre: Metre): Count =>
  groove.counted ?? countOf(groove.metre === 'any' ? metre : groove.metre)

/** '2/2 (cut time)', else the metre. */
export const metreWord = (metre: Metre): string =>
  metre.beats === 2 && metre.beatType === 2 ? '2/2 (cut time)' : formatMetre(metre)

/** What happens to the bars, short enough for a summary: how many of the old make how many of the new. */
export function wayWords(
  ways: readonly { readonly from: number; readonly to: number }[],
  from: string,
  to: string,
): string {
  if (from === to) return 'each bar becomes two'
  if (ways.some((way) => way.from > way.to)) return `two bars of ${from} make one of ${to}`
  if (ways.some((way) => way.to > way.from)) return `each bar of ${from} makes two of ${to}`
  return `each bar of ${from} becomes one of ${to}`
}
