/** What each groove wants from a tune, and what it gives back: the ranking table, from memory and taste. */
import type { TuneFacts } from './facts.js'

/** One thing about a tune that a groove likes (or, with a negative weight, dislikes). */
export interface Hint {
  /** How true it is of the tune, 0…1. */
  readonly degree: (facts: TuneFacts) => number
  /** Said of the tune, as half a sentence. */
  readonly words: (facts: TuneFacts) => string
  /** Most tunes lack it: it lifts a groove where it is there and does not lower it where it is not. */
  readonly isExtra?: true
}

/** Grooves that are variants of one another: the first options shown are of different kinds. */
export type GrooveKind =
  | 'ballad'
  | 'swing'
  | 'shuffle'
  | 'bossa'
  | 'samba'
  | 'cuban'
  | 'waltz'
  | 'five'
  | 'seven'
  | 'backbeat'
  | 'street'

export interface GrooveHints {
  readonly kind: GrooveKind
  /** 0…1: how readily a jazz band turns to it for a tune it plays another way. */
  readonly usual: number
  /** Weight by hint; negative: dislikes. */
  readonly likes: { readonly [hint in keyof typeof HINTS]?: number }
  /** Half a sentence: what the groove makes of it. */
  readonly gives: string
  /** −1 calms … +1 lifts; 0…1 for the players. */
  readonly energy: number
  readonly difficulty: number
}

/** 0 at `from` or beyond, 1 at `to` or beyond, straight between. */
const ramp = (value: number, from: number, to: number): number => Math.min(1, Math.max(0, (value - from) / (to - from)))
const percent = (share: number): string => `${Math.round(share * 100)} %`
/** 'all', 'nearly all', else '64 %': 'of the notes' follows. */
const most = (share: number): string => (share >= 0.995 ? 'all' : share >= 0.9 ? 'nearly all' : percent(share))
const rounded = (value: number): string => String(Math.round(value * 10) / 10)

function chordWords(f: TuneFacts): string {
  if (f.oneChord >= 0.995) return 'each bar has one chord'
  if (f.oneChord >= 0.75) return 'most bars have one chord'
  return f.isInPairs
    ? `${rounded(f.chordsABar)} chords go by in two bars`
    : `the chords change ${rounded(f.chordsABar)} times a bar`
}

const spanOf = (f: TuneFacts): string => (f.isInPairs ? 'in two bars' : 'a bar')

export const HINTS = {
  sparse: {
    degree: (f) => (f.attacksABar > 0 ? ramp(f.attacksABar, 5, 2.5) : 0),
    words: (f) => `the melody has ${f.attacksABar <= 2.5 ? 'only ' : ''}${rounded(f.attacksABar)} notes ${spanOf(f)}`,
  },
  busy: {
    degree: (f) => ramp(f.attacksABar, 3.5, 6),
    words: (f) => `the melody runs at ${rounded(f.attacksABar)} notes ${spanOf(f)}`,
  },
  held: {
    degree: (f) => ramp(f.held, 0.15, 0.6),
    words: (f) => `${most(f.held)} of the melody is held notes`,
  },
  syncopated: {
    degree: (f) => ramp(f.syncopated, 0.03, 0.25),
    words: (f) => `${percent(f.syncopated)} of the notes are syncopated`,
  },
  onBeat: {
    degree: (f) => (f.attacksABar > 0 ? ramp(f.syncopated, 0.15, 0.03) : 0),
    words: (f) => (f.syncopated < 0.005 ? 'the melody goes with the beat' : 'the melody mostly goes with the beat'),
  },
  short: {
    degree: (f) => ramp(f.short, 0, 0.25),
    words: (f) => `${most(f.short)} of the notes are shorter than an eighth`,
  },
  triplets: {
    isExtra: true,
    degree: (f) => ramp(f.triplets, 0, 0.2),
    words: (f) => `${most(f.triplets)} of the notes are triplets`,
  },
  rolling: { isExtra: true, degree: (f) => (f.isCompound ? 1 : 0), words: () => 'the tune rolls in threes already' },
  slowChords: {
    degree: (f) => ramp(f.chordsABar, 2, 1),
    words: (f) => chordWords(f),
  },
  fastChords: {
    degree: (f) => ramp(f.chordsABar, 1.8, 3),
    words: (f) => `${rounded(f.chordsABar)} chords go by ${f.isInPairs ? 'in two bars' : 'in a bar'}`,
  },
  oneChord: {
    degree: (f) => f.oneChord,
    words: (f) => (f.oneChord >= 0.995 ? 'each bar has one chord' : `${most(f.oneChord)} of the bars have one chord`),
  },
  softSevenths: {
    degree: (f) => f.softSevenths,
    words: (f) => `${most(f.softSevenths)} of its chords are soft ones (∆, m7, m6)`,
  },
  dominants: {
    degree: (f) => ramp(f.dominants, 0.2, 0.7),
    words: (f) => `${most(f.dominants)} of its chords are dominants`,
  },
  diatonic: {
    degree: (f) => ramp(f.diatonic, 0.4, 0.9),
    words: (f) => `${most(f.diatonic)} of its chords stay in the key`,
  },
  riffs: {
    degree: (f) => ramp(f.riffs, 0.1, 0.6),
    words: (f) => (f.riffs >= 0.5 ? 'the same rhythm comes back in most bars' : 'a rhythm keeps coming back'),
  },
  loops: {
    degree: (f) => ramp(f.loops, 0.1, 0.6),
    words: (f) => (f.loops >= 0.5 ? 'its chords go round and round' : 'some of its chords go round and round'),
  },
  minor: { isExtra: true, degree: (f) => (f.isMinor ? 1 : 0), words: () => 'it is in minor' },
  twelveBars: { isExtra: true, degree: (f) => (f.isTwelveBars ? 1 : 0), words: () => 'it has a form of twelve bars' },
  evenSections: {
    degree: (f) => (f.hasEvenSections ? 1 : 0),
    words: () => 'every section has an even number of bars',
  },
  oddSections: {
    degree: (f) => (f.hasEvenSections ? 0 : 1),
    words: () => 'a section with an odd number of bars leaves one bar alone',
  },
  longPickup: {
    degree: (f) => (f.pickupBeats > 1 ? 1 : 0),
    words: (f) => `a pickup of ${rounded(f.pickupBeats)} beats has to be squeezed`,
  },
  ties: {
    degree: (f) => ramp(f.ties, 0.15, 0.6),
    words: (f) => `the melody ties over ${f.ties >= 0.5 ? 'most' : 'many'} bar lines`,
  },
  wide: { isExtra: true, degree: (f) => ramp(f.range, 10, 17), words: (f) => `the melody spans ${f.range} half steps` },
} as const satisfies { readonly [hint: string]: Hint }

export const GROOVE_HINTS: { readonly [grooveId: string]: GrooveHints } = {
  'ballad-even': {
    kind: 'ballad',
    usual: 0.8,
    likes: { sparse: 2, held: 2, wide: 1, short: -1, busy: -2, fastChords: -1, dominants: -1 },
    gives: 'an even, floating ride has room under it',
    energy: -0.6,
    difficulty: 0.2,
  },
  'ballad-swing': {
    kind: 'ballad',
    usual: 0.8,
    likes: { sparse: 2, held: 2, wide: 1, triplets: 1, busy: -2 },
    gives: 'brushes can sweep quietly behind it',
    energy: -0.7,
    difficulty: 0.25,
  },
  'swing-medium': {
    kind: 'swing',
    usual: 1,
    likes: { slowChords: 1, syncopated: 2, riffs: 2, softSevenths: 1, dominants: 1, short: -2 },
    gives: 'a walking bass can lead from chord to chord',
    energy: 0.15,
    difficulty: 0.3,
  },
  'swing-fast': {
    kind: 'swing',
    usual: 0.6,
    likes: { slowChords: 2, syncopated: 1, riffs: 1, short: -3, fastChords: -3 },
    gives: 'the bass can run in four at speed',
    energy: 0.8,
    difficulty: 0.75,
  },
  shuffle: {
    kind: 'shuffle',
    usual: 0.6,
    likes: { twelveBars: 2, dominants: 3, riffs: 3, rolling: 2, softSevenths: -2, held: -1 },
    gives: 'a heavy two and four with long–short eighths drives it',
    energy: 0.4,
    difficulty: 0.25,
  },
  bossa: {
    kind: 'bossa',
    usual: 1,
    likes: {
      held: 3,
      syncopated: 2,
      softSevenths: 2,
      slowChords: 1,
      dominants: -2,
      triplets: -2,
      short: -2,
      riffs: -1,
      rolling: -2,
    },
    gives: 'the cross-stick has room to move around it',
    energy: -0.1,
    difficulty: 0.3,
  },
  samba: {
    kind: 'samba',
    usual: 0.7,
    likes: {
      held: 2,
      sparse: 1,
      syncopated: 1,
      softSevenths: 1,
      fastChords: -3,
      triplets: -2,
      dominants: -1,
      rolling: -2,
    },
    gives: 'the band can run in double time underneath',
    energy: 0.8,
    difficulty: 0.6,
  },
  'afro-12-8': {
    kind: 'cuban',
    usual: 0.5,
    likes: { minor: 1, loops: 2, slowChords: 1, triplets: 1, rolling: 2, fastChords: -2, short: -1 },
    gives: 'the bell and the four dotted beats pull against it',
    energy: 0.5,
    difficulty: 0.7,
  },
  'cha-cha': {
    kind: 'cuban',
    usual: 0.4,
    likes: { minor: 1, loops: 2, syncopated: 1, diatonic: 1, triplets: -3, rolling: -2 },
    gives: 'everything can point to beat four and tie over',
    energy: 0.45,
    difficulty: 0.45,
  },
  'jazz-waltz': {
    kind: 'waltz',
    usual: 0.85,
    likes: { held: 2, slowChords: 2, rolling: 1, softSevenths: 1, short: -2, syncopated: -1 },
    gives: 'it can float over one slow beat a bar',
    energy: 0.1,
    difficulty: 0.35,
  },
  'ballad-6-8': {
    kind: 'ballad',
    usual: 0.45,
    likes: { sparse: 2, held: 2, triplets: 1, diatonic: 1, rolling: 1, busy: -2 },
    gives: 'slow rolling eighths carry it from bar to bar',
    energy: -0.4,
    difficulty: 0.25,
  },
  'five-4': {
    kind: 'five',
    usual: 0.35,
    likes: { oneChord: 2, held: 1, riffs: 1, evenSections: 1, rolling: -2, longPickup: -2, ties: -2, short: -1 },
    gives: 'three and two go round under it',
    energy: 0.3,
    difficulty: 0.65,
  },
  'seven-4-even': {
    kind: 'seven',
    usual: 0.55,
    likes: {
      evenSections: 1,
      oneChord: 3,
      sparse: 1,
      twelveBars: -1,
      oddSections: -2,
      longPickup: -2,
      ties: -2,
      short: -1,
      rolling: -1,
    },
    gives: 'it can breathe in four and three',
    energy: 0.05,
    difficulty: 0.65,
  },
  'seven-4-fast': {
    kind: 'seven',
    usual: 0.25,
    likes: {
      evenSections: 1,
      oneChord: 3,
      busy: -2,
      twelveBars: -1,
      oddSections: -2,
      longPickup: -2,
      ties: -2,
      short: -1,
      rolling: -1,
    },
    gives: 'the bass can walk four and three under it',
    energy: 0.7,
    difficulty: 0.9,
  },
  backbeat: {
    kind: 'backbeat',
    usual: 0.42,
    likes: { diatonic: 2, loops: 2, onBeat: 1, slowChords: 1, twelveBars: 1, fastChords: -2, triplets: -1 },
    gives: 'two and four carry it without getting in its way',
    energy: 0.4,
    difficulty: 0.15,
  },
  'backbeat-half': {
    kind: 'backbeat',
    usual: 0.3,
    likes: { diatonic: 2, loops: 1, held: 2, sparse: 1, fastChords: -3 },
    gives: 'the snare on three leaves it twice the room',
    energy: -0.15,
    difficulty: 0.15,
  },
  'street-beat': {
    kind: 'street',
    usual: 0.4,
    likes: { twelveBars: 1, dominants: 2, riffs: 2, diatonic: 1, onBeat: 1, rolling: -2, softSevenths: -2, held: -1 },
    gives: 'press rolls and the big four make it march and dance',
    energy: 0.6,
    difficulty: 0.4,
  },
}

export interface Ranking {
  /** 0…1. */
  readonly suits: number
  /** The strongest thing that speaks for it, and against it where something does. */
  readonly pro: string
  readonly con?: string
}

/** From this degree on a hint may be said of the tune. */
const SAYABLE = 0.3
const NOTHING_SPECIAL = 'nothing in the tune asks for it or stands in its way'
const AGAINST_ONLY = 'it would be a surprise here'

/** How a groove suits a tune, with the fact that speaks loudest on each side. */
export function rank(hints: GrooveHints, facts: TuneFacts): Ranking {
  let sum = 0
  let mostPull = 0
  let pro = { weight: 0, words: '' }
  let con = { weight: 0.6, words: '' }
  for (const [name, weight] of Object.entries(hints.likes)) {
    const hint: Hint = HINTS[name as keyof typeof HINTS]
    const degree = hint.degree(facts)
    const pull = weight * degree
    sum += pull
    if (weight > 0 && !hint.isExtra) mostPull += weight
    if (degree < SAYABLE) continue
    if (weight > 0 && pull > pro.weight) pro = { weight: pull, words: hint.words(facts) }
    if (weight < 0 && -pull > con.weight) con = { weight: -pull, words: hint.words(facts) }
  }
  const liking = Math.min(1, Math.max(0, 0.3 + (0.7 * sum) / Math.max(1, mostPull)))
  const suits = Math.min(0.97, Math.max(0.05, 0.6 * liking + 0.37 * hints.usual))
  const said = pro.words || (con.words ? AGAINST_ONLY : NOTHING_SPECIAL)
  return { suits: Math.round(suits * 1000) / 1000, pro: said, ...(con.words ? { con: con.words } : {}) }
}
