/** Lines of a chart put together into pages: head, marks above the lines, what has changed, even spaces. Pure text, no page needed. */
import type { ChartMark } from '@chartloft/shared-theory'
import { drawHead, type Head } from './chart-head.js'
import { marksOver } from './marks-row.js'
import { type PageLine, pageStarts } from './page-turns.js'
import type { Box, ChartSystem, Shapes } from './systems.js'

/** Lengths in the engraver's units. */
export interface SheetShape {
  readonly width: number
  readonly height: number
  readonly margins: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number }
}
export interface ComposedPage {
  readonly svg: string
  /** Numbers of its bars, in order. */
  readonly bars: readonly number[]
}
export interface Composing {
  readonly marks: readonly ChartMark[]
  readonly sheet: SheetShape
  readonly head?: Head
  /** Numbers of the bars that are ruled as changed. */
  readonly changed?: ReadonlySet<number>
}

/** Room between two lines: usually at least; at least where that saves a page and its turn; and at most, where a score's lines are low beside it. */
const GAP = 260
const TIGHT_GAP = 150
const MOST_GAP = 1250
const MOST_OF_LINE = 0.35
const RULE = 70

type Starts = readonly number[]

interface Block {
  readonly system: ChartSystem
  readonly above: string
  readonly top: number
  readonly bottom: number
}

export function composePages(
  systems: readonly ChartSystem[],
  shapes: Shapes,
  { marks, sheet, head, changed }: Composing,
): readonly ComposedPage[] {
  const byNumber = new Map(marks.map((mark) => [mark.number, mark]))
  const blocks = systems.map((system) => blockOf(system, byNumber, changed ?? new Set()))
  const { margins } = sheet
  const inner = sheet.width - margins.left - margins.right
  const drawnHead = head && drawHead(head, inner)
  const other = sheet.height - margins.top - margins.bottom
  const first = other - (drawnHead?.height ?? 0)
  const lines = blocks.map((block) => pageLine(block, byNumber))
  const [usual, tight] = [GAP, TIGHT_GAP].map((gap) => pageStarts(lines, { first, other, gap })) as [Starts, Starts]
  const starts = tight.length < usual.length ? tight : usual
  return starts.map((start, page) => {
    const own = blocks.slice(start, starts[page + 1] ?? blocks.length)
    const top = margins.top + (page === 0 ? (drawnHead?.height ?? 0) : 0)
    const drawn = placed(own, top, page === 0 ? first : other)
    const inside =
      (page === 0 && drawnHead ? `<g transform="translate(0, ${margins.top})">${drawnHead.svg}</g>` : '') +
      drawn.join('')
    const svg =
      `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 ${sheet.width} ${sheet.height}" font-family="Times, serif" color="black">` +
      `<defs>${usedShapes(inside, shapes, `p${page + 1}`)}</defs>` +
      `<g class="page-margin" transform="translate(${margins.left}, 0)">${renamed(inside, `p${page + 1}`)}</g></svg>`
    return { svg, bars: own.flatMap(({ system }) => system.bars.map(({ number }) => number)) }
  })
}

/** Lines one below the other, what is left shared out between them, so far as that does not tear them apart. */
function placed(blocks: readonly Block[], from: number, room: number): readonly string[] {
  const used = blocks.reduce((sum, { top, bottom }) => sum + bottom - top, 0)
  const most = Math.max(MOST_GAP, (MOST_OF_LINE * used) / blocks.length)
  const gap = Math.max(TIGHT_GAP, Math.min(most, (room - used) / Math.max(1, blocks.length - 1)))
  let at = from
  return blocks.map(({ system, above, top, bottom }) => {
    const down = Math.round(at - top)
    at += bottom - top + gap
    return `<g class="line" transform="translate(0, ${down})">${washes(system)}${above}${system.svg}</g>`
  })
}

/** A ground behind each bar, unseen until something is said about the bar. */
const washes = ({ bars, staffTop, staffBottom }: ChartSystem): string =>
  bars
    .map(
      ({ number, left, right }) =>
        `<rect class="wash" data-bar="${number}" x="${left}" y="${staffTop - 500}" width="${right - left}" height="${staffBottom - staffTop + 800}" fill="none" />`,
    )
    .join('')

function blockOf(system: ChartSystem, marks: ReadonlyMap<number, ChartMark>, changed: ReadonlySet<number>): Block {
  const over = marksOver(system, marks)
  const rules = changeRules(system, over.boxes, changed)
  const all = [...system.ink, ...over.boxes, ...rules.boxes]
  return {
    system,
    above: over.svg + rules.svg,
    top: Math.min(...all.map(({ top }) => top)),
    bottom: Math.max(...all.map(({ bottom }) => bottom)),
  }
}

/** A heavy rule above each changed bar, and a stroke in the margin of its line. */
function changeRules(
  system: ChartSystem,
  taken: readonly Box[],
  changed: ReadonlySet<number>,
): { readonly svg: string; readonly boxes: readonly Box[] } {
  const bars = system.bars.filter(({ number }) => changed.has(number))
  const boxes = bars.map(({ left, right }): Box => {
    const under = [...system.ink, ...taken].filter((box) => box.left < right && box.right > left)
    const bottom = Math.min(system.staffTop - 200, ...under.map(({ top }) => top)) - 60
    return { left: left + 40, right: right - 40, top: bottom - RULE, bottom }
  })
  const rule = ({ left, right, top, bottom }: Box): string =>
    `<rect x="${left}" y="${Math.round(top)}" width="${right - left}" height="${Math.round(bottom - top)}" />`
  if (boxes.length === 0) return { svg: '', boxes }
  const margin = { left: -420, right: -340, top: system.staffTop, bottom: system.staffBottom }
  return { svg: `<g class="changed">${[...boxes, margin].map(rule).join('')}</g>`, boxes }
}

function pageLine({ system, top, bottom }: Block, marks: ReadonlyMap<number, ChartMark>): PageLine {
  const [first] = system.bars
  return {
    height: bottom - top,
    beginsSection: first !== undefined && marks.get(first.number)?.letter !== undefined,
    beginsSilent: first?.isSilent === true,
    endsSilent: system.bars.at(-1)?.isSilent === true,
  }
}

/** Pages of one document share no ids. */
const renamed = (svg: string, page: string): string =>
  svg.replaceAll(/(xlink:href="#[^"]+)"/g, (_all, start: string) => `${start}-${page}"`)

function usedShapes(svg: string, shapes: Shapes, page: string): string {
  const used = new Set([...svg.matchAll(/xlink:href="#([^"]+)"/g)].map(([, id]) => id as string))
  return [...used].map((id) => (shapes.get(id) ?? '').replace(`id="${id}"`, `id="${id}-${page}"`)).join('')
}
