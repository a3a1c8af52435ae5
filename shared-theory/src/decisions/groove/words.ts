/** Re-barring in a musician's words. */

/** What each map does to the bar. */
const MAP_WORDS: { readonly [id: string]: string } = {
  '43a': 'the first half of each 4/4 bar stays, the second half goes by in one beat',
  '43b': 'the first half of each 4/4 bar goes by in one beat, the second half stays',
  '43-long': 'each half of a 4/4 bar becomes a bar of 3/4',
  '44-long': 'each bar becomes two: every length is doubled',
  '45a': 'beat one of each 4/4 bar is doubled, and the last two beats make the turn',
  '45b': 'the first half of each 4/4 bar takes three beats, the second half two',
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
  '36': 'two 3/4 bars stand in one of 6/4',
  '37': 'of two 3/4 bars the first takes the four with beat one doubled, the second stays as the three',
  '37b': 'of two 3/4 bars the first takes the four with its last beat doubled, the second stays as the three',
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
