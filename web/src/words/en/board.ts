/** The board: title, what is left to settle, contour, running order; and the wishes of a desk. */
import type { DecisionKind } from '@chartloft/shared-theory'
import type { SlotStatus } from '../../state/slots.js'
import { capital, counted, halfSteps, moment, plural } from './counting.js'
import { DECISIONS, STATUS } from './decisions.js'

export const board = {
  sub(facts: { key: string; bars: number; form: string; groove?: string; metre?: string; bpm?: number }): string {
    const how = [facts.groove, facts.metre ? `in ${facts.metre}` : ''].filter((part) => part).join(' ')
    return [
      facts.key,
      `${plural(facts.bars, 'bar')} ${facts.form}`.trim(),
      how,
      facts.bpm ? `${Math.round(facts.bpm)} beats a minute` : '',
    ]
      .filter((part) => part)
      .join(', ')
  },
  by: (composer: string): string => `By ${composer}.`,
  rights: {
    unknown: 'Whose tune it is has not been said yet.',
    own: 'The band’s own tune.',
    'public-domain': 'Public domain.',
    licensed: 'Somebody else’s tune, with permission.',
  },
  iPlay: 'I play',
  iPlayNothing: 'nothing yet',
  iPlayOther: 'something else …',
  iPlayThis: 'What you play',
  hearPart: 'Hear only my part',
  readPart: 'My chart',
  hereNow: 'Here now',
  you: 'you',
  leads: 'leads',
  left: (count: number): string =>
    count === 0
      ? 'Everything is settled'
      : `${capital(counted(count))} ${count === 1 ? 'thing' : 'things'} left to settle`,
  decide: (kind: DecisionKind, status: SlotStatus): string => `${DECISIONS[kind]}, ${STATUS[status]}`,
  votesSoFar: (voters: number): string => (voters === 0 ? 'No votes yet' : `${plural(voters, 'vote')} so far`),
  closes: (at: number): string => `Closes ${moment.format(at)}`,
  allLocked: 'Print the charts whenever you like.',
  contour: 'The whole piece in time',
  listenFrom: (bar: number): string => `Listen from bar ${bar}`,
  listenFromSection: (letter: string, pass: string, bar: number): string =>
    `Listen from ${letter}, ${pass}, bar ${bar}`,
  pass(kind: string, turn: number, turns: number): string {
    if (kind === 'opening') return 'Opening'
    if (kind === 'ending') return 'Ending'
    if (kind === 'verse') return turns > 1 ? `Verse ${turn + 1}` : 'Verse'
    if (kind === 'solo') return turns > 1 ? `Solos ${turn + 1}` : 'Solos'
    if (turns === 1) return 'Chorus'
    if (turn === 0) return 'First chorus'
    if (turn === turns - 1) return 'Last chorus'
    return `${capital(['first', 'second', 'third', 'fourth', 'fifth', 'sixth'][turn] ?? `chorus ${turn + 1}`)} chorus`
  },
  card(letter: string, turn: number, turns: number): string {
    if (turns < 2 || turn === 1) return letter
    return turn === turns ? `last ${letter}` : `${letter} again`
  },
  barsFrom: (first: number, last: number, time: string): string =>
    first === last ? `bar ${first}, from ${time}` : `bars ${first}–${last}, from ${time}`,
  bars: (count: number): string => plural(count, 'bar'),
  times: (count: number): string => (count === 1 ? '' : count === 2 ? ', twice' : `, ${counted(count)} times`),
  keyFrom: (now: string, before: string): string => `${now}, from ${before}`,
  chordsOf: (card: string, pass: string): string => `${card}, ${pass}, chords`,
  showBars: 'Show the bars',
  hideBars: 'Hide the bars',
  asInFirst: 'chords as in the first chorus',
  solo: (who: string): string => `${who} solos`,
  trading: (bars: number): string => `trading ${plural(bars, 'bar')} with the drums`,
  /** Before who plays it: 'tune: Tenor sax'. */
  tuneWith: 'tune',
  onCue: 'on cue',
  isHere: (name: string): string => `${name} is here`,
  moveEarlier: 'earlier',
  moveLater: 'later',
  move: 'move',
  movePass: (pass: string): string => `Move ${pass} `,
  moved: (pass: string, place: number): string => `${pass} is now number ${place} in the running order.`,
  changed: 'changed',
  added: 'new bar',
  pencilled: 'pencilled',
  comment: (pin: number, bar: number): string => `Comment ${pin}, at bar ${bar}`,
  openPlace: 'Ask for new chords here',
  openLift: 'Ask for a lift here',
  legendChanged: 'differs from the tune as written',
  legendPencilled: 'pencilled, not locked',
  legendAdded: 'bar added',
  memberFirst: 'Press play: the band listens with you.',
  joinAt: (bar: number): string => `Press play: the band is at bar ${bar}.`,
  joinNote: 'You come in where they are. Choose Alone whenever you want your own place and tempo.',
  noTune: 'No tune yet',
  noTuneMember: 'The leader has not brought a tune yet. This page shows it as soon as it is here.',
  stale: 'the tune changed here since',
  fermata: 'fermata',
  issues: (count: number): string => `${plural(count, 'thing')} to look at`,
} as const

export const wish = {
  heading: 'What to look for',
  fields: { distance: 'From the tune', bars: 'Length', rate: 'Chords a bar', semitones: 'Lift by' },
  any: { distance: 'any distance', bars: 'any length', rate: 'any number', semitones: 'any step' },
  answer(field: 'distance' | 'bars' | 'rate' | 'semitones', answer: string | number): string {
    if (typeof answer === 'string') return answer
    if (field === 'bars') return plural(answer, 'bar')
    if (field === 'rate') return counted(answer)
    return `${answer > 0 ? 'up' : 'down'} ${halfSteps(Math.abs(answer))}`
  },
  more: 'Show me more',
  noMore: 'There are no more answers of these kinds.',
} as const
