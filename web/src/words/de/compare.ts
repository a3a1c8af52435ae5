/** What the history page says of a comparison. */
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
import type { CompareWords } from '../catalogue.js'
import type { Place } from '../en/compare.js'
import { capital, listed, plural } from './counting.js'
import { DECISIONS } from './decisions.js'
import { details } from './details.js'
import { history } from './history.js'

const bars = (count: number): string => plural(count, 'Takt', 'Takte')
const chordText = (symbol: string): string =>
  withSigns(symbol).replace(/[b#](?=\d)/g, (sign) => (sign === 'b' ? '♭' : '♯'))
const chords = (symbols: readonly string[]): string => symbols.map(chordText).join(' ')
const time = (seconds: number): string => {
  const whole = Math.round(seconds)
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`
}

const INTERVALS = [
  'eine Prime',
  'einen Halbton',
  'einen Ganzton',
  'eine kleine Terz',
  'eine große Terz',
  'eine Quarte',
  'einen Tritonus',
  'eine Quinte',
  'eine kleine Sexte',
  'eine große Sexte',
  'eine kleine Septime',
  'eine große Septime',
  'eine Oktave',
]

/** 'einen Ganzton höher', 'eine Oktave und eine Quarte tiefer'. */
function moveWords(semitones: number): string {
  const size = Math.abs(semitones)
  const octaves = Math.floor(size / 12)
  const rest = size % 12
  const span =
    size <= 12
      ? (INTERVALS[size] ?? '')
      : [octaves === 1 ? 'eine Oktave' : `${octaves} Oktaven`, ...(rest > 0 ? [INTERVALS[rest] ?? ''] : [])].join(
          ' und ',
        )
  return `${span} ${semitones > 0 ? 'höher' : 'tiefer'}`
}

export const compare: CompareWords = {
  title: 'Was sich geändert hat',
  formLabel: 'Zwei Stände vergleichen',
  first: 'Vergleiche',
  second: 'mit',
  show: 'Zeig, was sich geändert hat',
  now: 'Jetzt, wie festgelegt',
  heard: 'Jetzt, wie ihr es hört, auch mit Bleistift',
  nowGroup: 'Jetzt',
  namedGroup: 'Benannte Fassungen',
  entriesGroup: 'Nach jeder Änderung an der Musik',
  entry: (entry: LedgerEntry): string =>
    entry.command.kind === 'unlock' ? (history.row(entry).split(':')[0] ?? '') : history.row(entry),
  same: 'Wähle zwei verschiedene Stände.',
  noTune: 'In einem dieser Stände gab es noch kein Stück. Wähle einen späteren.',
  unknown: 'Diesen Eintrag gibt es nicht. Wähle zwei aus den Listen.',
  whole: 'Für das ganze Stück',
  bars: 'Takt für Takt',
  before: 'Vorher',
  after: 'Nachher',
  swap: 'Andersherum',
  showAll: (count: number): string => `Alle ${count} Stellen zeigen`,
  more: (count: number): string => `und noch ${bars(count)}`,
  count({ changed, added, gone, alike }: Readonly<Record<'changed' | 'added' | 'gone' | 'alike', number>>): string {
    const parts = [
      ...(changed > 0 ? [`${bars(changed)} geändert`] : []),
      ...(added > 0 ? [`${bars(added)} neu`] : []),
      ...(gone > 0 ? [`${bars(gone)} weg`] : []),
    ]
    if (parts.length === 0) return 'Kein Takt hat andere Akkorde oder andere Töne.'
    return `${capital(listed(parts))}; ${bars(alike)} wie vorher.`
  },
  nothing: 'Die Musik ist in beiden gleich.',
  beside: 'Takte, die nur in eine andere Tonart, Taktart, Tempo oder Stelle gerückt sind, zählen nicht als geändert.',

  place: ({ card, bar }: Place, last?: Place): string =>
    last === undefined || (last.card === card && last.bar === bar)
      ? `${card}, Takt ${bar}`
      : last.card === card
        ? `${card}, Takte ${bar}–${last.bar}`
        : `${card}, Takt ${bar} bis ${last.card}, Takt ${last.bar}`,
  inBar: (bar: number, text: string): string => `Takt ${bar}: ${text}`,
  again: (times: number): string => (times === 1 ? 'ebenso in der Wiederholung' : `ebenso in ${times} Wiederholungen`),
  stretch(kind: Exclude<BarChange['kind'], 'changed'>, before: number, after: number): string {
    if (kind === 'added') return after === 1 ? 'ein neuer Takt' : `${after} neue Takte`
    if (kind === 'gone') return before === 1 ? 'dieser Takt ist weg' : `diese ${before} Takte sind weg`
    return before === after ? `andere Musik, ${bars(after)}` : `andere Musik, ${bars(after)}, vorher ${bars(before)}`
  },
  difference(difference: Difference, beat: (tick: number) => number): string {
    switch (difference.kind) {
      case 'chords':
        return `aus ${chords(difference.before) || 'keinem Akkord'} wird ${chords(difference.after) || 'kein Akkord'}`
      case 'chord-time':
        return `${chordText(difference.symbol)} kommt auf Schlag ${beat(difference.after)}, nicht auf ${beat(difference.before)}`
      case 'melody-moved':
        return `Melodie ${moveWords(difference.semitones)}`
      case 'melody-rhythm':
        return 'Melodie in anderem Rhythmus'
      case 'melody-note':
        return `Melodie: aus ${withSigns(difference.before)} wird ${withSigns(difference.after)} auf Schlag ${beat(difference.tick)}`
      case 'melody-other':
        return 'eine andere Melodie'
      case 'melody-added':
        return 'die Melodie ist jetzt hier'
      case 'melody-gone':
        return 'hier jetzt keine Melodie'
      case 'mark':
        return difference.after === undefined
          ? `„${difference.before ?? ''}“ steht nicht mehr hier`
          : `hier steht „${difference.after}“${difference.before === undefined ? '' : `, nicht „${difference.before}“`}`
      case 'fermata-added':
        return 'mit einer Fermate gehalten'
      case 'fermata-gone':
        return 'keine Fermate'
      case 'slows-added':
        return 'wird hier langsamer'
      case 'slows-gone':
        return 'wird hier nicht mehr langsamer'
      case 'bars':
        return `aus ${plural(difference.before, 'Takt', 'Takten')} ${difference.after === 1 ? 'wird einer' : `werden ${difference.after}`}`
    }
  },
  differences: (texts: readonly string[]): string => capital(texts.join('; ')),

  topic: {
    tune: 'Stück',
    key: 'Tonart',
    metre: 'Taktart',
    feel: 'Gefühl',
    tempo: 'Tempo',
    length: 'Länge',
    'part-added': 'Besetzung',
    'part-gone': 'Besetzung',
    'part-changed': 'Besetzung',
    lead: 'Besetzung',
    voicings: 'Voicings',
    'pass-added': 'Ablauf',
    'pass-gone': 'Ablauf',
    'pass-order': 'Ablauf',
    'pass-changed': 'Ablauf',
  } satisfies { readonly [kind in Exclude<WholeChange['kind'], 'choice'>]: string },
  choice: (decision: DecisionKind, place: string): string =>
    place === '' ? DECISIONS[decision] : `${DECISIONS[decision]}, ${place}`,
  choiceBecame(before: string | undefined, after: string | undefined, isEdited: boolean): string {
    if (isEdited) return `${withSigns(after ?? before ?? '')}, von Hand geändert`
    if (before === undefined) return withSigns(after ?? '')
    if (after === undefined) return `nicht mehr gewählt (vorher ${withSigns(before)})`
    return `aus ${withSigns(before)} wurde ${withSigns(after)}`
  },
  became: (before: string, after: string): string => `aus ${before} wurde ${after}`,
  moved: (text: string, semitones: number): string => (semitones === 0 ? text : `${text}, ${moveWords(semitones)}`),
  from: (text: string, place: string): string => `${text}, ab ${place}`,
  only: (text: string, place: string): string => `${text}: ${place}`,
  length(before: Length, after: Length): string {
    const count =
      before.bars === after.bars
        ? `${bars(after.bars)} wie vorher`
        : `aus ${plural(before.bars, 'Takt', 'Takten')} wurden ${after.bars}`
    return Math.round(before.seconds) === Math.round(after.seconds)
      ? `${count}, ${time(after.seconds)} wie vorher`
      : `${count}; aus ${time(before.seconds)} wurde ${time(after.seconds)}`
  },
  partAdded: ({ name }: PartSpec): string => `${name} kommt dazu`,
  partGone: ({ name }: PartSpec): string => `${name} spielt nicht mehr`,
  partChanged: (before: PartSpec, after: PartSpec): string =>
    before.name === after.name
      ? `${after.name}: vorher ${details.roles[before.role]}, jetzt ${details.roles[after.role]}`
      : `aus ${before.name} wurde ${after.name}`,
  lead: (before: PartSpec, after: PartSpec): string => `${after.name} hat die Melodie, nicht ${before.name}`,
  voicings: (part: string, places: number): string =>
    `${part}, an ${plural(places, 'Stelle', 'Stellen')} von Hand gesetzt oder zurückgegeben`,
  passAdded: (name: string, count: number): string => `${name} ist neu, ${bars(count)}`,
  passGone: (name: string, count: number): string => `${name} ist weg, ${bars(count)}`,
  passOrder: (names: readonly string[]): string => `der Ablauf ist ${names.join(', ')}`,
  passChanged: (name: string, before: string, after: string): string =>
    before === after
      ? `${name} wird anders gespielt`
      : `${name}: aus ${before || 'wie sonst'} wurde ${after || 'wie sonst'}`,

  stood: {
    title: (seq: number): string => `Nach Eintrag ${seq}`,
    called: (name: string): string => `„${name}“`,
    choices: 'Entscheidungen',
    place: (place: string): string => (place === '' ? '' : `, ${place}`),
    undecided: 'noch nicht festgelegt',
    why: (why: string): string => `„${why}“`,
    key: 'Tonart',
    keyAs: (key: string, isWritten: boolean): string => (isWritten ? `${key}, wie das Stück notiert war` : key),
    lineup: 'Besetzung',
    order: 'Ablauf',
    length: 'Länge',
    lengthOf: (count: number, seconds: number): string => `${bars(count)}, ${time(seconds)}`,
    tune: 'Stück',
    noTune: 'Es gab noch kein Stück.',
    bars: 'Die Takte',
    showBars: 'Die Takte zeigen, wie sie waren',
    previous: 'Der Eintrag davor',
    next: 'Der Eintrag danach',
    compareNow: 'Mit jetzt vergleichen',
    comparePrevious: 'Was dieser Eintrag geändert hat',
    isNow: 'So steht das Board jetzt.',
  },
  hear: {
    title: 'Anhören',
    from: 'Hören ab',
    play: 'Hören, wie es war',
    side: (place: string, side: string): string => `${place} hören: ${side.toLowerCase()}`,
    sideShort: 'Anhören',
    stop: 'Stopp',
    working: 'Gleich geht es los …',
    left: (seconds: number): string => `noch ${time(Math.max(0, seconds))}`,
    note: 'Nur auf dieser Seite: Die anderen hören nichts davon, und am Board ändert sich nichts.',
  },
}
