/** The arrangement as the page shows it: passes and section cards in playing order, with their bars and times. */
import type { ArrangedBar, BoardState, KeySignature, Metre, PassPlan } from '@chartloft/shared-theory'
import { sameMetre, TICKS_PER_QUARTER } from '@chartloft/shared-theory'

export interface CardBar {
  readonly bar: ArrangedBar
  /** From 1, as people count. */
  readonly barNumber: number
  /** Differs from the tune as written. */
  readonly isChanged: boolean
  readonly isAdded: boolean
  /** Follows from a choice that is not locked. */
  readonly isPencilled: boolean
}
export interface SectionCard {
  /** 'passId/sectionId', as the draft names it; repetitions of a pass share it. */
  readonly key: string
  readonly passId: string
  readonly sectionId: string
  readonly letter: string
  /** 'first' of two or more cards with this letter in the pass, and so on; 1 of 1 where it stands alone. */
  readonly turn: number
  readonly turns: number
  readonly bars: readonly CardBar[]
  readonly startMs: number
  readonly lengthMs: number
  readonly startKey: KeySignature
  /** The key before, where this card starts in another one. */
  readonly keyBefore?: KeySignature
  readonly metre: Metre
  readonly feel: string
}
export type PassKind = 'opening' | 'ending' | PassPlan['kind']
export interface PassView {
  readonly id: string
  readonly kind: PassKind
  /** 0-based place among the passes of its kind, and how many there are. */
  readonly turn: number
  readonly turns: number
  readonly cards: readonly SectionCard[]
  /** How often it is played in a row; only the first time's cards are listed. */
  readonly times: number
  readonly firstBar: number
  readonly bars: number
  readonly startMs: number
  readonly lengthMs: number
  readonly plan?: PassPlan
}

/** Milliseconds a bar lasts; inside a slowing bar the mean of its two tempos, for display. */
export function barMs(bar: ArrangedBar): number {
  const bpm = bar.tempoEndBpm === undefined ? bar.tempoBpm : (bar.tempoBpm + bar.tempoEndBpm) / 2
  return (bar.lengthTicks / TICKS_PER_QUARTER) * (60_000 / bpm)
}

export function runningOrder(bars: readonly ArrangedBar[], state: BoardState): readonly PassView[] {
  const locked = new Set(state.locks.map(({ option }) => `${option.kind} ${option.id}`))
  const home = bars[0]?.key
  const starts: number[] = []
  let at = 0
  for (const bar of bars) {
    starts.push(at)
    at += barMs(bar)
  }
  const spans = runs(bars, (bar) => basePass(bar.pass))
  const passes = spans.map(([from, to]): PassView => {
    const id = basePass((bars[from] as ArrangedBar).pass)
    const plan = state.roadmap.find((pass) => pass.id === id)
    const repeats = runs(bars.slice(from, to), (bar) => bar.pass)
    const firstTime = repeats[0]?.[1] ?? 0
    const letters = new Map(state.tune?.sections.map((section) => [section.id, section.letter]))
    const cards = runs(bars.slice(from, from + firstTime), (bar) => bar.sectionId).map(([start, end]) =>
      cardOf(bars, starts, from + start, from + end, letters, locked, home),
    )
    return {
      id,
      kind: id === 'opening' || id === 'ending' ? id : (plan?.kind ?? 'chorus'),
      turn: 0,
      turns: 1,
      cards: counted(cards),
      times: repeats.length,
      firstBar: from,
      bars: to - from,
      startMs: starts[from] as number,
      lengthMs: (starts[to] ?? at) - (starts[from] as number),
      ...(plan ? { plan } : {}),
    }
  })
  return passes.map((pass, index) => ({
    ...pass,
    turn: passes.slice(0, index).filter((other) => other.kind === pass.kind).length,
    turns: passes.filter((other) => other.kind === pass.kind).length,
  }))
}

export function basePass(pass: string): string {
  return pass.split('#')[0] as string
}

function cardOf(
  bars: readonly ArrangedBar[],
  starts: readonly number[],
  from: number,
  to: number,
  letters: ReadonlyMap<string, string>,
  locked: ReadonlySet<string>,
  home: KeySignature | undefined,
): SectionCard {
  const first = bars[from] as ArrangedBar
  const last = bars[to - 1] as ArrangedBar
  const before = bars[from - 1]
  const startMs = starts[from] as number
  return {
    key: `${basePass(first.pass)}/${first.sectionId}`,
    passId: basePass(first.pass),
    sectionId: first.sectionId,
    letter: letters.get(first.sectionId) ?? first.sectionId,
    turn: 1,
    turns: 1,
    bars: bars.slice(from, to).map((bar) => ({
      bar,
      barNumber: bar.barIndex + 1,
      isChanged: isChanged(bar, home),
      isAdded: bar.provenance.tuneBar === undefined,
      isPencilled: makers(bar).some((maker) => !locked.has(maker)),
    })),
    startMs,
    lengthMs: (starts[to - 1] as number) + barMs(last) - startMs,
    startKey: first.key,
    ...(before && before.key.fifths !== first.key.fifths ? { keyBefore: before.key } : {}),
    metre: first.metre,
    feel: first.feel,
  }
}

/** 'decision optionId' of every choice that had a hand in a bar. */
function makers(bar: ArrangedBar): readonly string[] {
  const { decision, optionId, trail = [] } = bar.provenance
  const all = trail.map((step) => `${step.decision} ${step.optionId}`)
  if (decision !== 'tune' && optionId !== undefined) all.push(`${decision} ${optionId}`)
  return all
}

/** A groove changes how every bar is played and a lift where it stands: that is said by the card's facts. Hatched is what has other notes or chords. */
function isChanged(bar: ArrangedBar, home: KeySignature | undefined): boolean {
  const decisions = new Set([bar.provenance.decision, ...(bar.provenance.trail ?? []).map((step) => step.decision)])
  if (decisions.has('harmony') || decisions.has('opening') || decisions.has('ending')) return true
  return decisions.has('lift') && bar.key.fifths === home?.fifths
}

function counted(cards: readonly SectionCard[]): readonly SectionCard[] {
  return cards.map((card, index) => ({
    ...card,
    turn: cards.slice(0, index).filter((other) => other.letter === card.letter).length + 1,
    turns: cards.filter((other) => other.letter === card.letter).length,
  }))
}

/** Runs of neighbours with the same name, as [from, to). */
function runs<T>(list: readonly T[], nameOf: (item: T) => string): readonly (readonly [number, number])[] {
  const found: [number, number][] = []
  list.forEach((item, index) => {
    const last = found.at(-1)
    if (last && nameOf(list[last[0]] as T) === nameOf(item)) last[1] = index + 1
    else found.push([index, index + 1])
  })
  return found
}

/** The one metre of the whole piece, or none where it changes. */
export function uniform(bars: readonly ArrangedBar[]): { readonly metre?: Metre } {
  const [first] = bars
  return first && bars.every((bar) => sameMetre(bar.metre, first.metre)) ? { metre: first.metre } : {}
}

/** The bar a playback has reached after `elapsedMs`; undefined once it is past the end. */
export function barAfter(
  bars: readonly ArrangedBar[],
  from: { readonly fromTick: number; readonly tempoScale: number; readonly loop?: readonly [number, number] },
  elapsedMs: number,
): number | undefined {
  if (from.loop) return barAtTick(bars, from.loop[0])
  let index = barAtTick(bars, from.fromTick)
  let left = elapsedMs * from.tempoScale
  while (left > 0) {
    const bar = bars[index]
    if (!bar) return undefined
    left -= barMs(bar)
    if (left > 0) index++
  }
  return index
}

function barAtTick(bars: readonly ArrangedBar[], tick: number): number {
  let end = 0
  const index = bars.findIndex((bar) => (end += bar.lengthTicks) > tick)
  return index < 0 ? bars.length : index
}
