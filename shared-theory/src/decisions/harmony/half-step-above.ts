/** Beginning a half step above the dominant that is expected: ♭VI∆, which has the tonic in the melody for its third. */
import { chord as parsed } from '../../chords/index.js'
import { halfTick, rootInKey } from '../../fit/index.js'
import { pitchClass, tonicOf } from '../../units/index.js'
import { firstClash, melodyChain, shown } from './clash.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { barAt, degreeOf, dominantFor, isDominant, isStable, spansOf, type Stretch } from './stretch.js'
import { barWord, capital } from './words.js'

export const halfStepAbove: HarmonyIdea = {
  id: 'half-step-above',
  rule: 'HA10',
  energy: 0.15,
  difficulty: 0.35,
  most: 2,
  variants: (stretch) => {
    const homes = homesOf(stretch).map((bar) => ({ form: 'delay', bar }))
    const fives = fivesOf(stretch).map((bar) => ({ form: 'before-dominant', bar }))
    const all = [...homes.toReversed(), ...fives]
    return all.length > 0 ? all : 'The tonic never lasts two bars here and no V has a bar to itself.'
  },
  write: (stretch, params): Writing => {
    const bar = Number(params['bar'])
    if (params['form'] === 'before-dominant') {
      return fivesOf(stretch).includes(bar)
        ? beforeDominant(stretch, bar)
        : { refused: 'There is no V alone in the bar asked for.' }
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
    summary: `${capital(barWord(stretch, offset))} begins on ${shown((chords[0] as NewChord).chord)} instead of home and climbs ${names} to ${goal} in two whole steps under the held note.`,
    reason: reasonFor(stretch, chords, 'up two whole steps to I'),
    suits: 0.65,
  }
}

/** ♭VI∆ for as long as the melody fits it, then the V the bar had. */
function beforeDominant(stretch: Stretch, offset: number): Writing {
  const bar = stretch.bars[offset] as Stretch['bars'][number]
  const startTick = stretch.starts[offset] as number
  const chord = parsed(`${flatSix(stretch)}maj7`)
  const five = bar.chords[0]?.chord
  let refused = ''
  for (
    let tick = startTick + bar.lengthTicks - stretch.beatTicks;
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
      summary: `In ${barWord(stretch, offset)} ${shown(chord)} stands a half step above ${five ? shown(five) : 'the dominant'} and slides down into it.`,
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
