/** Every sentence the pages say, in one place, so that it can be read as a whole and translated. */
import type { DecisionKind, HandEdit, Issue, LedgerEntry, Slot } from '@chartloft/shared-theory'
import type { NoticeCode } from '@chartloft/shared-theory/board'
import { withSigns } from './look/chord-symbol.js'
import type { Line } from './sync/connection.js'
import type { Kept } from './sync/saved.js'
import type { EditPlace } from './state/bar-number.js'
import type { SlotStatus } from './state/slots.js'
import type { Deed } from './state/steps.js'

const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`
const COUNTED = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
]
const counted = (count: number): string => COUNTED[count] ?? String(count)
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
/** 'piano, bass and drums'. */
const listed = (names: readonly string[], and: 'and' | 'or' = 'and'): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} ${and} ${names.at(-1) ?? ''}`
const halfSteps = (count: number): string => (count === 1 ? 'a half step' : `${counted(count)} half steps`)
const date = new Intl.DateTimeFormat(undefined, { weekday: 'long', day: 'numeric', month: 'long' })
const printDate = new Intl.DateTimeFormat(undefined, { day: 'numeric', month: 'short', year: 'numeric' })
const moment = new Intl.DateTimeFormat(undefined, { weekday: 'long', hour: '2-digit', minute: '2-digit' })
const dateTime = new Intl.DateTimeFormat(undefined, {
  day: 'numeric',
  month: 'long',
  hour: '2-digit',
  minute: '2-digit',
})

const DECISIONS: { readonly [kind in DecisionKind]: string } = {
  groove: 'Groove',
  opening: 'Opening',
  harmony: 'New harmony',
  lift: 'Lift',
  ending: 'Ending',
}
const QUESTIONS: { readonly [kind in DecisionKind]: string } = {
  groove: 'Which groove carries it?',
  opening: 'How does it begin?',
  harmony: 'Which chords here?',
  lift: 'Does the key lift, and where?',
  ending: 'How does it end?',
}
/** The same, for people who see only the question and not the board. */
const POLL_QUESTIONS: { readonly [kind in DecisionKind]: (title: string) => string } = {
  groove: (title) => `Which groove should carry “${title}”?`,
  opening: (title) => `How should “${title}” begin?`,
  harmony: (title) => `Which chords suit “${title}” best here?`,
  lift: (title) => `Should the key of “${title}” lift?`,
  ending: (title) => `How should “${title}” end?`,
}
const STATUS: { readonly [status in SlotStatus]: string } = {
  open: 'open',
  voting: 'being voted on',
  locked: 'locked',
}
const CLOSED: { readonly [code: number]: string } = {
  4400: 'The server did not understand this page. Reload it; what was saved is safe.',
  4401: 'This link was taken back or has run out. Ask the leader for a new one.',
  4404: 'There is no such board any more.',
  4408: 'The connection is too slow to keep up. Reload when it is better; what was saved is safe.',
  4413: 'That was more than the server takes at once. Reload the page; what was saved is safe.',
  4429: 'Too much came from this page at once. Wait a moment, then reload.',
}
const NOTICES: { readonly [code in NoticeCode]: string } = {
  disk: 'The server cannot write to its disk. Your edits stay here and go through once it can.',
  draining: 'The server restarts. The page comes back by itself.',
  near_limit: 'This board’s draft is nearly full. Remove old comments or hand edits.',
  too_large: 'That was too large for the server and was not taken.',
  too_fast: 'That was too much at once; the server asks to slow down.',
  too_slow: 'The connection is too slow to keep up; it starts again.',
  bad_message: 'The server could not read what this page sent; it starts again.',
  revoked: 'This link was taken back. Ask the leader for a new one.',
  forbidden: 'That is not yours to change.',
  deleted: 'The leader deleted this board.',
}

function editWords(edit: HandEdit): string {
  switch (edit.kind) {
    case 'chord':
      return withSigns(edit.symbol)
    case 'melody':
      return 'the tune'
    case 'voicing':
      return 'a voicing'
    case 'bars':
      return `${plural(edit.bars, 'bar')}`
  }
}
/** What an edit says, where a word can say it. */
function valueWords(edit: HandEdit): string | undefined {
  if (edit.kind === 'chord') return withSigns(edit.symbol)
  return edit.kind === 'bars' ? plural(edit.bars, 'bar') : undefined
}
function inPlace({ bar, beat, of }: EditPlace): string {
  if (of) return of === 'section' ? ' for that section' : ` for the ${of}`
  if (bar === undefined) return ''
  return ` in bar ${bar}${beat === undefined ? '' : `, beat ${beat}`}`
}
function rewrittenWords(edit: HandEdit | undefined, { bar, beat, of }: EditPlace): string {
  if (of) return of === 'section' ? 'how long a section is' : `how long the ${of} is`
  const where =
    bar === undefined
      ? edit && typeof edit.at === 'object' && 'bar' in edit.at
        ? `bar ${edit.at.bar + 1} of that section`
        : 'the same place'
      : `bar ${bar}${beat === undefined ? '' : `, beat ${beat}`}`
  return edit?.kind === 'melody' ? `the tune in ${where}` : edit?.kind === 'voicing' ? `a voicing in ${where}` : where
}

export const words = {
  name: 'Chartloft',
  skip: 'Skip to the page',
  pagesLabel: 'Pages',
  pages: {
    board: 'Board',
    listen: 'Listen',
    charts: 'Charts',
    polls: 'Polls',
    people: 'People',
    peopleRest: ' & links',
    history: 'History',
    band: 'Band and key',
  },
  cancel: 'Cancel',
  close: 'Close',
  loading: 'Opening the board',
  loadingPage: 'Opening the page',
  undo: 'Undo',
  redo: 'Redo',
  stepOf: (way: 'undo' | 'redo', what: string): string => `${way === 'undo' ? 'Undo' : 'Redo'}: ${what}`,
  stepped: (way: 'undo' | 'redo', what: string): string => `${way === 'undo' ? 'Undone' : 'Done again'}: ${what}.`,
  deed(deed: Deed, place: EditPlace): string {
    switch (deed.kind) {
      case 'edit':
        return `${editWords(deed.edit)}${inPlace(place)}`
      case 'unedit':
        return `putting back ${deed.edit.kind === 'chord' ? `the chord${inPlace(place)}` : `${editWords(deed.edit)}${inPlace(place)}`}`
      case 'try':
        return `“${deed.title}” in place`
      case 'stop-trying':
        return 'putting back what was there'
      case 'take-mine':
        return 'choosing between two edits'
      case 'comment':
        return 'what you said at a bar'
      case 'other':
        return 'the last edit'
    }
  },
  merge: {
    title: 'While you could not hear each other',
    rewrote(
      { mineStands }: { readonly mineStands: boolean },
      who: string,
      place: EditPlace,
      { mine, theirs }: { readonly mine: HandEdit | undefined; readonly theirs: HandEdit | undefined },
    ): string {
      const what = rewrittenWords(mine, place)
      const [yours, others] = [mine && valueWords(mine), theirs && valueWords(theirs)]
      if (mineStands) {
        const stands = yours ? `your ${yours} stands` : 'yours stands'
        return `Two people rewrote ${what}: ${stands}; ${others ? `${who}’s was ${others}` : `${who}’s gives way`}.`
      }
      const stands = others ? `${who}’s ${others} stands` : `${who}’s stands`
      return `Two people rewrote ${what}: ${stands}; ${yours ? `yours was ${yours}` : 'yours is kept here'}.`
    },
    tried(
      { mineStands }: { readonly mineStands: boolean },
      who: string,
      kind: DecisionKind | undefined,
      { mine, theirs }: { readonly mine: string | undefined; readonly theirs: string | undefined },
    ): string {
      const what = kind ? `for “${QUESTIONS[kind]}”` : 'at one place'
      const said = (title: string | undefined) => (title ? `“${title}”` : 'answer')
      return mineStands
        ? `Two people put an answer in place ${what}: your ${said(mine)} stands; ${who}’s ${theirs ? `was ${said(theirs)}` : 'gives way'}.`
        : `Two people put an answer in place ${what}: ${who}’s ${said(theirs)} stands; yours was ${said(mine)}.`
    },
    began: (who: string, title: string | undefined): string =>
      `Two people edited ${title ? `“${title}”` : 'the same answer'}: yours stands in every bar both rewrote; ${who}’s other bars are in it too.`,
    takeMine: 'Take yours',
    takeTheirs: (who: string): string => `Take ${who}’s`,
    leave: 'Leave it so',
    /** After the merge, what the rules found anew. */
    rules: 'Put together, the rules find:',
  },
  opened: {
    kept: 'No network: this is the board as this browser last saw it. Edits to the draft wait here; locks and votes need a network.',
  },
  working: 'Working it out',
  kept(kept: Kept, line: Line): string {
    if (line.kind === 'connecting') return 'Connecting'
    if (kept.state === 'offline') {
      return kept.waiting > 0 ? `Offline, ${plural(kept.waiting, 'edit')} waiting` : 'Offline'
    }
    return kept.state === 'saving' ? 'Saving' : 'Saved'
  },
  closed: (code: number): string => CLOSED[code] ?? 'The server closed the connection. Reload the page.',
  notice: (code: NoticeCode, message: string): string => NOTICES[code] ?? message,
  notDone: (kind: string): string =>
    kind === 'lock' ? 'Not locked.' : kind === 'openPoll' ? 'The vote was not opened.' : 'Nothing was changed.',
  unexpected: (message: string): string => `Something went wrong: ${message}`,
  titleOf: (page: string, board?: string): string => [page, board, 'Chartloft'].filter((part) => part).join(' · '),

  decision: (kind: DecisionKind): string => DECISIONS[kind],
  question: (kind: DecisionKind): string => QUESTIONS[kind],
  pollQuestion: (kind: DecisionKind, title: string): string => POLL_QUESTIONS[kind](title),
  status: (status: SlotStatus): string => STATUS[status],
  statusTitle: (status: SlotStatus): string => capital(STATUS[status]),
  asWritten: 'as written',

  join: {
    gone: 'This link does not open a board',
    goneWhy:
      'It may have been taken back, have run out, or lost a piece on the way. Ask whoever sent it for a new one.',
    noSession: 'You need the link to come in',
    noSessionWhy: 'This browser has not been here before. Open the link your leader sent; it is your key.',
    unreachable: 'The server cannot be reached',
    unreachableWhy: 'This browser has nothing of this board to show meanwhile. Open it again when there is a network.',
    home: 'Bring a tune of your own',
    name: 'What does the band call you?',
    plays: 'and you play',
    thatsMe: 'That’s me',
    nobody: 'somebody',
  },

  board: {
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
    hereNow: 'Here now',
    you: 'you',
    leads: 'leads',
    left: (count: number): string =>
      count === 0
        ? 'Everything is settled'
        : `${capital(counted(count))} ${count === 1 ? 'thing' : 'things'} left to settle`,
    decide: (kind: DecisionKind, status: SlotStatus): string => `${DECISIONS[kind]}, ${STATUS[status]}`,
    lockedList: (names: readonly string[]): string => capital(names.map((name) => name.toLowerCase()).join(', ')),
    locked: ', locked',
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
  },

  wish: {
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
  },

  desk: {
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
    facts(
      effects: { addedBars: number; addedSeconds: number; energy: number; difficulty: number } | undefined,
    ): string {
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
    unlockReason: 'Why it opens again',
    unlockNeeds: 'Say why first; everybody will read it.',
    otherPlace: 'Ask the same at another place',
    elsewhere: 'Other places',
  },

  bring: {
    title: 'Bring a tune',
    lead: 'Melody and chords are enough. The arrangement comes later, from all of you.',
    keptHere: 'This board is kept on your band’s own server',
    drop: 'Put a file on these lines',
    formats: 'MusicXML, ABC or MIDI',
    choose: 'Choose a file',
    paste: 'Type or paste it in',
    pasteNote: 'ABC text: letters and chord symbols',
    pasteLabel: 'The tune as ABC text',
    pasteRead: 'Read it',
    pasteSample: 'X:1\nT:My tune\nM:4/4\nL:1/4\nK:F\n"F" c A F A | "Gm7" d B "C7" G2 |]\n',
    demoTitle: 'Or try a demo tune',
    demoNote: 'Written for this. Nothing you do to it can go wrong.',
    demoPick: 'Demo tunes',
    demoOpen: 'Open this demo tune',
    whose: 'Whose tune is it?',
    rights: { own: 'Ours', 'public-domain': 'Public domain', licensed: 'Somebody else’s', unknown: 'Not sure yet' },
    careTitle: 'Before you share it.',
    care: 'Arranging somebody else’s tune usually needs permission from its rights holder. Passing on a recording or printing parts may need a licence too. Rules differ by country, so ask the rights holder or a licensing body.',
    whatThen: 'What happens then',
    steps: [
      {
        status: 'open' as const,
        title: 'You get five questions',
        text: 'Groove, opening, new harmony, lift, ending. For each, the answers that work for this tune, and why.',
      },
      {
        status: 'voting' as const,
        title: 'The band hears and votes',
        text: 'One link, no accounts. Everybody hears each answer in its place, on a phone if need be.',
      },
      {
        status: 'locked' as const,
        title: 'You lock, and the parts are written',
        text: 'Score and a part for every player, transposed, with what changed since the last print.',
      },
    ],
    readTitle: 'This is what we read. Right?',
    reading: (file: string): string => `Reading ${file}`,
    tuneTitle: 'Title',
    tuneNumber: 'The file holds several tunes. Which one?',
    key: 'Key',
    sure: (confidence: number): string => (confidence > 0.75 ? 'sure' : confidence > 0.45 ? 'quite sure' : 'not sure'),
    nextBest: (key: string): string => `; by the notes alone also ${key}`,
    metre: 'Metre',
    noPickup: 'no pickup',
    pickup: (beats: number): string => `pickup of ${beats === 1 ? 'a beat' : plural(beats, 'beat')}`,
    form: 'Form',
    formBars: (sizes: readonly number[]): string =>
      new Set(sizes).size === 1 ? `${plural(sizes[0] ?? 0, 'bar')} each` : `${sizes.join(', ')} bars`,
    melody: 'Melody',
    melodyRange: (low: string, high: string): string => `${low} to ${high}`,
    highest: (bars: readonly number[]): string =>
      `highest in ${bars.length === 1 ? 'bar' : 'bars'} ${bars.slice(0, 4).join(', ')}${bars.length > 4 ? ' and more' : ''}`,
    chords: 'Chords',
    chordCount: (count: number): string => (count === 0 ? 'none; the band will need some' : plural(count, 'change')),
    notSure: 'Not sure',
    broken: 'Could not read it',
    brokenWhat: 'Nothing was kept. Mend the file where it says, or try another.',
    wrongType: (name: string): string =>
      `${name} is no MusicXML, ABC or MIDI file. Save the tune as one of these and bring it again.`,
    tooLarge: (name: string): string => `${name} is larger than a tune can be (1 MB). Bring one tune at a time.`,
    confirm: 'Yes, open the board',
    another: 'Bring another',
    opening: 'Opening the board',
    linksTitle: 'The board is open. Here are its keys.',
    linksNote: 'A link is a key: whoever has it comes in. Keep the leader’s for yourself.',
    go: 'Go to the board',
    here: (bar: number): string => `Bar ${bar}.`,
  },

  links: {
    leader: 'Leader',
    member: 'Band',
    listener: 'Listeners',
    leaderNote: 'Locks, opens votes, prints. For you.',
    memberNote: 'Hears, edits drafts, comments, votes. For your players.',
    listenerNote: 'Hears the options and votes. For anybody you like.',
    copy: 'Copy',
    copied: 'Copied.',
  },

  people: {
    title: 'People and links',
    here: 'Here now',
    you: 'you',
    nobodyElse: 'Only you, for now.',
    me: 'You',
    name: 'Your name',
    plays: 'What you play',
    save: 'Say so',
    savedName: 'Everybody sees your name now.',
    links: 'Links',
    linksNote: 'The server keeps no readable copy of a link. If one is lost, make a new one and take the old one back.',
    issue: 'Make a new link',
    issueRole: 'For',
    issueLabel: 'A note, so that you know it again',
    issuePersonal: 'For one person: every browser of theirs counts as one voter',
    issueButton: 'Make the link',
    issued: 'Here it is. It is shown only now.',
    revoke: 'Take it back',
    revoked: 'taken back',
    personal: 'one person',
    roleNames: { leader: 'Leader', member: 'Band', listener: 'Listener' },
    at: (page: string): string => `on ${page}`,
    delete: 'Delete this board',
    deleteNote:
      'Draft, ledger, votes and links are gone from the server. Backups, downloads and printed paper remain. Type the title to be sure.',
    deleteButton: 'Delete it for good',
    deleted: 'The board is gone.',
  },

  history: {
    title: 'History',
    lead: 'Every change that was accepted, newest first. Nothing is ever overwritten.',
    namedTitle: 'Named versions',
    entriesTitle: 'Every entry',
    noNames: 'None yet. A name makes a state easy to find again.',
    whatStood: 'What stood then',
    compareNow: 'Compare with now',
    actOn: (act: string, seq: number): string => `${act}, after entry ${seq}`,
    showAll: (count: number): string => `Show all ${count} entries`,
    after: (seq: number): string => `after entry ${seq}`,
    restored: 'It stands as it did then. What came in between is still in the history.',
    nameIt: 'Name the board as it stands now',
    nameButton: 'Name it',
    restore: 'Bring it back',
    restoreNote: 'Bringing a state back adds a new entry; nothing after it is lost.',
    named: (name: string): string => `called “${name}”`,
    empty: 'Nothing has happened yet.',
    row: (entry: LedgerEntry): string => ledgerWords(entry),
    when: (at: number): string => dateTime.format(at),
  },

  polls: {
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
    yourVote: 'your vote',
    votesCount: (count: number): string => plural(count, 'vote'),
    points: (count: number): string => plural(count, 'point'),
    rightsTitle: 'Whose music.',
    rights:
      'These clips are for voting. Please ask the band before you pass a recording on: arranging or sharing somebody else’s tune may need permission, and rules differ by country.',
    mark: (value: number): string => (value === 0 ? 'not at all' : value === 5 ? 'very much' : String(value)),
  },

  player: {
    label: 'Player',
    play: 'Play',
    stop: 'Stop',
    loading: 'Getting the band ready',
    join: 'Join: the band is playing',
    toStart: 'To the start',
    together: 'Together',
    alone: 'Alone',
    togetherLabel: 'Playing together',
    leads: (name: string): string => `${name} leads`,
    youLead: 'you lead',
    otherVersion: 'This page hears another version than the band: it has not caught up yet.',
    level: 'My level',
    ears: 'Starts quiet. On headphones, turn up slowly.',
    settings: 'My part and practice',
    hear: 'I hear',
    hearing: { everybody: 'everybody', 'only-me': 'only me', 'without-me': 'without me' },
    myPart: 'My part',
    noPart: 'none yet',
    partLevel: (part: string): string => `${part} louder or softer`,
    partDb: (db: number): string => (db === 0 ? 'as mixed' : `${db > 0 ? '+' : '−'}${Math.abs(db)} dB`),
    loop: 'Loop',
    noLoop: 'none',
    loopOf: (letter: string, from: number, to: number): string => `${letter}, bars ${from}–${to}`,
    tempo: 'Practice tempo',
    slower: 'Slower',
    faster: 'Faster',
    percent: (scale: number): string => `${Math.round(scale * 100)} %`,
    latency: 'My device sounds late by',
    bounce: 'Save what I hear as a sound file',
    bouncing: 'Making the file',
    bounceCancel: 'Leave it',
    bounceNote: 'A WAV of the whole piece at this tempo, with who I hear and my levels.',
    bounced: 'The file is made.',
    bounceCancelled: 'Left: no file was made.',
    bounceNothing: 'There is nothing to play yet.',
    bounceFailed: 'The file could not be made: this device may lack the memory. A shorter piece may work.',
    soundCredits: 'Whose recordings these are',
    latencyLess: 'Less late',
    latencyMore: 'Later',
    latencyMs: (ms: number): string => `${ms < 0 ? `−${-ms}` : ms} ms`,
    latencyNote: 'Wireless speakers and headphones are late. Set it once for each.',
    tapAlong: 'Find it by tapping along',
    tapNow: 'Tap with every click',
    tapHow: 'Listen for the beat, then tap with every click: the button, the space bar, or Enter.',
    tapAgain: {
      'too-few': 'That were too few taps. Try again, and tap until the clicks stop.',
      uneven: 'The taps were too uneven to tell. Try again.',
    },
    tapped: (ms: number): string =>
      Math.abs(ms) < 10
        ? 'It is in time.'
        : `Found: ${ms < 0 ? `${-ms} ms early` : `${ms} ms late`}. It is made up for from the next start.`,
    countIn: 'Count-in',
    countInBars: (bars: number): string => (bars === 0 ? 'none' : plural(bars, 'bar')),
    of: (at: string, total: string): string => `${at} of ${total}`,
  },
  listen: {
    now: 'Now',
    next: 'Next',
    andThen: (letter: string): string => `Then ${letter}`,
    barOf: (bar: number, bars: number): string => `bar ${bar} of ${bars}`,
    asWritten: 'As written',
    concert: 'Concert',
    pitch: 'Pitch shown',
    screenOn: 'Screen stays on',
    notReady: 'Working out the bars',
    none: 'There is no tune yet.',
  },
  charts: {
    title: 'Charts',
    which: 'Chart',
    score: 'Score',
    leadSheet: 'Lead sheet',
    pitch: 'Pitch',
    written: 'As the player reads it',
    concert: 'Concert',
    form: 'Repeats',
    folded: 'Folded, with repeats and jumps',
    linear: 'Every bar written out',
    paper: 'Paper',
    papers: { a4: 'A4', letter: 'Letter' },
    print: 'Print',
    engraving: 'Engraving the chart',
    pageOf: (page: number, pages: number): string => `Page ${page} of ${pages}`,
    take: 'Take home',
    scoreFile: 'Score, MusicXML',
    partFile: (part: string): string => `${part}, MusicXML`,
    midiFile: 'MIDI file',
    abcFile: 'Lead line, ABC',
    boardFile: 'Board file',
    boardFileNote: 'Everything on this board in one file; the leader’s to keep.',
    locked: (count: number): string => `${count} of 5 decisions locked`,
    openNote: 'Open decisions print as the band is trying them now.',
    changedLater: 'The board has changed since. This chart is made anew.',
    roadMap: 'Road map',
    rights:
      'Before you pass charts or a recording on: arranging or sharing somebody else’s tune may need permission from its rights holder, and rules differ by country.',
    rightsTitle: 'Whose music.',
    footer: (title: string, part: string, at: number, version: number): string =>
      `${title} · ${part} · ${printDate.format(at)} · version ${version}`,
    failed: (why: string): string => `The chart could not be engraved: ${why}`,
  },

  details: {
    title: 'Band and key',
    of: (title: string): string => `“${title}”: who plays, in which key, whose tune it is.`,
    open: 'Band and key',
    plays: (names: readonly string[]): string => `${capital(listed(names))} ${names.length === 1 ? 'plays' : 'play'}.`,
    notSaved: 'Not saved. Why stands at the top of the page.',
    saved: 'Saved; everybody has it.',
    unsaved: 'Not saved yet.',
    putBack: 'Put back what was saved',
    overtaken: {
      lineup: 'Somebody else has saved another line-up since you began.',
      roadmap: 'Somebody else has saved another running order since you began.',
    },
    takeTheirs: 'Take theirs',
    keepMine: 'Keep mine',
    halfSteps,

    lineup: 'Line-up',
    lineupNote: 'Everybody named here gets a part, transposed as the instrument reads.',
    ready: 'Start from a ready one',
    readyNames: {
      'solo-piano': 'Solo piano',
      duo: 'Duo, voice and piano',
      trio: 'Piano trio',
      'quartet-lead': 'Quartet, violin leads',
      'quartet-voice': 'Quartet, voice leads',
      'quartet-trumpet': 'Quartet, trumpet leads',
      quintet: 'Quintet, two horns',
      septet: 'Septet, four horns',
    } as { readonly [name: string]: string | undefined },
    instrument: 'Instrument',
    printed: 'Name on the part',
    role: 'In the band',
    roles: {
      lead: 'has the tune',
      horn: 'plays backgrounds',
      voice: 'sings backgrounds',
      chords: 'plays the chords',
      bass: 'plays the bass',
      drums: 'plays the drums',
    },
    families: {
      voice: 'Voices',
      brass: 'Brass',
      reed: 'Reeds',
      flute: 'Flutes',
      string: 'Strings',
      guitar: 'Guitars',
      bass: 'Basses',
      keys: 'Keyboards',
      mallet: 'Mallets',
      drums: 'Drums',
    },
    player: (number: number, name: string): string => `Player ${number}, ${name}`,
    earlier: 'Earlier',
    later: 'Later',
    remove: 'Remove',
    actOn: (act: string, name: string): string => `${act}: ${name}`,
    movedTo: (name: string, place: number): string => `${name} is now number ${place}.`,
    added: (name: string): string => `${name} added.`,
    removed: (name: string): string => `${name} removed.`,
    add: 'One more player',
    addButton: 'Add',
    full: (most: number): string => `A board takes ${most} players at most.`,
    saveLineup: 'Save the line-up',
    faults: {
      nobody: 'Nobody plays yet. Add somebody first.',
      'no-lead': 'Nobody has the tune yet. Say who.',
      'two-leads': 'Two players have the tune. One leads; give the other one backgrounds.',
      'no-name': 'One player has no name to print on the part.',
      'same-name': (name: string): string => `Two parts would be called “${name}”. Give one of them another name.`,
    },
    outOfReach(facts: {
      readonly player: string
      readonly high?: { readonly note: string; readonly by: number }
      readonly low?: { readonly note: string; readonly by: number }
      readonly hasKey?: boolean
      readonly octave?: 'lower' | 'higher'
      readonly other?: string
    }): string {
      const { player, high, low, hasKey, octave, other } = facts
      const out = [
        ...(high ? [`up to ${high.note}, ${halfSteps(high.by)} above`] : []),
        ...(low ? [`down to ${low.note}, ${halfSteps(low.by)} below`] : []),
      ].join(' and ')
      const mends = [
        ...(hasKey ? ['choose another key'] : []),
        ...(other ? [`let the ${other} have the tune`] : []),
        ...(octave ? [`bring the tune in again an octave ${octave} and choose its key then`] : []),
        ...(hasKey || other || octave ? [] : ['give the tune to a player with a wider range']),
      ]
      return `The tune goes ${out} what is comfortable for the ${player}. ${capital(listed(mends, 'or'))}.`
    },

    key: 'Key',
    keyNow: (key: string, isWritten: boolean): string =>
      isWritten ? `It is in ${key}, as the tune was written.` : `It is in ${key} now.`,
    keyWritten: (key: string): string => ` The tune was written in ${key}.`,
    keyNote: 'The whole arrangement counts, a lift at the end too.',
    keyFor: 'A key that suits',
    keyForBand: 'The band',
    keyForSinger: 'A singer',
    keyForOwn: 'a range of my own',
    lowest: 'Lowest comfortable note',
    highest: 'Highest comfortable note',
    emptyRange: 'The highest note must lie above the lowest.',
    keyList: (who: string): string => `Keys for ${who}, best first`,
    away: (semitones: number): string =>
      semitones === 0 ? 'as written' : `${halfSteps(Math.abs(semitones))} ${semitones > 0 ? 'up' : 'down'}`,
    now: 'now',
    useKey: (key: string): string => `Play it in ${key}`,
    moreKeys: 'Show all twelve keys',
    fewerKeys: 'Show the best ones only',
    keySet: (key: string): string => `It is in ${key} now.`,

    rights: 'Whose tune it is',
    rightsSave: 'Say so',

    passes: 'Who plays what, when',
    passesNote: 'Opening and ending come from their own decisions.',
    melody: 'The tune is with',
    usualLead: (name: string): string => `${name}, as usual`,
    soloist: 'Who solos',
    nobody: 'whoever likes',
    times: 'How often',
    timesOf: (times: number): string => (times === 1 ? 'once' : times === 2 ? 'twice' : `${counted(times)} times`),
    onCue: 'until the cue',
    trading: 'Trading with the drums',
    tradingOf: (bars: number): string => (bars === 0 ? 'no' : `${counted(bars)} bars each`),
    backgrounds: 'backgrounds behind it',
    addSolo: 'Add a solo chorus',
    removeSolo: 'Remove',
    savePasses: 'Save who plays when',
    leadsHere: (name: string): string => `${name} has the tune`,
  },

  ledgerNews(entry: LedgerEntry): string | undefined {
    const { kind } = entry.command
    const silent = ['createBoard', 'issueLink', 'revokeLink', 'markPrinted']
    return silent.includes(kind) ? undefined : `${ledgerWords(entry)}, by ${entry.by.name || 'somebody'}.`
  },
  issue: (issue: Issue): string => issue.message,
  dateOf: (at: number): string => date.format(at),
} as const

function ledgerWords({ command }: LedgerEntry): string {
  const slot = command['slot'] as Slot | undefined
  const decision = slot ? DECISIONS[slot.decision] : ''
  const title = (command['option'] as { title?: string } | undefined)?.title
  switch (command.kind) {
    case 'createBoard':
      return `Board opened: ${String(command['title'])}`
    case 'importBoard':
      return 'Brought in from a board file'
    case 'lock':
      return `${decision} locked: ${title ?? ''}`
    case 'unlock':
      return `${decision} unlocked: “${String(command['reason'])}”`
    case 'openPoll':
      return `Vote opened: ${String(command['question'])}`
    case 'closePoll':
      return 'Vote closed'
    case 'setLineup':
      return 'Line-up changed'
    case 'setRoadmap':
      return 'Running order changed'
    case 'nameVersion':
      return `Called “${String(command['name'])}”`
    case 'restoreVersion':
      return `Restored the state after entry ${String(command['toSeq'])}`
    case 'issueLink':
      return `A new ${String(command['role'])} link was made`
    case 'revokeLink':
      return 'A link was taken back'
    case 'setRights':
      return `Rights: ${words.board.rights[command['rights'] as keyof typeof words.board.rights] ?? ''}`
    case 'setTune':
      return 'The tune was brought in again'
    case 'setKey':
      return `Key: ${(command['key'] as string | undefined) ?? 'the tune’s own'}`
    case 'setEdits':
      return 'Hand edits taken over'
    case 'openPlace':
      return `${decision} asked at a new place`
    case 'closePlace':
      return `${decision} no longer asked there`
    case 'markPrinted':
      return `Charts printed, version ${String(command['version'])}`
    default:
      return command.kind
  }
}
