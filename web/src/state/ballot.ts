/** A ballot with one answer changed, by the poll's method. */
import type { BallotChoices, PollMethod } from '@chartloft/shared-theory/board'

export function withChoiceOf(
  method: PollMethod,
  mine: BallotChoices | undefined,
  optionId: string,
  value: boolean | number,
): BallotChoices {
  if (method === 'score') {
    const marks = mine && !Array.isArray(mine) ? (mine as { readonly [id: string]: number }) : {}
    return { ...marks, [optionId]: Number(value) }
  }
  const chosen = Array.isArray(mine) ? (mine as readonly string[]) : []
  if (method === 'single') return value ? [optionId] : chosen.filter((id) => id !== optionId)
  const others = chosen.filter((id) => id !== optionId)
  return value ? [...others, optionId] : others
}
