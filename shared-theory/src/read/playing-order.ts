/** Repeats, endings, D.C., D.S., Fine and coda played out: written bars in the order a player plays them. */
import { LIMITS } from '../units/index.js'
import type { IssueList } from './issue-list.js'
import type { WrittenBar } from './written.js'
import { said } from './said.js'

/** Indices into `bars` in playing order. After a D.C. or D.S. repeats are not taken again and the last ending is played (common practice). */
export function playingOrder(written: readonly WrittenBar[], issues: IssueList): number[] {
  const bars = firstCodaLeaves(written)
  const order: number[] = []
  const endings = endingGroups(bars)
  const segnoAt = bars.findIndex((bar) => bar.marks.segno)
  const codaAt = codaStart(bars)
  const jumpsDone = new Set<number>()
  let at = 0
  let start = 0
  let pass = 1
  let jumped = false
  let coming: 'on' | 'back' = 'on'
  while (at < bars.length) {
    const bar = bars[at] as WrittenBar
    const { marks } = bar
    if (marks.repeatStart && coming === 'on') {
      start = at
      pass = 1
    }
    coming = 'on'
    const group = endings[at]
    if (group && !playsEnding(marks.ending ?? [], group, jumped ? group.last : pass)) {
      at++
      continue
    }
    order.push(at)
    if (order.length > LIMITS.tuneBars) {
      issues.add(
        'RD10',
        'error',
        bar.path,
        said`The repeats play more than ${LIMITS.tuneBars} bars; check the repeat signs at ${bar.place}.`,
      )
      return order
    }
    if (jumped && marks.fine) return order
    if (jumped && marks.toCoda && codaAt > at) {
      at = codaAt
      start = at
      pass = 1
      continue
    }
    const times = group ? group.last : marks.repeatEnd
    if (marks.repeatEnd && !jumped && times && pass < times) {
      pass++
      at = start
      coming = 'back'
      continue
    }
    if (marks.jump && !jumpsDone.has(at)) {
      jumpsDone.add(at)
      const target = marks.jump === 'start' ? 0 : segnoAt
      if (target >= 0) {
        jumped = true
        at = target
        start = at
        pass = 1
        continue
      }
      issues.add(
        'RD8',
        'warning',
        bar.path,
        said`${bar.place}: D.S. without a segno to go to; put the segno at the bar it means.`,
      )
    }
    if (group ? endings[at + 1] !== group : marks.repeatEnd) {
      start = at + 1
      pass = 1
    }
    at++
  }
  return order
}

interface EndingGroup {
  readonly numbers: ReadonlySet<number>
  readonly last: number
}

/** Neighbouring bars under endings belong together: 1st and 2nd ending are one group. A lower number starts a new one. */
function endingGroups(bars: readonly WrittenBar[]): (EndingGroup | undefined)[] {
  const groups: (EndingGroup | undefined)[] = []
  let open: { from: number; numbers: Set<number>; lowest: number } | undefined
  const close = (to: number): void => {
    if (!open) return
    const group = { numbers: open.numbers, last: Math.max(...open.numbers) }
    for (let at = open.from; at < to; at++) groups[at] = group
    open = undefined
  }
  for (const [at, bar] of bars.entries()) {
    const ending = bar.marks.ending
    if (!ending || ending.length === 0) close(at)
    else {
      const first = Math.min(...ending)
      if (open && (first < open.lowest || bar.marks.repeatStart)) close(at)
      open ??= { from: at, numbers: new Set(), lowest: first }
      open.lowest = first
      for (const number of ending) open.numbers.add(number)
    }
    groups[at] ??= undefined
  }
  close(bars.length)
  return groups
}

function playsEnding(ending: readonly number[], group: EndingGroup, pass: number): boolean {
  return ending.includes(pass) || (!group.numbers.has(pass) && ending.includes(group.last))
}

/** Where the coda begins: the last bar that carries the sign. */
function codaStart(bars: readonly WrittenBar[]): number {
  for (let at = bars.length - 1; at >= 0; at--) if (bars[at]?.marks.coda) return at
  return -1
}

/** Older files write the coda sign twice: the first stands where to leave, the second where to arrive. */
function firstCodaLeaves(bars: readonly WrittenBar[]): readonly WrittenBar[] {
  const signs = bars.flatMap((bar, at) => (bar.marks.coda ? [at] : []))
  if (signs.length < 2 || bars.some((bar) => bar.marks.toCoda)) return bars
  return bars.map((bar, at) => {
    if (at !== signs[0]) return bar
    const { coda: _, ...marks } = bar.marks
    return { ...bar, marks: { ...marks, toCoda: true } }
  })
}
