/** Delayed tonic: the last note first over one or two major-seventh chords that carry it, then home. */
import type { Chord } from '../../contract/index.js'
import { qualityOf } from '../../chords/index.js'
import { degreeName, fitDegree, show } from '../../fit/index.js'
import { mod, nameOfPitch, pitchClass } from '../../units/index.js'
import { lengthsWished } from '../bars.js'
import { chordInKey } from '../key-colour.js'
import { shown } from '../lift/words.js'
import { type Close, heldDegree } from './close.js'
import { barsAsked, type EndingIdea, heldThrough, heldWord, lengthInWords, type Params } from './idea.js'

/** Roots away from home by semitones above the tonic. */
const DEGREES: readonly (readonly [name: string, semitones: number])[] = [
  ['bII', 1],
  ['II', 2],
  ['bIII', 3],
  ['III', 4],
  ['IV', 5],
  ['#IV', 6],
  ['V', 7],
  ['bVI', 8],
  ['VI', 9],
  ['bVII', 10],
  ['VII', 11],
]
/** What a root's step is worth by semitones upwards, on the way and home: a falling fifth or half step most; home also ♭VII–I and the
 *  plagal step. Source: common practice. */
const ON_THE_WAY: { readonly [up: number]: number } = { 5: 2, 11: 2, 10: 1 }
const HOMEWARDS: { readonly [up: number]: number } = { 5: 2, 11: 2, 2: 1, 7: 1 }
const MOTION_WORDS: { readonly [up: number]: string } = {
  5: 'the root falls a fifth',
  11: 'the root falls a half step',
  10: 'the root falls a whole step',
  7: 'the root falls a fourth',
  2: 'the root goes up a whole step',
}
/** What minor adds or takes: ♭VI∆ is its own, IV∆ and ♯IV∆ have the third it has not. Source: common practice. */
const IN_MINOR: { readonly [degree: number]: number } = { 5: -1, 6: -1, 8: 1 }
const MOST_PAIRS = 4

export const delayedTonic: EndingIdea = {
  id: 'delayed-tonic',
  rule: 'EN3',
  energy: -0.1,
  distance: 0.25,
  difficulty: 0.2,
  variants: (close) => {
    const carrying = carryingDegrees(close)
    if (carrying.length === 0) return `No major-seventh chord away from home carries ${heldWord(close)}.`
    const singles = carrying.map((degree) => [degree]).toSorted((a, b) => worth(b, close) - worth(a, close))
    const pairs = pairsOf(carrying, close).slice(0, MOST_PAIRS)
    return [...singles, ...pairs].map((chords) => ({ chords: chords.map(nameOf), bars: 2 }))
  },
  wished: (close, wish) => {
    const carrying = carryingDegrees(close)
    const singles = carrying.toSorted((a, b) => worth([b], close) - worth([a], close))
    const ranked = pairsOf(carrying, close)
    const lengths = lengthsWished(wish, [1, 4, 8])
    const more = wish.more ?? 0
    const pairs = ranked.slice(0, more > 1 ? ranked.length : more > 0 ? 3 * MOST_PAIRS : 0)
    return [
      ...lengths.flatMap((bars) =>
        singles.slice(0, bars === wish.bars ? singles.length : 1).map((degree) => ({ chords: [nameOf(degree)], bars })),
      ),
      ...(wish.bars !== undefined && wish.bars % 2 === 0 && lengths.includes(wish.bars)
        ? ranked.slice(0, MOST_PAIRS).map((pair) => ({ chords: pair.map(nameOf), bars: wish.bars as number }))
        : []),
      ...pairs.map((pair) => ({ chords: pair.map(nameOf), bars: 2 })),
    ]
  },
  write: (close, params) => {
    const degrees = degreesIn(params)
    if (typeof degrees === 'string') return { refused: degrees }
    const count = barsAsked(params)
    if (typeof count === 'string') return { refused: count }
    if (count % degrees.length !== 0)
      return { refused: `${lengthInWords(count)} can't be shared by ${degrees.length} chords evenly.` }
    const stubborn = degrees.find((degree) => !carryingDegrees(close).includes(degree))
    if (stubborn !== undefined) {
      return { refused: `${heldWord(close)} is no note of ${shown(chordOf(close, stubborn))} that can stand.` }
    }
    const chords = degrees.map((degree) => chordOf(close, degree))
    const each = count / chords.length
    const bars = chords.flatMap((chord) => Array.from({ length: each }, () => [chord]))
    const names = chords.map(shown).join(' and ')
    const steps = [...degrees, 12].slice(1).map((to, index) => mod(to - (degrees[index] as number), 12))
    return {
      bars: [...heldThrough(close, bars), ...close.home],
      title: `Delayed tonic over ${names}, ${lengthInWords(count)}`,
      summary: summaryOf(close, chords, count),
      reason: [
        ...chords.map((chord, index) => ({
          rule: 'EN3',
          text: `${melodyOver(close, chord)}; ${MOTION_WORDS[steps[index] as number] ?? 'the root leaps'} to ${shown(chords[index + 1] ?? close.goal)}`,
        })),
        { rule: 'EN2', text: `${lengthInWords(count)} before ${shown(close.goal)}, which comes that much later` },
      ],
      suits: suitsOf(degrees, close),
    }
  },
}

/** Every ordered pair, best root motion first. */
const pairsOf = (carrying: readonly number[], close: Close): readonly (readonly number[])[] =>
  carrying
    .flatMap((first) => carrying.filter((second) => second !== first).map((second) => [first, second]))
    .toSorted((a, b) => worth(b, close) - worth(a, close))

const nameOf = (degree: number): string => DEGREES.find(([, semitones]) => semitones === degree)?.[0] ?? ''
const chordOf = (close: Close, degree: number): Chord => chordInKey(close.key, degree, 'maj7')
const worthHome = (degree: number): number => HOMEWARDS[mod(12 - degree, 12)] ?? 0
const worth = (degrees: readonly number[], { colour }: Close): number =>
  worthHome(degrees.at(-1) as number) +
  (degrees.length > 1 ? (ON_THE_WAY[mod((degrees[1] as number) - (degrees[0] as number), 12)] ?? 0) : 0) +
  (colour === 'minor' ? Math.min(...degrees.map((degree) => IN_MINOR[degree] ?? 0)) : 0)

/** Degrees whose ∆ carries the last note; where the melody rests, those a held tonic would allow. */
function carryingDegrees(close: Close): readonly number[] {
  const held = heldDegree(close) ?? 0
  return DEGREES.map(([, semitones]) => semitones).filter((degree) => fitDegree('major', held - degree) === 'ok')
}

/** One name or a list of one or two, as 'bII'. */
function degreesIn(params: Params): readonly number[] | string {
  const given = params['chords'] ?? params['chord']
  const names = Array.isArray(given) ? given : [given]
  const degrees = names.map((name) => DEGREES.find(([known]) => known === name)?.[1])
  const known = degrees.filter((degree) => degree !== undefined)
  if (known.length !== names.length || known.length < 1 || known.length > 2)
    return `It takes one or two of ${DEGREES.map(([name]) => name).join(' ')}, not '${names.map(String).join(' ')}'.`
  return known.length === 2 && known[0] === known[1] ? 'The same chord twice is no second delay.' : known
}

function melodyOver({ held }: Close, chord: Chord): string {
  if (!held) return `${shown(chord)} where the melody rests`
  return `${show(nameOfPitch(held.name))} is ${degreeName(qualityOf(chord), held.midi - pitchClass(chord.root))} of ${shown(chord)}`
}

function summaryOf(close: Close, chords: readonly Chord[], count: number): string {
  const late = `home, ${shown(close.goal)}, comes ${lengthInWords(count)} late`
  const first = chords.map((chord) => melodyOver(close, chord)).join(', then ')
  return `${first.charAt(0).toUpperCase()}${first.slice(1)}; ${late} under the same note.`
}

const suitsOf = (degrees: readonly number[], close: Close): number =>
  degrees.length === 1 ? 0.72 + 0.06 * worth(degrees, close) : 0.68 + 0.03 * worth(degrees, close)
