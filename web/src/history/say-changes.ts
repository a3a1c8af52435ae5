/** A comparison in a musician's words: what is said once, and the changed bars gathered by lines of the chart. */
import type { BarChange, BoardState, Comparison, PassPlan, WholeChange } from '@chartloft/shared-theory'
import { passFacts, passName } from '../details/say-pass.js'
import { withSigns } from '../look/chord-symbol.js'
import { beatOf, sayFeel } from '../look/say.js'
import { compareWords } from '../words-compare.js'
import { type Places, placesIn } from './places.js'

export interface Told {
  readonly topic: string
  readonly text: string
}

/** Neighbouring changes of one section, at most a line of the chart, with what is said of each. */
export interface ToldBars {
  readonly place: string
  readonly texts: readonly string[]
  /** Indices of the bars drawn. */
  readonly before: readonly number[]
  readonly after: readonly number[]
}

export interface Sides {
  readonly before: BoardState
  readonly after: BoardState
}

/** What holds for the whole, in the order it was found; two of one topic stay two. */
export function sayWhole(comparison: Comparison, { before, after }: Sides): readonly Told[] {
  const names = { before: placesIn(comparison.before, before), after: placesIn(comparison.after, after) }
  return comparison.whole.map((change) => sayOne(change, comparison, { before, after }, names))
}

function sayOne(
  change: WholeChange,
  comparison: Comparison,
  states: Sides,
  names: { readonly before: Places; readonly after: Places },
): Told {
  if (change.kind === 'choice') {
    const place = names.after.ofRef(change.at) || names.before.ofRef(change.at)
    return {
      topic: compareWords.choice(change.decision, place),
      text: compareWords.choiceBecame(change.before, change.after, change.isEdited),
    }
  }
  const topic = compareWords.topic[change.kind]
  const along = (text: string, { from, to, isAll }: { from: number; to: number; isAll: boolean }): Told => {
    if (isAll) return { topic, text }
    const first = names.after.of(from)
    const isToEnd = to >= comparison.after.length
    const place = compareWords.place(first)
    return {
      topic,
      text: isToEnd
        ? compareWords.from(text, place)
        : compareWords.only(text, compareWords.place(first, names.after.of(to - 1))),
    }
  }
  switch (change.kind) {
    case 'tune':
      return {
        topic,
        text: change.before === change.after ? change.after : compareWords.became(change.before, change.after),
      }
    case 'length':
      return { topic, text: compareWords.length(change.before, change.after) }
    case 'key': {
      const text = compareWords.became(withSigns(change.before), withSigns(change.after))
      return along(compareWords.moved(text, change.semitones), change)
    }
    case 'metre':
      return along(compareWords.became(change.before, change.after), change)
    case 'feel':
      return along(compareWords.became(sayFeel(change.before), sayFeel(change.after)), change)
    case 'tempo':
      return along(compareWords.became(String(change.before), String(change.after)), change)
    case 'part-added':
      return { topic, text: compareWords.partAdded(change.part) }
    case 'part-gone':
      return { topic, text: compareWords.partGone(change.part) }
    case 'part-changed':
      return { topic, text: compareWords.partChanged(change.before, change.after) }
    case 'lead':
      return { topic, text: compareWords.lead(change.before, change.after) }
    case 'voicings': {
      const part = [...states.after.lineup, ...states.before.lineup].find(({ id }) => id === change.partId)
      return { topic, text: compareWords.voicings(part?.name ?? change.partId, change.places) }
    }
    case 'pass-added':
      return { topic, text: compareWords.passAdded(passName(states.after.roadmap, change.pass), change.bars) }
    case 'pass-gone':
      return { topic, text: compareWords.passGone(passName(states.before.roadmap, change.pass), change.bars) }
    case 'pass-order':
      return { topic, text: compareWords.passOrder(change.after.map((id) => names.after.pass(id))) }
    case 'pass-changed': {
      const facts = (state: BoardState, pass: PassPlan) =>
        [lettersOf(state, pass), ...passFacts(pass, state.lineup)].join(', ')
      return {
        topic,
        text: compareWords.passChanged(
          passName(states.after.roadmap, change.after),
          facts(states.before, change.before),
          facts(states.after, change.after),
        ),
      }
    }
  }
}

/** 'A A B A'. */
export function lettersOf({ tune }: BoardState, { sections }: PassPlan): string {
  return sections.map((id) => tune?.sections.find((section) => section.id === id)?.letter ?? id).join(' ')
}

/** Most bars drawn of one change. */
const DRAWN = 8
const LINE = 4

/** Changed bars, neighbours of one section together up to a line of the chart; stretches that came or went each for itself. */
export function sayBars(comparison: Comparison, { before, after }: Sides): readonly ToldBars[] {
  const old = placesIn(comparison.before, before)
  const now = placesIn(comparison.after, after)
  const lines: BarChange[][] = []
  for (const change of comparison.changes) {
    const line = lines.at(-1)
    const last = line?.at(-1)
    if (line && last && joins(last, change, line, now)) line.push(change)
    else lines.push([change])
  }
  return lines.map((line) => {
    const [first, last] = [line[0] as BarChange, line.at(-1) as BarChange]
    const places = first.after.length > 0 ? now : old
    const [from, to] =
      first.after.length > 0 ? [first.after[0], last.after.at(-1)] : [first.before[0], last.before.at(-1)]
    return {
      place: compareWords.place(places.of(from as number), places.of(to as number)),
      texts: line.map((change) => sayBar(change, comparison, now, line.length > 1)),
      before: line.flatMap((change) => change.before).slice(0, DRAWN),
      after: line.flatMap((change) => change.after).slice(0, DRAWN),
    }
  })
}

function joins(last: BarChange, next: BarChange, line: readonly BarChange[], now: Places): boolean {
  if (last.kind !== 'changed' || next.kind !== 'changed' || last.again !== next.again) return false
  const [end, start] = [last.after.at(-1) as number, next.after[0] as number]
  const isNext = start === end + 1 && next.before[0] === (last.before.at(-1) as number) + 1
  const count = line.reduce((sum, change) => sum + change.after.length, 0)
  return isNext && count + next.after.length <= LINE && now.of(end).card === now.of(start).card
}

function sayBar(change: BarChange, { after }: Comparison, now: Places, isOneOfSeveral: boolean): string {
  const again = change.again > 0 ? [compareWords.again(change.again)] : []
  if (change.kind !== 'changed')
    return compareWords.differences([
      compareWords.stretch(change.kind, change.before.length, change.after.length),
      ...again,
    ])
  const [first] = change.after
  const bar = after[first as number]
  const beat = (tick: number) => (bar ? beatOf(bar, tick) : 1)
  const texts = [...change.differences.map((difference) => compareWords.difference(difference, beat)), ...again]
  return isOneOfSeveral
    ? compareWords.inBar(now.of(first as number).bar, texts.join('; '))
    : compareWords.differences(texts)
}
