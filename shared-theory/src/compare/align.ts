/** Which bars of two arrangements are each other's counterparts: by pass and tune bar, whatever the groove, the key or added bars have done to them. */
import type { ArrangedBar } from '../contract/index.js'
import { barTicks, hashOf, tuneBarsHeld } from '../units/index.js'

/** Bars before and after that hold the same bars of the tune; one side empty where the other has none. Indices, rising. */
export interface Cell {
  readonly before: readonly number[]
  readonly after: readonly number[]
}

/** Cells in the order of the bars after; what is gone stands where it was. Passes on one side only are no cells' business: see `passesOf`. */
export function alignBars(before: readonly ArrangedBar[], after: readonly ArrangedBar[]): readonly Cell[] {
  const [old, now] = [tokensOf(before), tokensOf(after)]
  const merged = sameClose(old, now)
  const [oldGroups, nowGroups] = [grouped(old, merged), grouped(now, merged)]
  const cells: Cell[] = []
  // Pass by pass: which passes stand beside each other in this list depends on the side one comes from.
  const add = (left: readonly Token[], right: readonly Token[]) =>
    cells.push(...pairedByMaker(cellsOf(left, right), before, after))
  for (const [pass, tokens] of nowGroups) add(oldGroups.get(pass) ?? [], tokens)
  for (const [pass, tokens] of oldGroups) if (!nowGroups.has(pass)) add(tokens, [])
  return cells
}

/** Bars the same option made in both, as many as before: an edit by hand changed them, they are counterparts one by one. */
function pairedByMaker(
  cells: readonly Cell[],
  before: readonly ArrangedBar[],
  after: readonly ArrangedBar[],
): readonly Cell[] {
  const found: Cell[] = []
  let gap: Cell[] = []
  const close = () => {
    const [old, now] = [gap.flatMap((cell) => cell.before), gap.flatMap((cell) => cell.after)]
    const isPaired =
      old.length === now.length &&
      old.every((bar, index) => isSameMaker(before[bar] as ArrangedBar, after[now[index] as number] as ArrangedBar))
    found.push(...(isPaired ? old.map((bar, index): Cell => ({ before: [bar], after: [now[index] as number] })) : gap))
    gap = []
  }
  for (const cell of cells) {
    if (cell.before.length === 0 || cell.after.length === 0) gap.push(cell)
    else {
      close()
      found.push(cell)
    }
  }
  close()
  return found
}

function isSameMaker(old: ArrangedBar, now: ArrangedBar): boolean {
  const maker = makerOf(old)
  return maker !== undefined && maker === makerOf(now) && old.pass === now.pass
}

const makerOf = ({ provenance: { tuneBar, trail, optionId } }: ArrangedBar): string | undefined =>
  tuneBar === undefined ? (trail?.[0]?.optionId ?? optionId) : undefined

/** One tune bar, in the bar or bars that play it; a bar made by a choice is named by what it looks like. */
interface Token {
  readonly key: string
  readonly pass: string
  readonly bars: readonly number[]
}

function tokensOf(bars: readonly ArrangedBar[]): readonly Token[] {
  const held = tuneBarsHeld(bars)
  const tokens: Token[] = []
  for (const [index, bar] of bars.entries()) {
    const { tuneBar } = bar.provenance
    const { pass } = bar
    const last = tokens.at(-1)
    if (tuneBar === undefined) tokens.push({ key: `made ${face(bar)}`, pass, bars: [index] })
    else if (last?.pass === pass && last.key === String(tuneBar)) {
      // One tune bar that has become two.
      tokens[tokens.length - 1] = { ...last, bars: [...last.bars, index] }
    } else {
      for (let step = 0; step < Math.max(1, held[index] as number); step++)
        tokens.push({ key: String(tuneBar + step), pass, bars: [index] })
    }
  }
  return tokens
}

/** An ending takes bars out of the pass before it: where that is the same pass on both sides, the two are read as one. */
function sameClose(old: readonly Token[], now: readonly Token[]): string | undefined {
  const lastPass = (tokens: readonly Token[]) => tokens.findLast(({ pass }) => pass !== 'ending')?.pass
  const last = lastPass(old)
  return last === lastPass(now) ? last : undefined
}

function grouped(tokens: readonly Token[], closing: string | undefined): ReadonlyMap<string, readonly Token[]> {
  const groups = new Map<string, Token[]>()
  for (const token of tokens) {
    const pass = token.pass === 'ending' && closing !== undefined ? closing : token.pass
    const group = groups.get(pass)
    if (group) group.push(token)
    else groups.set(pass, [token])
  }
  return groups
}

interface OpenCell {
  readonly before: number[]
  readonly after: number[]
}

function cellsOf(old: readonly Token[], now: readonly Token[]): readonly Cell[] {
  const cells = new Set<OpenCell>()
  const cellOf = { before: new Map<number, OpenCell>(), after: new Map<number, OpenCell>() }
  // A bar that holds several tune bars draws everything that stands for one of them into its cell.
  const add = (before: readonly number[], after: readonly number[]) => {
    const known = [
      ...before.flatMap((bar) => cellOf.before.get(bar) ?? []),
      ...after.flatMap((bar) => cellOf.after.get(bar) ?? []),
    ]
    const cell = known[0] ?? { before: [], after: [] }
    cells.add(cell)
    const take = (side: 'before' | 'after', bars: readonly number[]) => {
      for (const bar of bars) {
        if (cellOf[side].get(bar) === cell) continue
        cellOf[side].set(bar, cell)
        cell[side].push(bar)
      }
    }
    for (const other of known) {
      if (other === cell || !cells.delete(other)) continue
      take('before', other.before)
      take('after', other.after)
    }
    take('before', before)
    take('after', after)
  }
  for (const [left, right] of matched(old, now)) add(left?.bars ?? [], right?.bars ?? [])
  return [...cells].map(({ before, after }) => ({ before: rising(before), after: rising(after) }))
}

const rising = (bars: readonly number[]): readonly number[] => [...bars].sort((a, b) => a - b)

type Pair = readonly [old: Token | undefined, now: Token | undefined]

/** The longest common row of tokens, with what stands between; of several the one that matches earliest. */
function matched(old: readonly Token[], now: readonly Token[]): readonly Pair[] {
  const width = now.length + 1
  const best = new Uint16Array((old.length + 1) * width)
  for (let left = old.length - 1; left >= 0; left--)
    for (let right = now.length - 1; right >= 0; right--)
      best[left * width + right] =
        old[left]?.key === now[right]?.key
          ? 1 + (best[(left + 1) * width + right + 1] as number)
          : Math.max(best[(left + 1) * width + right] as number, best[left * width + right + 1] as number)
  // Of two ways as good, the side with more left goes first, then the lower name: turned round, the answer is the same.
  const goesFirst = (left: number, right: number): boolean => {
    const [dropOld, dropNow] = [best[(left + 1) * width + right] as number, best[left * width + right + 1] as number]
    const more = old.length - left - (now.length - right)
    if (dropOld !== dropNow) return dropOld > dropNow
    return more === 0 ? (old[left] as Token).key < (now[right] as Token).key : more > 0
  }
  const pairs: Pair[] = []
  let left = 0
  let right = 0
  while (left < old.length || right < now.length) {
    const [one, other] = [old[left], now[right]]
    if (one && other && one.key === other.key) {
      pairs.push([one, other])
      left++
      right++
    } else if (one && (!other || goesFirst(left, right))) {
      pairs.push([one, undefined])
      left++
    } else {
      pairs.push([undefined, other])
      right++
    }
  }
  return pairs
}

/** What is printed of a bar, without its tempo: how bars that no tune bar stands behind are known again. */
export function face({ metre, key, chords, melody, fermataTick, mark }: ArrangedBar): string {
  return hashOf([
    metre,
    key.fifths,
    fermataTick,
    mark,
    chords.map(({ startTick, chord }) => [startTick, chord.symbol]),
    melody.map(({ startTick, durationTicks, midi }) => [startTick, durationTicks, midi]),
  ])
}

/** A pickup at the head of the piece, which an opening takes into its last bar. */
export const isPickup = (bar: ArrangedBar | undefined): boolean =>
  bar?.barIndex === 0 && bar.lengthTicks < barTicks(bar.metre)
