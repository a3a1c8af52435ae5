/** The five decisions by name, as questions, and how settled they are. */
import type { DecisionKind } from '@chartloft/shared-theory'
import type { SlotStatus } from '../../state/slots.js'

export const DECISIONS: { readonly [kind in DecisionKind]: string } = {
  groove: 'Groove',
  opening: 'Anfang',
  harmony: 'Neue Harmonien',
  lift: 'Rückung',
  ending: 'Schluss',
}
/** With the article, as something one locks: 'den Groove festlegen'. */
export const ACCUSATIVE: { readonly [kind in DecisionKind]: string } = {
  groove: 'Den Groove',
  opening: 'Den Anfang',
  harmony: 'Die neuen Harmonien',
  lift: 'Die Rückung',
  ending: 'Den Schluss',
}
export const QUESTIONS: { readonly [kind in DecisionKind]: string } = {
  groove: 'Welcher Groove trägt es?',
  opening: 'Wie fängt es an?',
  harmony: 'Welche Akkorde hier?',
  lift: 'Rückt die Tonart, und wo?',
  ending: 'Wie hört es auf?',
}
export const POLL_QUESTIONS: { readonly [kind in DecisionKind]: (title: string) => string } = {
  groove: (title) => `Welcher Groove soll „${title}“ tragen?`,
  opening: (title) => `Wie soll „${title}“ anfangen?`,
  harmony: (title) => `Welche Akkorde passen hier am besten zu „${title}“?`,
  lift: (title) => `Soll „${title}“ in eine andere Tonart rücken?`,
  ending: (title) => `Wie soll „${title}“ aufhören?`,
}
export const STATUS: { readonly [status in SlotStatus]: string } = {
  open: 'offen',
  voting: 'in Abstimmung',
  locked: 'festgelegt',
}
