/** What the engraver drew, taken apart into lines (systems) with the room each takes, so that pages can be put together from them. */

/** Engraver's units: ten to a pixel of its page, y downwards. */
export interface Box {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}
export interface SystemBar {
  /** The bar's number in the chart. */
  readonly number: number
  readonly left: number
  readonly right: number
  readonly isSilent: boolean
}
export interface ChartSystem {
  /** Its `<g class="system">…</g>`. */
  readonly svg: string
  readonly bars: readonly SystemBar[]
  /** Top line of the first staff, bottom line of the last. */
  readonly staffTop: number
  readonly staffBottom: number
  /** Everything drawn, as boxes a little too large. */
  readonly ink: readonly Box[]
}
/** Shapes that `use` elements refer to: id → `<g id=…>…</g>`. */
export type Shapes = ReadonlyMap<string, string>

/** A G clef reaches further from its staff than other signs; F and percussion clefs keep inside theirs. From the font's own boxes (Bravura). */
const G_CLEF = /href="#E05[0-5]/
const CLEF_ABOVE = 230
const CLEF_BELOW = 290
/** A notehead or an accidental from its origin, at the engraver's size: one and a half spaces. */
const SIGN_HALF = 190
const SIGN_WIDTH = 260
const LETTER_WIDTH = 0.56

export function systemsOf(svg: string): readonly ChartSystem[] {
  const found: ChartSystem[] = []
  for (const { index } of svg.matchAll(/<g [^>]*class="system">/g)) found.push(systemOf(groupAt(svg, index)))
  return found
}

export function shapesOf(svg: string): Shapes {
  const defs = /<defs>([\s\S]*?)<\/defs>/.exec(svg)?.[1] ?? ''
  return new Map([...defs.matchAll(/<g id="([^"]+)"[^>]*>[\s\S]*?<\/g>/g)].map(([whole, id]) => [id as string, whole]))
}

/** The group that begins at an index, up to its own end. */
function groupAt(svg: string, start: number): string {
  const tags = /<g[\s>]|<\/g>/g
  tags.lastIndex = start
  let depth = 0
  for (let tag = tags.exec(svg); tag; tag = tags.exec(svg)) {
    const isEnd = tag[0] === '</g>'
    // An empty group closes itself.
    if (!isEnd && svg.charAt(svg.indexOf('>', tag.index) - 1) === '/') continue
    depth += isEnd ? -1 : 1
    if (depth === 0) return svg.slice(start, tags.lastIndex)
  }
  return svg.slice(start)
}

function systemOf(svg: string): ChartSystem {
  const bars = [...svg.matchAll(/<g [^>]*class="measure"[^>]*>/g)].map(({ index }) => barOf(groupAt(svg, index)))
  const lines = [...svg.matchAll(/class="staff"[^>]*>\s*((?:<path [^>]*\/>\s*){1,6})/g)].flatMap(([, paths]) =>
    [...(paths as string).matchAll(/d="M-?\d+ (-?\d+)/g)].map(([, y]) => Number(y)),
  )
  const staffTop = Math.min(...lines)
  const staffBottom = Math.max(...lines)
  const right = Math.max(0, ...bars.map((bar) => bar.right))
  const staves = { left: 0, right, top: staffTop, bottom: staffBottom }
  const clef = { left: 0, right: 700, top: staffTop - CLEF_ABOVE, bottom: staffBottom + CLEF_BELOW }
  const ink = [staves, ...(G_CLEF.test(svg) ? [clef] : []), ...inkOf(svg)]
  return { svg, bars, staffTop, staffBottom, ink }
}

function barOf(svg: string): SystemBar {
  const [, left, right] = /class="staff"[^>]*>\s*<path d="M(-?\d+) -?\d+ L(-?\d+)/.exec(svg) ?? []
  return {
    number: Number(/data-n="(\d+)"/.exec(svg)?.[1] ?? 0),
    left: Number(left ?? 0),
    right: Number(right ?? 0),
    isSilent: !/class="(note|chord)[" ]/.test(svg),
  }
}

function inkOf(svg: string): readonly Box[] {
  const boxes: Box[] = []
  for (const [, x, y] of svg.matchAll(/translate\((-?\d+), ?(-?\d+)\)/g)) {
    const at = { x: Number(x), y: Number(y) }
    boxes.push({ left: at.x, right: at.x + SIGN_WIDTH, top: at.y - SIGN_HALF, bottom: at.y + SIGN_HALF })
  }
  for (const [, d] of svg.matchAll(/<path [^>]*?\bd="([^"]+)"/g)) boxes.push(boxOfNumbers(d as string))
  for (const [, points] of svg.matchAll(/<poly\w+ [^>]*points="([^"]+)"/g)) boxes.push(boxOfNumbers(points as string))
  for (const [, x, y, height, width] of svg.matchAll(
    /<rect [^>]*\bx="(-?\d+)" y="(-?\d+)" height="(\d+)" width="(\d+)"/g,
  )) {
    const [left, top, high, wide] = [x, y, height, width].map(Number) as [number, number, number, number]
    boxes.push({ left, right: left + wide, top, bottom: top + high })
  }
  // A bar's number stands over the beginning of its line and has no x.
  for (const [whole, x = 0, y] of svg.matchAll(/<text (?:x="(-?\d+)" )?y="(-?\d+)"[\s\S]*?<\/text>/g))
    boxes.push(textBox(whole, Number(x), Number(y)))
  return boxes
}

function boxOfNumbers(text: string): Box {
  const numbers = [...text.matchAll(/-?\d+(?:\.\d+)?/g)].map(Number)
  const xs = numbers.filter((_, index) => index % 2 === 0)
  const ys = numbers.filter((_, index) => index % 2 === 1)
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) }
}

function textBox(text: string, x: number, y: number): Box {
  const size = Math.max(0, ...[...text.matchAll(/font-size="(\d+)px"/g)].map(([, px]) => Number(px)))
  const letters = text
    .replaceAll(/<[^>]*>/g, '')
    .replaceAll(/&\w+;/g, '-')
    .trim()
  const width = letters.length * size * LETTER_WIDTH
  const left = text.includes('text-anchor="middle"')
    ? x - width / 2
    : text.includes('text-anchor="end"')
      ? x - width
      : x
  return { left, right: left + width, top: y - size * 0.75, bottom: y + size * 0.22 }
}
