/** The five decisions by name, as questions, and how settled they are. */
import type { DecisionKind } from '@chartloft/shared-theory'
import type { SlotStatus } from '../../state/slots.js'

export const DECISIONS: { readonly [kind in DecisionKind]: string } = {
  groove: 'Groove',
  opening: 'Opening',
  harmony: 'New harmony',
  lift: 'Lift',
  ending: 'Ending',
}
export const QUESTIONS: { readonly [kind in DecisionKind]: string } = {
  groove: 'Which groove carries it?',
  opening: 'How does it begin?',
  harmony: 'Which chords here?',
  lift: 'Does the key lift, and where?',
  ending: 'How does it end?',
}
/** The same, for people who see only the question and not the board. */
export const POLL_QUESTIONS: { readonly [kind in DecisionKind]: (title: string) => string } = {
  groove: (title) => `Which groove should carry “${title}”?`,
  opening: (title) => `How should “${title}” begin?`,
  harmony: (title) => `Which chords suit “${title}” best here?`,
  lift: (title) => `Should the key of “${title}” lift?`,
  ending: (title) => `How should “${title}” end?`,
}
export const STATUS: { readonly [status in SlotStatus]: string } = {
  open: 'open',
  voting: 'being voted on',
  locked: 'locked',
}
