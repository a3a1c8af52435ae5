/** The bass falls by half steps to a bar of the tune and arrives on time: from the half-diminished chord on ♯iv, or from home down to V. */
import type { Chord, KeySignature } from '../../contract/index.js'
import { bassOf, qualityOf, sameChord } from '../../chords/index.js'
import { beatTicks, fitLine, halfTick, rootInKey, show, type SlotRoot } from '../../fit/index.js'
import { isMinorKey, mod, pitchClass, tonicOf } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { shown } from './clash.js'
import { chainOf } from './fitted.js'
import { type HarmonyIdea, type Params, type Writing } from './idea.js'
import { barAt, chordAt, degreeOf, type Stretch } from './stretch.js'
import { barWord } from './words.js'

/** Qualities of the line ♯IVm7♭5 IVm6 I/3 ♭III°7 iim7 ♭II∆ (I) by half steps below ♯iv: each holds the tonic in the melody.
 *  Source: common practice. Where the melody refuses one, another is fitted to the same bass. */
const CLASSIC_MAJOR: readonly (string | undefined)[] = ['m7b5', 'm6', undefined, 'dim7', 'm7', 'maj7']
const CLASSIC_MINOR: readonly (string | undefined)[] = ['m7b5', 'm6', '7', 'maj7', 'm7b5', 'maj7']
const CLASSIC_POINTS = 14
/** Half steps above the tonic: where the classic line begins, where home is. */
const SHARP_FOUR = 6
const HOME = 0
/** A line that ends on VI7 and falls a fifth to ii wants a dominant there. */
const LAST_POINTS = 14

const RATE_WORDS: { readonly [rate: number]: string } = { 1: 'one a bar', 2: 'two a bar', 4: 'one a beat' }
const SHORTEST = 3
/** Chords from ♯iv down to ♭II, before I. */
const WHOLE_LINE = 6

interface Line {
  readonly rate: number
  readonly target: number
  /** Half steps above the tonic of the first bass note. */
  readonly from: number
  /** Where each chord starts, and where the line arrives. */
  readonly ticks: readonly number[]
  readonly count: number
  readonly startTick: number
  readonly arriving: Chord
  /** The line does not run into the chord but ends a fifth above it. */
  readonly isByFifth: boolean
}

export const chromaticDescent: HarmonyIdea = {
  id: 'chromatic-descent',
  rule: 'HA9',
  energy: -0.1,
  difficulty: 0.45,
  isFarFromPlain: true,
  most: 4,
  // The same line a bar or two later is no new idea; the whole way home is one.
  kindOf: ({ rate, start, last, target }, stretch) => {
    const line = rate === 1 ? lineTo(stretch, { rate: 1, target: Number(target) }) : undefined
    return [rate, start, last, line?.count === WHOLE_LINE].join(' ')
  },
  variants: (stretch, { rate: asked, more = 0 }) => {
    // One a beat is for those who ask.
    const usual = more > 0 ? [1, 2, 4] : [1, 2]
    const rates = asked === undefined ? usual : [asked, ...usual.filter((each) => each !== asked)]
    const lines = rates.flatMap((rate) =>
      stretch.starts.flatMap((_, target) =>
        [
          lineTo(stretch, { rate: 1, target: Number(target) }),
          lineTo(stretch, { rate, target, start: HOME }),
          lineTo(stretch, { rate, target, last: 'VI' }),
        ].filter((line) => line !== undefined && line.count >= SHORTEST),
      ),
    ) as readonly Line[]
    if (lines.length === 0)
      return 'No bar here can be reached by half steps in time, at one chord a bar, two, or one a beat.'
    const ranked = lines.toSorted((a, b) => rank(stretch, rates, a) - rank(stretch, rates, b))
    return ranked.map((line) => paramsOf(stretch, line))
  },
  write: (stretch, params): Writing => {
    const line = lineTo(stretch, params)
    if (!line) return { refused: 'The descent does not reach the bar asked for in time.' }
    return descent(stretch, line)
  },
}

const paramsOf = (stretch: Stretch, { rate, target, startTick, from, isByFifth }: Line): Params => ({
  rate,
  from: barAt(stretch, startTick),
  target,
  ...(from === SHARP_FOUR ? {} : { start: from }),
  ...(isByFifth ? { last: 'VI' } : {}),
})

/** The rate asked for, else one a bar, first; lines to ii and to I first; arrivals where the tune's own chord arrives too, the later ones first. */
const rank = (stretch: Stretch, rates: readonly number[], line: Line): number => {
  const { count, rate, target, arriving, from, isByFifth } = line
  const before = chordAt(stretch, (stretch.starts[target] as number) - 1)
  const isOnset = before === undefined || !sameChord(before, arriving)
  const isClassic = from === SHARP_FOUR && !isByFifth
  const length = !isClassic ? 4 : count === 4 ? 0 : count === 6 ? 1 : 2 + Math.abs(count - 5)
  return 100 * rates.indexOf(rate) + 10 * length + (isOnset ? 0 : 50) - target
}

/** The line that params ask for: `target` a bar of the stretch (or the one after), `rate` chords a bar, `start` half steps above the tonic
 *  (♯iv where absent), `last: 'VI'` for one that ends on VI7 before a ii. */
function lineTo(stretch: Stretch, params: Params): Line | undefined {
  const rate = Number(params['rate'] ?? 1)
  const target = Number(params['target'])
  const from = Number(params['start'] ?? SHARP_FOUR)
  const isByFifth = params['last'] === 'VI'
  if (![1, 2, 4].includes(rate) || !Number.isInteger(target) || target < 1 || target > stretch.bars.length)
    return undefined
  if (from !== SHARP_FOUR && from !== HOME) return undefined
  const arriving = target === stretch.bars.length ? stretch.after : chordAt(stretch, stretch.starts[target] as number)
  const bass = arriving && bassOf(arriving)
  if (!arriving || bass === undefined) return undefined
  const isTwo = qualityOf(arriving) === 'minor' && degreeOf(arriving, stretch.key) === 2
  const isFive = degreeOf(arriving, stretch.key) === 7
  if (isByFifth ? !isTwo || from !== SHARP_FOUR : from === HOME && !isFive) return undefined
  const tonic = pitchClass(tonicOf(stretch.key.key))
  // From ♯iv down to vi, that one included.
  const count = isByFifth ? 10 : mod(tonic + from - pitchClass(bass), 12)
  const ticks = ticksBefore(stretch, target, rate)
  if (!ticks || count === 0 || count >= ticks.length) return undefined
  const own = ticks.slice(-count - 1)
  return { rate, target, from, ticks: own, count, startTick: own[0] as number, arriving, isByFifth }
}

/** Where chords change at a rate, up to a bar line; two a bar divide it as the metre does. Undefined where a bar has no such beats. */
function ticksBefore(stretch: Stretch, target: number, rate: number): readonly number[] | undefined {
  const ticks: number[] = []
  for (const [offset, { metre, lengthTicks }] of stretch.bars.slice(0, target).entries()) {
    const start = stretch.starts[offset] as number
    const beat = beatTicks(metre)
    const beats = lengthTicks / beat
    if (rate === 1) ticks.push(start)
    else if (rate === 2) {
      const half = halfTick(metre)
      if (half <= 0 || half >= lengthTicks) return undefined
      ticks.push(start, start + half)
    } else {
      if (beats !== 3 && beats !== 4) return undefined
      for (let index = 0; index < beats; index++) ticks.push(start + index * beat)
    }
  }
  return [...ticks, stretch.starts[target] as number]
}

function descent(stretch: Stretch, line: Line): Writing {
  const { count, startTick, ticks, rate, target, arriving, from, isByFifth } = line
  const before = startTick === 0 ? stretch.before : chordAt(stretch, startTick - 1)
  const fitted = fitLine({
    key: stretch.key,
    notes: stretch.notes,
    beatTicks: stretch.beatTicks,
    slots: Array.from({ length: count }, (_, index) => ({
      startTick: ticks[index] as number,
      endTick: ticks[index + 1] as number,
      roots: rootsAt(stretch.key, line, index),
    })),
    after: arriving,
    ...(before ? { before } : {}),
  })
  if (!fitted.ok) {
    const number = stretch.numbers[barAt(stretch, ticks[fitted.slotIndex] as number)]
    return { refused: `${ofTheTune(`Bar ${number}`)}: ${fitted.why}, so the bass cannot pass there.` }
  }
  const basses = fitted.slots.map(({ chord }) => show(bassOf(chord) ?? chord.root))
  const first = ofTheTune(barWord(stretch, barAt(stretch, startTick)))
  const isInside = target < stretch.bars.length
  const goal = isInside ? ` in ${barWord(stretch, target)}` : ' after it'
  const start = from === HOME ? 'home' : '♯iv'
  const last = fitted.slots.at(-1)?.chord ?? arriving
  const to = isByFifth ? `${shown(last)} before ${shown(arriving)}` : shown(arriving)
  return {
    chords: fitted.slots,
    title: `Chromatic descent from ${start} to ${to}${isInside ? ` (${barWord(stretch, target)})` : ''}, ${RATE_WORDS[rate]}`,
    summary: isByFifth
      ? `From ${first} the bass walks down ${basses.join(' ')}, ${RATE_WORDS[rate]}; ${shown(last)} then leads by a fifth to ${shown(arriving)}${goal}.`
      : `From ${first} the bass walks down ${basses.join(' ')} to ${show(bassOf(arriving) ?? arriving.root)}${goal}, ${RATE_WORDS[rate]}, under the same melody.`,
    reason: [
      { rule: 'HA9', text: `half steps down from ${start}, arriving on ${to} on time` },
      ...chainOf(fitted.slots),
    ],
    mostABar: Math.max(rate, 2),
    suits: rate === 1 ? (count === 4 ? 0.75 : count === WHOLE_LINE ? 0.62 : 0.6) : rate === 2 ? 0.55 : 0.45,
  }
}

function rootsAt(key: KeySignature, { from, count, isByFifth }: Line, index: number): readonly SlotRoot[] {
  if (from === SHARP_FOUR && !(isByFifth && index === count - 1)) return descentRoots(key, index)
  const root = rootInKey(pitchClass(tonicOf(key.key)) + from + 12 - index, key)
  const quality = isByFifth ? '7' : isMinorKey(key.key) ? 'm7' : 'maj7'
  // The line ends on VI7; from home it begins at home.
  const isMarked = isByFifth || index === 0
  return [...(isMarked ? [{ root, quality, points: LAST_POINTS }] : []), { root }]
}

/** What may stand `index` half steps below ♯iv: the classic chord before any other on that bass. */
export function descentRoots(key: KeySignature, index: number): readonly SlotRoot[] {
  const tonic = pitchClass(tonicOf(key.key))
  const root = rootInKey(tonic + 18 - index, key)
  const isMinor = isMinorKey(key.key)
  const quality = (isMinor ? CLASSIC_MINOR : CLASSIC_MAJOR)[index]
  const classic: SlotRoot[] = quality === undefined ? [] : [{ root, quality, points: CLASSIC_POINTS }]
  if (!isMinor && index === 2) {
    classic.push({ root: tonicOf(key.key), bass: root, quality: '', points: CLASSIC_POINTS })
  }
  return [...classic, { root }]
}
