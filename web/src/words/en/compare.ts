/** What the history page says of a comparison: the catalogue's sentences about music that changed, loaded with that page. */
import type {
  BarChange,
  DecisionKind,
  Difference,
  LedgerEntry,
  Length,
  PartSpec,
  WholeChange,
} from '@chartloft/shared-theory'
import { withSigns } from '../../look/note-names.js'
import { capital, listed, plural } from './counting.js'
import { DECISIONS } from './decisions.js'
import { details } from './details.js'
import { history } from './history.js'

/** 'B7♯9', 'Dm7♭5'. */
const chordText = (symbol: string): string =>
  withSigns(symbol).replace(/[b#](?=\d)/g, (sign) => (sign === 'b' ? '♭' : '♯'))
const chords = (symbols: readonly string[]): string => symbols.map(chordText).join(' ')
const time = (seconds: number): string => {
  const whole = Math.round(seconds)
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`
}

const INTERVALS = [
  'unison',
  'half step',
  'whole step',
  'minor third',
  'major third',
  'fourth',
  'tritone',
  'fifth',
  'minor sixth',
  'major sixth',
  'minor seventh',
  'major seventh',
  'octave',
]

/** 'a whole step up', 'an octave and a fourth down'. */
export function moveWords(semitones: number): string {
  const size = Math.abs(semitones)
  const named = (count: number): string => `${count === 12 ? 'an' : 'a'} ${INTERVALS[count] ?? ''}`
  const octaves = Math.floor(size / 12)
  const rest = size % 12
  const span =
    size <= 12
      ? named(size)
      : [octaves === 1 ? 'an octave' : `${octaves} octaves`, ...(rest > 0 ? [named(rest)] : [])].join(' and ')
  return `${span} ${semitones > 0 ? 'up' : 'down'}`
}

export interface Place {
  /** 'Last chorus, B'. */
  readonly card: string
  /** From 1, within the card. */
  readonly bar: number
}

export const compare = {
  title: 'What changed',
  formLabel: 'Compare two states',
  first: 'Compare',
  second: 'with',
  show: 'Show what changed',
  now: 'Now, as locked',
  heard: 'Now, as you hear it, pencil too',
  nowGroup: 'Now',
  namedGroup: 'Named versions',
  entriesGroup: 'After each change to the music',
  /** An entry in a list to choose from: without the reason that was given. */
  entry: (entry: LedgerEntry): string =>
    entry.command.kind === 'unlock' ? (history.row(entry).split(':')[0] ?? '') : history.row(entry),
  same: 'Choose two different states.',
  noTune: 'There was no tune yet in one of these states. Choose a later one.',
  unknown: 'There is no such entry. Choose two from the lists.',
  whole: 'For the whole piece',
  bars: 'Bar by bar',
  before: 'Before',
  after: 'After',
  swap: 'The other way round',
  showAll: (count: number): string => `Show all ${count} places`,
  more: (count: number): string => `and ${plural(count, 'more bar')}`,
  /** The count that comes first. */
  count({ changed, added, gone, alike }: Readonly<Record<'changed' | 'added' | 'gone' | 'alike', number>>): string {
    const parts = [
      ...(changed > 0 ? [`${plural(changed, 'bar')} changed`] : []),
      ...(added > 0 ? [`${plural(added, 'bar')} new`] : []),
      ...(gone > 0 ? [`${plural(gone, 'bar')} gone`] : []),
    ]
    if (parts.length === 0) return 'No bar has other chords or other notes.'
    return `${capital(listed(parts))}; ${plural(alike, 'bar')} as before.`
  },
  nothing: 'The music is the same in both.',
  beside: 'Bars only moved to another key, metre, tempo or place are not counted as changed.',

  place: ({ card, bar }: Place, last?: Place): string =>
    last === undefined || (last.card === card && last.bar === bar)
      ? `${card}, bar ${bar}`
      : last.card === card
        ? `${card}, bars ${bar}–${last.bar}`
        : `${card}, bar ${bar} to ${last.card}, bar ${last.bar}`,
  inBar: (bar: number, text: string): string => `Bar ${bar}: ${text}`,
  again: (times: number): string => (times === 1 ? 'the same in the repetition' : `the same in ${times} repetitions`),
  stretch(kind: Exclude<BarChange['kind'], 'changed'>, before: number, after: number): string {
    if (kind === 'added') return after === 1 ? 'a new bar' : `${after} new bars`
    if (kind === 'gone') return before === 1 ? 'this bar is gone' : `these ${before} bars are gone`
    return before === after
      ? `other music, ${plural(after, 'bar')}`
      : `other music, ${plural(after, 'bar')} where there ${before === 1 ? 'was' : 'were'} ${before}`
  },
  /** One thing that differs in a bar. `beat` says where a tick stands. */
  difference(difference: Difference, beat: (tick: number) => number): string {
    switch (difference.kind) {
      case 'chords':
        return `${chords(difference.before) || 'no chord'} became ${chords(difference.after) || 'no chord'}`
      case 'chord-time':
        return `${chordText(difference.symbol)} comes on beat ${beat(difference.after)}, not ${beat(difference.before)}`
      case 'melody-moved':
        return `melody ${moveWords(difference.semitones)}`
      case 'melody-rhythm':
        return 'melody in another rhythm'
      case 'melody-note':
        return `melody ${withSigns(difference.before)} became ${withSigns(difference.after)} on beat ${beat(difference.tick)}`
      case 'melody-other':
        return 'another melody'
      case 'melody-added':
        return 'the melody is here now'
      case 'melody-gone':
        return 'no melody here now'
      case 'mark':
        return difference.after === undefined
          ? `“${difference.before ?? ''}” no longer stands here`
          : `“${difference.after}” stands here${difference.before === undefined ? '' : `, not “${difference.before}”`}`
      case 'fermata-added':
        return 'held with a fermata'
      case 'fermata-gone':
        return 'no fermata'
      case 'slows-added':
        return 'slows down here'
      case 'slows-gone':
        return 'no longer slows down here'
      case 'bars':
        return `${plural(difference.before, 'bar')} became ${difference.after}`
    }
  },
  differences: (texts: readonly string[]): string => capital(texts.join('; ')),

  /** What is said once: a heading word and a sentence. */
  topic: {
    tune: 'Tune',
    key: 'Key',
    metre: 'Metre',
    feel: 'Feel',
    tempo: 'Tempo',
    length: 'Length',
    'part-added': 'Line-up',
    'part-gone': 'Line-up',
    'part-changed': 'Line-up',
    lead: 'Line-up',
    voicings: 'Voicings',
    'pass-added': 'Running order',
    'pass-gone': 'Running order',
    'pass-order': 'Running order',
    'pass-changed': 'Running order',
  } satisfies { readonly [kind in Exclude<WholeChange['kind'], 'choice'>]: string },
  choice(decision: DecisionKind, place: string): string {
    return place === '' ? DECISIONS[decision] : `${DECISIONS[decision]}, ${place}`
  },
  choiceBecame(before: string | undefined, after: string | undefined, isEdited: boolean): string {
    if (isEdited) return `${withSigns(after ?? before ?? '')}, edited by hand`
    if (before === undefined) return withSigns(after ?? '')
    if (after === undefined) return `no longer chosen (it was ${withSigns(before)})`
    return `${withSigns(before)} became ${withSigns(after)}`
  },
  became: (before: string, after: string): string => `${before} became ${after}`,
  moved: (text: string, semitones: number): string => (semitones === 0 ? text : `${text}, ${moveWords(semitones)}`),
  from: (text: string, place: string): string => `${text}, from ${place} on`,
  only: (text: string, place: string): string => `${text}: ${place}`,
  length(before: Length, after: Length): string {
    const count =
      before.bars === after.bars
        ? `${plural(after.bars, 'bar')} as before`
        : `${plural(before.bars, 'bar')} became ${after.bars}`
    return Math.round(before.seconds) === Math.round(after.seconds)
      ? `${count}, ${time(after.seconds)} as before`
      : `${count}; ${time(before.seconds)} became ${time(after.seconds)}`
  },
  partAdded: ({ name }: PartSpec): string => `${name} joins`,
  partGone: ({ name }: PartSpec): string => `${name} no longer plays`,
  partChanged: (before: PartSpec, after: PartSpec): string =>
    before.name === after.name
      ? `${after.name}: ${details.roles[before.role]} before, now ${details.roles[after.role]}`
      : `${before.name} became ${after.name}`,
  lead: (before: PartSpec, after: PartSpec): string => `${after.name} has the tune, not ${before.name}`,
  voicings: (part: string, places: number): string =>
    `${part}, set by hand or given back in ${plural(places, 'place')}`,
  passAdded: (name: string, bars: number): string => `${name} is new, ${plural(bars, 'bar')}`,
  passGone: (name: string, bars: number): string => `${name} is gone, ${plural(bars, 'bar')}`,
  passOrder: (names: readonly string[]): string => `it goes ${names.join(', ')}`,
  passChanged: (name: string, before: string, after: string): string =>
    before === after
      ? `${name} is played another way`
      : `${name}: ${before || 'as usual'} became ${after || 'as usual'}`,

  stood: {
    title: (seq: number): string => `After entry ${seq}`,
    called: (name: string): string => `“${name}”`,
    choices: 'Choices',
    place: (place: string): string => (place === '' ? '' : `, ${place}`),
    undecided: 'not locked yet',
    why: (why: string): string => `“${why}”`,
    key: 'Key',
    keyAs: (key: string, isWritten: boolean): string => (isWritten ? `${key}, as the tune was written` : key),
    lineup: 'Line-up',
    order: 'Running order',
    length: 'Length',
    lengthOf: (bars: number, seconds: number): string => `${plural(bars, 'bar')}, ${time(seconds)}`,
    tune: 'Tune',
    noTune: 'There was no tune yet.',
    bars: 'The bars',
    showBars: 'Show the bars as they were',
    previous: 'The entry before',
    next: 'The entry after',
    compareNow: 'Compare with now',
    comparePrevious: 'What this entry changed',
    isNow: 'This is how the board stands now.',
  },
  hear: {
    title: 'Hear it',
    from: 'Hear it from',
    play: 'Hear it as it stood',
    /** On a place of a comparison; `side` is 'Before' or 'After'. */
    side: (place: string, side: string): string => `Hear ${place}: ${side.toLowerCase()}`,
    sideShort: 'Hear it',
    stop: 'Stop',
    working: 'Getting ready …',
    left: (seconds: number): string => `${time(Math.max(0, seconds))} left`,
    note: 'On this page only: the others hear nothing of it, and nothing on the board changes.',
  },
} as const
