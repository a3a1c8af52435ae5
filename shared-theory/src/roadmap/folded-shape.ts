/** The door of `unfold`: a folded score from anywhere as one that can be played, its marks as far as they mean anything. */
import type { ArrangedBar, FoldedBar, FoldedScore } from '../contract/index.js'
import { type Fields, arrangementShape, isFields, isTick } from '../tune/index.js'
import { LIMITS } from '../units/index.js'

const JUMPS: ReadonlySet<unknown> = new Set(['D.S. al Coda', 'D.C. al Coda', 'D.S.', 'D.C.'])

/** The same score where it is whole; bars that can't be read are left out, and marks that mean nothing. */
export function foldedShape(given: unknown): FoldedScore {
  const fields = isFields(given) ? given : {}
  const written: readonly unknown[] = Array.isArray(fields['bars'])
    ? fields['bars'].slice(0, LIMITS.arrangementBars)
    : []
  const bare = written.map((bar) => (isFields(bar) ? bar['bar'] : undefined))
  const frame = arrangementShape({ ...fields, bars: bare })
  // One by one only where some can't be read, and so are not in the list.
  const read =
    frame.bars.length === bare.length ? frame.bars : bare.map((bar) => arrangementShape({ bars: [bar] }).bars[0])
  const bars = written.flatMap((folded, index): FoldedBar[] => {
    const bar = read[index]
    return bar && isFields(folded) ? [foldedBar(folded, bar)] : []
  })
  return { version: 1, title: frame.title, lineup: frame.lineup, groove: frame.groove, bars }
}

function foldedBar(given: Fields, bar: ArrangedBar): FoldedBar {
  const { playings, repeatStart, repeatEnd, ending, segno, coda, toCoda, jump } = given
  const isCount = (value: unknown): boolean => isTick(value) && value >= 1 && value <= LIMITS.arrangementBars
  return {
    bar,
    playings: (Array.isArray(playings) ? playings.slice(0, LIMITS.arrangementBars) : []).flatMap(playing),
    ...(repeatStart === true ? { repeatStart } : {}),
    ...(isCount(repeatEnd) ? { repeatEnd: repeatEnd as number } : {}),
    ...(Array.isArray(ending) && ending.length > 0 && ending.every(isCount) ? { ending } : {}),
    ...(segno === true ? { segno } : {}),
    ...(coda === true ? { coda } : {}),
    ...(toCoda === true ? { toCoda } : {}),
    ...(JUMPS.has(jump) ? { jump: jump as NonNullable<FoldedBar['jump']> } : {}),
  }
}

function playing(given: unknown): FoldedBar['playings'] {
  if (!isFields(given) || !isTick(given['barIndex'])) return []
  const { barIndex, differs } = given
  return [isFields(differs) ? { barIndex, differs: differs as Fields & Partial<ArrangedBar> } : { barIndex }]
}
