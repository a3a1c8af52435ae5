/** Hand edits listed, and named in words a player finds them by. */
import type { ArrangedBar, BarRef, HandEdit, Plan } from '../contract/index.js'

/** Edits with the path that names each in an issue: those carried by chosen options first, then the plan's own. */
export function editsOf(plan: Plan): readonly { readonly edit: HandEdit; readonly path: string }[] {
  const carried = plan.chosen.flatMap(({ option }, index) =>
    (option.handEdits ?? []).map((edit, place) => ({ edit, path: `chosen/${index}/option/handEdits/${place}` })),
  )
  return [...carried, ...plan.edits.map((edit, place) => ({ edit, path: `edits/${place}` }))]
}

/** 'chorus-last' → 'Last chorus', 'solo-1#2' → 'Solo 1, time 2'; any other name as it stands. */
export function passName(pass: string): string {
  const found = /^(solo|chorus|verse)-(last|\d+)(?:#(\d+))?$/.exec(pass)
  if (!found) return pass
  const [, kind = '', which = '', time] = found
  const name = which === 'last' ? `Last ${kind}` : `${kind.slice(0, 1).toUpperCase()}${kind.slice(1)} ${which}`
  return time ? `${name}, time ${time}` : name
}

/** 'Chorus 1, A1, bar 4'. */
export function placeWords({ pass, sectionId, bar }: BarRef): string {
  const section = sectionId === pass ? '' : `, ${sectionId}`
  return `${passName(pass)}${section}, bar ${bar + 1}`
}

/** 'your chord Dm7'. */
export function editWords(edit: Exclude<HandEdit, { kind: 'bars' }>): string {
  switch (edit.kind) {
    case 'chord':
      return `your chord ${edit.symbol.slice(0, 24)}`
    case 'melody':
      return edit.notes.length === 0 ? 'your bar without melody' : 'your melody'
    case 'voicing':
      return `your voicing for ${edit.partId.slice(0, 40)}`
  }
}

export const bars = (count: number): string => (count === 1 ? '1 bar' : `${count} bars`)

/** A bar changed by hand keeps the decision that made it and says by its rule that a hand came after. */
export function edited(bar: ArrangedBar, change: Partial<ArrangedBar>): ArrangedBar {
  return { ...bar, ...change, provenance: { ...bar.provenance, rule: 'CO7' } }
}
