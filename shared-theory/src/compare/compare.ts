/** Two plans compared: what changed for the whole, said once, and which bars changed and how. */
import { compileForm } from '../compile/index.js'
import type { ArrangedBar, Plan } from '../contract/index.js'
import { hashOf } from '../units/index.js'
import { alignBars, type Cell, isPickup } from './align.js'
import { differencesOf } from './bar-differences.js'
import type { BarChange, Comparison } from './shape.js'
import {
  choiceChanges,
  lengthChange,
  lineupChanges,
  passChanges,
  stretchChanges,
  voicingChanges,
} from './whole-differences.js'

/** Compiles both plans and tells what the second has that the first had not. Never throws, whatever the plans are. */
export function comparePlans(before: Plan, after: Plan): Comparison {
  const [old, now] = [compileForm(before).bars, compileForm(after).bars]
  const cells = alignBars(old, now)
  const found = foldedRepeats(barChanges(cells, old, now, before, after), old, now)
  const added = cells.filter((cell) => cell.before.length === 0).flatMap((cell) => cell.after)
  const gone = cells.filter((cell) => cell.after.length === 0).flatMap((cell) => cell.before)
  const changed = cells
    .filter((cell) => cell.before.length > 0 && cell.after.length > 0)
    .filter((cell) => differencesOf(barsAt(old, cell.before), barsAt(now, cell.after)).length > 0)
    .flatMap((cell) => cell.after)
  const isOtherTune = hashOf([before.tune.title, before.tune.bars]) !== hashOf([after.tune.title, after.tune.bars])
  return {
    whole: [
      ...(isOtherTune ? [{ kind: 'tune' as const, before: before.tune.title, after: after.tune.title }] : []),
      ...choiceChanges(before, after),
      ...stretchChanges(cells, old, now),
      ...passChanges(before, after, { before: old, after: now }),
      ...lineupChanges(before, after),
      ...voicingChanges(before, after),
      ...lengthChange(old, now),
    ],
    changes: found,
    counts: {
      changed: changed.length,
      added: added.length,
      gone: gone.length,
      alike: now.length - changed.length - added.length,
    },
    before: old,
    after: now,
  }
}

const barsAt = (bars: readonly ArrangedBar[], indices: readonly number[]): readonly ArrangedBar[] =>
  indices.flatMap((index) => bars[index] ?? [])

const passOf = (bar: ArrangedBar | undefined): string => bar?.pass.split('#')[0] ?? ''
const passesOf = (bars: readonly ArrangedBar[]): ReadonlySet<string> => new Set(bars.map(({ pass }) => pass))
const plays = ({ roadmap }: Plan, pass: string): boolean =>
  pass === 'opening' || pass === 'ending' || roadmap.some(({ id }) => id === pass)
/** Changes bar by bar; neighbours that were added, taken out or exchanged together are one change. Whole passes that came or went are told by the running order. */
function barChanges(
  cells: readonly Cell[],
  old: readonly ArrangedBar[],
  now: readonly ArrangedBar[],
  before: Plan,
  after: Plan,
): readonly BarChange[] {
  const [oldPasses, nowPasses] = [passesOf(old), passesOf(now)]
  const isToldElsewhere = ({ before: left, after: right }: Cell): boolean => {
    if (left.length > 0 && right.length > 0) return false
    const bar = old[left[0] ?? -1] ?? now[right[0] ?? -1]
    const pass = passOf(bar)
    if (isPickup(bar)) return true
    if (!plays(before, pass) || !plays(after, pass)) return true
    // Another time through the same pass.
    const isRepeat = bar?.pass.includes('#') === true
    return isRepeat && !(oldPasses.has(bar.pass) && nowPasses.has(bar.pass))
  }
  const changes: BarChange[] = []
  let gap: { before: number[]; after: number[] } = { before: [], after: [] }
  const close = () => {
    changes.push(...gapChanges(gap))
    gap = { before: [], after: [] }
  }
  for (const cell of cells) {
    if (isToldElsewhere(cell)) continue
    if (cell.before.length === 0 || cell.after.length === 0) {
      const next = old[cell.before[0] ?? -1] ?? now[cell.after[0] ?? -1]
      const last = old[gap.before.at(-1) ?? -1] ?? now[gap.after.at(-1) ?? -1]
      if (last && next?.pass !== last.pass) close()
      gap.before.push(...cell.before)
      gap.after.push(...cell.after)
      continue
    }
    close()
    const differences = differencesOf(barsAt(old, cell.before), barsAt(now, cell.after))
    if (differences.length > 0) changes.push({ kind: 'changed', ...cell, differences, again: 0 })
  }
  close()
  return changes
}

function gapChanges({ before, after }: Cell): readonly BarChange[] {
  if (before.length === 0 && after.length === 0) return []
  const kind = before.length === 0 ? 'added' : after.length === 0 ? 'gone' : 'replaced'
  return [{ kind, before, after, differences: [], again: 0 }]
}

/** A pass played several times changes alike each time: that is told at its first. */
function foldedRepeats(
  changes: readonly BarChange[],
  old: readonly ArrangedBar[],
  now: readonly ArrangedBar[],
): readonly BarChange[] {
  const kept: BarChange[] = []
  const first = new Map<string, number>()
  for (const change of changes) {
    const bar = now[change.after[0] ?? -1] ?? old[change.before[0] ?? -1]
    const key = hashOf([
      bar?.pass.split('#')[0],
      bar?.sectionId,
      bar?.provenance.tuneBar ?? null,
      change.kind,
      change.differences,
      change.before.length,
      change.after.length,
    ])
    const known = bar?.pass.includes('#') ? first.get(key) : undefined
    if (known === undefined) {
      first.set(key, kept.length)
      kept.push(change)
    } else kept[known] = { ...(kept[known] as BarChange), again: (kept[known] as BarChange).again + 1 }
  }
  return kept
}
