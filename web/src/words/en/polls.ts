/** The poll page and the list of polls. */
import { counted, listed, moment, plural } from './counting.js'

export const polls = {
  title: 'Polls',
  none: 'There is nothing to vote on just now.',
  noneNote: 'When the leader asks something, it appears here.',
  open: 'open',
  closed: 'closed',
  asksYou: (title: string): string => `${title}: the band asks you`,
  how: (count: number): string => `Hear ${counted(count)} answers. Then tap the one you want.`,
  howSeveral: (count: number): string => `Hear ${counted(count)} answers. Then tap every one you like.`,
  howScore: (count: number): string => `Hear ${counted(count)} answers. Then give each a mark.`,
  options: 'The answers',
  inTurn: 'Hear them one after the other',
  hear: (title: string): string => `Hear ${title}`,
  stop: (title: string): string => `Stop ${title}`,
  seconds: (seconds: number): string => `${Math.round(seconds)} s`,
  secondsLeft: (seconds: number): string => `${Math.max(0, Math.round(seconds))} s left`,
  earsTitle: 'Your ears.',
  ears: 'It starts quiet. On headphones, turn up slowly.',
  vote: 'Vote',
  voteFor: (title: string): string => `Vote for “${title}”`,
  voteForSeveral: (count: number): string => `Vote for ${counted(count)}`,
  chooseFirst: 'Choose an answer first.',
  changeUntil: (at: number): string => `You can change it until ${moment.format(at)}. No account.`,
  change: 'You can change it until the vote closes. No account.',
  thanks: 'Your vote is in.',
  thanksFor: (titles: readonly string[]): string => `For ${titles.join(', ')}.`,
  thanksNext: 'The band decides once the vote is closed.',
  changeVote: 'Change my vote',
  backToAll: 'All polls',
  isClosed: 'This vote is closed.',
  /** How a closed vote stands: one answer in front, or several level. */
  stands: (titles: readonly string[]): string =>
    titles.length === 0
      ? 'Nobody voted.'
      : titles.length === 1
        ? `“${titles[0] ?? ''}” is in front; the leader decides.`
        : `${listed(titles.map((title) => `“${title}”`))} are level; the leader decides.`,
  yourVote: 'your vote',
  votesCount: (count: number): string => plural(count, 'vote'),
  points: (count: number): string => plural(count, 'point'),
  rightsTitle: 'Whose music.',
  rights:
    'These clips are for voting. Please ask the band before you pass a recording on: arranging or sharing somebody else’s tune may need permission, and rules differ by country.',
  mark: (value: number): string => (value === 0 ? 'not at all' : value === 5 ? 'very much' : String(value)),
} as const
