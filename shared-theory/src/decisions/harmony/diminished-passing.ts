/** Diminished chords in passing: the bass fills a whole step, and the melody lies on the chord or a whole step above its notes. */
import { chord as parsed, qualityOf } from '../../chords/index.js'
import { halfTick, rootInKey } from '../../fit/index.js'
import { mod, pitchClass, tonicOf } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { firstClash, melodyChain, shown } from './clash.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { barAt, chordAt, degreeOf, isDominant, type Stretch } from './stretch.js'
import { barsInWords } from './words.js'

export const diminishedPassing: HarmonyIdea = {
  id: 'diminished-passing',
  rule: 'HA7',
  energy: 0.1,
  difficulty: 0.3,
  most: 3,
  kindOf: ({ form }) => String(form),
  variants: (stretch) => {
    const twos = bars(stretch).filter((to) => isTwo(stretch, to))
    const falls = [
      ...twos.filter((to) => to >= 2).map((to) => ({ form: 'iii-biii-ii', to, rate: 1 })),
      ...twos.filter((to) => to >= 1).map((to) => ({ form: 'iii-biii-ii', to, rate: 2 })),
    ]
    const rises = bars(stretch)
      .filter((to) => to >= 1 && wholeStepUp(stretch, to))
      .map((to) => ({ form: 'rising', to, rate: 2 }))
    const all = [...falls, ...rises]
    return all.length > 0
      ? all
      : 'No ii with room before it and no step up by a whole tone for a diminished chord to fill.'
  },
  write: (stretch, params): Writing => {
    const to = Number(params['to'])
    if (!Number.isInteger(to) || to < 1 || to > stretch.bars.length)
      return { refused: 'There is no such bar to pass into.' }
    if (params['form'] === 'rising') {
      return wholeStepUp(stretch, to)
        ? rising(stretch, to)
        : { refused: 'The bass does not rise a whole step into that bar.' }
    }
    return isTwo(stretch, to)
      ? falling(stretch, to, Number(params['rate'] ?? 1))
      : { refused: 'That bar is not on ii.' }
  },
}

const bars = (stretch: Stretch): readonly number[] => stretch.bars.map((_, offset) => offset)
const firstChord = (stretch: Stretch, offset: number) =>
  offset === stretch.bars.length ? stretch.after : chordAt(stretch, stretch.starts[offset] as number)

function isTwo(stretch: Stretch, offset: number): boolean {
  const chord = firstChord(stretch, offset)
  return chord !== undefined && chord.root !== '' && qualityOf(chord) === 'minor' && degreeOf(chord, stretch.key) === 2
}

/** Whether the bar before holds one chord, no dominant, whose root lies a whole step below this bar's. */
function wholeStepUp(stretch: Stretch, offset: number): boolean {
  const from = stretch.bars[offset - 1]
  const own = from?.chords[0]?.chord
  const to = firstChord(stretch, offset)
  if (!own || !to || from.chords.length !== 1 || own.root === '' || to.root === '' || isDominant(own)) return false
  return mod(pitchClass(to.root) - pitchClass(own.root), 12) === 2
}

/** iii ♭iii° before ii, a bar each (rate 1) or sharing the bar before (rate 2). */
function falling(stretch: Stretch, to: number, rate: number): Writing {
  const count = rate === 2 ? 1 : 2
  if (to < count) return { refused: 'There is no room before that bar.' }
  const startTick = stretch.starts[to - count] as number
  const endTick = stretch.starts[to] as number
  const bar = stretch.bars[to - 1] as Stretch['bars'][number]
  const half = rate === 2 ? startTick + halfTick(bar.metre) : (stretch.starts[to - 1] as number)
  const tonic = pitchClass(tonicOf(stretch.key.key))
  const chords: NewChord[] = [
    { startTick, endTick: half, chord: parsed(`${rootInKey(tonic + 4, stretch.key)}m7`) },
    { startTick: half, endTick, chord: parsed(`${rootInKey(tonic + 3, stretch.key)}dim7`) },
  ]
  return described(stretch, chords, to, 'iii–♭iii°–ii', rate === 2 ? 0.6 : 0.65)
}

/** A °7 on the half step between, in the second half of the bar before. */
function rising(stretch: Stretch, to: number): Writing {
  const bar = stretch.bars[to - 1] as Stretch['bars'][number]
  const goal = firstChord(stretch, to)
  const startTick = (stretch.starts[to - 1] as number) + halfTick(bar.metre)
  const endTick = stretch.starts[to] as number
  const between =
    sharpened(bar.chords[0]?.chord.root ?? 'C') ?? rootInKey(pitchClass(goal?.root ?? 'C') - 1, stretch.key)
  return described(
    stretch,
    [{ startTick, endTick, chord: parsed(`${between}dim7`) }],
    to,
    'the half step between two roots',
    0.6,
  )
}

/** The same letter raised, as a rising line is written: F → F♯, B♭ → B. */
const sharpened = (root: string): string | undefined =>
  root.endsWith('b') ? root.slice(0, -1) : root.includes('#') ? undefined : `${root}#`

function described(stretch: Stretch, chords: readonly NewChord[], to: number, how: string, suits: number): Writing {
  const refused = firstClash(stretch, chords)
  if (refused) return { refused }
  const place = barsInWords(chords.map(({ startTick }) => stretch.numbers[barAt(stretch, startTick)] ?? 0))
  const names = chords.map(({ chord }) => shown(chord)).join(' ')
  const goal = firstChord(stretch, to)
  return {
    chords,
    title: `Diminished passing in ${place}`,
    summary: `In ${ofTheTune(place)} ${names} leads the bass by half steps into ${goal ? shown(goal) : 'the next bar'}, and every melody note is a chord note or a whole step above one.`,
    reason: [{ rule: 'HA7', text: how }, ...melodyChain(stretch, chords)],
    suits,
  }
}
