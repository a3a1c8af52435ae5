/** The bars after a lift, and how a finding about something left behind is said. */
import type { ArrangedBar, Issue } from '../contract/index.js'
import { issue } from '../units/index.js'
import type { CheckContext } from './check-context.js'
import { plannedLifts } from './planned-lifts.js'
import { shownKey } from './words.js'

export interface Moved {
  readonly index: number
  readonly bar: ArrangedBar
  /** Semitones of all lifts so far, and of the last one. */
  readonly lifted: number
  readonly last: number
  /** The tune bar of a pickup in this bar that leads into the next lift: it has moved already. */
  readonly pickup?: number
}

export function movedBars(context: CheckContext): readonly Moved[] {
  const lifts = plannedLifts(context)
  const moved: Moved[] = []
  for (const [index, bar] of context.bars.entries()) {
    const done = lifts.filter((lift) => lift.index <= index)
    const last = done.at(-1)?.semitones
    const lifted = done.reduce((sum, { semitones }) => sum + semitones, 0)
    const next = lifts.some((lift) => lift.index === index + 1) ? context.bars[index + 1] : undefined
    const pickup = next ? (next.provenance.tuneBar ?? 0) - 1 : undefined
    const isLedOn = pickup !== undefined && pickup !== bar?.provenance.tuneBar
    if (bar && last !== undefined && lifted !== 0)
      moved.push({ index, bar, lifted, last, ...(isLedOn ? { pickup } : {}) })
  }
  return moved
}

/** One finding a stretch of neighbouring bars. */
export function checkEach(
  context: CheckContext,
  moved: readonly Moved[],
  path: string,
  what: string,
  isUnmoved: (bar: Moved) => boolean,
): Issue[] {
  const found: Issue[] = []
  let lastIndex = -2
  for (const item of moved) {
    if (!isUnmoved(item)) continue
    if (item.index !== lastIndex + 1) found.push(unmovedIssue(context, item, path, what))
    lastIndex = item.index
  }
  return found
}

export function unmovedIssue(context: CheckContext, { index, bar, last }: Moved, path: string, who: string): Issue {
  const isPlayer = who !== 'the melody' && who !== 'the chords' && who !== 'the key signature'
  const still = isPlayer ? 'still plays' : who === 'the chords' ? 'are still' : 'is still'
  const text = `From bar ${context.numberOf(index)} ${who} ${still} in ${keyBefore(context, index, last)}; the rest of the band is in ${bandKey(context, index, bar)}.`
  return issue('VA5', 'error', `bars/${index}/${path}`, text)
}

function keyBefore(context: CheckContext, index: number, semitones: number): string {
  const before = context.bars
    .slice(0, index)
    .findLast((bar) => bar !== undefined && bar.key !== context.bars[index]?.key)
  const lift = plannedLifts(context).findLast((planned) => planned.index <= index)
  const old = lift && context.bars[lift.index - 1]
  return old ? shownKey(old.key) : before ? shownKey(before.key) : `the key ${Math.abs(semitones)} half steps away`
}

/** The key most bars after the lift carry, should this bar's own be the fault. */
function bandKey(context: CheckContext, index: number, bar: ArrangedBar): string {
  const after = context.bars.slice(index).filter((other) => other !== undefined)
  const counts = new Map<string, number>()
  for (const { key } of after) counts.set(shownKey(key), (counts.get(shownKey(key)) ?? 0) + 1)
  return [...counts].sort(([, a], [, b]) => b - a)[0]?.[0] ?? shownKey(bar.key)
}
