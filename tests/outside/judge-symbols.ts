/** Counts what the parser reads right, refuses and misreads of a list with known notes: for the tests and the bench alike. */
import { parseChord, pitchClassesOf } from '@chartloft/shared-theory'
import type { MadeSymbol } from '../fixtures/symbol-grammar.js'

export interface Judgement {
  readonly read: number
  readonly refused: readonly string[]
  readonly wrong: readonly string[]
}

/** By sound: pitch classes with the bass. */
export function judgeWritten(list: readonly { readonly text: string; readonly pcs: readonly number[] }[]): Judgement {
  return judge(new Map(list.map(({ text, pcs }) => [text, pcs.join()])), (text) => {
    const read = parseChord(text)
    return read.ok ? pitchClassesOf(read.value).join() : undefined
  })
}

/** By spelling: every note name, and the bass. */
export function judgeMade(list: readonly MadeSymbol[]): Judgement {
  const names = (notes: readonly string[], bass: string | undefined): string =>
    `${notes.toSorted().join(' ')} over ${bass ?? 'its root'}`
  return judge(new Map(list.map(({ text, notes, bass }) => [text, names(notes, bass)])), (text) => {
    const read = parseChord(text)
    return read.ok ? names(read.value.notes, read.value.bass) : undefined
  })
}

function judge(expected: ReadonlyMap<string, string>, hear: (text: string) => string | undefined): Judgement {
  const refused: string[] = []
  const wrong: string[] = []
  for (const [text, right] of expected) {
    const heard = hear(text)
    if (heard === undefined) refused.push(text)
    else if (heard !== right) wrong.push(`${text}: ${heard}, not ${right}`)
  }
  return { read: expected.size - refused.length - wrong.length, refused, wrong }
}

/** Share of a list that is right, in per cent. */
export function shareRight({ read, refused, wrong }: Judgement): number {
  return (100 * read) / (read + refused.length + wrong.length)
}
