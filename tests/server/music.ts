/** A tune and options for server suites: small, ours, and good enough to lock. */
import { DEMO_TUNES } from '@chartloft/demo'
import type { DecisionKind, Option, SectionRef } from '@chartloft/shared-theory'

/** The demo's 32-bar song. */
export const SONG = { format: 'abc', data: DEMO_TUNES[0]?.abc ?? '' }

/** An option made by hand: the recipes 'as-written' and 'none' always work. */
export function optionOf(kind: DecisionKind, recipe: string, more: Partial<Option> = {}): Option {
  return {
    id: `${kind}-${recipe}`,
    kind,
    recipe,
    title: `${recipe} by hand`,
    params: {},
    summary: 'As it stands.',
    reason: [{ rule: 'LI1', text: 'left alone' }],
    score: 0.5,
    ...more,
  }
}

export const LAST_CHORUS: SectionRef = { passId: 'chorus-last', sectionId: 'B1' }
export const NO_LIFT = optionOf('lift', 'none', { at: LAST_CHORUS })
export const SAME_CHORDS = optionOf('harmony', 'as-written', { at: { passId: 'chorus-1', sectionId: 'A3' } })
