/** Beginning a half step above the dominant that is expected: ♭VI∆, which has the tonic in the melody for its third. */
import type { Chord, KeySignature } from '../../contract/index.js'
import { chord as parsed } from '../../chords/index.js'
import { halfTick, rootInKey } from '../../fit/index.js'
import { isMinorKey, pitchClass, tonicOf } from '../../units/index.js'
import { chordInKey } from '../key-colour.js'
import { ofTheTune } from '../bar-words.js'
import { firstClash, melodyChain, shown } from './clash.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { barAt, chordAt, degreeOf, dominantFor, isDominant, isStable, spansOf, type Stretch } from './stretch.js'
import { barsInWords, barWord, capital } from './words.js'

export const halfStepAbove: HarmonyIdea = {
  id: 'half-step-above',
  rule: 'HA10',
  energy: 0.15,
  difficulty: 0.35,
  isFarFromPlain: true,
  most: 3,
  variants: (stretch) => {
    const homes = homesOf(stretch).map((bar) => ({ form: 'delay', bar }))
    const falls = fallsOf(stretch).map((bar) => ({ form: 'falling', bar }))
    const fives = fivesOf(stretch).map((bar) => ({ form: 'before-dominant', bar }))
    const all = [...homes.toReversed(), ...falls.toReversed(), ...fives]
    return all.length > 0 ? all : 'The tonic never lasts two bars here and no V has a bar to itself.'
  },
  write: (stretch, params): Writing => {
    const bar = Number(params['bar'])
    if (params['form'] === 'before-dominant') {
      return fivesOf(stretch).includes(bar)
        ? beforeDominant(stretch, bar)
        : { refused: 'There is no V alone in the bar asked for.' }
    }
    if (params['form'] === 'falling') {
      return fallsOf(stretch).includes(bar)
        ? falling(stretch, bar)
        : { refused: 'The tonic does not last two bars there with home again after them.' }
    }
    return homesOf(stretch).includes(bar)
      ? delay(stretch, bar)
      : { refused: 'The tonic does not last two bars from the bar asked for.' }
  },
}

/** Bars where the tonic begins and lasts into the next. */
const homesOf = (stretch: Stretch): readonly number[] =>
  spansOf(stretch)
    .filter(
      ({ chord, startTick }) =>
        isStable(chord) && degreeOf(chord, stretch.key) === 0 && stretch.starts.includes(startTick),
    )
    .filter(({ startTick, endTick }) => barAt(stretch, endTick - 1) > barAt(stretch, startTick))
    .map(({ startTick }) => barAt(stretch, startTick))

/** Bars where the tonic fills two bars and home comes again after them: room to fall the whole way. */
const fallsOf = (stretch: Stretch): readonly number[] =>
  homesOf(stretch).filter((offset) => {
    const end = stretch.starts[offset + 2]
    const after = offset + 2 < stretch.bars.length && end !== undefined ? chordAt(stretch, end) : stretch.after
    const isHomeNext = after !== undefined && isStable(after) && degreeOf(after, stretch.key) === 0
    return isHomeNext && [0, 1].every((step) => stretch.bars[offset + step]?.chords.length === 1)
  })

/** ♭VI∆ V7sus ♯IV7♯11 IV∆ (in minor IVm7) by half steps down to IV and home: a held tonic is 3, 4, ♯11 and 5. Source: common practice. */
export function fallFromAbove(key: KeySignature): readonly Chord[] {
  const suffixes = ['maj7', '7sus', '7#11', isMinorKey(key.key) ? 'm7' : 'maj7']
  return suffixes.map((suffix, index) => chordInKey(key, 8 - index, suffix))
}

function falling(stretch: Stretch, offset: number): Writing {
  const chords = fallFromAbove(stretch.key).map((chord, index): NewChord => {
    const bar = offset + Math.floor(index / 2)
    const start = stretch.starts[bar] as number
    const half = start + halfTick((stretch.bars[bar] as Stretch['bars'][number]).metre)
    const isSecond = index % 2 === 1
    return {
      startTick: isSecond ? half : start,
      endTick: isSecond ? (stretch.starts[bar + 1] as number) : half,
      chord,
    }
  })
  const refused = firstClash(stretch, chords)
  if (refused) return { refused }
  const names = chords.map(({ chord }) => shown(chord)).join(' ')
  const place = barsInWords([stretch.numbers[offset] ?? 0, stretch.numbers[offset + 1] ?? 0])
  return {
    chords,
    title: `From a half step above the dominant, falling, in ${place}`,
    summary: `In ${ofTheTune(place)} ${names} falls from a half step above the dominant, and home comes with the bar after under the same melody.`,
    reason: reasonFor(stretch, chords, 'down by half steps to IV, then home'),
    suits: 0.6,
  }
}

/** Bars that V has to itself. */
const fivesOf = (stretch: Stretch): readonly number[] =>
  stretch.bars.flatMap(({ chords }, offset) => {
    const own = chords[0]?.chord
    return chords.length === 1 && own && isDominant(own) && degreeOf(own, stretch.key) === 7 ? [offset] : []
  })

const flatSix = (stretch: Stretch): string => rootInKey(pitchClass(tonicOf(stretch.key.key)) + 8, stretch.key)

function delay(stretch: Stretch, offset: number): Writing {
  const bar = stretch.bars[offset] as Stretch['bars'][number]
  const startTick = stretch.starts[offset] as number
  const half = startTick + halfTick(bar.metre)
  const endTick = stretch.starts[offset + 1] as number
  const flatSeven = rootInKey(pitchClass(tonicOf(stretch.key.key)) + 10, stretch.key)
  const chords: NewChord[] = [
    { startTick, endTick: half, chord: parsed(`${flatSix(stretch)}maj7`) },
    { startTick: half, endTick, chord: dominantFor(stretch, flatSeven, half, endTick) },
  ]
  const refused = firstClash(stretch, chords)
  if (refused) return { refused }
  const names = chords.map(({ chord }) => shown(chord)).join(' ')
  const home = spansOf(stretch).find((span) => span.startTick === startTick)?.chord
  const goal = home ? shown(home) : 'I'
  return {
    chords,
    title: `From a half step above the dominant in ${barWord(stretch, offset)}`,
    summary: `${capital(ofTheTune(barWord(stretch, offset)))} begins on ${shown((chords[0] as NewChord).chord)} instead of home and climbs ${names} to ${goal} in two whole steps under the ${bar.melody.length === 1 ? 'held note' : 'melody'}.`,
    reason: reasonFor(stretch, chords, 'up two whole steps to I'),
    suits: 0.65,
  }
}

/** ♭VI∆ for as long as the melody fits it, then the V the bar had; where the melody has ended by the middle, half a bar each. */
function beforeDominant(stretch: Stretch, offset: number): Writing {
  const bar = stretch.bars[offset] as Stretch['bars'][number]
  const startTick = stretch.starts[offset] as number
  const chord = parsed(`${flatSix(stretch)}maj7`)
  const five = bar.chords[0]?.chord
  const middle = halfTick(bar.metre)
  const isAtRest = bar.melody.every((note) => note.startTick + note.durationTicks <= middle)
  let refused = ''
  for (
    let tick = startTick + (isAtRest ? middle : bar.lengthTicks - stretch.beatTicks);
    tick >= startTick + bar.lengthTicks / 3;
    tick -= stretch.beatTicks
  ) {
    const chords: NewChord[] = [{ startTick, endTick: tick, chord }]
    const clash = firstClash(stretch, chords)
    if (clash) {
      refused = clash
      continue
    }
    return {
      chords,
      title: `${shown(chord)} before the dominant in ${barWord(stretch, offset)}`,
      summary: `In ${ofTheTune(barWord(stretch, offset))} ${shown(chord)} stands a half step above ${five ? shown(five) : 'the dominant'} and slides down into it.`,
      reason: reasonFor(stretch, chords, 'down a half step to V'),
      suits: 0.55,
    }
  }
  return { refused: refused || 'The bar is too short for two chords.' }
}

const reasonFor = (stretch: Stretch, chords: readonly NewChord[], onward: string): { rule: string; text: string }[] => [
  { rule: 'HA10', text: `♭VI∆ is a half step above the dominant's root; ${onward}` },
  ...melodyChain(stretch, chords),
]
