/** Bars named as people find them on the page: pass, section and bar in the section. */
import type { ArrangedBar, BoardState, SectionRef } from '@chartloft/shared-theory'
import { basePass, type PassView, runningOrder, type SectionCard } from '../state/running-order.js'
import { words } from '../words.js'
import type { Place } from '../words-compare.js'

export interface Places {
  /** Where the bar with this index stands. */
  readonly of: (barIndex: number) => Place
  /** 'Last chorus, B' of a decision's place; '' where it is not played. */
  readonly ofRef: (at: SectionRef | undefined) => string
  /** 'First chorus', by PassPlan.id. */
  readonly pass: (passId: string) => string
}

export function placesIn(bars: readonly ArrangedBar[], state: BoardState): Places {
  const passes = runningOrder(bars, state)
  const named = (passId: string) => passes.find(({ id }) => id === passId)
  return {
    of: (barIndex) => placeOf(bars, passes, barIndex),
    ofRef: (at) => {
      const pass = at && named(at.passId)
      if (!pass) return ''
      const card = pass.cards.find(({ sectionId }) => sectionId === at.sectionId)
      return card ? cardName(pass, card) : passName(pass)
    },
    pass: (passId) => {
      const pass = named(passId)
      return pass ? passName(pass) : passId
    },
  }
}

function placeOf(bars: readonly ArrangedBar[], passes: readonly PassView[], barIndex: number): Place {
  const bar = bars[barIndex]
  const pass =
    bar &&
    passes.find(
      ({ id, firstBar, bars: count }) =>
        id === basePass(bar.pass) && barIndex >= firstBar && barIndex < firstBar + count,
    )
  if (!pass) return { card: '', bar: barIndex + 1 }
  // Repetitions are named by the first time through.
  const once = pass.cards.reduce((sum, card) => sum + card.bars.length, 0)
  const inPass = (barIndex - pass.firstBar) % once
  let start = 0
  for (const card of pass.cards) {
    if (inPass < start + card.bars.length) return { card: cardName(pass, card), bar: inPass - start + 1 }
    start += card.bars.length
  }
  return { card: passName(pass), bar: inPass + 1 }
}

const passName = (pass: PassView): string => words.board.pass(pass.kind, pass.turn, pass.turns)

function cardName(pass: PassView, card: SectionCard): string {
  if (pass.kind === 'opening' || pass.kind === 'ending') return passName(pass)
  return `${passName(pass)}, ${words.board.card(card.letter, card.turn, card.turns)}`
}
