/** The head of a chart's first page: title, whose part it is, and the road map between two rules. */
import { escaped } from './marks-row.js'
import { textWidth } from './text-width.js'

export interface Head {
  readonly title: string
  readonly part: string
  /** The form in steps, as it is called out: 'Opening 8', 'A A B A', 'trumpet solo 2×'. */
  readonly roadMap: readonly string[]
}

const TITLE = 860
const PART = 470
const ROAD = 400
const LEADING = 1.35

/** Drawn from 0 down, in the engraver's units. */
export function drawHead(head: Head, width: number): { readonly svg: string; readonly height: number } {
  const size = Math.min(TITLE, (TITLE * width) / Math.max(width, textWidth(head.title, TITLE)))
  const drawn: string[] = []
  let y = size * 0.8
  const text = (words: string, x: number, letters: number, more: string): void => {
    drawn.push(
      `<text x="${Math.round(x)}" y="${Math.round(y)}" font-size="${Math.round(letters)}px" ${more}>${escaped(words)}</text>`,
    )
  }
  text(head.title, width / 2, size, 'text-anchor="middle" font-weight="bold"')
  y += PART * 1.3
  text(head.part, 0, PART, 'font-weight="bold"')
  const lines = roadLines(head.roadMap, width)
  if (lines.length > 0) {
    y += 230
    drawn.push(rule(y, width))
    for (const line of lines) {
      y += ROAD * LEADING
      text(line, 0, ROAD, '')
    }
    y += ROAD * 0.5
    drawn.push(rule(y, width))
  }
  return { svg: `<g class="head">${drawn.join('')}</g>`, height: Math.round(y + 420) }
}

const rule = (y: number, width: number): string =>
  `<path d="M0 ${Math.round(y)} L${Math.round(width)} ${Math.round(y)}" stroke-width="20" />`

/** Broken between steps, so that no line is wider than the page. */
function roadLines(steps: readonly string[], width: number): readonly string[] {
  const lines: string[] = []
  for (const step of steps) {
    const last = lines.at(-1)
    const joined = `${last} · ${step}`
    if (last !== undefined && textWidth(joined, ROAD) <= width) lines[lines.length - 1] = joined
    else lines.push(step)
  }
  return lines
}
