/** What an ending recipe has to bring: lengths worth offering, and the bars it plays from the close on. Names, provenance, the fermata,
 *  ties and the guard against clashes are the same for all. */
import type {
  ArrangedBar,
  ArrangedNote,
  Chord,
  Chosen,
  Issue,
  Option,
  Plan,
  RuleStep,
  Tune,
  Wish,
} from '../../contract/index.js'
import { beatTicks, judgeMelody, show } from '../../fit/index.js'
import { issue, must, nameOfPitch } from '../../units/index.js'
import { distinctParams, laidIn, MOST_BARS, wholeBar } from '../bars.js'
import { shown } from '../lift/words.js'
import type { Applied, Offer, Offers, Recipe } from '../recipe.js'
import { stamped } from '../stamp.js'
import { type Close, closeOf, heldNote } from './close.js'

export type Params = Option['params']

export interface EndingContext {
  readonly tune: Tune
  readonly plan: Plan
}
export interface Written {
  /** Bars from `from` to the end; what stood there is replaced. */
  readonly bars: readonly ArrangedBar[]
  /** Default the close's `at`; at the end of the bars nothing before changes. */
  readonly from?: number
  /** Bars keep the names of the pass they stand in: nothing but their tempo or signs change. */
  readonly keepsNames?: true
  readonly hasNoFermata?: true
  readonly title: string
  readonly summary: string
  readonly reason: readonly RuleStep[]
  /** 0…1, by the recipe's own light. */
  readonly suits: number
}
export type Writing = Written | { readonly refused: string }

export interface EndingIdea {
  readonly id: string
  readonly rule: string
  readonly energy: number
  readonly distance: number
  readonly difficulty: number
  /** It adds no bars, whatever it is asked for. */
  readonly addsNone?: true
  /** Parameters worth offering here, best first; a sentence where there are none. */
  readonly variants: (close: Close, context: EndingContext) => readonly Params[] | string
  /** Further ones: the lengths and lines a leader asks for by name come first, those of 'show me more' after. */
  readonly wished?: (close: Close, wish: Wish, context: EndingContext) => readonly Params[]
  /** Total: params come from anywhere. */
  readonly write: (close: Close, params: Params, context: EndingContext) => Writing
}

export function endingRecipe(idea: EndingIdea): Recipe {
  return {
    id: idea.id,
    kind: 'ending',
    offer: ({ bars, tune, plan, wish }): Offers => {
      const close = closeOf(bars)
      if (!close) return { absent: 'There are no bars to end.' }
      const variants = idea.variants(close, { tune, plan })
      if (typeof variants === 'string') return { absent: variants }
      const offers: Offer[] = []
      let refusal = ''
      const asked = idea.wished?.(close, wish, { tune, plan }) ?? []
      for (const params of distinctParams([...variants, ...asked])) {
        const made = endedBars(bars, close, idea, params, '', { tune, plan })
        if (typeof made === 'string') {
          refusal ||= made
          continue
        }
        const { title, summary, reason, suits } = made.written
        const { energy, distance, difficulty } = idea
        offers.push({ recipe: idea.id, title, params, summary, reason, suits, energy, distance, difficulty })
      }
      return offers.length > 0 ? { offers } : { absent: refusal }
    },
    apply: (bars, chosen, context): Applied => {
      const close = closeOf(bars)
      const made = close
        ? endedBars(bars, close, idea, chosen.option.params, chosen.option.id, context)
        : 'There are no bars to end.'
      if (typeof made !== 'string')
        return { bars: made.bars, issues: idea.addsNone && close?.madeHome === 0 ? surplus(chosen) : [] }
      const text = `${chosen.option.title}: ${made} The tune ends as written.`
      return { bars, issues: [issue('EN13', 'warning', 'chosen', text)] }
    },
  }
}

/** Bars asked of an ending that has none to give. */
export function surplus({ option }: Chosen): readonly Issue[] {
  const asked = option.params['bars']
  if (typeof asked !== 'number' || asked <= 0) return []
  const text = `${option.title}: this ending adds no bars; choose another one for ${asked}.`
  return [issue('EN13', 'warning', 'chosen', text)]
}

/** The whole running order with the ending in place; a sentence where it cannot be. */
function endedBars(
  all: readonly ArrangedBar[],
  close: Close,
  idea: EndingIdea,
  params: Params,
  optionId: string,
  context: EndingContext,
): { readonly bars: readonly ArrangedBar[]; readonly written: Written } | string {
  const written = idea.write(close, params, context)
  if ('refused' in written) return written.refused
  const from = written.from ?? close.at
  const startsShort = all[0] !== undefined && wholeBar(all[0]) !== all[0]
  const head = (from >= all.length && from !== close.at ? all : close.bars.slice(0, from)).map((bar, index) => {
    const joined = index === from - 1 && index > 0 ? wholeBar(bar) : bar
    return joined === all[index]
      ? bar
      : { ...joined, provenance: stamped(bar.provenance, 'ending', optionId, idea.rule) }
  })
  const ending = written.bars.map((bar, index): ArrangedBar => {
    const isLast = index === written.bars.length - 1
    const whole = isLast && startsShort ? bar : wholeBar(bar)
    const named = written.keepsNames ? whole : { ...whole, sectionId: 'ending', pass: 'ending' }
    const held = isLast && !written.hasNoFermata ? { fermataTick: named.melody.at(-1)?.startTick ?? 0 } : {}
    return { ...named, ...held, provenance: stamped(bar.provenance, 'ending', optionId, idea.rule) }
  })
  const isLate = close.madeHome > 0 && written.from === undefined && ending.length > 1
  if (!isLate) return joinedOrClash(all, head, ending, from, written)
  // Home begins inside the last bar: what delays it comes right there, and home is a bar of its own.
  let clash = ''
  for (const tick of lateTicks(close)) {
    const [before, after] = takenIn(must(head.at(-1), 'a last bar'), ending, tick)
    const stampedBefore = { ...before, provenance: stamped(before.provenance, 'ending', optionId, idea.rule) }
    const made = joinedOrClash(all, [...head.slice(0, -1), stampedBefore], after, from - 1, written)
    if (typeof made !== 'string') return made
    clash ||= made
  }
  return clash
}

function joinedOrClash(
  all: readonly ArrangedBar[],
  head: readonly ArrangedBar[],
  ending: readonly ArrangedBar[],
  from: number,
  written: Written,
): { readonly bars: readonly ArrangedBar[]; readonly written: Written } | string {
  const bars = [...head.slice(0, -1), ...withoutLooseTies([...head.slice(-1), ...ending])]
  return newClash(all, bars, from) ?? { bars, written }
}

/** Where in the last bar what is new may begin: the beat at or after home's beginning, the beat before it, that very place. */
export function lateTicks({ bars, homeTick }: Close): readonly number[] {
  const last = must(bars.at(-1), 'a last bar')
  const beat = beatTicks(last.metre)
  const onBeats = [Math.ceil(homeTick / beat) * beat, Math.floor(homeTick / beat) * beat]
  return [...new Set([...onBeats, homeTick])].filter((tick) => tick < wholeBar(last).lengthTicks)
}

/** The first added bar's chords taken into the bar before, from a tick on. */
function takenIn(
  before: ArrangedBar,
  [first, second, ...rest]: readonly ArrangedBar[],
  tick: number,
): readonly [ArrangedBar, readonly ArrangedBar[]] {
  const chords = (first?.chords ?? []).map(({ chord }) => chord)
  const next = must(second, 'home')
  const marked = first?.mark === undefined ? next : { ...next, mark: first.mark }
  return [{ ...before, chords: laidIn(before, chords, tick) }, [marked, ...rest]]
}

/** A tie that the next bar does not take up ends at its bar line. */
function withoutLooseTies(bars: readonly ArrangedBar[]): readonly ArrangedBar[] {
  return bars.map((bar, index) => {
    const note = bar.melody.at(-1)
    const next = bars[index + 1]?.melody[0]
    if (!note?.tiedToNext || (next?.startTick === 0 && next.midi === note.midi)) return bar
    const { tiedToNext: _tiedToNext, ...ended } = note
    return { ...bar, melody: [...bar.melody.slice(0, -1), ended] }
  })
}

/** The first hard note of bars the tune did not have like this. */
function newClash(all: readonly ArrangedBar[], bars: readonly ArrangedBar[], from: number): string | undefined {
  for (let index = from; index < bars.length; index++) {
    const bar = bars[index] as ArrangedBar
    const before = bars[index - 1]?.melody.at(-1)?.midi
    const after = bars[index + 1]?.melody[0]?.midi
    const around = { ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) }
    const tuneBar = bar.provenance.tuneBar
    const own = tuneBar === undefined ? undefined : all.findLast(({ provenance }) => provenance.tuneBar === tuneBar)
    const had = own ? judgeMelody(own).filter(({ fit }) => fit === 'hard') : []
    const finding = judgeMelody(bar, around).find(
      ({ fit, noteIndex, chordIndex }) =>
        fit === 'hard' &&
        !had.some(
          (was) =>
            was.noteIndex === noteIndex &&
            own?.chords[was.chordIndex]?.chord.symbol === bar.chords[chordIndex]?.chord.symbol,
        ),
    )
    if (!finding) continue
    const note = must(bar.melody[finding.noteIndex], 'a judged note')
    const chord = must(bar.chords[finding.chordIndex], 'a judged chord').chord
    return `The melody's ${show(nameOfPitch(note.name))} over ${shown(chord)} is its ${finding.degree}.`
  }
  return undefined
}

/** A bar the ending adds: the frame of the first bar at home, chords laid in evenly, no tune bar behind it. */
export function addedBar(close: Close, chords: readonly Chord[], melody: readonly ArrangedNote[] = []): ArrangedBar {
  const {
    mark: _mark,
    fermataTick: _fermata,
    dynamic: _dynamic,
    tempoEndBpm: _end,
    ...frame
  } = wholeBar(close.home[0] as ArrangedBar)
  return {
    ...frame,
    chords: laidIn({ ...frame, chords: [] }, chords),
    melody,
    provenance: { decision: 'tune', rule: '' },
  }
}

/** Bars added under the held note, which goes on through all of them and into what follows. */
export function heldThrough(close: Close, bars: readonly (readonly Chord[])[]): readonly ArrangedBar[] {
  return bars.map((chords) => {
    const bar = addedBar(close, chords)
    return close.held
      ? { ...bar, melody: [{ ...heldNote(close.held, bar.lengthTicks), tiedToNext: true as const }] }
      : bar
  })
}

/** The number of bars asked for, or the sentence why it can't be. */
export function barsAsked(params: Params, least = 1, most = MOST_BARS): number | string {
  const value = params['bars']
  if (typeof value === 'number' && Number.isInteger(value) && value >= least && value <= most) return value
  return `It can't add ${String(value)} bars; ${least} to ${most} work.`
}

/** '8 bars', '1 bar'. */
export const lengthInWords = (count: number): string => `${count} bar${count === 1 ? '' : 's'}`

/** 'the held F', or 'the close' where the melody rests. */
export const heldWord = ({ held }: Close): string => (held ? `the held ${show(nameOfPitch(held.name))}` : 'the close')
