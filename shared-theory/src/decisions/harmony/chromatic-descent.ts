/** The classic line: from the half-diminished chord on ♯iv the bass falls by half steps to a bar of the tune, and arrives on time. */
import type { Chord, KeySignature } from '../../contract/index.js'
import { bassOf, sameChord } from '../../chords/index.js'
import { fitLine, rootInKey, show, type SlotRoot } from '../../fit/index.js'
import { isMinorKey, mod, pitchClass, tonicOf } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { shown } from './clash.js'
import { type HarmonyIdea, type Writing } from './idea.js'
import { barAt, chordAt, type Stretch } from './stretch.js'
import { barWord } from './words.js'

/** Qualities of the line ♯IVm7♭5 IVm6 I/3 ♭III°7 iim7 ♭II∆ (I) by half steps below ♯iv: each holds the tonic in the melody.
 *  Source: common practice. Where the melody refuses one, another is fitted to the same bass. */
const CLASSIC_MAJOR: readonly (string | undefined)[] = ['m7b5', 'm6', undefined, 'dim7', 'm7', 'maj7']
const CLASSIC_MINOR: readonly (string | undefined)[] = ['m7b5', 'm6', '7', 'maj7', 'm7b5', 'maj7']
const CLASSIC_POINTS = 14

const RATE_WORDS: { readonly [rate: number]: string } = { 1: 'one a bar', 2: 'two a bar', 4: 'four a bar' }

interface Line {
  readonly rate: number
  readonly target: number
  /** Chords before the arrival. */
  readonly count: number
  readonly startTick: number
  readonly arriving: Chord
}

export const chromaticDescent: HarmonyIdea = {
  id: 'chromatic-descent',
  rule: 'HA9',
  energy: -0.1,
  difficulty: 0.45,
  most: 3,
  variants: (stretch) => {
    const lines: Line[] = []
    for (const rate of [1, 2]) {
      for (let target = 1; target <= stretch.bars.length; target++) {
        const line = lineTo(stretch, rate, target)
        if (line && line.count >= 3) lines.push(line)
      }
    }
    if (lines.length === 0) {
      return 'No bar here can be reached from ♯iv by half steps in time, at one or two chords a bar.'
    }
    return lines
      .toSorted((a, b) => rank(stretch, a) - rank(stretch, b))
      .map(({ rate, target, startTick }) => ({ rate, from: barAt(stretch, startTick), target }))
  },
  write: (stretch, params): Writing => {
    const line = lineTo(stretch, Number(params['rate'] ?? 1), Number(params['target']))
    if (!line) return { refused: 'The descent from ♯iv does not reach the bar asked for in time.' }
    return descent(stretch, line)
  },
}

/** One a bar before two, lines to ii and to I first; arrivals where the tune's own chord arrives too, the later ones first. */
const rank = (stretch: Stretch, { count, rate, target, arriving }: Line): number => {
  const before = chordAt(stretch, (stretch.starts[target] as number) - 1)
  const isOnset = before === undefined || !sameChord(before, arriving)
  return 100 * rate + 10 * (count === 4 ? 0 : count === 6 ? 1 : 2 + Math.abs(count - 5)) + (isOnset ? 0 : 50) - target
}

function lineTo(stretch: Stretch, rate: number, target: number): Line | undefined {
  if (![1, 2, 4].includes(rate) || !Number.isInteger(target) || target < 1 || target > stretch.bars.length)
    return undefined
  const arrivalTick = stretch.starts[target] as number
  const arriving = target === stretch.bars.length ? stretch.after : chordAt(stretch, arrivalTick)
  const bass = arriving && bassOf(arriving)
  if (!arriving || bass === undefined) return undefined
  const sharpFour = pitchClass(tonicOf(stretch.key.key)) + 6
  const count = mod(sharpFour - pitchClass(bass), 12)
  const step = (stretch.bars[0]?.lengthTicks ?? 0) / rate
  const startTick = arrivalTick - count * step
  if (count === 0 || startTick < 0 || step % stretch.beatTicks !== 0) return undefined
  return { rate, target, count, startTick, arriving }
}

function descent(stretch: Stretch, line: Line): Writing {
  const { count, startTick, rate, target, arriving } = line
  const step = (stretch.bars[0]?.lengthTicks ?? 0) / rate
  const before = startTick === 0 ? stretch.before : chordAt(stretch, startTick - 1)
  const fitted = fitLine({
    key: stretch.key,
    notes: stretch.notes,
    beatTicks: stretch.beatTicks,
    slots: Array.from({ length: count }, (_, index) => ({
      startTick: startTick + index * step,
      endTick: startTick + (index + 1) * step,
      roots: descentRoots(stretch.key, index),
    })),
    after: arriving,
    ...(before ? { before } : {}),
  })
  if (!fitted.ok) {
    const number = stretch.numbers[barAt(stretch, startTick + fitted.slotIndex * step)]
    return { refused: `${ofTheTune(`Bar ${number}`)}: ${fitted.why}, so the bass cannot pass there.` }
  }
  const basses = fitted.slots.map(({ chord }) => show(bassOf(chord) ?? chord.root))
  const first = ofTheTune(barWord(stretch, barAt(stretch, startTick)))
  const goal = target < stretch.bars.length ? ` in ${barWord(stretch, target)}` : ', the chord after it'
  return {
    chords: fitted.slots,
    title: `Chromatic descent from ♯iv to ${shown(arriving)}${target < stretch.bars.length ? ` (${barWord(stretch, target)})` : ''}, ${RATE_WORDS[rate]}`,
    summary: `From ${first} the bass walks down ${basses.join(' ')} to ${show(bassOf(arriving) ?? arriving.root)}${goal}, ${RATE_WORDS[rate]}, and each chord is the one that holds the melody best.`,
    reason: [
      { rule: 'HA9', text: `half steps down from ♯iv, arriving on ${shown(arriving)} on time` },
      ...fitted.slots.map(({ chord, why }) => ({ rule: 'FI5', text: `${shown(chord)}: ${why}` })),
    ],
    mostABar: Math.max(rate, 2),
    suits: rate === 1 ? (count === 4 || count === 6 ? 0.75 : 0.6) : 0.55,
  }
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
