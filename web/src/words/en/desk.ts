/** The decision desk: answers, hearing, editing, comments, votes, the lock. */
import type { DecisionKind } from '@chartloft/shared-theory'
import { capital, counted, dateTime, plural } from './counting.js'
import { DECISIONS } from './decisions.js'

export const desk = {
  back: 'Back to the board',
  where: (pass: string, card: string, bar: number): string => `${pass}, ${card}, bar ${bar}`,
  lead: (count: number, comparing: number): string =>
    count === 0
      ? 'Nothing fits here yet.'
      : `${capital(counted(count))} ${count === 1 ? 'answer fits' : 'answers fit'} this tune.${comparing > 0 ? ` You are comparing ${counted(comparing)}.` : ''}`,
  all: 'All of them, best fit first',
  listAll: (count: number): string => `Show all ${count}`,
  longer: (bars: number): string =>
    bars === 0 ? 'as long' : bars > 0 ? `+${plural(bars, 'bar')}` : `${plural(-bars, 'bar')} less`,
  absent: 'What does not work here',
  closePlace: 'No longer ask here',
  hearInPlace: 'Hear in place',
  hearNote: 'a few bars before the change; everybody hears the same. Changing over stays at the same bar.',
  hear: (number: number): string => `Hear ${number} here`,
  hearing: (number: number, bar: number): string => `Playing ${number}, bar ${bar}`,
  hearOption: (number: number): string => `Hear option ${number}`,
  stopTrying: 'Put back what was there',
  nowInPlace: (kind: DecisionKind, title: string): string => `${DECISIONS[kind]}: ${title}, in place for everybody.`,
  aside: 'Kept aside while this is locked. Offered again once it is unlocked.',
  asideAgain: 'Edits that are in the draft but not in place',
  putInPlace: 'Put it in place',
  hearLocked: 'Another answer is locked here. Once it is unlocked, this one can be heard in place.',
  tryingNow: 'in place now',
  facts(effects: { addedBars: number; addedSeconds: number; energy: number; difficulty: number } | undefined): string {
    if (!effects) return ''
    const seconds = Math.round(Math.abs(effects.addedSeconds))
    const span =
      seconds < 90 ? `${seconds} s` : `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')} min`
    const length =
      effects.addedBars === 0
        ? seconds < 2
          ? 'as long as written'
          : `about ${span} ${effects.addedSeconds > 0 ? 'longer' : 'shorter'}`
        : `${plural(Math.abs(effects.addedBars), 'bar')} ${effects.addedBars > 0 ? 'more' : 'less'}${seconds > 0 ? `, about ${span}` : ''}`
    const energy = effects.energy > 0.15 ? 'builds' : effects.energy < -0.15 ? 'settles' : 'keeps level'
    const work = effects.difficulty > 0.66 ? 'hard work' : effects.difficulty > 0.33 ? 'some work' : 'easy'
    return `${length} · ${energy}, ${work}`
  },
  outOfRange: (parts: readonly string[]): string => `Out of comfortable range for ${parts.join(', ')}.`,
  excerpt: (number: number, from: number, to: number): string => `Option ${number}, bars ${from} to ${to}`,
  more: (bars: number): string => `and ${plural(bars, 'more bar')}`,
  rebarred: 'Before and after',
  asItIs: (bar: number): string => `The tune from bar ${bar} as it is`,
  asItBecomes: 'The same bars as they become',
  why: 'The rules behind it',
  talk: 'At a bar',
  say: 'Say something at a bar',
  sayWhat: 'What do you want to say?',
  sayAt: 'Bar',
  send: 'Pin it there',
  resolve: 'Done with it',
  reopen: 'Open it again',
  remove: 'Take it away',
  at: (bar: number): string => `bar ${bar}`,
  atOption: (bar: number, option: number): string => `bar ${bar} of option ${option}`,
  sayAtBar: (bar: number, option: number | undefined): string =>
    option === undefined ? String(bar) : `${bar}, option ${option}`,
  goneTitle: 'At bars that are not played now',
  goneNote: 'They come back with their bars.',
  frame: (sectionId: string): string => `the ${sectionId}`,
  stood: (bar: number, section: string): string => `was bar ${bar} of ${section}`,
  gone: (bar: string): string => `${bar}; its bar is no longer played`,
  editByHand: 'Edit by hand',
  editing: (number: number): string => `Edit option ${number} by hand`,
  editPlace: (bar: number, beat: number): string => `Bar ${bar}, beat ${beat}`,
  putBack: 'Put it back',
  keepDraft: 'Keep my draft',
  handEdited: 'edited by hand',
  noChord: 'This is no chord symbol we know.',
  noIssues: 'The rules have nothing against it.',
  doneEditing: 'Done',
  votes: 'Votes',
  voteIn: 'Your vote is in.',
  poll: 'Ask everybody',
  pollOpen: 'Open the vote',
  pollClose: 'Close the vote',
  pollQuestion: 'The question',
  pollMethod: 'How they vote',
  methods: { single: 'One choice', approval: 'Yes to several', score: 'Nought to five each' },
  pollAudience: 'Who votes',
  audiences: { band: 'The band', everyone: 'The band and listeners', invited: 'The band and invited listeners' },
  pollTally: 'Who sees the count',
  tallies: {
    always: 'Everybody, always',
    afterVote: 'Whoever has voted',
    afterClose: 'Everybody, once it is closed',
  },
  pollByRole: 'Count band and listeners apart',
  pollCloses: 'It closes',
  pollClosesNever: 'when I close it',
  pollClosesDays: (days: number): string => (days === 1 ? 'in a day' : `in ${counted(days)} days`),
  choice: { single: (n: number) => `I choose ${n}`, approval: (n: number) => `I can live with ${n}` },
  scoreOf: (number: number): string => `Your mark for ${number}`,
  of: (count: number, all: number): string => `${count} of ${all}`,
  tallyHidden: 'The count shows after you vote.',
  tallyAfterClose: 'The count shows once the vote is closed.',
  browsers: 'Counted by browser, not by person: one person may hold two.',
  smallTally: 'With few votes, a live count can give away who chose what.',
  band: 'Band',
  listeners: 'Listeners',
  everyone: 'All votes',
  everybodyMay: {
    single: 'Everybody chooses one.',
    approval: 'Everybody may say yes to several.',
    score: 'Everybody marks each from nought to five.',
  },
  lock: (kind: DecisionKind): string => `Lock the ${DECISIONS[kind].toLowerCase()}`,
  lockNote: 'Only you see this. The bars then stay as they are until you unlock them, with a reason.',
  lockWhich: 'Which one',
  lockWhy: 'Why, for everybody to read',
  lockButton: (number: number | undefined): string => (number === undefined ? 'Lock' : `Lock option ${number}`),
  lockFirst: 'Choose an option first',
  lockedBy: (who: string, at: number): string => `Locked by ${who}, ${dateTime.format(at)}`,
  lockedWhy: (why: string): string => `“${why}”`,
  unlock: 'Unlock',
  lockInstead: (number: number): string => `Lock ${number} instead`,
  lockInsteadWhich: 'Or change over at once',
  unlockReason: 'Why it opens again',
  unlockNeeds: 'Say why first; everybody will read it.',
  otherPlace: 'Ask the same at another place',
  elsewhere: 'Other places',
} as const
