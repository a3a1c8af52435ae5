/** What is typed, as the ABC tune it stands for: the head from its fields, and where in the text an issue points to. */
import type { Issue, Mode } from '@chartloft/shared-theory'

export interface TypedHead {
  readonly title: string
  readonly tonic: string
  readonly mode: Mode
  readonly beats: number
  readonly beatType: 2 | 4 | 8 | 16
  /** What a letter without a figure lasts. */
  readonly unit: string
}

export const FIRST_HEAD: TypedHead = { title: '', tonic: 'C', mode: 'major', beats: 4, beatType: 4, unit: '1/4' }

export interface TypedTune {
  readonly abc: string
  /** Lines of `abc` before the text that was typed. */
  readonly headLines: number
}

/** Whether the text is a whole ABC tune of its own, as somebody pastes it. */
export const isWholeAbc = (text: string): boolean => /^X:\s*\d/m.test(text) || /^K:\s*\S/m.test(text)

const MODE_NAMES: { readonly [mode in Mode]: string } = {
  major: '',
  minor: 'm',
  dorian: 'dor',
  phrygian: 'phr',
  lydian: 'lyd',
  mixolydian: 'mix',
  locrian: 'loc',
}

export function typedTune(head: TypedHead, text: string): TypedTune {
  if (isWholeAbc(text)) return { abc: text, headLines: 0 }
  const lines = [
    'X:1',
    `T:${head.title.replaceAll(/\s+/g, ' ').trim()}`,
    `M:${head.beats}/${head.beatType}`,
    `L:${head.unit}`,
    `K:${head.tonic}${MODE_NAMES[head.mode]}`,
  ]
  // An empty line would end the tune.
  const body = text.split('\n').map((line) => (line.trim() === '' ? '%' : line))
  return { abc: [...lines, ...body, ''].join('\n'), headLines: lines.length }
}

export interface Fault {
  readonly issue: Issue
  /** In the text: from and to; absent where the head is meant. */
  readonly at?: { readonly line: number; readonly column?: number; readonly from: number; readonly to: number }
}

/** Issues by where they stand in the text that was typed, in order; notes of how things were understood are none. */
export function faultsOf(issues: readonly Issue[], text: string, headLines: number): readonly Fault[] {
  const lines = text.split('\n')
  const starts: number[] = []
  let at = 0
  for (const line of lines) {
    starts.push(at)
    at += line.length + 1
  }
  return issues
    .map((issue): Fault => {
      const found = /^line\/(\d+)(?:\/column\/(\d+))?/.exec(issue.path)
      const line = found ? Number(found[1]) - headLines : 0
      const content = lines[line - 1]
      const start = starts[line - 1]
      if (content === undefined || start === undefined) return { issue }
      const column = found?.[2] === undefined ? undefined : Math.min(Number(found[2]), content.length + 1)
      if (column === undefined) return { issue, at: { line, from: start, to: start + content.length } }
      const from = Math.min(start + column - 1, start + Math.max(0, content.length - 1))
      return {
        issue,
        at: { line, column, from, to: Math.min(start + content.length, from + lengthAt(content, column - 1)) },
      }
    })
    .sort((a, b) => (a.at?.from ?? -1) - (b.at?.from ?? -1))
}

/** A chord symbol in quotes is marked whole, anything else by its one sign. */
function lengthAt(line: string, index: number): number {
  if (line[index] !== '"') return 1
  const end = line.indexOf('"', index + 1)
  return end < 0 ? line.length - index : end - index + 1
}

const WHOLE_TICKS = 20_160
const NOTE = /"[^"]*"|![^!]*!|\{[^}]*\}|\[[A-Za-z]:[^\]]*\]|\((\d)|[_=^]*[A-Ga-gzx][,']*(\d*)(\/*)(\d*)/g

/** Ticks that stand in the bar the text ends in, broken rhythm taken as even. */
export function ticksInBar(text: string, unit: string): number {
  const [above = 1, below = 4] = unit.split('/').map(Number)
  const unitTicks = (WHOLE_TICKS * above) / below
  const bar = /[^|\]]*$/.exec(text.replaceAll(/"[^"]*"/g, ''))?.[0] ?? ''
  let ticks = 0
  let tuplet = { left: 0, times: 1 }
  for (const [all, figure, times, slashes, divisor] of bar.matchAll(NOTE)) {
    if (figure !== undefined) {
      const count = Number(figure)
      tuplet = { left: count, times: (TUPLETS[count] ?? count) / count }
      continue
    }
    if (
      !/[A-Ga-gzx]/.test(all) ||
      all.startsWith('"') ||
      all.startsWith('!') ||
      all.startsWith('{') ||
      all.startsWith('[')
    )
      continue
    const by = slashes ? (divisor ? Number(divisor) : 2 ** slashes.length) : 1
    const length = (unitTicks * (times ? Number(times) : 1)) / by
    ticks += tuplet.left > 0 ? length * tuplet.times : length
    tuplet = { ...tuplet, left: Math.max(0, tuplet.left - 1) }
  }
  return Math.round(ticks)
}

/** Notes of a tuplet take the time of this many. Source: ABC standard 2.1, section 4.13. */
const TUPLETS: { readonly [count: number]: number } = { 2: 3, 3: 2, 4: 3, 6: 2, 8: 3 }

/** A length of a whole note's share ('1/4', '3/8') as the figure behind a letter whose unit is `unit`. */
export function lengthFigure(length: string, unit: string): string {
  const [a = 1, b = 1] = length.split('/').map(Number)
  const [c = 1, d = 1] = unit.split('/').map(Number)
  const above = a * d
  const below = b * c
  const shared = divisor(above, below)
  const [times, by] = [above / shared, below / shared]
  if (by === 1) return times === 1 ? '' : String(times)
  return `${times === 1 ? '' : times}/${by === 2 ? (times === 1 ? '' : '2') : by}`
}

const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b))

/** Text with something put in where the cursor stands: apart from what stands there, with a bar line where the bar is full. */
export function putIn(
  text: string,
  from: number,
  to: number,
  what: string,
  bar?: { readonly unit: string; readonly fullTicks: number },
): { readonly text: string; readonly cursor: number } {
  const before = text.slice(0, from)
  const isFull = bar !== undefined && ticksInBar(before, bar.unit) >= bar.fullTicks
  const gap = before === '' || /[\s"({[^_=-]$/.test(before) ? '' : ' '
  const put = isFull && !/\|\s*$/.test(before) ? `${gap}| ${what}` : `${gap}${what}`
  return { text: before + put + text.slice(to), cursor: before.length + put.length }
}

/** Text without its last sign before the cursor: a note with all that belongs to it, a chord symbol, a bar line. */
export function takeBack(text: string, cursor: number): { readonly text: string; readonly cursor: number } {
  const before = text.slice(0, cursor).trimEnd()
  const kept = before.replace(/(?:"[^"]*"|[_=^]*[A-Ga-gzx][,']*\d*\/*\d*-?|\(\d|[|:\]]+|.)$/su, '')
  return { text: kept + text.slice(cursor), cursor: kept.length }
}
