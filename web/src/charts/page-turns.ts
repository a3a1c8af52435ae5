/** Which lines begin a page: as few pages as hold them, evenly filled, turned where a hand is free, sections kept together. */

export interface PageLine {
  /** The room it takes, everything drawn above and below included. */
  readonly height: number
  readonly beginsSection: boolean
  readonly beginsSilent: boolean
  readonly endsSilent: boolean
}
export interface PageRoom {
  readonly first: number
  readonly other: number
  /** Least room between two lines. */
  readonly gap: number
}

/** What a turn in the middle of playing costs, beside a page filled by a third more or less than the others. */
const NO_HAND_FREE = 0.35
const INSIDE_SECTION = 0.25
const LINE_ALONE = 1
/** Weight of a page's unevenness, squared. */
const UNEVEN = 3

/** Indices of the lines that begin a page; [0] for none. A line higher than a page has one of its own. */
export function pageStarts(lines: readonly PageLine[], room: PageRoom): readonly number[] {
  const before = [0]
  for (const { height } of lines) before.push((before.at(-1) as number) + height + room.gap)
  const used = (from: number, to: number): number => (before[to] as number) - (before[from] as number) - room.gap
  const roomOf = (page: number): number => (page === 0 ? room.first : room.other)
  const fits = (from: number, to: number, page: number): boolean => to - from === 1 || used(from, to) <= roomOf(page)
  const pages = fewestPages(lines.length, fits)
  if (pages < 2) return [0]
  const even = used(0, lines.length) / (room.first + room.other * (pages - 1))
  const turn = (start: number): number => {
    const line = lines[start] as PageLine
    const isFree = line.beginsSilent || (lines[start - 1] as PageLine).endsSilent
    return (isFree ? 0 : NO_HAND_FREE) + (line.beginsSection ? 0 : INSIDE_SECTION)
  }
  const filled = (from: number, to: number, page: number): number =>
    UNEVEN * (used(from, to) / roomOf(page) - even) ** 2 + (to - from === 1 ? LINE_ALONE : 0)
  interface Path {
    readonly cost: number
    readonly starts: readonly number[]
  }
  let best = new Map<number, Path>([[0, { cost: 0, starts: [0] }]])
  for (let page = 0; page < pages - 1; page++) {
    const next = new Map<number, Path>()
    for (const [from, path] of best)
      for (let to = from + 1; to < lines.length && fits(from, to, page); to++) {
        const cost = path.cost + filled(from, to, page) + turn(to)
        if (cost < (next.get(to)?.cost ?? Infinity)) next.set(to, { cost, starts: [...path.starts, to] })
      }
    best = next
  }
  const whole = [...best]
    .filter(([from]) => fits(from, lines.length, pages - 1))
    .map(([from, { cost, starts }]) => ({ starts, cost: cost + filled(from, lines.length, pages - 1) }))
  return whole.sort((a, b) => a.cost - b.cost)[0]?.starts ?? [0]
}

function fewestPages(count: number, fits: (from: number, to: number, page: number) => boolean): number {
  let page = 0
  let from = 0
  for (let to = 1; to <= count; to++) {
    if (fits(from, to, page)) continue
    page++
    from = to - 1
  }
  return page + 1
}
