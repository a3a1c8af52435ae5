/** What an opening recipe has to bring: lengths worth offering, and the bars it writes before bar 1. The frame of bar 1, the pickup,
 *  the named connection, titles' effects and the guard against clashes are the same for all. */
import type {
  ArrangedBar,
  ArrangedNote,
  Chord,
  KeySignature,
  Option,
  PlacedChord,
  Plan,
  RuleStep,
  Tune,
  Wish,
} from '../../contract/index.js'
import { chord as parsed } from '../../chords/index.js'
import { type Fit, fitOf, nameForMelody } from '../../fit/index.js'
import { issue, must, nameOfPitch, pitchClass, tonicOf } from '../../units/index.js'
import { distinctParams, filled, isShort, MOST_BARS, wholeBar, withLeadIn } from '../bars.js'
import { type Colour, colourOf } from '../key-colour.js'
import { shown } from '../lift/words.js'
import type { Applied, Offer, Offers, Recipe } from '../recipe.js'
import { capital } from '../harmony/words.js'
import { type Connection, connectionTo } from './connection.js'

export type Params = Option['params']

/** The place before bar 1. */
export interface Doorway {
  readonly tune: Tune
  readonly plan: Plan
  readonly bars: readonly ArrangedBar[]
  /** Bar 1: the first full one. */
  readonly first: ArrangedBar
  /** The short bar before it, where the tune has a pickup. */
  readonly pickup?: ArrangedBar
  /** The chord the opening leads to; absent where bar 1 begins without one. */
  readonly goal?: Chord
  readonly key: KeySignature
  readonly colour: Colour
}

/** One bar of an opening; everything not said here is bar 1's. */
export interface OpeningBar {
  readonly chords: readonly PlacedChord[]
  readonly melody?: readonly ArrangedNote[]
  readonly tuneBar?: number
  readonly frame?: Partial<
    Pick<ArrangedBar, 'metre' | 'groups' | 'lengthTicks' | 'key' | 'feel' | 'tempoBpm' | 'tempoEndBpm' | 'fermataTick'>
  >
}
export interface Written {
  readonly bars: readonly OpeningBar[]
  readonly title: string
  /** What happens in it, as a clause; the connection to bar 1 is added. */
  readonly says: string
  readonly reason: readonly RuleStep[]
  readonly suits: number
}
export type Writing = Written | { readonly refused: string }

export interface OpeningIdea {
  readonly id: string
  readonly rule: string
  readonly energy: number
  readonly distance: number
  readonly difficulty: number
  /** Parameters worth offering here, best first; a sentence where there are none. */
  readonly variants: (door: Doorway) => readonly Params[] | string
  /** Further ones: the length a leader asks for, and those of 'show me more'. */
  readonly wished?: (door: Doorway, wish: Wish) => readonly Params[]
  /** Total: params come from anywhere. */
  readonly write: (door: Doorway, params: Params) => Writing
}

export function doorwayOf(bars: readonly ArrangedBar[], tune: Tune, plan: Plan): Doorway | undefined {
  const hasPickup = bars[0] !== undefined && isShort(bars[0]) && bars.length > 1
  const first = bars[hasPickup ? 1 : 0]
  if (!first) return undefined
  const chord = first.chords[0]?.chord
  return {
    tune,
    plan,
    bars,
    first,
    ...(hasPickup && bars[0] ? { pickup: bars[0] } : {}),
    ...(chord && chord.root !== '' ? { goal: chord } : {}),
    key: first.key,
    colour: colourOf(first.key, bars),
  }
}

export function openingRecipe(idea: OpeningIdea): Recipe {
  return {
    id: idea.id,
    kind: 'opening',
    offer: ({ bars, tune, plan, wish }): Offers => {
      const door = doorwayOf(bars, tune, plan)
      if (!door) return { absent: 'There are no bars to open.' }
      const variants = idea.variants(door)
      if (typeof variants === 'string') return { absent: variants }
      return offersOf(door, idea, distinctParams([...variants, ...(idea.wished?.(door, wish) ?? [])]))
    },
    apply: (bars, chosen, { tune, plan }): Applied => {
      const door = doorwayOf(bars, tune, plan)
      const say = (text: string): Applied => ({
        bars,
        issues: [
          issue('OP13', 'warning', 'chosen', `${chosen.option.title}: ${text} The tune begins without an opening.`),
        ],
      })
      if (!door) return say('There are no bars to open.')
      const written = idea.write(door, chosen.option.params)
      if ('refused' in written) return say(written.refused)
      return { bars: placedBefore(door, written.bars, chosen.option.id, idea.rule).bars, issues: [] }
    },
  }
}

function offersOf(door: Doorway, idea: OpeningIdea, variants: readonly Params[]): Offers {
  const offers: Offer[] = []
  let refusal = ''
  for (const params of variants) {
    const written = idea.write(door, params)
    if ('refused' in written) {
      refusal ||= written.refused
      continue
    }
    const { connection, leading } = placedBefore(door, written.bars, '', idea.rule)
    const named = (text: string): string => asPlayed(text, written.bars.at(-1)?.chords.at(-1)?.chord, leading)
    const isLoose = connection.kind === 'none' || connection.kind === 'common-tones'
    offers.push({
      recipe: idea.id,
      title: named(written.title),
      params,
      summary: `${capital(named(written.says))}; ${connection.text}.`,
      reason: [...written.reason, { rule: 'OP2', text: connection.text }],
      suits: isLoose ? written.suits * 0.7 : written.suits,
      energy: idea.energy,
      distance: idea.distance,
      difficulty: idea.difficulty,
    })
  }
  return offers.length > 0 ? { offers } : { absent: refusal }
}

/** The bars with the opening before them: a pickup takes the end of its last bar, and the closing bar that completed it becomes full. */
function placedBefore(
  door: Doorway,
  written: readonly OpeningBar[],
  optionId: string,
  rule: string,
): { readonly bars: readonly ArrangedBar[]; readonly connection: Connection; readonly leading: Chord } {
  const made = written.map((bar) => madeBar(door, bar, optionId, rule))
  const homePc = pitchClass(tonicOf(door.key.key))
  const { pickup } = door
  const last = must(made.at(-1), 'an opening has bars')
  const joined = pickup ? overPickup(last, pickup) : last
  const lastPlaced = joined.chords.findLast(({ chord }) => chord.root !== '') ?? joined.chords.at(-1)
  const leading = must(lastPlaced, 'a chord').chord
  const connection = connectionTo(leading, door.goal, homePc)
  const rest = pickup ? door.bars.slice(1) : door.bars
  const startsShort = made[0] !== undefined && isShort(made[0])
  const tune = rest.map((bar, index) => (index === rest.length - 1 && !startsShort ? wholeBar(bar) : bar))
  return { bars: [...made.slice(0, -1), joined, ...tune], connection, leading }
}

/** Words that name the last chord as it is played: the pickup may have made a sus of it. */
function asPlayed(text: string, planned: Chord | undefined, played: Chord): string {
  if (!planned || planned.root === '' || planned.root !== played.root) return text
  const [was, is] = [shown(planned), shown(played)]
  const at = was === is ? -1 : text.lastIndexOf(was)
  return at < 0 ? text : text.slice(0, at) + is + text.slice(at + was.length)
}

function madeBar({ first }: Doorway, bar: OpeningBar, optionId: string, rule: string): ArrangedBar {
  return {
    barIndex: 0,
    sectionId: 'opening',
    pass: 'opening',
    metre: first.metre,
    groups: first.groups,
    lengthTicks: first.lengthTicks,
    key: first.key,
    tempoBpm: first.tempoBpm,
    feel: first.feel,
    ...bar.frame,
    chords: bar.chords,
    melody: bar.melody ?? [],
    parts: {},
    provenance: {
      decision: 'opening',
      optionId,
      rule,
      ...(bar.tuneBar === undefined ? {} : { tuneBar: bar.tuneBar }),
    },
  }
}

/** The last bar with the pickup in its end. Its chord gives way to one the pickup fits; where none does, the band stops for it. */
function overPickup(last: ArrangedBar, pickup: ArrangedBar): ArrangedBar {
  const bar = withLeadIn(last, pickup)
  const offset = bar.lengthTicks - pickup.lengthTicks
  const start = offset + (pickup.melody[0]?.startTick ?? 0)
  const names = pickup.melody.map((note) => nameOfPitch(note.name))
  const placed = must(bar.chords.at(-1), 'a chord')
  const { chord } = placed
  if (names.length === 0 || chord.root === '') return bar
  const worst = (candidate: Chord): number => Math.max(...names.map((name) => RANK[fitOf(candidate, name)]))
  const isPull = /7/.test(chord.symbol) && chord.bass === undefined
  const candidates = isPull
    ? [chord, nameForMelody(parsed(`${chord.root}7`), names), parsed(`${chord.root}7sus`)]
    : [chord, nameForMelody(chord, names)]
  const best = candidates.toSorted((a, b) => worst(a) - worst(b))[0] as Chord
  const before = bar.chords.slice(0, -1)
  const clashesBefore = before.some(({ chord: own, startTick, durationTicks }) =>
    bar.melody.some(
      (note) =>
        note.startTick >= start &&
        note.startTick < startTick + durationTicks &&
        fitOf(own, nameOfPitch(note.name)) === 'hard',
    ),
  )
  if (worst(best) < RANK.hard && !clashesBefore) return { ...bar, chords: [...before, { ...placed, chord: best }] }
  const kept = bar.chords.filter(({ startTick }) => startTick < start)
  return {
    ...bar,
    chords: filled([...kept, { startTick: start, durationTicks: 0, chord: parsed('N.C.') }], bar.lengthTicks),
  }
}

const RANK: { readonly [fit in Fit]: number } = { ok: 0, soft: 1, hard: 2 }

/** The number of bars asked for, or the sentence why it can't be. */
export function barsAsked(params: Params, least = 1): number | string {
  const value = params['bars']
  if (typeof value === 'number' && Number.isInteger(value) && value >= least && value <= MOST_BARS) return value
  return `It can't be ${String(value)} bars long; ${least} to ${MOST_BARS} whole bars work.`
}

/** '8 bars', '1 bar'. */
export const lengthInWords = (count: number): string => `${count} bar${count === 1 ? '' : 's'}`
