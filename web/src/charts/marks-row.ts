/** What stands above a line of the chart: boxed letters with their names, tempo, signs and jumps, each just clear of the ink below it. */
import type { ChartMark } from '@chartloft/shared-theory'
import type { Box, ChartSystem } from './systems.js'
import { textWidth } from './text-width.js'

export interface DrawnMarks {
  readonly svg: string
  readonly boxes: readonly Box[]
}

const SIZE = 405
const SMALL = 360
const GAP = 170
const BOX_PAD = 90
const BOX_HEIGHT = 500
/** Between what is drawn below and a mark's foot. */
const CLEAR = 110

/** A stretch of a mark: how wide it is, and its drawing with the foot of its letters at 0. */
interface Piece {
  readonly width: number
  readonly draw: (x: number, y: number) => string
}

export const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;')

/** Marks over their bars; `marks` by bar number. Those at a bar's beginning stand from its left edge, a first bar's from the line's; jumps end
 *  at their bar's right edge. */
export function marksOver(system: ChartSystem, marks: ReadonlyMap<number, ChartMark>): DrawnMarks {
  const drawn: string[] = []
  const boxes: Box[] = []
  const place = (pieces: readonly Piece[], x: number, fromRight: boolean, name: string): void => {
    if (pieces.length === 0) return
    const width = pieces.reduce((sum, piece) => sum + piece.width + GAP, -GAP)
    const left = fromRight ? x - width : x
    const right = left + width
    const under = [...system.ink, ...boxes].filter((box) => box.left < right + GAP && box.right > left - GAP)
    const foot = Math.min(system.staffTop - CLEAR * 2, ...under.map(({ top }) => top)) - CLEAR
    let at = left
    const inside = pieces.map((piece) => {
      const svg = piece.draw(at, foot - BOX_PAD)
      at += piece.width + GAP
      return svg
    })
    drawn.push(`<g class="above ${name}">${inside.join('')}</g>`)
    boxes.push({ left, right, top: foot - BOX_HEIGHT, bottom: foot })
  }
  for (const [index, bar] of system.bars.entries()) {
    const mark = marks.get(bar.number)
    if (!mark) continue
    place(startPieces(mark), index === 0 ? 0 : bar.left, false, 'start')
    place(endPieces(mark), bar.right, true, 'jump')
  }
  return { svg: drawn.join(''), boxes }
}

function startPieces({ letter, form, time, words, segno, coda }: ChartMark): readonly Piece[] {
  return [
    ...(letter === undefined ? [] : [boxed(letter)]),
    ...(segno ? [SEGNO] : []),
    ...(coda ? [CODA] : []),
    ...(form === undefined ? [] : [text(form, 'form')]),
    ...(time?.feel === undefined ? [] : [text(time.feel, 'feel')]),
    ...(time?.beat === undefined ? [] : [beat(time.beat)]),
    ...(time?.ramp === undefined ? [] : [text(time.ramp, 'aside')]),
    ...(words === undefined ? [] : [text(words, 'aside')]),
  ]
}

function endPieces({ toCoda, jump, times }: ChartMark): readonly Piece[] {
  return [
    ...(times === undefined ? [] : [text(times, 'times')]),
    ...(toCoda ? [text('To Coda', 'to'), CODA] : []),
    ...(jump === undefined ? [] : [text(jump, 'to')]),
  ]
}

function boxed(letter: string): Piece {
  const width = Math.max(BOX_HEIGHT, textWidth(letter, SIZE) + 2 * BOX_PAD)
  return {
    width,
    draw: (x, y) =>
      `<g class="reh"><rect x="${round(x)}" y="${round(y - BOX_HEIGHT + BOX_PAD)}" width="${round(width)}" height="${BOX_HEIGHT}" fill="none" stroke-width="26" /><text x="${round(x + width / 2)}" y="${round(y - 25)}" text-anchor="middle" font-size="${SIZE}px" font-weight="bold">${escaped(letter)}</text></g>`,
  }
}

/** Letters of the printed face, heavy; asides lean and are lighter. */
function text(words: string, kind: string): Piece {
  const isAside = kind === 'aside'
  const size = isAside ? SMALL : SIZE
  const style = isAside ? 'font-style="italic"' : 'font-weight="bold"'
  return {
    width: textWidth(words, size),
    draw: (x, y) =>
      `<text class="words ${kind}" x="${round(x)}" y="${round(y - 20)}" font-size="${size}px" ${style}>${escaped(words)}</text>`,
  }
}

/** Segno and coda drawn, not set: a printed sign must not hang on a font. `shapes` stand round the middle of the letters' height. */
function sign(kind: 'segno' | 'coda', width: number, shapes: string): Piece {
  return {
    width,
    draw: (x, y) =>
      `<g class="sign ${kind}" transform="translate(${round(x + width / 2)}, ${round(y - 150)})">${shapes}</g>`,
  }
}

/** '♩ = 138', the note drawn: few text faces have one. */
function beat({ unit, isDotted, perMinute }: NonNullable<NonNullable<ChartMark['time']>['beat']>): Piece {
  const equals = `= ${perMinute}`
  const head = 150
  const noteWidth = head + (isDotted ? 110 : 20)
  return {
    width: noteWidth + 110 + textWidth(equals, SIZE),
    draw: (x, y) => {
      const [cx, cy] = [round(x + head / 2), round(y - 85)]
      const fill = unit === 'half' ? 'fill="none" stroke-width="34"' : 'stroke-width="10"'
      return (
        `<g class="beat"><ellipse cx="${cx}" cy="${cy}" rx="${head / 2}" ry="56" transform="rotate(-22 ${cx} ${cy})" ${fill} />` +
        `<path d="M${round(x + head - 8)} ${cy - 25} L${round(x + head - 8)} ${cy - 400}" stroke-width="22" />` +
        (isDotted ? `<ellipse cx="${cx + 140}" cy="${cy}" rx="26" ry="26" />` : '') +
        `<text x="${round(x + noteWidth + 110)}" y="${round(y - 20)}" font-size="${SIZE}px" font-weight="bold">${equals}</text></g>`
      )
    },
  }
}

const round = Math.round

const SEGNO = sign(
  'segno',
  300,
  '<path d="M78 -98 C40 -172 -92 -150 -82 -72 C-74 -12 74 -12 82 60 C92 138 -40 160 -78 86" fill="none" stroke-width="48" />' +
    '<path d="M-112 176 L112 -188" stroke-width="26" />' +
    '<ellipse cx="-98" cy="36" rx="27" ry="27" /><ellipse cx="98" cy="-48" rx="27" ry="27" />',
)
const CODA = sign(
  'coda',
  380,
  '<ellipse cx="0" cy="0" rx="104" ry="138" fill="none" stroke-width="44" />' +
    '<path d="M0 -206 L0 206" stroke-width="28" /><path d="M-180 0 L180 0" stroke-width="28" />',
)
