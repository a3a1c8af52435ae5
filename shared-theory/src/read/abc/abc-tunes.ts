/** Cuts an ABC file into its tunes: X: begins one, an empty line ends it (ABC standard 2.1, section 2.2). */
import { LIMITS } from '../../units/index.js'
import { Unreadable } from '../issue-list.js'
import { said } from '../said.js'

export interface AbcLine {
  readonly text: string
  /** 1-based in the file. */
  readonly number: number
}

export interface AbcTune {
  /** The number after X:, undefined where it has none. */
  readonly number?: number
  readonly lines: readonly AbcLine[]
}

export interface AbcFile {
  /** Lines before the first tune: fields there hold for every tune. */
  readonly head: readonly AbcLine[]
  readonly tunes: readonly AbcTune[]
  /** Lines after a tune's empty line that look like more of it. */
  readonly stray: readonly AbcLine[]
}

/** Blocks between %%begin… and %%end… are for the page (section 11.4): their first line stays, so that it can be told. */
function withoutBlocks(lines: readonly AbcLine[]): readonly AbcLine[] {
  let end: string | undefined
  return lines.filter(({ text }) => {
    if (end !== undefined) {
      if (text.trimEnd() === end) end = undefined
      return false
    }
    const begun = /^%%begin(\w{1,20})/.exec(text)?.[1]
    if (begun !== undefined) end = `%%end${begun}`
    return true
  })
}

export function splitAbc(text: string): AbcFile {
  const texts = text.split(/\r\n|\n|\r/, LIMITS.abcLines + 1)
  if (texts.length > LIMITS.abcLines)
    throw new Unreadable(
      'RD10',
      'file',
      said`The file has more than ${LIMITS.abcLines} lines; save the one tune by itself.`,
    )
  const lines = withoutBlocks(texts.map((line, at): AbcLine => ({ text: line, number: at + 1 })))
  const head: AbcLine[] = []
  const stray: AbcLine[] = []
  const tunes: { number?: number; lines: AbcLine[] }[] = []
  let open: { number?: number; lines: AbcLine[] } | undefined
  const hasNumbered = lines.some((line) => line.text.startsWith('X:'))
  if (!hasNumbered) return { head: [], tunes: [{ lines: lines.filter((line) => line.text.trim() !== '') }], stray: [] }
  for (const line of lines) {
    if (line.text.startsWith('X:')) {
      const number = /^X:\s*(\d{1,9})/.exec(line.text)?.[1]
      open = { ...(number ? { number: Number(number) } : {}), lines: [line] }
      tunes.push(open)
    } else if (line.text.trim() === '') open = undefined
    else if (open) open.lines.push(line)
    else if (tunes.length === 0) head.push(line)
    else if (!line.text.startsWith('%')) stray.push(line)
  }
  return { head, tunes, stray }
}
